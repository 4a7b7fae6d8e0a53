"""Spring wire: strength by diameter, fatigue of a stress that swings between two values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, Length, Ratio, Stress

BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
STRENGTH = Source(BOOK, "eq. 10-14; its constants by the standards of the wire", "from memory")
GERBER = Source(BOOK, "sec. 10-9, torsional Gerber line", "from memory")
MM, MEGAPASCAL, GIGA = 1e-3, 1e6, 1e9


@dataclass(frozen=True, slots=True)
class SpringWire:
    """A wire of one diameter, SI. Figures are NaN where no such wire is listed."""

    A: float
    m: float
    E: float
    G: float
    torsion: float
    hook_bending: float
    hook_torsion: float
    bending: float
    source: Source
    row_content: tuple[str, ...]


@cache
def spring_wire(name: str, d: float) -> SpringWire:
    """The wire of that name and diameter, m. `KeyError` for a name the table lacks; NaN outside its diameters."""
    row = table("spring_wires")[name]
    torsion, bending = row.number("torsion"), row.number("bending")
    hook_bending, hook_torsion = row.number("hook_bending"), row.number("hook_torsion")
    for size in table("spring_wire_sizes").rows:
        if size.text("wire") == row.name and size.number("over_mm", MM) < d <= size.number("to_mm", MM):
            return SpringWire(
                size.number("A_MPa", MEGAPASCAL), size.number("m"), size.number("E_GPa", GIGA),
                size.number("G_GPa", GIGA), torsion, hook_bending, hook_torsion, bending, size.source,
                (row.content, size.content))
    nan = float("nan")
    none = Source(f"no {row.name} of that diameter in table spring_wire_sizes", obtained="given")
    return SpringWire(nan, nan, nan, nan, torsion, hook_bending, hook_torsion, bending, none, (row.content,))


@cache
def practice(rule: str) -> tuple[float, Source]:
    """A rule of practice in SI, with its source."""
    row = table("spring_practice")[rule]
    unit = {"MPa": MEGAPASCAL, "deg": DEGREE}.get(row.text("unit"), 1.0)
    return row.number("value", unit), row.source


@formula("R_m", "tensile strength of the wire", STRENGTH, where={
    "A": "strength of a wire of one millimetre", "d": "diameter of the wire", "m": "exponent of the wire"})
def tensile_strength(A: Stress, d: Length, m: Ratio) -> Stress:
    """The thinner it is drawn, the stronger the wire."""
    return A * (d / MM) ** -m


@formula("S_e", "endless strength, swinging about nothing", GERBER, where={
    "S_a": "alternating strength of the tests", "S_m": "mean stress of the tests",
    "S_u": "strength against a steady stress of that kind"}, version=2,
         outside="the mean stress of the tests is beyond the strength")
def endless_strength(S_a: Stress, S_m: Stress, S_u: Stress) -> Stress:
    """The Gerber line through the tests, carried back to a mean stress of nothing."""
    return S_a / np.where(S_m < S_u, 1 - (S_m / S_u) ** 2, np.nan)


@formula("n_f", "factor against fatigue", GERBER, where={
    "s_a": "alternating stress", "s_m": "mean stress", "S_e": "endless strength, swinging about nothing",
    "S_u": "strength against a steady stress of that kind"})
def fatigue_factor(s_a: Stress, s_m: Stress, S_e: Stress, S_u: Stress) -> Ratio:
    """How far both stresses can grow together before they meet the Gerber line."""
    return 2 / (s_a / S_e + np.sqrt((s_a / S_e) ** 2 + 4 * (s_m / S_u) ** 2))
