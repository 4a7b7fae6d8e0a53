"""The sizes next to the one a part has, each put into the machine and rated by the same `rate()`.

The series, and what judges it, are those of the search for open parts; here the part is not open, and
its own size stands among the others. The train is taken as solved: what else a size changes, a solve says.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from layshaft.listings.tables import table
from layshaft.machine import paths
from layshaft.machine.kinds import (
    PARTS,
    Coupling,
    FallingWeight,
    Flywheel,
    GearPair,
    OneWayHub,
    RollerChain,
    SetScrews,
    Suspended,
    TaperClamp,
    VBelt,
)
from layshaft.machine.kinds.brakes import Brake
from layshaft.machine.kinds.stages import SynchronousBelt
from layshaft.machine.model import Shaft
from layshaft.machine.schema import Choice, Given
from layshaft.verdict import candidates, steps, stock
from layshaft.verdict.candidates import Search
from layshaft.verdict.context import Context
from layshaft.verdict.kinds import couplings, one_way_hubs
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import Candidate, Tried, tried

TO_MEASURE = "it is made to measure, and no list or series of its sizes is known; try another value among its givens"
REACH = 4
"""Sizes looked at on either side of the one there is."""
MILLI = 1e-3
NO_SERIES = TO_MEASURE


@dataclass(slots=True)
class Ladder:
    """Sizes from small to large, and which of them the part has; `cannot` says why there are none."""

    path: str
    tried: list[Tried] = field(default_factory=list)
    now: int = -1
    cannot: str = ""
    note: str = ""

    @property
    def down(self) -> Tried | None:
        """The next size down."""
        return self.tried[self.now - 1] if self.now > 0 else None

    @property
    def up(self) -> Tried | None:
        """The next size up."""
        return self.tried[self.now + 1] if 0 <= self.now < len(self.tried) - 1 else None


def ladder(verdict: Verdict, path: str) -> Ladder:
    """The sizes about the one a part has."""
    c = verdict.context
    found = series(c, path)
    if found.cannot or not found.candidates:
        return Ladder(path, cannot=found.cannot or NO_SERIES)
    now = next((i for i, k in enumerate(found.candidates) if is_there(c, k)), -1)
    if now < 0:
        return Ladder(path, _about_what_holds(c, found), note=found.note)
    first = max(now - REACH, 0)
    near = found.candidates[first:first + 2 * REACH + 1]
    return Ladder(path, tried(c, near, found.gather, found.keep, found.inside), now - first, note=found.note)


def _about_what_holds(c: Context, search: Search) -> list[Tried]:
    """Of a part that has no size of the series: those about the smallest that holds, or from the smallest on."""
    every = tried(c, search.candidates, search.gather, search.keep, search.inside)
    middle = next((i for i, t in enumerate(every) if t.holds and t.answers), REACH)
    first = max(min(middle - REACH, len(every) - 2 * REACH - 1), 0)
    return every[first:first + 2 * REACH + 1]


def series(c: Context, path: str, *, wide: bool = False) -> Search:
    """All sizes a part could have, from small to large, or why none can be tried.

    Where `wide`, those of other kinds of wire, rope, section and bush too.
    """
    words = path.split(".")
    found = _LOOK[words[0]](c, words, wide) if words[0] in _LOOK and len(words) > 1 else None
    return found if found is not None else Search(cannot=NO_SERIES)


def is_there(c: Context, candidate: Candidate) -> bool:
    """Whether the machine has just these sizes."""
    for path, value in candidate.sets.items():
        where = paths.split(path)
        assert where is not None
        there = paths.in_model(c.machine, where)
        if isinstance(there, Choice) and there.name.casefold() != str(value).casefold():
            return False
        if isinstance(there, Given) and not abs(there.nominal - float(value)) <= 1e-9 * abs(float(value)):
            return False
    return True


def _opened(thing: Any, *fields: str) -> Any:
    """A stage or drive with some of its sizes open, so that a search asks for them."""
    return replace(thing, **{name: replace(getattr(thing, name), state="open") for name in fields})


# What stands where -------------------------------------------------------------------------------


def _stage(c: Context, words: list[str], wide: bool) -> Search | None:
    stage = c.machine.stages.get(words[1])
    if stage is None or len(words) > 2:
        return None
    if isinstance(stage, RollerChain) and stage.chain.known:
        return candidates.chain_search(c, _opened(stage, "chain"))
    if isinstance(stage, GearPair) and stage.normal_module.known and stage.face.known:
        return candidates.gear_search(c, replace(stage, normal_module=replace(
            stage.normal_module, state="open", value=float("nan"))))
    if isinstance(stage, SynchronousBelt | VBelt) and stage.belt.known:
        return candidates.belt_search(stage)
    if isinstance(stage, Coupling | OneWayHub):
        gather = couplings.block if isinstance(stage, Coupling) else None
        return _own_parts(c, stage.listing, "coupling" if gather else "one-way hub",
                          (lambda k: [couplings.block(k)]) if gather else one_way_hubs.blocks, stage.path)
    return steps.of_stage(c, stage, wide=wide)


def _load(c: Context, words: list[str], wide: bool) -> Search | None:
    load = c.machine.loads.get(words[1])
    if len(words) > 2:
        return None
    return steps.of_brake(c, load) if isinstance(load, Brake) else (
        stock.of_flywheel(c, load, wide=wide) if isinstance(load, Flywheel) else None)


def _spring(c: Context, words: list[str], wide: bool) -> Search | None:
    spring = (c.machine.springs or {}).get(words[1])
    return stock.of_spring(c, spring, wide=wide) if spring is not None and len(words) == 2 else None


def _fixing(c: Context, words: list[str], _: bool) -> Search | None:
    fixing = (c.machine.fixings or {}).get(words[1])
    return stock.of_fixing(c, fixing) if fixing is not None and len(words) == 2 else None


def _member(c: Context, words: list[str], wide: bool) -> Search | None:
    member = (c.machine.frames or {}).get(words[1])
    return stock.of_member(c, member, wide=wide) if member is not None and len(words) == 2 else None


def _own_parts(c: Context, choice: Choice, what: str, gather: Callable[[Context], Any], path: str) -> Search:
    """The file's own listings of a kind, by the torque they carry."""
    kind: Any = PARTS[what]
    torque = "steady_torque" if what == "coupling" else "torque"
    listed = sorted((p for p in (c.machine.parts or {}).values() if isinstance(p, kind)),
                    key=lambda p: getattr(p, torque).nominal)
    cannot = "" if len(listed) > 1 else f"the file lists no other {what} under `parts`, and no list of them ships"
    return Search([Candidate(p.name, {choice.path: p.name}) for p in listed], gather,
                  lambda part: part.path == path, cannot=cannot)


def _on_shaft(c: Context, words: list[str], wide: bool) -> Search | None:
    shaft = c.machine.shafts.get(words[1])
    if shaft is None:
        return None
    if len(words) == 2:
        return _bars(shaft)
    seat = words[3] if len(words) > 3 else ""
    if seat not in shaft.seats:
        return None
    what = words[4] if len(words) > 4 else ""
    if what == "bearing" and shaft.seats[seat].bearing.known:
        return candidates.bearing_search(shaft, seat, {})
    if what == "key" and shaft.seats[seat].key_size.known:
        return candidates.key_search(shaft, seat, {})
    if what == "hub" and isinstance(shaft.seats[seat].hub, SetScrews | TaperClamp):
        return candidates.hub_search(shaft, seat, {})
    if what == "bush" and shaft.seats[seat].rubs:
        return stock.of_bush(c, shaft, shaft.seats[seat], wide=wide)
    return None


def _bars(shaft: Shaft) -> Search:
    """All steps of a shaft one and more bars of the stock list thinner or thicker."""
    bars = [row.number("d_mm", MILLI) for row in table("bar_diameters").rows]
    turned = [d for d, _ in shaft.sections]
    if not all(d.known for d in turned):
        return Search(cannot="a step of the shaft is open")
    places = [min(range(len(bars)), key=lambda i, d=d: abs(bars[i] - d.nominal)) for d in turned]  # type: ignore[misc]
    found = Search(gather=candidates.of_shafts, inside=lambda m: replace(m, shafts={shaft.name: m.shafts[shaft.name]}),
                   note="Bearings, keys and hubs keep their size here: they must be chosen anew for another bar.")
    for move in range(-REACH, REACH + 1):
        moved = [i + move for i in places]
        if 0 <= min(moved) and max(moved) < len(bars):
            sets: dict[str, float | str] = {d.path: d.nominal if move == 0 else bars[i]
                                            for d, i in zip(turned, moved, strict=True)}
            sizes = " / ".join(f"{v / MILLI:g}" for v in dict.fromkeys(float(v) for v in sets.values()))
            found.candidates.append(Candidate(f"{sizes} mm bar", sets))
    return found


def _drive(c: Context, words: list[str], wide: bool) -> Search | None:
    drive = c.machine.drives.get(words[1])
    if not isinstance(drive, Suspended):
        return None
    if len(words) > 2:
        return Search(cannot=f"its chain is chosen for the whole of drives.{drive.name}")
    if drive.chain.state != "missing":  # type: ignore[attr-defined]
        return candidates.weight_search(_opened(drive, "chain"))
    if isinstance(drive, FallingWeight) and drive.suspension.state != "missing":
        return stock.of_rope(c, drive, wide=wide)
    return None


_LOOK: dict[str, Callable[[Context, list[str], bool], Search | None]] = {
    "stages": _stage, "shafts": _on_shaft, "drives": _drive, "loads": _load, "springs": _spring, "fixings": _fixing,
    "frames": _member,
}
