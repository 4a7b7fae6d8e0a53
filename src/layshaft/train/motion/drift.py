"""What moves the rate slowly: air that is colder or warmer, bearings whose grease warms and whose seals run in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from layshaft.machine.model import Machine
from layshaft.machine.sampling import at_nominal, doubts, ends, with_draws
from layshaft.mechanics import steadiness
from layshaft.trace.units import TEMPERATURE, shown

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

LEAST = 1e-9


@dataclass(frozen=True, slots=True)
class Drift:
    """Rate of a shaft at two ends of a slow change, over its rate as the machine stands, less 1."""

    what: str
    begins: str
    ends: str
    rate: tuple[float, float]

    @property
    def moves(self) -> bool:
        """Whether the rate feels it at all."""
        return any(abs(r) > LEAST for r in self.rate)


def drifts(solved: Solved, shaft: str) -> list[Drift]:
    """What is known to move the mean speed of a shaft slowly, as the running machine balances it."""
    from layshaft.train.solve import solve

    machine = at_nominal(solved.machine)
    level = float(np.mean(solve(machine).speed[shaft][0]))
    found = []
    for what, begins, ended, changed in (*_air(machine), *_drag(machine)):
        speeds = solve(changed).speed[shaft][0]
        first, last = (float(steadiness.rate_error(s, level)) for s in np.broadcast_to(speeds, (2,)))
        found.append(Drift(what, begins, ended, (first, last)))
    return found


def _air(machine: Machine) -> list[tuple[str, str, str, Machine]]:
    """Air at the coldest and at the warmest of the venue; what is stated counts for the middle of both."""
    venue = machine.venue
    cold, warm, air = venue.coldest, venue.warmest, venue.air_density
    if not (cold.known and warm.known and air.known):
        return []
    middle = (cold.nominal + warm.nominal) / 2
    density = steadiness.air_density(air.nominal, middle, np.array([cold.nominal, warm.nominal]))
    changed = replace(air, value=density, middle=air.nominal)
    return [("air alone", shown(cold.nominal, TEMPERATURE), shown(warm.nominal, TEMPERATURE),
             replace(machine, venue=replace(venue, air_density=changed)))]


def _drag(machine: Machine) -> list[tuple[str, str, str, Machine]]:
    """Every drag that is doubtful at its high end, as when it is cold and new, and at its low one."""
    of = {cause: np.array(ends(given))[::-1] for cause, given in doubts(machine).items() if cause.endswith(".drag")}
    return [("drag of bearings and seals", "all at their high ends", "all at their low ends",
             with_draws(machine, of))] if of else []
