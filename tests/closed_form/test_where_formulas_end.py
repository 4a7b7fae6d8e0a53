"""Where a formula has a difference below its fraction bar: a number right up to the zero of it, none beyond.

The bounds are those of the mathematics (the zero of the difference), or of the shape it is made for.
"""

import math

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.helical_spring import coil
from layshaft.elements.roller_chain import geometry
from layshaft.elements.shaft import din_743, sizing
from layshaft.elements.torsion_spring import endless_strength
from layshaft.elements.worm_pair import forces
from layshaft.mechanics import drives

NEAR = 0.999


def ends_at(bound, number):
    """A number a little inside the bound, and none at it or a little beyond."""
    with np.errstate(all="ignore"):
        inside, at, beyond = number(NEAR * bound), number(bound), number(bound / NEAR)
    assert math.isfinite(inside) and inside > 0
    assert not math.isfinite(beyond) and not (math.isfinite(at) and at < 0)
    return inside


@pytest.mark.parametrize("push", [forces.worm_force, forces.radial_force])
@pytest.mark.parametrize(("alpha", "gamma"), [(20, 50), (25, 30)])
def test_no_push_moves_a_worm_wheel_beyond_the_cone_of_friction(push, alpha, gamma):
    """cos(alpha) cos(gamma) = mu sin(gamma) is the zero of the force along the worm that comes out at the wheel."""
    a, g = math.radians(alpha), math.radians(gamma)
    mu = ends_at(math.cos(a) / math.tan(g), lambda mu: float(push(1000.0, a, g, mu)))
    assert mu > 1000.0
    steep = float(push(1000.0, a, g, NEAR**2 * math.cos(a) / math.tan(g)))
    assert mu == approx(2 * steep, rel=0.02)  # near a simple pole half the distance is twice the value


@pytest.mark.parametrize(("z_1", "z_2"), [(17.0, 51.0), (17.0, 25.0)])
def test_a_chain_is_longer_than_half_of_both_sprockets(z_1, z_2):
    bound = (z_1 + z_2) / 2
    assert all(math.isnan(float(geometry.centre_factor(0.5, X, z_1, z_2, 0.0127))) for X in (bound, NEAR * bound))
    X = bound / NEAR
    assert float(geometry.centre_factor(0.5, X, z_1, z_2, 0.0127)) == approx(0.5 / 0.0127 / (2 * X - z_1 - z_2))


def test_a_fatigue_limit_stays_below_twice_the_tensile_strength():
    """DIN 743-1 has W over twice the tensile strength less W (value from memory)."""
    assert ends_at(2 * 700e6, lambda W: float(din_743.mean_sensitivity(W, 700e6))) == approx(NEAR / (1 - NEAR))


def test_a_tube_has_a_wall():
    """Polar second moment of a tube: 1 - k^4 of that of the solid bar, elementary."""
    assert ends_at(1.0, lambda k: float(sizing.tube_diameter(0.03, k))) == approx(0.03 / (1 - NEAR**4) ** (1 / 3))


def test_half_of_what_comes_and_goes_stays_below_the_strength():
    """The Gerber parabola is at nothing where the mean is the tensile strength (Shigley, value from memory)."""
    found = ends_at(2 * 1500e6, lambda S_r: float(endless_strength(S_r, 1500e6)))
    assert found == approx(NEAR * 1500e6 / (1 - NEAR**2))


@pytest.mark.parametrize("factor", [coil.wahl_factor, coil.bergstraesser_factor])
def test_a_coil_is_wider_than_its_wire(factor):
    """C = D/d: at 1 the wire lies in the axis of its own coil."""
    assert math.isnan(float(factor(NEAR))) and math.isnan(float(factor(1.0)))
    assert float(factor(1 / NEAR)) > float(factor(1.1)) > float(factor(4.0)) > 1


def test_a_weight_brought_up_to_speed_pulls_by_its_acceleration():
    """F = m (g + v/t): Newton. 2 m/s in 0.5 s is 4 m/s^2."""
    assert float(drives.lifting_factor(2.0, 0.5, 9.81)) == approx(1 + 4 / 9.81, rel=1e-12)
    assert float(drives.lifting_factor(3.0, 2.0, 10.0)) == approx(1.15, rel=1e-12)
