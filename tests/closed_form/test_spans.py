"""Beams and posts of frames against a general frame library (PyNiteFEA), and closed forms of statics."""

import itertools

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import frame_beam, frame_column
from layshaft.mechanics import spans
from layshaft.trace.source import Source

GIVEN = Source("worked by hand", obtained="given")
E, I_TUBE, L, A_SECTION = 206e9, 9.3e-8, 0.8, 4.2e-4
AT = (0.13, 0.31, 0.47, 0.72)


def model(held, forces=(), q=0.0):
    from Pynite import FEModel3D

    m = FEModel3D()
    m.add_material("steel", E, E / 2.6, 0.3, 7850)
    m.add_section("tube", A_SECTION, I_TUBE, I_TUBE, 2 * I_TUBE)
    m.add_node("left", 0, 0, 0)
    m.add_node("right", L, 0, 0)
    m.add_member("beam", "left", "right", "steel", "tube")
    m.def_support("left", *[True] * (6 if held else 4), *([] if held else [False, False]))
    m.def_support("right", *([False] * 6 if held else [False, True, True, False, False, False]))
    for F, a in forces:
        m.add_member_pt_load("beam", "Fy", -F, a)
    if q:
        m.add_member_dist_load("beam", "Fy", -q, -q)
    m.analyze(check_statics=False)
    return m.members["beam"]


def slope(beam, x, h=1e-4):
    return -(beam.deflection("dy", x + h) - beam.deflection("dy", x - h)) / (2 * h)


@pytest.mark.parametrize("held", [False, True])
@pytest.mark.parametrize("a", [0.2, 0.55])
def test_a_force_anywhere(held, a):
    beam = model(held, [(700.0, a)])
    for x in AT:
        if held:
            found = (spans.moment_held(700.0, a, x), spans.sag_held(700.0, a, x, E, I_TUBE), spans.slope_held(700.0, a, x, E, I_TUBE))
        else:
            found = (spans.moment_between(700.0, L, a, x), spans.sag_between(700.0, L, a, x, E, I_TUBE),
                     spans.slope_between(700.0, L, a, x, E, I_TUBE))
        assert found[0] == approx(abs(beam.moment("Mz", x)), rel=1e-6, abs=1e-6)
        assert found[1] == approx(-beam.deflection("dy", x), rel=1e-5)
        assert found[2] == approx(slope(beam, x), rel=1e-3, abs=1e-7)


@pytest.mark.parametrize("held", [False, True])
def test_an_even_load(held):
    beam = model(held, q=900.0)
    for x in AT:
        if held:
            found = (spans.even_moment_held(900.0, L, x), spans.even_sag_held(900.0, L, x, E, I_TUBE),
                     spans.even_slope_held(900.0, L, x, E, I_TUBE))
        else:
            found = (spans.even_moment_between(900.0, L, x), spans.even_sag_between(900.0, L, x, E, I_TUBE),
                     spans.even_slope_between(900.0, L, x, E, I_TUBE))
        assert found[0] == approx(abs(beam.moment("Mz", x)), rel=1e-6)
        assert found[1] == approx(-beam.deflection("dy", x), rel=1e-5)
        assert found[2] == approx(slope(beam, x), rel=1e-3, abs=1e-7)


def test_loads_at_the_very_ends():
    assert spans.moment_between(700.0, L, 0.0, 0.3) == approx(0)
    assert spans.slope_between(700.0, L, 0.4, 0.0, E, I_TUBE) == approx(700 * L**2 / (16 * E * I_TUBE))
    assert spans.sag_held(700.0, L, L, E, I_TUBE) == approx(700 * L**3 / (3 * E * I_TUBE))
    assert spans.moment_held(700.0, 0.3, 0.5) == approx(0)


def test_weight_of_a_lifted_beam():
    """Statics: 3.3 kg/m and 40 kg over 0.8 m, slings 0.15 m in, half as much again."""
    q = spans.even_load(3.3, 40.0, 0.8, 9.81)
    assert q == approx((3.3 + 50) * 9.81)
    x, W = np.linspace(0, 0.8, 8001), 40 * 9.81
    for e in (0.05, 0.15, 0.3):
        worst = 0.0
        for a in np.linspace(0, 0.4, 81):  # half of the module at a from either end
            R = (3.3 * 0.8 * 9.81 + W) / 2
            moment = -3.3 * 9.81 * x**2 / 2 + R * (np.maximum(x - e, 0) + np.maximum(x - 0.8 + e, 0)) - W / 2 * (
                np.maximum(x - a, 0) + np.maximum(x - 0.8 + a, 0))
            worst = max(worst, abs(moment).max())
        assert spans.lifting_moment(3.3, 40.0, 0.8, 9.81, 1.5, e) == approx(1.5 * worst, rel=1e-4)
    assert np.isnan(spans.lifting_moment(3.3, 40.0, 0.8, 9.81, 1.5, 0.4))


def test_bending_stress_of_a_section():
    """100 N m on 40 mm of height and 9.32 cm4: 21.46 MPa."""
    assert frame_beam.outer_fibre(0.04) == approx(0.02)
    assert frame_beam.bending_stress(100.0, 4.66e-6) == approx(21.459e6, rel=1e-4)


def beam(**changes):
    values = {"M": 100.0, "w": 4e-4, "theta": 1e-3, "M_L": 60.0, "I": 9.32e-8, "h": 0.04, "R_e": 235e6, "w_zul": 1e-3,
              "theta_zul": 3e-3, "S_required": 1.5, "S_w_required": 1.0, "S_t_required": 1.0, "S_L_required": 3.0} | changes
    return {c.mode: float(c.margin) for c in frame_beam.rate(
        frame_beam.BeamInputs(**values, origins=dict.fromkeys(values, GIVEN))).checks}


def test_a_beam_by_hand_and_more_load():
    assert beam() == {"frame bending": approx(235 / 21.459, rel=1e-4), "frame sag": approx(2.5), "frame slope": approx(3.0),
                      "lifting": approx(235 / 12.876, rel=1e-4)}
    for name, value in (("M", 150.0), ("w", 6e-4), ("theta", 2e-3), ("M_L", 80.0)):
        assert all(beam(**{name: value})[mode] <= margin for mode, margin in beam().items())


def column(**changes):
    values = {"N": 2e3, "L": 0.86, "k": 2.0, "A": 2.1e-4, "I": 2.7e-8, "E": 206e9, "R_e": 235e6, "S_required": 1.5,
              "S_k_required": 3.0} | changes
    return frame_column.rate(frame_column.ColumnInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def test_slender_posts_bow_after_euler():
    """pi^2 E I over the square of the length that bows."""
    assert column().N_k == approx(np.pi**2 * 206e9 * 2.7e-8 / 1.72**2)
    assert frame_column.crushing_load(235e6, 2.1e-4) == approx(49.35e3)


def test_johnson_meets_euler_without_a_kink():
    """Both give half the yield strength where they meet, with one tangent; a post of no length yields."""
    E, R_e = 206e9, 235e6
    meet = frame_column.meeting_slenderness(E, R_e)
    assert meet == approx((2 * np.pi**2 * E / R_e) ** 0.5)
    low, at, high = (frame_column.buckling_stress(meet * f, meet, E, R_e) for f in (1 - 1e-5, 1.0, 1 + 1e-5))
    assert at == approx(R_e / 2) and high - at == approx(at - low, rel=1e-3)
    assert frame_column.buckling_stress(0.0, meet, E, R_e) == approx(R_e)
    half = frame_column.buckling_stress(meet / 2, meet, E, R_e)
    assert half == approx(R_e * (1 - 1 / 8))  # R_e - (R_e lambda / 2 pi)^2 / E with lambda_1 put in


def test_longer_posts_never_hold_more():
    loads = [float(column(L=x).N_k) for x in np.linspace(0.05, 3, 60)]
    assert all(b < a for a, b in itertools.pairwise(loads))
