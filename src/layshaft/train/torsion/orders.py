"""What shakes a train, how often, which natural frequencies it comes near, and what of it can be heard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import (
    PERIODIC,
    BevelPair,
    Coupling,
    GearPair,
    Pedals,
    Pulses,
    Ratchet,
    RollerChain,
    Stage,
    SynchronousBelt,
    UniversalJoint,
    Worm,
)
from layshaft.mechanics import torsion
from layshaft.train import sources
from layshaft.train.by_angle import repeats
from layshaft.train.torsion.damping import Damping
from layshaft.train.torsion.modes import Array, Modes
from layshaft.train.torsion.network import Network, node_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

NEAR = 0.20
"""Share of a natural frequency within which a shaking counts as near: common practice, 10 to 20 %."""

NOTABLE = 0.01
"""Share of the give at the shaken place below which a mode is hardly reached from there."""

HARMONICS = {"turning": 1, "out of line": 1, "bent joint": 1, "treads": 2, "teeth": 2, "links": 2, "belt teeth": 2,
             "lifts": 12, "clicks": 1}
HEARD = {"teeth", "links", "belt teeth", "clicks"}
HEARING = 20 * 2 * np.pi, 20e3 * 2 * np.pi
"""What people hear, rad/s."""


@dataclass(frozen=True, slots=True)
class Shaking:
    """Something that comes `order` times in a turn of a shaft; `part` is where it acts, `omega` its frequency.

    `torque` is that of a lift and `share` the part of the time it lifts, NaN for what has none.
    """

    name: str
    kind: str
    part: str
    shaft: str
    order: float
    omega: float
    torque: float = float("nan")
    share: float = float("nan")


@dataclass(frozen=True, slots=True)
class Meeting:
    """A harmonic of a shaking near a natural frequency: their ratio, the gain there and the speed where they meet.

    `reach` is the share of the give at the shaken place that is this mode's.
    """

    shaking: Shaking
    harmonic: int
    mode: int
    ratio: float
    gain: float
    critical: float
    reach: float


def shakings(solved: Solved, net: Network, case: int) -> list[Shaking]:
    """All that is known to shake a set in a case, quickest last."""
    found = [*_of_shafts(solved, net), *_of_stages(solved, net), *_of_loads(solved, net)]
    timed = []
    for name, kind, part, shaft, order, torque, share in found:
        omega = float(np.abs(solved.speed[shaft][case]).mean())
        if omega * order > 0:
            timed.append(Shaking(name, kind, part, shaft, order, float(torsion.order_frequency(omega, order)), torque,
                                 share))
    return sorted(timed, key=lambda s: s.omega)


Row = tuple[str, str, str, str, float, float, float]
NONE = float("nan")


def _of_shafts(solved: Solved, net: Network) -> Iterator[Row]:
    for shaft in net.set.shafts:
        yield f"{shaft}, turning", "turning", f"shafts.{shaft}", shaft, 1.0, NONE, NONE
    for drive in solved.machine.drives.values():
        if isinstance(drive, Pedals) and drive.shaft in net.set.ratio:
            yield f"{drive.name}, treads", "treads", f"shafts.{drive.shaft}", drive.shaft, 2.0, NONE, NONE


def _of_stages(solved: Solved, net: Network) -> Iterator[Row]:
    for stage in solved.machine.stages.values():
        if stage.from_ in net.set.ratio:
            kind, order = _meets(stage)
            if kind and np.isfinite(order):
                yield f"{stage.name}, {kind}", kind, stage.path, stage.from_, order, NONE, NONE


def _meets(stage: Stage) -> tuple[str, float]:
    """What comes how often in a turn of the first shaft."""
    if isinstance(stage, RollerChain):
        return "links", stage.teeth[0].nominal
    if isinstance(stage, (GearPair, BevelPair)):
        return "teeth", stage.teeth[0].nominal
    if isinstance(stage, SynchronousBelt):
        return "belt teeth", stage.teeth[0].nominal
    if isinstance(stage, Worm):
        return "teeth", stage.starts.nominal
    if isinstance(stage, Coupling):
        return "out of line", 2.0
    if isinstance(stage, UniversalJoint) and not stage.double:
        return "bent joint", 2.0
    if isinstance(stage, Ratchet) and stage.to == "frame":
        return "clicks", stage.teeth.nominal * (stage.pawls.nominal if stage.pawls.known else 1.0)
    return "", NONE


def _of_loads(solved: Solved, net: Network) -> Iterator[Row]:
    for load in solved.machine.loads.values():
        if isinstance(load, Pulses) and load.shaft in net.set.ratio:
            torque = float(np.mean(sources.resisting_torque(solved.machine, load, "lifts")))
            share = load.over.nominal * load.per_turn.nominal / (2 * np.pi)
            yield f"{load.name}, lifts", "lifts", load.path, load.shaft, load.per_turn.nominal, torque, share
        elif isinstance(load, PERIODIC) and load.shaft in net.set.ratio:
            yield f"{load.name}, by angle", "lifts", load.path, load.shaft, repeats(load), NONE, NONE


# Near misses -----------------------------------------------------------------------------------


def meetings(solved: Solved, net: Network, modes: Modes, damped: Damping, found: list[Shaking],
             near: float = NEAR) -> list[Meeting]:
    """Every harmonic within a share of a natural frequency, the nearest first. Harmonics that vanish are left out."""
    give = _give(modes)
    close = []
    for shaking in found:
        reached = _reached(solved, net, modes, give, shaking)
        for h in range(1, HARMONICS[shaking.kind] + 1):
            if _vanishes(shaking, h):
                continue
            for m in range(modes.rigid, len(modes.omega)):
                ratio = h * shaking.omega / modes.omega[m]
                if abs(ratio - 1) <= near:
                    close.append(Meeting(
                        shaking, h, m, float(ratio), float(torsion.gain(ratio, damped.zeta[m])),
                        float(torsion.critical_turning_speed(modes.omega[m], h * shaking.order)), float(reached[m])))
    return sorted(close, key=lambda c: abs(c.ratio - 1))


def _vanishes(shaking: Shaking, harmonic: int) -> bool:
    if not np.isfinite(shaking.torque):
        return False
    return float(torsion.lift_harmonic(1.0, shaking.share, float(harmonic))) < NOTABLE


def _give(modes: Modes) -> Array:
    """Share of each mode in how far each node gives way to a steady torque, (nodes, modes)."""
    elastic = modes.omega > 0
    each = np.where(elastic, modes.shapes**2 / np.where(elastic, modes.omega, 1.0) ** 2, 0.0)
    total = each.sum(axis=1, keepdims=True)
    return np.asarray(each / np.where(total > 0, total, 1.0))


def _reached(solved: Solved, net: Network, modes: Modes, give: Array, shaking: Shaking) -> Array:
    """By mode: a stage shakes by errors across it, which reach a mode by its share of the strain there."""
    springs = [i for i, s in enumerate(net.springs) if s.part == shaking.part]
    if springs:
        return np.asarray(modes.strain_shares[springs].max(axis=0))
    thing: Any = None
    if shaking.part.startswith("stages."):
        thing = solved.machine.stages[shaking.part.split(".", 1)[1]]
        nodes = [node_of(net, (thing.from_, thing.seats[0]))]
    elif shaking.part.startswith("loads."):
        thing = solved.machine.loads[shaking.part.split(".", 1)[1]]
        nodes = [node_of(net, (thing.shaft, thing.seat))]
    else:
        nodes = [i for i, (shaft, _) in enumerate(net.nodes) if shaft == shaking.shaft]
    return np.asarray(give[nodes].max(axis=0))


def heard(found: list[Shaking]) -> list[Shaking]:
    """Teeth, links and clicks within the range of hearing."""
    return [s for s in found if s.kind in HEARD and HEARING[0] <= s.omega <= HEARING[1]]
