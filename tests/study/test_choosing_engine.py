"""Joining against brute force over every combination, and fronts against two packages and the definition."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from moocore import is_nondominated
from paretoset import paretoset

from layshaft.study.choosing.fronts import front, rounded
from layshaft.study.choosing.joining import ENOUGH, Axis, Column, Condition, Grid, every, join

NUMBERS = st.integers(0, 6)


@st.composite
def grids(draw):
    """Two to five axes with one or two columns each, columns reckoned from them, and tests on any of all these."""
    axes = []
    for a in range(draw(st.integers(2, 5))):
        n = draw(st.integers(1, 6))
        columns = {f"a{a}.{k}": np.array(draw(st.lists(NUMBERS, min_size=n, max_size=n)), float)
                   for k in range(draw(st.integers(1, 2)))}
        axes.append(Axis(f"a{a}", f"part {a}", [f"{i}" for i in range(n)], [{} for _ in range(n)], columns))
    names = [name for axis in axes for name in axis.columns]
    columns = []
    for k in range(draw(st.integers(0, 2))):
        needs = draw(st.lists(st.sampled_from(names), min_size=1, max_size=3))
        columns.append(Column(f"c{k}", tuple(needs), lambda *v: sum(v) * 1.0))
        names.append(f"c{k}")
    tests = []
    for k in range(draw(st.integers(0, 4))):
        needs = draw(st.lists(st.sampled_from(names), min_size=1, max_size=4))
        asked = draw(st.integers(1, 12))
        unknown = draw(st.booleans())  # NaN passes
        tests.append(Condition(f"test {k}", tuple(needs),
                          lambda *v, asked=asked, unknown=unknown: np.where(unknown & (sum(v) == 0), np.nan,
                                                                            sum(v) / asked)))
    return Grid(axes, columns, tests)


def value(grid, row, name):
    for axis in grid.axes:
        if name in axis.columns:
            return axis.columns[name][row[axis.name]]
    column = next(c for c in grid.columns if c.name == name)
    return column.value(*(value(grid, row, need) for need in column.needs))


def by_brute_force(grid):
    found, refused = set(), dict.fromkeys((t.words for t in grid.conditions), 0)
    for row in every(grid):
        shares = {t.words: float(t.share(*(value(grid, row, n) for n in t.needs))) for t in grid.conditions}
        failing = [words for words, share in shares.items() if share < ENOUGH]
        if not failing:
            found.add(tuple(row.values()))
        for words in failing:
            refused[words] += 1
    return found, refused


@settings(max_examples=300, deadline=None, derandomize=True)
@given(grids())
def test_nothing_that_passes_is_lost_and_nothing_else_is_kept(grid):
    joined = join(grid)
    names = [axis.name for axis in grid.axes]
    rows = list(zip(*(joined.table.rows[name].tolist() for name in names), strict=True))
    expected, refused = by_brute_force(grid)
    assert len(rows) == len(set(rows)) and set(rows) == expected
    # every refused combination is told of once, by a test that really refuses it
    assert sum(k.count for k in joined.killed) + len(rows) == grid.size
    assert all(0 < k.count <= refused[k.words] for k in joined.killed)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(grids())
def test_the_nearest_refused_row_is_refused_by_that_share(grid):
    for killed in join(grid).killed:
        test = next(t for t in grid.conditions if t.words == killed.words)
        share = float(test.share(*(value(grid, killed.row, need) for need in test.needs)))
        assert share == pytest.approx(killed.nearest) and share < ENOUGH


def by_definition(values):
    """A row stays where none is as good everywhere and better somewhere, nor is alike and stands before it."""
    keep = []
    for i, row in enumerate(values):
        others = np.delete(values, i, axis=0)
        beats = (others <= row).all(axis=1) & (others < row).any(axis=1)
        keep.append(not beats.any() and not (values[:i] == row).all(axis=1).any())
    return np.array(keep, bool)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.integers(1, 4).flatmap(lambda m: st.lists(st.lists(NUMBERS, min_size=m, max_size=m), min_size=1,
                                                    max_size=40)))
def test_the_front_is_that_of_the_definition(rows):
    values = np.array(rows, float)
    assert front(values).tolist() == by_definition(values).tolist()


def shell(n, m, seed=4):
    """A hard set: most of it is on the front."""
    rng = np.random.default_rng(seed)
    x = np.abs(rng.normal(size=(n, m)))
    return 1 - x / np.linalg.norm(x, axis=1)[:, None] + 0.02 * rng.random((n, 1))


@pytest.mark.parametrize("values", [
    np.random.default_rng(1).random((60_000, 4)), np.random.default_rng(2).integers(0, 25, (60_000, 3)) * 1.0,
    shell(8_000, 4), shell(8_000, 2)], ids=["easy", "many alike", "hard", "hard in two"])
def test_the_front_of_large_sets_is_that_of_two_packages(values):
    found = front(values)
    assert (found == is_nondominated(rounded(values))).all()
    assert (found == paretoset(rounded(values), ["min"] * values.shape[1], distinct=True)).all()


def test_a_sum_in_another_order_is_no_trade_off():
    assert 0.1 + 0.2 + 0.3 != 0.3 + 0.2 + 0.1
    assert front(np.array([[0.1 + 0.2 + 0.3, 1.0], [0.3 + 0.2 + 0.1, 1.0]])).tolist() == [True, False]
