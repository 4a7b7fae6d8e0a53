"""Errors of the train's own shape, against geometry followed step by step.

Two polygons with a taut strand of whole links between them are simulated pin by pin: nothing of the
formulas enters. A wheel off its axis and a bent joint are followed through a turn.
"""

import functools

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.roller_chain import geometry as chain
from layshaft.mechanics import transmission_error as error
from layshaft.mechanics import universal_joint

TURN = 2 * np.pi * np.arange(4096) / 4096


def harmonic(values, k):
    """Amplitude of the k-th harmonic over one period of even samples."""
    return 2 * abs(np.fft.fft(values)[k]) / len(values)


@functools.cache
def two_polygons(z_1, z_2, a, steps=32):
    """Angle by which the second sprocket lags an even ratio, through one link, for a pitch of 1.

    The strand is taut between two regular polygons of pins: its ends are the pins where the outer common
    tangent touches, and the way along it, sides and span, stays a whole number of links.
    """
    R_1, R_2 = (1 / (2 * np.sin(np.pi / z)) for z in (z_1, z_2))
    i = j = np.arange(-3, 4)  # the tangent touches near the top

    def strand(phi_1, phi_2):
        """Links from pin 0 of the first wheel, over the tangent, to pin 0 of the second."""
        A = R_1 * np.exp(1j * (np.pi / 2 + phi_1 + 2 * np.pi * i / z_1))
        B = a + R_2 * np.exp(1j * (np.pi / 2 + phi_2 + 2 * np.pi * j / z_2))
        for m, one in enumerate(A):
            for n, two in enumerate(B):
                u = (two - one) / abs(two - one)
                if ((np.conj(u) * (A - one)).imag < 1e-12).all() and ((np.conj(u) * (B - one)).imag < 1e-12).all():
                    return abs(two - one) - i[m] + j[n]
        raise AssertionError("no common tangent")

    whole, lag = round(strand(0.0, 0.0)), []
    for s in np.arange(steps) / steps:
        low, high = -2 * np.pi * (s + 0.6) / z_2, -2 * np.pi * (s - 0.6) / z_2
        for _ in range(40):
            phi_2 = (low + high) / 2
            low, high = (phi_2, high) if strand(-2 * np.pi * s / z_1, phi_2) > whole else (low, phi_2)
        lag.append(phi_2 + 2 * np.pi * s / z_2)
    return np.array(lag)


@pytest.mark.parametrize(("z_1", "z_2", "a", "k", "within"), [
    (12, 12, 10.5, 1, 0.003), (12, 12, 10.25, 1, 0.01), (12, 12, 10.25, 2, 0.03), (11, 23, 9.7, 1, 0.002),
    (19, 38, 30.2, 1, 0.001), (19, 38, 30.2, 2, 0.001)])
def test_two_polygons_and_a_taut_strand(z_1, z_2, a, k, within):
    """What is left is the strand's lean to and fro, which the line of action does not have."""
    lag = harmonic(two_polygons(z_1, z_2, a), k) * z_2 / (2 * np.pi)
    e = [error.polygon_advance(1.0, z, float(k)) for z in (z_1, z_2)]
    d = [chain.pitch_diameter(1.0, float(z)) for z in (z_1, z_2)]
    span = chain.free_span(a, chain.lean(d[0], d[1], a))
    assert error.pair_advance(e[0], e[1], span, 1.0, float(k)) == approx(lag, rel=within)


def test_equal_polygons_whole_pitches_apart_turn_evenly():
    assert harmonic(two_polygons(12, 12, 10.0), 1) < 1e-12
    e = error.polygon_advance(1.0, 12.0, 1.0)
    assert error.pair_advance(e, e, 10.0, 1.0, 1.0) < 1e-9


@pytest.mark.parametrize(("z", "k"), [(6, 1), (11, 1), (19, 2), (38, 3)])
def test_one_pin_on_its_arc(z, k):
    """R sin(phi) between two pins less an even advance of one pitch, p = 12.7 mm."""
    p, s = 12.7e-3, (np.arange(4096) + 0.5) / 4096 - 0.5
    way = p / (2 * np.sin(np.pi / z)) * np.sin(2 * np.pi * s / z) - s * p
    assert error.polygon_advance(p, float(z), float(k)) == approx(harmonic(way, k), rel=2e-6)


def test_two_phases_as_arrows():
    e_1, e_2, span, p, k = 0.9, 0.4, 26.3, 2.0, 2
    arrows = abs(e_1 - e_2 * np.exp(2j * np.pi * k * span / p))
    assert error.pair_advance(e_1, e_2, span, p, float(k)) == approx(arrows, rel=1e-12)


def test_a_wheel_off_its_axis_by_half_of_what_the_dial_shows():
    """Arm of a taut strand on an eccentric circle: r + e cos(phi); the dial reads from r - e to r + e."""
    r, off = 40.0, 0.03
    strand = r + off * np.cos(TURN)
    dial = np.sqrt(r**2 - (off * np.sin(TURN)) ** 2) + off * np.cos(TURN)
    advance = np.cumsum(strand - strand.mean()) * TURN[1]
    e = error.runout_advance(dial.max() - dial.min())
    assert e == approx(harmonic(advance, 1), rel=1e-5)
    assert error.angle_error(e, r) == approx(harmonic(advance, 1) / r, rel=1e-5)


@pytest.mark.parametrize("degrees", [4.0, 20.0, 35.0])
def test_bent_joint_twice_a_turn(degrees):
    beta = np.radians(degrees)
    lead = np.unwrap(np.arctan2(np.cos(beta) * np.sin(TURN), np.cos(TURN))) - TURN
    assert universal_joint.second_order(beta) == approx(harmonic(lead, 2), rel=1e-6)


def test_no_bent_joint_at_a_right_angle():
    assert np.isnan(universal_joint.second_order(np.pi / 2))
    assert universal_joint.second_order(np.radians(89.0)) == approx(0.965690, abs=1e-5)  # tan(44.5 deg) squared


def test_swing_and_time_of_an_order_from_the_motion_itself():
    theta, n, omega = 2e-3, 7.5, 0.3
    t = np.linspace(0, 2 * np.pi / omega, 400_001)
    angle = omega * t + theta * np.sin(n * omega * t)
    speed = np.gradient(angle, t)[1:-1]
    assert error.order_swing(theta, n) == approx((speed.max() - speed.min()) / omega, rel=1e-5)
    late = np.interp(np.linspace(0.1, 1.7, 200_001), angle, t) - np.linspace(0.1, 1.7, 200_001) / omega
    assert error.order_time(theta, omega) == approx(late.max(), rel=1e-4)


def test_two_masses_share_an_error_by_their_momentum():
    """Angles with J_a phi_a + J_b phi_b = 0 and phi_a - phi_b = 1."""
    J_a, J_b = 0.7, 4.9
    phi = np.linalg.solve([[J_a, J_b], [1.0, -1.0]], [0.0, 1.0])
    assert error.inertia_share(J_a, J_b) == approx(phi[0], rel=1e-12)
    assert error.tooth_advance(54.0) == 27.0
