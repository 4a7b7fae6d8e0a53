"""Doubt through real machines against two general libraries: moments against `uncertainties` in a linear case,
shares of the variance against SALib on the two published functions made for that."""

import numpy as np
import pytest
from pytest import approx
from SALib.analyze import sobol as analyze
from SALib.sample import sobol as sample
from uncertainties import ufloat

import layshaft
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import doubts, ends
from layshaft.study.draws import drawn
from layshaft.study.outcomes import outcomes
from layshaft.study.shares import first_order

TEXT = """layshaft: 1
name: Two wheels
gravity: 9.81 m/s2
modules: {frame: {mass: 30 kg}}
transit: {shock: 3 g}
shafts:
  main: {module: frame, axis: x, material: C45+N, at: [0 m, 0 m, 3 m], sections: [[30 mm, 400 mm]], seats: {
    left: {at: 50 mm, bearing: "6206", drag: 0 N m, break away: 1}, one: {at: 110 mm}, two: {at: 200 mm},
    crank: {at: 380 mm}, right: {at: 350 mm, bearing: "6206", drag: 0 N m, break away: 1}}}
drives: {crank: {kind: motor, shaft: main, seat: crank, speed: 60 rpm}}
loads:
  one: {kind: flywheel, shaft: main, seat: one, mass: {value: 20 kg, between: [15 kg, 30 kg], source: assumed},
    inertia: 0.4 kg m2}
  two: {kind: flywheel, shaft: main, seat: two, mass: {value: 12 kg, between: [10 kg, 18 kg], source: advised},
    inertia: 0.4 kg m2}
"""


def triangle(given):
    """Mean and standard deviation of a triangle, from any text on probability."""
    a, b, c = *ends(given), given.nominal
    return ufloat((a + b + c) / 3, np.sqrt((a * a + b * b + c * c - a * b - a * c - b * c) / 18))


def test_moments_of_a_bearing_load_against_uncertainties():
    """On the road the left bearing carries 3 g times what of each wheel is on its side: linear in both masses.

    Static safety over what is required is rating over demand over that, so that its reciprocal is the load again.
    """
    machine = read_text(TEXT)
    draws = drawn(machine, 4096, 1, alike=0.0)
    o = outcomes(machine, draws)
    key = ("shafts.main.seats.left.bearing", "static load")
    now = next(f for f in layshaft.rate(layshaft.solve(machine)).findings if (f.part, f.mode) == key)
    mine = now.rating / now.required / o.share[o.row(key)].astype(float)
    one, two = (triangle(g) for g in doubts(machine).values())
    shaft = np.pi / 4 * 0.03**2 * 0.4 * 7850 * (350 - 200) / 300
    load = 3 * 9.80665 * (one * (350 - 110) / 300 + two * (350 - 200) / 300 + shaft)
    assert mine.mean() == approx(load.nominal_value, rel=2e-4)
    assert mine.std() == approx(load.std_dev, rel=5e-3)


PROBLEMS = {
    "Ishigami": (3, [[-np.pi, np.pi]] * 3, lambda x: np.sin(x[0]) + 7 * np.sin(x[1])**2 + 0.1 * x[2]**4 * np.sin(x[0]),
                 [0.3139, 0.4424, 0.0]),
    "Sobol g": (4, [[0, 1]] * 4, lambda x: np.prod(
        (np.abs(4 * x - 2) + np.array([0, 1, 4.5, 9])[:, None]) / (1 + np.array([0, 1, 4.5, 9])[:, None]), axis=0),
        [0.7165, 0.1791, 0.0237, 0.0072]),
}


@pytest.mark.parametrize("name", PROBLEMS)
def test_shares_of_the_variance_against_salib_and_the_published_values(name):
    """A. Saltelli and others, Global Sensitivity Analysis: The Primer, 2008, values from memory."""
    n, bounds, function, published = PROBLEMS[name]
    problem = {"num_vars": n, "names": list("abcd"[:n]), "bounds": bounds}
    x = sample.sample(problem, 4096, calc_second_order=False, seed=1)
    theirs = analyze.analyze(problem, function(x.T), calc_second_order=False, seed=1)["S1"]
    low, high = np.array(bounds).T
    mine_x = low[:, None] + (high - low)[:, None] * _points(n)
    mine, error = first_order(mine_x, function(mine_x)[None])
    assert theirs == approx(published, abs=0.01)
    assert mine[0] == approx(theirs, abs=0.015) and mine[0] == approx(published, abs=0.015)
    assert (np.abs(mine[0] - published) < 2 * error[0]).all() and (error < 0.01).all()


def _points(n):
    from scipy.stats import qmc

    return qmc.Sobol(n, rng=np.random.default_rng(3)).random(2**13).T
