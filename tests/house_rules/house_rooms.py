"""Finds every formula and every room's `rate`, and fills inputs with plausible invented values."""

import functools
import importlib
import inspect
import math
import pkgutil
import typing
from dataclasses import dataclass

import numpy as np

from layshaft.trace.formula import FormulaInfo
from layshaft.trace.inputs import InputError, Inputs
from layshaft.trace.registry import FLOORS, inputs_in, load_all
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, RATIO

PLAUSIBLE = {  # SI, small enough that most methods hold; invented, and nothing but a trial
    "length": 0.02, "area": 2e-4, "volume": 2e-5, "section modulus": 2e-6, "second moment of area": 2e-8,
    "mass": 20.0, "mass per length": 0.7, "density": 7850.0, "moment of inertia": 0.1, "time": 3600.0,
    "angle": 0.35, "slope": 5e-4, "turning speed": 6.0, "velocity": 0.4, "acceleration": 9.81,
    "angular acceleration": 2.0, "force": 500.0, "torque": 20.0, "stress": 200e6, "energy": 50.0,
    "power": 60.0, "stiffness": 4e5, "torsional stiffness": 1500.0, "torque per speed": 0.05,
    "torque per speed squared": 6e-4, "kinematic viscosity": 1.1e-4, "pressure times velocity": 1e6,
    "wear per load and way": 2e-15, "thermal expansion": 1.2e-5, "temperature": 20.0, "money": 10.0, "count": 20.0, "ratio": 0.8,
    "specific heat": 460.0, "square root of stress": 1e4, "square root of length": 0.05,
}


def plausible(dimension, low=-np.inf, high=np.inf, factor=1.0):
    """A value of that dimension inside the limits, moved about by `factor`."""
    value = PLAUSIBLE.get(dimension.name, 1.0) * factor
    if value <= low or value > high:
        value = low + (high - low) * 0.6 if math.isfinite(high) and math.isfinite(low) else (
            high * 0.9 if low == -np.inf else max(low * 1.2, low + 1e-3))
    if dimension is COUNT:
        value = min(max(round(value), math.ceil(low) if math.isfinite(low) else -1e9), high)
    return float(value)


@dataclass(frozen=True)
class Room:
    """One rating function with the class of its inputs."""

    name: str
    rate: typing.Callable
    inputs: type[Inputs]

    def values(self, seed):
        """A plausible value for each field; another seed moves them about."""
        random = np.random.default_rng(seed)
        found = {}
        for f in self.inputs.quantities():
            m = f.metadata
            low = max(m["above"], m["at_least"])
            factor = float(np.exp(random.uniform(-1, 1))) if seed else 1.0
            found[f.name] = plausible(m["dimension"], low, m["at_most"], factor)
        return found

    def build(self, values):
        origins = {name: Source("invented for this test", obtained="given") for name in values}
        return self.inputs(**values, origins=origins)

    @functools.cached_property
    def best(self):
        """The seed of the example with the most known results."""
        scores = {}
        for seed in range(40):
            try:
                with np.errstate(all="ignore"):
                    scores[seed] = known_share(self.rate(self.build(self.values(seed))))
            except InputError:
                continue
            if scores[seed] == 1:
                break
        assert scores, f"{self.name}: no plausible inputs found"
        return max(scores, key=scores.get)

    def example(self):
        return self.build(self.values(self.best))


def numbers(result, prefix=""):
    """Every number in a result, by path: dataclass fields, tuples, mappings."""
    if hasattr(result, "__dataclass_fields__"):
        if type(result).__name__ in ("Source", "Dimension"):
            return
        for name in result.__dataclass_fields__:
            yield from numbers(getattr(result, name), f"{prefix}.{name}")
    elif isinstance(result, dict):
        for name, value in result.items():
            yield from numbers(value, f"{prefix}.{name}")
    elif isinstance(result, tuple | list):
        for n, value in enumerate(result):
            yield from numbers(value, f"{prefix}[{n}]")
    elif isinstance(result, int | float | np.ndarray | np.generic) and not isinstance(result, bool):
        yield prefix, np.asarray(result, dtype=float)


def known_share(result):
    found = [np.isfinite(v).mean() for _, v in numbers(result)]
    return float(np.mean(found)) if found else 0.0


def modules():
    load_all()
    for floor in FLOORS:
        package = importlib.import_module(floor)
        for found in pkgutil.walk_packages(package.__path__, f"{floor}."):
            yield importlib.import_module(found.name)


def rooms():
    """Every public function `rate` or `rate_...` whose only required parameter is an `Inputs` class."""
    for module in modules():
        for name, function in vars(module).items():
            if not name.startswith("rate") or not inspect.isfunction(function):
                continue
            if function.__module__ != module.__name__ or hasattr(function, "formula"):
                continue
            parameters = list(inspect.signature(function).parameters.values())
            kind = typing.get_type_hints(function).get(parameters[0].name) if parameters else None
            others = [p for p in parameters[1:] if p.default is p.empty]
            if inspect.isclass(kind) and issubclass(kind, Inputs) and not others:
                yield Room(f"{module.__name__.removeprefix('layshaft.')}.{name}", function, kind)


def input_classes():
    return [cls for module in modules() for cls in inputs_in(module)]


FORMULAS: list[FormulaInfo] = list(load_all().values())
ROOMS: list[Room] = list(rooms())
FORMULA_IDS = [i.name for i in FORMULAS]
ROOM_IDS = [r.name for r in ROOMS]


def argument_sets(info, count=24):
    """Plausible arguments for one formula, moved about; plain ratios and counts also near one."""
    for seed in range(count):
        random = np.random.default_rng(seed)
        args = []
        for dimension in info.dimensions.values():
            spread = 0.3 if seed % 2 else 1.2
            factor = float(np.exp(random.uniform(-spread, spread)))
            if dimension is RATIO and seed % 3 == 2:
                factor *= 2
            args.append(plausible(dimension, factor=factor))
        yield args


def known_arguments(info):
    """The first plausible set for which the formula gives a finite number; else the first set."""
    sets = list(argument_sets(info))
    with np.errstate(all="ignore"):
        known = [a for a in sets if np.isfinite(float(np.asarray(info.function(*a))))]
    return (known or sets)[0]


