"""Ropes a weight hangs on: bending round drum and pulleys, the end, the wraps and the drum itself."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from layshaft.elements import rope
from layshaft.elements.rope import RopeSize
from layshaft.machine.kinds import FallingWeight, SuspensionPart
from layshaft.machine.model import Machine
from layshaft.trace.source import Source
from layshaft.train.arrest import arrest_factor
from layshaft.train.cases import ARRESTED, AT_REST, PEAK, RUNNING, WINDING
from layshaft.train.forces import rising
from layshaft.train.known import factors
from layshaft.train.sizes import own_part, rope_size
from layshaft.train.sources import falls, strands, wheel_diameter
from layshaft.verdict.context import NAN, Context, none_given
from layshaft.verdict.provenance.strands import of_drum
from layshaft.verdict.rows import Block, Part, textile_over_people, with_required

PULLED = (AT_REST, RUNNING, PEAK, WINDING, ARRESTED)
MODES = {
    "drum bending ratio": (), "pulley bending ratio": (), "rope strength with bending": PULLED,
    "termination strength": PULLED, "rope pressure": PULLED, "dead wraps": (), "rope anchor": PULLED,
    "drum width": (), "fleet angle": (), "drum wall": PULLED,
}
REQUIRED = dict.fromkeys(MODES, "S_required")
OF_WIRE = ("rope strength with bending", "rope pressure")
OF_END = {"termination strength": "S_required"}
OF_PULLEYS = ("pulley bending ratio", "fleet angle")
PULL = Source("pull of the weight at the drum and the rope's own weight", "tensions of the solved train", "derived")
UNWEIGHED = Source("pull of the weight at the drum; the rope's own weight is not stated and not counted",
                   "tensions of the solved train", "derived")
PLAIN = Source("no groove pitch stated: a plain drum, turns side by side, 5 % over the rope's diameter",
               obtained="common practice")


def on_rope(machine: Machine, drive: Any) -> bool:
    """True where a weight hangs on a rope, chosen or open, and on no chain."""
    if not isinstance(drive, FallingWeight) or drive.suspension.state == "missing" or drive.chain.known:
        return False
    part = own_part(machine, drive.suspension)
    return not (isinstance(part, SuspensionPart) and part.construction == "load chain")


def modes_of(machine: Machine, drive: FallingWeight) -> tuple[str, ...]:
    """Failure modes of one rope: a textile one has no wires to bend, and not every rope runs over pulleys."""
    size = rope_size(machine, drive.suspension)
    without: tuple[str, ...] = OF_WIRE if size is not None and size.fibre else ()
    if not (falls(drive) > 1 or drive.pulley_diameter.known or drive.fleet_distance.known):
        without += OF_PULLEYS
    if drive.drum_surface == "wood":
        without += ("drum wall",)
    return tuple(mode for mode in MODES if mode not in without)


def block(c: Context) -> Block:
    """Every weight on a rope."""
    found = Block("rope", rope.rate, rope.RopeInputs, MODES, required=REQUIRED)
    own: dict[str, tuple[str, ...]] = {}
    for name, drive in c.machine.drives.items():
        if isinstance(drive, FallingWeight) and on_rope(c.machine, drive):
            found.parts.append(_part(c, name, drive))
            own[drive.path] = modes_of(c.machine, drive)
    found.applies = {mode: functools.partial(_has, own, mode) for mode in MODES} if own else {}
    return found


def _has(own: dict[str, tuple[str, ...]], mode: str, part: Part) -> bool:
    return mode in own[part.path]


def _part(c: Context, name: str, drive: FallingWeight) -> Part:
    size = rope_size(c.machine, drive.suspension)
    values, origins = _rope(drive, size)
    rises = rising(c.solved, name)
    for more, said in (_pull(c, name, drive, size, rises), _drum(c, drive, size)):
        values |= more
        origins |= said
    people = c.hurts(drive.path) if drive.over_people else ""
    part = Part(drive.path, "", values, origins, people or c.hurts(drive.path), frozenset({"F"}),
                not_chosen=size is None, content=size.row_content if size else (), over_people=drive.over_people,
                follows={"F": of_drum(c, name, drive, rises, weighed=origins["F"] is PULL)})
    margins = c.machine.margins or {}
    part = with_required(part, margins, REQUIRED)
    return textile_over_people(part, margins, OF_END) if size is not None and size.fibre else part


def _rope(drive: FallingWeight, size: RopeSize | None) -> tuple[dict[str, Any], dict[str, Source]]:
    """The rope itself, its end, and the ratios asked of its wheels."""
    listed = size.source if size else Source(f"{drive.suspension.path}: rope not chosen yet", obtained="given")
    duty = "fibre" if size is not None and size.fibre else drive.duty_class
    h_1, h_2 = (rope.least_ratio(duty, wheel) for wheel in ("drum", "pulley")) if duty else [
        (NAN, Source(f"{drive.path}.duty class: not given", obtained="given"))] * 2
    end, ends = rope.termination(drive.termination, bool(size and size.fibre)) if drive.termination and size else (
        NAN, Source(f"{drive.path}.termination: not given", obtained="given"))
    if drive.termination and size and not end > 0:
        ends = Source(f"{drive.path}.termination: a {drive.termination} is no end for {size.name}", obtained="given")
    fields = {"F_u": "breaking_load", "d": "diameter", "d_w": "wire", "A": "metal_area", "E_r": "modulus"}
    wires = rope.bending_data(size.construction)[3] if size and size.construction in ("6x7", "6x19", "6x37") else listed
    values = {symbol: getattr(size, field) if size else NAN for symbol, field in fields.items()}
    return values | {"h_1": h_1[0], "h_2": h_2[0], "eta_e": end, "D_s": drive.pulley_diameter.value}, {
        "F_u": listed, "d": listed, "d_w": wires, "A": listed, "E_r": wires, "h_1": h_1[1], "h_2": h_2[1],
        "eta_e": ends, "D_s": drive.pulley_diameter.origin}


def _pull(c: Context, name: str, drive: FallingWeight, size: RopeSize | None,
          rises: Any) -> tuple[dict[str, Any], dict[str, Source]]:
    """Pull at the drum in every case, the own weight of the hanging rope on top."""
    tension, columns = strands(c.machine, drive), c.solved.columns
    pull = np.where(rises, tension.winding, tension.drive)
    own = size.mass_per_metre * c.machine.gravity.value * drive.drop.value if size else 0.0
    weighed = bool(np.all(np.isfinite(own)))
    factor = np.array(factors(columns, name, c.solved.samples, winding=False))
    caught = arrest_factor(c.machine, drive)  # of this very rope, where several are tried
    for i, column in enumerate(columns):
        if column.case == ARRESTED and name in column.pull and caught is not None:
            factor[i] = caught
    return {"F": (pull + own if weighed else pull) * factor}, {"F": PULL if weighed else UNWEIGHED}


def _drum(c: Context, drive: FallingWeight, size: RopeSize | None) -> tuple[dict[str, Any], dict[str, Source]]:
    """What the rope lies on."""
    people = " over people" if drive.over_people else ""
    least, asked = rope.practice(f"dead wraps{people}")
    mu, friction = rope.practice("friction of the dead wraps")
    grooved = drive.groove_pitch.known
    angle, fleet = rope.practice(f"fleet angle of a {'grooved' if grooved else 'plain'} drum")
    side_by_side = rope.practice("pitch of turns on a plain drum")[0] * size.diameter if size else NAN
    pressure, where = _pressure(drive, size)
    bar = drive.drum_wall.nominal
    steel = c.steel(drive.drum_steel, bar)
    values: dict[str, Any] = {
        "D": wheel_diameter(c.machine, drive), "p_zul": pressure, "n_d": drive.dead_wraps.value, "n_least": least,
        "mu": mu, "F_hold": drive.anchor_holds.value, "H": drive.drop.value, "k": falls(drive),
        "s": drive.groove_pitch.value if grooved else side_by_side, "b": drive.drum_width.value,
        "a": drive.fleet_distance.value, "alpha_zul": angle, "t": drive.drum_wall.value, "R_e": steel.R_e,
    }
    one = none_given(drive.path, "purchase") if not drive.falls.known else drive.falls.origin
    return values, {
        "D": drive.diameter.origin, "p_zul": where, "n_d": drive.dead_wraps.origin, "n_least": asked, "mu": friction,
        "F_hold": drive.anchor_holds.origin, "H": drive.drop.origin, "k": one,
        "s": drive.groove_pitch.origin if grooved else PLAIN, "b": drive.drum_width.origin,
        "a": drive.fleet_distance.origin, "alpha_zul": fleet, "t": drive.drum_wall.origin, "R_e": steel.source,
    }


def _pressure(drive: FallingWeight, size: RopeSize | None) -> tuple[float, Source]:
    """Highest pressure of a wire rope on the surface of the drum."""
    if size is None or size.construction not in ("6x7", "6x19", "6x37") or not drive.drum_surface:
        what = "drum surface: not given" if not drive.drum_surface else "suspension: its construction is not known"
        return NAN, Source(f"{drive.path}.{what}", obtained="given")
    return rope.permitted_pressure(size.construction, drive.drum_surface), rope.PRESSURES
