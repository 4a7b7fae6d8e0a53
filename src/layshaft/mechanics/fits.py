"""Limits and fits: how large and how small a hole and a shaft may be, and what that leaves between them.

ISO 286-1 to 500 mm. The rounded values of the standard's tables count; the formulas they were rounded
from are kept for the unit of tolerance alone. Deviations are from the nominal size, upper with sign.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.listings import tolerance_classes as written
from layshaft.listings.tables import Row
from layshaft.listings.tolerance_classes import ABOVE_ZERO, GRADES, MILLI, FitError, ToleranceClass
from layshaft.trace.formula import formula, looked_up, plain
from layshaft.trace.source import Source
from layshaft.trace.units import LENGTH, Length

__all__ = ["Fit", "FitError", "Limits", "ToleranceClass", "fit", "fit_of", "limits", "limits_of"]

RULES = Source("ISO 286-1:2010, code system for tolerances on linear sizes", "deviations of holes and shafts",
               "second text")
UNIT = Source("ISO 286-1:2010, code system for tolerances on linear sizes", "standard tolerance factor", "second text")
MICRO = 1e-6
FINEST_OF_J = "5"
EXCEPTION = (0.250, 0.315, -9e-6)
"""M6 from over 250 to 315 mm has its upper deviation at -9 um, where the rule would give -11."""

WORDS = {
    "IT": "standard tolerance of the grade", "IT_finer": "standard tolerance of the next finer grade",
    "ES": "upper deviation of the hole", "EI": "lower deviation of the hole",
    "es": "upper deviation of the shaft", "ei": "lower deviation of the shaft",
    "upper": "upper deviation", "lower": "lower deviation", "Delta": "step between the two grades",
    "D_1": "smaller end of the range", "D_2": "larger end of the range", "D": "geometric mean of the range",
    "size": "nominal size", "deviation": "deviation",
}


@formula("D", "geometric mean of the range", UNIT, where=WORDS)
def range_mean(D_1: Length, D_2: Length) -> Length:
    """All sizes of a range share the tolerance of this one."""
    return np.sqrt(D_1 * D_2)


@formula("i", "unit of tolerance", UNIT, where=WORDS, version=1)
def tolerance_unit(D: Length) -> Length:
    """Grade 6 is 10 units, 7 is 16, 8 is 25, 9 is 40, 10 is 64, 11 is 100; five grades on, ten times that."""
    return (0.45 * np.cbrt(D / MILLI) + 0.001 * D / MILLI) * MICRO


@formula("IT/2", "upper deviation of a class js", RULES, where=WORDS)
def half_tolerance(IT: Length) -> Length:
    """Half of the tolerance lies on each side of the nominal size."""
    return IT / 2


@formula("lower", "lower deviation", RULES, where=WORDS)
def below(upper: Length, IT: Length) -> Length:
    """The tolerance hangs below the upper deviation."""
    return upper - IT


@formula("upper", "upper deviation", RULES, where=WORDS)
def above(lower: Length, IT: Length) -> Length:
    """The tolerance stands on the lower deviation."""
    return lower + IT


@formula("EI", "lower deviation of the hole", RULES, where=WORDS)
def hole_of_shaft(es: Length) -> Length:
    """Holes A to H mirror the shafts of their letter."""
    return -es


@formula("Delta", "step between the two grades", RULES, where=WORDS)
def grade_step(IT: Length, IT_finer: Length) -> Length:
    """What a hole is moved by, so that it fits the shaft one grade finer as the shaft fits it."""
    return IT - IT_finer


@formula("ES", "upper deviation of the hole", RULES, where=WORDS)
def tight_hole_of_shaft(ei: Length, Delta: Length) -> Length:
    """Holes K to ZC mirror the shafts of their letter, moved by the step between the grades."""
    return -ei + Delta


@formula("U_g", "greatest interference", RULES, where=WORDS)
def greatest_interference(es: Length, EI: Length) -> Length:
    """The largest shaft in the smallest hole; below zero it is a clearance."""
    return es - EI


@formula("U_l", "least interference", RULES, where=WORDS)
def least_interference(ei: Length, ES: Length) -> Length:
    """The smallest shaft in the largest hole; below zero it is a clearance."""
    return ei - ES


@formula("d_lim", "limit of size", RULES, where=WORDS)
def limit_of_size(size: Length, deviation: Length) -> Length:
    """Nominal size and deviation."""
    return size + deviation


@dataclass(frozen=True, slots=True)
class Limits:
    """One class at one size, in metres: nominal size, deviations and limits."""

    size: float
    tolerance: ToleranceClass
    upper: Any
    lower: Any
    source: Source

    @property
    def largest(self) -> Any:
        """Upper limit of size."""
        return limit_of_size(self.size, self.upper)

    @property
    def smallest(self) -> Any:
        """Lower limit of size."""
        return limit_of_size(self.size, self.lower)

    def __str__(self) -> str:
        return f"{self.size / MILLI:g} {self.tolerance}"


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft of one size."""

    hole: Limits
    shaft: Limits

    @property
    def greatest_interference(self) -> Any:
        """Largest shaft less smallest hole."""
        return greatest_interference(self.shaft.upper, self.hole.lower)

    @property
    def least_interference(self) -> Any:
        """Smallest shaft less largest hole: below zero, the greatest clearance."""
        return least_interference(self.shaft.lower, self.hole.upper)

    @property
    def kind(self) -> str:
        """`clearance` where the shaft is never larger, `interference` where it always is, else `transition`."""
        if plain(self.greatest_interference) <= 0:
            return "clearance"
        return "interference" if plain(self.least_interference) > 0 else "transition"

    def __str__(self) -> str:
        return f"{self.hole}/{self.shaft.tolerance}"


def limits(text: str) -> Limits:
    """Limits of a class at a size, as in ``limits("25 H7")``. Raises `FitError`."""
    size, rest = written.read_sized(text)
    return limits_of(size, written.read_class(rest))


def fit(text: str) -> Fit:
    """A fit at a size, as in ``fit("25 H7/g6")``. Raises `FitError`."""
    size, rest = written.read_sized(text)
    return fit_of(size, rest)


def fit_of(size: float, text: str) -> Fit:
    """The fit `H7/g6` at a size in metres. Raises `FitError`."""
    hole, shaft = written.read_fit(text)
    return Fit(limits_of(size, hole), limits_of(size, shaft))


def limits_of(size: float, c: ToleranceClass) -> Limits:
    """Limits of a class at a size in metres. Raises `FitError`."""
    written.refuse_missing(size, c)
    row = written.grade_row(size)
    IT = _tolerance(row, c.grade)
    source = Source(RULES.work, f"{c} at {size / MILLI:g} mm, range {row.name} mm", row.source.obtained)
    if c.letter == "js":
        upper = half_tolerance(IT)
    elif c.hole:
        upper = _hole(size, row, c, IT)
    elif c.letter in ABOVE_ZERO:
        return Limits(size, c, above(lower := _shaft(size, c), IT), lower, source)
    else:
        upper = _shaft(size, c)
    return Limits(size, c, upper, below(upper, IT), source)


def _hole(size: float, row: Row, c: ToleranceClass, IT: Any) -> Any:
    """Upper deviation of a hole."""
    if c.letter == "j":
        j = written.hole_j_row(size)
        return _read(j, f"J{c.grade}", "ES", "upper deviation of the hole")
    if c.letter not in ABOVE_ZERO:
        return above(hole_of_shaft(_shaft(size, c)), IT)
    grade = int(c.grade)
    if c.letter == "m" and grade == 6 and EXCEPTION[0] < size <= EXCEPTION[1]:
        return looked_up("ES", "upper deviation of the hole", LENGTH, EXCEPTION[2], table="ISO 286-1", row="M6",
                         source=RULES)
    none = looked_up("Delta", "step between the two grades", LENGTH, 0.0, table="ISO 286-1", row=f"none for {c}",
                     source=RULES)
    moved = size > 3 * MILLI and 3 <= grade <= (8 if c.letter in "kmn" else 7) and c.grade != "01"
    if c.letter == "n" and grade > 8 and size > 3 * MILLI:
        zero = looked_up("ei", "lower deviation of the shaft", LENGTH, 0.0, table="ISO 286-1", row="N above grade 8",
                         source=RULES)
        return tight_hole_of_shaft(zero, none)
    step = grade_step(IT, _tolerance(row, GRADES[GRADES.index(c.grade) - 1])) if moved else none
    return tight_hole_of_shaft(_shaft(size, c), step)


def _shaft(size: float, c: ToleranceClass) -> Any:
    """Fundamental deviation of the shaft of a letter."""
    row = written.shaft_row(size)
    side = ("ei", WORDS["ei"]) if c.letter in ABOVE_ZERO else ("es", WORDS["es"])
    if c.letter == "k" and not c.hole and not (4 <= int(c.grade) <= 7 and c.grade != "01"):
        return looked_up(*side, LENGTH, 0.0, table="ISO 286-1", row=f"k{c.grade}", source=row.source)
    return _read(row, written.column(c), *side)


def _tolerance(row: Row, grade: str) -> Any:
    return _read(row, f"IT{grade}", "IT", f"standard tolerance of grade {grade}")


def _read(row: Row, column: str, symbol: str, meaning: str) -> Any:
    return looked_up(symbol, meaning, LENGTH, row.number(column, MICRO), table=row.table, row=f"{row.name} mm",
                     source=Source(row.source.work, f"{column} at {row.name} mm", row.source.obtained))
