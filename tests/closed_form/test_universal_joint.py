"""Universal joint against its kinematics traced step by step: tan phi_2 = cos(beta) tan phi_1.

The statics: the cross passes a torque along its own normal; elementary, all closed form.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import universal_joint as joint


@pytest.mark.parametrize("degrees", [5.0, 20.0, 35.0])
def test_speed_and_lead_from_a_turn_followed_in_small_steps(degrees):
    beta, phi_1 = np.radians(degrees), np.linspace(0, np.pi, 200_001)
    phi_2 = np.unwrap(np.arctan2(np.cos(beta) * np.sin(phi_1), np.cos(phi_1)))
    speed = np.gradient(phi_2, phi_1)[1:-1]
    inverse = 1 / (speed.min() * speed.max())
    assert inverse == approx(1, rel=1e-6)
    assert joint.largest_speed(3.0, beta) == approx(3 * speed.max(), rel=1e-6)
    assert joint.speed_swing(beta) == approx(speed.max() - speed.min(), rel=1e-6)
    assert joint.largest_lead(beta) == approx(np.abs(phi_1 - phi_2).max(), rel=1e-6)


@pytest.mark.from_memory
@pytest.mark.parametrize(("degrees", "swing"), [(10, 0.0306189), (20, 0.124485), (30, 0.288675)])
def test_swing_of_hooke_s_joint(degrees, swing):
    assert joint.speed_swing(np.radians(degrees)) == approx(swing, rel=1e-5)


def test_couple_of_the_yokes():
    """The torques on both shafts and the couple on the second close a triangle with the normal of the cross."""
    beta, T = np.radians(25), 40.0
    first, second = np.array([1.0, 0.0]), np.array([np.cos(beta), np.sin(beta)])
    # the yoke of the first shaft lies across the plane: the cross's normal is the second shaft's axis
    along_cross = T / (first @ second) * second
    assert np.linalg.norm(along_cross - T * first) == approx(joint.bending_couple(T, beta))


def test_no_answer_at_a_right_angle():
    beta = np.radians(np.array([90.0, 120.0, np.nan]))
    assert np.isnan(joint.speed_swing(beta)).all()
    assert np.isnan(joint.largest_speed(1.0, beta)).all()
    assert np.isnan(joint.largest_lead(beta)).all()
    assert np.isnan(joint.bending_couple(1.0, beta)).all()
    assert joint.speed_swing(0.0) == 0
    steep = np.radians(89.0)  # 1/cos is 57.30 there
    assert joint.speed_swing(steep) == approx(57.30 - np.cos(steep), rel=1e-4)
    assert joint.largest_speed(1.0, steep) == approx(57.30, rel=1e-4)
    assert joint.bending_couple(1.0, steep) == approx(57.29, rel=1e-4)
    assert np.tan(joint.largest_lead(steep)) == approx((1 - 1 / 57.30) / 2 * np.sqrt(57.30), rel=1e-4)
