"""A measured log of a shaft: pulses counted over time, read from CSV and looked through for what spoils it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from layshaft.machine import document
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.measured import Table, read_table
from layshaft.machine.schema import Mark
from layshaft.machine.sentences import measured as say
from layshaft.trace.units import TIME, UnitError, parse_quantity, shown

Array = npt.NDArray[np.float64]
GAP = 5.0
"""Times the usual spacing of the lines from which on lines are missing."""

LEAST_LINES = 8


@dataclass(frozen=True, slots=True)
class SpeedLog:
    """Pulses of a shaft, counted from the first line on, at times in s."""

    file: str
    shaft: str
    per_turn: float
    time: Array
    count: Array

    @property
    def turns(self) -> float:
        """Turns of the shaft from the first line to the last."""
        return float(self.count[-1]) / self.per_turn

    @property
    def mean(self) -> float:
        """Mean speed over the whole log, rad/s."""
        return 2 * np.pi * self.turns / float(self.time[-1] - self.time[0])


def read_log(place: Path, shafts: Sequence[str], shaft: str = "", per_turn: float | None = None) -> SpeedLog:
    """The log in a file; what it does not say of shaft and pulses a turn is told. Raises `MachineErrors`."""
    if not place.exists():
        raise MachineErrors([Problem(Mark(str(place), 0, 0), say.no_log(str(place)))])
    text, file = document.load(place), str(place)
    heads = (line.casefold() for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#"))
    column = "pulses" if "pulses" in next(heads, "") else "count"
    table = read_table(text, file, {"time": "s", column: ""})
    start = Mark(file, 1, 1)
    whose = shaft or table.said.get("shaft", "")
    if not whose:
        raise MachineErrors([Problem(start, say.which_shaft(shafts))])
    if whose not in shafts:
        raise MachineErrors([Problem(start, say.not_on_train(whose, shafts))])
    n = per_turn if per_turn is not None else _per_turn(table, start)
    time, count = _time(table, start), np.array([row[column] for _, row in table.rows])
    _look_through(table, time, count, total=column == "count")
    count = count - count[0] if column == "count" else np.concatenate([[0.0], np.cumsum(count[1:])])
    if count[-1] == 0:
        raise MachineErrors([Problem(table.rows[-1][0], say.no_pulses())])
    return SpeedLog(file, whose, n, time, count)


def _per_turn(table: Table, start: Mark) -> float:
    written = table.said.get("pulses per turn", "")
    try:
        n = float(written.replace(",", "."))
    except ValueError:
        n = 0.0
    if not (n > 0 and np.isfinite(n)):
        raise MachineErrors([Problem(start, say.how_many(written))])
    return n


def _time(table: Table, start: Mark) -> Array:
    try:
        unit = parse_quantity(f"1 {table.units['time']}", TIME).value
    except UnitError:
        raise MachineErrors([Problem(start, say.no_unit_of_time(table.units["time"]))]) from None
    return np.array([row["time"] for _, row in table.rows]) * unit


def _look_through(table: Table, time: Array, count: Array, *, total: bool) -> None:
    """Reversed time, missing lines, counts that cannot be: the first of each, with its line."""
    marks, problems = [mark for mark, _ in table.rows], []
    if len(marks) < LEAST_LINES:
        raise MachineErrors([Problem(marks[-1], say.too_few_lines(len(marks), LEAST_LINES))])
    steps = np.diff(time)
    if (steps <= 0).any():
        i = int(np.argmax(steps <= 0))
        problems.append(Problem(marks[i + 1], say.time_goes_back(shown(time[i + 1], TIME), shown(time[i], TIME))))
    else:
        usual = float(np.median(steps))
        if (steps > GAP * usual).any():
            i = int(np.argmax(steps > GAP * usual))
            problems.append(Problem(marks[i + 1], say.gap(shown(steps[i], TIME), shown(usual, TIME))))
    if total and (np.diff(count) < 0).any():
        problems.append(Problem(marks[int(np.argmax(np.diff(count) < 0)) + 1], say.falls()))
    elif (count < 0).any():
        problems.append(Problem(marks[int(np.argmax(count < 0))], say.below_zero()))
    if problems:
        raise MachineErrors(problems)
