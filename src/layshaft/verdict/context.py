"""What every mapping needs: steels, lives, hazards, margins, words for where a demand comes from."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.machine.kinds import EndlessLoop, SteelPart
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.machine.schema import Choice
from layshaft.mechanics.materials import steel
from layshaft.trace.source import Source
from layshaft.train.runaway.freed import Freed, freed
from layshaft.train.sizes import own_part
from layshaft.train.solve import Solved, path_text
from layshaft.train.space import Space, space
from layshaft.verdict.hazards import hazards

NAN = float("nan")


@dataclass(frozen=True, slots=True)
class FromTrain(Source):
    """Origin of a number the solved train gives on one shaft."""

    shaft: str = ""


@dataclass(frozen=True, slots=True)
class Steel:
    """Strength of a steel in a bar of one diameter, its origin and the table rows it came from."""

    R_m: Any
    R_e: Any
    H_B: Any
    source: Source
    content: tuple[str, ...]


@dataclass(slots=True)
class Context:
    """The solved machine and what the mappings look up again and again."""

    solved: Solved
    at_risk: dict[str, str] = field(default_factory=dict)
    life: Any = NAN
    _steels: dict[tuple[str, str, float], Steel] = field(default_factory=dict)
    _ways: dict[str, str] = field(default_factory=dict)
    _freed: list[Freed] | None = None
    _space: Space | None = None

    @property
    def machine(self) -> Machine:
        """The machine that was solved."""
        return self.solved.machine

    @property
    def freed(self) -> list[Freed]:
        """Every weight that the loss of one element leaves with less to hold it back."""
        if self._freed is None:
            self._freed = freed(self.solved)
        return self._freed

    @property
    def space(self) -> Space:
        """Where everything stands, and what comes near to what."""
        if self._space is None:
            self._space = space(self.solved)
        return self._space

    @property
    def shafts(self) -> list[Shaft]:
        """The shafts whose forces were solved for: all of them, unless only some findings are asked."""
        return [self.machine.shafts[name] for name in self.solved.shafts]

    @property
    def stages(self) -> list[tuple[str, Any]]:
        """The stages that are asked for, by name."""
        only = self.solved.asked.stages
        return [(name, stage) for name, stage in self.machine.stages.items() if only is None or name in only]

    def hurts(self, path: str) -> str:
        """Who is at risk if that part lets go; empty if nobody."""
        return self.at_risk.get(path, "")

    def over_people(self) -> bool:
        """True where a weight hangs over or beside people."""
        return any(getattr(d, "over_people", False) for d in self.machine.drives.values())

    def from_train(self, shaft: str, what: str) -> Source:
        """Origin of a demand: the way from the drive."""
        if shaft not in self._ways:
            self._ways[shaft] = path_text(self.solved, shaft)
        return FromTrain(f"{what}, from the solved train", self._ways[shaft], "derived", shaft)

    def steel(self, choice: Choice, diameter: float) -> Steel:
        """Strength of the chosen steel; NaN while it is open or its table lacks the grade."""
        key = (choice.path, choice.name, diameter)
        if key not in self._steels:
            self._steels[key] = _steel(self.machine, choice, diameter)
        return self._steels[key]

    @property
    def life_source(self) -> Source:
        """Origin of the running time wanted."""
        return Source("runs: time x days x years, summed", obtained="given")


def context(solved: Solved) -> Context:
    """Gather once for all mappings."""
    return Context(solved, hazards(solved), wanted_life(solved.machine))


@once
def seats_in_use(machine: Machine) -> frozenset[tuple[str, str]]:
    """Shaft and seat of every stage, drive and load."""
    found = {end for s in machine.stages.values() for end in zip((s.from_, s.to), s.seats, strict=False)}
    found |= {(thing.shaft, thing.seat) for thing in (*machine.drives.values(), *(machine.loads or {}).values())}
    found |= {(d.rewound_from, d.winding_seat) for d in machine.drives.values() if isinstance(d, EndlessLoop)}
    return frozenset(found)


def wanted_life(machine: Machine) -> Any:
    """Running time of the whole life in seconds; NaN without runs."""
    runs = list(machine.runs.values()) if machine.runs else []
    if not runs:
        return NAN
    return sum(run.time.value * run.days_per_year.value * run.years.value for run in runs)


def _steel(machine: Machine, choice: Choice, diameter: float) -> Steel:
    if not choice.known:
        words = "not chosen yet" if choice.state == "open" else "not given"
        return Steel(NAN, NAN, NAN, Source(f"{choice.path}: {words}", obtained="given"), ())
    part = own_part(machine, choice)
    if isinstance(part, SteelPart):
        return Steel(part.tensile_strength.value, part.yield_strength.value, part.hardness.value,
                     part.tensile_strength.origin, (f"{part.path}|{part.read_in}",))
    return _tabulated(choice.name, diameter) or Steel(
        NAN, NAN, NAN, Source(f"{choice.path}: {choice.name} is in no table", obtained="given"), ())


@functools.lru_cache(maxsize=1000)
def _tabulated(name: str, diameter: float) -> Steel | None:
    found = steel(name, diameter)
    if found is None:
        return None
    bar = f"a bar of {diameter * 1e3:g} mm" if np.isfinite(diameter) else "a bar not chosen yet"
    place = f"{name} in {bar}, table shaft_steels"
    conditions = table("steel_conditions")[found.row.text("condition")]
    return Steel(found.R_m, found.R_e, NAN, Source(found.source.work, place, found.source.obtained),
                 (found.row.content, conditions.content))


def magnitude(a: Any, b: Any) -> Any:
    """Length of a vector from its two components."""
    return np.hypot(a, b)


def none_given(path: str, what: str) -> Source:
    """Origin of a value the file does not state and the method may take as none."""
    return Source(f"{path}: no {what} stated, taken as none", obtained="given")
