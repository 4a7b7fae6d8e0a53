"""What is wrong with a machine file, with the lines it stands in, for a page that says what to mend."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from layshaft.machine.document import MOST_BYTES
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.trace.errors import BadInput

AROUND = 2
MOST_SHOWN = 12
MOST_TOLD = 2
LONGEST_LINE = 300


class Broken(NamedTuple):
    """One thing wrong: the file's name and line (0 where it has none), the sentence, and the lines around it."""

    file: str
    line: int
    sentence: str
    lines: list[tuple[int, str]]


def broken(why: BadInput) -> tuple[Broken, ...]:
    """What an error says, problem by problem."""
    if not isinstance(why, MachineErrors):
        return (Broken("", 0, str(why), []),)
    return tuple(Broken(Path(p.mark.file).name if p.mark.line else "", p.mark.line, _bare(p),
                        _around(Path(p.mark.file), p.mark.line) if p.mark.line else [])
                 for p in why.problems[:MOST_SHOWN])


def told(why: BadInput, place: Path | None = None) -> str:
    """Why something cannot be done, in a few sentences: a line only where it is one of the file itself."""
    if not isinstance(why, MachineErrors) or not why.problems:
        return str(why)
    said = [f"{f'line {p.mark.line}: ' if place is not None and p.mark.file == str(place) else ''}{_bare(p)}"
            for p in why.problems[:MOST_TOLD]]
    more = len(why.problems) - len(said)
    return " ".join(said) + (f" And {more} more of the kind." if more else "")


def _bare(problem: Problem) -> str:
    """A sentence in which the file is called by its name alone."""
    place = problem.mark.file
    return problem.sentence.replace(place, Path(place).name) if place else problem.sentence


def _around(place: Path, line: int) -> list[tuple[int, str]]:
    """Some lines of a file, numbered from 1."""
    try:
        if place.stat().st_size > MOST_BYTES:
            return []
        lines = place.read_text(encoding="utf-8", errors="replace").splitlines()
    except (OSError, ValueError):
        return []
    first = max(line - AROUND, 1)
    return list(enumerate((text[:LONGEST_LINE] for text in lines[first - 1:line + AROUND]), first))
