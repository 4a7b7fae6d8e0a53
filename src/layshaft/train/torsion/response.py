"""What the pulses do to the elastic machine in its steady running: torque through every stage and length of shaft.

Each train of lifts is taken at the mean speed as torques held through the lift and between lifts, a torque by
angle as the pieces a run takes; the repeating answer of every mode is exact. Several trains add by their
largest, whichever way they fall.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from layshaft.machine.kinds import PERIODIC, BevelPair, DogClutch, GearPair, Load, RollerChain, Suspended, Worm
from layshaft.train.by_angle import pieces_of, repeats
from layshaft.train.torsion.damping import Damping
from layshaft.train.torsion.modes import Array, Modes
from layshaft.train.torsion.network import Network, Spring, node_of
from layshaft.train.torsion.periodic import repeating, within

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

SAMPLES, LEAST_SAMPLES = 1500, 30
EARLY = 0.05
"""First moment looked at after an edge, over the time of a radian of the quickest mode."""

SLACK = (RollerChain, GearPair, BevelPair, Worm, DogClutch)


@dataclass(frozen=True, slots=True)
class Swing:
    """Torque through a part, at its own (first) shaft: the mean of the case, and how far below and above it swings.

    `mean` counts from the first to the second end along the motion, NaN where it is not known.
    `opens`: its torque changes sign, so what it has of backlash or slack opens. None where there is none.
    """

    part: str
    mean: float
    below: float
    above: float
    opens: bool | None

    @property
    def reach(self) -> float:
        """Larger of both swings."""
        return max(self.below, self.above)


def swings(solved: Solved, net: Network, modes: Modes, damped: Damping, case: int) -> list[Swing]:
    """Every stage, length of shaft and suspension; empty where no pulses act."""
    trains = [load for load in solved.machine.loads.values()
              if isinstance(load, PERIODIC) and load.shaft in net.set.ratio
              and np.abs(solved.speed[load.shaft][case]).mean() > 0 and load.name not in solved.columns[case].off]
    if not trains:
        return []
    low, high = np.zeros(len(net.springs)), np.zeros(len(net.springs))
    for load in trains:
        torque = spring_torques(solved, net, modes, damped, case, load)
        low, high = low + torque.min(axis=0), high + torque.max(axis=0)
    return [_swing(solved, net, case, spring, low[i], high[i]) for i, spring in enumerate(net.springs)]


def spring_torques(solved: Solved, net: Network, modes: Modes, damped: Damping, case: int, load: Load) -> Array:
    """Torque swing in every spring through one pitch of a load, seen at the root, (times, springs)."""
    omega = float(np.abs(solved.speed[load.shaft][case]).mean())
    pieces = pieces_of(solved.machine, load)
    spans = np.diff([*pieces.starts, 2 * np.pi / repeats(load)]) / omega
    torques = np.array(pieces.torques) * abs(net.set.ratio[load.shaft])
    swing = torques - np.sum(torques * spans) / np.sum(spans)
    sense = 1.0 if float(solved.speed[net.set.root][case].mean()) >= 0 else -1.0
    at = modes.shapes[node_of(net, (load.shaft, load.seat))]
    return cycle(modes, damped, spans, -sense * swing[:, None] * at)


def cycle(modes: Modes, damped: Damping, spans: Array, forces: Array) -> Array:
    """Torque in every spring over a repeating cycle of held modal forces, (times, springs)."""
    starts = repeating(modes.omega, damped.rate, spans, forces)
    first = EARLY / max(float(modes.omega.max()), 1e-9)
    pull = (modes.stiffness[:, None] * modes.twists)[:, modes.rigid:]
    found, samples = [], max(2 * SAMPLES // len(spans), LEAST_SAMPLES)
    for span, start, force in zip(spans, starts, forces, strict=True):
        early = np.geomspace(min(first, span / 2), span, samples) if span > 0 else np.zeros(1)
        times = np.unique(np.concatenate([[0.0], early, np.linspace(0.0, span, samples)]))
        states = within(modes.omega, damped.rate, start, force, times)
        found.append(states[:, modes.rigid:, 0] @ pull.T)
    return np.concatenate(found)


def _swing(solved: Solved, net: Network, case: int, spring: Spring, low: float, high: float) -> Swing:
    sense = 1.0 if float(solved.speed[net.set.root][case].mean()) >= 0 else -1.0
    mean = _mean(solved, net, case, spring) * sense
    low, high = sorted((low * sense, high * sense))
    own = abs(spring.ratio)
    thing = _thing(solved, spring)
    opens = None
    if isinstance(thing, (*SLACK, Suspended)):
        opens = bool((mean + low) * (mean + high) <= 0) if np.isfinite(mean) else None
    return Swing(spring.part, mean / own, -low / own, high / own, opens)


def _thing(solved: Solved, spring: Spring) -> object:
    group, name = spring.part.split(",")[0].split(".", 1)
    return {"stages": solved.machine.stages, "drives": solved.machine.drives}.get(group, {}).get(name)


def _mean(solved: Solved, net: Network, case: int, spring: Spring) -> float:
    """Mean torque from a spring's first to its second node, along positive twist, seen at the root."""
    thing = _thing(solved, spring)
    if isinstance(thing, Suspended):
        return -_at_seat(solved, thing.shaft, thing.seat, case) * spring.ratio
    if thing is not None:
        return -float(np.mean(solved.stage_torque[spring.part.split(".", 1)[1]][0][case])) * spring.ratio
    shaft, seat = net.nodes[spring.nodes[0]]
    seats = solved.machine.shafts[shaft].seats
    before = [name for name, s in seats.items() if s.at.nominal <= seats[seat].at.nominal]
    return sum(_at_seat(solved, shaft, name, case) for name in before) * spring.ratio


def _at_seat(solved: Solved, shaft: str, seat: str, case: int) -> float:
    torque = solved.seat_torque[shaft].get(seat)
    return 0.0 if torque is None else float(np.mean(torque[case]))
