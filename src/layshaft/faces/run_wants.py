"""What was wanted of a run, as it is printed below the run, and what is kept of it for `check`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from layshaft.faces.plain import finding_dict, number
from layshaft.faces.running import clock
from layshaft.faces.text import finding_lines, wrapped
from layshaft.machine.model import Machine
from layshaft.project.runs import keep_run
from layshaft.trace.findings import Finding
from layshaft.train.moments import Moment
from layshaft.train.motion.figures import RunSeen, figures_of
from layshaft.train.motion.results import Results
from layshaft.verdict.context import context
from layshaft.verdict.wants import wanted_of_run

MANY = 100.0
BROKEN = "It was broken off, so nothing of it is kept: a whole run answers what is wanted."
OTHER_TIME = "Run for another time than the file's programme, so `layshaft check` does not use it."


@dataclass(frozen=True, slots=True)
class Answer:
    """Findings of a run, and whether it was kept."""

    findings: list[Finding]
    whole: bool
    """Whether it is the run of the file, from end to end."""

    kept: bool
    words: str = ""
    """Why it was not kept."""

    moments: Sequence[Moment] = ()

    @property
    def all_hold(self) -> bool:
        """True where nothing wanted of the run fails; of the run of the file nothing may stay unknown either."""
        return all(f.verdict == "holds" or (f.verdict == "unknown" and not self.whole) for f in self.findings)


def asked_of(machine: Machine, r: Results, *, whole: bool) -> Answer:
    """Judge a run by what is wanted of it, and keep its figures where it is that of the file, from end to end."""
    if r.broken_off:
        return Answer([], False, False, BROKEN)
    figures = figures_of(r)
    found = sorted(wanted_of_run(context(r.course.solved), RunSeen(figures)), key=lambda f: f.rank)
    if not whole:
        return Answer(found, False, False, OTHER_TIME, figures.moments)
    try:
        return Answer(found, True, keep_run(machine, figures) is not None, "", figures.moments)
    except OSError as why:
        words = f"Nothing of it is kept: {why.filename} cannot be written ({(why.strerror or str(why)).lower()})."
        return Answer(found, True, False, words, figures.moments)


def lines(answer: Answer) -> Iterator[str]:
    """The section of a run; nothing where nothing is wanted of one and it was kept."""
    if answer.findings:
        yield from ("", "WANTED OF THE RUN")
    for found in answer.findings:
        yield from finding_lines(found)
        if found.note and found.verdict == "holds":
            yield wrapped(found.note, "      ")
    yield from _beyond(answer)
    if answer.words:
        yield from ("", wrapped(answer.words, "  "))


def _beyond(answer: Answer) -> Iterator[str]:
    """Where the run goes beyond what the ratings stood on: they count it from now on."""
    if answer.moments:
        yield from ("", "BEYOND THE CASES THAT ARE RATED")
    for m in answer.moments:
        often = f"{m.beyond:.3f} times" if m.beyond < MANY else "many times"
        what = f"{', '.join(m.torque)}: up to {often} the torque" if m.torque else f"its speed: {often} that"
        yield wrapped(f"{clock(m.time)} after the start, {what} of the peaks that are solved.", "    ", "  ")
    if answer.moments and answer.kept:
        yield wrapped("`layshaft check` rates every part for these moments too while the machine is the same.", "  ")


def as_dict(answer: Answer) -> dict[str, Any]:
    """The same as plain data."""
    beyond = [{"time": number(m.time), "stages": list(m.torque), "ratio": number(m.beyond)} for m in answer.moments]
    return {"wanted": [finding_dict(f) for f in answer.findings], "beyond": beyond, "kept": answer.kept}
