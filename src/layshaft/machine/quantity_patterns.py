"""Quantities as regular expressions, for editors that check a machine file while it is written.

They accept every text the door accepts, in the dialect that Python and ECMAScript share; what only
arithmetic can tell (a spread that reaches below a limit) is left to `layshaft check`.
"""

from __future__ import annotations

import re
from functools import cache

from layshaft.trace.units import Dimension

_SIGNS = set("()[]{}.*+?^$|/\\")
_UNSIGNED = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?(?:\s+[0-9]+\/[0-9]+|\/[0-9]+)?"
_SPREAD = r"\s*(?:±|\+\/-|\+-)\s*"
_SHARE = r"\s*(?:%|percent)"
_NOT_ZERO = r"(?!\s*(?:about\s+)?\+?(?:0+\.?0*|\.0+)(?![0-9.\/]|\s+[0-9]+\/))"
_BETWEEN_SIGNS = r"[\s·*⋅.^]*"
"""What may stand between the letters of a unit, as the door reads them."""
_RAISED = {"2": "[2²]", "3": "[3³]", "4": "[4⁴]"}


def _unit(spelled: str) -> str:
    letters = (_RAISED.get(c) or (f"\\{c}" if c in _SIGNS else c) for c in re.sub(_BETWEEN_SIGNS, "", spelled))
    return _BETWEEN_SIGNS.join(letters)


@cache
def quantity_pattern(dimension: Dimension, sign: int) -> str:
    """One expression for all texts of a quantity: above zero (1), not below zero (0) or any value (-1)."""
    number = f"[+-]?{_UNSIGNED}" if sign < 0 else rf"\+?{_UNSIGNED}"
    units = "|".join(dict.fromkeys(_unit(u) for u in dimension.units if u))
    bare = "" in dimension.units
    unit = rf"(?:\s*(?:{units}))" if units else ""
    maybe = f"{unit}?" if unit else ""
    one = f"{number}{maybe if bare else unit}"
    bound = rf"[+-]?{_UNSIGNED}(?:{_SHARE}|{unit})?" if unit else rf"[+-]?{_UNSIGNED}(?:{_SHARE})?"
    forms = [f"{one}(?:{_SPREAD}{bound})?"]
    if not bare:
        forms.append(f"{number}{_SPREAD}{_UNSIGNED}{unit}")
    end = rf"[+-]?{_UNSIGNED}{maybe}"
    forms.append(rf"{one}\s+between\s+\[?{end}(?:\s*,\s*|\s+and\s+){end}\]?")
    return rf"^{_NOT_ZERO if sign > 0 else ''}\s*(?:about\s+)?(?:{'|'.join(forms)})\s*$"
