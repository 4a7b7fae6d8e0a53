"""Shares of few draws: what chance makes of nothing is no owner."""

import numpy as np

from layshaft.study.shares import first_order


def test_of_inputs_that_do_nothing_few_are_taken_for_owners_and_one_that_does_is_found():
    """Pure chance (seeded): a normal estimate lies beyond two standard errors of nothing in about 2.3 % on one side;
    the index of chance leans to that side, so up to 6 % are allowed. The one that owns all is always beyond."""
    numbers = np.random.default_rng(7)
    x = numbers.normal(size=(400, 128))
    y = numbers.normal(size=(1, 128))
    x[0] = y[0] + 0.2 * numbers.normal(size=128)
    index, error = first_order(x, y)
    beyond = index[0] > np.maximum(2 * error[0], 0)
    assert beyond[0] and index[0, 0] > 0.6
    assert beyond[1:].mean() < 0.06
