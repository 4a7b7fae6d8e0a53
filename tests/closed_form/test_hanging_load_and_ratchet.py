"""Hanging weight and ratchet against statics worked another way."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import hanging_load as hanging
from layshaft.elements import ratchet
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, STANDARD_GRAVITY

WEIGHT = {  # invented
    "m": 96.0, "g": STANDARD_GRAVITY, "i": 2.0, "gamma": 0.0, "q": 0.69, "l": 2.0, "F_u": 17800.0, "k": 4e5, "h": 0.02, "H": 1.4, "S_required": 10.0, "S_arrest_required": 5.0}
WHEEL = {  # invented
    "T": 60.0, "T_f": 60.0, "D": 0.12, "z": 24.0, "i": 1.0, "i_s": 2.0, "h_t": 0.006, "s_t": 0.010, "b": 0.012, "h_c": 0.004, "d_pin": 0.010, "n_s": 1.0,
    "l_pin": 0.010, "alpha": 12 * DEGREE, "mu": 0.15, "R_e_tooth": 305e6, "R_e_pawl": 355e6, "R_e_pin": 430e6, "W": 900.0, "D_w": 0.08,
    "j": 2.0, "S_required": 3.0}


def inputs(cls, given):
    return cls(**given, origins=dict.fromkeys(given, Source("test", obtained="given")))


def hung(**changes):
    return hanging.rate(inputs(hanging.HangingInputs, {**WEIGHT, **changes}))


def held(**changes):
    return ratchet.rate(inputs(ratchet.RatchetInputs, {**WHEEL, **changes}))


def test_arrest_by_energy():
    """At the lowest point the spring holds the energy of drop and stretch: k x^2 / 2 = W (h + x)."""
    W, h, k = 900.0, 0.05, 3e5
    x = hanging.arrest_force(W, h, k) / k
    assert k * x**2 / 2 == approx(W * (h + x), rel=1e-12)
    assert hanging.arrest_force(W, 0.0, k) == approx(2 * W)


def test_formulas_of_the_suspension():
    assert hanging.own_weight(0.7, 3.0, STANDARD_GRAVITY) == approx(2.1 * STANDARD_GRAVITY)
    assert hanging.part_pull(900.0, 3.0, 0.0) == approx(300.0)
    assert hanging.fall_speed(1.4, STANDARD_GRAVITY) == approx(5.240, rel=1e-3)
    assert hanging.parts_stiffness(2e5, 3.0) == approx(6e5)
    assert hanging.stiffness_in_line(2e5, 3e5) == approx(1.2e5)
    # one tooth of 24 on a drum of 0.24 m: 31.4 mm of chain, half of it for a weight in a bight
    assert hanging.drop_of_step(0.24, 24.0, 2.0) == approx(np.pi * 0.01 / 2)
    assert hanging.REQUIRED_OVER_PEOPLE == 10


def test_a_hanging_weight_by_hand():
    W = 96 * STANDARD_GRAVITY
    own = 0.69 * STANDARD_GRAVITY * 2
    arrested = W * (1 + np.sqrt(1 + 2 * 0.02 * 4e5 / W)) / 2 + own
    r = hung()
    assert [c.margin for c in r.checks] == approx([17800 / (W / 2 + own), 17800 / arrested])
    assert [c.mode for c in r.checks] == ["static strength of the suspension", "arrested strength of the suspension"]
    assert (r.E, r.F_limit) == approx((W * 1.4, 1780.0))


def test_an_unknown_stiffness_leaves_the_arrest_unknown():
    at_rest, arrested = hung(k=np.nan).checks
    assert np.isfinite(at_rest.margin)
    assert np.isnan(arrested.margin)


def test_formulas_of_the_ratchet():
    assert ratchet.tooth_force(60.0, 0.12, 2.0) == approx(500.0)
    assert ratchet.root_modulus(0.012, 0.010) == approx(0.2e-6)
    assert ratchet.root_stress(1000.0, 0.006, 0.2e-6) == approx(30e6)
    assert ratchet.flank_pressure(1000.0, 0.012, 0.004) == approx(1000 / 48e-6)
    assert ratchet.sheared_area(0.010, 2.0) == approx(157.08e-6, rel=1e-5)
    assert ratchet.pin_shear(1000.0, 50e-6) == approx(20e6)
    assert ratchet.shear_yield(300e6) == approx(173.2e6, rel=1e-4)
    assert ratchet.pin_moment(1000.0, 0.02, 1.0) == approx(20.0)  # overhung
    assert ratchet.pin_moment(1000.0, 0.02, 2.0) == approx(5.0)  # middle of a span
    assert np.isnan(ratchet.pin_moment(1000.0, 0.02, np.nan))
    assert ratchet.pin_bending(10.0, 0.010) == approx(101.86e6, rel=1e-4)
    assert ratchet.angle_step(24.0, 2.0) == approx(7.5 * DEGREE)
    assert ratchet.fall_back(0.08, 15 * DEGREE, 2.0) == approx(0.04 * np.pi / 12 / 2)
    assert ratchet.fall_back_energy(900.0, 0.005) == approx(4.5)
    assert ratchet.friction_angle(1.0) == approx(45 * DEGREE)


def test_a_ratchet_by_hand():
    F = 1000.0
    tau = F / (np.pi * 0.01**2 / 4)
    bending = F * 0.01 / (np.pi * 0.01**3 / 32)
    wanted = {
        "tooth bending": 305e6 / 30e6, "tooth pressure": 305e6 / (F / 48e-6), "pawl pin shear": 430e6 / np.sqrt(3) / tau,
        "pawl pin bending": 430e6 / bending, "pawl seating": 12 * DEGREE / np.arctan(0.15),
        "sense of drive": 1.0,
    }
    r = held()
    assert {c.mode: c.margin for c in r.checks} == approx(wanted)
    assert r.h == approx(0.04 * 2 * np.pi / 48 / 2)
    assert r.E_h == approx(900 * r.h)


@pytest.mark.parametrize(("missing", "modes"), [
    ("s_t", {"tooth bending"}), ("h_c", {"tooth pressure"}), ("d_pin", {"pawl pin shear", "pawl pin bending"}),
    ("l_pin", {"pawl pin bending"}), ("alpha", {"pawl seating"}), ("R_e_pawl", {"tooth pressure"}),
])
def test_a_missing_dimension_is_unknown(missing, modes):
    assert {c.mode for c in held(**{missing: np.nan}).checks if np.isnan(c.margin)} == modes


def test_both_sheets_explain_every_number_and_warn():
    with tracing() as trace:
        hung()
        held()
    assert trace.untraced == []
    assert all("Local codes" in r.text for r in trace.remarks)
    assert len(trace.remarks) == 2
