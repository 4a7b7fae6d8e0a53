"""Every formula runs once on quantities with units (pint): wrong dimensions cannot pass."""

import dataclasses
import itertools
import warnings

import numpy
import numpy as np
import pint
import pytest

from house_rules.house_rooms import FORMULA_IDS, FORMULAS, known_arguments
from layshaft.trace.units import Area, Count, Length, Ratio

u = pint.UnitRegistry()

# What a module constant stands for. Several entries: the name is used for each of them somewhere.
CONSTANTS = {
    "INCH": ["m"], "FOOT": ["m"], "MM": ["m"], "MILLIMETRE": ["m"], "POUND": ["kg"], "POUND_FORCE": ["N"],
    "HORSEPOWER": ["W"], "REV_PER_MIN": ["rad/s"], "DEGREE": ["rad"], "STANDARD_GRAVITY": ["m/s**2"],
    "GRAVITY": ["m/s**2"], "MPA": ["Pa"], "MEGAPASCAL": ["Pa"], "MEGA": ["Pa", "1"],
    "GIGA": ["Pa", "1"], "KILO": ["N", "W", "1"], "MILLI": ["m", "1"], "MICRO": ["m"],
    "KILOWATT": ["W"], "KILONEWTON": ["N"], "PSI": ["Pa"],
    "KPSI": ["Pa"], "HOUR": ["s"], "MINUTE": ["s"], "CENTURY": ["s"], "YEAR": ["s"], "DAY": ["s"], "STANDARD_PRESSURE": ["Pa"],
    "CENTISTOKE": ["m**2/s"], "SOFTENS": ["K"],
    "GAS_CONSTANT_OF_AIR": ["J/kg/K"], "ZERO_CELSIUS": ["K"], "LARGEST": ["m", "1"], "BARTH_SPEED": ["m/s"],
    "CUT_SPEED": ["m/s"], "GENERATED_SPEED": ["m/s"], "FEET_PER_MINUTE": ["m/s"], "FILM": ["W/m**2/K"], "REFERENCE": ["m", "1"],
}
UNIT = {"degC": "K", "1": "dimensionless"}


def unit_of(dimension):
    return UNIT.get(dimension.si, dimension.si)


def with_unit(value, unit):
    return u.Quantity(value, unit)


class Numpy:
    """numpy, with a `where` that lets NaN and zero stand for a quantity of any unit."""

    def __getattr__(self, name):
        return getattr(numpy, name)

    @staticmethod
    def where(test, yes, no):
        yes, no = (u.Quantity(v) for v in (yes, no))
        fixed = [q for q in (yes, no) if not any_unit(q)]
        if len(fixed) == 2 and fixed[0].dimensionality != fixed[1].dimensionality:
            raise pint.DimensionalityError(yes.units, no.units)
        chosen = yes if bool(np.all(getattr(test, "magnitude", test))) else no
        return u.Quantity(chosen.magnitude, fixed[0].units) if fixed and any_unit(chosen) else chosen


def any_unit(quantity):
    return numpy.isnan(quantity.magnitude).all() or not numpy.any(quantity.magnitude)



def balance(info, constants):
    """None where the dimensions balance, else what came out."""
    values = known_arguments(info)
    space = info.function.__globals__
    before = {name: space[name] for name in (*constants, *(["np"] if "np" in space else []))}
    try:
        space.update({n: with_unit(before[n], unit) for n, unit in constants.items()})
        if "np" in space:
            space["np"] = Numpy()
        args = [with_unit(v, unit_of(d)) for v, d in zip(values, info.dimensions.values(), strict=True)]
        with warnings.catch_warnings(), numpy.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            result = u.Quantity(info.function(*args))
    except (pint.DimensionalityError, ValueError) as e:
        return str(e)
    finally:
        space.update(before)
    wanted = u.Quantity(1.0, unit_of(info.dimension))
    return None if result.check(wanted.dimensionality) else f"{result.units} instead of {wanted.units}"


@pytest.mark.parametrize("info", FORMULAS, ids=FORMULA_IDS)
def test_units_balance(info):
    used = set(info.function.__code__.co_names) & CONSTANTS.keys() & info.function.__globals__.keys()
    names = sorted(used)
    tries = [dict(zip(names, units, strict=True)) for units in itertools.product(*(CONSTANTS[n] for n in names))]
    said = [balance(info, constants) for constants in tries]
    assert None in said, f"{info.name}: {said[0]}"


def test_a_wrong_dimension_is_caught():
    [right] = [i for i in FORMULAS if i.name == "parallel_key.sheared_area"]
    wrong = dataclasses.replace(right, function=without_length)
    assert "instead of" in balance(wrong, {})


def without_length(b: Length, l_tr: Length, i: Count, phi: Ratio) -> Area:
    return b * i * phi
