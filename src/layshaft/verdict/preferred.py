"""Sizes by preferred numbers: about the one there is, or over a whole range where none is chosen.

They are the numbers R20 of ISO 3, modules those of ISO 54; lengths in inches go by sixteenths.
"""

from __future__ import annotations

import math

from layshaft.listings.tables import table
from layshaft.machine.schema import Given
from layshaft.trace.units import INCH, shown
from layshaft.verdict.candidates import Search
from layshaft.verdict.context import Context
from layshaft.verdict.search import Candidate

MILLI = 1e-3
SIXTEENTH = INCH / 16
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
"""Preferred numbers R20 (ISO 3, values from memory)."""

SERIES = "Sizes are those of the preferred numbers; any other can be made."
ANY = "Preferred numbers (ISO 3), to begin with: no series of it is standardised."
ROOM = 1.05
"""Times the inner diameter from which on a ring has a face worth the name."""

ALIKE = 0.02
"""A number nearer than this to the size there is makes no size of its own."""


def decades(low: int, high: int) -> list[float]:
    """R20 from ten to the power of `low` up to ten to the power of `high`."""
    return [float(f"{n}e{k}") for k in range(low, high) for n in R20] + [float(f"1e{high}")]


def modules() -> list[float]:
    """Preferred modules of ISO 54, m."""
    return [row.number("m_mm", MILLI) for row in table("modules_preferred").rows]


def by_module(there: Given, found: Search, stays: str) -> Search:
    """Preferred modules, and the one there is."""
    if not there.known:
        return Search(cannot=f"its {name_of(there)} is not given, so there is none to step from")
    found.candidates = [Candidate(f"module {v / MILLI:g} mm", {there.path: v})
                        for v in sorted({*modules(), there.nominal})]
    found.note = f"Preferred modules (ISO 54); {stays}, so the distance or the place of the wheels changes."
    return found


def lengths(c: Context, there: Given, found: Search, stays: str, above: float = 0.0, called: str = "") -> Search:
    """Preferred numbers about the size there is, or sixteenths of an inch; only those above another size."""
    if not there.known or not there.nominal > 0:
        return Search(cannot=f"its {name_of(there)} is not given, so there is none to step from")
    inch = c.machine.units == "inch"
    values = sorted({*(_sixteenths(there.nominal) if inch else _about(there.nominal)), there.nominal})
    values = [v for v in values if v >= above * ROOM or v == there.nominal]
    unit, size = ("in", INCH) if inch else ("mm", MILLI)
    name = called or name_of(there)
    found.candidates = [Candidate(f"{name} {v / size:.10g} {unit}", {there.path: v}) for v in values]
    found.note = stays + ("" if inch else SERIES)
    return found


def numbers(there: Given, found: Search, low: int, high: int, stays: str = "") -> Search:
    """Preferred numbers of any dimension: about what there is, else between two powers of ten of its SI unit."""
    values = sorted({*_about(there.nominal), there.nominal} if there.known else decades(low, high))
    found.candidates = [Candidate(f"{name_of(there)} {shown(v, there.dimension, digits=3)}", {there.path: v})
                        for v in values]
    found.note = f"{stays}{ANY}"
    return found


def _about(was: float) -> list[float]:
    power = math.floor(math.log10(was))
    return [v for v in (n * 10.0**k for k in (power - 1, power, power + 1) for n in R20) if abs(v / was - 1) > ALIKE]


def _sixteenths(was: float) -> list[float]:
    middle = round(was / SIXTEENTH)
    return [n * SIXTEENTH for n in range(max(1, middle - 8), middle + 9) if abs(n * SIXTEENTH / was - 1) > ALIKE]


def name_of(there: Given) -> str:
    """What the file calls a size."""
    return there.path.rpartition(".")[2]
