"""Ropes of the trade: stranded wire ropes by construction, diameter and grade; textile ropes by listing.

`wire rope 6 mm 7x19 1770` is a rope of 6 mm, six strands of 19 wires on a strand of 19, of grade
1770 MPa. Its breaking force is a factor of the construction times diameter squared times grade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from layshaft.listings.tables import Row, table
from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    DEGREE,
    INCH,
    POUND_FORCE,
    Area,
    Density,
    Force,
    Length,
    MassPerLength,
    Ratio,
    Stress,
)

BREAKING_FORCE = Source("EN 12385-4 and ISO 2408, steel wire ropes", "F_min = K d^2 R", "second text")
PRESSURES = Source("Wire Rope Users Manual, in Shigley's Mechanical Engineering Design, 9th ed.",
                   "table 17-26, highest bearing pressure", "from memory")
MM = 1e-3
KILO = 1e3
MEGAPASCAL = 1e6
PSI = POUND_FORCE / INCH**2
PER_100_METRES_AND_MM2 = 1e4
"""kg/m^3 of a factor printed as kg per 100 m and mm^2."""


@dataclass(frozen=True, slots=True)
class RopeSize:
    """One rope, SI; a rope of the file may carry samples.

    Metal area, wire and modulus are NaN for a textile rope: it has no wires to bend.
    """

    name: str
    fibre: bool
    diameter: float
    breaking_load: Any
    mass_per_metre: Any
    stretch: Any
    """Stretch at an eighth of the breaking load, a ratio."""

    metal_area: float
    wire: float
    modulus: float
    construction: str
    """Row of rope_bending_data; blank for a textile rope."""

    source: Source
    row_content: tuple[str, ...]


@formula("F_u", "minimum breaking force", BREAKING_FORCE,
         where={"K": "factor of the construction", "R": "rope grade"})
def minimum_breaking_force(K: Ratio, d: Length, R: Stress) -> Force:
    """A share of the circle round the rope, times what its wires bear."""
    return K * d**2 * R


@formula("A", "metal area of the rope", BREAKING_FORCE, where={"C": "metal area over diameter squared"})
def metal_area(C: Ratio, d: Length) -> Area:
    """All wires together."""
    return C * d**2


@formula("q", "mass per length of the rope", BREAKING_FORCE, where={"W": "mass per length over diameter squared"})
def mass_per_length(W: Density, d: Length) -> MassPerLength:
    """Wires, core and grease."""
    return W * d**2


@formula("epsilon", "stretch at an eighth of the breaking load", MECHANICS_OF_MATERIALS)
def stretch_at_an_eighth(F_u: Force, E_r: Stress, A: Area) -> Ratio:
    """The rope as a bar of its metal area and of the rope's own modulus, bedding-in not counted."""
    return F_u / (8 * E_r * A)


@cache
def bending_data(construction: str) -> tuple[float, float, float, Source]:
    """Wire over rope diameter, metal area over its square, modulus of the rope, and where they were read."""
    row = table("rope_bending_data")[construction]
    return row.number("wire"), row.number("area"), row.number("modulus_MPa", MEGAPASCAL), row.source


@cache
def wire_rope(construction: str, diameter: float, grade: float) -> RopeSize:
    """A stranded wire rope of the table; diameter and grade in SI. `KeyError` for a construction it lacks."""
    row = table("rope_constructions")[construction]
    wire, _, modulus, _ = bending_data(row.text("bends_like"))
    F_u = float(minimum_breaking_force.__wrapped__(row.number("K"), diameter, grade))  # type: ignore[attr-defined]
    A = float(metal_area.__wrapped__(row.number("C"), diameter))  # type: ignore[attr-defined]
    q = mass_per_length.__wrapped__(  # type: ignore[attr-defined]
        row.number("W", PER_100_METRES_AND_MM2), diameter)
    stretch = stretch_at_an_eighth.__wrapped__(F_u, modulus, A)  # type: ignore[attr-defined]
    name = rope_name(row, diameter / MM, grade / MEGAPASCAL)
    return RopeSize(name, False, diameter, F_u, float(q), float(stretch), A, wire * diameter, modulus,
                    row.text("bends_like"), replace(row.source, place=name), (row.content,))


def rope_name(row: Row, millimetres: float, grade: float) -> str:
    """`wire rope 6 mm 7x19 1770`."""
    return f"wire rope {millimetres:g} mm {row.name} {grade:g}"


@cache
def fibre_rope(name: str) -> RopeSize:
    """A textile rope of the table, such as `polyester 12 mm`. `KeyError` if there is none."""
    row = table("ropes_fibre")[name]
    nan = float("nan")
    return RopeSize(row.name, True, row.number("d_mm", MM), row.number("Fu_kN", KILO), row.number("mass_kg_m"),
                    row.number("stretch"), nan, nan, nan, "", row.source, (row.content,))


def wire_ropes(construction: str, grade: float) -> Iterator[RopeSize]:
    """The preferred diameters in which a construction is made, from thin to thick."""
    row = table("rope_constructions")[construction]
    for size in table("rope_sizes").rows:
        d = size.number("value")
        if size.text("kind") == "diameter_mm" and row.number("least_mm") <= d <= row.number("most_mm"):
            yield wire_rope(construction, d * MM, grade)


@cache
def least_ratio(duty: str, wheel: str) -> tuple[float, Source]:
    """Least diameter of `drum` or `pulley` over that of the rope: class `M1` to `M8`, or `fibre`."""
    row = table("rope_least_ratios")[duty]
    return row.number(wheel), row.source


@cache
def termination(kind: str, fibre: bool) -> tuple[float, Source]:
    """Strength of a rope's end over that of the rope; NaN for an end that is none for that rope."""
    row = table("rope_terminations")[kind]
    return row.number("fibre" if fibre else "wire"), row.source


@cache
def permitted_pressure(construction: str, surface: str) -> float:
    """Highest pressure of a wire rope on a groove of `wood`, `cast iron` or `steel`, Pa."""
    return table("rope_bending_data")[construction].number(f"{surface.replace(' ', '_')}_psi", PSI)


@cache
def practice(rule: str) -> tuple[float, Source]:
    """A rule of practice in SI, with its source."""
    row = table("rope_practice")[rule]
    return row.number("value", DEGREE if row.text("unit") == "deg" else 1.0), row.source
