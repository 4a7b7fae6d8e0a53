"""How a drawing looks at a machine: in which case, with which quantity on it, what is held fast, what moved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from layshaft.faces.pages.format import Format
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.train.cases import HELD
from layshaft.train.solve import Solved
from layshaft.verdict.jam import Jam, jams
from layshaft.verdict.next_step import place_in_list, seen_to_first
from layshaft.verdict.rate import Verdict

NOTHING = 1e-9


@dataclass(slots=True)
class Look:
    """`case` is a column of the solution; None shows the running machine, and what stands then as it is wound."""

    verdict: Verdict | None = None
    case: int | None = None
    quantity: str = ""
    held: str = ""
    moved: frozenset[str] = frozenset()
    link: Callable[[str], str] | None = None
    """Address of a part by its path, where a click opens it."""

    only: str = ""
    """The view that is wanted; all of them where none is named."""

    format: Format = field(default_factory=Format)
    jam: Jam | None = None
    tightest: dict[str, Finding] = field(default_factory=dict)
    """Of every part by its path the finding to see to first."""


def look(verdict: Verdict, *, case: str = "", quantity: str = "", held: str = "",
         moved: frozenset[str] = frozenset(), link: Callable[[str], str] | None = None, only: str = "",
         form: Format | None = None) -> Look:
    """Settle what is asked. `case` is the title of a case; holding a shaft fast is a case of its own."""
    found = Look(verdict, None, quantity, held, moved, link, only, form or Format())
    if held:
        found.jam = next((j for j in jams(verdict) if j.shaft == held and j.still), None)
        if found.jam is None:
            raise BadInput(f"{held} cannot be held fast: it is no shaft of this machine that something drives. "
                           f"Choose one of {', '.join(_driven(verdict))}.")
        case = f"{HELD} at {held}"
    if case:
        titles = [c.title for c in verdict.solved.columns]
        if case not in titles:
            raise BadInput(f"This machine has no case '{case}'. It has: {'; '.join(titles)}.")
        found.case = titles.index(case)
    for f in seen_to_first(verdict.findings):
        found.tightest.setdefault(f.part, f)
    return found


def _driven(verdict: Verdict) -> list[str]:
    return [j.shaft for j in jams(verdict) if j.still]


def carries(of: Look, solved: Solved, stage: str) -> bool:
    """True where a stage passes torque on while a shaft is held fast."""
    if of.jam is None or of.case is None:
        return False
    torque = solved.stage_torque.get(stage)
    return torque is not None and bool(np.abs(torque[0][of.case]).max() > NOTHING) and any(
        p.stage == stage for p in of.jam.path)


def seats_worst(of: Look, path: str) -> Finding | None:
    """The worst finding of bearings, keys and hubs on one shaft."""
    found = [f for part, f in of.tightest.items() if part.startswith(f"{path}.seats.")]
    return min(found, key=place_in_list, default=None)
