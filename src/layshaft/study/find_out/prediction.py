"""What a rig will show, told before anything is read; and what was read, beside it.

The prediction is the machine file's own: each draw of its guesses is solved and run. Its spread covers 95.45 % of the
draws, as that of a measurement does.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.machine import document
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.sampling import at_sample, with_draws
from layshaft.machine.schema import Mark
from layshaft.mechanics import bench
from layshaft.mechanics.uncertainty import COVERAGE, score
from layshaft.study.draws import drawn
from layshaft.study.find_out import say
from layshaft.study.find_out.model import Column, Procedure, Rows, Test, Way
from layshaft.study.find_out.readings import Result, read_readings, result_of
from layshaft.study.find_out.ready import HANGING, LOCAL, PINCH, TURNING
from layshaft.study.find_out.rig import BREAK_AWAY, RUN_DOWN, Rig, friction
from layshaft.trace.errors import BadInput
from layshaft.trace.units import COUNT, MASS, TIME, Dimension, unit_factor
from layshaft.train.motion.course import follow
from layshaft.train.motion.programme import Programme
from layshaft.train.solve import solve

FILE = "prediction.csv"
DRAWS, SEED = 128, 1
LONGEST = 3600.0
"""s a run-down is followed; what turns longer has next to no friction."""

COLUMNS = {
    RUN_DOWN: (
        Column("time falling", "t_1", TIME, "s", 0.2, 10.0), Column("turns falling", "N_1", COUNT, "", 0.25, 5.0),
        Column("time after", "t_2", TIME, "s", 0.2, 30.0), Column("turns after", "N_2", COUNT, "", 0.25, 20.0)),
    BREAK_AWAY: (Column("mass that starts it", "m_s", MASS, "kg", 0.005, 1.0),
                 Column("mass that keeps it turning", "m_r", MASS, "kg", 0.005, 0.5)),
}
STEPS = {
    RUN_DOWN: ("Wind the weight up, hold the wheel, start the watch and let go without a push: time and turns until "
               "the weight is down.", "Go on counting until it stands: time and turns after. The cord must come off by "
               "itself when the weight is down."),
    BREAK_AWAY: ("Let it stand as long as in use, then add mass to the hanger bit by bit, without a jerk: what starts "
                 "it.", "Take mass off until it just goes on turning evenly after a slow push: what keeps it turning."),
}
CAUTIONS = {RUN_DOWN: (HANGING, TURNING, PINCH, LOCAL), BREAK_AWAY: (HANGING, PINCH, LOCAL)}


@dataclass(frozen=True, slots=True)
class Foretold:
    """One quantity as predicted, in SI: value and both ends."""

    name: str
    dimension: Dimension
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Prediction:
    """All that a rig will show; `file` knows the text of the rig it was made from."""

    kind: str
    rows: tuple[Foretold, ...]
    digest: str
    when: str = ""
    failed: float = 0.0
    """Share of the draws in which the shaft does not start at all."""


@dataclass(frozen=True, slots=True)
class Beside:
    """One quantity as predicted and as read; `apart` is their difference over both spreads together."""

    foretold: Foretold
    read: Result
    apart: float


# Before ------------------------------------------------------------------------------------------


def predict(rig: Rig) -> Prediction:
    """What a rig will show. Raises `BadInput` where its machine file cannot say."""
    of = _run_down if rig.kind == RUN_DOWN else _break_away
    nominal = of(rig.machine, rig.shaft)
    draws = drawn(rig.machine, DRAWS, SEED)
    many = with_draws(rig.machine, draws) if draws else rig.machine
    found = np.array([_or_nothing(of, at_sample(many, i), rig.shaft) for i in range(DRAWS if draws else 1)])
    known = found[np.isfinite(found).all(axis=1)]
    tails = (1 - COVERAGE) / 2, (1 + COVERAGE) / 2
    ends = np.quantile(known, tails, axis=0) if len(known) else np.tile(nominal, (2, 1))
    rows = tuple(Foretold(c.name, c.dimension, float(v), min(float(low), float(v)), max(float(high), float(v)))
                 for c, v, low, high in zip(COLUMNS[rig.kind], nominal, *ends, strict=True))
    return Prediction(rig.kind, rows, digest(rig.text), failed=1 - len(known) / len(found))


def _or_nothing(of: Callable[[Machine, str], Any], machine: Machine, shaft: str) -> Any:
    try:
        return of(machine, shaft)
    except BadInput:
        return [math.nan] * len(COLUMNS[RUN_DOWN] if of is _run_down else COLUMNS[BREAK_AWAY])


def _run_down(machine: Machine, shaft: str) -> list[float]:
    """Times and turns of the run of the machine file itself: until the weight is down, and from then to rest."""
    course = follow(solve(machine), Programme(shaft, LONGEST))
    down = next((m.time for m in course.marks if m.kind == "landed"), math.nan)
    still = next((m.time for m in course.marks if m.kind == "still"), math.nan)
    if not math.isfinite(down + still):
        raise BadInput(f"By the machine file the weight is not down, or {shaft} not at rest, within an hour. State its "
                       "friction, or take a heavier weight.")
    angles = course.motion.at_time(np.array([down, still]))[0] / (2 * np.pi)
    return [down, float(angles[0]), still - down, float(angles[1] - angles[0])]


def _break_away(machine: Machine, shaft: str) -> list[float]:
    g, d = machine.gravity.nominal, machine.drives["weight"].diameter.nominal
    return [float(bench.break_away_mass(friction(machine, shaft, state), g, d)) for state in ("at rest", "mean")]


def digest(text: str) -> str:
    """What the text of a rig is known by."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]


def as_csv(p: Prediction, when: str) -> str:
    """The prediction as a file that stays beside the rig."""
    out = io.StringIO()
    out.write(f"# rig: {p.kind}\n# predicted: {when}\n# machine file: {p.digest}\n")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["quantity", "unit", "predicted", "lowest", "highest"])
    for row in p.rows:
        unit = row.dimension.best_unit(row.value)
        table.writerow([row.name, unit, *(f"{v / (unit_factor(unit, row.dimension) or 1.0):.6g}"
                                          for v in (row.value, row.low, row.high))])
    return out.getvalue()


def template(kind: str) -> str:
    """An empty table for the readings of a rig."""
    columns = COLUMNS[kind]
    steps = [f"# smallest step of {c.name}: {c.step:g} {c.unit}".rstrip() for c in columns]
    heads = ",".join(f"{c.name} in {c.unit}" if c.unit else c.name for c in columns)
    return "\n".join(["# who: ", "# when: ", "# note: ", *steps, heads, ""])


# After -------------------------------------------------------------------------------------------


def read_prediction(folder: Path) -> Prediction:
    """The prediction beside a rig. Raises `MachineErrors` where it is not there or cannot be read."""
    place = folder / FILE
    if not place.is_file():
        raise MachineErrors([Problem(Mark(str(place), 0, 0), say.no_prediction(str(place)))])
    text = document.load(place)
    said = {key.strip(): value.strip() for key, _, value in
            (line.lstrip("# ").partition(":") for line in text.splitlines() if line.startswith("#"))}
    columns = {c.name: c for c in COLUMNS.get(said.get("rig", ""), ())}
    rows = [row for number, row in _lines(text, place, columns)]
    if not columns or len(rows) != len(columns):
        raise MachineErrors([Problem(Mark(str(place), 1, 1), say.bad_prediction())])
    return Prediction(said["rig"], tuple(rows), said.get("machine file", ""), said.get("predicted", ""))


def _lines(text: str, place: Path, columns: dict[str, Column]) -> Iterator[tuple[int, Foretold]]:
    for number, line in enumerate(text.splitlines(), 1):
        cells = next(csv.reader([line]), [])
        if line.startswith("#") or not cells or cells[0] not in columns:
            continue
        d = columns[cells[0]].dimension
        try:
            factor = unit_factor(cells[1], d) or math.nan
            value, low, high = (float(cell) * factor for cell in cells[2:5])
        except (ValueError, IndexError):
            value = low = high = math.nan
        if not low <= value <= high:
            raise MachineErrors([Problem(Mark(str(place), number, 1), say.bad_prediction())])
        yield number, Foretold(cells[0], d, value, low, high)


def rig_test(kind: str) -> Test:
    """The readings of a rig as a test."""
    columns = COLUMNS[kind]
    names = tuple(c.name for c in columns)
    ways = {name: Way(name, names, _reads(name), name, 0.05) for name in names}
    procedure = Procedure(f"{kind} rig", "", (), STEPS[kind], CAUTIONS[kind], columns, ways)
    return Test(procedure, ways[names[0]], ())


def _reads(name: str) -> Callable[[Rows, Any], Any]:
    def value(rows: Rows, _known: Any) -> Any:
        [row] = rows
        return row[name]
    return value


def beside(p: Prediction, place: Path) -> list[Beside]:
    """Every quantity as predicted and as read. Raises `MachineErrors`."""
    test = rig_test(p.kind)
    readings = read_readings(place, test)
    found = []
    for row in p.rows:
        r = result_of(replace(test, way=test.procedure.ways[row.name]), readings, row.dimension)
        theirs = row.high - row.value if r.value > row.value else row.value - row.low
        size = abs(r.value) or 1.0
        both = r.spread + theirs
        apart = float(score(abs(r.value - row.value) / size, r.spread / size, theirs / size)) if both > 0 else math.nan
        found.append(Beside(row, r, apart))
    return found
