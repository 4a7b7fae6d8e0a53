"""Standard chains by designation: `08B-1` is one strand, `08B-2` two; `ASME 40-1` by its American number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from layshaft.elements.roller_chain.strength import joint_area
from layshaft.listings.tables import Row, table
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, INCH, POUND_FORCE, Area, Count, Force, Length, MassPerLength

MM = 1e-3
KILO = 1e3
MOST_STRANDS = 3
NAN = float("nan")
SAME_PITCH = 1e-6
ROLLER_LINK_OVER_PLATE = 2.12
"""Largest width of a roller link beyond its inner width, in plate thicknesses."""

PLATE_OVER_PITCH = 0.95
RATED_LIGHT = ("085", "ASME 41")
"""The only light chain whose capacity is published."""


@dataclass(frozen=True, slots=True)
class ChainSize:
    """One standard chain, SI. `breaking_load`, `mass_per_metre`, `bearing_area` count all strands.

    The bush length of a chain named by ISO 606, and with it the bearing area, is remembered:
    `area_source` says so even where the rest of the row was read. The mass is that of one strand
    times the strands (a little high). The pin length is that of one strand. `light` is 0 for the
    standard series, 1 for the light chain whose capacity is published, NaN for the other light ones.
    `twin` is the designation of the same chain in the other standard, blank if there is none.
    """

    name: str
    pitch: Length
    roller_diameter: Length
    inner_width: Length
    pin_diameter: Length
    bush_length: Length
    pin_length: Length
    plate_height: Length
    strands: Count
    breaking_load: Force
    mass_per_metre: MassPerLength
    transverse_pitch: Length
    source: Source
    area_source: Source
    mass_source: Source
    row_content: str
    light: Count = 0.0
    twin: str = ""

    @property
    def bearing_area(self) -> Area:
        """Pin times bush, all strands; computed aside, since a sheet shows it as a value of the listing."""
        return joint_area.__wrapped__(  # type: ignore[attr-defined]
            self.pin_diameter, self.bush_length, self.strands)


def chain_names() -> list[str]:
    """All designations of ISO 606, simplex first within each size."""
    return [f"{row.name}-{n}" for row in table("chain_series").rows for n in range(1, MOST_STRANDS + 1)
            if row.text(f"Fu{n}_kN")]


def asme_names() -> list[str]:
    """All designations by American numbers, one strand first within each size."""
    return [f"{row.name}-{n}" for row in table("chain_series_asme").rows
            for n in range(1, MOST_STRANDS + 1) if _has_twin(row, n)]


@cache
def series(chain_name: str) -> ChainSize:
    """The standard chain of that designation, such as `08B-1` or `ASME 60-2`. `KeyError` if there is none."""
    size, dash, strands = chain_name.strip().rpartition("-")
    row, inch = table("chain_series").get(size), table("chain_series_asme").get(" ".join(size.split()))
    if dash and strands in ("1", "2", "3"):
        if row is not None and row.text(f"Fu{strands}_kN"):
            return _chain(row, int(strands))
        if inch is not None and _has_twin(inch, int(strands)):
            return _asme_chain(inch, int(strands))
    raise KeyError(
        f"There is no standard chain '{chain_name}'. Write a size, a dash and one to three strands, "
        f"for instance 08B-1 or ASME 40-1; sizes are {', '.join(table('chain_series').names)} "
        f"(light ones with one strand only) and {', '.join(table('chain_series_asme').names)}."
    )


def _has_twin(row: Row, n: int) -> bool:
    """True where the ISO chain of the same sprockets is made with n strands."""
    return bool(table("chain_series")[row.text("twin")].text(f"Fu{n}_kN"))


def _chain(row: Row, n: int) -> ChainSize:
    twin = next((r.name for r in table("chain_series_asme").rows if r.text("twin") == row.name), "")
    return ChainSize(
        name=f"{row.name}-{n}",
        pitch=row.number("pitch_mm", MM),
        roller_diameter=row.number("roller_d_mm", MM),
        inner_width=row.number("inner_width_mm", MM),
        pin_diameter=row.number("pin_d_mm", MM),
        bush_length=row.number("bush_length_mm", MM),
        pin_length=row.number("pin_length_mm", MM),
        plate_height=row.number("plate_height_mm", MM),
        strands=float(n),
        breaking_load=row.number(f"Fu{n}_kN", KILO),
        mass_per_metre=row.number("mass_kg_m") * n,
        transverse_pitch=row.number("transverse_pitch_mm", MM),
        source=row.source,
        area_source=replace(row.source, place=f"{row.source.place}, bush length", obtained="from memory"),
        mass_source=row.source, row_content=row.content,
        light=_light(row.name, row.text("kind")),
        twin=f"{twin}-{n}" if twin else "",
    )


def _light(name: str, kind: str) -> float:
    return 0.0 if kind != "light" else 1.0 if name in RATED_LIGHT else NAN


def _asme_chain(row: Row, n: int) -> ChainSize:
    twin = series(f"{row.text('twin')}-{n}")
    width = row.number("inner_width_in", INCH)
    return replace(
        twin, name=f"{row.name}-{n}", twin=twin.name,
        pitch=row.number("pitch_in", INCH),
        roller_diameter=row.number("roller_d_in", INCH),
        inner_width=width,
        pin_diameter=row.number("pin_d_in", INCH),
        bush_length=width + ROLLER_LINK_OVER_PLATE * row.number("plate_in", INCH),
        plate_height=PLATE_OVER_PITCH * row.number("pitch_in", INCH),
        breaking_load=row.number("strength_lbf", POUND_FORCE) * n,
        source=row.source, area_source=row.source,
        row_content=f"{row.content}|{twin.row_content}",
    )


def application_factor(driver: str, driven: str) -> Row:
    """The row of the application factor f_1 for two characteristics: smooth, slight shocks, ..."""
    found = table("chain_application_factors").get(f"{driver} to {driven}")
    if found is None:
        raise KeyError(
            f"There is no application factor for '{driver}' driving '{driven}'. The driver is smooth, "
            "slight shocks or moderate shocks; the driven side smooth, moderate shocks or heavy shocks."
        )
    return found


@cache
def oil_limits() -> tuple[Any, tuple[Any, Any], tuple[Source, ...]]:
    """Pitches [m], speeds [m/s] up to which drip feed and a bath do, and sources; an unknown row behind the last."""
    rows = table("chain_lubrication").rows
    limits = [np.array([*(r.number(f"type_{kind}_ft_min", FOOT / 60) for r in rows), NAN]) for kind in "AB"]
    pitches = np.array([r.number("pitch_in", INCH) * (1 + SAME_PITCH) for r in rows])
    return pitches, (limits[0], limits[1]), (*(r.source for r in rows), table("chain_lubrication").source)


def practice(item: str) -> Row:
    """A row of the table of chain practice, with its own source and trust."""
    return table("chain_practice")[item]
