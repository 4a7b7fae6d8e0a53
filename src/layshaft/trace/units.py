"""Quantities at the door: dimensions, units, and the text a builder writes.

Inside the house every number is SI float64. A `Dimension` names what a number is (a length, a
torque, a turning speed) and knows which units the door accepts for it; torque and energy share
base units but are different dimensions here, so one can never be written where the other belongs.
Unit sizes: exact by definition of the international inch, pound, pound-force and horsepower.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Annotated

import numpy as np
import numpy.typing as npt

from layshaft.trace.errors import BadInput

Number = float | npt.NDArray[np.float64]

INCH = 0.0254
FOOT = 12 * INCH
POUND = 0.45359237
STANDARD_GRAVITY = 9.80665
POUND_FORCE = POUND * STANDARD_GRAVITY
HORSEPOWER = 550 * FOOT * POUND_FORCE
REV_PER_MIN = 2 * math.pi / 60
DEGREE = math.pi / 180


_system: ContextVar[str] = ContextVar("layshaft_units", default="metric")

INCH_UNITS: dict[str, tuple[str, ...]] = {
    "length": ("in",), "area": ("in2",), "second moment of area": ("in4",), "mass": ("lb",),
    "mass per length": ("lb/ft",), "density": ("lb/in3",), "moment of inertia": ("lb ft2",), "velocity": ("ft/min",),
    "force": ("lbf",), "torque": ("lbf in",), "stress": ("psi", "kpsi"), "energy": ("ft lbf",), "power": ("W", "hp"),
    "stiffness": ("lbf/in",), "acceleration": ("ft/s2",),
}
"""What a machine file with `units: inch` prints in; other dimensions print as ever."""


@contextmanager
def printing_in(system: str) -> Iterator[None]:
    """Print quantities in `metric` or `inch` inside the block; a blank means metric."""
    token = _system.set(system or "metric")
    try:
        yield
    finally:
        _system.reset(token)


def print_in(system: str) -> None:
    """Print in `metric` or `inch` from here on; for a process that prints one machine."""
    _system.set(system or "metric")


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a number is. `si` is the unit it has inside; `shown` the units it is printed in."""

    name: str
    si: str
    units: dict[str, float]
    shown: tuple[str, ...]

    def __hash__(self) -> int:
        return hash(self.name)

    @property
    def printed(self) -> tuple[str, ...]:
        """Units this dimension is printed in, in the system that is on."""
        return INCH_UNITS.get(self.name, self.shown) if _system.get() == "inch" else self.shown

    def best_unit(self, value: float) -> str:
        """The printed unit in which `value` reads between 1 and 1000, where there is one."""
        *smaller, largest = self.printed
        for unit in smaller:
            if abs(value) < 1000 * self.units[unit] or not math.isfinite(value):
                return unit
        return largest


def _dimension(name: str, si: str, units: dict[str, float], *shown: str) -> Dimension:
    return Dimension(name, si, units, shown or (si,))


LENGTH = _dimension(
    "length", "m",
    {"m": 1, "mm": 1e-3, "cm": 1e-2, "um": 1e-6, "µm": 1e-6, "in": INCH, '"': INCH, "ft": FOOT},
    "mm",
)
AREA = _dimension("area", "m**2", {"m2": 1, "mm2": 1e-6, "cm2": 1e-4, "in2": INCH**2}, "mm2")
VOLUME = _dimension("volume", "m**3", {"m3": 1, "mm3": 1e-9, "cm3": 1e-6, "l": 1e-3}, "cm3")
SECTION_MODULUS = _dimension("section modulus", "m**3", {"m3": 1, "mm3": 1e-9, "cm3": 1e-6}, "mm3")
SECOND_MOMENT = _dimension("second moment of area", "m**4", {"m4": 1, "mm4": 1e-12, "cm4": 1e-8, "in4": INCH**4}, "mm4")
MASS = _dimension("mass", "kg", {"kg": 1, "g": 1e-3, "t": 1e3, "lb": POUND, "lbm": POUND}, "kg")
MASS_PER_LENGTH = _dimension("mass per length", "kg/m", {"kg/m": 1, "lb/ft": POUND / FOOT}, "kg/m")
DENSITY = _dimension("density", "kg/m**3", {"kg/m3": 1, "g/cm3": 1e3, "lb/in3": POUND / INCH**3},
                     "kg/m3")
INERTIA = _dimension(
    "moment of inertia", "kg*m**2",
    {"kg m2": 1, "g m2": 1e-3, "kg cm2": 1e-4, "lb ft2": POUND * FOOT**2, "lb in2": POUND * INCH**2},
    "kg m2",
)
TIME = _dimension(
    "time", "s",
    {"s": 1, "min": 60, "h": 3600, "ms": 1e-3, "day": 86400, "days": 86400, "week": 604800,
     "weeks": 604800, "year": 31557600, "years": 31557600, "a": 31557600},
    "s", "min", "h",
)
ANGLE = _dimension("angle", "rad", {"rad": 1, "deg": DEGREE, "°": DEGREE, "mrad": 1e-3,
                                    "turn": 2 * math.pi, "turns": 2 * math.pi}, "deg")
SLOPE = _dimension("slope", "rad", {"rad": 1, "mrad": 1e-3, "deg": DEGREE, "°": DEGREE}, "mrad")
SPEED = _dimension(
    "turning speed", "rad/s",
    {"rpm": REV_PER_MIN, "rev/min": REV_PER_MIN, "1/min": REV_PER_MIN, "rad/s": 1,
     "rev/s": 2 * math.pi, "1/s": 2 * math.pi, "deg/s": DEGREE},
    "rev/min",
)
TWIST_RATE = _dimension("twist per length", "rad/m", {"rad/m": 1, "deg/m": DEGREE, "°/m": DEGREE,
                                                      "deg/ft": DEGREE / FOOT}, "deg/m")
VELOCITY = _dimension(
    "velocity", "m/s",
    {"m/s": 1, "mm/s": 1e-3, "m/min": 1 / 60, "ft/min": FOOT / 60, "ft/s": FOOT, "km/h": 1 / 3.6},
    "m/s",
)
ACCELERATION = _dimension("acceleration", "m/s**2",
                          {"m/s2": 1, "g": STANDARD_GRAVITY, "ft/s2": FOOT}, "m/s2")
ANGULAR_ACCELERATION = _dimension("angular acceleration", "rad/s**2", {"rad/s2": 1}, "rad/s2")
FORCE = _dimension("force", "N", {"N": 1, "kN": 1e3, "MN": 1e6, "lbf": POUND_FORCE,
                                  "kgf": STANDARD_GRAVITY, "daN": 10}, "N", "kN")
TORQUE = _dimension(
    "torque", "N*m",
    {"N m": 1, "kN m": 1e3, "N mm": 1e-3, "N cm": 1e-2, "mN m": 1e-3, "Nm": 1,
     "lbf in": POUND_FORCE * INCH, "lbf ft": POUND_FORCE * FOOT, "kgf m": STANDARD_GRAVITY},
    "N m",
)
STRESS = _dimension(
    "stress", "Pa",
    {"Pa": 1, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9, "N/mm2": 1e6, "bar": 1e5,
     "psi": POUND_FORCE / INCH**2, "kpsi": 1e3 * POUND_FORCE / INCH**2, "ksi": 1e3 * POUND_FORCE / INCH**2},
    "MPa",
)
ENERGY = _dimension("energy", "J", {"J": 1, "kJ": 1e3, "N m": 1, "Wh": 3600, "ft lbf": FOOT * POUND_FORCE},
                    "J", "kJ")
POWER = _dimension("power", "W", {"W": 1, "kW": 1e3, "mW": 1e-3, "hp": HORSEPOWER}, "W", "kW")
STIFFNESS = _dimension(
    "stiffness", "N/m",
    {"N/m": 1, "N/mm": 1e3, "kN/mm": 1e6, "kN/m": 1e3, "lbf/in": POUND_FORCE / INCH}, "N/mm"
)
TORSIONAL_STIFFNESS = _dimension(
    "torsional stiffness", "N*m/rad", {"N m/rad": 1, "kN m/rad": 1e3, "N m/deg": 1 / DEGREE}, "N m/rad")
DAMPING = _dimension("torque per speed", "N*m*s/rad", {"N m s/rad": 1, "N m s": 1}, "N m s/rad")
TORQUE_PER_SPEED_SQUARED = _dimension(
    "torque per speed squared", "N*m*s**2/rad**2", {"N m s2/rad2": 1, "N m s2": 1, "kg m2": 1}, "N m s2")
TEMPERATURE = _dimension("temperature", "degC", {"degC": 1, "°C": 1, "C": 1}, "degC")
VISCOSITY = _dimension("kinematic viscosity", "m**2/s", {"m2/s": 1, "mm2/s": 1e-6, "cSt": 1e-6}, "mm2/s")
PRESSURE_VELOCITY = _dimension(
    "pressure times velocity", "Pa*m/s",
    {"Pa m/s": 1, "MPa m/s": 1e6, "N/mm2 m/s": 1e6, "psi ft/min": POUND_FORCE / INCH**2 * FOOT / 60}, "MPa m/s"
)
WEAR_RATE = _dimension(
    "wear per load and way", "1/Pa", {"1/Pa": 1, "mm3/(N m)": 1e-9, "mm3/N m": 1e-9, "m3/(N m)": 1}, "mm3/(N m)")
SPECIFIC_HEAT = _dimension("specific heat", "J/(kg*K)", {"J/(kg K)": 1, "J/kgK": 1, "kJ/(kg K)": 1e3}, "J/(kg K)")
EXPANSION = _dimension("thermal expansion", "1/K", {"1/K": 1, "um/m/K": 1e-6, "um/(m K)": 1e-6}, "um/m/K")
MONEY = _dimension("money", "1", {"": 1}, "")
COUNT = _dimension("count", "1", {"": 1, "1": 1}, "")
RATIO = _dimension("ratio", "1", {"": 1, "1": 1, "%": 1e-2, "percent": 1e-2}, "")
FLEXIBILITY = _dimension("square root of stress", "Pa**0.5",
                         {"MPa^0.5": 1e3, "Pa^0.5": 1}, "MPa^0.5")
ROOT_LENGTH = _dimension("square root of length", "m**0.5", {"m^0.5": 1, "mm^0.5": 1e-3**0.5}, "mm^0.5")

DIMENSIONS = {d.name: d for d in list(globals().values()) if isinstance(d, Dimension)}

# What signatures are annotated with: the alias carries the dimension to forms, docs and tests.
Length = Annotated[Number, LENGTH]
Area = Annotated[Number, AREA]
Volume = Annotated[Number, VOLUME]
SectionModulus = Annotated[Number, SECTION_MODULUS]
SecondMoment = Annotated[Number, SECOND_MOMENT]
Mass = Annotated[Number, MASS]
MassPerLength = Annotated[Number, MASS_PER_LENGTH]
Density = Annotated[Number, DENSITY]
Inertia = Annotated[Number, INERTIA]
Time = Annotated[Number, TIME]
Angle = Annotated[Number, ANGLE]
Slope = Annotated[Number, SLOPE]
TwistRate = Annotated[Number, TWIST_RATE]
Speed = Annotated[Number, SPEED]
Velocity = Annotated[Number, VELOCITY]
Acceleration = Annotated[Number, ACCELERATION]
AngularAcceleration = Annotated[Number, ANGULAR_ACCELERATION]
Force = Annotated[Number, FORCE]
Torque = Annotated[Number, TORQUE]
Stress = Annotated[Number, STRESS]
Energy = Annotated[Number, ENERGY]
Power = Annotated[Number, POWER]
Stiffness = Annotated[Number, STIFFNESS]
TorsionalStiffness = Annotated[Number, TORSIONAL_STIFFNESS]
Damping = Annotated[Number, DAMPING]
TorquePerSpeedSquared = Annotated[Number, TORQUE_PER_SPEED_SQUARED]
Temperature = Annotated[Number, TEMPERATURE]
Viscosity = Annotated[Number, VISCOSITY]
PressureVelocity = Annotated[Number, PRESSURE_VELOCITY]
WearRate = Annotated[Number, WEAR_RATE]
SpecificHeat = Annotated[Number, SPECIFIC_HEAT]
Expansion = Annotated[Number, EXPANSION]
Count = Annotated[Number, COUNT]
Ratio = Annotated[Number, RATIO]
RootStress = Annotated[Number, FLEXIBILITY]
RootLength = Annotated[Number, ROOT_LENGTH]


class UnitError(BadInput):
    """A text that is not a quantity of the wanted dimension; the message says what to write."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in SI, with the ends of its spread where the text gave one, and the unit written."""

    value: float
    low: float | None = None
    high: float | None = None
    unit: str = ""


_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_VALUE = re.compile(rf"\s*({_NUMBER})(?:\s+(\d+)/(\d+)|/(\d+))?\s*(.*?)\s*$", re.DOTALL)
_SPREAD = re.compile(r"\s*(?:±|\+/-|\+-)\s*")
_BETWEEN = re.compile(r"\s+between\s+\[?(.*?)(?:\s*,\s*|\s+and\s+)(.*?)\]?\s*$")


@dataclass(frozen=True)
class _UnitTable:
    """Units by their normalised spelling, so that `N·m`, `N*m`, `N m` and `Nm` are one."""

    by_spelling: dict[str, dict[str, float]]

    @staticmethod
    def spelling(text: str) -> str:
        text = text.replace("²", "2").replace("³", "3").replace("⁴", "4").replace("^", "").replace("**", "")
        return re.sub(r"[\s·*⋅.]+", "", text)


_TABLE = _UnitTable({
    d.name: {_UnitTable.spelling(u): f for u, f in d.units.items()} for d in DIMENSIONS.values()
})


def unit_factor(unit: str, dimension: Dimension) -> float | None:
    """SI value of one `unit`, its two factors in either order; None if it is not a unit of this dimension."""
    known, turned = _TABLE.by_spelling[dimension.name], " ".join(re.split(r"[\s·*⋅.-]+", unit)[::-1])
    return known.get(_UnitTable.spelling(unit), known.get(_UnitTable.spelling(turned)))


def dimensions_of(unit: str) -> list[str]:
    """Names of the dimensions that know `unit`; used to say what was written instead."""
    spelled = _UnitTable.spelling(unit)
    return [name for name, units in _TABLE.by_spelling.items() if spelled and spelled in units]


def parse_quantity(text: str, dimension: Dimension) -> Quantity:
    """Read `12.7 mm`, `1/2 in`, `60 rpm ± 5 %`, `0.95 between [0.90, 0.97]`, `about 700 mm`.

    Raises `UnitError` with one sentence that says what was found and what to write.
    """
    text = text.strip()
    if text.startswith("about "):
        text = text[6:]
    if match := _BETWEEN.search(text):
        nominal = parse_quantity(text[: match.start()], dimension)
        low, high = (_bound(part, nominal.unit, dimension) for part in match.groups())
        return _ordered(Quantity(nominal.value, low, high, nominal.unit), text)
    parts = _SPREAD.split(text)
    if len(parts) == 1:
        return _single(text, dimension)
    if len(parts) != 2:
        raise UnitError(f"'{text}' has more than one ±. {_example(dimension)}")
    return _plus_minus(parts[0], parts[1], dimension, text)


def _plus_minus(nominal_text: str, spread_text: str, dimension: Dimension, text: str) -> Quantity:
    if not _unit_text(nominal_text) and dimension.units.get("") is None:
        nominal_text = f"{nominal_text} {_unit_text(spread_text)}"  # "30 ± 2 mm"
    nominal = _single(nominal_text, dimension)
    if _unit_text(spread_text) in ("%", "percent"):
        share = _single(spread_text, RATIO).value
        spread = share if nominal.unit in ("%", "percent") else abs(nominal.value) * share
    else:
        spread = _bound(spread_text, nominal.unit, dimension)
    if spread < 0:
        raise UnitError(f"'{text}' has a negative spread. {_example(dimension)}")
    return Quantity(nominal.value, nominal.value - spread, nominal.value + spread, nominal.unit)


def _bound(text: str, unit: str, dimension: Dimension) -> float:
    return _single(text if _unit_text(text) else f"{text} {unit}", dimension).value


def _ordered(q: Quantity, text: str) -> Quantity:
    assert q.low is not None and q.high is not None
    if not q.low <= q.value <= q.high:
        raise UnitError(f"'{text}': the value must lie between its two ends, the smaller one first.")
    return q


def _unit_text(text: str) -> str:
    match = _VALUE.match(text)
    return match.group(5) if match else ""


def _without_comma(text: str) -> str:
    """What to write instead: the comma may be a decimal sign, or stand between thousands."""
    number, rest = re.match(r"([-+]?[\d.,]*\d)(.*)", text, re.DOTALL).groups()  # type: ignore[union-attr]
    thousands = re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+(\.\d+)?", number)
    decimal = re.fullmatch(r"[-+]?(\d+|\d{1,3}(\.\d{3})+),\d+", number)
    ways = [number.replace(",", "")] if thousands else []
    ways += [number.replace(".", "").replace(",", ".")] if decimal else []
    if not ways:
        return "Write one number, with a point before its decimals."
    point = "a point: " if decimal and not thousands else ""
    return f"Write {point}{' or '.join(repr(way + rest) for way in ways)}."


def _single(text: str, dimension: Dimension) -> Quantity:
    text = text.strip()
    if not (match := _VALUE.match(text)):
        an = f"a{'n' * (dimension.name[0] in 'aeiou')} {dimension.name}"
        raise UnitError(f"'{text[:60]}' is not {an}. {_example(dimension)}")
    whole, over, under, simple_under, unit = match.groups()
    value = float(whole)
    if re.match(r",\d", unit):
        raise UnitError(f"'{text}' has a comma. {_without_comma(text)}")
    if simple_under is not None or under is not None:
        divisor = int(simple_under or under)
        if divisor == 0:
            raise UnitError(f"'{text}' divides by zero. {_example(dimension)}")
        value = value / divisor if simple_under else value + math.copysign(int(over) / divisor, value)
    factor = unit_factor(unit, dimension)
    if factor is None:
        raise UnitError(_wrong_unit(text, unit, dimension))
    value *= factor
    if not math.isfinite(value):
        raise UnitError(f"'{text}' is not a finite number. {_example(dimension)}")
    return Quantity(value, unit=unit)


def _wrong_unit(text: str, unit: str, dimension: Dimension) -> str:
    if not unit:
        named = f"a{'n' * (dimension.name[0] in 'aeiou')} {dimension.name}"
        return f"'{text}' has no unit; {named} needs one. {_example(dimension)}"
    others = [n for n in dimensions_of(unit) if n != dimension.name]
    if others:
        return (f"'{text}' is a{'n' * (others[0][0] in 'aeiou')} {others[0]}; "
                f"a{'n' * (dimension.name[0] in 'aeiou')} {dimension.name} belongs here. {_example(dimension)}")
    return f"'{unit}' is not a unit of {dimension.name}. {_example(dimension)}"


_EXAMPLES = {
    "length": "12.7 mm or 1/2 in", "mass": "96 kg", "torque": "48 N m or 35 lbf ft", "time": "45 min",
    "turning speed": "30 rev/min", "force": "600 N", "energy": "6 J", "angle": "80 deg", "power": "50 W",
    "stress": "355 MPa", "moment of inertia": "0.112 kg m2", "density": "1.20 kg/m3", "count": "19",
    "ratio": "0.95 or 95 %", "stiffness": "400 N/mm", "torsional stiffness": "1500 N m/rad",
    "velocity": "0.2 m/s", "temperature": "20 degC", "specific heat": "460 J/(kg K)",
    "acceleration": "9.81 m/s2", "slope": "0.5 mrad",
    "area": "150 mm2", "mass per length": "0.69 kg/m", "torque per speed": "0.05 N m s/rad",
    "torque per speed squared": "0.0006 N m s2", "kinematic viscosity": "110 mm2/s",
    "pressure times velocity": "1.8 MPa m/s", "wear per load and way": "0.000002 mm3/(N m)",
}


def _example(dimension: Dimension) -> str:
    return f"Write for instance {_EXAMPLES.get(dimension.name, '1 ' + dimension.shown[0])}."


def shown(value: float, dimension: Dimension, unit: str | None = None, digits: int = 4) -> str:
    """A value as text with its unit: four significant digits, no exponent between 1e-4 and 1e7."""
    if dimension is COUNT and abs(value) < 1e9 and float(value).is_integer():
        return f"{value:.0f}"
    unit = ("" if math.isnan(value) else dimension.best_unit(value)) if unit is None else unit
    return "unknown" if math.isnan(value) else f"{figure(value / dimension.units[unit], digits)} {unit}".rstrip()


def figure(value: float, digits: int = 4) -> str:
    """A plain number with `digits` significant digits."""
    if not math.isfinite(value):
        return "unknown" if math.isnan(value) else ("∞" if value > 0 else "-∞")
    if value == 0:
        return "0"
    exponent = math.floor(math.log10(abs(value)))
    if not -5 <= exponent < 7:
        return f"{value:.{digits - 1}e}"
    rounded = f"{value:.{max(digits - 1 - exponent, 0)}f}"
    return rounded if "." in rounded else f"{float(f'{value:.{digits}g}'):.0f}"
