"""Torques by angle and cams against integrals worked out by hand and by a general library."""

from types import SimpleNamespace

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import quad

from layshaft.machine.kinds import Cam, TorqueByAngle
from layshaft.machine.schema import Given, missing
from layshaft.mechanics import by_angle
from layshaft.trace.units import COUNT, FORCE, LENGTH, MASS, RATIO, STIFFNESS, TORQUE
from layshaft.train.by_angle import curve_of, pieces_of

EARTH = SimpleNamespace(gravity=Given("gravity", RATIO, 9.81))


def given(value, dimension=RATIO):
    return missing("", dimension) if value is None else Given("", dimension, value)


def rows(angles, values, dimension):
    return tuple((given(a), given(v, dimension)) for a, v in zip(angles, values, strict=True))


def table(angles, torques, per_turn=None, scale=None):
    return TorqueByAngle(points=rows(angles, torques, TORQUE), per_turn=given(per_turn, COUNT), scale=given(scale))


def cam(angles, lifts, per_turn=None, mass=None, force=None, rate=None, falls_free=False):
    return Cam(lift=rows(angles, lifts, LENGTH), per_turn=given(per_turn, COUNT), mass=given(mass, MASS),
               force=given(force, FORCE), spring_rate=given(rate, STIFFNESS), falls_free=falls_free)


def test_formulas_by_hand():
    assert by_angle.work_between(2.0, 5.0, 0.4, 1.0) == approx(3.5 * 0.6)
    assert by_angle.follower_force(3.0, 9.81, 20.0, 500.0, 0.02) == approx(29.43 + 20 + 10)
    assert by_angle.cam_torque(60.0, 0.01, 0.04, 0.5, 1.1) == approx(60 * 0.03 / 0.6)
    assert by_angle.swing_of_surplus(12.0, 4.0, -2.5, 3.0) == approx(12 / (4 / 2.5 * 9))
    assert np.isnan(by_angle.swing_of_surplus(0.0, 0.0, 0.0, 3.0))


def test_energy_is_largest_where_the_torque_passes_its_mean():
    # from 6 N m down to 1 N m in 0.5 rad, the mean 2 N m is passed after 0.4 rad: a triangle of 4 N m by 0.4 rad
    assert by_angle.work_to_the_mean(6.0, 1.0, 2.0, 0.3, 0.8) == approx(4 * 0.4 / 2)
    assert by_angle.work_to_the_mean(1.0, 6.0, 2.0, 0.3, 0.8) == approx(-1 * 0.1 / 2)
    assert np.isnan(by_angle.work_to_the_mean(6.0, 3.0, 2.0, 0.3, 0.8))
    assert np.isnan(by_angle.work_to_the_mean(6.0, 6.0, 2.0, 0.3, 0.8))


def test_a_straight_line_and_its_mean_differ_most_half_way():
    """Half a turn from 2 to 5 N m and back: a piece of the 96 misses two triangles, by the integral of the line."""
    p = pieces_of(EARTH, table([0.0, np.pi], [2.0, 5.0]))
    h, slope = 2 * np.pi / 96, 3 / np.pi
    assert p.missed == approx(-quad(lambda x: slope * (x - h / 2), 0, h / 2)[0])
    assert p.missed == approx(slope * h**2 / 8)


def test_a_sine_has_the_energy_of_its_integral():
    """T = 5 + 3 sin(2 phi): mean 5 N m, energy swings by 2 x 3 / 2 J; 720 points miss some 1e-5 of it."""
    phi = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    c = curve_of(EARTH, table(phi, 5 + 3 * np.sin(2 * phi)))
    assert c.mean == approx(5, rel=1e-12)
    assert c.fluctuation == approx(3.0, rel=5e-5)
    assert (c.largest, c.smallest) == (approx(8, rel=1e-4), approx(2, rel=1e-4))
    twice = curve_of(EARTH, table(phi / 2, 5 + 3 * np.sin(2 * phi), per_turn=2, scale=1.5))
    assert (twice.mean, twice.fluctuation) == (approx(7.5), approx(2.25, rel=5e-5))


def test_a_triangle_round_the_end_of_the_turn():
    """Points that begin late go on round the end: 0 to 6 N m and back over a turn, wherever the count begins."""
    here, there = (curve_of(EARTH, table(np.array([0, np.pi]) + late, [0.0, 6.0])) for late in (0.0, 1.0))
    for c in (here, there):
        assert (c.mean, c.largest, c.smallest) == (approx(3), 6, 0)
        assert c.fluctuation == approx(2 * 3 * (np.pi / 2) / 2)  # above the mean through half a turn
    first, late = pieces_of(EARTH, table([0, np.pi], [0.0, 6.0])), pieces_of(EARTH, table([1, 1 + np.pi], [0.0, 6.0]))
    at = np.linspace(0, 2 * np.pi, 999, endpoint=False) + 0.003
    torque = [np.array(p.torques)[np.searchsorted(p.starts, np.mod(a, 2 * np.pi), side="right") - 1]
              for p, a in ((first, at - 1), (late, at))]
    assert torque[0] == approx(torque[1], abs=6 / np.pi * 2 * np.pi / 96 * 1.01)


@pytest.mark.parametrize("free", [False, True])
def test_a_cam_does_the_work_of_its_lift(free):
    """8 kg and a spring of 2 N/mm preloaded to 30 N, lifted 40 mm: what the rise takes the way down gives back."""
    load = cam(np.radians([20, 110, 140]), [0.0, 0.04, 0.0], per_turn=2, mass=8.0, force=30.0, rate=2000.0, falls_free=free)
    c = curve_of(EARTH, load)
    work = (8 * 9.81 + 30) * 0.04 + 2000 * 0.04**2 / 2
    assert c.taken == approx(work)
    assert c.mean == approx(2 * work / (2 * np.pi) if free else 0, abs=1e-12)
    assert c.largest == approx((8 * 9.81 + 30 + 80) * 0.04 / np.radians(90))
    assert c.smallest == approx(0 if free else -(8 * 9.81 + 30 + 80) * 0.04 / np.radians(30))
    p = pieces_of(EARTH, load)
    spans = np.diff([*p.starts, np.pi])
    torques = np.array(p.torques)
    assert np.sum(spans * np.maximum(torques, 0)) == approx(work) and np.sum(spans * torques) == approx(
        work if free else 0, abs=1e-12)


def test_a_cam_that_drops_at_once_and_one_that_is_not_known():
    snail = cam([0.0, 2.0, 2.0], [0.0, 0.05, 0.0], mass=4.0, falls_free=True)
    assert curve_of(EARTH, snail).mean == approx(4 * 9.81 * 0.05 / (2 * np.pi))
    assert pieces_of(EARTH, snail).torques == (approx(4 * 9.81 * 0.05 / 2), approx(0, abs=1e-12))
    assert pieces_of(EARTH, snail).missed == approx(0, abs=1e-12)  # straight lift, no spring: exact
    assert np.isnan(curve_of(EARTH, cam([0.0, 1.0], [0.0, 0.05])).mean)


@pytest.mark.parametrize("points", [37, 5000])
def test_pieces_do_the_work_of_the_curve(points):
    phi = np.linspace(0, 2 * np.pi, points, endpoint=False)
    torque = 4 + 3 * np.sin(phi) + np.where(phi > 2, 1.5, 0)
    load = table(phi, torque)
    p = pieces_of(EARTH, load)
    assert len(p.starts) <= 96 + min(points, 96)
    edges = np.array([*p.starts, 2 * np.pi])
    whole = np.interp(edges, np.linspace(0, 2 * np.pi, 200_001), np.concatenate([[0], np.cumsum(
        np.interp(np.linspace(0, 2 * np.pi, 200_000, endpoint=False) + np.pi / 200_000, phi, torque, period=2 * np.pi))
        * 2 * np.pi / 200_000]))
    assert np.concatenate([[0], np.cumsum(np.diff(edges) * p.torques)]) == approx(whole, abs=2e-4)
    assert p.missed <= 12 * (2 * np.pi / 96) ** 2 / 8  # 3 N m a radian, and 9 more where 37 points make a slope of the step
