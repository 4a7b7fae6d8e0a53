"""What a search asks for, as it is written: `bore=20 mm..30 mm`, `width=..15 mm`, `element=polyurethane`."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from layshaft.listings.imports import cells
from layshaft.listings.imports.fields import Field, list_fields, part_kinds
from layshaft.listings.offers import Offer, standard_kinds, standard_offers
from layshaft.trace.errors import BadInput

CLOSE = 1e-9
"""Both ends reach a little further: 25 mm of a list in inches is 25 mm."""

RANGE = ".."
Range = tuple[float, float]


def kind_named(text: str) -> str:
    """A kind by its name. Raises `BadInput` with the kinds there are."""
    kinds = list(dict.fromkeys([*part_kinds(), *standard_kinds()]))
    if text in kinds:
        return text
    near = [k for k in kinds if text.casefold() in k or k in text.casefold()]
    raise BadInput(f"'{text}' is no kind of part. {'Did you mean ' + near[0] + '? ' if near else ''}"
                   f"Kinds are {', '.join(kinds)}.")


def asked(texts: Sequence[str]) -> tuple[dict[str, Range], dict[str, str]]:
    """Ranges in SI and wanted words, by key. Raises `BadInput`."""
    ranges: dict[str, Range] = {}
    words: dict[str, str] = {}
    fields = list_fields()
    for text in texts:
        key, equals, value = (part.strip() for part in text.partition("="))
        if not equals or not value:
            raise BadInput(f"'{text}' asks for nothing. Write for instance --where 'bore=20 mm..30 mm'.")
        if key not in fields:
            raise BadInput(f"'{key}' is nothing a list says. Keys are {', '.join(fields)}.")
        if key in ranges or key in words:
            raise BadInput(f"'{key}' is asked for twice. Write one range: --where '{key}=LOW..HIGH'.")
        if fields[key].is_text:
            words[key] = value
        else:
            ranges[key] = _range(fields[key], value)
    return ranges, words


def _range(what: Field, text: str) -> Range:
    low, two, high = (part.strip() for part in text.partition(RANGE))
    if not two:
        high = low
    if not low and not high:
        raise BadInput(f"'{text}' has no end. Write for instance {what.name}=LOW{RANGE}HIGH.")
    unit = high.lstrip("+-0123456789.,/ ")
    ends = (_value(what, low, unit) if low else -math.inf, _value(what, high, unit) if high else math.inf)
    if ends[0] > ends[1]:
        raise BadInput(f"'{text}': the smaller end comes first.")
    return reaching(*ends)


def reaching(low: float, high: float) -> Range:
    """A range whose ends, where it has any, reach a little further."""
    return (low - CLOSE * abs(low) if math.isfinite(low) else low), (
        high + CLOSE * abs(high) if math.isfinite(high) else high)


def _value(what: Field, text: str, unit: str) -> float:
    if "," in text:
        raise BadInput(f"'{text}' has a comma. Write a point before decimals.")
    if not any(c.isdecimal() for c in text):
        raise BadInput(f"{what.name}: '{text}' is not a number.")
    how = cells.Reading(what, "XXX" if what.unit_of == "money" else unit, ".")
    values, wrong = cells.numbers([text], how)
    if wrong or not math.isfinite(values[0]):
        raise BadInput(f"{wrong[0].why if wrong else f'{what.name}: {text!r} is not a value'}.")
    return float(values[0])


def number(offer: Offer, key: str) -> float:
    """A numeric value of an offer by its key; NaN where it says nothing or a word."""
    own = {"mass": offer.mass, "price": offer.price, "lead time": offer.lead_time, "distance": offer.distance,
           "pack": offer.pack, "least order": offer.least_order}
    value = own[key] if key in own else offer.values.get(key, math.nan)
    return math.nan if isinstance(value, str) else value


def standard_fitting(kind: str, where: Mapping[str, Range], words: Mapping[str, str]) -> list[Offer]:
    """Offers of the standard series that fit, in their order."""
    return [o for o in standard_offers(kind)
            if all(low <= number(o, key) <= high for key, (low, high) in where.items())
            and all(str(o.values.get(key, "")).casefold() == word.casefold() for key, word in words.items())]
