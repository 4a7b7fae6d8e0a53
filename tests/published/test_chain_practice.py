"""Chain makers' published guidance, read: hoisting duty, wear limits, tooth jump, joint pressure."""

import numpy as np
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain import wheel
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, STANDARD_GRAVITY

GIVEN = Source("test", obtained="given")


def value(item, factor=1.0):
    return chain.practice(item).number("value", factor)


def test_back_tension_of_the_published_example():
    """1100 kgf, 13 teeth, 120 deg of wrap: 38.5 kgf. Engaged teeth 4.33, rounded down to 4."""
    K = chain.engaged_teeth(13.0, 120 * DEGREE)
    assert K == 4
    phi = chain.tooth_angle(13.0)
    assert phi == approx((17 - 64 / 13) * DEGREE)
    assert chain.back_pull(1100.0, phi, 13.0, K, 1.0) == approx(38.5, rel=2e-3)
    assert np.isnan(chain.back_pull(1100.0, phi, 13.0, K, 0.0))


def test_what_tooth_jump_is_said_to_need_is_what_moves_the_published_formula():
    """The same source: the back tension asked for goes with the pull, and falls with every tooth that engages more."""
    def margin(slack=40.0, pull=1100.0, z=13.0, wrap=120 * DEGREE):
        values = {"z": z, "theta": wrap, "F_1": pull, "F_2": slack, "hoisting": 1.0, "S_required": 1.0}
        found = wheel.rate(wheel.WheelInputs(**values, origins=dict.fromkeys(values, GIVEN)))
        return next(c for c in found.checks if c.mode == "tooth jump")

    first = margin()
    for better in (margin(slack=50.0), margin(pull=900.0), margin(z=17.0), margin(wrap=150 * DEGREE)):
        assert better.margin > first.margin
    for word in ("slack side", "tight side", "more teeth", "more wrap"):
        assert word in first.note
    assert "guide" not in first.note  # a guide is not in the formula: it would not move the margin


def test_hoisting_duty():
    """A ninth of the ultimate with a slip-fit link, a sixth with press-fit links, up to 50 m/min."""
    limit = value("hanging speed", 1 / 60)
    shares = value("working pull press fit"), value("working pull slip fit")
    assert limit == approx(50 / 60)
    assert chain.hoisting_share(*shares, 0.0, 0.5, limit, 1.0) == approx(1 / 9, rel=1e-6)
    assert chain.hoisting_share(*shares, 1.0, 0.5, limit, 1.0) == approx(1 / 6, rel=1e-6)
    assert np.isnan(chain.hoisting_share(*shares, 1.0, 0.84, limit, 1.0))
    assert np.isnan(chain.hoisting_share(*shares, 1.0, 0.5, limit, 0.0))
    assert np.isnan(chain.hoisting_share(*shares, np.nan, 0.5, limit, 1.0))
    assert chain.hoisting_pull(1 / 9, 17800.0) == approx(1977.8, rel=1e-4)


def test_wear_limits():
    """60 teeth 3 %, 100 teeth 2 %, fixed centres 1.5 %; 150 teeth on fixed centres 200/150 %."""
    limits = value("wear elongation", 0.01), value("wear elongation times teeth", 0.01), value(
        "wear elongation fixed", 0.01)
    assert chain.permitted_elongation(60.0, 0.0, *limits) == approx(0.030)
    assert chain.permitted_elongation(100.0, 0.0, *limits) == approx(0.020)
    assert chain.permitted_elongation(60.0, 1.0, *limits) == approx(0.015)
    assert np.isnan(chain.permitted_elongation(60.0, np.nan, *limits))
    assert chain.permitted_elongation(150.0, 1.0, *limits) == approx(0.01333, rel=1e-3)


def test_joint_pressure_of_16b():
    """4000 N on 210.7 mm2: 18.98 N/mm2."""
    assert chain.joint_pressure(4000.0, 210.7e-6) == approx(18.98e6, rel=1e-3)


def test_factors_of_hand_hoists_and_slow_conveyors():
    """MIL-H-904J: load chain 5, hand chain 3. A chain maker's design guide: 6 to 10, elastic limit 0.65."""
    found = [value(i) for i in ("load chain of a hand hoist", "hand chain of a hand hoist",
                                "slow conveyor chain least", "slow conveyor chain most", "elastic limit")]
    assert found == [5, 3, 6, 10, 0.65]


def test_own_weight_of_an_08b_span():
    """0.69 kg/m, 1 m span, 30 mm sag, level: 28 N at either end (q g l^2 / 8 f)."""
    low = chain.slack_pull_low(0.69, STANDARD_GRAVITY, 1.0, 0.030, 0.0)
    assert low == approx(28.19, rel=1e-3)
    assert chain.slack_pull_top(low, 0.69, STANDARD_GRAVITY, 1.0, 0.0) == approx(0.69 * STANDARD_GRAVITY / 0.24)
