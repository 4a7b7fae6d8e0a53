"""The record: what a sheet stood on, so that a later change shows which line moved and by how much.

Exact items are methods with their versions, own givens as exact decimals in SI, table rows by
content and choices. Demands are kept as numbers: they move in the last digits whenever anything in
the machine moves, and count as stale only beyond `REACH`. The fingerprint hashes exact items alone.
"""

from __future__ import annotations

import base64
import math
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from hashlib import blake2b
from typing import Any, Self

import numpy as np

from layshaft.trace.formula import Step, Trace
from layshaft.trace.units import DIMENSIONS, shown

REACH = 1e-6
"""Relative move of a demand beyond which a sheet is stale."""

RowContent = Callable[[str, str], str | None]


def fingerprint_of(items: Iterable[str]) -> str:
    """Ten letters and digits for print: the same for the same items in any order."""
    digest = blake2b("\n".join(sorted(items)).encode(), digest_size=6).digest()
    return base64.b32encode(digest).decode()[:10]


@dataclass(frozen=True)
class Record:
    """What one sheet stood on. Keys name the line; values are exact texts, demands are numbers.

    `dimensions` names the dimension of each given and demand, so that a comparison can print units.
    """

    methods: Mapping[str, int] = field(default_factory=dict)
    givens: Mapping[str, str] = field(default_factory=dict)
    rows: Mapping[str, str] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)
    demands: Mapping[str, float] = field(default_factory=dict)
    dimensions: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(
        cls, trace: Trace, demands: Collection[str] = (), row_content: RowContent | None = None
    ) -> Self:
        """Gather a record from a trace of scalars; `demands` are the symbols (of any step) that are demands.

        `row_content(table, row)` gives a table row as text; without it the looked-up value stands
        for the row. Raises `ValueError` for a trace over samples.
        """
        keys = _keys([s for s in trace.steps if s.kind == "given" or s.symbol in demands])
        own = {k: s for k, s in keys.items() if s.symbol not in demands}
        asked = {k: s for k, s in keys.items() if s.symbol in demands}
        chosen = _keys([s for s in trace.steps if s.kind == "chosen"])
        return cls(
            methods={s.formula.name: s.formula.version for s in trace.steps if s.formula is not None},
            givens={k: repr(_scalar(s)) for k, s in own.items()},
            rows=dict(_row(s, row_content) for s in trace.steps if s.kind == "looked up"),
            choices={k: repr(_scalar(s)) for k, s in chosen.items()},
            demands={k: _scalar(s) for k, s in asked.items()},
            dimensions={k: s.dimension.name for k, s in keys.items()},
        )

    @property
    def items(self) -> list[str]:
        """The exact items as texts, one a line."""
        return [
            *(f"method {name} version {version}" for name, version in self.methods.items()),
            *(f"given {key} = {value}" for key, value in self.givens.items()),
            *(f"row {key}: {value}" for key, value in self.rows.items()),
            *(f"choice {key} = {value}" for key, value in self.choices.items()),
        ]

    @property
    def fingerprint(self) -> str:
        """Short hash of the exact items only: demands do not enter."""
        return fingerprint_of(self.items)

    def to_dict(self) -> dict[str, Any]:
        """Plain data for JSON; an unknown demand is None."""
        demands = {k: v if math.isfinite(v) else None for k, v in self.demands.items()}
        return {"methods": dict(self.methods), "givens": dict(self.givens), "rows": dict(self.rows),
                "choices": dict(self.choices), "demands": demands, "dimensions": dict(self.dimensions)}

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """The record `to_dict` gave."""
        demands = {k: math.nan if v is None else float(v) for k, v in data["demands"].items()}
        return cls(dict(data["methods"]), dict(data["givens"]), dict(data["rows"]), dict(data["choices"]),
                   demands, dict(data["dimensions"]))


def _keys(steps: list[Step]) -> dict[str, Step]:
    """Steps by `heading: symbol`; a repeated one with another value is numbered."""
    keys: dict[str, Step] = {}
    for step in steps:
        first = key = f"{step.group}: {step.symbol}" if step.group else step.symbol
        n = 1
        while key in keys and repr(keys[key].value) != repr(step.value):
            n += 1
            key = f"{first} ({n})"
        keys[key] = step
    return keys


def _scalar(step: Step) -> float:
    if np.ndim(step.value):
        raise ValueError(f"{step.symbol} ({step.meaning}) holds samples; a record is of one single row.")
    return float(step.value)


def _row(step: Step, content: RowContent | None) -> tuple[str, str]:
    table, row = step.detail["table"], step.detail["row"]
    text = content(table, row) if content else None
    return f"{table}, {row}, {step.symbol}", text if text is not None else repr(_scalar(step))


def compare(old: Record, new: Record) -> list[str]:
    """One sentence per line that differs, and by how much; empty while the old record stands."""
    return [
        *_differences("method", old.methods, new.methods, lambda _, a, b: f"version {a}, now version {b}"),
        *_differences("given", old.givens, new.givens, lambda k, a, b: _moved(k, a, b, new)),
        *_differences("table row", old.rows, new.rows, lambda _, a, b: _cells(a, b)),
        *_differences("choice", old.choices, new.choices, _choice),
        *_demand_differences(old, new),
    ]


def _differences(
    word: str, old: Mapping[str, Any], new: Mapping[str, Any], say: Callable[[str, Any, Any], str]
) -> list[str]:
    changed = [f"{word} {k}: {say(k, old[k], new[k])}" for k in old if k in new and old[k] != new[k]]
    gone = [f"{word} {k}: no longer used" for k in old if k not in new]
    added = [f"{word} {k}: new" for k in new if k not in old]
    return [*changed, *gone, *added]


def _demand_differences(old: Record, new: Record) -> list[str]:
    lines = []
    for key in old.demands:
        if key not in new.demands:
            lines.append(f"demand {key}: no longer asked")
        elif moved(old.demands[key], new.demands[key]):
            lines.append(f"demand {key}: {_moved(key, old.demands[key], new.demands[key], new)}")
    return [*lines, *(f"demand {key}: new" for key in new.demands if key not in old.demands)]


def moved(old: float, new: float) -> bool:
    """True where a demand left its reach, became unknown or became known."""
    if math.isnan(old) or math.isnan(new):
        return not (math.isnan(old) and math.isnan(new))
    return abs(new - old) > REACH * max(abs(old), abs(new)) if old != new else False


def _moved(key: str, old: str | float, new: str | float, record: Record) -> str:
    a, b = float(old), float(new)
    dimension = DIMENSIONS[record.dimensions.get(key, "ratio")]
    texts = ["unknown" if math.isnan(v) else shown(v, dimension) for v in (a, b)]
    if texts[0] == texts[1]:  # too small a move for four digits
        texts = ["unknown" if math.isnan(v) else shown(v, dimension, digits=15) for v in (a, b)]
    by = f" ({100 * (b / a - 1):+.3g} %)" if a and math.isfinite(a) and math.isfinite(b) else ""
    return f"was {texts[0]}, now {texts[1]}{by}"


def _choice(_: str, old: str, new: str) -> str:
    return f"was {old.removesuffix('.0')}, now {new.removesuffix('.0')}"


def _cells(old: str, new: str) -> str:
    """The cells of a row that differ, where both are written as `column=value|...`."""
    a, b = (dict(p.partition("=")[::2] for p in text.split("|")) for text in (old, new))
    changed = [f"{k} was {a[k] or 'empty'}, now {b[k] or 'empty'}" for k in a if k in b and a[k] != b[k]]
    return "; ".join(changed) if changed and "=" in old and "=" in new else f"was {old}, now {new}"
