"""What a sheet rests on beyond its own steps: guesses further up that move one of its inputs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from layshaft.trace.units import figure


@dataclass(frozen=True, slots=True)
class Rest:
    """A guess by its path in the machine file, what it is, and the share of a change that each input takes from it."""

    path: str
    what: str
    moves: tuple[tuple[str, float], ...]

    @property
    def symbols(self) -> list[str]:
        """The inputs it moves."""
        return [symbol for symbol, _ in self.moves]

    def __str__(self) -> str:
        if not self.what:
            return self.path
        moves = " and ".join(f"{'+' if share > 0 else '-'}{figure(abs(share), 2)} %" for _, share in self.moves)
        return f"{self.path}, {self.what}: 1 % more moves {'it' if len(self.moves) == 1 else 'them'} by {moves}"


def together(rests: Iterable[Rest]) -> tuple[Rest, ...]:
    """Each guess once, with all that it moves."""
    found: dict[tuple[str, str], dict[str, float]] = {}
    for rest in rests:
        found.setdefault((rest.path, rest.what), {}).update(rest.moves)
    return tuple(Rest(path, what, tuple(moves.items())) for (path, what), moves in found.items())
