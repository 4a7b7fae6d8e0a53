"""DIN 743, load capacity of shafts and axles: values from memory, evaluated by hand.

The standard and its supplement of examples could not be read. One second text was: a student's worked proof
of a shoulder 50/42, r 5, in 42CrMo4 (a public repository), which prints the limits of the part; its notch
factors leave K_1 out of the support n, and are not used here.
"""

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.elements import shaft
from layshaft.elements.shaft import din_743, second
from layshaft.elements.shaft.second import Ours, opinions
from layshaft.mechanics import materials, notch_cuts
from layshaft.trace.formula import plain, tracing
from layshaft.trace.source import Source
from layshaft.verdict.sheets import sheets_of

MPA = 1e6
GIVEN = Source("worked by hand", obtained="given")


def test_limits_of_a_shoulder_in_a_second_text():
    """42CrMo4+QT, 50 mm bar, 42 mm: sigma_bFK 943.2 (group 1.05), tau_tFK 518.6 MPa; K_bs 1.7975 gives 266.6 MPa,
    K_t 1.4779 gives 194.6 MPa. Printed with seven digits; strengths 1100 and 900 MPa at 16 mm."""
    steel = materials.steel("42CrMo4+QT", 0.050)
    assert din_743.yield_limit(1.5286, steel.R_e) / MPA == approx(943.2056, rel=1e-6)
    assert din_743.shear_yield_limit(steel.R_e) / MPA == approx(518.6286, rel=1e-6)
    assert din_743.bending_limit(steel.R_m, 1.7974919) / MPA == approx(266.6140, rel=1e-6)
    assert din_743.torsion_limit(steel.R_m, 1.4779036) / MPA == approx(194.5736, rel=1e-4)


@pytest.mark.from_memory
def test_form_factors_of_shoulder_and_groove():
    """Shoulder 24/20, r 2 in bending and torsion: 1.638, 1.321. Groove 30/28, r 1:
    1 + 1/sqrt(0.2 + 5.5/28 (1 + 2/28)^2) = 2.53304, 1 + 1/sqrt(0.7 + 20.6/28 (1 + 2/28)^2) = 1.8046."""
    size = (0.024, 0.020, 0.002)
    assert din_743.form_factor(*din_743.SHOULDER["bending"], *size) == approx(1.638, rel=1e-3)
    assert din_743.form_factor(*din_743.SHOULDER["torsion"], *size) == approx(1.321, rel=1e-3)
    groove = [din_743.form_factor(*din_743.GROOVE[load], 0.030, 0.028, 0.001) for load in ("bending", "torsion")]
    assert groove == approx([2.53304, 1.80463], rel=1e-5)
    by_hand = 1 + 1 / np.sqrt(0.62 * 1.25 + 2 * 5.8 * 0.025 * 1.05**2 + 0.2 * 1.25**3 * 40 / 41.6)
    assert din_743.form_factor(0.62, 5.8, 0.2, 3.0, 0.0416, 0.040, 0.001) == approx(by_hand, rel=1e-9)
    low = 1 + 1 / np.sqrt(0.62 * 2 / 0.82 + 2 * 5.8 * 0.025 * 1.05**2 + 0.2 * (2 / 0.82) ** 3 * 40 / 40.82)
    assert din_743.form_factor(0.62, 5.8, 0.2, 3.0, 0.04082, 0.040, 0.001) == approx(low, rel=1e-9)


def test_form_factor_is_unknown_where_it_was_never_drawn():
    """r/t under 0.03, or a step under 2 %."""
    A, B, C, z = din_743.SHOULDER["bending"]
    r = np.array([0.0147, 0.0153, 0.1, 0.1]) / 1e3
    found = din_743.form_factor(A, B, C, z, np.array([40.0, 40.0, 40.8, 40.9]) / 1e3, np.array([39, 39, 40, 40]) / 1e3, r)
    assert np.isnan(found).tolist() == [True, False, True, False]


@pytest.mark.from_memory
def test_support_around_a_notch():
    """50/42, r 5, 407.5 MPa: phi 1/(sqrt(12.8) + 2) = 0.179285, G' 2.3 x 1.179285/5 = 0.54247 per mm,
    n = 1 + 0.73653 x 10^-(0.33 + 0.57234) = 1.09223; flat step 60/40: phi 0."""
    G_r = din_743.bending_gradient(2.3, 0.050, 0.042, 0.005)
    assert G_r == approx(2.3 * 1.179285, rel=1e-5)
    assert din_743.support(G_r, 0.005, 407.5 * MPA) == approx(1.09223, rel=1e-5)
    assert din_743.bending_gradient(2.0, 0.060, 0.040, 0.005) == approx(2.0)
    assert din_743.bending_gradient(2.0, 0.060, 0.0405, 0.005) == approx(2 * (1 + 1 / (np.sqrt(8 * 19.5 / 5) + 2)))
    assert din_743.notch_factor(1.5567, 1.09223) == approx(1.42525, rel=1e-4)


@pytest.mark.from_memory
def test_cross_hole_of_a_tenth():
    """6 in 60 mm: alpha 3 + 0.14 - 2.8 sqrt 0.1 = 2.25456 and 2.023 - 1.125 sqrt 0.1 = 1.66724; the bar less the hole
    has 1 - 0.16977 and 1 - 0.08488 of its section moduli."""
    assert din_743.hole_bending(0.006, 0.060) == approx(2.25456, rel=1e-5)
    assert din_743.hole_torsion(0.006, 0.060) == approx(1.66724, rel=1e-5)
    assert notch_cuts.lost_to_hole(0.006, 0.060) == approx((1 / (1 - 0.169765), 1 / (1 - 0.0848826)), rel=1e-5)
    assert din_743.on_whole_bar(2.0, 1.2) == approx(2.4)
    assert din_743.hole_gradient(2.3, 0.006, 0.060) == approx(2.4)
    assert din_743.hole_radius(0.006) == approx(0.003)
    n = [1 + np.sqrt((g + 0.1) / 3) * 10 ** -(0.33 + 400 / 712) for g in (2.3, 1.15)]
    wanted = (2.25456 / n[0] / (1 - 0.169765), 1.66724 / n[1] / (1 - 0.0848826))
    assert din_743.hole_factors(0.006, 0.060, 400 * MPA) == approx(wanted, rel=1e-5)


@pytest.mark.from_memory
def test_keyway_from_tests():
    """700 MPa: 3 x 0.7^0.38 = 2.6197 and 0.56 x 2.6197 + 0.1 = 1.5670 at 40 mm; a thicker shaft feels more."""
    beta = din_743.keyway_bending_40(700 * MPA)
    assert [beta, din_743.keyway_torsion_40(beta)] == approx([2.61974, 1.56705], rel=1e-5)
    assert din_743.keyway_factors(700 * MPA, 0.040, 1.0) == approx((beta, 1.56705), rel=1e-5)
    assert din_743.keyway_factors(700 * MPA, 0.080, 1.0)[0] > beta
    assert din_743.keyway_factors(700 * MPA, 0.040, 2.0) == approx((1.15 * beta, 1.15 * 1.56705), rel=1e-5)  # two of them
    assert din_743.of_keyways(2.0, np.array([1.0, 2.0])) == approx([2.0, 2.3])


@pytest.mark.from_memory
def test_size_and_roughness():
    """K_2: 1 at 7.5 mm, 0.8 from 150 mm on; K_F of Rz 25 um and 610 MPa: 1 - 0.22 x 1.39794 x 0.48430 = 0.85106;
    polished below 1 um; in torsion 0.575 x 0.85106 + 0.425."""
    assert din_743.size_factor(np.array([0.0074, 0.0075, 0.040, 0.150, 0.300])) == approx(
        [np.nan, 1.0, 0.888244, 0.8, 0.8], rel=1e-5, nan_ok=True)
    K_F = din_743.roughness_factor(25e-6, 610 * MPA)
    assert K_F == approx(0.851055, rel=1e-5)
    assert din_743.roughness_factor(0.5e-6, 610 * MPA) == 1
    assert din_743.roughness_in_torsion(K_F) == approx(0.914357, rel=1e-5)
    assert din_743.counted_roughness(0.85, np.array([0.0, 1.0])) == approx([0.85, 1.0])
    assert din_743.total_influence(1.8, 0.9, 0.8) == approx(2.25)


@pytest.mark.from_memory
def test_groups_of_the_yield_limit():
    """1.2 times 1, 1.05, 1.10, 1.15 by form or notch factor: below 1.5, to 2, to 3, above."""
    alpha = np.array([1.0, 1.49, 1.5, 1.99, 2.0, 3.0, 3.01])
    assert din_743.yield_limit(alpha, 100.0) == approx([120, 120, 126, 126, 132, 132, 138])


def section(**changes):
    values = {"d": 0.030, "M": 120.0, "M_m": 15.0, "T_m": 60.0, "T_a": 40.0, "F_a": 2000.0, "K_t": 2.0, "K_ts": 1.6, "tested": 0.0,
              "r": 1e-3, "R_m": 610e6, "R_e": 407e6, "a_s": 4.51, "b_s": -0.265, "z_a": 2.326, "S_D_required": 1.5,
              "S_F_required": 1.5, "counted": 0.0, "beta_b": 1.9, "beta_t": 1.5, "beta_tested": 0.0, "R_z": 25e-6,
              "w_b": 1.0, "w_t": 1.0}
    values |= changes
    return shaft.SectionInputs(**values, origins=dict.fromkeys(values, GIVEN))


@pytest.mark.from_memory
def test_both_proofs_by_hand():
    """Every term at work: 30 mm, 120 N m that turn, 15 and 60 N m steady, 40 N m of torque that alternates, 2 kN."""
    s = section(w_b=1.2, w_t=1.1)
    W = np.pi * 30**3 / 32
    sigma_a, sigma_m = 120e3 / W, 15e3 / W + 2000 / (np.pi * 15**2)
    tau_a, tau_m = 40e3 / (2 * W), 60e3 / (2 * W)
    K_2 = 1 - 0.2 * np.log10(4) / np.log10(20)
    K_F = 1 - 0.22 * np.log10(25) * (np.log10(610 / 20) - 1)
    limit_b = 305 / (1.9 / K_2 + 1 / K_F - 1)
    limit_t = 183 / (1.5 / K_2 + 1 / (0.575 * K_F + 0.425) - 1)
    mean = np.hypot(sigma_m, np.sqrt(3) * tau_m)
    u_b = sigma_a / limit_b + mean / (1220 - limit_b)
    u_t = tau_a / limit_t + mean / np.sqrt(3) / (1220 - limit_t)
    found = din_743.proofs(s)
    assert found.S_743 == approx(1 / np.hypot(u_b, u_t), rel=1e-9)
    shares = 2000 / (np.pi * 15**2) / 407 + 1.2 * (sigma_a + 15e3 / W) / (1.2 * 1.05 * 407)
    assert found.S_F743 == approx(1 / np.hypot(shares, 1.1 * (tau_a + tau_m) * np.sqrt(3) / (1.2 * 407)), rel=1e-9)


def test_stresses_have_no_sense():
    """32 M/(pi d^3), 16 T/(pi d^3), 4 F/(pi d^2), whichever way they act."""
    found = [din_743.bending_stress(-20.0, 0.02), din_743.torsion_stress(-20.0, 0.02), din_743.axial_stress(-500.0, 0.02)]
    assert np.array(found) / MPA == approx([20e3 / (np.pi * 250), 20e3 / (np.pi * 500), 500 / (np.pi * 100)])


def test_an_unloaded_section_has_the_margin_of_an_unloaded_part():
    found = din_743.proofs(section(M=0.0, M_m=0.0, T_m=0.0, T_a=0.0, F_a=0.0))
    assert [found.S_743, found.S_F743] == approx([1e6, 1e6])


# Beside DE-Goodman -------------------------------------------------------------------------------


def told(**changes):
    """Remarks of a section, and what the sheet names as the factor that differs most."""
    s = section(**changes)
    with tracing() as trace:
        shaft.rate(s)
    step = trace["x_1"]
    largest = max(step.arguments, key=lambda a: plain(a[1]))[0]
    return [r.text for r in trace.remarks], largest, trace


def test_a_difference_above_30_percent_is_named_on_the_sheet():
    """The same section with DIN's notch factor raised or lowered: the notch is named, and beyond 30 % remarked."""
    same, _, trace = told(M_m=0.0, T_m=0.0, T_a=0.0, F_a=0.0, z_a=0.0, beta_b=2.3)
    assert second.DIN_FAR not in same
    assert 1 / 1.3 < trace["x_m"].value < 1.3
    far, largest, trace = told(beta_b=1.0, beta_t=1.0, z_a=0.0)
    assert second.DIN_FAR in far
    assert largest == "notch, K_f against beta_b"
    assert trace["x_n"].value == approx(trace["K_f"].value, rel=1e-4)
    assert trace["x_m"].value > 1.3


def test_the_factor_named_is_the_one_that_differs():
    """Rz 200 um against a ground surface in one method, and a survival of 99.99 %, each alone at the largest."""
    assert told(R_z=200e-6, a_s=1.58, b_s=-0.085, z_a=0.0, beta_b=1.75)[1] == "surface, k_a against K_FC"
    assert told(z_a=4.5, beta_b=1.75)[1] == "survival, k_e against k_743"
    assert told(M=5.0, T_m=300.0, z_a=0.0, beta_b=1.75)[1] == "mean stress, m_G against m_743"


def test_din_falling_short_where_goodman_holds_is_remarked():
    remarks, _, trace = told(M=120.0, beta_b=5.0, beta_t=3.0)
    assert trace["S_D"].value > 1.5 and trace["S_743"].value < 1.2
    assert second.DIN_SHORT in remarks
    assert second.DIN_SHORT not in told(M=120.0)[0]
    asked = second.required_by_din(np.array([1.5, 2.5]))
    assert asked == approx([1.2, 2.0])
    assert second.only_din_short(np.array([1.5, 1.4, 1.5]), 1.5, np.array([1.1, 1.1, 1.2]), 1.2) == approx([1, 0, 0])


def test_formulas_of_the_comparison():
    assert second.apart(np.array([2.0, 3.0]), np.array([3.0, 2.0])) == approx([1.5, 1.5], rel=1e-5)
    small = np.array([3e-6, 7e-6, 0.0])
    assert second.apart(small, np.array([7e-6, 3e-6, 1e-6])) == approx([2.0, 2.0, 2.0], rel=1e-9)
    assert second.over_required(3.0, 1.5) == approx(2.0)
    assert second.left_by_mean(80e6, 100e6) == approx(0.8)
    assert second.left_by_mean(0.0, 0.0) == 0
    assert second.left_by_mean(1.0, 0.5) == approx(1.0)
    assert second.left_by_mean_din(2.0, 30.0, 100.0, 20.0, 50.0) == approx(2 * np.hypot(0.3, 0.4))
    assert second.far(np.array([1.29, 1.31])) == approx([0.0, 1.0])


def test_the_verdict_stays_with_goodman():
    """Only what DE-Goodman takes moves the margin; DIN's own inputs do not."""
    plain_, changed = shaft.rate(section()), shaft.rate(section(beta_b=4.0, R_z=200e-6))
    assert plain_.S_D == changed.S_D and plain_.S_F == changed.S_F
    assert opinions(section(), Ours(0.8, 0.9, 0.8, 1.6, 2e8, 5e7, 1e7, 6e7, 3.0)).fatigue[3] > 1


def test_both_methods_stand_on_the_sheet_of_the_demo():
    verdict = layshaft.rate(layshaft.solve(layshaft.read("examples/harbour-light")))
    sheets = [s for s in sheets_of(verdict, "shafts.main") if s.finding.mode in ("fatigue", "yield")]
    text = {s.finding.mode: str(s) for s in sheets}
    assert "S_743" in text["fatigue"] and "Soderberg" in text["fatigue"] and "largest: " in text["fatigue"]
    assert "S_F743" in text["yield"] and "S_743 " not in text["yield"]
