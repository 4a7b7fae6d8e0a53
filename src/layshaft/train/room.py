"""The room each kind of thing takes at its seat, as far as the file tells it, and the most it is taken for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from layshaft.elements import flywheel, ratchet
from layshaft.elements.belt import outline as belts
from layshaft.elements.bevel_pair import outline as bevels
from layshaft.elements.gear_pair import geometry
from layshaft.elements.gear_pair import outline as gears
from layshaft.elements.roller_chain import outline as chains
from layshaft.elements.worm_pair import outline as worms
from layshaft.listings.tables import table
from layshaft.machine.kinds import (
    BevelPair,
    Bodied,
    Brake,
    Coupling,
    CouplingPart,
    Crank,
    DiscBrake,
    FanBrake,
    Flywheel,
    GearPair,
    Joining,
    Motor,
    OneWayHub,
    OneWayHubPart,
    Ratchet,
    RollerChain,
    SynchronousBelt,
    Turntable,
    UniversalJoint,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.mechanics.outlines import Band, Round
from layshaft.train.bodies import anatomy
from layshaft.train.sizes import belt_diameters, chain_size, own_part
from layshaft.train.stages import apex_sides, gear_sizes
from layshaft.train.worms import worm_sizes

NAN = float("nan")
Rounds = tuple[tuple[Round, ...], ...]
"""Bodies at the first seat, and at the second."""

PADS, SPREAD = 1.5, 2.0
"""The most a disc is taken for over its pads; a turntable over its track or its radius of gyration: of a full disc the
latter is 0.7 of its radius. Common practice, no single source."""


@once
def thickest(shaft: Shaft) -> float:
    """Largest diameter of a shaft; NaN while its steps are open."""
    return float(np.max([d.nominal for d, _ in shaft.sections])) if shaft.sections else NAN


def bound(kind: str, shaft: Shaft) -> tuple[float, float]:
    """Greatest radius and width of a part of that kind on a shaft; NaN where something else tells them."""
    row, d = table("room_bounds")[kind], thickest(shaft)
    return row.number("across_d") * d / 2, row.number("along_d") * d


# Stages ---------------------------------------------------------------------------------------


def stage_rounds(machine: Machine, stage: Any, apart: float) -> Rounds:
    """What sits on the two seats of a stage. `apart`: of the two axes, which no outer wheel of the two outgrows."""
    made = next(make for kind, make in STAGES.items() if isinstance(stage, kind))
    return made(machine, stage, apart)


def _pair(rounds: Sequence[Round], apart: float) -> Rounds:
    """A wheel of open size stays below the distance of its axis from that of its mate, less what the mate takes."""
    told = [r.radius if np.isfinite(r.radius) else 0.0 for r in rounds]
    return tuple((r if np.isfinite(r.radius) else Round(NAN, r.width, most=(apart - mate, NAN)),)
                 for r, mate in zip(rounds, reversed(told), strict=True))


def _chain(machine: Machine, stage: RollerChain, apart: float) -> Rounds:
    size = chain_size(machine, stage.chain)
    return _pair([chains.wheel(size, z.nominal) if size else Round(NAN, NAN) for z in stage.teeth], apart)


def _belt(machine: Machine, stage: SynchronousBelt | VBelt, apart: float) -> Rounds:
    width = (stage.width if isinstance(stage, SynchronousBelt) else stage.pulley_width).nominal
    return _pair([belts.pulley(d, width) for d in belt_diameters(machine, stage)], apart)


@once
def _gears(stage: GearPair) -> tuple[Round, Round]:
    """Both gears to their tips, shortened where the shifts ask for it."""
    s, m = gear_sizes(stage), stage.normal_module.nominal
    m_t = float(geometry.transverse_module(m, stage.helix.nominal if stage.helix.known else 0.0))
    d = [float(geometry.reference_diameter(z.nominal, m_t)) for z in stage.teeth]
    if stage.internal:
        larger = 0 if d[0] > d[1] else 1
        kinds = [gears.ring if i == larger else gears.gear for i in (0, 1)]
        first, second = (kinds[i](-d[i] if i == larger else d[i], m, s.x[i], 0.0, stage.face.nominal) for i in (0, 1))
        return first, second
    y = geometry.centre_modification(s.a, (d[0] + d[1]) / 2, m)
    k = float(geometry.tip_shortening(s.x[0], s.x[1], y))
    first, second = (gears.gear(d[i], m, s.x[i], k, stage.face.nominal) for i in (0, 1))
    return first, second


def _gear(_: Machine, stage: GearPair, apart: float) -> Rounds:
    rounds = _gears(stage)
    return tuple((r,) for r in rounds) if stage.internal else _pair(rounds, apart)


@once
def _cones(stage: BevelPair) -> Rounds:
    z, sides = [t.nominal for t in stage.teeth], apex_sides(stage)
    return tuple(bevels.gear(z[i], z[1 - i], stage.normal_module.nominal, stage.face.nominal, -sides[i])
                 for i in (0, 1))


def _worm(_: Machine, stage: Worm, apart: float) -> Rounds:
    sizes, m = worm_sizes(stage), stage.axial_module.nominal
    rounds = (worms.worm(sizes.d_1, m, stage.wheel_teeth.nominal),
              worms.wheel(sizes.d_2, m, sizes.x, stage.face.nominal))
    return _pair(rounds, apart)


def _ratchet(machine: Machine, stage: Ratchet, _: float) -> Rounds:
    told = ratchet.outline(stage.diameter.nominal, stage.face.nominal)
    return ((Round(told.radius, told.width, most=bound("ratchet", machine.shafts[stage.from_])),),)


def _joining(machine: Machine, stage: Joining, _: float) -> Rounds:
    """A coupling or clutch: as the file says, else as its listing, at least its linings; half-way between its seats."""
    part = own_part(machine, stage.listing) if isinstance(stage, Coupling | OneWayHub) else None
    listed = part if isinstance(part, CouplingPart | OneWayHubPart) else None
    kind = ("coupling" if isinstance(stage, Coupling) else "universal joint" if isinstance(stage, UniversalJoint)
            else "one-way hub" if isinstance(stage, OneWayHub) else "clutch")
    across = _told(stage.outside_diameter, listed.outside if listed else None)
    along = _told(stage.length, listed.length if listed else None)
    linings: Given | None = getattr(stage, "outer_diameter", None)
    least = linings.nominal / 2 if linings is not None and linings.known else 0.0
    return ((Round(across / 2, along, most=_at_least(bound(kind, machine.shafts[stage.from_]), least), least=least),),)


def _told(own: Given, listed: Given | None) -> float:
    return own.nominal if own.known or listed is None else listed.nominal


def _at_least(most: tuple[float, float], radius: float) -> tuple[float, float]:
    return max(most[0], PADS * radius), most[1]


STAGES: dict[type, Callable[[Machine, Any, float], Rounds]] = {
    RollerChain: _chain, SynchronousBelt: _belt, VBelt: _belt, GearPair: _gear,
    BevelPair: lambda _, stage, __: _cones(stage), Worm: _worm, Ratchet: _ratchet, Joining: _joining}
"""A new kind of stage is named here, or falls under one that is."""


def band(machine: Machine, stage: Any) -> Band | None:
    """The strand of a chain or belt; None of what has none."""
    if isinstance(stage, RollerChain):
        size = chain_size(machine, stage.chain)
        return chains.strand(size) if size else None
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return belts.strand(stage.width.nominal if isinstance(stage, SynchronousBelt) else NAN)
    return None


# Loads ----------------------------------------------------------------------------------------


def load_round(machine: Machine, load: Any) -> Round:
    """What sits on the seat of a load."""
    shaft = machine.shafts[load.shaft]
    if isinstance(load, Flywheel):
        round_ = flywheel.outline(*disc(load))
        return Round(round_.radius, round_.width, most=bound("flywheel", shaft))
    if isinstance(load, FanBrake) and not load.outside_diameter.known and any(
            size.known for size in (*load.area, load.at_radius)):
        # only the vanes: how thin their arms are is not told
        height, width = (side.nominal for side in load.area) if load.area else (NAN, NAN)
        return Round(load.at_radius.nominal + width / 2, height, hole=load.at_radius.nominal - width / 2,
                     most=bound("load", shaft))
    if isinstance(load, Brake) and not isinstance(load, DiscBrake):  # a drum
        return Round(load.drum_diameter.nominal / 2, load.width.nominal, most=bound("load", shaft))  # type: ignore[attr-defined]
    assert isinstance(load, Bodied | DiscBrake)
    least, most = _lies_within(load, bound("load", shaft))
    return Round(load.outside_diameter.nominal / 2, load.width.nominal, _shift(load), most=most, least=least)


def _shift(thing: Any) -> float:
    middle: Given | None = getattr(thing, "middle", None)
    return middle.nominal if middle is not None and middle.known else 0.0


def _lies_within(load: Any, usual: tuple[float, float]) -> tuple[float, tuple[float, float]]:
    """The radius a load has in any case, and the most it is taken for, by what else is told of it."""
    if isinstance(load, DiscBrake) and load.outer_diameter.known:
        least = load.outer_diameter.nominal / 2
        return least, (PADS * least, usual[1])
    if isinstance(load, Turntable):
        told = [size.nominal for size in (load.track_radius, load.radius_of_gyration) if size.known]
        return (max(told), (SPREAD * max(told), usual[1])) if told else (0.0, usual)
    return 0.0, usual


def disc(load: Flywheel) -> tuple[float, float]:
    """Diameter and width of a wheel: of the rim that is drawn, else of a full disc of its mass; NaN where not known."""
    rim = anatomy(load).rim
    if not load.diameter.known and rim is not None:
        return rim.outside.nominal, rim.width.nominal
    bore = load.bore.nominal if load.bore.known else 0.0
    ring = np.pi / 4 * (load.diameter.nominal**2 - bore**2)
    return load.diameter.nominal, load.mass.nominal / load.density.nominal / ring


# Drives ---------------------------------------------------------------------------------------


def drive_round(machine: Machine, drive: Any) -> Round | None:
    """The arm of a crank all round, or the body of a motor; None of a weight, whose wheel and strands stand apart."""
    if isinstance(drive, Crank):
        return Round(drive.radius.nominal, drive.arm_thickness.nominal,
                     most=(NAN, bound("arm", machine.shafts[drive.shaft])[1]))
    if isinstance(drive, Motor):
        return Round(drive.outside_diameter.nominal / 2, drive.length.nominal, _shift(drive),
                     most=bound("motor", machine.shafts[drive.shaft]))
    return None
