"""Offers: one buyable size each, with what a search, a comparison or an order needs to know of it.

The standard series below come from the shipped tables; suppliers' lists give offers of the same
shape (`listings.imported`). The keys of `values` are those of the machine file's own parts
(`bore`, `dynamic rating`); numbers are SI, NaN where the list does not say.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from layshaft.listings.tables import Row, table
from layshaft.trace.source import Source
from layshaft.trace.units import INCH

NAN = math.nan
MM = 1e-3
KILO = 1e3
MEGA = 1e6
HUB_OVER_BORE = 1.5
"""A hub with a keyway is this thick at least: common practice, no single source."""

UNSAID = Source("not said", obtained="given")


@dataclass(frozen=True, slots=True)
class Offer:
    """A size that can be bought: of a standard series (`supplier` is then a blank) or of a supplier's list.

    `standard` is the standard designation it is an example of, "" if none. Mass in kg, price in
    `currency` for one piece, lead time in s, distance in m; NaN where unknown. `where` is the list
    and row it was read in.
    """

    kind: str
    name: str
    supplier: str = ""
    values: Mapping[str, float | str] = field(default_factory=dict)
    standard: str = ""
    mass: float = NAN
    price: float = NAN
    currency: str = ""
    lead_time: float = NAN
    distance: float = NAN
    country: str = ""
    pack: float = NAN
    least_order: float = NAN
    cad: str = ""
    source: Source = UNSAID
    where: str = ""


def standard_kinds() -> list[str]:
    """Kinds of which a standard series ships."""
    return list(_SERIES)


@functools.cache
def standard_offers(kind: str) -> tuple[Offer, ...]:
    """The standard series of that kind, in the order of the table; empty where none ships."""
    series = _SERIES.get(kind)
    return tuple(series()) if series else ()


def _offer(kind: str, row: Row, name: str, values: Mapping[str, float | str], *, mass: float = NAN) -> Offer:
    """An offer of a standard series: its name is the standard designation."""
    return Offer(kind, name, values=values, standard=name, mass=mass, source=row.source,
                 where=f"{row.table}.csv, row {row.name}")


def _chains() -> Iterable[Offer]:
    """Chains of ISO 606; a joint bears on pin times bush length, each strand alike."""
    for row in table("chain_series").rows:
        for strands in (1, 2, 3):
            if row.text(f"Fu{strands}_kN"):
                joint = row.number("pin_d_mm", MM) * row.number("bush_length_mm", MM)
                yield _offer("roller chain", row, f"{row.name}-{strands}", {
                    "pitch": row.number("pitch_mm", MM), "strands": float(strands),
                    "breaking load": row.number(f"Fu{strands}_kN", KILO), "bearing area": joint * strands,
                    "mass per metre": row.number("mass_kg_m") * strands,
                    "roller diameter": row.number("roller_d_mm", MM), "inner width": row.number("inner_width_mm", MM),
                    "transverse pitch": row.number("transverse_pitch_mm", MM),
                })


def _bearings() -> Iterable[Offer]:
    for row in table("bearings_deep_groove").rows:
        yield _offer("bearing", row, row.name, {
            "bore": row.number("bore_mm", MM), "outside": row.number("outside_mm", MM),
            "width": row.number("width_mm", MM), "dynamic rating": row.number("C_kN", KILO),
            "static rating": row.number("C0_kN", KILO),
        })


def _keys() -> Iterable[Offer]:
    for row in table("keys_metric").rows:
        yield _offer("key steel", row, row.name, {
            "width": row.number("b_mm", MM), "height": row.number("h_mm", MM),
            "least shaft": row.number("shaft_over_mm", MM), "greatest shaft": row.number("shaft_to_mm", MM),
            "depth in shaft": row.number("t1_shaft_mm", MM), "depth in hub": row.number("t2_hub_mm", MM),
        })


def key_lengths(section: str) -> list[float]:
    """Lengths in metres in which the standard makes a parallel key of that section."""
    span = table("key_length_spans").get(section)
    if span is None:
        return []
    low, high = span.number("from_mm", MM), span.number("to_mm", MM)
    return [length for row in table("key_lengths").rows if low <= (length := row.number("l_mm", MM)) <= high]


def _cut_keys() -> Iterable[Offer]:
    """Every section in every length it is made in; the mass is that of round ends."""
    for row, length in [(key, length) for key in table("keys_metric").rows for length in key_lengths(key.name)]:
        b, h = row.number("b_mm", MM), row.number("h_mm", MM)
        density = table("steel_conditions").rows[0].number("density_kg_m3")
        yield _offer("parallel key", row, f"{row.name}x{length / MM:g}", {
            "width": b, "height": h, "length": length,
            "least shaft": row.number("shaft_over_mm", MM), "greatest shaft": row.number("shaft_to_mm", MM),
        }, mass=density * h * (b * (length - b) + math.pi / 4 * b**2))


def _belts() -> Iterable[Offer]:
    """Synchronous belts by pitch, at the width their ratings are given for."""
    for row in table("synchronous_belts").rows:
        yield _offer("synchronous belt", row, row.name, {
            "pitch": row.number("pitch_mm", MM), "base width": row.number("base_mm", MM),
            "working tension": row.number("Ta_N"), "mass per metre": row.number("mass_kg_m"),
            "least teeth": row.number("least_teeth")})


def _v_belts() -> Iterable[Offer]:
    for row in table("v_belts").rows:
        yield _offer("V belt", row, row.name, {"least pulley": row.number("least_in", INCH)})


def _bars() -> Iterable[Offer]:
    for row in table("bar_diameters").rows:
        d = row.number("d_mm", MM)
        density = table("steel_conditions").rows[0].number("density_kg_m3")
        yield _offer("bright bar", row, row.name, {"diameter": d, "mass per metre": density * math.pi / 4 * d**2})


def _bolts() -> Iterable[Offer]:
    """Threads by property class, within the diameters the class is made in."""
    for size in table("threads_metric").rows:
        diameter = size.number("d_mm")
        for grade in table("bolt_classes").rows:
            if grade.number("d_over_mm") <= diameter <= grade.number("d_to_mm") and not _of_smaller(grade, diameter):
                yield _offer("fastener", size, f"{size.name} {grade.text('class')}", {
                    "diameter": diameter * MM, "pitch": size.number("P_mm", MM), "class": grade.text("class"),
                    "proof strength": grade.number("proof_MPa", MEGA), "tensile strength": grade.number("Rm_MPa", MEGA),
                    "yield strength": grade.number("Re_MPa", MEGA),
                })


def _of_smaller(grade: Row, diameter: float) -> bool:
    """True for a row that begins where a row of smaller bolts of its class ends: "over" leaves that size out."""
    return any(other.text("class") == grade.text("class") and other.number("d_to_mm") == grade.number("d_over_mm")
               == diameter for other in table("bolt_classes").rows)


def _pins() -> Iterable[Offer]:
    for row in table("dowel_pins").rows:
        yield _offer("pin", row, row.name, {
            "diameter": row.number("d_mm", MM), "shear load": row.number("shear_kN", KILO)})


def _sprockets() -> Iterable[Offer]:
    """Wheels of every one-strand roller chain; the hub leaves room for the plates and is one and a half bores thick.

    Pitch circle as in `roller_chain.geometry`; the largest hub is ISO 606's largest shroud, from memory.
    """
    for chain in table("chain_series").rows:
        if chain.text("kind") != "roller":
            continue
        p = chain.number("pitch_mm", MM)
        for row in table("sprocket_teeth").rows:
            z = row.number("teeth")
            hub = p / math.tan(math.pi / z) - 1.04 * chain.number("plate_height_mm", MM) - 0.76 * MM
            name = f"{chain.name}-1 Z{z:.0f}"
            yield Offer("sprocket", name, "", {
                "chain": f"{chain.name}-1", "pitch": p, "teeth": z, "pitch diameter": p / math.sin(math.pi / z),
                "greatest bore": max(math.floor(hub / HUB_OVER_BORE / MM), 0) * MM,
            }, name, source=Source(f"{row.source.work}; bore by the usual thickness of a hub", row.source.place,
                                   "typical"), where=f"sprocket_teeth.csv, row {row.name}")


def _gears() -> Iterable[Offer]:
    """Straight teeth, no shift: the pitch circle is module times teeth, the tip a module outside it."""
    for module in table("modules_preferred").rows:
        m = module.number("m_mm", MM)
        for row in table("gear_teeth").rows:
            z = row.number("teeth")
            yield _offer("spur gear", row, f"m{module.name} Z{z:.0f}", {
                "normal module": m, "teeth": z, "pitch diameter": m * z, "outside": m * (z + 2)})


def _couplings() -> Iterable[Offer]:
    for row in table("couplings_typical").rows:
        yield _offer("coupling", row, row.name, {
            "steady torque": row.number("steady_Nm"), "peak torque": row.number("peak_Nm"),
            "alternating torque": row.number("alternating_Nm")})


def _flywheels() -> Iterable[Offer]:
    """Full discs of steel; mass and moment of inertia as in `mechanics.inertia`, without a bore."""
    density = table("steel_conditions").rows[0].number("density_kg_m3")
    sizes = table("flywheel_discs").rows
    for row in (r for r in sizes if r.text("kind") == "diameter"):
        for plate in (r for r in sizes if r.text("kind") == "thickness"):
            d, b = row.number("value_mm", MM), plate.number("value_mm", MM)
            mass = density * math.pi / 4 * d**2 * b
            yield _offer("flywheel", row, f"disc {row.text('value_mm')}x{plate.text('value_mm')}", {
                "outside": d, "thickness": b, "inertia": mass * d**2 / 8}, mass=mass)


_SERIES: dict[str, Callable[[], Iterable[Offer]]] = {
    "roller chain": _chains,
    "bearing": _bearings,
    "key steel": _keys,
    "parallel key": _cut_keys,
    "bright bar": _bars,
    "fastener": _bolts,
    "pin": _pins,
    "sprocket": _sprockets,
    "spur gear": _gears,
    "coupling": _couplings,
    "synchronous belt": _belts,
    "V belt": _v_belts,
    "flywheel": _flywheels,
}
