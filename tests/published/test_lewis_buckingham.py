"""Classical gear strength and mesh forces.

Wentzell, Machine Design, ch. 12 and 13; Jindal, Machine Design, ch. 25 and 26 (read in textbook
companions with the books' printed pages); Shigley's Mechanical Engineering Design, table 14-2
(second text).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.gear_pair import forces, strength
from layshaft.elements.gear_pair import geometry as gg
from layshaft.elements.gear_pair.rate import GearInputs, rate, slow, thin_contact, undercut
from layshaft.listings.tables import table
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

GIVEN = Source("machine file", "", "given")
ALPHA = np.radians(20)
PSI = POUND_FORCE / INCH**2
FEET_PER_MINUTE = FOOT / 60


def test_jindal_example_26_2_page_698():
    """5 kW at 1200 rev/min, 25 teeth, m_n 4, 20 deg helix: Fa 272.2, Fr 289.64 N; halves 136.1."""
    beta = np.radians(20)
    d = gg.reference_diameter(25.0, gg.transverse_module(0.004, beta))
    F_t = forces.tangential_force(5000 / (1200 * REV_PER_MIN), d)
    assert forces.axial_force(F_t, beta) == approx(272.2, rel=5e-4)
    assert forces.radial_force(F_t, gg.transverse_angle(ALPHA, beta)) == approx(289.64, rel=1e-4)
    assert forces.axial_force(F_t / 2, beta) == approx(136.1, rel=1e-3)


def test_wentzell_example_13_1_page_280():
    """5 hp at 1750 rev/min on 2 in, 15 deg: 180.07, 48.25, 67.85 lbf."""
    beta = np.radians(15)
    F_t = forces.tangential_force(5 * HORSEPOWER / (1750 * REV_PER_MIN), 2 * INCH) / POUND_FORCE
    assert F_t == approx(180.07, rel=2e-4)
    assert forces.axial_force(F_t, beta) == approx(48.25, rel=2e-4)
    assert forces.radial_force(F_t, gg.transverse_angle(ALPHA, beta)) == approx(67.85, rel=2e-4)


def test_wentzell_example_12_1_page_254():
    """5 hp at 1725 rev/min, 20 teeth of pitch 8: separating force 53.17 lbf."""
    F_t = forces.tangential_force(5 * HORSEPOWER / (1725 * REV_PER_MIN), 2.5 * INCH) / POUND_FORCE
    assert forces.radial_force(F_t, ALPHA) == approx(53.17, rel=2e-3)


def test_wentzell_example_12_3_page_258():
    """47 500 psi, 1 in face, Y 0.32, pitch 8: 1900 lbf."""
    force = strength.root_capacity(47_500 * PSI, INCH, INCH / 8, 0.32)
    assert force / POUND_FORCE == approx(1900, rel=1e-4)


def test_wentzell_example_12_4_page_262():
    """146 lbf at 1129 ft/min: dynamic load 420.72 lbf."""
    K_v = strength.barth_factor(1129 * FEET_PER_MINUTE)
    assert strength.dynamic_load(146.0, K_v) == approx(420.72, rel=1e-4)


def test_wentzell_example_12_5_page_263():
    """55 ksi ultimate, 24 teeth of pitch 12, 1800 rev/min, 3/4 in, Y 0.302: 5.77 hp."""
    v = gg.pitch_line_speed(1800 * REV_PER_MIN, 2 * INCH)
    assert v / FEET_PER_MINUTE == approx(942.48, rel=1e-4)
    F_b = strength.root_capacity(strength.endurance_stress(55_000 * PSI), 0.75 * INCH, INCH / 12, 0.302)
    assert F_b / strength.barth_factor(v) * v / HORSEPOWER == approx(5.77, rel=1e-3)


def test_wentzell_example_12_6_page_266():
    """2 hp on 4 in at 900 rev/min: 180.03 lbf."""
    F_t = forces.tangential_force(2 * HORSEPOWER / (900 * REV_PER_MIN), 4 * INCH)
    K_v = strength.barth_factor(gg.pitch_line_speed(900 * REV_PER_MIN, 4 * INCH))
    assert strength.dynamic_load(F_t, K_v) / POUND_FORCE == approx(180.03, rel=1e-3)


def test_jindal_example_25_3_page_670():
    """Face 60, d 150 mm, 30/75 teeth, 350 HB: wear load 25 200 N."""
    force = strength.wear_capacity(0.150, 0.060, strength.ratio_factor(30.0, 75.0),
                                   strength.wear_factor(350.0))
    assert force == approx(25_200, rel=1e-4)


def test_form_factors_used_in_worked_examples():
    """Wentzell ex. 12.3: 0.32 at 20 teeth; Jindal ch. 25: 0.358 at 30 teeth."""
    assert strength.form_factor(20.0, ALPHA) == approx(0.32, rel=7e-3)
    assert strength.form_factor(30.0, ALPHA) == approx(0.358, rel=5e-3)


@pytest.mark.from_memory
def test_ends_of_the_form_factor_table():
    """Y = pi (0.154 - 0.912/z), the common fit for 20 degrees full depth, meets both ends."""
    ends = strength.form_factor(np.array([12.0, 300.0, 400.0]), ALPHA)
    assert ends == approx(np.pi * (0.154 - 0.912 / np.array([12, 300, 400])), rel=0.008)
    assert strength.form_factor(23.0, ALPHA) == approx((0.331 + 0.337) / 2)


LEWIS_1893 = {12: 78, 13: 83, 14: 88, 15: 92, 16: 94, 17: 96, 18: 98, 19: 100, 20: 102, 21: 104, 30: 114, 34: 118,
              38: 122, 43: 126, 50: 130, 60: 134, 75: 138, 100: 142, 150: 146, 300: 150}


@pytest.mark.from_memory
@pytest.mark.parametrize(("teeth", "y"), list(LEWIS_1893.items()))
def test_form_factors_of_lewis_himself(teeth, y):
    """Lewis, 1893, 20 degrees: y in thousandths of the circular pitch (remembered); Y = pi y within its digits."""
    row = table("lewis_form_factor")[str(teeth)]
    assert row.number("teeth") == teeth
    assert row.number("Y") == approx(np.pi * y / 1000, rel=0.01)


CASE = {"m": 2e-3, "z_1": 16.0, "z_2": 120.0, "b": 0.02, "x_1": 0.25, "x_2": -0.25, "alpha": ALPHA,
        "T_1": 4.0, "omega_1": 12.0, "R_m1": 700e6, "R_m2": 630e6, "R_e1": 420e6, "R_e2": 370e6,
        "H_B1": 210.0, "H_B2": 190.0, "S_root": 2.0, "S_wear": 1.0, "S_jam": 1.5}


def inputs(**changes):
    values = CASE | changes
    return GearInputs(**values, origins=dict.fromkeys(values, GIVEN))


def test_a_pair_in_full_by_the_formulas_of_the_examples():
    """F_d = F_t (3.048 + v)/3.048; root 0.5 R_m b m Y; wear d b Q 0.16 (HB/100)^2; jam by yield."""
    rating = rate(inputs())
    F_t, v = 2 * 4.0 / 0.032, 12 * 0.016
    Y_2 = np.interp(120, [100, 150], [0.447, 0.460]) * (1 - np.tan(ALPHA) / np.pi) ** 2
    root, wear, jam = rating.checks
    assert (root.demand, wear.demand, jam.demand) == approx(
        (F_t * (3.048 + v) / 3.048, F_t * (3.048 + v) / 3.048, F_t)
    )
    assert root.rating == approx(0.02 * 2e-3 * min(350e6 * 0.296, 315e6 * Y_2))
    assert wear.rating == approx(0.032 * 0.02 * 240 / 136 * 0.16e6 * 1.9**2)
    assert jam.rating == approx(0.02 * 2e-3 * min(420e6 * 0.296, 370e6 * Y_2))
    assert [c.margin for c in rating.checks] == approx([c.rating / c.demand for c in rating.checks])
    assert (root.required, wear.required, jam.required) == (2.0, 1.0, 1.5)


def test_opposite_shifts_keep_the_centres_and_the_radial_force():
    rating = rate(inputs())
    assert rating.geometry.a_w == approx(0.136)
    assert rating.F_r == approx(rating.F_t * np.tan(ALPHA))


def test_the_weaker_wheel_and_the_softer_flank_govern():
    weak = rate(inputs(R_m2=100e6, R_e2=50e6, H_B1=100.0))
    Y_2 = np.interp(120, [100, 150], [0.447, 0.460]) * (1 - np.tan(ALPHA) / np.pi) ** 2
    assert weak.checks[0].rating == approx(0.02 * 2e-3 * 50e6 * Y_2)
    assert weak.checks[1].rating == approx(0.032 * 0.02 * 240 / 136 * 0.16e6)


def test_remarks_on_contact_undercut_and_wear():
    with tracing() as trace:
        rate(inputs())
    assert not trace.untraced
    assert [r.text.split(":")[0][:18] for r in trace.remarks] == ["The pitch line is "]
    with tracing() as trace:
        rate(inputs(x_1=0.0, x_2=0.0, omega_1=40.0))
    assert [r.text[:13] for r in trace.remarks] == ["A rack cutter"]
    with tracing() as trace:
        rate(inputs(z_2=17.0, x_2=-0.1, x_1=0.5, omega_1=31.2))
    assert [r.text[:13] for r in trace.remarks] == ["A rack cutter", "The pitch lin"]
    with tracing() as trace:
        rate(inputs(z_1=12.0, z_2=24.0, x_1=0.7, x_2=0.5, omega_1=100.0))
    assert [r.text[:20] for r in trace.remarks] == ["The contact ratio is"]


def test_remarks_begin_where_they_say():
    """Contact ratio 1.2, shift at the limit, 0.5 m/s (common practice, no single source)."""
    assert list(thin_contact(np.array([1.19, 1.21]))) == [1, 0]
    assert list(undercut(np.array([0.1, 0.2, 0.2]), 0.15, np.array([0.3, 0.3, 0.1]), 0.2)) == [1, 0, 1]
    assert list(slow(np.array([0.49, 0.51]))) == [1, 0]


def test_rows_and_samples_give_what_single_pairs_give():
    torques, teeth = np.array([[4.0, 5.0, 6.0]]), np.array([[16.0], [20.0]])
    many = rate(inputs(T_1=torques, z_1=teeth))
    for i in range(2):
        for j in range(3):
            one = rate(inputs(T_1=torques[0, j], z_1=teeth[i, 0]))
            for a, b in zip(many.checks, one.checks, strict=True):
                assert np.broadcast_to(a.margin, (2, 3))[i, j] == approx(b.margin, rel=1e-13)
