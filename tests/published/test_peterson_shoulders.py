"""Shoulder fillets: two fits to Peterson's curves, and press seats after DIN 743-2.

Norton, Machine Design, appendix: power law (coefficients read in a second text: bending in two course
texts, torsion in a published student program). Peterson's Stress Concentration Factors, 3rd ed.: cubic polynomials (read in two public
reference pages). DIN 743-2: table of press seats, from memory.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.listings.tables import table
from layshaft.mechanics import notch
from layshaft.trace.formula import tracing


def power_law(load, step, r, d=0.03):
    A, b = notch._coefficients(load, step)
    return float(notch.shoulder_power_law(A, b, r * d, d))


@pytest.mark.parametrize(("load", "step", "r", "K"), [
    ("bending", 1.1, 0.05, 1.938), ("bending", 1.2, 0.1, 1.604), ("bending", 2, 0.05, 2.141),
    ("torsion", 1.09, 0.05, 1.321), ("torsion", 1.2, 0.1, 1.373)])
@pytest.mark.from_memory
def test_power_law(load, step, r, K):
    assert power_law(load, step, r) == approx(K, rel=2e-3)


@pytest.mark.parametrize(("step", "A", "b"), [
    (1.09, 0.90337, 0.12692), (1.2, 0.83425, 0.21649), (1.33, 0.84897, 0.23161), (2, 0.86331, 0.23865)])
def test_torsion_coefficients_in_a_second_text(step, A, b):
    """Remembered first, then read in a published student program: K_ts at the ends of the fitted range."""
    row = table("kt_shoulder")[f"torsion {step:g}"]
    for r in (0.01, 0.3):
        assert row.number("A") * r ** row.number("b") == approx(A / r**b, rel=1e-5)


def test_fillets_count_in_diameters_and_end_at_a_hundredth():
    """Ø30: r 0.3 mm is 0.01 d, where 0.9 0.01^-0.25 = 2.846; no fillet at all is unknown, without a warning."""
    assert notch.shoulder_power_law(0.9, -0.25, 0.3e-3 * 1.000001, 0.03) == approx(2.8460, rel=1e-4)
    ends = np.array([0.0, 0.0098, 0.0102, 0.295, 0.305]) * 0.03
    found = notch.shoulder_power_law(0.9, -0.25, ends, 0.03)
    assert found == approx([np.nan, np.nan, 2.8320, 1.2212, np.nan], rel=1e-4, nan_ok=True)


def test_a_corner_without_fillet_counts_as_a_twenty_thousandth():
    """Ø40 to Ø30: (40 - 30)/(2 r); r = 0 is taken as 0.05 thousandths of 30 mm, so the height is 3333."""
    assert notch.height_ratio(0.040, 0.030, 0.002) == approx(2.5)
    assert notch.height_ratio(0.040, 0.030, 0.0) == approx(10 / 0.003)
    assert notch.height_ratio(0.030, 0.040, 0.002) == 0


@pytest.mark.from_memory
def test_power_law_at_d_over_d_1_5():
    """A second course text evaluates 0.93836 0.1^-0.25759 = 1.70; the first misprints the exponent."""
    assert power_law("bending", 1.5, 0.1) == approx(1.70, abs=5e-3)


def cubic(D, d, r):
    t, z = notch.height_ratio(D, d, r), notch.height_share(D, d)
    return [float(f(t, z)) for f in (notch.bending_low_shoulder, notch.bending_high_shoulder, notch.torsion_shoulder)]


def test_cubics_at_45_40_1():
    """K_t 2.224 in bending, 1.736 in torsion (height 2.5 fillet radii)."""
    low, high, torsion = cubic(45.0, 40.0, 1.0)
    assert high == approx(2.224, rel=2e-3)
    assert torsion == approx(1.736, rel=2e-3)
    assert low == approx(high, rel=0.04)


@pytest.mark.parametrize(("D", "d", "r", "K"), [(24.0, 20.0, 2.0, 1.357), (60.0, 40.0, 4.0, 1.413)])
def test_cubic_in_torsion(D, d, r, K):
    assert cubic(D, d, r)[2] == approx(K, rel=1e-3)


def test_the_two_bending_cubics_meet_at_two_fillet_radii():
    """Two fits of one set of curves: at height 2 r they must agree; so each pins the other."""
    for z in (0.05, 0.1, 0.2, 0.4, 0.6):
        assert notch.bending_low_shoulder(2.0, z) == approx(notch.bending_high_shoulder(2.0, z), rel=0.01)


def test_cubics_come_to_one_for_a_pin_on_an_endless_plate():
    """Their coefficients sum to 1 at full height share, for any fillet."""
    for f, t in ((notch.bending_low_shoulder, 1.0), (notch.bending_high_shoulder, 4.0), (notch.torsion_shoulder, 1.0)):
        assert f(t, 1.0) == approx(1.0, abs=0.025)


def test_power_law_stays_near_the_cubics_where_fillets_are_ordinary():
    """Every row of the table against the independent cubic, r/d 0.1 to 0.2, within 7 percent."""
    for row in table("kt_shoulder").rows:
        load, step = row.text("load"), row.number("D_over_d")
        for r in (0.2,) if step < 1.05 else (0.1, 0.2):
            low, high, torsion = cubic(step, 1.0, r)
            bending = low if notch.height_ratio(step, 1.0, r) <= 2 else high
            K = power_law(load, step, r)
            assert K == approx(bending if load == "bending" else torsion, rel=0.072), row.name


def test_shoulder_takes_the_larger_fit_where_both_hold():
    """25 to 30 mm: at r 1 mm the cubic counts (bending), at r 5 mm both are near."""
    K_t, K_ts = notch.shoulder(30.0, 25.0, 1.0)
    _low, high, torsion = cubic(30.0, 25.0, 1.0)
    assert K_t == approx(max(high, power_law("bending", 1.2, 0.04)))
    assert K_ts == approx(max(torsion, power_law("torsion", 1.2, 0.04)))
    assert notch.shoulder(30.0, 25.0, 2.0)[0] == approx(max(low_of(30.0, 25.0, 2.0), power_law("bending", 1.2, 0.08)))


def low_of(D, d, r):
    return cubic(D, d, r)[0]


def test_where_the_cubic_ends_the_power_law_stands_alone():
    """Torsion: height 5 fillet radii is above the cubic's range of 4, 0.2 below its 0.25."""
    assert notch.shoulder(1.2, 1.0, 0.02)[1] == approx(power_law("torsion", 1.2, 0.02))
    assert notch.larger_in_torsion(1.0, 2.0, np.array([0.24, 0.26, 3.9, 4.1])) == approx([1.0, 2.0, 2.0, 1.0])
    heights = np.array([0.097, 0.103, 1.95, 2.05, 19.5, 20.5])
    assert notch.larger_in_bending(1.0, 2.0, 3.0, heights) == approx([1.0, 2.0, 2.0, 3.0, 3.0, 1.0])
    assert notch.larger_in_bending(4.0, 2.0, 3.0, 1.0) == 4.0
    assert notch.larger_in_torsion(4.0, 2.0, 1.0) == 4.0


def test_outside_the_curves_is_unknown():
    r = np.array([0.0099, 0.0101, 0.299, 0.301, np.nan])
    assert list(np.isnan(notch.shoulder(0.036, 0.030, r * 0.030)[0])) == [True, False, False, True, True]
    assert list(np.isnan(notch.shoulder(1.2, 1.0, r)[0])) == [True, False, False, True, True]
    assert np.isnan(notch.shoulder(1.05, 1.0, 0.1)).tolist() == [False, True]
    assert np.isnan(notch.shoulder(np.array([0.9, 6.1]), 1.0, 0.1)).all()


def test_between_two_rows_the_sheet_names_both():
    with tracing() as trace:
        notch.shoulder(1.35, 1.0, 0.1)
    rows = [s.detail["row"] for s in trace.steps if s.kind == "looked up"]
    assert "between bending 1.2 and bending 1.5" in rows
    assert "between torsion 1.33 and torsion 2" in rows


@pytest.mark.from_memory
def test_notches_before_their_radii_are_known():
    """Table 7-1 of Shigley: groove for a retaining ring 5.0 and 3.0, sharp shoulder 2.7 and 2.2, round 1.7 and 1.5."""
    for kind, K_t, K_ts, r in (("retaining ring groove", 5.0, 3.0, np.nan), ("sharp shoulder", 2.7, 2.2, 0.6e-3),
                               ("well rounded shoulder", 1.7, 1.5, 3e-3), ("no notch", 1.0, 1.0, 15e-3),
                               ("sled-runner keyseat", 1.7, np.nan, 0.6e-3)):
        assert notch.first_guess(kind, 0.03) == approx((K_t, K_ts, r), nan_ok=True)
    assert np.isnan(notch.first_guess("retaining ring groove", 0.03)[2])
    assert notch.first_guess("dent", 0.03) is None


@pytest.mark.from_memory
def test_press_seat_of_40_mm():
    """DIN 743-2: 400, 500, 700, 900, 1000 MPa: bending 1.8 2.0 2.3 2.6 2.7, torsion at 400 and 700: 1.2, 1.5."""
    found = [notch.press_fit_edge(R * 1e6, 0.040) for R in (400, 500, 700, 900, 1000)]
    assert [f[0] for f in found] == approx([1.82, 2.00, 2.32, 2.58, 2.70], abs=0.02)
    assert [found[0][1], found[2][1]] == approx([1.2, 1.5], abs=0.03)


@pytest.mark.from_memory
def test_press_seat_grows_with_the_shaft():
    """K_3 of beta 2.3 by hand: 1 - 0.2 lg 2.3 lg(d/7.5)/lg 20 = 0.9597 at 40 mm, 0.9331 at 120 mm."""
    assert notch.geometric_size_factor(2.3, np.array([0.040, 0.120])) == approx([0.9596, 0.9331], abs=2e-4)
    assert notch.press_seat(2.3, 0.96, 0.93) == approx(2.3742, abs=1e-3)
    assert notch.press_fit_edge(700e6, 0.12)[0] > notch.press_fit_edge(700e6, 0.04)[0]
    assert list(np.isnan(notch.geometric_size_factor(2.0, np.array([7.4, 7.6, 149, 151]) * 1e-3))) == [
        True, False, False, True]
