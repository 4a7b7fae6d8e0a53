"""Two chains side by side against two springs found by a search; and the chain a weight hangs on."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import brentq

from layshaft.elements.roller_chain import hoist, twins
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN

MM = 1e-3


def inputs(kind, **values):
    return kind(**values, origins=dict.fromkeys(values, Source("test", obtained="given")))


TWIN = {  # invented
    "n": 2.0, "F_a": 3000.0, "F_u": 28900.0, "k_s": 4e6, "l": 0.6, "u_l": 0.0005, "r": 0.058, "delta_theta": 0.001,
    "S_x": 2.0, "S_B_required": 7.0, "S_x_required": 5.0,
}


def share_by_search(F, k, gap):
    """Stretch s of the tight one: k s + k max(s - gap, 0) = F, by bisection."""
    s = brentq(lambda s: k * s + k * max(s - gap, 0) - F, 0, F / k + gap, xtol=1e-15)
    return k * s / F


@settings(max_examples=60, derandomize=True)
@given(st.floats(10, 1e5), st.floats(1e5, 1e7), st.floats(0, 0.002), st.floats(0, 0.003))
def test_the_tighter_share_is_that_of_two_springs(F, k, u_l, turned):
    found = twins.rate(inputs(twins.TwinInputs, **{**TWIN, "F_a": F, "k_s": k, "u_l": u_l, "delta_theta": turned}))
    assert found.q_t == approx(share_by_search(F, k, u_l * 0.6 + 0.058 * turned), rel=1e-6)
    assert 0.5 <= found.q_t <= 1


def test_a_whole_rating_by_hand():
    """Gap 0.6 m x 0.05 % + 58 mm x 1 mrad = 0.358 mm; 4 kN/mm: 1432 N before the second carries; 1500 + 716 N."""
    found = twins.rate(inputs(twins.TwinInputs, **TWIN))
    assert found.F_s == approx(1432.0)
    assert found.q_t == approx(2216 / 3000)
    assert {c.mode: c.margin for c in found.checks} == approx(
        {"one chain alone": 28900 / 3000, "twin parts": 28900 / 6000, "tighter of two": 28900 / 2216})
    assert twins.length_difference(0.0005, 0.6) == approx(0.3 * MM)
    assert twins.lead(0.3 * MM, 0.058, 0.001) == approx(0.358 * MM)
    assert twins.tighter_pull(3000.0, 0.7) == approx(2100.0)


def test_the_share_of_a_third_chain_is_unknown_but_not_what_each_must_carry():
    checks = {c.mode: c.margin for c in twins.rate(inputs(twins.TwinInputs, **{**TWIN, "n": 3.0})).checks}
    assert np.isnan(checks["tighter of two"])
    assert checks["one chain alone"] == approx(28900 / 3000)
    assert twins.tighter_share(0.2, 2.0) == approx(0.8)
    unknown = twins.rate(inputs(twins.TwinInputs, **{**TWIN, "u_l": np.nan}))
    assert [bool(np.isnan(c.margin)) for c in unknown.checks] == [False, False, True]


def test_the_sheet_names_what_is_not_doubled_and_a_slack_twin():
    with tracing() as trace:
        twins.rate(inputs(twins.TwinInputs, **{**TWIN, "F_a": 1400.0}))
    said = " ".join(r.text for r in trace.remarks)
    assert trace.untraced == []
    assert "shafts are there once" in said and "hangs slack" in said
    assert twins.second_is_slack(np.array([1.0, 2.0, 0.0]), np.array([2.0, 2.0, 0.0])).tolist() == [0, 1, 0]
    assert twins.side_by_side(np.array([1.0, 2.0])).tolist() == [0, 1]


HOIST = {  # invented: 08B-1 on 17 teeth at 20 rev/min
    "p": 12.7 * MM, "z": 17.0, "omega": 20 * REV_PER_MIN, "F": 900.0, "F_u": 17800.0, "press_fit": 1.0, "n_o": 0.0,
    "hoisting": 1.0, "S_required": 1.0,
}


@pytest.mark.parametrize(("press_fit", "share"), [(1.0, 6), (0.0, 9)])
def test_a_load_chain_by_hand(press_fit, share):
    """17 x 12.7 mm x 20/min = 72 mm/s; a sixth or a ninth of the breaking load (makers' guide, read)."""
    found = hoist.rate(inputs(hoist.HoistInputs, **{**HOIST, "press_fit": press_fit}))
    assert found.v == approx(0.0719667, rel=1e-5)
    assert found.F_h == approx(17800 / share)
    assert [c.margin for c in found.checks] == approx([17800 / share / 900, 1.0])


def test_a_fast_or_unknown_load_chain_is_unknown_and_an_offset_link_fails():
    fast = hoist.rate(inputs(hoist.HoistInputs, **{**HOIST, "omega": 250 * REV_PER_MIN}))
    assert np.isnan(fast.checks[0].margin)
    cranked = hoist.rate(inputs(hoist.HoistInputs, **{**HOIST, "n_o": 1.0}))
    assert cranked.checks[1].margin == 0
    assert np.isnan(hoist.rate(inputs(hoist.HoistInputs, **{**HOIST, "n_o": np.nan})).checks[1].margin)


def test_what_is_said_of_a_loose_link():
    pairs = np.array([1.0, 0.0, 0.0]), np.array([1.0, 1.0, 0.0])
    assert hoist.slip_fit(*pairs).tolist() == [0, 1, 0]
    with tracing() as trace:
        hoist.rate(inputs(hoist.HoistInputs, **{**HOIST, "press_fit": 0.0}))
    assert "press-fit" in trace.remarks[-1].text and "second holder" in trace.remarks[0].text
