"""Fillet welds: U.C. Jindal, Machine Design, ch. 12 (textbook companion, read); Shigley, ch. 9.

Shigley's Tables 9-1 and 9-2 give the lines' moments for each pattern; here all patterns are one sum of
lines, so the printed closed forms are a check from outside.
"""

from math import pi

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import fillet_weld as w
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, POUND_FORCE

GIVEN = Source("worked example", obtained="given")
MM = 1e-3


def rated(**changes):
    values = {"N": 0.0, "V_a": 0.0, "V_c": 0.0, "M_a": 0.0, "M_c": 0.0, "T": 0.0, "h": 6 * MM, "n_d": 2.0, "n_b": 0.0,
              "n_r": 0.0, "d": 100 * MM, "b": 100 * MM, "R_w": 480e6, "R_e": 235e6, "S_required": 1.0} | changes
    return w.rate(w.WeldInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def test_jindal_example_12_1_page_347():
    """Four welds of 60 mm, leg 8 mm, 100 kN: printed 73.7 MPa with 0.707 for the root of a half."""
    found = w.stress_along(100e3, w.throat(8 * MM), w.weld_length(4.0, 60 * MM, 0.0, 0.0, 0.0), 0.0, 0.0, 1.0)
    assert found == approx(73.7e6, abs=0.05e6)


def test_jindal_example_12_4_page_348():
    """Two lines of 100 mm, 100 mm apart, 6 kN at 200 mm: 150 N/mm of line, leg 3 mm at 80 MPa after rounding up.

    The companion prints the rounded leg; its own steps give 90 and 120 N/mm, so 2.65 mm.
    """
    tau = rated(V_c=6e3, T=6e3 * 0.2, h=2**0.5 * MM).tau  # throat of 1 mm
    assert tau == approx(150e6, rel=1e-3)
    assert 150 / 80 * 2**0.5 == approx(2.65, abs=0.005)


def test_jindal_example_12_6_page_350():
    """A ring of 50 mm radius, 16 kN at 300 mm: bending 611.15 and shear 50.93 N/mm of line.

    The book then takes the greatest shear stress of the two; Shigley, followed here, their vector.
    """
    moment, L = w.moment_along(0.0, 0.1, 0.0, 0.1, 1.0), w.weld_length(0.0, 0.1, 0.0, 0.1, 1.0)
    assert pi * 0.05**3 == approx(moment) and 2 * pi * 0.05 == approx(L)
    assert w.stress_out(0.0, MM, 1.0, 16e3 * 0.3, 0.1, moment, 0.0, 0.1, moment) == approx(611.15e6, rel=1e-4)
    found = rated(V_a=16e3, M_a=4800.0, h=2**0.5 * MM, n_d=0.0, n_r=1.0)
    assert found.tau == approx((611.15e6**2 + 50.93e6**2) ** 0.5, rel=1e-4)


def test_shigley_problem_9_5():
    """Solutions manual, read: 2 in lines 2 in apart, leg 5/16 in, force at 7 in, 20 kpsi: 2.17 kip."""
    kip = 1e3 * POUND_FORCE
    tau = rated(V_a=1 * kip, T=7 * INCH * kip, h=5 / 16 * INCH, d=2 * INCH, b=2 * INCH).tau
    assert 20e3 * POUND_FORCE / INCH**2 / tau == approx(2.17, abs=0.01)


@pytest.mark.from_memory
def test_moments_of_shigley_tables_9_1_and_9_2():
    """Line: d^3/12. Two lines: d (3 b^2 + d^2)/6, and d^3/6. Rectangle: (b + d)^3/6, and d^2 (3 b + d)/6. Ring: 2 pi r^3."""
    d, b = 0.07, 0.04
    both = lambda n_d, n_b, n_r, b: (w.moment_along(n_d, d, n_b, b, n_r), w.moment_across(n_d, d, n_b, b, n_r))  # noqa: E731
    assert w.polar(*both(1.0, 0.0, 0.0, 0.0)) == approx(d**3 / 12)
    assert both(2.0, 0.0, 0.0, b)[0] == approx(d**3 / 6)
    assert w.polar(*both(2.0, 0.0, 0.0, b)) == approx(d * (3 * b**2 + d**2) / 6)
    assert w.polar(*both(2.0, 2.0, 0.0, b)) == approx((b + d) ** 3 / 6)
    assert both(2.0, 2.0, 0.0, b)[0] == approx(d**2 * (3 * b + d) / 6)
    assert both(2.0, 2.0, 0.0, b)[1] == approx(b**2 * (3 * d + b) / 6)
    assert w.polar(*both(0.0, 0.0, 1.0, d)) == approx(2 * pi * (d / 2) ** 3)


@pytest.mark.parametrize(("n_d", "n_b"), [(1, 2), (2, 1), (1, 1), (0, 2), (0, 1)])
def test_a_single_line_stands_in_the_middle(n_d, n_b):
    """Second moments of the lines cut into small pieces: one line of a kind lies on the axis, two at both ends."""
    d, b = 0.07, 0.04
    s = ((np.arange(2000) + 0.5) / 2000 - 0.5)[:, None]
    off = {0: [], 1: [0.0], 2: [-0.5, 0.5]}
    along, across = np.array(off[n_d])[None, :], np.array(off[n_b])[None, :]
    x, y = np.concatenate([(d * s + 0 * along).ravel(), (d * across + 0 * s).ravel()]), np.concatenate(
        [(b * along + 0 * s).ravel(), (b * s + 0 * across).ravel()])
    dl = np.concatenate([np.full(2000 * n_d, d / 2000), np.full(2000 * n_b, b / 2000)])
    assert w.moment_along(float(n_d), d, float(n_b), b, 0.0) == approx((dl * x**2).sum(), rel=1e-5, abs=1e-12)
    assert w.moment_across(float(n_d), d, float(n_b), b, 0.0) == approx((dl * y**2).sum(), rel=1e-5, abs=1e-12)


def test_every_part_of_the_load_by_the_sum_of_small_pieces():
    """A rectangle of lines cut into 4000 pieces: forces and moments of the stresses give the load back."""
    d, b, t = 0.07, 0.04, 0.004
    s = (np.arange(1000) + 0.5) / 1000 - 0.5
    x = np.concatenate([d * s, d * s, np.full(1000, d / 2), np.full(1000, -d / 2)])
    y = np.concatenate([np.full(1000, b / 2), np.full(1000, -b / 2), b * s, b * s])
    dA = t * np.repeat([d, d, b, b], 1000) / 1000
    I_a, I_c, L = (dA * x**2).sum() / t, (dA * y**2).sum() / t, dA.sum() / t
    assert [w.moment_along(2.0, d, 2.0, b, 0.0), w.moment_across(2.0, d, 2.0, b, 0.0)] == approx([I_a, I_c], rel=1e-5)
    assert w.weld_length(2.0, d, 2.0, b, 0.0) == approx(L)
    J = I_a + I_c
    assert w.stress_along(500.0, t, L, 30.0, b, J) == approx(500 / dA.sum() + 30 * y.max() / (t * J))
    assert w.stress_across(300.0, t, L, 30.0, d, J) == approx(300 / dA.sum() + 30 * x.max() / (t * J))
    out = w.stress_out(200.0, t, L, 40.0, d, I_a, 25.0, b, I_c)
    assert out == approx(200 / dA.sum() + 40 * x.max() / (t * I_a) + 25 * y.max() / (t * I_c))
    assert w.throat_stress(3.0, 4.0, 12.0) == approx(13.0)


@pytest.mark.from_memory
def test_permitted_stress():
    """AISC as in Shigley's Table 9-4: 0.30 of the electrode's strength, 0.40 of the plate's yield; the less counts."""
    assert [w.permitted_in_weld(480e6), w.permitted_in_plate(235e6)] == approx([144e6, 94e6])
    assert rated(V_a=1e3).checks[0].rating == approx(94e6)
    assert rated(V_a=1e3, R_w=300e6).checks[0].rating == approx(90e6)


def test_no_line_and_a_line_bent_across_are_unknown():
    assert np.isnan(w.weld_length(0.0, 1.0, 0.0, 1.0, 0.0))
    assert w.weld_length(0.0, 1.0, 2.0, 3.0, 0.0) == approx(6.0)
    assert np.isnan(float(rated(n_d=1.0, b=0.0, M_c=5.0).S))
    assert np.isfinite(float(rated(n_d=1.0, b=0.0, M_a=5.0).S))
    assert np.isnan(float(rated(n_d=0.0, n_b=1.0, M_a=5.0).S))
    assert np.isfinite(float(rated(n_d=0.0, n_b=1.0, M_c=5.0).S))


def test_more_load_never_raises_the_margin():
    base = {"N": 500.0, "V_a": 400.0, "V_c": 300.0, "M_a": 20.0, "M_c": 10.0, "T": 15.0}
    for name in base:
        assert rated(**base | {name: base[name] * 1.3}).S < rated(**base).S, name
