"""Readings of a test from CSV, looked through line by line; the value they give, and how sure it is."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine import document
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.measured import Table, read_table
from layshaft.machine.schema import Mark
from layshaft.mechanics import uncertainty as gum
from layshaft.study.find_out import say
from layshaft.study.find_out.model import Column, Rows, Test
from layshaft.trace.formula import Trace, chosen, given, group, looked_up, plain, tracing
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, RATIO, Dimension, UnitError, parse_quantity, shown, unit_factor

LEAST_REPEATS = 2
STEP_OF, ERROR_OF = "smallest step of ", "limit of error of "


@dataclass(frozen=True, slots=True)
class Readings:
    """What a file of readings says: repeats, and smallest step and limit of error of each column, all in SI."""

    file: str
    repeats: tuple[tuple[Mark, Rows], ...]
    steps: Mapping[str, float]
    errors: Mapping[str, float]
    who: str = ""
    when: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """What one cause adds to the standard uncertainty of the value, in its own unit."""

    name: str
    kind: str
    u: float


@dataclass(frozen=True, slots=True)
class Result:
    """The value of a test: mean of the repeats, spread at 95.45 %, and what the spread is made of."""

    test: Test
    dimension: Dimension
    values: npt.NDArray[np.float64]
    value: float
    deviation: float
    spread: float
    standard: float
    freedom: float
    factor: float
    shares: tuple[Share, ...]
    extras: tuple[tuple[str, Dimension, float], ...]
    sheet: Trace
    readings: Readings

    @property
    def low(self) -> float:
        """Lower end of the spread."""
        return self.value - self.spread

    @property
    def high(self) -> float:
        """Upper end of the spread."""
        return self.value + self.spread


# The file ----------------------------------------------------------------------------------------


def read_readings(place: Path, test: Test) -> Readings:
    """The readings in a file. Raises `MachineErrors` with file and line."""
    if not place.is_file():
        raise MachineErrors([Problem(Mark(str(place), 0, 0), say.no_file(str(place), "readings.csv"))])
    return readings_of(document.load(place), str(place), test)


def readings_of(text: str, file: str, test: Test) -> Readings:
    """The readings in a text, told by the name `file`. Raises `MachineErrors` with file and line."""
    counted = {c.name: "" if c.unit in ("", "1") else c.unit for c in test.columns}
    table = read_table(text, file, counted)
    start, problems = Mark(file, 1, 1), []
    factors = {c.name: _factor(table, c, start) for c in test.columns}
    rows: list[tuple[Mark, dict[str, float]]] = []
    for mark, row in table.rows:
        found = {name: value * factors[name] for name, value in row.items()}
        problems += [Problem(mark, sentence) for sentence in _wrong(test, found)]
        rows.append((mark, found))
    steps, errors = _instruments(table, test, start)
    if problems:
        raise MachineErrors(problems[:5])
    repeats = _repeats(rows, test.procedure.by if test.procedure.by in factors else "")
    if len(repeats) < LEAST_REPEATS:
        raise MachineErrors([Problem(rows[-1][0], say.too_few(len(repeats)))])
    about = (table.said.get(word, "") for word in ("who", "when", "note"))
    return Readings(file, tuple(repeats), steps, errors, *about)


def _factor(table: Table, column: Column, start: Mark) -> float:
    unit = table.units[column.name]
    factor = unit_factor(unit, column.dimension)
    if factor is None:
        raise MachineErrors([Problem(start, say.not_a_unit(unit, column.name, column.unit))])
    return factor


def _wrong(test: Test, row: Mapping[str, float]) -> list[str]:
    found = []
    for column in test.columns:
        value = row[column.name]
        if value < column.least or (value == column.least and not column.zero):
            found.append(say.too_low(column.name, shown(value, column.dimension),
                                     shown(column.least, column.dimension), zero=column.zero))
    return found


def _instruments(table: Table, test: Test, start: Mark) -> tuple[dict[str, float], dict[str, float]]:
    """Smallest steps and limits of error: as the remarks say, else as usual instruments have them."""
    columns = {c.name: c for c in test.columns}
    found: dict[str, dict[str, float]] = {
        STEP_OF: {c.name: c.step * _unit(c) for c in test.columns}, ERROR_OF: dict.fromkeys(columns, 0.0)}
    for key, text in table.said.items():
        head = next((h for h in found if key.startswith(h)), None)
        if head is None or not text:
            continue
        column = columns.get(key.removeprefix(head))
        if column is None:
            raise MachineErrors([Problem(start, say.unknown_step(key, ", ".join(columns)))])
        found[head][column.name] = _amount(key, text, column, start)
    return found[STEP_OF], found[ERROR_OF]


def _unit(column: Column) -> float:
    return unit_factor(column.unit, column.dimension) or 1.0


def _amount(key: str, text: str, column: Column, start: Mark) -> float:
    try:
        value = parse_quantity(text, column.dimension).value
    except UnitError as why:
        raise MachineErrors([Problem(start, say.bad_step(key, text, str(why)))]) from None
    if not value >= 0:
        raise MachineErrors([Problem(start, say.bad_step(key, text, "it is below zero."))])
    return value


def _repeats(rows: Sequence[tuple[Mark, dict[str, float]]], by: str) -> list[tuple[Mark, Rows]]:
    """Lines by repeat: each a repeat of its own, or all that share what the column `by` says."""
    if not by:
        return [(mark, [row]) for mark, row in rows]
    groups: dict[float, tuple[Mark, list[dict[str, float]]]] = {}
    for mark, row in rows:
        lines = groups.setdefault(row[by], (mark, []))[1]
        if lines and row["angle"] <= lines[-1]["angle"]:
            text = say.goes_back("angle", f"{row['angle']:.4g} rad", f"{lines[-1]['angle']:.4g} rad")
            raise MachineErrors([Problem(mark, text)])
        lines.append(row)
    for name, (mark, lines) in groups.items():
        if len(lines) < 2:
            raise MachineErrors([Problem(mark, say.too_few_lines(by, f"{name:g}"))])
    return list(groups.values())


# The value ---------------------------------------------------------------------------------------


def result_of(test: Test, readings: Readings, dimension: Dimension) -> Result:
    """Value and spread by the readings. Raises `MachineErrors` where a line gives none."""
    known = test.numbers()
    with np.errstate(all="ignore"):
        values = np.array([float(test.way.value(rows, known)) for _, rows in readings.repeats])
        bad = [mark for (mark, _), v in zip(readings.repeats, values, strict=True) if not np.isfinite(v)]
        if bad:
            raise MachineErrors([Problem(mark, say.no_value("they contradict each other or divide by nothing"))
                                 for mark in bad[:5]])
        value = float(values.mean())
        shares = _type_b(test, readings, abs(value) or 1.0)
        deviation = float(values.std(ddof=1))
        extras = tuple((words, d, float(np.mean([float(fn(rows, known)) for _, rows in readings.repeats])))
                       for words, fn, d in test.way.extra)
        sheet, (standard, freedom, factor, spread) = _worked_out(test, readings, value, deviation, shares)
    every = (Share("scatter of the repeats", "A", deviation / math.sqrt(len(values))), *shares)
    return Result(test, dimension, values, value, deviation, spread, standard, freedom, factor, every, extras, sheet,
                  readings)


def _type_b(test: Test, readings: Readings, size: float) -> list[Share]:
    """What each instrument and each number taken as known adds, by how the value moves with it."""
    known = test.numbers()
    found = []
    for column in test.columns:
        if column.name != test.procedure.by:
            q, a = (_moves(test, readings, known, column.name, of[column.name]) / size if of[column.name] > 0 else 0.0
                    for of in (readings.steps, readings.errors))
            u = float(gum.combined(gum.of_a_step(q), gum.of_a_limit(a)))
            found += [Share(column.name, "B", u * size)] if u > 0 else []
    for k in test.known:
        if k.u > 0:
            ends = [np.mean([float(test.way.value(rows, known | {k.symbol: k.value + side * k.u}))
                             for _, rows in readings.repeats]) for side in (-1, 1)]
            found.append(Share(k.meaning, "B", abs(float(ends[1] - ends[0])) / 2))
    return found


def _moves(test: Test, readings: Readings, known: Mapping[str, Any], name: str, u: float) -> float:
    """How far the mean moves when one instrument is off by `u` in all its readings."""
    ends = [np.mean([float(test.way.value([{**row, name: row[name] + side * u} for row in rows], known))
                     for _, rows in readings.repeats]) for side in (-1, 1)]
    return abs(float(ends[1] - ends[0])) / 2


def _worked_out(test: Test, readings: Readings, value: float, deviation: float,
                shares: Sequence[Share]) -> tuple[Trace, tuple[float, float, float, float]]:
    """The first repeat as a calculation, and the spread of all; both as steps of a sheet."""
    size = abs(value) or 1.0
    mark, rows = readings.repeats[0]
    here = Source(f"{readings.file}, line {mark.line}", obtained="given")
    with tracing() as trace:
        with group("Value of the first repeat"):
            handed = [{c.name: given(c.symbol if len(rows) == 1 else f"{c.symbol}_{i + 1}", c.name, c.dimension,
                                     row[c.name], here) for c in test.columns} for i, row in enumerate(rows)]
            known = {k.symbol: given(k.symbol, k.meaning, k.dimension, k.value, k.source) for k in test.known}
            test.way.value(handed, known)
        with group("Spread of the mean of all"):
            u_c, freedom, factor, U = _spread(readings, deviation / size, math.hypot(*(s.u for s in shares)) / size)
    return trace, (u_c * size, freedom, factor, U * size)


def _spread(readings: Readings, s_r: float, u_b: float) -> tuple[float, float, float, float]:
    """Standard uncertainty, degrees of freedom, coverage factor and spread, over the value."""
    all_of_it = Source(f"{readings.file}, all repeats", obtained="given")
    s = given("s_r", gum.MEANING["s_r"], RATIO, s_r, all_of_it)
    n = given("n", gum.MEANING["n"], COUNT, float(len(readings.repeats)), all_of_it)
    u_a = gum.of_the_mean(s, n)
    u_c = gum.combined(u_a, given("u_B", gum.MEANING["u_B"], RATIO, u_b, all_of_it))
    nu = gum.degrees_of_freedom(n, u_a, u_c) if s_r > 0 else chosen(
        "nu", "effective degrees of freedom", COUNT, math.inf, why="no scatter at all", source=gum.FREEDOM)
    factor = gum.coverage_factor(float(plain(nu)))
    k = looked_up("k", gum.MEANING["k"], RATIO, factor, table="Student's t, 95.45 %",
                  row=f"{min(float(plain(nu)), gum.MANY):.4g} degrees of freedom", source=gum.STUDENT, of={"nu": nu})
    U = gum.expanded(k, u_c)
    return float(plain(u_c)), float(plain(nu)), factor, float(plain(U))
