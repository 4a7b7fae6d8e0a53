"""Tabulated figures of worm gears: form of the wheel's tooth by pressure angle, wear factors, bronzes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.listings.tables import Row, table
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, INCH, POUND_FORCE

PSI = POUND_FORCE / INCH**2
MEGA = 1e6
HARD, SOFT = 500.0, 250.0
"""Brinell hardness of the worm from which on the two columns of wear factors hold."""


@dataclass(frozen=True, slots=True)
class WheelMaterial:
    """One cast bronze, SI: strength, what its root bears for ever, and how its castings weaken with size."""

    R_e: float
    sigma_f: float
    D_c: float
    c_0: float
    c_1: float
    density: float
    chilled: bool
    row: Row


def wheel_material(name: str) -> WheelMaterial | None:
    """The row of a bronze, or None."""
    row = table("worm_wheel_materials").get(name)
    if row is None:
        return None
    return WheelMaterial(
        row.number("Re_MPa", MEGA), row.number("fatigue_psi", PSI), row.number("alike_to_in", INCH),
        row.number("Cs_constant"), row.number("Cs_per_decade"), row.number("density_kg_m3"),
        row.text("chilled") == "yes", row)


def by_pressure_angle(column: str, alpha_n: Any, factor: float = 1.0) -> tuple[float, Source]:
    """A column of the table of worm gear teeth at a pressure angle, straight lines between its rows."""
    rows = table("worm_gear_teeth").rows
    angles = [row.number("angle_deg", DEGREE) for row in rows]
    values = [row.number(column, factor) for row in rows]
    found = float(np.interp(float(alpha_n), angles, values, left=np.nan, right=np.nan))
    work, obtained = rows[0].source.work, rows[0].source.obtained
    return found, Source(work, f"{column.split('_')[0]} by pressure angle, table worm_gear_teeth", obtained)


def wear_factor(alpha_n: Any, hardness: float, *, chilled: bool) -> tuple[float, Source]:
    """Buckingham's factor of a steel worm on bronze; NaN below 250 Brinell."""
    if not hardness >= SOFT:
        return np.nan, Source("a worm below 250 Brinell, or of unknown hardness, is in no table", obtained="given")
    column = "Kw_soft_psi" if hardness < HARD else "Kw_chilled_psi" if chilled else "Kw_hard_psi"
    return by_pressure_angle(column, alpha_n, PSI)
