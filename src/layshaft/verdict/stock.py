"""Sizes of what is cut or bought from stock: wire of springs, discs, ropes, bushes, threads, pins and sections.

`wide` tries all there is of a kind; else only what is like the size there is, so that sizes run from small to large.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.elements import rope
from layshaft.listings.tables import Row, table
from layshaft.machine.kinds import (
    BoltedJoint,
    CoilSpring,
    DowelPins,
    FallingWeight,
    Fixing,
    Flywheel,
    Member,
    SpiralSpring,
    Spring,
)
from layshaft.machine.listings import resolve
from layshaft.machine.model import Machine, Seat, Shaft
from layshaft.mechanics import inertia
from layshaft.mechanics.profiles import profile
from layshaft.mechanics.spring_wire import spring_wire
from layshaft.trace.units import LENGTH, MASS, shown
from layshaft.train.sizes import rope_size
from layshaft.verdict.candidates import Search, only_shaft
from layshaft.verdict.context import Context
from layshaft.verdict.kinds import bushes, fixings, frames, ropes, springs, weights, wheels
from layshaft.verdict.preferred import MILLI, lengths
from layshaft.verdict.search import Candidate
from layshaft.verdict.steps import only

LEAST_INDEX, MOST_INDEX = 4.0, 16.0
"""Mean diameter of a coil over its wire: tighter is hard to wind, wider tangles. Common practice, no single source."""

STIFFER = "Coil, turns and forces stay, so the spring gets stiffer or softer and its travel between the forces changes."
STEADIES = ("How evenly the shafts turn is not judged here: choose the wheel with the whole machine, which judges what "
            "is wanted of it.")
FLEXIBLE = ("7x19", (1770e6, 1960e6))
"""Construction and grades tried first for an open rope: the flexible one of small hoists, common practice."""


# Springs -----------------------------------------------------------------------------------------


def of_spring(c: Context, spring: Spring, *, wide: bool = False) -> Search | None:
    """Diameters of wire its coil can be wound from; wires of its diameter where none is chosen; strips of a spiral."""
    found = Search(gather=springs.blocks, keep=only(spring.path),
                   inside=lambda m: replace(m, springs={spring.name: m.springs[spring.name]}))
    if isinstance(spring, SpiralSpring):
        return lengths(c, spring.strip[1], found, "Width and length of the strip stay. ", called="strip thickness")
    if not isinstance(spring, CoilSpring):
        return None
    if not spring.mean_diameter.known or not (spring.wire_diameter.known or spring.wire.known):
        return Search(cannot="its coil has no mean diameter yet, or neither its wire nor its diameter is told")
    found.candidates = sorted(_wires(spring, wide=wide), key=lambda k: _strength(spring, k))
    found.note = "" if spring.wire.state == "open" and not wide else f"Wire as it is drawn (EN 10270-1). {STIFFER}"
    found.cannot = "" if found.candidates else "no wire of the table is drawn in a diameter for its coil"
    return found


def _wires(spring: CoilSpring, *, wide: bool) -> Iterator[Candidate]:
    open_ = spring.wire.state == "open"
    diameters = {row.number("d_mm", MILLI) for row in table("spring_wire_diameters").rows}
    D, d_now = spring.mean_diameter.nominal, spring.wire_diameter.nominal
    inside = [d for d in diameters if LEAST_INDEX <= D / d <= MOST_INDEX]
    for name in table("spring_wires").names if wide or open_ else [spring.wire.name]:
        for d in {d_now} if open_ and not wide else {*inside, d_now}:
            if np.isfinite(spring_wire(name, d).A):
                sets: dict[str, float | str] = {spring.wire_diameter.path: d}
                if open_ or wide:
                    sets |= {spring.wire.path: name}
                turns = spring.turns.nominal  # type: ignore[attr-defined]
                weight = springs.DENSITY * np.pi**2 / 4 * d**2 * D * turns
                yield Candidate(f"{f'{name} ' if open_ or wide else 'wire '}{d / MILLI:.10g} mm", sets,
                                {"mass": float(weight)})


def _strength(spring: CoilSpring, k: Candidate) -> tuple[float, float]:
    """Thickness, then what such a wire bears."""
    d = float(k.sets[spring.wire_diameter.path])
    wire = spring_wire(str(k.sets.get(spring.wire.path, spring.wire.name)), d)
    return d, wire.torsion * wire.A * (d / MILLI) ** -wire.m


# Discs -------------------------------------------------------------------------------------------


def of_flywheel(_: Context, load: Flywheel, *, wide: bool = False) -> Search:
    """Full discs of plate by moment of inertia, bored as the wheel is: of the plate nearest its own, or of all."""
    if load.made_of:
        return Search(cannot="it is drawn piece by piece: change a piece of it")
    if not load.density.nominal > 0:
        return Search(cannot=f"{load.density.path} is not given")
    found = Search(gather=lambda k: wheels.blocks(replace(k, _freed=None)), keep=only(load.path), note=STEADIES)
    there = (load.diameter, load.mass, load.inertia)
    sizes: dict[float, Candidate] = {}
    thick = np.nan
    if all(g.known for g in there):
        d, weight, J = (g.nominal for g in there)
        thick = weight / float(inertia.mass(load.density.nominal, inertia.ring_volume(d, _bore(load), 1.0)))
        sizes[J] = Candidate(f"{d / MILLI:.10g} mm, {shown(weight, MASS, digits=3)}",
                             {g.path: g.nominal for g in there}, {"mass": weight, "width": thick, "across": d})
    for b in _plates(np.nan if wide else thick):
        sizes = dict(_discs(load, b)) | sizes
    least = load.inertia.nominal if load.diameter.state == "open" and load.inertia.known else 0.0
    found.candidates = [sizes[J] for J in sorted(sizes) if J >= least * (1 - 1e-9)]
    found.cannot = "" if found.candidates else "no disc of plate has the moment of inertia that is given"
    return found


def _bore(load: Flywheel) -> float:
    return load.bore.nominal if load.bore.known else 0.0


def _plates(thick: float) -> list[float]:
    """Thicknesses in stock: the one nearest to another, or all."""
    all_ = [row.number("value_mm", MILLI) for row in table("flywheel_discs").rows if row.text("kind") == "thickness"]
    return [min(all_, key=lambda b: abs(b - thick))] if np.isfinite(thick) else all_


def _discs(load: Flywheel, b: float) -> Iterator[tuple[float, Candidate]]:
    """Discs of one plate with their moments of inertia."""
    for row in table("flywheel_discs").rows:
        d = row.number("value_mm", MILLI)
        if row.text("kind") == "diameter" and d > _bore(load):
            weight = float(inertia.mass(load.density.nominal, inertia.ring_volume(d, _bore(load), b)))
            J = float(inertia.ring(weight, d, _bore(load)))
            yield J, Candidate(f"disc {d / MILLI:g}x{b / MILLI:g} mm, {shown(weight, MASS, digits=3)}", {
                load.diameter.path: d, load.mass.path: weight, load.inertia.path: J},
                {"mass": weight, "width": b, "across": d})


# Ropes -------------------------------------------------------------------------------------------


def of_rope(c: Context, drive: FallingWeight, *, wide: bool = False) -> Search:
    """Ropes from thin to thick, on the drum as it is: those like the one there is, or all the tables tell."""
    found = Search(gather=lambda k: [weights.block(k), ropes.block(k)], keep=only(drive.path))
    grooves = drive.groove_pitch
    found.candidates = [_rope(drive, s) for s in (_every_rope() if wide else _like(c, drive))
                        if not grooves.known or s.diameter <= grooves.nominal]
    found.note = f"The grooves of its drum are {shown(grooves.nominal, LENGTH)} apart: no thicker rope lies in them." \
        if grooves.known else ""
    return found


def _rope(drive: FallingWeight, size: rope.RopeSize) -> Candidate:
    worth = {"across": size.diameter}
    if drive.drop.known:
        worth["mass"] = float(size.mass_per_metre) * drive.drop.nominal
    return Candidate(size.name, {drive.suspension.path: size.name}, worth)


def _like(c: Context, drive: FallingWeight) -> Iterator[rope.RopeSize]:
    """Ropes of the construction and grade there are, or of its fibre; else flexible ones of wire."""
    size = resolve(c.machine, "suspension", drive.suspension.name) if drive.suspension.known else None
    row, grade = (size.row, size.grade) if size is not None else (None, np.nan)
    if row is not None and np.isnan(grade):  # a textile rope has no grade
        for other in table("ropes_fibre").rows:
            if other.text("fibre") == row.text("fibre"):
                yield rope.fibre_rope(other.name)
        return
    construction, grades = FLEXIBLE if row is None else (row.name, (grade,))
    yield from sorted((s for one in grades for s in rope.wire_ropes(construction, one)), key=lambda s: (
        s.diameter, float(s.breaking_load)))


def _every_rope() -> list[rope.RopeSize]:
    grades = [row.number("value", 1e6) for row in table("rope_sizes").rows if row.text("kind") == "grade_MPa"]
    found = [s for row in table("rope_constructions").rows for grade in grades
             for s in rope.wire_ropes(row.name, grade)]
    found += [rope.fibre_rope(row.name) for row in table("ropes_fibre").rows]
    return sorted(found, key=lambda s: (s.diameter, float(s.breaking_load)))


def wheels_for(machine: Machine, drive: FallingWeight) -> str:
    """What the rope of a drive asks of its drum and pulleys; blank where no rule says it."""
    size = rope_size(machine, drive.suspension)
    duty = "fibre" if size is not None and size.fibre else drive.duty_class
    if size is None or not duty or not size.diameter > 0:
        return ""
    drum, pulley = (shown(rope.least_ratio(duty, wheel)[0] * size.diameter, LENGTH, digits=3)
                    for wheel in ("drum", "pulley"))
    return (f"{size.name} asks for a drum of at least {drum} and pulleys of at least {pulley}, to the rope's centre "
            f"({'a textile rope' if duty == 'fibre' else f'class {duty}'}).")


# Bushes, fixings, frames -------------------------------------------------------------------------


def of_bush(c: Context, shaft: Shaft, seat: Seat, *, wide: bool = False) -> Search:
    """Lengths of a bush by preferred numbers; in every material of the table where all is to be tried."""
    path = f"{seat.path}.bush"
    found = Search(gather=lambda k: [bushes.block(k)], keep=only(path), inside=only_shaft(shaft.name))
    found = lengths(c, seat.bush.length, found, "Bore and material stay. ")
    if wide and found.candidates:
        material = seat.bush.material
        found.candidates = [Candidate(f"{name}, {k.name}", {**k.sets, material.path: name}, _long(k))
                            for k in found.candidates for name in _materials(seat)]
    return found


def _long(k: Candidate) -> dict[str, float]:
    return {"width": float(next(iter(k.sets.values())))}


def _materials(seat: Seat) -> list[str]:
    """All of the table, and the file's own where the bush is made of one."""
    names, own = table("bush_materials").names, seat.bush.material
    return [*names, own.name] if own.known and own.name.casefold() not in {n.casefold() for n in names} else names


def of_fixing(_: Context, fixing: Fixing) -> Search | None:
    """Coarse threads of bolts, and sizes of pins, from thin to thick."""
    found = Search(gather=fixings.blocks, keep=only(fixing.path))
    if isinstance(fixing, BoltedJoint):
        rows = sorted(table("threads_metric").rows, key=lambda r: r.number("d_mm"))
        found.candidates = [Candidate(row.name, {fixing.thread.path: row.name}) for row in rows
                            if "x" not in row.name or row.name.casefold() == fixing.thread.name.casefold()]
        found.note = "Class, number and tightening torque stay: another thread asks for another torque."
    elif isinstance(fixing, DowelPins):
        found.candidates = [Candidate(row.name, {fixing.pin.path: row.name}) for row in table("dowel_pins").rows]
    return found if found.candidates else None


def of_member(_: Context, member: Member, *, wide: bool = False) -> Search | None:
    """Sections like the one there is, from light to heavy; of every shape where all is to be tried."""
    now = table("sections").get(member.section.name) if member.section.known else None
    lies = bool(getattr(member, "laid", ""))
    sizes = [(profile(row, upright=True).A, row) for row in table("sections").rows
             if (wide or now is None or _alike(row, now)) and (lies or _square(row))]
    rho, long = member.density.nominal, _run(member)
    found = Search(gather=frames.blocks, keep=only(member.path))
    found.candidates = [
        Candidate(row.name, {member.section.path: row.name},
                  {"mass": A * rho * long, "across": row.number("h_mm", MILLI)})
        for A, row in sorted(sizes, key=lambda pair: pair[0])]
    found.cannot = "" if found.candidates else f"{member.path}.laid: not given, so only square sections could be tried"
    return found


def _square(row: Row) -> bool:
    return row.text("h_mm") == row.text("b_mm")


def _alike(row: Row, now: Row) -> bool:
    return row.text("shape") == now.text("shape") and _square(row) == _square(now)


def _run(member: Any) -> float:
    """Metres of it in all."""
    given = getattr(member, "span", None) or getattr(member, "length", None)
    count = member.count.nominal if member.count.known else 1.0
    return float(given.nominal) * count if given is not None else float("nan")
