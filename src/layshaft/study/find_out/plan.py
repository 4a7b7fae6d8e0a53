"""A test planned before anything is read: what it would settle, what the instrument should read, how often to repeat.

The verdicts a given decides, and the values at which they flip, come from `study/doubt`; how near the measured value
may come to such a value and still settle it gives the spread that is wanted, and that the number of repeats.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.machine.sentences.wording import a
from layshaft.mechanics import uncertainty as gum
from layshaft.study.doubt import Flip, flips_of
from layshaft.study.find_out.model import Column, Test
from layshaft.study.find_out.readings import Result
from layshaft.study.find_out.serves import ready_tests
from layshaft.trace.errors import BadInput
from layshaft.trace.units import unit_factor

LEAST, MOST = 3, 50
"""Repeats that are taken at least, and that anybody will take: common practice, no single source."""

AND_SEE = 5
"""Repeats where nothing says how many: common practice, no single source."""

SETTLES = 1 / 3
"""Share of the guess's own half spread that is aimed at where no verdict flips: common practice, no single source."""

ROUNDS = 200
WIDE = 1e6


@dataclass(frozen=True, slots=True)
class Settled:
    """A verdict that flips, how far from the value it does, and the repeats that settle it if the guess is right."""

    flip: Flip
    distance: float
    repeats: int | None


@dataclass(frozen=True, slots=True)
class Plan:
    """A test sheet in numbers. `repeats` is None where no number of them is enough."""

    machine: Machine
    given: Given
    shared: tuple[str, ...]
    test: Test
    settled: tuple[Settled, ...]
    wanted: float
    """Half spread the measurement should have, in SI."""

    repeats: int | None
    main: Column
    expected: float
    """What the main column reads if the guess is right, in SI; NaN where the file cannot say."""

    expected_ends: tuple[float, float]
    u_b: float
    """Standard uncertainty from usual instruments and from what the file knows, over the value."""

    coarsest: float
    """Smallest step of the main instrument that is fine enough, in SI; NaN if unknown."""

    @property
    def first(self) -> Settled | None:
        """The verdict nearest to the guess that somebody could settle."""
        return next((s for s in self.settled if s.repeats is not None and s.repeats <= MOST), None)

    @property
    def take(self) -> int:
        """Repeats to begin with."""
        if self.first is not None and self.first.repeats is not None:
            return self.first.repeats
        return self.repeats if self.repeats is not None and self.repeats <= MOST else AND_SEE


def given_at(machine: Machine, path: str) -> Given:
    """The given a builder means, by its whole path or its end. Raises `BadInput`."""
    found = machine.givens.get(path)
    if found is None:
        folded = path.casefold()
        ends = [p for p, g in machine.givens.items() if g.state != "missing"
                and (p.casefold() == folded or p.casefold().endswith(f".{folded}"))]
        if len(ends) > 1:
            raise BadInput(f"'{path}' could be {', '.join(repr(e) for e in ends[:6])}; write one of these.")
        found = machine.givens[ends[0]] if ends else None
    if found is None:
        raise BadInput(f"There is no given '{path}'. `layshaft find-out MACHINE` lists those worth finding out.")
    if not found.known:
        raise BadInput(f"{found.path} is {'open' if found.state == 'open' else 'not in the file'}: there is no guess "
                       "to test. Write one first, with how far it can be off: {value: ..., between: [..., ...], "
                       "source: assumed}.")
    return found


def sharing(machine: Machine, given: Given) -> tuple[str, ...]:
    """Every path that takes its value from the same line of the file, that line first."""
    found = [p for p, g in machine.givens.items() if g.known and g.cause == given.cause]
    return tuple(sorted(found, key=lambda p: p != given.cause))


def plan(machine: Machine, given: Given, by: str = "") -> Plan:
    """The test of a given, planned by the machine as it stands. Raises `BadInput` where there is none."""
    test = chosen_test(machine, given, by)
    flips = flips_of(machine, given.cause) if given.doubtful else []
    main = test.procedure.column(test.way.main)
    at = expected(test, given.nominal)
    instruments = _instrument(test, given.nominal, at) if math.isfinite(at) else 0.0
    u_b = math.hypot(instruments, _known(test, given.nominal, at) if math.isfinite(at) else 0.0)
    nearest = sorted(((abs(f.value - given.nominal), f) for f in flips), key=lambda t: t[0])
    settled = tuple(Settled(f, d, repeats_for(test, given, d, u_b)) for d, f in nearest)
    half = (given.high - given.low) / 2 if given.low is not None and given.high is not None else 0.0
    wanted = settled[0].distance if settled else SETTLES * half
    ends = tuple(expected(test, end) if end is not None else math.nan for end in (given.low, given.high))
    return Plan(machine, given, sharing(machine, given), test, settled, wanted,
                repeats_for(test, given, wanted, u_b), main, at, (ends[0], ends[1]), u_b,
                _coarsest(given, wanted, instruments, main))


def chosen_test(machine: Machine, given: Given, by: str = "") -> Test:
    """The usual test of a given, or the one of which the name begins so. Raises `BadInput`."""
    if given.path.partition(".")[0] in ("wants", "margins"):
        raise BadInput(f"{given.path} is what you ask for, not something a test finds out. Change it with `layshaft "
                       "change`.")
    tests = ready_tests(machine, given)
    if not tests:
        raise BadInput(f"No ready test finds out {given.path} ({a(given.dimension.name)}). Ask who made or sells it, "
                       "or somebody who has built one, and write what they say with `source: advised` and `who`.")
    found = [t for t in tests if t.procedure.name.startswith(by.strip().casefold())]
    if not found:
        names = "; ".join(t.procedure.name for t in tests)
        raise BadInput(f"'{by}' is no test of {given.path}. There is: {names}.")
    return found[0]


# How often ---------------------------------------------------------------------------------------


def repeats_for(test: Test, given: Given, wanted: float, u_b: float) -> int | None:
    """The fewest repeats whose spread is no more than wanted, with the usual scatter; None where none are enough."""
    size = abs(given.nominal)
    return _fewest(test.way.scatter, wanted / size, u_b) if size > 0 and wanted > 0 else None


def repeats_by_scatter(result: Result, wanted: float) -> int | None:
    """The same with the scatter there was."""
    size = abs(result.value)
    u_b = math.hypot(*(s.u for s in result.shares if s.kind == "B"))
    return _fewest(result.deviation / size, wanted / size, u_b / size) if size > 0 and wanted > 0 else None


def _fewest(scatter: float, aim: float, u_b: float) -> int | None:
    k = 2.0
    for n in range(2, MOST + 1):
        u_a = float(gum.of_the_mean(scatter, n))
        u_c = float(gum.combined(u_a, u_b))
        k = gum.coverage_factor(float(gum.degrees_of_freedom(n, u_a, u_c)) if u_a > 0 else math.inf)
        if float(gum.expanded(k, u_c)) <= aim:
            return max(n, LEAST)
    many = float(gum.readings_needed(k, scatter, aim, u_b))
    return math.ceil(many) if math.isfinite(many) else None


# What the instrument will read -------------------------------------------------------------------


def usual(test: Test, value: float | None = None) -> list[dict[str, float]]:
    """Usual readings of one repeat, the main column at a value of its own."""
    row = {c.name: c.usual * _factor(c) for c in test.columns}
    if value is not None:
        row[test.way.main] = value
    if not test.procedure.by:
        return [row]
    return [row | {"angle": angle} for angle in (0.0, row["angle"], 2 * row["angle"])]


def _factor(column: Column) -> float:
    return unit_factor(column.unit, column.dimension) or 1.0


def expected(test: Test, value: float) -> float:
    """What the main column reads where the value is this, all else as usual; NaN where nothing fits."""
    known, column = test.numbers(), test.procedure.column(test.way.main)

    def off(reading: float) -> float:
        with np.errstate(all="ignore"):
            return float(test.way.value(usual(test, reading), known)) - value

    base = column.usual * _factor(column)
    if column.dimension.name == "temperature" or base == 0:
        return math.nan
    grid = base * np.geomspace(1 / WIDE, WIDE, 241)
    values = np.array([off(float(x)) for x in grid])
    at = np.nonzero(np.isfinite(values[1:]) & np.isfinite(values[:-1]) & (values[1:] * values[:-1] <= 0))[0]
    if not len(at):
        return math.nan
    low, high, first = float(grid[at[0]]), float(grid[at[0] + 1]), values[at[0]]
    for _ in range(ROUNDS):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if off(middle) * first > 0 else (low, middle)
    return math.sqrt(low * high)


def _instrument(test: Test, value: float, at: float) -> float:
    """Standard uncertainty from the smallest steps of usual instruments, over the value."""
    rows, known = usual(test, at), test.numbers()
    moved = []
    for column in test.columns:
        step = column.step * _factor(column)
        if step > 0 and column.name != test.procedure.by:
            with np.errstate(all="ignore"):
                up = float(test.way.value([r | {column.name: r[column.name] + step / 2} for r in rows], known))
                down = float(test.way.value([r | {column.name: r[column.name] - step / 2} for r in rows], known))
            moved.append(float(gum.of_a_step(abs(up - down) / abs(value))) if math.isfinite(up - down) else 0.0)
    return math.hypot(*moved)


def _known(test: Test, value: float, at: float) -> float:
    """Standard uncertainty from numbers of the machine file that the test takes as known, over the value."""
    rows, known = usual(test, at), test.numbers()
    moved = []
    for k in test.known:
        with np.errstate(all="ignore"):
            up, down = (float(test.way.value(rows, known | {k.symbol: k.value + side * k.u})) for side in (1, -1))
        moved.append(abs(up - down) / 2 / abs(value) if k.u > 0 and math.isfinite(up - down) else 0.0)
    return math.hypot(*moved)


def _coarsest(given: Given, wanted: float, u_b: float, main: Column) -> float:
    """Smallest step of the main instrument that may not be passed, if the others are as usual; its own share of u_b
    is taken to be all of it, which is on the safe side."""
    if not (u_b > 0 and wanted > 0 and main.step > 0):
        return math.nan
    return float(main.step * _factor(main) * (wanted / abs(given.nominal)) / (2 * u_b))


def worth(machine: Machine, causes: Sequence[str]) -> list[tuple[Given, Test | None]]:
    """Guesses with their tests, for the list of what is worth finding out."""
    found = []
    for cause in causes:
        given = machine.givens[cause]
        try:
            tests = ready_tests(machine, given)
        except BadInput:
            tests = []
        found.append((given, tests[0] if tests else None))
    return found
