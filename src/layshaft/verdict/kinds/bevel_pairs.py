"""Straight bevel pairs: torque on the pinion, cones as cut, how they are held, and how bent shafts move the mesh."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.bevel_pair import contact as contact_room
from layshaft.elements.bevel_pair import fit as fit_room
from layshaft.elements.bevel_pair import rate as room
from layshaft.listings.tables import table
from layshaft.machine.kinds import BevelPair
from layshaft.trace.source import Source
from layshaft.train.bevels import Bent, lean_along_face, shift_of_middle
from layshaft.train.stages import axis
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds import gears
from layshaft.verdict.kinds.shafts import STEADY
from layshaft.verdict.rows import Block, Part, with_required

FIT_MODES: dict[str, tuple[str, ...]] = {"contact ratio": (), "undercut": (), "face width": ()}
FIT_REQUIRED = dict.fromkeys(FIT_MODES, "S_fit")
MESH_MODES = {"slope at mesh": STEADY, "deflection at mesh": STEADY}
MESH_REQUIRED = dict.fromkeys(MESH_MODES, "S_required")
BOTH = Source("lean of two shafts together, each with the 0.5 mrad an uncrowned spur gear bears",
              "table slope_limits, row straight bevel gear", "common practice")
SQUARE = 1e-9
"""Cosine of the angle between two axes below which they cross at a right angle."""


def blocks(c: Context) -> list[Block]:
    """Strength, fit and mesh of every bevel pair."""
    rated = Block("bevel pair", room.rate, room.BevelInputs, gears.MODES, required=gears.REQUIRED)
    fit = Block("fit of bevel teeth", fit_room.rate_fit, fit_room.BevelFitInputs, FIT_MODES, required=FIT_REQUIRED)
    mesh = Block("mesh of a bevel pair", contact_room.rate_contact, contact_room.ContactInputs, MESH_MODES,
                 required=MESH_REQUIRED)
    for name, stage in c.stages:
        if isinstance(stage, BevelPair):
            rated.parts.append(_strength(c, name, stage))
            fit.parts.append(_fit(c, stage))
            mesh.parts.append(_mesh(c, name, stage))
    return [rated, fit, mesh]


def _pinion(stage: BevelPair) -> int:
    """The gear with fewer teeth, the first of two alike."""
    z = [t.nominal for t in stage.teeth]
    return 0 if not z[0] > z[1] else 1


def _as_cut(c: Context, stage: BevelPair) -> dict[str, tuple[Any, Source]]:
    """Module, teeth, face and angles."""
    pinion = _pinion(stage)
    one, two = stage.teeth[pinion], stage.teeth[1 - pinion]
    return {
        "m": (stage.normal_module.value, stage.normal_module.origin), "z_1": (one.nominal, one.origin),
        "z_2": (two.nominal, two.origin), "b": (stage.face.value, stage.face.origin),
        "alpha": (stage.pressure_angle.value, stage.pressure_angle.origin), "sigma": _angle(c, stage),
    }


def _angle(c: Context, stage: BevelPair) -> tuple[float, Source]:
    """Forces, mesh and handbooks alike are those of shafts at right angles."""
    first, second = (c.machine.shafts[name] for name in (stage.from_, stage.to))
    if abs(float(axis(first) @ axis(second))) < SQUARE:
        return np.pi / 2, Source(f"axes of {stage.from_} and {stage.to}: at right angles", obtained="given")
    return NAN, Source(f"axes of {stage.from_} and {stage.to}: not at right angles, and no other is rated",
                       obtained="given")


def _overhung(c: Context, stage: BevelPair) -> tuple[float, Source]:
    """Gears that do not stand between two bearings of their shaft."""
    out = [seat for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=True)
           if not _between(c, shaft, seat)]
    words = " and ".join(out) if out else "none"
    return float(len(out)), Source(f"{stage.path}: seats that overhang the bearings of their shafts: {words}",
                                   obtained="given")


def _between(c: Context, shaft: str, seat: str) -> bool:
    seats = c.machine.shafts[shaft].seats
    places = [s.at.nominal for s in seats.values() if s.carries_shaft]
    return min(places) < seats[seat].at.nominal < max(places)


def _part(c: Context, stage: BevelPair, found: dict[str, tuple[Any, Source]], demands: set[str],
          content: tuple[str, ...] = ()) -> Part:
    chosen = stage.normal_module.known and all(t.known for t in stage.teeth)
    return Part(stage.path, "", {k: v for k, (v, _) in found.items()}, {k: s for k, (_, s) in found.items()},
                c.hurts(stage.path), frozenset(demands), not_chosen=not chosen, content=content, shaft=stage.from_)


def _strength(c: Context, name: str, stage: BevelPair) -> Part:
    pinion = _pinion(stage)
    steels = gears.steels_of(c, stage)
    shaft = gears.shaft_of(stage, pinion)
    share = stage.teeth[pinion].nominal / stage.teeth[0].nominal
    found = _as_cut(c, stage) | {
        "n_o": _overhung(c, stage),
        "T_1": (c.solved.carried.get(name, NAN) * share, c.from_train(shaft, "torque of the pinion")),
        "omega_1": (np.abs(c.solved.speed[shaft]), c.from_train(shaft, "speed of the pinion")),
    }
    for n, i in ((1, pinion), (2, 1 - pinion)):
        steel, hardness = steels[i], stage.hardness[i]
        found |= {f"R_m{n}": (steel.R_m, steel.source), f"R_e{n}": (steel.R_e, steel.source),
                  f"H_B{n}": (hardness.value, hardness.origin)}
    part = _part(c, stage, found, {"T_1", "omega_1"}, tuple(line for s in steels for line in s.content))
    return with_required(part, c.machine.margins or {}, gears.REQUIRED)


def _fit(c: Context, stage: BevelPair) -> Part:
    return with_required(_part(c, stage, _as_cut(c, stage), set()), c.machine.margins or {}, FIT_REQUIRED)


def _mesh(c: Context, name: str, stage: BevelPair) -> Part:
    first, second = (c.machine.shafts[shaft] for shaft in (stage.from_, stage.to))
    moved = [_bent(c, shaft, seat) for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=True)]
    lean: Any = NAN
    shift: Any = NAN
    if moved[0] and moved[1] and name in c.solved.stage_torque and np.isfinite(_angle(c, stage)[0]):
        both = moved[0], moved[1]
        lean = lean_along_face(stage, first, second, c.solved.stage_torque[name][0], both)
        shift = shift_of_middle(stage, first, second, both)
    row = table("slope_limits")["straight bevel gear"]
    wheel = stage.teeth[1 - _pinion(stage)]
    demand = c.from_train(stage.from_, "bending of both shafts at their seats")
    found: dict[str, tuple[Any, Source]] = {
        "theta": (lean, demand), "y": (shift, demand),
        "d_2": (stage.normal_module.value * wheel.nominal,
                Source(f"{stage.path}: teeth times module", obtained="given")),
        "theta_limit": (row.number("high_rad"), BOTH),
    }
    part = _part(c, stage, found, {"theta", "y"}, (row.content,))
    part.hurts = ""
    return with_required(part, c.machine.margins or {}, MESH_REQUIRED)


def _bent(c: Context, shaft: str, seat: str) -> Bent | None:
    """Shift and lean of a shaft at a seat, vectors over cases and samples; none while it is not solved."""
    loads = c.solved.loads[shaft]
    if len(loads.slope) != len(loads.stations):
        return None
    i, (_, side, other) = loads.at(seat), loads.frame
    shift, lean = (side[:, None, None] * found[i][0] + other[:, None, None] * found[i][1]
                   for found in (loads.deflection, loads.slope))
    return Bent(shift, lean)
