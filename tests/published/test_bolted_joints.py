"""Bolted joints: U.C. Jindal, Machine Design, ch. 9 (textbook companion, read), statics and stiffness by hand."""

from math import pi

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import bolted_joint as b
from layshaft.mechanics import threads
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source

GIVEN = Source("worked by hand", obtained="given")


def rated(**changes):
    values = {"N": 800.0, "V_a": 500.0, "V_c": 300.0, "M_a": 40.0, "M_c": 25.0, "T": 30.0, "n_a": 2.0, "n_c": 2.0, "l_a": 0.1,
              "l_c": 0.06, "d": 0.010, "P": 0.0015, "S_p": 580e6, "R_e": 640e6, "T_A": 45.0, "K": 0.2, "s": 0.3, "l_g": 0.03,
              "E_m": 206e9, "mu": 0.15, "S_p_required": 1.0, "S_o_required": 1.5, "S_s_required": 1.5,
              "S_v_required": 1.5} | changes
    return b.rate(b.JointInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def margins(**changes):
    return {c.mode: float(c.margin) for c in rated(**changes).checks}


def test_jindal_example_9_7_page_269():
    """Four M16 at 60 mm from both middles, 120 MPa: printed 13.758 kN.

    The companion holds only 8.722e-3 per mm2 for the stress of 1 N; that is the eccentric load at 400 mm.
    """
    x = b.reach_along(0.12, 2.0)
    q = b.corner_spread(x, x, 2.0, 2.0)
    A = threads.stress_area(threads.flank_diameter(0.016, 0.002), threads.core_diameter(0.016, 0.002))
    worst = b.shear_force(1.0, 0.0, 4.0, 0.4, x, x, q) / A
    assert worst == approx(8.722e-3 * 1e6, rel=5e-4)
    assert 120e6 / worst == approx(13.758e3, rel=5e-4)


def test_statics_of_a_pattern():
    """Four bolts 100 by 60: moments over lever and row, twist by its polar sum of squares, each by hand."""
    assert b.bolts(2.0, 3.0) == approx(6.0)
    assert b.tilting_pull(40.0, 0.1, 2.0, 25.0, 0.06, 3.0) == approx(40 / 0.2 + 25 / 0.18)
    assert b.outside_pull(np.array([800.0, -2000.0]), 4.0, 300.0) == approx([500, 0])
    assert b.mean_pull(np.array([800.0, -2000.0]), 4.0) == approx([200, 0])
    x, y = b.reach_along(0.1, 2.0), b.reach_across(0.06, 2.0)
    assert [x, y] == approx([0.05, 0.03])
    assert [b.reach_along(0.1, 1.0), b.reach_across(0.06, 1.0)] == approx([0, 0])
    q = b.corner_spread(x, y, 2.0, 2.0)
    assert q == approx(4 * (0.05**2 + 0.03**2))
    assert b.corner_spread(x, y, 3.0, 3.0) == approx(4 * (0.05**2 + 0.03**2))
    assert b.corner_spread(x, 0.0, 3.0, 1.0) == approx(2 * 0.05**2)
    assert b.corner_spread(0.0, y, 1.0, 2.0) == approx(2 * 0.03**2)
    corners = [(sx * x, sy * y) for sx in (1, -1) for sy in (1, -1)]
    sizes = [np.hypot(500 / 4 - 30 * cy / q, 300 / 4 + 30 * cx / q) for cx, cy in corners]
    assert b.shear_force(500.0, 300.0, 4.0, 30.0, x, y, q) == approx(max(sizes))
    assert b.shear_force(500.0, 300.0, 4.0, 0.0, 0.0, 0.0, np.nan) == approx(np.hypot(500, 300) / 4)
    assert np.isnan(b.corner_spread(0.0, 0.0, 1.0, 1.0))


def test_clamping_friction_and_the_loose_bolt():
    assert b.taken_away(0.25, 800.0) == approx(600)
    assert b.friction_force(0.15, np.array([4000.0, -10.0])) == approx([600, 0])
    assert b.shank_area(0.010) == approx(78.54e-6, rel=1e-4)
    assert b.loose_stress(3000.0, 2000.0, 58e-6) == approx((3000**2 + 3 * 2000**2) ** 0.5 / 58e-6)
    assert b.slack(np.array([32.9, 33.9]), 100.0) == approx([1, 0])


def test_a_whole_joint_by_hand():
    """M10 8.8, 45 N m at K 0.2: 22.5 kN, 15.75 to 29.25 kN; shares from stiffness; four bolts 100 by 60."""
    A_s = pi / 4 * (10 - 0.938195 * 1.5) ** 2 * 1e-6
    tan = np.tan(pi / 6)
    k_m = pi * 206e9 * 0.01 * tan / (2 * np.log(5 * (0.03 * tan + 0.005) / (0.03 * tan + 0.025)))
    C, C_o = (A * 206e9 / 0.03 / (A * 206e9 / 0.03 + k_m) for A in (pi / 4 * 1e-4, A_s))
    F_P = 800 / 4 + 40 / (0.1 * 2) + 25 / (0.06 * 2)
    q = 4 * (0.05**2 + 0.03**2)
    F_V = np.hypot(500 / 4 + 30 * 0.03 / q, 300 / 4 + 30 * 0.05 / q)
    assert margins() == {
        "bolt proof load": approx(580e6 * A_s / (29250 + C * F_P), rel=1e-5),
        "joint opening": approx(15750 / ((1 - C_o) * F_P), rel=1e-5),
        "joint slip": approx(0.15 * (15750 - (1 - C_o) * 200) / F_V, rel=1e-5),
        "bolt without preload": approx(640e6 / (np.hypot(F_P, 3**0.5 * F_V) / A_s), rel=1e-5),
    }


def test_one_bolt_holds_no_twist():
    alone = margins(n_a=1.0, n_c=1.0)
    assert np.isnan([alone["joint slip"], alone["bolt without preload"]]).all()
    assert np.isfinite(margins(n_a=1.0, n_c=1.0, T=0.0)["joint slip"])


@pytest.mark.parametrize("name", ["N", "V_a", "V_c", "M_a", "M_c", "T"])
def test_more_load_never_raises_a_margin(name):
    base, more = margins(), margins(**{name: 2000.0})
    assert all(more[mode] <= base[mode] * (1 + 1e-12) for mode in base)
    assert any(more[mode] < base[mode] for mode in base)


def test_tighter_holds_better_until_it_yields():
    assert margins(T_A=60.0)["joint slip"] > margins()["joint slip"]
    assert margins(T_A=60.0)["bolt proof load"] < margins()["bolt proof load"]
    assert margins(s=0.35)["joint slip"] < margins()["joint slip"]


def test_loose_joints_are_remarked():
    with tracing() as trace:
        rated(T_A=10.0)
    assert len(trace.remarks) == 1 and trace.untraced == []


# ISO 898-1:2013, table 5, proof loads of coarse threads in N (values from memory).
@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "m10", "m20"), [
    ("4.6", 13_000, 55_100), ("4.8", 18_000, None), ("5.8", 22_000, 93_100), ("8.8", 33_700, 147_000),
    ("9.8", 37_700, None), ("10.9", 48_100, 203_000), ("12.9", 56_300, 238_000)])
def test_proof_loads_of_iso_898_1(name, m10, m20):
    for d, area, newton in ((0.010, 58.0e-6, m10), (0.020, 245e-6, m20)):
        if newton is not None:
            proof = threads.property_class(name, d).number("proof_MPa", 1e6)
            assert threads.proof_load(area, proof) == approx(newton, rel=6e-3)


# The same standard, table 3: the proof stress is this share of the yield strength (values from memory).
@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "d", "share"), [
    ("4.6", 0.010, 0.94), ("4.8", 0.010, 0.91), ("5.8", 0.010, 0.90), ("8.8", 0.010, 0.91), ("8.8", 0.020, 0.91),
    ("9.8", 0.010, 0.90), ("10.9", 0.010, 0.88), ("12.9", 0.010, 0.88)])
def test_proof_stress_as_a_share_of_yield(name, d, share):
    row = threads.property_class(name, d)
    assert row.number("proof_MPa") / row.number("Re_MPa") == approx(share, abs=0.007)


# The same standard, table 4: least breaking loads of M10 and M20 coarse in N (values from memory).
@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "d", "area", "newton"), [
    ("4.6", 0.010, 58.0e-6, 23_200), ("4.8", 0.010, 58.0e-6, 24_400), ("5.8", 0.010, 58.0e-6, 30_200),
    ("8.8", 0.010, 58.0e-6, 46_400), ("8.8", 0.020, 245e-6, 203_000), ("9.8", 0.010, 58.0e-6, 52_200),
    ("10.9", 0.010, 58.0e-6, 60_300), ("12.9", 0.010, 58.0e-6, 70_800)])
def test_breaking_loads_of_iso_898_1(name, d, area, newton):
    assert threads.property_class(name, d).number("Rm_MPa", 1e6) * area == approx(newton, rel=6e-3)


# Shigley's Mechanical Engineering Design, 9th ed., table 8-11: sizes each class is made in (values from memory).
@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "least", "most"), [
    ("4.6", 5, 36), ("4.8", 1.6, 16), ("5.8", 5, 24), ("8.8", 1.6, 36), ("9.8", 1.6, 16), ("10.9", 5, 36), ("12.9", 1.6, 36)])
def test_sizes_of_a_class(name, least, most):
    assert threads.property_class(name, least / 1e3) is not None
    assert threads.property_class(name, most / 1e3) is not None
    assert threads.property_class(name, most * 1.04 / 1e3) is None
    if least > 4:
        assert threads.property_class(name, 4.0 / 1e3) is None and threads.property_class(name, 4.1 / 1e3) is not None
