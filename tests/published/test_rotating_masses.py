"""Flywheels and moments of inertia.

U.C. Jindal, Machine Design, example 19-5, p. 533 (read in a volunteer's companion); Shigley and
Mischke, Mechanical Engineering Design, 5th ed., rotating rings (formula evaluated); solids from any
engineering handbook (values from memory, formula evaluated).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import flywheel
from layshaft.mechanics import inertia, rotating
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN

GIVEN = Source("worked example", obtained="given")


def wheel(**changes):
    values = {"d_o": 0.728, "d_i": 0.0, "rho": 7800.0, "nu": 0.3, "k_h": 1.0, "J": 6.445, "omega": -250 * REV_PER_MIN,
              "omega_r": 250 * REV_PER_MIN, "E_w": 0.0, "omega_c": 1e6, "omega_s": 0.0, "R_lim": 120e6, "R_m": 200e6,
              "S_required": 6.0,
              "S_y_required": 1.5, "S_b_required": 2.5} | changes
    return flywheel.FlywheelInputs(**values, origins=dict.fromkeys(values, GIVEN))


def test_jindal_example_19_5_page_533():
    """441.79 J, swing 0.1, 250 rev/min, 30 mm thick: radius 0.364 m; centre stress 0.29 MPa."""
    J = flywheel.needed_inertia(441.79, 0.1, 250 * REV_PER_MIN)
    assert flywheel.disc_diameter(J, 7800.0, 0.030) / 2 == approx(0.364, rel=2e-3)
    result = flywheel.rate(wheel())
    assert result.sigma == approx(0.29e6, rel=0.02)
    assert inertia.ring(inertia.mass(7800.0, inertia.ring_volume(0.728, 0.0, 0.030)), 0.728, 0.0) == approx(J, rel=2e-3)
    assert result.W == approx(441.79 / 0.1 / 2, rel=2e-3)
    assert result.S == approx(120e6 / result.sigma)


def test_disc_with_a_hole():
    """7850 kg/m3, 300 rev/min, radii 0.4 and 0.05 m: 1.0261 MPa. The hole term adds to the square."""
    result = flywheel.rate(wheel(d_o=0.8, d_i=0.1, rho=7850.0, omega=300 * REV_PER_MIN))
    assert result.sigma == approx(1.0261e6, rel=1e-3)
    wide = flywheel.bored_disc_stress(0.3, 7850.0, 12.566, 0.4, 0.8)
    assert wide == approx(3.3 / 4 * 7850 * (300 * REV_PER_MIN) ** 2 * (0.4**2 + 0.7 / 3.3 * 0.2**2), rel=1e-4)


def test_thin_ring():
    """Cast iron at 25 m/s: 4.5 MPa; a ring as thin as paper comes to the same."""
    assert rotating.thin_ring_stress(7200.0, 25.0) == approx(4.5e6)
    assert flywheel.bored_disc_stress(0.3, 7200.0, 25.0, 0.9999, 1.0) == approx(4.5e6, rel=1e-4)
    assert rotating.rim_speed(1.0, -50.0) == approx(25.0)


def test_pinhole_doubles_the_stress_and_impossible_bores_are_unknown():
    tiny = flywheel.rate(wheel(d_i=1e-6)).sigma
    assert tiny == approx(2 * flywheel.rate(wheel()).sigma, rel=1e-6)
    assert np.isnan(flywheel.rate(wheel(d_i=0.8)).S)


def test_dangers_are_said():
    """Local rules go first; common practice."""
    with tracing() as trace:
        flywheel.rate(wheel(omega=70.0))
    assert [r.text[:9] for r in trace.remarks] == ["The wheel", "The rim r"]
    assert trace.untraced == []
    with tracing() as trace:
        flywheel.rate(wheel(omega=1.0))
    assert trace.remarks == []


def test_remarks_begin_above_their_limits():
    """Common practice, no single source: 25 m/s on the rim, 100 J in the wheel."""
    assert rotating.runs_fast(np.array([24.9, 25.1]), 25.0) == approx([0.0, 1.0])
    assert rotating.stores_much(np.array([99.0, 101.0]), 100.0) == approx([0.0, 1.0])


def test_annular_ring_adds_the_squares():
    """40 kg, radii 0.25 and 0.20 m: 2.05 kg m2."""
    assert inertia.ring(40.0, 0.5, 0.4) == approx(2.05)


@pytest.mark.from_memory
def test_steel_disc_and_ring():
    """D 500 x 40: 61.6538 kg, 1.92668 kg m2. Ring 600/500 x 60: 40.691 kg, 3.10273 kg m2."""
    m = inertia.mass(7850.0, inertia.ring_volume(0.5, 0.0, 0.04))
    assert [m, inertia.ring(m, 0.5, 0.0)] == approx([61.6538, 1.92668], rel=1e-4)
    m = inertia.mass(7850.0, inertia.ring_volume(0.6, 0.5, 0.06))
    assert [m, inertia.ring(m, 0.6, 0.5)] == approx([40.691, 3.10273], rel=1e-4)


@pytest.mark.from_memory
def test_rod_sphere_torus():
    """Rod 20 x 1000 about its end 0.82205; sphere D 100 0.00411025; torus R 300, r 20 1.67907 kg m2."""
    rod = inertia.mass(7850.0, inertia.ring_volume(0.02, 0.0, 1.0))
    assert inertia.rod_about_end(rod, 1.0) == approx(0.82205, rel=1e-4)
    ball = inertia.mass(7850.0, inertia.sphere_volume(0.1))
    assert inertia.sphere(ball, 0.1) == approx(0.00411025, rel=1e-4)
    rim = inertia.mass(7850.0, inertia.torus_volume(0.3, 0.02))
    assert inertia.torus(rim, 0.3, 0.02) == approx(1.67907, rel=1e-4)
    assert inertia.torus(1.0, 0.3, 0.2) == approx(0.12)


def test_arm_about_its_end_and_middle():
    """3 kg, 0.6 m about the end: 0.36 kg m2; parallel axis from the middle gives the same."""
    assert inertia.rod_about_end(3.0, 0.6) == approx(0.36)
    assert inertia.parallel_axis(inertia.rod_about_middle(3.0, 0.6), 3.0, 0.3) == approx(0.36)
    assert inertia.parallel_axis(0.01, 2.0, 0.4) == approx(0.33)


def test_seen_from_another_shaft():
    """5 kg m2 four times as fast: 80; 2 kg m2 a quarter as fast: 0.125; 96 kg at 50 mm: m r^2."""
    assert inertia.reflected(5.0, 4.0) == approx(80.0)
    assert inertia.reflected(2.0, 0.25) == approx(0.125)
    assert inertia.reflected_mass(96.0, 0.05) == approx(0.24)
