"""Which ready test finds out a given: by its key, what it is of, and its dimension; what the machine knows for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from layshaft.machine import paths
from layshaft.machine.kinds import Allowance, EddyBrake, FanBrake, Load, Pull, RollerChain, Steady, Turntable
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.sampling import deviation
from layshaft.machine.schema import Given
from layshaft.mechanics.loads import vane_area
from layshaft.study.find_out import ready, ready_by_reading
from layshaft.study.find_out.model import Known, Procedure, Test
from layshaft.trace.errors import BadInput
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    AREA,
    COUNT,
    FORCE,
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    SLOPE,
    SPEED,
    STIFFNESS,
    TEMPERATURE,
    TIME,
    TORQUE,
    TORSIONAL_STIFFNESS,
)
from layshaft.train.stages import turn_ratio

ALONE = Source("the shaft turns alone", obtained="given")
COUNTED = Source("counted in the machine file", obtained="given")

PLAIN = {
    LENGTH.name: (LENGTH, "mm", 0.05, 10.0, "caliper or rule, fine enough for a tenth of the guess's spread"),
    ANGLE.name: (ANGLE, "deg", 0.1, 1.0, "protractor or level with a scale"),
    SLOPE.name: (SLOPE, "mrad", 0.02, 1.0, "level, 0.02 mm a metre"),
    TIME.name: (TIME, "s", 0.2, 10.0, "stop watch"),
    TEMPERATURE.name: (TEMPERATURE, "degC", 0.5, 20.0, "thermometer"),
    SPEED.name: (SPEED, "rev/min", 0.5, 60.0, "tachometer, or turns counted against a watch"),
    FORCE.name: (FORCE, "N", 1.0, 100.0, "spring scale"),
}
"""What an instrument shows at once: dimension, unit, smallest step, a usual reading, the instrument."""


class Rule(NamedTuple):
    """Givens a way serves: last word of the path (blank: any), collection (blank: any), kinds, dimension."""

    key: str
    top: str
    kinds: tuple[type, ...]
    dimension: str
    procedure: Procedure
    way: str


def _rule(procedure: Procedure, way: str, key: str = "", top: str = "", kinds: tuple[type, ...] = (),
          dimension: str = "") -> Rule:
    return Rule(key, top, kinds, dimension, procedure, way)


SCALE, RUN, BY = ready.SPRING_SCALE, ready.RUN_DOWN, ready_by_reading
RULES = (
    _rule(SCALE, "each", "drag", "shafts"), _rule(SCALE, "less", "drag", "stages"),
    _rule(SCALE, "rest", "break away"),
    _rule(SCALE, "less", "torque", "loads", (Steady, Pull, Allowance)),
    _rule(SCALE, "rolling", "rolling coefficient", "loads"),
    _rule(ready.THROUGH, "efficiency", "efficiency", "stages"),
    _rule(ready.PULLEY, "loss", "pulley loss", "drives"),
    _rule(RUN, "inertia", "inertia", "loads", dimension=INERTIA.name),
    _rule(RUN, "gyration", "radius of gyration", "loads", (Turntable,)),
    _rule(ready.THROUGH_TURN, "energy", "energy", "loads"),
    _rule(BY.STEADY, "fan", "constant", "loads", (FanBrake,)),
    _rule(BY.STEADY, "drag coefficient", "drag coefficient", "loads", (FanBrake,)),
    _rule(BY.STEADY, "eddy", "constant", "loads", (EddyBrake,)),
    _rule(BY.EFFORT, "worst push", "worst push", "drives"), _rule(BY.EFFORT, "ripple", "ripple", "drives"),
    _rule(BY.EFFORT, "bout", "bout", "drives"), _rule(BY.EFFORT, "run up", "run up", "drives"),
    _rule(BY.STRETCH, "stiffness", "stiffness", "stages", (RollerChain,)),
    _rule(BY.STRETCH, "stretch", "stretch", "parts"),
    _rule(BY.WEIGHT_AND_DIAL, "sag", "sag"), _rule(BY.WEIGHT_AND_DIAL, "stiffness", dimension=STIFFNESS.name),
    _rule(BY.WEIGHT_AND_DIAL, "twist", dimension=TORSIONAL_STIFFNESS.name),
    _rule(BY.ALIGNMENT, "offset", "offset", "stages"), _rule(BY.ALIGNMENT, "angle", "angle", "stages"),
    _rule(BY.ALIGNMENT, "runout", "runout"), _rule(BY.WEIGHING, "mass", dimension=MASS.name),
    _rule(BY.AIR, "density", "air density"),
)
"""The first that fits serves."""

OTHERS = {("shafts", "drag"): (RUN, "drag")}
"""Second ways, for `--by`."""


def usual_test(machine: Machine, given: Given) -> Test | None:
    """The ready test of a given, with what the machine file knows for it; None where there is none."""
    steps = [str(s) for s in paths.split(given.path) or () if not isinstance(s, int)]
    owner = paths.in_model(machine, tuple(steps[:2])) if len(steps) > 2 else None
    for rule in RULES:
        if (rule.key in ("", steps[-1]) and rule.top in ("", steps[0]) and rule.dimension in ("", given.dimension.name)
                and (not rule.kinds or isinstance(owner, rule.kinds))):
            return made(machine, given, rule.procedure, rule.way)
    if given.dimension.name in PLAIN:
        return made(machine, given, ready_by_reading.plainly(*PLAIN[given.dimension.name]), "reading")
    if given.dimension is RATIO and steps[-1] == "floor":
        floor = ready_by_reading.plainly(RATIO, "1", 1e-4, 2e-3, "level and feeler gauges: height over length")
        return made(machine, given, floor, "reading")
    return None


def ready_tests(machine: Machine, given: Given) -> list[Test]:
    """Every ready test of a given, the usual one first."""
    steps = given.path.split(".")
    found = [t for t in [usual_test(machine, given)] if t is not None]
    other = OTHERS.get((steps[0], steps[-1]))
    return [*found, made(machine, given, *other)] if other else found


def made(machine: Machine, given: Given, procedure: Procedure, way: str) -> Test:
    """A procedure with what it needs of the machine file. Raises `BadInput` where that is not known."""
    chosen = procedure.ways[way]
    return Test(procedure, chosen, tuple(_known(machine, given, symbol) for symbol in chosen.needs))


# What the machine file knows ---------------------------------------------------------------------


def _known(machine: Machine, given: Given, symbol: str) -> Known:
    found = KNOWN[symbol](machine, given)
    if not np.isfinite(found.value):
        raise BadInput(f"The test of {given.path} needs {found.meaning} ({symbol}), which the machine file does not "
                       f"know ({found.source}). State it first.")
    return found


def _stated(symbol: str, meaning: str, g: Given) -> Known:
    """A given of the file, as sure as it is drawn in doubt."""
    wide = deviation(g) if g.low is not None and g.high is not None else 0.0
    return Known(symbol, meaning, g.dimension, g.nominal, wide, g.origin)


def _gravity(machine: Machine, _given: Given) -> Known:
    return _stated("g", "acceleration of free fall", machine.gravity)


def _nothing(_machine: Machine, _given: Given) -> Known:
    return Known("T_0", "torque of what is not looked for", TORQUE, 0.0, 0.0, ALONE)


def _sharing(machine: Machine, given: Given) -> Known:
    """Bearings that share the torque of a shaft; one of anything else."""
    steps = given.path.split(".")
    shaft = machine.shafts.get(steps[1]) if steps[0] == "shafts" else None
    n = len(bearings(shaft)) if shaft is not None else 1
    return Known("n", "bearings on the shaft" if shaft is not None else "parts that share it", COUNT, float(n), 0.0,
                 COUNTED)


def bearings(shaft: Shaft) -> list[str]:
    """Seats where a bearing or bush holds a shaft."""
    return [name for name, seat in shaft.seats.items() if seat.carries_shaft or seat.drag.known]


def _load(machine: Machine, given: Given) -> Load:
    load: Load = machine.loads[given.path.split(".")[1]]
    return load


def _of_load(symbol: str, meaning: str, field: str) -> Callable[[Machine, Given], Known]:
    def known(machine: Machine, given: Given) -> Known:
        return _stated(symbol, meaning, getattr(_load(machine, given), field))
    return known


def _ratio(machine: Machine, given: Given) -> Known:
    stage = machine.stages[given.path.split(".")[1]]
    turns = 1 / abs(turn_ratio(machine, stage))
    return Known("i", "turns of the first shaft for one of the second", RATIO, float(turns), 0.0, COUNTED)


def _air(machine: Machine, given: Given) -> Known:
    own = _load(machine, given).air_density  # type: ignore[attr-defined]
    return _stated("rho", "density of the air", own if own.known else machine.venue.air_density)


def _vane(machine: Machine, given: Given) -> Known:
    area = _load(machine, given).area  # type: ignore[attr-defined]
    value = float(vane_area(*(side.nominal for side in area))) if area else float("nan")
    return Known("A", "area of one vane", AREA, value, 0.0, Source("sides of a vane in the machine file",
                                                                  obtained="given"))


KNOWN: dict[str, Callable[[Machine, Given], Known]] = {
    "g": _gravity, "T_0": _nothing, "n": _sharing, "i": _ratio, "rho": _air, "A": _vane,
    "m": _of_load("m", "its mass", "mass"), "m_b": _of_load("m_b", "its mass", "mass"),
    "r_t": _of_load("r_t", "radius of its track", "track_radius"),
    "n_v": _of_load("n_v", "number of vanes", "vanes"), "r_v": _of_load("r_v", "radius of a vane", "at_radius"),
}
