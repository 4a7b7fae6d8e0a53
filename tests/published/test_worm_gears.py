"""Worm gears: sizes, sliding, friction, forces, strength and heat.

Mott, Machine Elements in Mechanical Design, 4th ed., ex. 10-7 (from memory) and 10-8, p. 437 (second text);
Shigley's Mechanical Engineering Design, ex. 13-10 and 15-3 (from memory); Bhandari, Design of Machine
Elements, ex. 20.1 (from memory); a gear maker's handbook of metric gears, worm gear mesh (second text).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import worm_pair as room
from layshaft.elements.worm_pair import sizes, strength
from layshaft.elements.worm_pair.rate import WormInputs, far_off, few, holds_itself, rate, runs_back, wide
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

FPM = FOOT / 60
MOTT = INCH / 6  # module of diametral pitch 6
DEG = np.pi / 180
GIVEN = Source("machine file", "", "given")


def test_mott_example_10_8_sizes_and_speeds():
    """3 threads on 2 in, 52 teeth of pitch 6, 1750 rev/min: 14.04 deg, 8.667 in, 944 and 229 ft/min, 0.508 in."""
    gamma = room.lead_angle(MOTT, 3.0, 2 * INCH)
    assert gamma == approx(14.04 * DEG, abs=0.005 * DEG)
    assert room.wheel_diameter(MOTT, 52.0) == approx(8.667 * INCH, rel=1e-4)
    assert room.sliding_speed(1750 * REV_PER_MIN, 2 * INCH, gamma) == approx(944 * FPM, rel=1e-3)
    assert room.wheel_speed(1750 * REV_PER_MIN, MOTT, 3.0) == approx(229 * FPM, rel=1e-3)
    p_x = room.axial_pitch(MOTT)
    assert p_x == approx(0.5236 * INCH, rel=1e-4)
    assert room.normal_pitch(p_x, gamma) == approx(0.508 * INCH, rel=1e-3)


def test_mott_example_10_8_face():
    """1.25 in of a worm of 2 in carries; of more than 1.33 in the rest does not."""
    assert room.carrying_face(1.25 * INCH, 2 * INCH) == approx(1.25 * INCH)
    assert room.carrying_face(1.75 * INCH, 2 * INCH) == approx(1.333 * INCH, rel=6e-3)


def test_metric_worm_of_the_handbook():
    """Module 3, 2 starts on 44 mm, 30 teeth: 7.765 deg, 90 mm, 67 mm apart, threads over 48.07 mm."""
    assert room.lead_angle(3e-3, 2.0, 44e-3) == approx(7.76517 * DEG, rel=1e-6)
    assert room.centre_distance(44e-3, room.wheel_diameter(3e-3, 30.0), 0.0, 3e-3) == approx(67e-3)
    assert room.least_length(3e-3, 30.0) == approx(48.0664e-3, rel=2e-6)


@pytest.mark.from_memory
def test_bhandari_example_20_1():
    """1/30/10/8: worm of 80 mm at 5.71 deg, 160 mm apart."""
    assert room.diameter_by_quotient(10.0, 8e-3) == approx(80e-3)
    assert room.diameter_by_lead_angle(8e-3, 1.0, 5.71 * DEG) == approx(80e-3, rel=5e-4)
    assert room.diameter_by_centres(160e-3, 8e-3, 30.0) == approx(80e-3)
    assert room.rolling_diameter(160e-3, 240e-3) == approx(80e-3)


def test_shifted_wheel():
    """By hand: 32 and 123 mm of module 3 on 78 mm leave half a millimetre, a sixth of a module."""
    assert room.shift_at(78e-3, 32e-3, 123e-3, 3e-3) == approx(1 / 6)
    assert room.centre_distance(32e-3, 123e-3, 1 / 6, 3e-3) == approx(78e-3)
    assert room.rolling_diameter(78e-3, 123e-3) == approx(33e-3)


@pytest.mark.from_memory
def test_shigley_example_15_3_friction_and_efficiency():
    """Single thread on 3 in, pitch 4, 1800 rev/min, 14.5 deg: 4.764 deg, 1419 ft/min, 0.0178, 81.8 %."""
    gamma = room.lead_angle(INCH / 4, 1.0, 3 * INCH)
    assert gamma == approx(4.764 * DEG, abs=5e-4 * DEG)
    v_s = room.sliding_speed(1800 * REV_PER_MIN, 3 * INCH, gamma)
    assert v_s == approx(1419 * FPM, rel=5e-4)
    assert room.mesh_friction(v_s) == approx(0.0178, abs=5e-5)
    assert room.efficiency(14.5 * DEG, 0.0178, gamma) == approx(0.818, abs=5e-4)
    assert room.implied_friction(0.818, 14.5 * DEG, gamma) == approx(0.0178, rel=5e-3)


def test_friction_curve_by_hand():
    """At rest 0.150; 5 ft/min: 0.124 exp(-0.074 x 2.8238) = 0.10061; 944 ft/min: 0.02135 (a graph says 0.022)."""
    assert room.mesh_friction(0.0) == 0.150
    assert room.mesh_friction(5 * FPM) == approx(0.10061, rel=1e-4)
    assert room.mesh_friction(944 * FPM) == approx(0.02135, rel=1e-3)
    assert room.mesh_friction(10.5 * FPM) == approx(0.08703, rel=1e-4)  # 0.103 exp(-0.110 x 2.8810) + 0.012
    assert room.mesh_friction(9.9 * FPM) == approx(0.08965, rel=1e-3)  # 0.124 exp(-0.074 x 4.3871)


@pytest.mark.from_memory
def test_mott_example_10_7_forces():
    """962 lb on the wheel, 20 deg, friction 0.022: 265 lb on the worm, 363 lb apart, 90.9 %."""
    gamma = room.lead_angle(MOTT, 3.0, 2 * INCH)
    F_t2 = room.wheel_force(4168 * POUND_FORCE * INCH, 8.667 * INCH)
    assert F_t2 / POUND_FORCE == approx(962, abs=0.5)
    assert room.worm_force(F_t2, 20 * DEG, gamma, 0.022) / POUND_FORCE == approx(265, abs=0.5)
    assert room.radial_force(F_t2, 20 * DEG, gamma, 0.022) / POUND_FORCE == approx(363, abs=0.5)
    assert room.efficiency(20 * DEG, 0.022, gamma) == approx(0.909, abs=5e-4)


@pytest.mark.from_memory
def test_shigley_example_13_10_forces():
    """1 hp at 1200 rev/min, 2 threads on 2 in, pitch 6, 14.5 deg, friction 0.03: 52.5, 69.6 and 264 lbf."""
    gamma = room.lead_angle(INCH / 6, 2.0, 2 * INCH)
    assert room.worm_force(264.0, 14.5 * DEG, gamma, 0.03) == approx(52.5, abs=0.1)
    assert room.radial_force(264.0, 14.5 * DEG, gamma, 0.03) == approx(69.6, abs=0.1)


@pytest.mark.parametrize("gamma", [3 * DEG, 14 * DEG, 30 * DEG])
def test_wedge_of_a_screw(gamma):
    """A flank leaning by the pressure angle rubs as with mu / cos: tan g / tan(g + r) up, tan(g - r) / tan g down."""
    alpha, mu = 20 * DEG, 0.05
    r = np.arctan(mu / np.cos(alpha))
    assert room.efficiency(alpha, mu, gamma) == approx(np.tan(gamma) / np.tan(gamma + r), rel=1e-12)
    assert room.reverse_efficiency(alpha, mu, gamma) == approx(np.tan(gamma - r) / np.tan(gamma), rel=1e-12)
    assert room.implied_friction(np.tan(gamma) / np.tan(gamma + r), alpha, gamma) == approx(mu, rel=1e-9)
    assert room.locking_friction(alpha, r) == approx(mu, rel=1e-12)  # locks where the slope is the friction angle


def test_losses_at_rest_by_hand():
    """40 % at rest and 80 % running: 0.6 over 0.2."""
    assert room.losses_at_rest(0.4, 0.8) == approx(3.0)


# Strength ---------------------------------------------------------------------------------------


PSI = POUND_FORCE / INCH**2
SAND = (2.5 * INCH, 1190.0, 477.0, 560.0)


def test_mott_example_10_8_root():
    """962 lb at 229 ft/min: 1145 lb; on 1.25 in of 0.508 in pitch and y 0.125: 14 430 psi."""
    F_d = strength.dynamic_load(962 * POUND_FORCE, strength.velocity_factor(229 * FPM))
    assert F_d / POUND_FORCE == approx(1145, rel=2e-3)  # the book rounds 1200/1429 to 0.84
    assert strength.root_capacity(14430 * PSI, 1.25 * INCH, 0.508 * INCH, 0.125) / POUND_FORCE == approx(1145, rel=1e-3)


def test_mott_example_10_8_flank():
    """Sand-cast, 8.667 in, 52/3, 944 ft/min: 740, 0.814, 0.265 off the graphs, 1123 lb on 1.25 in."""
    C_s = strength.material_factor(8.667 * INCH, 5.333 * INCH, *SAND)
    C_m, C_v = strength.ratio_factor(3.0, 52.0), strength.speed_factor(944 * FPM)
    assert C_s == approx(740, rel=5e-3)
    assert C_m == approx(0.814, rel=5e-3)
    assert C_v == approx(0.265, rel=1e-2)
    printed = strength.durable_force(740.0, 8.667 * INCH, 1.25 * INCH, 0.814, 0.265) / POUND_FORCE
    assert printed == approx(1123, abs=1)


@pytest.mark.from_memory
def test_shigley_example_15_3_flank():
    """Sand-cast wheel of 6 in, 24 teeth, 1419 ft/min, 2 in wide: 819, 0.823, 0.211, 1193 lbf."""
    C_s, C_m = strength.material_factor(6 * INCH, 4.5 * INCH, *SAND), strength.ratio_factor(1.0, 24.0)
    C_v = strength.speed_factor(1419 * FPM)
    assert C_s == approx(819, abs=0.5)
    assert C_m == approx(0.823, abs=5e-4)
    assert C_v == approx(0.211, abs=5e-4)
    assert strength.durable_force(C_s, 6 * INCH, 2 * INCH, C_m, C_v) / POUND_FORCE == approx(1193, rel=2e-3)


def test_factors_meet_where_their_branches_do():
    """The published curves are one curve each: what one branch gives at its end, the next gives at its start."""
    assert strength.material_factor(2.4 * INCH, 3 * INCH, *SAND) == approx(1000, rel=1e-4)
    assert strength.material_factor(2.4 * INCH, 1.5 * INCH, *SAND) == approx(755.0, abs=0.05)  # 720 + 10.37 x 3.375
    assert strength.material_factor(2.0 * INCH, 4 * INCH, *SAND) == 1000
    assert strength.material_factor(4 * INCH, 3.1 * INCH, *SAND) == approx(902.8, abs=0.05)  # 1190 - 477 x 0.60206
    assert strength.material_factor(4 * INCH, 2.9 * INCH, *SAND) == approx(972.9, abs=0.05)  # 720 + 10.37 x 24.389
    assert strength.material_factor(2.6 * INCH, 4 * INCH, *SAND) == approx(1000, rel=1e-2)
    assert strength.material_factor(2.0 * INCH, 4 * INCH, *SAND[:3], 501.0) == 1000
    soft = [strength.material_factor(2.0 * INCH, 4 * INCH, *SAND[:3], H) for H in (499.0, np.nan)]
    assert np.isnan(soft).all()
    assert strength.ratio_factor(1.0, 20.0) == approx(0.46 + 0.02 * 18, abs=1e-12)  # root of 324
    assert strength.ratio_factor(1.0, 20.01) == approx(strength.ratio_factor(1.0, 20.0), rel=1e-2)
    assert strength.ratio_factor(1.0, 76.0) == approx(0.0107 * 60.21, abs=1e-3)  # root of 3625
    assert strength.ratio_factor(1.0, 76.1) == approx(strength.ratio_factor(1.0, 76.0), rel=1e-2)
    assert strength.ratio_factor(2.0, 160.0) == approx(1.1483 - 0.5264, abs=1e-9)
    assert strength.ratio_factor(3.0, 57.0) == approx(0.81944, abs=2e-5)  # root of 323
    assert strength.ratio_factor(2.0, 60.0) == approx(0.82362, abs=2e-5)  # root of 5925
    assert strength.ratio_factor(2.0, 150.0) == approx(0.65261, abs=2e-5)  # root of 3720
    assert strength.ratio_factor(1.0, 78.0) == approx(0.63506, abs=2e-5)
    assert strength.ratio_factor(20.0, 61.0) == approx(0.58116, abs=2e-5)
    assert strength.ratio_factor(1.0, 99.0) == approx(0.49688, abs=2e-5)
    assert np.isnan([strength.ratio_factor(20.0, 58.0), strength.ratio_factor(1.0, 102.0)]).all()
    assert strength.speed_factor(0.0) == 0.659
    assert strength.speed_factor(500 * FPM) == approx(0.659 * 0.576950, rel=1e-5)  # exp(-0.55)
    assert strength.speed_factor(690 * FPM) == approx(0.30849, rel=1e-4)  # exp(-0.759)
    assert strength.speed_factor(710 * FPM) == approx(0.31341, rel=1e-4)  # the prints leave a step of 3 % here
    assert strength.speed_factor(2999 * FPM) == approx(0.13767, rel=2e-4)  # 13.31 e^(-0.571 x 8.00603)
    assert strength.speed_factor(3001 * FPM) == approx(0.13334, rel=2e-4)  # 65.52 e^(-0.774 x 8.00670)
    assert strength.speed_factor(4000 * FPM) == approx(0.10675, rel=2e-4)  # 65.52 e^(-0.774 x 8.29405)


@pytest.mark.from_memory
def test_shigley_example_15_3_heat():
    """5.61 hp in, 81.8 % through, 600 square inches, 1800 rev/min: 33 690 ft lbf/min, 70 F air, 208 F oil."""
    omega, T_1 = 1800 * REV_PER_MIN, 5.61 * HORSEPOWER / (1800 * REV_PER_MIN)
    P_l = strength.lost_power(T_1, 0.818 * 24 * T_1, omega, 1.0, 24.0)
    assert P_l == approx(33690 / 33000 * HORSEPOWER, rel=1e-3)
    rise = strength.temperature_rise(P_l, 600 * INCH**2, omega)
    assert rise * 9 / 5 == approx(208 - 70, abs=0.7)
    assert strength.allowed_rise(93.0, 35.0) == 58.0


def test_either_sense_and_steep_threads():
    """Sizes of forces, speeds and losses do not ask which way; a thread of 30 degrees, friction 0.1, worked by hand."""
    assert room.wheel_force(-80.0, 0.2) == approx(800.0)
    assert room.worm_force(1000.0, 20 * DEG, 30 * DEG, 0.1) == approx(728.53, abs=0.01)  # 0.556449 / 0.763798
    assert room.radial_force(1000.0, 20 * DEG, 30 * DEG, 0.1) == approx(447.79, abs=0.01)  # 0.342020 / 0.763798
    assert room.diameter_by_lead_angle(4e-3, 3.0, np.arctan(0.3)) == approx(40e-3)
    assert room.sliding_speed(-5.0, 0.04, np.arccos(0.8)) == approx(0.125)
    assert room.wheel_speed(-5.0, 4e-3, 2.0) == approx(0.02)
    assert strength.lost_power(-10.0, 150.0, -5.0, 2.0, 40.0) == approx(12.5)
    assert strength.lost_power(5.0, -150.0, 5.0, 2.0, 40.0) == approx(12.5)
    assert strength.temperature_rise(63.046 * 0.26, 0.5, -0.13 * 6494 * REV_PER_MIN) == approx(2.0, rel=1e-4)


def test_wear_load_by_hand():
    """Steel over 500 Brinell on sand-cast bronze at 20 degrees: 80 psi on 8 in and 1.5 in is 960 lbf."""
    K_w, _ = sizes.wear_factor(20 * DEG, 600.0, chilled=False)
    assert strength.wear_capacity(8 * INCH, 1.5 * INCH, K_w) / POUND_FORCE == approx(960)


@pytest.mark.from_memory
def test_khurmi_and_gupta_wear_factors():
    """A Textbook of Machine Design, ch. 31: 0.550 and 0.830 N/mm2 on phosphor bronze and on chilled phosphor bronze."""
    assert sizes.wear_factor(20 * DEG, 500.0, chilled=False)[0] == approx(0.550e6, rel=5e-3)
    assert sizes.wear_factor(20 * DEG, 500.0, chilled=True)[0] == approx(0.830e6, rel=4e-2)
    assert np.isnan(sizes.wear_factor(20 * DEG, 240.0, chilled=False)[0])
    assert sizes.wear_factor(20 * DEG, 300.0, chilled=False)[0] == approx(0.345e6, rel=2e-3)
    soft, hard = (sizes.wear_factor(14.5 * DEG, H, chilled=False)[0] for H in (300.0, 500.0))
    assert soft / hard == approx(0.6)  # steel of 250 Brinell bears six tenths of hardened steel


@pytest.mark.from_memory
def test_wear_factors_at_larger_pressure_angles():
    """0.69 and 0.83 N/mm2 at 25 and 30 degrees; six tenths of them on a soft worm, half as much again on chilled bronze."""
    for alpha, K in ((25, 0.69e6), (30, 0.83e6)):
        hard = sizes.wear_factor(alpha * DEG, 600.0, chilled=False)[0]
        assert hard == approx(K, rel=5e-3)
        assert sizes.wear_factor(alpha * DEG, 300.0, chilled=True)[0] / hard == approx(0.6)
        assert sizes.wear_factor(alpha * DEG, 600.0, chilled=True)[0] / hard == approx(1.5)
    assert sizes.wear_factor(14.5 * DEG, 600.0, chilled=True)[0] == approx(0.62e6, rel=5e-3)


@pytest.mark.from_memory
def test_mott_table_10_4():
    """Form factors 0.100, 0.125, 0.150 and 0.175 from 14.5 to 30 degrees."""
    for alpha, y in ((14.5, 0.100), (20, 0.125), (25, 0.150), (29.999, 0.175), (24, 0.145), (29, 0.170)):
        assert sizes.by_pressure_angle("form", alpha * DEG)[0] == approx(y, rel=1e-4)


def test_form_factor_between_rows():
    """0.100 at 14.5 and 0.125 at 20 degrees: 0.1125 half way; nothing outside the table."""
    assert sizes.by_pressure_angle("form", 17.25 * DEG)[0] == approx(0.1125)
    assert np.isnan(sizes.by_pressure_angle("form", 12 * DEG)[0])


def test_deflection_by_hand():
    """3 and 4 hundredths are 5; a worm of module 4 may bend 8 hundredths of a millimetre."""
    assert strength.deflection(3e-5, 4e-5) == approx(5e-5)
    assert strength.deflection_limit(4e-3) == approx(0.08e-3)


def pair(**other):
    values = {"m": 4e-3, "z_1": 1.0, "z_2": 40.0, "d_1": 40e-3, "a": 100e-3, "alpha_n": 20 * DEG, "b": 26e-3,
              "T_1": 7.0, "T_2": 157.0, "omega_1": 40 * REV_PER_MIN, "eta_0": 0.55, "y": 0.125, "z_m": 21.0,
              "sigma_f": 24000 * PSI, "R_e": 140e6, "K_w": 80 * PSI, "D_c": SAND[0], "c_0": SAND[1], "c_1": SAND[2], "H_w": 560.0,
              "y_y": 3e-5, "y_z": 4e-5, "A_h": 0.2, "t_lim": 93.0, "t_a": 35.0, "S_root": 1.5, "S_wear": 1.0,
              "S_jam": 1.5} | other
    return WormInputs(origins=dict.fromkeys(values, GIVEN), **values)


def test_a_whole_pair_by_hand():
    """1962.5 N on the wheel; 26 mm carry; p_n = 12.504 mm: 140 MPa x 26 x 12.504 x 0.125 = 5689 N."""
    found = rate(pair())
    checks = {c.mode: c for c in found.checks}
    assert found.F_t2 == approx(1962.5)
    assert checks["root strength"].rating == approx(5689, rel=1e-3)  # yield is the lower of the two
    assert checks["root strength"].demand == approx(1962.5 * (1 + 0.0083776 / 6.096), rel=1e-6)
    assert checks["jam strength"].margin == approx(5689 / 1962.5, rel=1e-3)
    assert checks["flank wear"].rating == approx(0.160 * 0.026 * 80 * 6894.757, rel=1e-6)
    assert checks["worm deflection"].margin == approx(1.6)
    assert checks["heat of running"].margin == approx(58 / (12.881 / (0.2 * 0.13616 * 63.046)), rel=1e-3)


def test_the_sheet_explains_every_number():
    with tracing() as trace:
        rate(pair())
    assert trace.untraced == []


@pytest.mark.parametrize(("change", "says"), [
    ({}, "no brake for a hanging weight"), ({"z_1": 4.0}, "drives this worm back"), ({"eta_0": 0.9}, "more than a tenth"),
    ({"b": 30e-3}, "two thirds of the worm's diameter"), ({"z_2": 20.0, "a": 60e-3}, "so few teeth"),
])
def test_remarks(change, says):
    with tracing() as trace:
        rate(pair(**change))
    assert any(says in remark.text for remark in trace.remarks)


@pytest.mark.parametrize(("formula", "yes", "no"), [
    (holds_itself, (0.1, 0.15), (0.2, 0.15)), (runs_back, (0.2, 0.15), (0.1, 0.15)), (far_off, (0.9, 0.5), (0.55, 0.5)),
    (far_off, (0.397, 0.5), (0.402, 0.5)), (wide, (0.03, 0.0268), (0.026, 0.026)), (few, (20.0, 21.0), (21.0, 21.0)),
])
def test_advice_by_hand(formula, yes, no):
    assert (formula(*yes), formula(*no)) == (1.0, 0.0)


# Material factors of bronze wheels by mean diameter, tabulated after AGMA 440.04 in handbooks (values from memory).
@pytest.mark.from_memory
@pytest.mark.parametrize(("material", "inches", "factor"), [
    ("sand-cast tin bronze", 2.5, 1000), ("sand-cast tin bronze", 3, 960), ("sand-cast tin bronze", 5, 855),
    ("sand-cast tin bronze", 8, 760), ("chill-cast tin bronze", 8, 1000), ("chill-cast tin bronze", 10, 955),
    ("chill-cast tin bronze", 20, 815), ("centrifugally cast tin bronze", 25, 1000),
    ("centrifugally cast tin bronze", 50, 945)])
def test_material_factors_by_diameter(material, inches, factor):
    bronze = sizes.wheel_material(material)
    found = strength.material_factor(inches * INCH, 0.2, bronze.D_c, bronze.c_0, bronze.c_1, 600.0)
    assert found == approx(factor, rel=8e-3)
