"""Every kinematic error of a machine's stages: its order, its size, and what is not stated.

Told apart by kind here and nowhere else. Of two wheels that meet, errors of one order add: wear and
mounting shift them through every phase.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements.gear_pair.fit import pair_shape
from layshaft.elements.gear_pair.meshing import total_contact_ratio
from layshaft.elements.roller_chain import free_span, lean
from layshaft.machine.kinds import (
    BevelPair,
    GearPair,
    RollerChain,
    Stage,
    SynchronousBelt,
    UniversalJoint,
    VBelt,
    Wheels,
    Worm,
)
from layshaft.machine.model import Machine
from layshaft.mechanics import transmission_error as error
from layshaft.mechanics import universal_joint
from layshaft.trace.source import KINEMATICS, Source
from layshaft.train.graph import transmits
from layshaft.train.idlers import has_idlers
from layshaft.train.sizes import belt_diameters, chain_size
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import centre_distance, gear_sizes
from layshaft.train.torsion.stages import base_radius

LINKS, TEETH, RUNOUT, CARDAN = "links", "teeth", "runout", "cardan"
KINDS = (LINKS, TEETH, RUNOUT, CARDAN)
HARMONICS = 1, 2
"""Of the links: with both, fastest and slowest lie 1.01 times as far apart as on the whole polygon."""


@dataclass(frozen=True, slots=True)
class KinematicError:
    """One order of one stage: it comes `order` times in a turn of `shaft`.

    `theta` is its amplitude as an angle of the stage's first shaft; `as_new` that of a chain with its
    sprockets in the phase they stand in before any wear, NaN where there is no such figure.
    """

    stage: str
    kind: str
    words: str
    shaft: str
    order: float
    theta: Any
    source: Source
    as_new: float = float("nan")


@dataclass(frozen=True, slots=True)
class Lacking:
    """A part whose error is not counted, and why."""

    stage: str
    words: str


Found = Iterator[KinematicError | Lacking]


def errors_of(machine: Machine, shafts: Any) -> tuple[list[KinematicError], list[Lacking]]:
    """All errors of the stages between `shafts`, and what is left out."""
    found = [e for stage in machine.stages.values() if transmits(stage) and stage.from_ in shafts
             for e in _of_stage(machine, stage)]
    return [e for e in found if isinstance(e, KinematicError)], [e for e in found if isinstance(e, Lacking)]


def _of_stage(machine: Machine, stage: Stage) -> Found:
    if isinstance(stage, RollerChain):
        yield from _links(machine, stage)
    if isinstance(stage, GearPair):
        yield from _teeth(stage)
    elif isinstance(stage, BevelPair):
        yield Lacking(stage.name, "errors of its teeth: no grade is asked of bevels")
    elif isinstance(stage, (SynchronousBelt, Worm)):
        yield Lacking(stage.name, "errors of its teeth: no formula here")
    if isinstance(stage, Wheels):
        yield from _runouts(machine, stage)
    if isinstance(stage, UniversalJoint) and not stage.double:
        yield _cardan(stage)


def _links(machine: Machine, stage: RollerChain) -> Found:
    size, r = chain_size(machine, stage.chain), sprocket_radius(machine, stage, 0)
    z = [t.nominal for t in stage.teeth]
    if size is None or not np.isfinite(r) or not np.isfinite(z).all():
        yield Lacking(stage.name, "its links: chain or teeth not chosen")
        return
    d = sorted((2 * r, 2 * sprocket_radius(machine, stage, 1)))
    a = np.nan if has_idlers(stage) else centre_distance(machine, stage)
    span = free_span(a, lean(d[0], d[1], a))
    for k in HARMONICS:
        e = [error.polygon_advance(size.pitch, teeth, float(k)) for teeth in z]
        new = error.pair_advance(e[0], e[1], span, size.pitch, float(k))
        words = "links" if k == 1 else f"links, {k} in each"
        yield KinematicError(stage.name, LINKS, words, stage.from_, k * z[0],
                             float(error.angle_error(e[0] + e[1], r)), error.POLYGON,
                             float(error.angle_error(new, r)))


def _teeth(stage: GearPair) -> Found:
    m_n, Q, z = stage.normal_module.nominal, stage.accuracy.nominal, [t.nominal for t in stage.teeth]
    if not np.isfinite([m_n, Q, *z]).all():
        yield Lacking(stage.name, "errors of its teeth: `accuracy` not stated" if np.isnan(Q) else
                      "errors of its teeth: module or teeth not chosen")
        return
    eps = _contact(stage)
    if not np.isfinite(eps):
        yield Lacking(stage.name, "errors of its teeth: the contact ratio is not known")
        return
    f = [error.tooth_to_tooth(m_n, _reference(stage, i), Q, eps) for i in range(2)]
    e = error.tooth_advance(f[0] + f[1])
    yield KinematicError(stage.name, TEETH, f"teeth of class {Q:g}", stage.from_, z[0],
                         float(error.angle_error(e, base_radius(stage))), error.ISO_1328_1)


def _reference(stage: GearPair, i: int) -> float:
    helix = stage.helix.nominal if stage.helix.known else 0.0
    return float(stage.teeth[i].nominal * stage.normal_module.nominal / np.cos(helix))


def _contact(stage: GearPair) -> float:
    sizes = gear_sizes(stage)
    z = [t.nominal for t in stage.teeth]
    order = (0, 1) if z[0] <= z[1] else (1, 0)
    small, large = z[order[0]], z[order[1]]
    face = stage.face.nominal / (2 if stage.double else 1) if stage.face.known else 0.0
    shape = pair_shape(stage.normal_module.nominal, (small, -large if stage.internal else large), face,
                       abs(sizes.helix), stage.pressure_angle.nominal,
                       (sizes.x[order[0]], sizes.x[order[1]]), sizes.a)
    return float(total_contact_ratio(shape.eps_alpha, shape.eps_beta))


def _cardan(stage: UniversalJoint) -> KinematicError | Lacking:
    """What the second shaft runs ahead of the first; a pair at equal angles undoes it."""
    theta = universal_joint.second_order(stage.angle.value)
    if not np.isfinite(np.mean(theta)):
        return Lacking(stage.name, "its cardan error: `angle` not stated")
    return KinematicError(stage.name, CARDAN, "bent joint", stage.from_, 2.0, theta, KINEMATICS)


def _arm(machine: Machine, stage: Wheels) -> float:
    """Arm at the first wheel of what runs along strand or line of action."""
    if isinstance(stage, RollerChain):
        return sprocket_radius(machine, stage, 0)
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return belt_diameters(machine, stage)[0] / 2
    assert isinstance(stage, (GearPair, BevelPair))
    return base_radius(stage)


def _runouts(machine: Machine, stage: Wheels) -> Found:
    arm, bare = _arm(machine, stage), []
    for i, shaft in enumerate((stage.from_, stage.to)):
        F_r, how, source = _stated(machine, stage, i)
        theta = error.angle_error(error.runout_advance(F_r), arm)
        if not np.isfinite(np.mean(F_r)):
            bare.append(shaft)
        elif np.isfinite(np.mean(theta)):
            yield KinematicError(stage.name, RUNOUT, f"runout on {shaft}, {how}", shaft, 1.0, theta, source)
        else:
            yield Lacking(stage.name, f"runout of its wheel on {shaft}: the size of the wheels is not known")
    if bare:
        yield Lacking(stage.name, f"runout of its wheel on {' and on '.join(bare)}: not stated")


def _stated(machine: Machine, stage: Wheels, i: int) -> tuple[Any, str, Source]:
    given = stage.runout[i]
    return (given.value, "as stated", given.origin) if given.known else _by_grade(machine, stage, i)


def _by_grade(machine: Machine, stage: Wheels, i: int) -> tuple[float, str, Source]:
    """Most that a standard lets through, where the stage names one."""
    if isinstance(stage, GearPair) and stage.accuracy.known:
        Q = stage.accuracy.nominal
        F_r = error.gear_runout(stage.normal_module.nominal, _reference(stage, i), Q)
        return float(F_r), f"limit of class {Q:g}", error.ISO_1328_2
    if isinstance(stage, RollerChain) and stage.cut_to:
        size = chain_size(machine, stage.chain)
        root = 2 * sprocket_radius(machine, stage, i) - (np.nan if size is None else size.roller_diameter)
        return float(error.sprocket_runout(root)), f"limit of {stage.cut_to}", error.ISO_606
    return float("nan"), "", error.ISO_606
