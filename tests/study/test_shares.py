"""Shares of the variance against the published indices of two functions made for that, and a general library.

Ishigami function, a = 7, b = 0.1: S = 0.3139, 0.4424, 0. Sobol's g function with a = 0, 1, 4.5, 9, 99, 99, 99, 99:
S = 0.716, 0.179, 0.0237, 0.0072, 0.0001 (A. Saltelli and others, Global Sensitivity Analysis: The Primer, 2008,
values from memory; both follow in closed form from the functions, which is done here again).
"""

import numpy as np
import pytest
from scipy.stats import qmc, sobol_indices, uniform

from layshaft.study.shares import first_order, ranks

N = 2**13


def points(dimensions, seed=3):
    return qmc.Sobol(dimensions, rng=np.random.default_rng(seed)).random(N).T


def ishigami(x):
    return np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])


def test_ishigami():
    x = (points(3) * 2 - 1) * np.pi
    index, error = first_order(x, ishigami(x)[None])
    a, b = 7, 0.1
    whole = a**2 / 8 + b * np.pi**4 / 5 + b**2 * np.pi**8 / 18 + 0.5
    closed = [(1 + b * np.pi**4 / 5) ** 2 / 2 / whole, a**2 / 8 / whole, 0]
    assert closed == pytest.approx([0.3139, 0.4424, 0], abs=1e-4)
    assert index[0] == pytest.approx(closed, abs=0.01)
    assert (error[0] < 0.02).all()
    library = sobol_indices(func=ishigami, n=N, dists=[uniform(-np.pi, 2 * np.pi)] * 3, rng=np.random.default_rng(1))
    assert index[0] == pytest.approx(library.first_order, abs=0.02)


def test_sobol_g():
    a = np.array([0, 1, 4.5, 9, 99, 99, 99, 99])
    x = points(8)
    y = np.prod((np.abs(4 * x - 2) + a[:, None]) / (1 + a[:, None]), axis=0)
    index, _ = first_order(x, y[None])
    parts = 1 / 3 / (1 + a) ** 2
    closed = parts / (np.prod(1 + parts) - 1)
    assert closed[:5] == pytest.approx([0.716, 0.179, 0.0237, 0.0072, 0.0001], abs=1e-3)
    assert index[0] == pytest.approx(closed, abs=0.012)


def test_a_sum_shares_by_variance_and_what_does_not_matter_owns_nothing():
    x = points(4)
    y = np.stack([3 * x[0] + 2 * x[1] + x[2], np.full(N, 5.0), x[3] > 0.7])
    index, error = first_order(x, y.astype(float))
    assert index[0] == pytest.approx([9 / 14, 4 / 14, 1 / 14, 0], abs=0.01)
    assert (index[1] == 0).all() and (error[1] == 0).all()
    assert index[2] == pytest.approx([0, 0, 0, 1], abs=0.1)  # one class straddles the step


def test_ranks_of_equal_values_are_equal():
    assert ranks(np.array([[3.0, 1.0, 1.0, 2.0]]))[0] == pytest.approx([0.875, 0.25, 0.25, 0.625])
