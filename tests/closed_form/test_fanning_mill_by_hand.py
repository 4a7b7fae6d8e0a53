"""The fan shaft of the Fanning Mill, worked by hand: bounds on its critical speed and the bearings it needs.

Closed forms of a uniform shaft on two bearings with masses: textbooks on vibration (values from memory, formula
evaluated): single mass 3 E I L/(a^2 b^2), bare shaft (pi/L)^2 sqrt(E I/m), Dunkerley's sum below.
"""

from math import pi, sqrt
from pathlib import Path

import pytest
from pytest import approx

import layshaft
from layshaft.machine.options import named_option
from layshaft.trace.units import REV_PER_MIN

EXAMPLE = Path(__file__).parents[2] / "examples" / "fanning-mill"
EI, MASS_PER_LENGTH = 206e9 * pi * 0.020**4 / 64, 7850 * pi / 4 * 0.020**2


as_it_stands_and_with_two_bearings = pytest.mark.parametrize("option", ["", "two bearings"])


def mill(option):
    machine = layshaft.read(EXAMPLE)
    machine = named_option(machine, option) if option else machine
    return layshaft.rate(layshaft.solve(machine))


def of(verdict, part, mode, place=""):
    return next(f for f in verdict.every() if (f.part, f.mode, f.place) == (part, mode, place))


@as_it_stands_and_with_two_bearings
def test_critical_speed_between_hand_bounds(option):
    """Two bearings 1.28 m apart, 3.4 kg at 0.36 and 0.97 m from the first; the overhung pinion hardly counts.

    From below by Dunkerley's sum, from above by the two rotors without the shaft's own mass.
    """
    found = of(mill(option), "shafts.fan", "critical speed").rating
    if not option:  # a middle bearing at 0.67 m: each half alone, the longer one is the softer
        assert found > 4 * 414 * REV_PER_MIN
        return
    L = 1.28
    bare = (pi / L) ** 2 * sqrt(EI / MASS_PER_LENGTH)
    softness = [a**2 * (L - a) ** 2 / (3 * EI * L) for a in (0.36, 0.97)]
    low = (1 / bare**2 + sum(3.4 * d for d in softness)) ** -0.5
    a, b = 0.36, 0.97
    cross = a * (L - b) * (L**2 - a**2 - (L - b) ** 2) / (6 * EI * L)
    high = (3.4 * ((sum(softness) + sqrt((softness[0] - softness[1]) ** 2 + 4 * cross**2)) / 2)) ** -0.5
    assert low < found < high
    assert found / REV_PER_MIN == approx(807, abs=1)


@as_it_stands_and_with_two_bearings
def test_speed_of_the_fan_is_that_of_chain_and_gears(option):
    """40 rev/min times 57/19 times 76/22."""
    found = of(mill(option), "shafts.fan", "critical speed")
    assert found.demand == approx(40 * 3 * 76 / 22 * REV_PER_MIN, rel=1e-9)
    assert found.margin == approx(found.rating / found.demand)
    assert found.verdict == ("thin" if option else "holds")


@as_it_stands_and_with_two_bearings
def test_groove_under_the_pinion_ring(option):
    """68 mm from the end, 19 mm at the bottom: 16 T/(pi d^3) and 32 M/(pi d^3) joined, held fast at the fan."""
    verdict = mill(option)
    rows = next(r for r in verdict.rated if r.mode == "yield")
    part = next(p for p in rows.block.parts if (p.path, p.place) == ("shafts.fan", "groove 1"))
    case = next(i for i, c in enumerate(verdict.solved.columns) if c.title == "held fast at fan")
    M, T = (abs(part.inputs[k][case, 0]) for k in ("M", "T_m"))
    T += abs(part.inputs["T_a"][case, 0])
    sigma = sqrt((32 * M) ** 2 + 3 * (16 * T) ** 2) / (pi * 0.019**3)
    found = next(f for f in verdict.every() if (f.part, f.place, f.mode, f.title) == (
        "shafts.fan", "groove 1", "yield", "held fast at fan"))
    assert found.demand == approx(sigma, rel=1e-9)
