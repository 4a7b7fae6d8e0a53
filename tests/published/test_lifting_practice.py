"""Hanging weights: published practice and textbook values.

Impact factor, sling angle and energies: elementary formulas, evaluated. Working load limit 2000 lbf
from 10 000 lbf at 5 : 1: an article on design factors in entertainment rigging, read. Half the
marked limit over people: DGUV Information 215-313, section 1.4, read.
"""

import pytest
from pytest import approx

from layshaft.elements import hanging_load as hanging
from layshaft.elements import ratchet
from layshaft.mechanics import drives
from layshaft.trace.units import DEGREE, POUND_FORCE, STANDARD_GRAVITY


@pytest.mark.from_memory
def test_impact_factor_of_a_short_drop():
    """Drop 10 mm on a support that sags 2 mm under the weight at rest: 4.31662 times the weight."""
    W = 1000.0
    assert hanging.arrest_force(W, 0.010, W / 0.002) == approx(4316.62, rel=2e-6)


@pytest.mark.from_memory
def test_sling_of_two_legs_at_60_degrees():
    """Each leg pulls as hard as the whole load."""
    assert hanging.part_pull(800.0, 2.0, 60 * DEGREE) == approx(800.0)


def test_working_load_limit():
    assert hanging.working_load_limit(10_000 * POUND_FORCE, 5.0) == approx(2000 * POUND_FORCE)


def test_half_the_marked_limit_over_people():
    assert hanging.limit_over_people(2000.0) == approx(1000.0)


def test_stored_energy():
    """120 kg over 2.5 m: 2942 J. 40 kg over 3 m: 1177 J."""
    assert hanging.stored_energy(hanging.weight(120.0, STANDARD_GRAVITY), 2.5) == approx(2942.0, rel=1e-4)
    assert hanging.stored_energy(hanging.weight(40.0, STANDARD_GRAVITY), 3.0) == approx(1177.2, rel=1e-3)


def test_ratchet_of_24_teeth():
    """One step is 15 degrees."""
    assert ratchet.angle_step(24.0, 1.0) == approx(15 * DEGREE)


def test_standard_gravity_in_the_weight():
    assert hanging.weight(2.0, STANDARD_GRAVITY) == approx(2 * STANDARD_GRAVITY)


@pytest.mark.from_memory
def test_a_weight_caught_without_a_drop_pulls_twice_and_a_lift_by_its_acceleration():
    """Suddenly applied load: twice the weight. A lift that gains 1 m/s in 1 s pulls 10.19 % harder (elementary)."""
    W = 1000.0
    c = hanging.jolt(hanging.arrest_force(W, 0.0, 1e6), W)
    assert drives.strand_in_case(W, c) == approx(2000.0)
    assert drives.lifting_factor(1.0, 1.0, 9.81) == approx(1.1019, rel=1e-4)


def test_wrap_of_a_wheel_whose_strand_leaves_at_45_degrees():
    """Plane geometry: idler three diameters off and as high, the strand leaves at 45 degrees: wrapped over 135."""
    assert drives.winding_wrap(0.3, 0.1) == approx(135 * DEGREE)
    assert drives.winding_wrap(0.0, 0.1) == approx(90 * DEGREE)


def test_a_rope_of_half_a_percent_and_the_drop_in_the_play_of_a_hub():
    """Hooke: 8 kN, an eighth of it on 2 m at 0.5 %: 10 mm for 1 kN. A whole turn back: the circumference."""
    assert hanging.part_stiffness(8000.0, 0.005, 2.0) == approx(100e3)
    assert hanging.drop_of_play(360 * DEGREE, 0.1, 1.0) == approx(3.14159 * 0.1, rel=1e-5)
    assert hanging.drop_of_play(15 * DEGREE, 0.1, 2.0) == approx(hanging.drop_of_step(0.1, 24.0, 2.0))
