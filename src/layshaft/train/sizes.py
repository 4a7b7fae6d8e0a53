"""The sizes a stage or seat names, from the file's own parts or the shipped series.

A size that is not chosen, or whose listing lacks a figure, gives NaN: the train goes as far as it can.
"""

from __future__ import annotations

from typing import Any

from layshaft.elements import belt
from layshaft.elements.belt import SynchronousBeltSize, VBeltSize
from layshaft.elements.roller_chain import ChainSize, series
from layshaft.elements.rope import RopeSize, bending_data, fibre_rope, wire_rope
from layshaft.machine import listings
from layshaft.machine.kinds import (
    ChainPart,
    RollerChain,
    SuspensionPart,
    SynchronousBelt,
    SynchronousBeltPart,
    VBelt,
)
from layshaft.machine.listings import resolve
from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.machine.schema import Choice

NAN = float("nan")


@once
def chain_size(machine: Machine, choice: Choice) -> ChainSize | None:
    """The chain a choice names, or None while it is open."""
    if not choice.known:
        return None
    part = own_part(machine, choice)
    if isinstance(part, ChainPart):
        return ChainSize(
            name=part.name, pitch=part.pitch.nominal, roller_diameter=part.roller_diameter.nominal,
            inner_width=NAN, pin_diameter=NAN, bush_length=NAN, pin_length=NAN, plate_height=NAN,
            strands=part.strands.nominal,
            breaking_load=part.breaking_load.nominal, mass_per_metre=part.mass_per_metre.nominal,
            transverse_pitch=NAN,
            source=part.breaking_load.origin, area_source=part.bearing_area.origin,
            mass_source=part.mass_per_metre.origin,
            row_content=f"{part.path}: {part.read_in}",
        )
    return series(choice.name)


@once
def joint_area(machine: Machine, choice: Choice) -> float:
    """Bearing area of the joints of a chosen chain; NaN while it is open or not listed."""
    part = own_part(machine, choice)
    if isinstance(part, ChainPart):
        return part.bearing_area.nominal
    size = chain_size(machine, choice)
    return NAN if size is None else float(size.bearing_area)


def chain_pitch(machine: Machine, choice: Choice) -> float:
    """Pitch of a chosen chain, NaN while it is open."""
    size = chain_size(machine, choice)
    return NAN if size is None else float(size.pitch)


@once
def rope_size(machine: Machine, choice: Choice) -> RopeSize | None:
    """The rope a choice names, or None while it is open or no rope. Figures the file lacks are NaN."""
    size = resolve(machine, "suspension", choice.name) if choice.known else None
    if size is None:
        return None
    if isinstance(size.part, SuspensionPart):
        return _own_rope(size.part)
    assert size.row is not None
    wires = size.grade == size.grade
    return wire_rope(size.row.name, size.diameter, size.grade) if wires else fibre_rope(size.row.name)


def _own_rope(part: SuspensionPart) -> RopeSize:
    """A rope of the file: wires and metal area by its construction, as the table has them."""
    d, wires = part.diameter.nominal, part.construction not in ("", "fibre", "load chain")
    wire, area, modulus, _ = bending_data(part.construction) if wires else (NAN, NAN, NAN, None)
    return RopeSize(
        part.name, part.construction == "fibre", d, part.breaking_load.value, part.mass_per_metre.value,
        part.stretch.value, area * d**2, wire * d, modulus, part.construction, part.breaking_load.origin,
        (f"{part.path}|{part.read_in}",))


def v_belt_size(choice: Choice) -> VBeltSize | None:
    """The section a choice names, or None while it is open."""
    return belt.v_belt(choice.name) if choice.known else None


@once
def synchronous_belt_size(machine: Machine, choice: Choice) -> SynchronousBeltSize | None:
    """The profile a choice names, or None while it is open. Figures the file lacks are NaN."""
    part = own_part(machine, choice)
    if isinstance(part, SynchronousBeltPart):
        return SynchronousBeltSize(
            part.name, part.pitch.nominal, part.base_width.value, part.working_tension.value,
            part.mass_per_metre.value, part.least_teeth.value, part.working_tension.origin,
            f"{part.path}: {part.read_in}")
    return belt.synchronous_belt(choice.name) if choice.known else None


@once
def belt_diameters(machine: Machine, stage: SynchronousBelt | VBelt) -> tuple[float, float]:
    """Nominal pitch diameters of the first and second pulley; NaN while open."""
    if isinstance(stage, VBelt):
        return stage.diameters[0].nominal, stage.diameters[1].nominal
    size = synchronous_belt_size(machine, stage.belt)
    p = NAN if size is None else size.pitch
    return float(belt.pulley_diameter(stage.teeth[0].nominal, p)), float(
        belt.pulley_diameter(stage.teeth[1].nominal, p))


def belt_length(machine: Machine, stage: SynchronousBelt | VBelt) -> float:
    """Length the file gives, by teeth or outright; NaN where it gives a distance of the axes instead."""
    if isinstance(stage, VBelt):
        return stage.belt_length.nominal
    size = synchronous_belt_size(machine, stage.belt)
    return NAN if size is None else stage.belt_teeth.nominal * size.pitch


def own_part(machine: Machine, choice: Choice) -> Any:
    """The file's own part of that name, or None."""
    return listings.own_part(machine, choice.name) if choice.known else None


def teeth(stage: RollerChain) -> tuple[float, float]:
    """Nominal teeth of the first and second wheel; NaN while open."""
    return stage.teeth[0].nominal, stage.teeth[1].nominal
