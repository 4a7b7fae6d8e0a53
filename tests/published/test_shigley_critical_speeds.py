"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., sections 7-5 and 7-6.

Table 7-2 (p. 379) and example 7-5 (p. 386 to 388) read in an e-book. Two gears of 35 and 55 lbf, 7 and
20 in from the left one of two bearings 31 in apart, on a steel shaft of 1 in.
"""

from types import SimpleNamespace

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import shaft
from layshaft.elements.shaft import critical
from layshaft.elements.shaft.stiffness import deflection
from layshaft.listings.tables import table
from layshaft.mechanics import critical_speed
from layshaft.mechanics.beam import Beam
from layshaft.mechanics.critical_speed import first_critical
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, POUND_FORCE, REV_PER_MIN
from layshaft.verdict.kinds import deflections

G = 386.1 * INCH
GIVEN = Source("worked example", obtained="given")
E_STEEL = 30e6 * POUND_FORCE / INCH**2
WEIGHTS = np.array([35.0, 55.0]) * POUND_FORCE
EXAMPLE = Beam([0, 31 * INCH], [INCH], E_STEEL, [0, 31 * INCH], [7 * INCH, 20 * INCH]).flexibility()
SHAFT_ALONE = 520.4


def test_exact_speed_lies_between_the_estimates_of_the_example():
    """Dunkerley's sum 6.905e-5 gives 120.3 rad/s, the weighted sag 124.8; in between 124.7 by hand.

    By hand: 1/w^2 is the larger root of x^2 - x (m1 d11 + m2 d22) + m1 m2 (d11 d22 - d12^2).
    """
    whirl = first_critical(EXAMPLE, WEIGHTS / G, G)
    low, high = critical_speed.speed_of_sag(G, np.array([whirl.lower_sag, whirl.upper_sag]))
    assert [low, high] == approx([120.34, 124.8], rel=1e-3)
    m, d = WEIGHTS / G, EXAMPLE
    b, c = m @ np.diagonal(d), m[0] * m[1] * (d[0, 0] * d[1, 1] - d[0, 1] ** 2)
    assert whirl.omega_1 == approx(((b + np.sqrt(b**2 - 4 * c)) / 2) ** -0.5, rel=1e-12)
    assert whirl.omega_1 == approx(124.7, abs=0.05)


def test_shaft_with_both_gears_page_388():
    """The bare shaft alone 520.4 rad/s; with both gears 117.3 rad/s, 1120 rev/min."""
    omega = SHAFT_ALONE
    for k in (0, 1):
        omega = critical_speed.with_more_mass(omega, WEIGHTS[k] / G, 1 / EXAMPLE[k, k])
    assert omega == approx(117.3, abs=0.05)
    assert omega / REV_PER_MIN == approx(1120, abs=1)


def rated(speed, stated=2, **changes):
    """The example as the room rates it: `stated` gears are given, the rest may sit there."""
    own = first_critical(EXAMPLE[:stated, :stated], WEIGHTS[:stated] / G, G)
    values = {"omega": speed, "omega_1": own.omega_1, "y_w": own.upper_sag, "y_s": own.lower_sag, "g": G, "m_u": 0.0,
              "k_u": 1 / EXAMPLE[1, 1], "S_required": 2.0} | changes
    return shaft.rate_critical(shaft.CriticalInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def test_twice_the_turning_speed_is_asked():
    """124.7 rad/s: 62 rad/s holds, 63 does not."""
    assert rated(62.0).S == approx(124.7 / 62, rel=1e-3)
    assert rated(62.0).S > 2 > rated(63.0).S
    assert rated(62.0).checks[0].mode == "critical speed"


def test_a_gear_without_a_mass():
    """Gear 1 alone: 1/w^2 = m1 d11. Room for gear 2 up to (1/(2 omega)^2 - m1 d11)/d22 by hand."""
    alone = (WEIGHTS[0] / G * EXAMPLE[0, 0]) ** -0.5
    spare = (1 / (2 * 40.0) ** 2 - 1 / alone**2) / EXAMPLE[1, 1]
    assert spare == approx(68.2, abs=0.1)
    light, heavy = rated(40.0, 1, m_u=0.9 * spare), rated(40.0, 1, m_u=1.1 * spare)
    assert light.m_s == approx(spare, rel=1e-12)
    assert light.omega_c == approx((1 / alone**2 + 0.9 * spare * EXAMPLE[1, 1]) ** -0.5, rel=1e-12)
    assert light.S > 2
    assert np.isnan(heavy.S)
    assert rated(0.6 * alone, 1, m_u=1.0).S == approx(1 / 0.6, rel=1e-9)
    assert rated(0.0, 1, m_u=1.0).S == approx(1e6)
    at_rest = critical_speed.spare_mass(1 / EXAMPLE[1, 1], 0.0, 2.0, alone)
    assert at_rest == approx((1 / 2e-6**2 - 1) / alone**2 / EXAMPLE[1, 1], rel=1e-9)
    assert critical_speed.spare_mass(1e6, 40.0, 2.0, 500.0) == approx(1e6 * (1 / 6400 - 1 / 250_000))


def test_three_answers_of_the_speed_that_counts():
    """All of it where it holds even so, none of it where it fails even so, else unknown."""
    assert critical.counted(np.array([3.0, 4.0, 0.0, 5.0]), np.array([4.0, 4.0, -1.0, 4.0]), 200.0, 300.0) == approx(
        [200.0, 200.0, 300.0, np.nan], nan_ok=True)


def test_an_answer_outside_its_bounds_is_no_answer():
    edge = 1e-9
    assert np.isnan(critical_speed.bracketed(100.0, 100 * (1 + 1.02 * edge), 125.0))
    assert np.isnan(critical_speed.bracketed(100 * (1 + 1.02 * edge), 80.0, 100.0))
    assert critical_speed.bracketed(100.0, 100 * (1 + 0.98 * edge), 125.0) == 100
    assert critical_speed.bracketed(100 * (1 + 0.98 * edge), 80.0, 100.0) == approx(100)
    assert np.isnan(critical_speed.bracketed(np.array([119.0, 126.0]), 120.0, 125.0)).all()
    assert critical_speed.bracketed(np.array([120.0, 123.0, 125.0]), 120.0, 125.0) == approx([120.0, 123.0, 125.0])


def test_transverse_deflections_of_spur_gears_table_7_2():
    """P < 10: 0.010 in; 11 to 19: 0.005 in; 20 to 50: 0.003 in. P = 25.4 mm / module."""
    for P, inches in ((4, 0.010), (9.9, 0.010), (10.1, 0.005), (11, 0.005), (18.9, 0.005), (19.1, 0.003), (20, 0.003),
                      (49, 0.003), (51, np.nan)):
        source = Source("module", obtained="given")
        stage = SimpleNamespace(normal_module=SimpleNamespace(nominal=INCH / P, origin=source))
        assert deflections._gear_limit(stage)[0] == approx(inches * INCH, rel=1e-9, nan_ok=True)


@pytest.mark.from_memory
def test_usual_stiffness_of_shafts():
    """Handbooks of machine elements: a shaft may sag by a three-thousandth of the distance of its bearings."""
    assert table("deflection_limits")["chain sprocket"].number("share_of_span") == approx(1 / 3000, rel=1e-5)


def test_deflection_of_two_planes_and_its_margin():
    """3-4-5 hundredths of a millimetre against 0.1 mm."""
    values = {"y_y": -3e-5, "y_z": 4e-5, "y_limit": 1e-4, "S_required": 1.0}
    for at in ("mesh", "coupling"):
        found = shaft.rate_deflection(shaft.DeflectionInputs(**values, origins=dict.fromkeys(values, GIVEN)), at=at)
        assert [found.y, found.S] == approx([5e-5, 2.0])
        assert found.checks[0].mode == f"deflection at {at}"
    assert deflection(0.0, -2e-5) == approx(2e-5)
