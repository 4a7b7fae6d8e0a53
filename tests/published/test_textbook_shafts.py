"""Worked shaft examples of several textbooks, read in volunteers' companions that recompute them.

U.C. Jindal, Machine Design; Sadhu Singh, Machine Design-I; T.H. Wentzell, Machine Design; R.C.
Hibbeler, Mechanics of Materials; V.M. Faires, Design of Machine Elements (a solution set).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import shaft
from layshaft.elements.shaft import sizing
from layshaft.listings.tables import table
from layshaft.mechanics import beam, endurance, materials, round_bar
from layshaft.mechanics.beam import Beam
from layshaft.mechanics.margin import margin
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

MPA = 1e6
PSI = POUND_FORCE / INCH**2
GIVEN = Source("worked example", obtained="given")


def test_sadhu_singh_example_6_1_page_168():
    """650/380 MPa, keyed, 1.5 M and 1.0 T, two planes: 43.13 mm."""
    M = sizing.raised_for_shock(beam.resultant_moment(875.0, 175.0), 1.5)
    tau = sizing.allowed_shear(380 * MPA, 650 * MPA, 1.0)
    assert tau == approx(85.5 * MPA)
    assert sizing.first_diameter(M, sizing.raised_for_shock(150.0, 1.0), tau) == approx(43.13e-3, rel=1e-3)


def test_jindal_example_15_2_page_421():
    """Two gears between bearings 440 mm apart, 500 MPa, keyed: tau 67.5 MPa, 17.73 mm."""
    tau = sizing.allowed_shear(460 * MPA, 500 * MPA, 1.0)
    assert tau == approx(67.5 * MPA)
    assert sizing.allowed_shear(460 * MPA, 500 * MPA, 0.0) == approx(90 * MPA)
    tangent = np.tan(20 * DEGREE)
    forces = np.array([[[400.0], [-400 * tangent]], [[-240.0], [240 * tangent]]])
    r = Beam([0, 0.44], [0.02], 206e9, [0, 0.44], [0.12, 0.32]).solve(forces, np.zeros_like(forces))
    M = beam.resultant_moment(*r.moment_left[0, :, 0])
    assert M == approx(28.8, abs=0.1)
    d = sizing.first_diameter(sizing.raised_for_shock(M, 1.5), sizing.raised_for_shock(30.0, 2.0), tau)
    assert d == approx(17.73e-3, rel=1e-3)


def test_jindal_example_15_5_page_423():
    """208.96 and 159.155 N m, factors 1.5 and 2, 60 MPa: 33.6 mm."""
    M, T = sizing.raised_for_shock(208.96, 1.5), sizing.raised_for_shock(159.155, 2.0)
    assert sizing.first_diameter(M, T, 60 * MPA) == approx(33.6e-3, rel=3e-3)


def test_hibbeler_chapter_11():
    """118.75 and 37.5 N m in two planes, 7.5 N m torque, 50 MPa: 23.3 mm."""
    d = sizing.first_diameter(beam.resultant_moment(118.75, 37.5), 7.5, 50 * MPA)
    assert d == approx(23.3e-3, rel=3e-3)


def test_hibbeler_example_5_4():
    """5 hp at 175 rev/min, 14 500 psi: 0.858 in."""
    T = 5 * HORSEPOWER / (175 * REV_PER_MIN)
    assert sizing.torsion_diameter(T, 14_500 * PSI) / INCH == approx(0.858, rel=2e-3)


def test_wentzell_examples_17_1_and_17_2_pages_379_383():
    """5 hp at 1750 rev/min in 3/4 in: 2173 psi; with 8780 psi bending 4897 psi."""
    T = 63_000 * 5 / 1750 * POUND_FORCE * INCH
    tau = round_bar.torsion_stress(T, round_bar.polar_modulus(0.75 * INCH, 0.0))
    assert tau / PSI == approx(2173, rel=1e-3)
    assert round_bar.greatest_shear(8780 * PSI, 2170 * PSI) / PSI == approx(4897, rel=1e-3)


def test_jindal_example_15_4_page_422():
    """10 kW at 400 rev/min, 0.05 degrees in 120 mm, 84 GPa: 44.67 mm."""
    T = 10_000 / (400 * REV_PER_MIN)
    assert sizing.twist_diameter(T, 0.120, 84e9, 0.05 * DEGREE) == approx(44.67e-3, rel=1e-3)


def test_mechanics_of_materials_examples_3_1_and_3_2():
    """250 lbf ft in 1.5 in: 4527 psi and 1.62 degrees in 54 in; 1200 N m at 40 MPa 53.46 mm, 0.75 deg/m 58.82 mm."""
    T, d = 250 * POUND_FORCE * FOOT, 1.5 * INCH
    assert round_bar.torsion_stress(T, round_bar.polar_modulus(d, 0.0)) / PSI == approx(4527, rel=1e-3)
    theta = shaft.wind_up_of({"bar": (T, 54 * INCH, d, 0.0)}, 11.5e6 * PSI)
    assert theta / DEGREE == approx(1.62, rel=4e-3)
    assert sizing.torsion_diameter(1200.0, 40 * MPA) == approx(53.46e-3, rel=1e-3)
    assert sizing.twist_diameter(1200.0, 1.0, 78e9, 0.75 * DEGREE) == approx(58.8216e-3, rel=1e-3)


def test_hibbeler_example_5_6_twist_through_a_gear_pair():
    """45 N m in 2 m and 22.5 N m in 1.5 m of 20 mm bar; 0.085 rad at the far end."""
    far = shaft.wind_up_of({"AB": (45.0, 2.0, 0.02, 0.0)}, 80e9)
    near = shaft.wind_up_of({"DC": (22.5, 1.5, 0.02, 0.0)}, 80e9)
    assert far + near * 75 / 150 == approx(0.085, rel=2e-3)


def test_twists_add_and_softness_adds():
    """Two lengths in series by hand: T (L1/(G J1) + L2/(G J2)); second one bored."""
    lengths = {"a": (0.3, 0.02, 0.0), "b": (0.2, 0.03, 0.01)}
    soft = sum(L / (79.3e9 * np.pi * (d**4 - di**4) / 32) for L, d, di in lengths.values())
    assert shaft.stiffness_of(lengths, 79.3e9) == approx(1 / soft)
    twist = shaft.wind_up_of({k: (20.0, *v) for k, v in lengths.items()}, 79.3e9)
    assert twist == approx(20.0 * soft)


@pytest.mark.parametrize(("limit", "d"), [(0.25, 41.4216e-3), (1.0, 29.2895e-3)])
@pytest.mark.from_memory
def test_wind_up_of_100_newton_metres(limit, d):
    """Old limits for line shafts, common practice; diameter by the torsion formula."""
    assert sizing.twist_diameter(100.0, 1.0, 79.3e9, limit * DEGREE) == approx(d, rel=1e-3)
    phi = shaft.wind_up_of({"line": (-100.0, 2.0, d, 0.0)}, 79.3e9)
    values = {"phi": phi, "L": 2.0, "twist_limit": limit * DEGREE, "S_required": 1.0}
    result = shaft.rate_wind_up(shaft.WindUpInputs(**values, origins=dict.fromkeys(values, GIVEN)))
    assert result.S == approx(1.0, rel=1e-3)
    assert result.checks[0].mode == "twist"


def test_twist_per_length_has_no_sense():
    """1.62 degrees in 54 in, either way: 0.02061 rad/m."""
    assert shaft.stiffness.twist_rate(np.array([1.62, -1.62]) * DEGREE, 54 * INCH) == approx([0.020614] * 2, rel=1e-4)


@pytest.mark.from_memory
@pytest.mark.parametrize("condition", ["structural", "quenched and tempered", "normalised"])
def test_constants_of_carbon_steel(condition):
    """Shigley, table A-5, carbon steel: E 207, G 79.3 GPa, 76.5 kN/m3 (7801 kg/m3); house values within 1 percent."""
    row = table("steel_conditions")[condition]
    found = [row.number(c) for c in ("E_GPa", "G_GPa", "density_kg_m3")]
    assert found == approx([207, 79.3, 76_500 / 9.80665], rel=0.01)


@pytest.mark.from_memory
def test_tube_as_strong_as_a_bar():
    """Bore ratio 0.8: 1.19202 times the diameter; 0.511531 of the mass."""
    assert sizing.tube_diameter(1.0, 0.8) == approx(1.19202, rel=1e-5)
    assert sizing.tube_diameter(1.0, 0.8) ** 2 * (1 - 0.8**2) == approx(0.511531, rel=1e-4)
    assert round_bar.polar_modulus(1.19202, 0.8 * 1.19202) == approx(round_bar.polar_modulus(1.0, 0.0), rel=1e-4)


@pytest.mark.from_memory
def test_section_values_of_a_40_20_tube():
    """Polar second moment 235 619 mm4; half of it in bending; moduli over 20 mm."""
    assert round_bar.polar_moment(0.040, 0.020) == approx(235_619e-12, rel=1e-5)
    assert round_bar.second_moment(0.040, 0.020) == approx(235_619e-12 / 2, rel=1e-5)
    assert round_bar.section_modulus(0.040, 0.020) == approx(235_619e-12 / 2 / 0.020, rel=1e-5)
    assert round_bar.polar_modulus(0.040, 0.020) == approx(235_619e-12 / 0.020, rel=1e-5)


def test_wentzell_example_5_3_page_97_goodman():
    """Cantilever 12 in, 0 to 1000 lb, S_u 90 and S_n 28.9 kpsi, factor 1.6: 1.65 in."""
    M = 500 * POUND_FORCE * 12 * INCH
    A = endurance.alternating_moment(1.0, M, 1.0, 0.0)
    B = endurance.mean_moment(1.0, M, 0.0, 0.04, 1.0, 0.0)
    d = endurance.goodman_diameter(1.6, A, 28_900 * PSI, B, 90_000 * PSI)
    assert d / INCH == approx(1.65, rel=4e-3)


def test_sadhu_singh_example_6_3_page_171_yield():
    """5 kW at 1000 rev/min, 300 MPa, factor 2, distortion energy: 14.1 mm."""
    T = 5000 / (1000 * REV_PER_MIN)
    sigma = endurance.equivalent_stress(endurance.greatest_moment(1, 0.0, 0.0, 0.0, 0.0141, 1, T, 0.0), 0.0141)
    assert margin(300 * MPA, sigma) == approx(2.0, rel=4e-3)


def test_sadhu_singh_example_4_3_page_105():
    """440 MPa, 0.82, 0.85, 0.868, torsion 0.577, K_t 1.8 with q 0.86: 45.5 MPa."""
    from layshaft.mechanics.notch import fatigue_factor

    S_e = endurance.endurance_limit(0.82, 0.85, 0.577, 1.0, 0.868, endurance.bar_limit(440 * MPA))
    assert S_e / fatigue_factor(1.8, 0.86, 0.0) == approx(45.5 * MPA, rel=1e-3)


def test_every_bar_size_in_stock():
    """Common practice: what is usually on the rack."""
    rack = [6, 8, 10, 12, 14, 15, 16, 18, 20, 22, 24, 25, 28, 30, 32, 35, 36, 38, 40, 42, 45, 48, 50, *range(55, 101, 5)]
    assert sizing.smallest_bar(np.array(rack) * 1e-3 - 0.4e-3) == approx(np.array(rack) * 1e-3)


def test_smallest_bar_in_stock():
    """Common practice: sizes of bright round bar. 23.3 mm becomes 24, a stocked size stays."""
    for needed, bar in ((23.3e-3, 24e-3), (30e-3, 30e-3), (30.01e-3, 32e-3), (2e-3, 6e-3)):
        assert sizing.smallest_bar(needed) == approx(bar)
    assert np.isnan(sizing.smallest_bar(0.101))
    assert np.isnan(sizing.smallest_bar(np.array([np.nan, 0.02]))).tolist() == [True, False]
    with tracing() as trace:
        sizing.smallest_bar(sizing.torsion_diameter(20.0, 25e6))
    assert trace.steps[-1].value == approx(16e-3)


BENDING_FATIGUE = {  # DIN 743-3: sigma_bW is half of R_m, rounded to 5 MPa; and the yield strength, remembered
    "S235JR": (180, 235), "S275JR": (205, 275), "S355J2": (245, 355), "E295": (245, 295), "E335": (290, 335),
    "E360": (345, 360), "C22E+QT": (250, 340), "C25E+QT": (275, 370), "C35E+QT": (315, 430), "C45E+QT": (350, 490),
    "C60E+QT": (425, 580), "34Cr4+QT": (450, 700), "25CrMo4+QT": (450, 700), "41Cr4+QT": (500, 800),
    "34CrMo4+QT": (500, 800), "42CrMo4+QT": (550, 900), "50CrMo4+QT": (550, 900), "34CrNiMo6+QT": (600, 1000),
    "30CrNiMo8+QT": (625, 1050),
}


@pytest.mark.from_memory
@pytest.mark.parametrize("grade", BENDING_FATIGUE)
def test_strengths_agree_with_the_remembered_fatigue_strengths(grade):
    found = materials.steel(grade, 0.016)
    sigma_bW, R_e = BENDING_FATIGUE[grade]
    assert endurance.bar_limit(found.R_m) / MPA == approx(sigma_bW, rel=0.02)
    assert found.R_e / MPA == approx(R_e)
    assert [found.E / 2.6, found.rho] == approx([found.G, 7850], rel=2e-3)


@pytest.mark.from_memory
def test_strength_of_every_condition_in_a_200_mm_bar():
    """DIN 743-2: structural 1 - 0.23 lg 2 and 1 - 0.26 lg 6.25; Q&T 1 - 0.26 lg 12.5 and 1 - 0.34 lg 12.5."""
    for grade, m, e in (("S355J2", 0.9308, 0.7931), ("C45E+QT", 0.7148, 0.6270), ("C45+N", 0.9308, 0.9308)):
        thick, thin = materials.steel(grade, 0.200), materials.steel(grade, 0.010)
        assert [thick.R_m / thin.R_m, thick.R_e / thin.R_e] == approx([m, e], abs=1e-3)


@pytest.mark.from_memory
def test_strength_in_a_thicker_bar():
    """DIN 743-2: C45E+QT, 700/490 MPa at 16 mm; 50 mm gives 1 - 0.26 lg 3.125 = 0.871 and 0.832; flat from 300 mm."""
    thick, thin = materials.steel("c45e+qt", 0.050), materials.steel("C45E+QT", 0.010)
    assert [thick.R_m / MPA, thick.R_e / MPA] == approx([700 * 0.8713, 490 * 0.8317], rel=1e-3)
    assert [thin.R_m / MPA, thin.R_e / MPA] == approx([700, 490])
    assert materials.size_factor(np.array([0.3, 0.5]), 0.016, 0.26) == approx([0.669, 0.669], abs=1e-3)
    assert materials.steel("S235JR", 0.100).R_m == approx(360 * MPA)
    assert materials.steel("S235JR", 0.064).R_e == approx(235 * MPA * (1 - 0.26 * np.log10(2)))


@pytest.mark.from_memory
def test_usual_steels():
    """EN 10083-2 and EN 10025-2, remembered: minimum tensile and yield strength of common bars."""
    for grade, R_m, R_e in (("C45+N", 630, 370), ("C45E+N", 580, 305), ("C35E+N", 520, 270), ("C60E+N", 670, 340),
                            ("S235JR", 360, 235), ("S355J2", 490, 355), ("42CrMo4+QT", 1100, 900)):
        found = materials.steel(grade, 0.016)
        assert [found.R_m / MPA, found.R_e / MPA] == approx([R_m, R_e])
    assert materials.steel("C45+N", 0.03).source.obtained == "typical"
    assert materials.steel("C45", 0.03) is None
    assert [found.E, found.G, found.rho] == approx([206e9, 79.3e9, 7850])


def test_first_diameter_from_torque_and_span_and_the_bar_to_buy():
    """Mechanics of Materials, ex. 3.2: 1200 N m at 40 MPa 53.46 mm, at 0.75 degrees a metre (78 GPa) 58.82 mm: twist
    governs there, strength where twice the twist may be; a bar of 60 and one of 55 mm is what a shop has."""
    d = [sizing.diameter_by_torque_and_span(1200.0, 40 * MPA, 2.0, 78e9, k * 1.5 * DEGREE) for k in (1, 2)]
    assert d == approx([58.8216e-3, 53.4602e-3], rel=1e-5)
    assert sizing.smallest_bar(np.array(d)) == approx([0.060, 0.055])
    for formula in (sizing.torsion_diameter, sizing.first_diameter, sizing.twist_diameter, sizing.diameter_by_torque_and_span):
        assert formula.formula.stock is sizing.smallest_bar
