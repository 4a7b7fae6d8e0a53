"""Distances of bodies against elementary geometry, and against scipy's minimiser where shafts stand askew."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import minimize

from layshaft.mechanics.nearness import Stadia, apart, gaps, near_pairs, to_points

NO_HOLE = -np.inf


def body(middle, axis, half, radius, hole=NO_HOLE, line=(0, 0, 0), side=(0, 0, 0)):
    axis, middle, line = (np.asarray(v, float) for v in (axis, middle, line))
    return middle - line / 2, middle + line / 2, axis / np.linalg.norm(axis), half, radius, hole, side


def block(middle, size):
    """A block along x, y and z, told as one drawn out along x."""
    return body(middle, (1, 0, 0), size[0] / 2, 0.0, line=(0, size[1], 0), side=(0, 0, size[2] / 2))


def stadia(*bodies):
    return Stadia(*(np.array(column, float) for column in zip(*bodies, strict=True)))


def gap(a, b):
    return float(gaps(stadia(a), stadia(b))[0])


def test_two_discs_side_by_side():
    """In one plane: distance of the axes less both radii."""
    assert gap(body((0, 0, 0), (1, 0, 0), 0.01, 0.10), body((0, 0.3, 0.4), (1, 0, 0), 0.01, 0.15)) == approx(0.25)


def test_two_discs_behind_one_another():
    """Overlapping as seen along the axis: what is left between the faces."""
    assert gap(body((0, 0, 0), (0, 0, 1), 0.01, 0.10), body((0.05, 0, 0.05), (0, 0, -1), 0.015, 0.10)) == approx(0.025)


def test_two_discs_past_each_other_are_as_far_as_their_edges():
    """Clear both ways: Pythagoras, 30 mm across and 40 mm along."""
    a, b = body((0, 0, 0), (1, 0, 0), 0.01, 0.10), body((0.07, 0.23, 0), (1, 0, 0), 0.02, 0.10)
    assert gap(a, b) == approx(0.05)


def test_overlap_is_told_by_the_shorter_way_out():
    a, b = body((0, 0, 0), (1, 0, 0), 0.02, 0.10), body((0.03, 0.02, 0), (1, 0, 0), 0.02, 0.10)
    assert gap(a, b) == approx(-0.01)
    there, needed = apart(stadia(a), stadia(b))
    assert (there[0], needed[0]) == approx((0.03, 0.04))


def test_crossing_shafts_are_as_far_as_their_axes_less_both_radii():
    a, b = body((0, 0, 0), (1, 0, 0), 0.3, 0.015), body((0.1, 0.05, 0.06), (0, 1, 0), 0.3, 0.010)
    assert gap(a, b) == approx(0.06 - 0.025, abs=1e-6)


def test_a_shaft_that_ends_before_another():
    """The flat end of one against the round side of the other."""
    a, b = body((0, 0, 0), (1, 0, 0), 0.3, 0.015), body((0, 0, 0.2), (0, 0, 1), 0.1, 0.010)
    assert gap(a, b) == approx(0.1 - 0.015, abs=1e-6)


def test_crossing_shafts_that_meet_are_told_how_deep():
    a, b = body((0, 0, 0), (1, 0, 0), 0.3, 0.015), body((0, 0, 0.02), (0, 1, 0), 0.3, 0.010)
    assert gap(a, b) == approx(-0.005)


def test_a_strand_beside_a_shaft():
    """A point against a straight line from end to end, in the plane across both: 3-4-5."""
    strand = body((0, 0.2, 0.15), (1, 0, 0), 0.005, 0.006, line=(0, -0.4, 0.3))
    assert gap(strand, body((0, 0.2, 0.4), (1, 0, 0), 0.1, 0.02)) == approx(0.25 * 0.8 - 0.026)
    far = body((0, -0.3, 0.3), (1, 0, 0), 0.1, 0.02)
    assert gap(strand, far) == approx(0.3 - 0.026)  # its end is nearest
    crossing = body((0, 0.2, 0.15), (1, 0, 0), 0.005, 0.006, line=(0, 0.1, 0))
    assert gap(strand, crossing) < 0


def test_a_gear_inside_a_ring():
    ring = body((0, 0, 0), (1, 0, 0), 0.02, 0.15, hole=0.10)
    assert gap(ring, body((0, 0.04, 0), (1, 0, 0), 0.02, 0.03)) == approx(0.03)
    assert gap(ring, body((0, 0.09, 0), (1, 0, 0), 0.02, 0.03)) == approx(-0.02)
    assert np.isnan(gap(ring, body((0, 0, 0), (0, 1, 0), 0.30, 0.01)))  # across the ring: not told


@pytest.mark.parametrize("seed", range(12))
def test_askew_cylinders_against_a_minimiser(seed):
    """scipy's SLSQP moves a point inside each body until the two are nearest."""
    random = np.random.default_rng(seed)
    a = body(random.uniform(-0.1, 0.1, 3), random.normal(size=3), 0.08, 0.02)
    b = body(random.uniform(0.2, 0.4, 3), random.normal(size=3), 0.06, 0.05)

    def inside(p, c):
        off = p - c[0]
        along = off @ c[2]
        return [c[3] - along, c[3] + along, c[4] ** 2 - (off @ off - along**2)]

    found = minimize(lambda v: np.sum((v[:3] - v[3:]) ** 2), np.concatenate([a[0], b[0]]), method="SLSQP",
                     constraints=[{"type": "ineq", "fun": lambda v: inside(v[:3], a)},
                                  {"type": "ineq", "fun": lambda v: inside(v[3:], b)}],
                     options={"ftol": 1e-14, "maxiter": 500})
    assert found.success
    assert gap(a, b) == approx(np.sqrt(found.fun), abs=2e-5)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_moving_and_turning_everything_changes_nothing(seed):
    random = np.random.default_rng(seed)
    n = 8
    axis = random.normal(size=(n, 3))
    axis[: n // 2] = (1.0, 0.0, 0.0)
    axis /= np.linalg.norm(axis, axis=1)[:, None]
    first = random.uniform(-0.3, 0.3, (n, 3))
    rest = random.uniform(0.01, 0.1, n), random.uniform(0.01, 0.1, n), np.full(n, NO_HOLE)
    turn, _ = np.linalg.qr(random.normal(size=(3, 3)))
    away = random.uniform(-5, 5, 3)
    here = Stadia(first, first, axis, *rest)
    there = Stadia(first @ turn.T + away, first @ turn.T + away, axis @ turn.T, *rest)
    pairs = np.triu_indices(n, 1)
    one, other = (gaps(s.of(pairs[0]), s.of(pairs[1])) for s in (here, there))
    assert one == approx(other, abs=1e-6)


def test_boxes_leave_no_near_pair_out():
    """Every pair nearer than the reach is among those the boxes let through."""
    random = np.random.default_rng(1)
    n = 60
    axis = random.normal(size=(n, 3))
    axis /= np.linalg.norm(axis, axis=1)[:, None]
    first = random.uniform(0, 1, (n, 3))
    bodies = Stadia(first, first, axis, random.uniform(0.01, 0.1, n), random.uniform(0.01, 0.1, n),
                    np.full(n, NO_HOLE))
    i, j = near_pairs(bodies, 0.02, np.ones((n, n), bool))
    kept = set(zip(i.tolist(), j.tolist(), strict=True))
    a, b = np.triu_indices(n, 1)
    near = gaps(bodies.of(a), bodies.of(b)) < 0.02
    assert {(int(x), int(y)) for x, y in zip(a[near], b[near], strict=True)} <= kept
    assert len(kept) < len(a) / 2


def test_blocks_side_by_side_and_corner_to_corner():
    """Faces apart by 50 mm; edges by 3-4-5; corners by 2-3-6-7; and 30 mm deep in one another."""
    one = block((0, 0, 0), (0.2, 0.2, 0.2))
    assert gap(one, block((0.25, 0.05, 0), (0.2, 0.2, 0.2))) == approx(0.05)
    assert gap(one, block((0, 0.24, 0.23), (0.2, 0.2, 0.2))) == approx(0.05)
    assert gap(one, block((0.22, 0.23, 0.26), (0.2, 0.2, 0.2))) == approx(0.07)
    deep = block((0.05, 0.17, 0.06), (0.2, 0.2, 0.2))
    assert gap(one, deep) == approx(-0.03)
    there, needed = apart(stadia(one), stadia(deep))
    assert (there[0], needed[0]) == approx((0.17, 0.20))


def test_a_shaft_beside_a_block():
    """Alike: from the axis to the nearest edge, 3-4-5 less the radius; across: face less radius; and a point inside."""
    one = block((0, 0, 0), (0.4, 0.2, 0.3))
    assert gap(one, body((0, 0.13, 0.19), (1, 0, 0), 0.5, 0.01)) == approx(0.05 - 0.01)
    assert gap(one, body((0, 0.13, 0), (1, 0, 0), 0.5, 0.01)) == approx(0.03 - 0.01)
    assert gap(one, body((0, 0.02, 0.10), (1, 0, 0), 0.5, 0.01)) == approx(-0.06)
    assert gap(one, body((0.1, 0, 0.19), (0, 1, 0), 0.5, 0.01)) == approx(0.04 - 0.01, abs=1e-6)
    points = np.array([[0.21, 0.12, 0.17], [0.1, 0.05, 0.1]])
    assert to_points(stadia(one, one), points) == approx([np.sqrt(0.01**2 + 0.02**2 + 0.02**2), 0.0])


@pytest.mark.parametrize("seed", range(8))
def test_turned_blocks_against_sampled_points(seed):
    """Two blocks drawn out along one axis, each turned about it: the nearest of a fine grid of points on both."""
    random = np.random.default_rng(seed)
    grid = np.linspace(-1, 1, 61)
    rim = np.array([(s, t) for s in grid for t in grid if max(abs(s), abs(t)) == 1])
    bodies, points = [], []
    for middle in ((0, 0, 0), (0, random.uniform(0.12, 0.3), random.uniform(-0.2, 0.2))):
        angle, long, broad = random.uniform(0, np.pi), random.uniform(0.02, 0.08), random.uniform(0.02, 0.08)
        u, v = np.array([0, np.cos(angle), np.sin(angle)]), np.array([0, -np.sin(angle), np.cos(angle)])
        bodies.append(body(middle, (1, 0, 0), 0.05, 0.0, line=2 * long * u, side=broad * v))
        points.append(np.asarray(middle) + rim[:, :1] * long * u + rim[:, 1:] * broad * v)
    sampled = np.linalg.norm(points[0][:, None] - points[1][None], axis=2).min()
    found = gap(*bodies)
    assert found == approx(sampled, abs=2e-3) if found > 0 else sampled < 5e-3
    wide = [(*b[:3], b[3], 0.01, *b[5:]) for b in bodies]  # with an edge rounded by 10 mm all round
    assert gap(*wide) == approx(found - 0.02)


def test_points_beside_a_cylinder():
    """Beside it, beyond its end, and inside."""
    one = stadia(*[body((0, 0, 0), (0, 0, 1), 0.1, 0.05)] * 3)
    points = np.array([[0.15, 0, 0], [0, 0.08, 0.14], [0, 0, 0]])
    assert to_points(one, points) == approx([0.10, 0.05, 0.0])


def test_what_reaches_through_the_rim_of_a_ring_meets_it():
    """A ring from 100 to 150 mm: what stands in its hole and ends inside is clear, what goes on through the rim is not.

    By hand: 5 mm of half height and 60 mm off the middle leave 35 mm; a block 60 by 80 mm reaches 50 mm to its corners.
    """
    ring = body((0, 0, 0), (1, 0, 0), 0.02, 0.15, hole=0.10)
    assert gap(ring, body((0, 0, 0), (1, 0, 0), 0.01, 0.005, line=(0, 0.12, 0))) == approx(0.035)
    assert gap(ring, block((0, 0, 0), (0.02, 0.06, 0.08))) == approx(0.05)
    assert gap(body((0, 0, 0), (1, 0, 0), 0.01, 0.005, line=(0, 0.5, 0)), ring) < 0
    assert gap(ring, body((0, 0.05, 0.05), (1, 0, 0), 0.01, 0.005, line=(0, 0.5, 0))) < 0
    assert gap(ring, block((0, 0, 0), (0.02, 0.30, 0.02))) < 0
