"""Standard chains by designation: `08B-1` is one strand, `08B-2` two, `08B-3` three."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from layshaft.elements.roller_chain.strength import joint_area
from layshaft.listings.tables import Row, table
from layshaft.trace.source import Source
from layshaft.trace.units import Area, Count, Force, Length, MassPerLength

MM = 1e-3
KILO = 1e3
MOST_STRANDS = 3


@dataclass(frozen=True, slots=True)
class ChainSize:
    """One standard chain, SI. `breaking_load`, `mass_per_metre`, `bearing_area` count all strands.

    The bush length, and with it the bearing area, is remembered: `area_source` says so even where
    the rest of the row was read. The mass is that of one strand times the strands (a little high).
    """

    name: str
    pitch: Length
    roller_diameter: Length
    inner_width: Length
    pin_diameter: Length
    bush_length: Length
    plate_height: Length
    strands: Count
    breaking_load: Force
    mass_per_metre: MassPerLength
    transverse_pitch: Length
    source: Source
    area_source: Source
    row_content: str

    @property
    def bearing_area(self) -> Area:
        """Pin times bush, all strands; computed aside, since a sheet shows it as a value of the listing."""
        return joint_area.__wrapped__(  # type: ignore[attr-defined]
            self.pin_diameter, self.bush_length, self.strands)


def chain_names() -> list[str]:
    """All designations, simplex first within each size."""
    return [f"{row}-{n}" for row in table("chain_series").names for n in range(1, MOST_STRANDS + 1)]


@cache
def series(chain_name: str) -> ChainSize:
    """The standard chain of that designation, such as `08B-1` or `12A-2`. `KeyError` if there is none."""
    size, dash, strands = chain_name.strip().rpartition("-")
    row = table("chain_series").get(size)
    if not dash or row is None or strands not in ("1", "2", "3"):
        raise KeyError(
            f"There is no standard chain '{chain_name}'. Write a size, a dash and one to three strands, "
            f"for instance 08B-1; sizes are {', '.join(table('chain_series').names)}."
        )
    return _chain(row, int(strands))


def _chain(row: Row, n: int) -> ChainSize:
    return ChainSize(
        name=f"{row.name}-{n}",
        pitch=row.number("pitch_mm", MM),
        roller_diameter=row.number("roller_d_mm", MM),
        inner_width=row.number("inner_width_mm", MM),
        pin_diameter=row.number("pin_d_mm", MM),
        bush_length=row.number("bush_length_mm", MM),
        plate_height=row.number("plate_height_mm", MM),
        strands=float(n),
        breaking_load=row.number(f"Fu{n}_kN", KILO),
        mass_per_metre=row.number("mass_kg_m") * n,
        transverse_pitch=row.number("transverse_pitch_mm", MM),
        source=row.source,
        area_source=replace(row.source, place=f"{row.source.place}, bush length", obtained="from memory"),
        row_content=row.content,
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


def practice(item: str) -> Row:
    """A row of the table of chain practice, with its own source and trust."""
    return table("chain_practice")[item]
