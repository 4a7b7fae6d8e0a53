"""Shaft steels: strength by grade, and how it falls in a thicker bar.

Strength is guaranteed for a small reference bar; a thicker one cools more slowly and is weaker
inside. What counts is the diameter of the bar when it was heat-treated, not the turned seat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.listings.tables import Row, table
from layshaft.trace.formula import formula, looked_up, named
from layshaft.trace.source import Source
from layshaft.trace.units import LENGTH, RATIO, STRESS, Length, Ratio, Stress

DIN_743_2 = Source("DIN 743-2, fatigue of shafts", "technological size factor", "from memory")
GIGA = 1e9
MEGA = 1e6
MILLI = 1e-3
LARGEST = 0.300
"""Metres: the largest bar the size factor of the standard goes to."""


@dataclass(frozen=True, slots=True)
class ShaftSteel:
    """One grade: strength in the bar asked for, and the constants of all steels."""

    row: Row
    R_m: Any
    R_e: Any
    E: float
    G: float
    rho: float

    @property
    def source(self) -> Source:
        """Where the strength of this grade comes from."""
        return self.row.source


@formula("K_1", "technological size factor", DIN_743_2, where={
    "d_bar": "diameter of the bar when heat-treated",
    "d_B": "reference diameter of the grade",
    "k": "loss of strength per tenfold diameter",
})
def size_factor(d_bar: Length, d_B: Length, k: Ratio) -> Ratio:
    """Strength falls with the logarithm of the diameter above the reference; flat above 300 mm."""
    return 1 - k * np.log10(np.maximum(np.minimum(d_bar, LARGEST) / d_B, 1))


@formula("R", "strength in the bar used", DIN_743_2, where={
    "R_B": "strength at the reference diameter",
})
def strength_in_bar(R_B: Stress, K_1: Ratio) -> Stress:
    """Strength of the reference bar times the size factor."""
    return R_B * K_1


def steel(grade: str, d_bar: Any) -> ShaftSteel | None:
    """Strength of a grade in a bar of this diameter; None if the table does not know the grade."""
    row = table("shaft_steels").get(grade)
    if row is None:
        return None
    kind = table("steel_conditions")[row.text("condition")]
    return ShaftSteel(
        row, _strength(row, kind, "m", "tensile strength", d_bar),
        _strength(row, kind, "e", "yield strength", d_bar),
        kind.number("E_GPa", GIGA), kind.number("G_GPa", GIGA), kind.number("density_kg_m3"),
    )


def _strength(row: Row, condition: Row, kind: str, meaning: str, d_bar: Any) -> Any:
    def cell(symbol: str, what: str, dimension: Any, place: Row, column: str, factor: float) -> Any:
        return looked_up(symbol, what, dimension, place.number(column, factor), table=place.table,
                         row=place.name, source=place.source)

    R_B = cell(f"R_{kind}B", f"{meaning} at the reference diameter", STRESS, row, f"R{kind}_MPa", MEGA)
    d_B = cell(f"d_B{kind}", f"reference diameter for the {meaning}", LENGTH, condition, f"dB_{kind}_mm",
               MILLI)
    k = cell(f"k_{kind}", f"loss of {meaning} per tenfold diameter", RATIO, condition, f"k_{kind}", 1.0)
    K_1 = named(f"K_1{kind}", size_factor(d_bar, d_B, k))
    return named(f"R_{kind}", strength_in_bar(R_B, K_1), meaning)
