"""Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., and its solutions manuals.

Read in an e-book of the 9th edition (chapters 6 and 7), in the solutions manuals to the 8th and 10th
editions (problems 7-1, 7-8) and in a worked sheet of example 6-6 of the 10th edition.
"""

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import shaft
from layshaft.elements.shaft import sizing
from layshaft.listings.tables import table
from layshaft.mechanics import endurance, notch
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, POUND_FORCE

MPA = 1e6
KPSI = 1e3 * POUND_FORCE / INCH**2
LBF_IN = POUND_FORCE * INCH
GIVEN = Source("worked example", obtained="given")


def section(**changes):
    """Problem 7-1 of the 10th edition as a section; factors given directly, so that K_f = K_t."""
    values = {"d": 27.27e-3, "M": 70.0, "M_m": 55.0, "T_m": 35.0, "T_a": 45.0, "F_a": 0.0, "K_t": 2.2, "K_ts": 1.8, "tested": 1.0,
                  "r": 1e-3, "R_m": 700e6, "R_e": 560e6, "a_s": 1.0, "b_s": 0.0, "z_a": 0.0, "S_D_required": 2.0, "S_F_required": 1.5,
                  "counted": 1.0, "beta_b": 2.2, "beta_t": 1.8, "beta_tested": 1.0, "R_z": 25e-6,
              "w_b": 1.0, "w_t": 1.0}
    values |= changes
    return shaft.SectionInputs(**values, origins=dict.fromkeys(values, GIVEN))


def test_problem_7_1_tenth_edition():
    """A 338.4, B 265.5 N m; DE-Goodman 27.27 mm at n = 2."""
    A = endurance.alternating_moment(2.2, 70.0, 1.8, 45.0)
    B = endurance.mean_moment(2.2, 55.0, 0.0, 0.03, 1.8, 35.0)
    assert [A, B] == approx([338.4, 265.5], abs=0.05)
    d = endurance.goodman_diameter(2.0, A, 210 * MPA, B, 700 * MPA)
    assert d == approx(27.27e-3, abs=0.005e-3)
    sigma_r = endurance.reversed_stress(endurance.equivalent_stress(A, d), endurance.equivalent_stress(B, d),
                                        210 * MPA, 700 * MPA)
    assert 210 * MPA / sigma_r == approx(2.0, rel=1e-3)


def test_problem_7_1_eighth_edition():
    """A 2920, B 2391 lbf in; DE-Goodman 1.073 in."""
    A = endurance.alternating_moment(2.2, 600 * LBF_IN, 1.8, 400 * LBF_IN)
    B = endurance.mean_moment(2.2, 500 * LBF_IN, 0.0, 0.03, 1.8, 300 * LBF_IN)
    assert [A / LBF_IN, B / LBF_IN] == approx([2920, 2391], abs=0.5)
    assert endurance.goodman_diameter(2.0, A, 30 * KPSI, B, 100 * KPSI) / INCH == approx(1.073, abs=5e-4)


def test_whole_section_gives_the_margin_of_problem_7_1():
    """S_e 210 MPa is reached here by 0.3 instead of 0.5 R_m: surface constant 0.6 over the size factor."""
    s = section(a_s=0.6 / float(endurance.size_factor(27.27e-3)))
    result = shaft.rate(s)
    assert result.S_e == approx(210 * MPA)
    assert result.S_D == approx(2.0, abs=2e-3)
    assert [c.mode for c in result.checks] == ["fatigue", "yield"]


def test_example_7_2_page_377():
    """d 1.625 in, keyway end: M 3750 lbf in, K_f 1.74: printed 15 490 psi."""
    d = 1.625 * INCH
    bending = endurance.equivalent_stress(endurance.alternating_moment(1.74, 3750 * LBF_IN, 2.42, 0.0), d)
    assert bending / KPSI == approx(15.49, abs=0.005)


@pytest.mark.from_memory
def test_shoulder_of_example_7_2_page_377():
    """M 3651, T 3240 lbf in, K_f 1.49, K_fs 1.30 (remembered): printed 12 910 and 8659 psi (read)."""
    d = 1.625 * INCH
    bending = endurance.equivalent_stress(endurance.alternating_moment(1.49, 3651 * LBF_IN, 1.30, 0.0), d)
    torsion = endurance.equivalent_stress(endurance.mean_moment(1.49, 0.0, 0.0, d, 1.30, 3240 * LBF_IN), d)
    assert [bending / KPSI, torsion / KPSI] == approx([12.91, 8.659], rel=1e-3)


def test_keyseat_of_example_7_2_page_377():
    """K_t 2.14, q 0.65, K_f 1.74; K_ts 3.0, q_s 0.71, K_fs 2.42; r = 0.02 d = 0.0325 in."""
    K_t, K_ts, r = notch.first_guess("End-milled keyseat", 1.625 * INCH)
    assert notch.fatigue_factor(K_t, 0.65, 0.0) == approx(1.74, abs=0.005)
    assert notch.fatigue_factor(K_ts, 0.71, 0.0) == approx(2.42, abs=0.005)
    assert r / INCH == approx(0.0325)


def test_keyseat_of_problem_7_8():
    """K_t 2.2 with q 0.75 gives K_f 1.9; K_ts 3.0 with q_s 0.9 gives K_fs 2.8."""
    assert notch.fatigue_factor(np.array([2.2, 3.0]), np.array([0.75, 0.9]), 0.0) == approx([1.9, 2.8], rel=1e-6)
    assert notch.fatigue_factor(2.2, np.nan, 1.0) == 2.2


def test_neuber_in_example_6_6_tenth_edition():
    """690 MPa, r 3 mm: root a 0.313353 mm^0.5, q 0.8468, K_f 1.55 for K_t 1.65; q_s 0.8792."""
    root_a = notch.neuber_bending(690 * MPA)
    assert root_a / 1e-3**0.5 == approx(0.313353, rel=2e-3)
    q = notch.sensitivity(root_a, 3e-3)
    assert q == approx(0.8468, abs=5e-4)
    assert notch.fatigue_factor(1.65, q, 0.0) == approx(1.55, abs=5e-3)
    assert notch.sensitivity(notch.neuber_torsion(690 * MPA), 3e-3) == approx(0.8792, rel=1e-3)


@pytest.mark.parametrize(("kpsi", "printed"), [(60, 0.1098), (140, 0.0375), (200, 0.0204)])
def test_neuber_bending_over_its_range(kpsi, printed):
    """Cubic evaluated by hand at other strengths, so that each of its terms counts (eq. 6-35a)."""
    assert notch.neuber_bending(kpsi * KPSI) / INCH**0.5 == approx(printed, rel=0.01)


@pytest.mark.from_memory
def test_neuber_constants_tabulated_for_steels():
    """Norton, Machine Design, Table 6-6: 0.108, 0.062, 0.049 at 60, 100, 120 kpsi; torsion 20 kpsi further on."""
    assert notch.neuber_bending(np.array([60, 100, 120]) * KPSI) / INCH**0.5 == approx([0.108, 0.062, 0.049], rel=0.03)
    assert notch.neuber_torsion(np.array([60, 100]) * KPSI) / INCH**0.5 == approx([0.080, 0.049], rel=0.04)


def test_neuber_is_unknown_outside_its_fit():
    """Fitted for 50 to 250 kpsi in bending and 220 kpsi in torsion."""
    strengths = np.array([49, 51, 219, 221, 249, 251]) * KPSI
    assert list(np.isnan(notch.neuber_bending(strengths))) == [True, False, False, False, False, True]
    assert list(np.isnan(notch.neuber_torsion(strengths))) == [True, False, False, True, True, True]


@pytest.mark.parametrize(("kpsi", "printed"), [(60, 0.0822), (140, 0.0299), (200, 0.0144)])
def test_neuber_torsion_over_its_range(kpsi, printed):
    """Cubic evaluated by hand at other strengths (eq. 6-35b)."""
    assert notch.neuber_torsion(kpsi * KPSI) / INCH**0.5 == approx(printed, rel=0.01)


def test_endurance_limit_of_problem_7_8():
    """68 kpsi, machined, 2 in: k_a 0.883, k_b 0.816 in inch form, S_e 24.5 kpsi."""
    a_s, b_s = endurance.surface_constants("machined or cold-drawn")
    k_a = endurance.surface_factor(a_s, 68 * KPSI, b_s)
    assert k_a == approx(0.883, abs=2e-3)
    k_b = endurance.size_factor(2 * INCH)
    assert k_b == approx(0.816, rel=3e-3)  # the inch form (d/0.3)^-0.107 differs by 0.3 percent
    S_e = endurance.endurance_limit(k_a, k_b, 1.0, 1.0, 1.0, endurance.bar_limit(68 * KPSI))
    assert S_e / KPSI == approx(24.5, rel=5e-3)


def test_every_factor_lowers_the_limit():
    """Eq. 6-18: the product of all factors."""
    assert endurance.endurance_limit(0.9, 0.8, 0.85, 0.95, 0.7, 1e6) == approx(0.9 * 0.8 * 0.85 * 0.95 * 0.7e6)


def test_limit_of_the_test_bar_is_capped():
    """Eq. 6-8: half the strength up to 1400 MPa, 700 MPa above."""
    assert endurance.bar_limit(np.array([690, 1500]) * MPA) == approx(np.array([345, 700]) * MPA)


def test_surface_factor_of_example_6_3_page_288():
    assert endurance.surface_factor(*_constants("machined or cold-drawn", 520)) == approx(0.860, abs=1e-3)


def _constants(finish, R_m):
    a_s, b_s = endurance.surface_constants(finish)
    return a_s, R_m * MPA, b_s


@pytest.mark.parametrize(("finish", "a_kpsi"), [
    ("ground", 1.34), ("machined or cold-drawn", 2.70), ("hot-rolled", 14.4), ("as forged", 39.9)])
def test_surface_constants_agree_with_the_printed_inch_column(finish, a_kpsi):
    """Table 6-2 prints a for kpsi as well: a_MPa 6.895^b is a_kpsi."""
    a_s, b_s = endurance.surface_constants(finish)
    assert a_s * 6.895**b_s == approx(a_kpsi, rel=5e-3)


@pytest.mark.parametrize(("finish", "R_m", "k_a"), [("ground", 700, 0.905365), ("hot-rolled", 700, 0.522872)])
def test_surface_factor_at_700(finish, R_m, k_a):
    assert endurance.surface_factor(*_constants(finish, R_m)) == approx(k_a, rel=1e-3)


def test_size_factor():
    """Eq. 6-20 at 10, 25, 50 and 100 mm; the inch companion gives 0.9713, 0.8806, 0.8177 for the first three."""
    d = np.array([10, 25, 50, 100]) * 1e-3
    assert endurance.size_factor(d) == approx([0.969218, 0.878703, 0.815891, 0.732786], rel=1e-3)
    assert endurance.size_factor(d[:3]) == approx([0.9713, 0.8806, 0.8177], rel=3e-3)
    assert list(np.isnan(endurance.size_factor(np.array([2.7, 2.9, 253, 255]) * 1e-3))) == [True, False, False, True]
    assert endurance.size_factor(50.9e-3) == approx(endurance.size_factor(51.1e-3), rel=0.02)


@pytest.mark.parametrize(("reliability", "k_e"), [
    ("50 %", 1.0), ("90 %", 0.897), ("95 %", 0.868), ("99 %", 0.814), ("99.9 %", 0.753), ("99.99 %", 0.702)])
def test_reliability_factor_table_6_5(reliability, k_e):
    assert endurance.reliability_factor(endurance.deviations_below_mean(reliability)) == approx(k_e, abs=5e-4)


def test_deviations_are_those_of_the_normal_distribution():
    """The printed 1.288 at 90 percent is 0.006 above the exact value."""
    for row in table("reliability_factors").rows:
        share = float(row.name.removesuffix(" %")) / 100
        assert row.number("z_a") == approx(NormalDist().inv_cdf(share), abs=0.007)


def test_resize_of_example_7_4_page_382():
    """1.000 in, slope 0.001 095 against 0.0005 rad: 1.216 in."""
    assert sizing.resized_diameter(1.0, 1.0, -0.001095, 0.0005) == approx(1.216, abs=1e-3)
    assert sizing.resized_diameter(1.0, 2.0, 0.001095, 0.0005) == approx(1.216 * 2**0.25, abs=1e-3)


def test_slope_limits_table_7_2_page_379():
    limits = table("slope_limits")
    for part, low, high in (
        ("deep-groove ball bearing", 0.001, 0.003), ("cylindrical roller bearing", 0.0008, 0.0012),
        ("tapered roller bearing", 0.0005, 0.0012), ("self-aligning ball bearing", 0.026, 0.052),
        ("spherical ball bearing", 0.026, 0.052),
    ):
        assert [limits[part].number("low_rad"), limits[part].number("high_rad")] == [low, high]
    assert limits["uncrowned spur gear"].number("high_rad") == 0.0005
    assert limits["chain sprocket"].number("high_rad") == 0.002  # common practice, no single source


def test_slope_against_its_limit():
    """3-4-5: 0.6 and 0.8 mrad are 1 mrad; deep-groove 3 mrad, margin 3."""
    values = {"theta_y": 0.6e-3, "theta_z": -0.8e-3, "theta_limit": 3e-3, "S_required": 1.0}
    result = shaft.rate_slope(shaft.SlopeInputs(**values, origins=dict.fromkeys(values, GIVEN)), at="mesh")
    assert result.theta == approx(1e-3)
    assert result.S == approx(3.0)
    assert result.checks[0].mode == "slope at mesh"


def test_yield_takes_everything_at_its_greatest():
    """Eq. 7-15 by hand for problem 7-1 at 27.27 mm: hypot(32 Kf 125, sqrt 3 16 Kfs 80)/(pi d^3) = 150 MPa."""
    d = 27.27e-3
    by_hand = np.hypot(32 * 2.2 * 125, 3**0.5 * 16 * 1.8 * 80) / (np.pi * d**3)
    result = shaft.rate(section(T_m=-35.0))
    assert result.S_F == approx(560e6 / by_hand, rel=1e-6)


def test_axial_force_counts_as_force_over_area():
    """Mechanics of materials: 4 F/(pi d^2), with the bending notch factor."""
    d = 0.02
    only_axial = endurance.equivalent_stress(endurance.mean_moment(1.5, 0.0, -9000.0, d, 1.0, 0.0), d)
    assert only_axial == approx(1.5 * 4 * 9000 / (np.pi * d**2))
    both = endurance.equivalent_stress(endurance.mean_moment(1.5, -7.0, 9000.0, d, 1.0, 0.0), d)
    assert both == approx(1.5 * (4 * 9000 / (np.pi * d**2) + 32 * 7 / (np.pi * d**3)))
    greatest = endurance.greatest_moment(1.5, 5.0, -7.0, -9000.0, d, 1.2, 0.0, 0.0)
    assert endurance.equivalent_stress(greatest, d) == approx(1.5 * (4 * 9000 / (np.pi * d**2) + 32 * 12 / (np.pi * d**3)))


def test_unknown_stays_unknown_and_arrays_equal_single_sections():
    s = section(tested=0.0, r=np.nan)
    assert np.isnan(shaft.rate(s).S_D)
    assert np.isfinite(shaft.rate(replace(s, tested=1.0)).S_D)
    many = shaft.rate(section(d=np.array([[0.02], [0.03]]), M=np.array([[60.0, 80.0]]), tested=0.0))
    assert many.S_D[1, 0] == approx(shaft.rate(section(d=0.03, M=60.0, tested=0.0)).S_D, rel=1e-13)


def test_sharp_corner_is_remarked_but_not_a_press_seat():
    for tested, remarks in ((0.0, 1), (1.0, 0)):
        with tracing() as trace:
            shaft.rate(section(r=0.3e-3, tested=tested))
        assert sum(r.text == shaft.section.SHARP_CORNER for r in trace.remarks) == remarks
        assert trace.untraced == []


def test_sharp_means_under_a_fiftieth_of_the_diameter():
    """Ø30, common practice: r 0.58 mm is sharp, 0.62 mm is not; nothing to say where K_t is 1 or comes from tests."""
    r, K_t, tested = np.array([0.58, 0.62, 0.58, 0.58]) * 1e-3, np.array([1.02, 1.02, 1.0, 1.02]), np.array([0, 0, 0, 1.0])
    assert shaft.section.sharp(r, 0.03, K_t, tested) == approx([1.0, 0.0, 0.0, 0.0])


def test_a_notch_counts_against_yield_only_where_asked():
    """Eq. 7-15 takes the notch in full; without it the factor is 1, or what a hole takes out of the section."""
    assert shaft.section.notch_in_yield(2.2, np.array([0.0, 1.0]), 1.3) == approx([1.3, 2.2])
    assert shaft.section.notch_in_yield(2.2, np.array([0.0, 1.0]), 1.0) == approx([1.0, 2.2])
