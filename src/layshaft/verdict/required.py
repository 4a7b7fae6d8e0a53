"""Required margins: the usual ones from a table, the builder's own from the machine file."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from layshaft.listings.tables import Row, table
from layshaft.trace.source import Source


@functools.cache
def _row(mode: str) -> Row:
    return table("required_margins")[mode]


@functools.cache
def lets_go(mode: str) -> bool:
    """True where a shortfall means that the part parts, shears or yields."""
    return _row(mode).text("lets_go") == "yes"


@functools.cache
def while_turning(mode: str) -> bool:
    """True where the mode is asked only in cases in which the part's shaft turns."""
    return _row(mode).text("asked") == "while turning"


@functools.cache
def stricter_over_people(mode: str) -> bool:
    """True where the stricter value is for loads that hang over people alone, not for any hazard."""
    return _row(mode).text("stricter_for") == "loads over people"


@functools.cache
def usual(mode: str, people: bool) -> tuple[float, Source]:
    """What the house asks of a mode where the machine file says nothing, and who asks for it."""
    row = _row(mode)
    value = row.number("over_people" if people else "required")
    return value, Source(row.text("asked_by"), f"required margin of {mode}", row.source.obtained)


def required_margin(mode: str, margins: Mapping[str, Any], hurts: bool,
                    over_people: bool = False) -> tuple[float, Source]:
    """Required margin of a failure mode and who asks for it.

    The builder's own value wins. The stricter usual value applies where a weight hangs over people,
    or where a person can be hurt and the stricter value is for that.
    """
    stricter = over_people if stricter_over_people(mode) else hurts
    own = margins.get(mode) if margins else None
    if own is not None and own.known:
        return float(own.nominal), own.origin
    return usual(mode, stricter)

