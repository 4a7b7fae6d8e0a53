"""Cells of a list: a whole column of text into SI numbers, each cell that cannot be one with its reason.

A column of plain numbers goes through numpy in one piece; in any other, each different text is
understood once, by the units of the house.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from layshaft.listings.imports.fields import Field
from layshaft.trace.units import UnitError, parse_quantity, unit_factor

Floats = npt.NDArray[np.float64]
NOT_SAID = frozenset({"", "-", "–", "—", "n/a", "na", "n.a.", "nan", "?", "k.a.", "k. a.", "auf anfrage", "a. a.",
                      "on request", "tbd", "tba", "sur demande", "nc", "open"})
_NOT_PLAIN = re.compile(r"[^0-9.\n\-+]")
_NOT_PLAIN_COMMA = re.compile(r"[^0-9,\n\-+]")
_CELL = re.compile(r"([-+]?(?:\d[\d.,'’\u00a0\u202f ]*\d|\d|[.,]\d+))\s*(.*)", re.DOTALL)
_GROUPED = re.compile(r"[-+]?\d{1,3}(?:[ '’\u00a0\u202f]\d{3})+(?:[.,]\d+)?")
_FRACTION = re.compile(r"[-+]?(?:\d+\s+)?\d+/\d+")
_RANGE = re.compile(r"\d\s*(?:-|–|bis|to|à)\s*(?=\d)")
SYMBOLS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "Fr.": "CHF", "SFr.": "CHF"}
PER = re.compile(r"(?:/|per|pro|par|je)\s*(\d+)?\s*(?:pcs|pc|pieces?|stück|stuck|stk|st|u|unité|each|ea)?\.?\s*$", re.I)
_TIMES = {"s": 1, "h": 3600, "hour": 3600, "hours": 3600, "d": 86400, "day": 86400, "days": 86400, "tag": 86400,
          "tage": 86400, "tagen": 86400, "jour": 86400, "jours": 86400, "j": 86400, "w": 604800, "wk": 604800,
          "wks": 604800, "week": 604800, "weeks": 604800, "woche": 604800, "wochen": 604800, "wo": 604800,
          "semaine": 604800, "semaines": 604800, "sem": 604800, "month": 2629800, "months": 2629800,
          "monat": 2629800, "monate": 2629800, "monaten": 2629800, "mois": 2629800,
          "working days": 7 / 5 * 86400, "business days": 7 / 5 * 86400, "werktage": 7 / 5 * 86400,
          "arbeitstage": 7 / 5 * 86400, "at": 7 / 5 * 86400, "jours ouvres": 7 / 5 * 86400,
          "jours ouvrés": 7 / 5 * 86400}
"""Five working days make a week; a month is a twelfth of a year."""
_IN_STOCK = frozenset({"in stock", "stock", "ex stock", "from stock", "ab lager", "lager", "sofort", "en stock",
                       "immediate"})
SAY_DECIMAL = " (--decimal comma or --decimal point)"
"""How the command is told; a form has a field for it."""

ALIASES = {"u/min": "rpm", "tr/min": "rpm", "min-1": "1/min", "min⁻¹": "1/min", "zoll": "in", "inch": "in",
           "inches": "in", "pouce": "in", "pouces": "in", "lbs": "lb", "kgs": "kg", "gr": "g", "gramm": "g", "stk": "",
           "stück": "", "pcs": "", "pc": "", "st": "", "mtr": "m"}
"""Other spellings of the units of the house."""
_DISTANCES = {"km": 1e3, "m": 1.0, "mi": 1609.344, "mile": 1609.344, "miles": 1609.344}


class Refused(Exception):
    """A cell that is not what its column holds; the message says why."""


class Wrong(NamedTuple):
    """A cell that was refused: which row of the piece, and why."""

    row: int
    why: str


@dataclass(slots=True)
class Reading:
    """How the cells of one column are read; `currencies` fills up with what prices are in."""

    what: Field
    unit: str
    decimal: str
    per: float = 1.0
    currencies: dict[str, str] = field(default_factory=dict)


def decimal_sign(columns: Sequence[Sequence[str]]) -> str:
    """The decimal sign of a list: `,` or `.` where some cell settles it, "" where none does."""
    comma, point = False, False
    for texts in columns:
        for text in dict.fromkeys(texts):
            match = _CELL.match(text.strip())
            number = match.group(1) if match else ""
            comma |= bool(re.fullmatch(r"[-+]?\d{1,3}(\.\d{3})*,\d+|[-+]?\d+,(\d{1,2}|\d{4,})", number)) and not (
                re.fullmatch(r"[-+]?\d{1,3},\d{3}", number))
            point |= bool(re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+\.\d+|[-+]?\d+\.(\d{1,2}|\d{4,})", number))
    return "" if comma == point else "," if comma else "."


def numbers(texts: Sequence[str], how: Reading) -> tuple[Floats, list[Wrong]]:
    """A piece of a column as SI numbers, NaN where nothing is said, and the cells that are refused."""
    values = _plain(texts, how)
    wrong: list[Wrong] = []
    if values is None:
        values, wrong = _each(texts, how)
    bad = values <= how.what.least if how.what.above else values < how.what.least
    word = "more than" if how.what.above else "at least"
    wrong += [Wrong(i, f"{how.what.name} is {texts[i].strip()}; it must be {word} {how.what.least:g}")
              for i in np.flatnonzero(bad).tolist()]
    if how.what.unit_of == "count":
        whole = np.isfinite(values) & (values != np.round(values))
        wrong += [Wrong(i, f"{how.what.name} is {texts[i].strip()}; it must be a whole number")
                  for i in np.flatnonzero(whole).tolist()]
    return values, wrong


def _plain(texts: Sequence[str], how: Reading) -> Floats | None:
    """The whole piece at once, where every cell is a plain number and the column has a unit."""
    factor = factor_of(how.what, how.unit)
    joined = "\n".join(texts)
    if factor is None or (how.what.unit_of == "money" and not how.unit):
        return None
    if how.decimal == "," and not _NOT_PLAIN_COMMA.search(joined):
        joined = joined.replace(",", ".")
    elif _NOT_PLAIN.search(joined) or how.decimal == ",":
        return None
    try:
        values = np.array([t or "nan" for t in joined.split("\n")], np.float64)
    except ValueError:
        return None
    if len(values) != len(texts):
        return None
    if how.what.unit_of == "money":
        how.currencies.setdefault("", how.unit)
    values *= factor / how.per
    return values


def _each(texts: Sequence[str], how: Reading) -> tuple[Floats, list[Wrong]]:
    """Every different text once."""
    known: dict[str, float] = {}
    reasons: dict[str, str] = {}
    one = _READERS.get(how.what.unit_of, _quantity)
    for text in dict.fromkeys(texts):
        known[text] = math.nan
        bare = text.strip()
        if bare.casefold() in NOT_SAID:
            continue
        try:
            known[text] = one(bare, how)
        except Refused as why:
            reasons[text] = f"{how.what.name}: {why}"
    values = np.fromiter((known[t] for t in texts), np.float64, len(texts))
    wrong = [Wrong(i, reasons[t]) for i, t in enumerate(texts) if t in reasons] if reasons else []
    return values, wrong


def factor_of(what: Field, unit: str) -> float | None:
    """The SI size of a column's unit; None where it has none or it is of something else."""
    if what.unit_of == "money":
        return 1.0
    if what.unit_of == "distance":
        return _DISTANCES.get(unit)
    if what.unit_of == "time":
        return _TIMES.get(unit.casefold()) or _house(what, unit)
    return _house(what, unit)


def _house(what: Field, unit: str) -> float | None:
    return unit_factor(ALIASES.get(unit.casefold(), unit), what.dimension) if what.dimension is not None else None


def _split(text: str, how: Reading) -> tuple[str, str]:
    """A number with a point, and what follows it."""
    if text.startswith("="):
        raise Refused(f"'{_short(text)}' is a formula; write its value")
    match = _CELL.fullmatch(text)
    if not match:
        raise Refused(f"'{_short(text)}' is not a number")
    return point(match.group(1), how.decimal), match.group(2).strip()


def point(number: str, decimal: str) -> str:
    """A number as the house writes it. Raises `Refused` where its stops can be read in two ways."""
    if _GROUPED.fullmatch(number):
        number = re.sub(r"[ '’\u00a0\u202f]", "", number)
    if "," in number and "." in number:
        last = "," if number.rfind(",") > number.rfind(".") else "."
        number = number.replace("." if last == "," else ",", "")
        decimal = last
    stop = "," if "," in number else "."
    if stop not in number:
        return number
    if number.count(stop) > 1:
        if re.fullmatch(r"[-+]?\d{1,3}([.,]\d{3})+", number):
            return number.replace(stop, "")
        raise Refused(f"'{number}' has more than one decimal sign")
    if decimal and stop != decimal:
        if re.fullmatch(r"[-+]?\d{1,3}[.,]\d{3}", number):
            return number.replace(stop, "")
        raise Refused(f"'{number}' has another decimal sign than the rest of the list")
    if not decimal and stop == "," and re.fullmatch(r"[-+]?[1-9]\d{0,2},\d{3}", number):
        raise Refused(f"'{number}' can be read as {number.replace(',', '.')} or as {number.replace(',', '')}: say "
                      f"which decimal sign the list has{SAY_DECIMAL}")
    return number.replace(",", ".")


def _quantity(text: str, how: Reading) -> float:
    """A number in the column's unit, or with its own."""
    what = how.what
    assert what.dimension is not None
    if _FRACTION.match(text):
        number, unit = text, ""
    else:
        number, unit = _split(text, how)
    factor = _house(what, unit or how.unit)
    if factor is not None and not _FRACTION.match(text):
        return float(number) * factor
    bare = not unit and not re.search(r"[a-zA-Z\"]", text)
    if bare and not how.unit and "" not in what.dimension.units:
        raise Refused(f"'{_short(text)}' has no unit, and neither has the head of its column")
    try:
        return parse_quantity(f"{number} {unit or (how.unit if bare else '')}".strip(), what.dimension).value
    except UnitError as why:
        raise Refused(str(why).rstrip(".")) from None
    except (ValueError, OverflowError):
        raise Refused(f"'{_short(text)}' is not a {what.dimension.name}") from None


def _money(text: str, how: Reading) -> float:
    """A price with its currency before or behind it."""
    match = re.fullmatch(r"([^\d+\-.,]*)\s*(.*)", text, re.DOTALL)
    assert match is not None
    before, rest = match.group(1).strip(), re.sub(r"[.,][-–—]+", "", match.group(2))
    if text.startswith("="):
        raise Refused(f"'{_short(text)}' is a formula; write its value")
    number, behind = _split(rest, how)
    per = PER.search(behind)
    if per:
        behind = behind[: per.start()].strip()
    unit = currency(before or behind or how.unit)
    if not unit:
        said = before or behind
        raise Refused(f"'{_short(said)}' is no currency" if said else f"'{text}' has no currency, and the list neither")
    many = float(per.group(1)) if per and per.group(1) else how.per
    if not many:
        raise Refused(f"'{_short(text)}' is a price for no piece")
    how.currencies[text] = unit
    return float(number) / many


def currency(text: str) -> str:
    """A currency by its three letters or its sign; "" if it is none."""
    text = SYMBOLS.get(text.strip(), text.strip())
    return text if re.fullmatch(r"[A-Z]{3}", text) else ""


def _time(text: str, how: Reading) -> float:
    """A lead time: of a range the longer end; what is in stock takes none."""
    if text.casefold() in _IN_STOCK:
        return 0.0
    longer = _RANGE.sub("\0", f" {text}").rsplit("\0", 1)[-1].strip().removeprefix("ca. ").removeprefix("about ")
    number, unit = _split(longer, how)
    unit = unit or how.unit
    factor = factor_of(how.what, unit.rstrip("."))
    if factor is None:
        raise Refused(f"'{_short(text)}' is not a time; write for instance 3 weeks" if unit else
                      f"'{_short(text)}' has no unit, and neither has the head of its column")
    return float(number) * factor


def _distance(text: str, how: Reading) -> float:
    number, unit = _split(text, how)
    factor = _DISTANCES.get(unit or how.unit)
    if factor is None:
        raise Refused(f"'{_short(text)}' is not a distance; write for instance 120 km")
    return float(number) * factor


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:37]}..."


_READERS: dict[str, Callable[[str, Reading], float]] = {"money": _money, "time": _time, "distance": _distance}
