"""Works out a printed line again: every number with its unit, as a reader with a calculator would."""

import math
import re

import numpy as np

from layshaft.trace.units import DIMENSIONS

SIZES = {unit: dimension.units[unit] for dimension in DIMENSIONS.values() for unit in dimension.shown if unit}
SIZES |= {"in": 0.0254, "ft": 0.3048, "lb": 0.45359237, "lbf": 4.4482216152605, "hp": 745.6998715822702,
          "rev/min": 2 * math.pi / 60, "deg": math.pi / 180, "psi": 6894.757293168, "kpsi": 6894757.293168,
          "kW": 1e3, "kN": 1e3, "h": 3600.0}
_UNITS = "|".join(re.escape(u) for u in sorted(SIZES, key=len, reverse=True))
_QUANTITY = re.compile(rf"(\d+(?:\.\d+)?(?:e[+-]?\d+)?) ({_UNITS})(?![A-Za-z0-9])")
NAMES = {
    "min": min, "max": max, "ln": np.log, "atan": np.arctan, "atan2": np.arctan2, "mod": np.mod, "asin": np.arcsin,
    "acos": np.arccos, "unknown": math.nan, "abs": abs, "pi": math.pi,
    **{n: getattr(np, n) for n in ("sin", "cos", "tan", "sqrt", "exp", "log10", "hypot", "ceil", "floor",
                                   "round", "sign", "cbrt", "tanh", "sinh", "cosh", "isnan", "radians", "expm1", "log1p", "arcsinh", "degrees")},
}


def _known(pick):
    """Largest or smallest, unknown where any value is unknown."""
    return lambda *values: math.nan if any(map(math.isnan, values)) else pick(values)


def worked_out(text):
    """The value in SI of a line such as ``2·60 N m/(25 mm)``."""
    text = _QUANTITY.sub(lambda m: f"({m[1]}*{SIZES[m[2]]!r})", text)
    text = text.replace("^", "**").replace("·", "*").replace("π", "pi").replace("∞", "float('inf')")
    text = text.replace(" mod ", " % ")
    with np.errstate(all="ignore"):
        return float(eval(text, NAMES | {"min": _known(min), "max": _known(max), "float": float}))
