"""Tolerance classes as they are written, `H7/k6` or `25 g6`, and the rows of the tables they stand in.

Holes have capital letters, shafts small ones. A class the standard does not have at a size is
refused by name, with what to write instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from layshaft.listings.tables import Row, Table, table
from layshaft.trace.errors import BadInput

MILLI = 1e-3
LARGEST = 0.500
"""m; the tables end here."""

GRADES = ("01", "0", *map(str, range(1, 19)))
SHAFTS = ("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s", "t", "u",
          "v", "x", "y", "z", "za", "zb", "zc")
ABOVE_ZERO = frozenset(SHAFTS[SHAFTS.index("j"):])
"""Letters whose lower deviation is in the table; of the others it is the upper one."""

_CLASS = re.compile(r"([A-Za-z]{1,2})\s*(01|0|1[0-8]|[1-9])")
_SIZED = re.compile(r"(\d+(?:\.\d+)?|\.\d+)\s*(?:mm)?\s*([A-Za-z].*)")
_SMALLEST_AB = 0.001
_TINY = 0.003
_EXAMPLE = "write a hole and a shaft, such as H7/k6"


class FitError(BadInput):
    """A fit or class that cannot be used; the message says what to write."""


@dataclass(frozen=True, slots=True)
class ToleranceClass:
    """`letter` as in the tables, small for holes too; `grade` a word such as `7` or `01`."""

    letter: str
    grade: str
    hole: bool

    def __str__(self) -> str:
        return f"{self.letter.upper() if self.hole else self.letter}{self.grade}"


def read_class(text: str) -> ToleranceClass:
    """One class from its text. Raises `FitError`."""
    match = _CLASS.fullmatch(text.strip())
    if not match:
        raise FitError(f"'{_clipped(text)}' is no tolerance class: it is one or two letters and a grade from 01 to 18; "
                       "write for instance H7 for a hole or k6 for a shaft.")
    letters, grade = match.groups()
    if letters.lower() not in SHAFTS or letters not in (letters.lower(), letters.upper()):
        raise FitError(f"'{_clipped(text)}' is no tolerance class: holes run from A to ZC, shafts from a to zc, both "
                       "letters large or both small, without i, l, o, q and w; write for instance H7 or k6.")
    return ToleranceClass(letters.lower(), grade, letters.isupper())


def read_fit(text: str) -> tuple[ToleranceClass, ToleranceClass]:
    """Hole and shaft of a fit such as `H7/k6`. Raises `FitError`."""
    first, slash, second = text.partition("/")
    if not slash:
        raise FitError(f"'{_clipped(text)}' is no fit: {_EXAMPLE}.")
    hole, shaft = read_class(first), read_class(second)
    if not hole.hole or shaft.hole:
        raise FitError(f"'{_clipped(text)}' must name the hole first, with a capital letter, and then the shaft with a "
                       f"small one: {_EXAMPLE}.")
    return hole, shaft


def read_sized(text: str) -> tuple[float, str]:
    """Size in metres and the rest of a text such as `25 H7/g6`. Raises `FitError`."""
    match = _SIZED.fullmatch(text.strip())
    if not match:
        raise FitError(f"'{_clipped(text)}' must begin with the size in millimetres; write for instance 25 H7/g6.")
    return float(match.group(1)) * MILLI, match.group(2)


def grade_row(size: float) -> Row:
    """The row of standard tolerances of a size. Raises `FitError`."""
    return _row(table("iso_286_grades"), size)


def shaft_row(size: float) -> Row:
    """The row of fundamental deviations of a size. Raises `FitError`."""
    return _row(table("iso_286_shafts"), size)


def hole_j_row(size: float) -> Row:
    """The row of J6 to J8 of a size. Raises `FitError`."""
    return _row(table("iso_286_holes_j"), size)


def column(c: ToleranceClass) -> str:
    """The column of the shaft table a class is read in."""
    return c.letter + c.grade if c.letter == "j" else c.letter


def refuse_missing(size: float, c: ToleranceClass) -> None:
    """Raise `FitError` where the standard has no such class at this size."""
    shaft = shaft_row(size)
    grade = int(c.grade)
    if c.letter == "js":
        return
    gone = (c.letter in ("a", "b") and size <= _SMALLEST_AB) or (
        c.hole and c.letter == "n" and grade > 8 and size <= _SMALLEST_AB) or (
        c.hole and c.letter == "k" and grade > 8 and size > _TINY)
    if c.letter == "j":
        gone = c.grade not in (("6", "7", "8") if c.hole else ("5", "6", "7", "8"))
        gone = gone or (not c.hole and not shaft.text(column(c)))
    elif not shaft.text(c.letter):
        gone = True
    if gone:
        raise FitError(f"the standard has no {c} at {size / MILLI:g} mm: take {_instead(c)} instead.")


def _instead(c: ToleranceClass) -> str:
    """A class nearby that every size has."""
    near = {"a": "c", "b": "c", "cd": "d", "ef": "f", "fg": "g", "j": "js", "k": "js", "n": "p", "t": "u", "v": "x",
            "y": "x"}
    return str(ToleranceClass(near.get(c.letter, "h"), c.grade, c.hole))


def _row(source: Table, size: float) -> Row:
    if not 0 < size <= LARGEST + 1e-12:
        raise FitError(f"{size / MILLI:g} mm is outside the tables of fits, which run to 500 mm: state limits in "
                       "figures instead of a class.")
    return next(r for r in source.rows if size <= r.number("to_mm", MILLI) + 1e-12)


def _clipped(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:40]}..."
