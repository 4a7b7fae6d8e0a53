"""The formulary: every published formula of the house, listed, explained and computed alone.

Pure text and plain data; the command line and the pages only print what these functions give.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces import formulary_index
from layshaft.trace.choices import Choices
from layshaft.trace.errors import BadInput
from layshaft.trace.formula import FormulaInfo
from layshaft.trace.registry import (
    inputs_in,
    load_all,
    load_choices,
    meaning_of,
    modules_of_room,
    room_of,
    used_by,
)
from layshaft.trace.sheet import source_text
from layshaft.trace.text import info_text, quantity_text
from layshaft.trace.units import Dimension, UnitError, figure, parse_quantity, shown, unit_factor

WIDTH = 100


class FormularyError(BadInput):
    """What was asked for is not in the formulary; the message says what is."""


@dataclass(frozen=True, slots=True)
class Computed:
    """One formula worked out once: SI inside, and in the unit asked for."""

    info: FormulaInfo
    inputs: dict[str, float]
    value: float
    unit: str

    @property
    def text(self) -> str:
        """One line for the screen, a second one where the result is unknown."""
        info = self.info
        if math.isnan(self.value):
            return f"{info.symbol} ({info.meaning}) is unknown here{f': {info.outside}.' if info.outside else '.'}"
        asked = shown(self.value, info.dimension, self.unit, digits=6)
        said = f"{info.symbol} ({info.meaning}) = {asked}"
        if info.stock is None:
            return said
        size = self.stock_size
        found = "none is large enough" if size is None else shown(size, info.dimension, self.unit)
        return f"{said}\nsmallest usual size in stock that is not below it: {found}"

    @property
    def stock_size(self) -> float | None:
        """The smallest usual size that is not below the result, in SI; None where there is none."""
        size = math.nan if self.info.stock is None else float(self.info.stock(self.value))
        return size if math.isfinite(size) else None

    def as_dict(self) -> dict[str, Any]:
        """Plain data for JSON; an unknown result is None."""
        info = self.info
        known = math.isfinite(self.value)
        factor = unit_factor(self.unit, info.dimension) or 1.0
        inputs = {
            name: {"value": value, "unit": info.dimensions[name].si,
                   "shown": quantity_text(value, info.dimensions[name]), "meaning": meaning_of(info, name)}
            for name, value in self.inputs.items()
        }
        source = {"work": info.source.work, "place": info.source.place,
                  "obtained": info.source.obtained, "weak": info.source.weak}
        return {
            "name": info.name, "symbol": info.symbol, "meaning": info.meaning, "version": info.version,
            "inputs": inputs,
            "result": {"value": self.value if known else None, "unit": info.dimension.si},
            "asked": {"value": self.value / factor if known else None, "unit": self.unit},
            "stock": self.stock_size,
            "unknown": "" if known else info.outside or "the inputs lead to no finite number",
            "source": source,
        }


def listing() -> str:
    """All formulas by room: name, symbol, unit, meaning."""
    lines: list[str] = []
    for room, infos in groupby(sorted(load_all().values(), key=room_of), room_of):
        lines += ["", room.replace("_", " ").replace(".", ": ")]
        for info in infos:
            name = info.name
            unit = info.dimension.shown[0]
            lines.append(f"  {name:<38} {info.symbol:<12} {unit:<8} {info.meaning}".rstrip())
    if decisions := load_choices():
        lines += ["", "decisions, side by side", *(f"  {title}" for title in decisions)]
    return "\n".join(lines).strip() + "\n"


def find(name: str) -> FormulaInfo:
    """The formula of that name: in full, or as much of its end as names one formula only."""
    formulas = load_all()
    wanted = name.strip().casefold()
    matches = [i for n, i in formulas.items() if n.casefold() == wanted] or [
        i for n, i in formulas.items() if n.casefold().endswith(f".{wanted}")]
    if len(matches) == 1:
        return matches[0]
    if matches:
        names = ", ".join(i.name for i in matches)
        raise FormularyError(f"'{name}' stands for {len(matches)} formulas: write one of {names}.")
    raise FormularyError(f"There is no formula '{name}'.{_near(wanted, list(formulas))}")


def _near(wanted: str, names: list[str]) -> str:
    """Near misses, by full name and by last part, as a sentence."""
    by_end = {n.rsplit(".", 1)[-1]: n for n in names}
    ends = difflib.get_close_matches(wanted.rsplit(".", 1)[-1], by_end, n=3, cutoff=0.6)
    titles = {title.casefold(): title for title in load_choices()}
    close = [*difflib.get_close_matches(wanted, names, n=3, cutoff=0.7), *(by_end[e] for e in ends),
             *(titles[t] for t in difflib.get_close_matches(wanted, titles, n=1, cutoff=0.5)),
             *(i.name for i in formulary_index.search(wanted)[:3])]
    if not close:
        return " `layshaft formulary` lists all of them."
    return f" Did you mean {' or '.join(list(dict.fromkeys(close))[:3])}?"


def side_by_side(decision: Choices) -> str:
    """A decision: what each way costs in words, then its numbers in one table."""
    lines = [decision.title, "=" * len(decision.title), *textwrap.wrap(decision.case, WIDTH), ""]
    for way in decision.ways:
        lines += textwrap.wrap(f"{way.name}: {way.words}", WIDTH, subsequent_indent="  ", break_on_hyphens=False)
    meanings = list(dict.fromkeys(f.meaning for way in decision.ways for f in way.figures))
    wide = max(map(len, meanings), default=0)
    lines += ["", " " * wide + "".join(f"  {way.name:>20}" for way in decision.ways)]
    for meaning in meanings:
        cells = [next((_shown(f.value, f.dimension) for f in way.figures if f.meaning == meaning), "-")
                 for way in decision.ways]
        lines.append(f"{meaning:<{wide}}" + "".join(f"  {cell:>20}" for cell in cells))
    return "\n".join(lines) + "\n"


def _shown(value: float, dimension: Dimension) -> str:
    return shown(value, dimension) if math.isfinite(value) else "unknown"


def explain(name: str) -> str:
    """Everything a formula says about itself, with an example of how to compute it; or a decision side by side."""
    decision = next((c for title, c in load_choices().items() if title.casefold() == name.strip().casefold()), None)
    if decision is not None:
        return side_by_side(decision)
    info = find(name)
    unit = info.dimension.shown[0] or "a plain number"
    lines = [f"{info.name}  (version {info.version})", f"{info.symbol}: {info.meaning}, {unit}", "",
             *textwrap.wrap(f"{info.symbol} = {info_text(info)}", WIDTH, initial_indent="    ",
                            subsequent_indent="        ", break_long_words=False),
             "", *textwrap.wrap(info.explanation, WIDTH), ""]
    for parameter, dimension in info.dimensions.items():
        meaning = meaning_of(info, parameter) or "(no meaning given)"
        lines.append(f"    {parameter:<10} {meaning} [{_units_text(dimension)}]")
    lines += [*(["", f"Unknown where: {info.outside}"] if info.outside else []),
              "", f"Source: {source_text(info.source)}"]
    if users := used_by(info):
        lines.append(f"Used by: {', '.join(users)}")
    values = {p: f"1 {d.shown[0]}".rstrip() for p, d in info.dimensions.items()}
    example = " ".join(f"'{p}={v}'" if " " in v else f"{p}={v}" for p, v in values.items())
    return "\n".join([*lines, f"Compute: layshaft formulary {info.name} {example}"]) + "\n"


def _units_text(dimension: Dimension) -> str:
    """The units the door takes, the shown one first; "1" for a plain number."""
    names = [u for u in dict.fromkeys((*dimension.shown, *dimension.units)) if u not in ('"', "1")]
    return ", ".join(u or "plain number" for u in names[:6])


def compute(name: str, assignments: list[str], unit: str | None = None) -> Computed:
    """Work a formula out from texts such as ``T=60 N m``; the result in `unit` if given.

    Raises `FormularyError` or `UnitError`, each with one sentence.
    """
    info = find(name)
    inputs = _inputs(info, assignments)
    asked = _asked_unit(info, unit)
    exact = {p: np.float64(v) for p, v in inputs.items()}  # a plain float would raise where it divides by nothing
    with np.errstate(all="ignore"):
        value = float(np.asarray(info.function(**exact)))
    value = value if math.isfinite(value) else math.nan
    return Computed(info, inputs, value, info.dimension.best_unit(value) if asked is None else asked)


def _asked_unit(info: FormulaInfo, unit: str | None) -> str | None:
    if unit is None or unit_factor(unit, info.dimension) is not None:
        return unit
    raise UnitError(f"'{unit}' is not a unit of {info.dimension.name}, which {info.symbol} is. "
                    f"Ask for one of: {_units_text(info.dimension)}.")


def _inputs(info: FormulaInfo, assignments: list[str]) -> dict[str, float]:
    given: dict[str, float] = {}
    for text in assignments:
        key, equals, value = (part.strip() for part in text.partition("="))
        if not equals:
            raise FormularyError(f"'{text}' is not an assignment: write for instance '{_sample(info)}'.")
        if key not in info.parameters:
            raise FormularyError(f"{info.name} has no input '{key}'.{_near_parameter(key, info)}")
        if key in given:
            raise FormularyError(f"'{key}' is given twice: write it once.")
        given[key] = _one_value(key, value, info.dimensions[key])
    missing = [f"{p} ({meaning_of(info, p) or p}, a {info.dimensions[p].name})"
               for p in info.parameters if p not in given]
    if missing:
        raise FormularyError(f"{info.name} also needs {'; '.join(missing)}.")
    return {p: given[p] for p in info.parameters}


def wrong_inputs(info: FormulaInfo, asked: Mapping[str, str]) -> dict[str, str]:
    """Of each input that is missing or cannot be read, one sentence."""
    found = {}
    for name, dimension in info.dimensions.items():
        text = asked.get(name, "").strip()
        try:
            _one_value("", text, dimension)
        except UnitError as why:
            example = f"1 {dimension.printed[0]}".rstrip()
            found[name] = str(why).removeprefix(": ") if text else f"Needed too, for instance {example}."
    return found


def unusual(info: FormulaInfo, parameter: str, text: str) -> str:
    """What parts of its room have where a value is beyond that, as their inputs say; blank where they say nothing.

    A formula of a room may be meant for more than its parts: what is worked out stands beside the remark.
    """
    try:
        value = _one_value("", text.strip(), info.dimensions[parameter])
    except UnitError:
        return ""
    dimension = info.dimensions[parameter]
    limits = [f.metadata for module in modules_of_room(room_of(info)) for cls in inputs_in(module)
              for f in cls.quantities()
              if f.metadata["dimension"] == dimension and re.fullmatch(rf"{re.escape(parameter)}(_\d)?", f.name)]
    above = min((m["above"] for m in limits), default=-math.inf)
    least = min((max(m["at_least"], m["above"]) for m in limits), default=-math.inf)
    most = max((m["at_most"] for m in limits), default=math.inf)
    if value <= above:
        return f"Look again: parts of this kind have more than {shown(above, dimension)}."
    if value < least:
        return f"Look again: parts of this kind have at least {shown(least, dimension)}."
    return f"Look again: parts of this kind have at most {shown(most, dimension)}." if value > most else ""


@functools.cache
def checks_of(name: str) -> tuple[int, int, int] | None:
    """How many checks cover a formula: published, from memory, closed forms; None where the lock is not there."""
    inside = files("layshaft").joinpath("checks.lock")
    lock = inside if inside.is_file() else Path(__file__).parents[3] / "checks.lock"
    if not lock.is_file():
        return None
    for line in lock.read_text(encoding="utf-8").splitlines():
        if line.startswith(f"{name} "):
            published, remembered, closed = map(int, line.split()[1:4])
            return published, remembered, closed
    return None


def _one_value(key: str, text: str, dimension: Dimension) -> float:
    try:
        read = parse_quantity(text, dimension)
    except UnitError as e:
        raise UnitError(f"{key}: {e}") from None
    if read.low is not None:
        raise UnitError(f"{key}: '{text}' has a spread; a formula takes one value. "
                        f"Write for instance {figure(read.value / dimension.units.get(read.unit, 1.0))} "
                        f"{read.unit}.".replace(" .", "."))
    return read.value


def _sample(info: FormulaInfo) -> str:
    first = info.parameters[0]
    return f"{first}=1 {info.dimensions[first].shown[0]}".rstrip()


def _near_parameter(key: str, info: FormulaInfo) -> str:
    lower = {p.casefold(): p for p in info.parameters}
    close = difflib.get_close_matches(key.casefold(), lower, n=1, cutoff=0.5)
    if close:
        return f" Did you mean {lower[close[0]]}?"
    return f" Its inputs are {', '.join(info.parameters)}."
