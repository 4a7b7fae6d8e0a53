"""Names of the drafted shafts, stages and seats, and who sits where."""

from __future__ import annotations

from collections.abc import Iterable

from layshaft.project.answers import Answers
from layshaft.project.sizing import ShaftSize, Sizing

DRIVE_SHAFT = {
    "weight": "drum shaft",
    "crank": "crank shaft",
    "pedals": "pedal shaft",
    "motor": "motor shaft",
}
TAKEN = {
    "frame",
    "fan brake",
    "left bearing",
    "right bearing",
    "drum",
    "weight",
    "crank",
    "pedal",
    "pedals",
    "motor",
    "brake",
    "lay",
    "fan lay",
}


class Names:
    """Names of the shafts, stages and seats, and who sits where."""

    def __init__(self, a: Answers, s: Sizing) -> None:
        what = a.what
        folded = what.casefold()
        if folded in TAKEN or folded.startswith(("chain ", "fan chain ", "lay shaft", "fan lay shaft")):
            what = f"driven {what}"
        self.load, self.drive = what, a.driver.kind
        self.start = DRIVE_SHAFT[a.driver.kind]
        self.main = self._row(self.start, len(s.main.turns), "", f"{what} shaft")
        self.end = self.main[-1][2] if self.main else self.start
        w = s.weight
        root = self.end if w and w.fan_from_load else self.start
        self.fan = self._row(root, len(w.fan.turns), "fan ", "brake shaft") if w else []
        self.brake = self.fan[-1][2] if self.fan else root
        self.sizes = {self.start: s.drive, **_sized(self.main, s.main.shafts)}
        if w:
            self.sizes |= _sized(self.fan, w.fan.shafts)

    @staticmethod
    def _row(start: str, count: int, word: str, end: str) -> list[tuple[str, str, str]]:
        """(stage, first shaft, second shaft) of a row of stages."""
        found, first = [], start
        for i in range(1, count + 1):
            second = end if i == count else f"{word}lay shaft {i}"
            found.append((f"{word}chain {i}", first, second))
            first = second
        return found

    def seats(self, shaft: str) -> list[str]:
        """What sits between the bearings of a shaft."""
        found = [self.drive] if shaft == self.start and self.drive == "weight" else []
        found += [stage for stage, first, second in (*self.main, *self.fan) if shaft in (first, second)]
        found += [self.load] if shaft == self.end else []
        return found + (["fan brake"] if shaft == self.brake and self.drive == "weight" else [])


def _sized(row: list[tuple[str, str, str]], sizes: Iterable[ShaftSize]) -> dict[str, ShaftSize]:
    return {second: size for (_, _, second), size in zip(row, sizes, strict=True)}
