"""Power and force of one person.

FAO Water Lifting Devices (Fraenkel 1986), table after Hofkes 1981: values from memory. Read: a public
engineering reference page on human operated machines, an encyclopedia text on human power, the
1983 curve of exhaustion by Malewicki.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import crank
from layshaft.trace.formula import tracing
from layshaft.trace.inputs import InputError
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN

GIVEN = Source("machine file", "", "given")
CASE = {"T": 39.0, "r": 0.3, "omega": 25 * REV_PER_MIN, "n_p": 1.0, "t_b": 600.0, "F_lim": 130.0,
        "c_a": 0.65, "S_required": 1.0}


def inputs(**changes):
    values = CASE | changes
    return crank.CrankInputs(**values, origins=dict.fromkeys(values, GIVEN))


@pytest.mark.from_memory
def test_power_halfway_between_the_bouts_of_the_table():
    """Halfway in the logarithm of time: the mean of two remembered rows, age 35."""
    minutes = np.sqrt([5 * 10, 10 * 15, 15 * 30, 30 * 60, 60 * 180])
    powers = crank.sustained_power(minutes * 60)
    assert powers == approx([205, 190, 170, 147.5, 105])


@pytest.mark.from_memory
def test_the_ends_of_the_table_and_beyond():
    ends = crank.sustained_power(np.array([5.0, 180.0, 4.9, 181.0, np.nan]) * 60)
    assert ends[:2] == approx([210, 75])
    assert ends[2] == ends[0]  # a shorter bout counts as five minutes: on the safe side
    assert np.isnan(ends[3:]).all()


@pytest.mark.from_memory
def test_power_at_age_20_for_five_minutes():
    """Table after Hofkes: 220 W; age 60: 180 W."""
    assert crank.sustained_power(300.0, age=20) == approx(220, rel=0.02)
    assert crank.sustained_power(300.0, age=60) == approx(180, rel=0.02)


def test_read_figures_enclose_the_table():
    """One hour: 50 to 150 W for good average fitness; ten minutes: below the 300 W of exhaustion."""
    assert 50 < crank.sustained_power(3600.0) < 150
    assert crank.sustained_power(600.0) < 300


def test_force_limits_of_the_reference_page():
    """130 N on a crank, 90 to 100 N repeated on a lever (the upper end is kept)."""
    assert crank.force_limit().number("force_N") == approx(130)
    assert crank.force_limit("pump lever repeated standing").number("force_N") == approx(100, rel=0.02)
    assert crank.force_limit().source.obtained == "read"


def test_reference_page_crank_is_at_its_limit():
    """130 N at 0.4 m and 25 rev/min: printed 136 W, good for no bout of ten minutes by arms."""
    rating = crank.rate(inputs(T=52.0, r=0.4))
    force, power = rating.checks
    assert force.margin == approx(1.0)
    assert power.demand == approx(136.0, rel=2e-3)
    assert power.rating == approx(0.65 * 200.0)
    assert power.margin == approx(0.65 * 200.0 / 136.14, rel=1e-3)


def test_two_people_share_force_and_power():
    one, two = crank.rate(inputs()), crank.rate(inputs(n_p=2.0))
    assert two.F_h == approx(65.0)
    assert two.P_h == approx(one.P_h / 2)


def test_a_bout_beyond_the_table_is_unknown_and_a_fast_crank_is_remarked():
    with tracing() as trace:
        rating = crank.rate(inputs(t_b=4 * 3600.0, omega=31 * REV_PER_MIN))
    assert np.isnan(rating.P_p.value)
    assert not trace.untraced
    assert [r.text[:23] for r in trace.remarks] == ["The crank turns faster "]
    with tracing() as trace:
        crank.rate(inputs(omega=29.9 * REV_PER_MIN))
    assert not trace.remarks


def test_fast_cranks_begin_at_30_rev_per_min():
    assert list(crank.too_fast(np.array([29.0, 31.0]) * REV_PER_MIN)) == [0, 1]


def test_nobody_at_the_crank_is_refused():
    with pytest.raises(InputError, match="n_p"):
        inputs(n_p=0.0)
