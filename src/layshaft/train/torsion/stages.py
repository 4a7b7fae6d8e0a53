"""How stiff each stage is against twist, seen at its first shaft, and what wheels on its seats weigh in.

Told apart by kind here and nowhere else. What no figure is known for is said by name: a stage that
gives way by its nature is unknown then, one that hardly does is taken as rigid.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.kinds import (
    BevelPair,
    Coupling,
    CouplingPart,
    GearPair,
    RollerChain,
    Stage,
    SynchronousBelt,
    VBelt,
)
from layshaft.machine.model import Machine
from layshaft.mechanics import inertia, torsion
from layshaft.train.forces import STEEL_DENSITY
from layshaft.train.sizes import belt_diameters, chain_size, own_part
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import centre_distance, gear_sizes
from layshaft.train.stiffness import strand_stiffness

NAN = float("nan")
MESH = 20e9
"""Mesh stiffness of steel gears for a width of tooth, N/m2: 20 N/(mm um), ISO 6336-1 method C, from memory."""


@dataclass(frozen=True, slots=True)
class Joint:
    """Stiffness of a stage seen at its first shaft, infinite where taken as rigid, NaN where not known.

    `why` says where it comes from, or what is lacking; `zeta` is its own damping ratio, NaN if not stated.
    """

    stiffness: float
    why: str
    zeta: float = NAN


def joint(machine: Machine, stage: Stage, rigid: bool = False) -> Joint:
    """One stage; `rigid`: the builder asks to take it so."""
    if rigid:
        return Joint(np.inf, "taken as rigid as asked")
    if stage.torsional_stiffness.known:
        return Joint(float(np.mean(stage.torsional_stiffness.value)), "as stated", _stated_loss(machine, stage))
    if isinstance(stage, RollerChain):
        return _chain(machine, stage)
    if isinstance(stage, Coupling):
        return _coupling(machine, stage)
    if isinstance(stage, (GearPair, BevelPair)):
        return _mesh(stage)
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return Joint(NAN, f"{stage.path}.torsional stiffness: lists of belts do not give it")
    return Joint(np.inf, "taken as rigid")


def _chain(machine: Machine, stage: RollerChain) -> Joint:
    k = float(torsion.strand_on_wheel(_mean(strand_stiffness(machine, stage)), sprocket_radius(machine, stage, 0)))
    if np.isfinite(k):
        return Joint(k, "stiffness of its strand, stated" if stage.stiffness.known else
                     "stretch of a strand at an eighth of its breaking load")
    if chain_size(machine, stage.chain) is None:
        return Joint(NAN, f"{stage.path}.chain")
    if not np.isfinite(centre_distance(machine, stage)) and not stage.stiffness.known:
        return Joint(NAN, f"{stage.path}.centres, or its stiffness")
    return Joint(NAN, f"{stage.path}.teeth")


def _coupling(machine: Machine, stage: Coupling) -> Joint:
    part = own_part(machine, stage.listing)
    if not isinstance(part, CouplingPart):
        return Joint(NAN, f"{stage.path}.listing")
    if not part.stiffness.known:
        return Joint(NAN, f"{part.path}.stiffness")
    return Joint(_mean(part.stiffness.value), "as listed", _stated_loss(machine, stage))


def _stated_loss(machine: Machine, stage: Stage) -> float:
    part = own_part(machine, stage.listing) if isinstance(stage, Coupling) else None
    if isinstance(part, CouplingPart) and part.relative_damping.known:
        return float(torsion.damping_ratio(_mean(part.relative_damping.value)))
    return NAN


def _mesh(stage: GearPair | BevelPair) -> Joint:
    k = float(torsion.mesh_stiffness(MESH, stage.face.nominal, base_radius(stage)))
    return Joint(k, "mesh stiffness of ISO 6336-1, from memory") if np.isfinite(k) else \
        Joint(NAN, f"{stage.path}.face, its module, teeth or pressure angle")


def base_radius(stage: GearPair | BevelPair) -> float:
    """Base radius of the first gear, of bevels in the middle of the face."""
    if isinstance(stage, GearPair):
        sizes = gear_sizes(stage)
        return float(abs(sizes.r[0]) * np.cos(sizes.alpha_wt))
    return float(_bevel_middle(stage, 0) / 2 * np.cos(stage.pressure_angle.nominal))


def _bevel_middle(stage: BevelPair, i: int) -> float:
    """Pitch diameter in the middle of the face: half a face's width nearer to the apex, along the cone."""
    z = stage.teeth[i].nominal, stage.teeth[1 - i].nominal
    return float(stage.normal_module.nominal * z[0] - stage.face.nominal * z[0] / np.hypot(*z))


def wheel_inertia(machine: Machine, stage: Stage, i: int) -> float:
    """Inertia of the first (0) or second (1) wheel of a stage; NaN where the file does not say how it is shaped.

    By the mass stated for its seat, else as wide as its teeth: a full disc at its pitch circle, an upper bound.
    """
    d, b = _disc(machine, stage, i)
    seat = machine.shafts[(stage.from_, stage.to)[i]].seats.get(stage.seats[i])
    m = _mean(seat.mass.value) if seat is not None and seat.mass.known else \
        inertia.mass(STEEL_DENSITY, inertia.ring_volume(d, 0.0, b))
    return float(inertia.ring(m, d, 0.0))


def _disc(machine: Machine, stage: Stage, i: int) -> tuple[float, float]:
    """Pitch diameter and width of a wheel's toothed disc."""
    if isinstance(stage, RollerChain):
        size = chain_size(machine, stage.chain)
        return 2 * sprocket_radius(machine, stage, i), NAN if size is None else float(size.inner_width)
    if isinstance(stage, GearPair):
        ring = stage.internal and stage.teeth[i].nominal > stage.teeth[1 - i].nominal
        return (NAN, NAN) if ring else (2 * abs(gear_sizes(stage).r[i]), stage.face.nominal)
    if isinstance(stage, BevelPair):
        return _bevel_middle(stage, i), stage.face.nominal
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return belt_diameters(machine, stage)[i], NAN
    return NAN, NAN


def _mean(value: Any) -> float:
    return float(np.mean(value))
