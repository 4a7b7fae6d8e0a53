"""Draws: their ends, means and spreads against the closed forms of the two distributions."""

from dataclasses import replace

import numpy as np
import pytest

from layshaft.machine import apply, read_text, sample
from layshaft.machine.sampling import deviation, doubts, draw, drawn_causes
from machine.samples import SMALL, changed

MACHINE = read_text(SMALL)
N = 200_000


def test_a_judgement_is_a_triangle_with_the_value_on_top():
    draws = sample(MACHINE, N, 1).loads["lens"].mass.value
    a, c, b = 100.0, 110.0, 125.0
    assert draws.shape == (N,)
    assert (draws >= a).all() and (draws <= b).all()
    # Mean (a + b + c) / 3, variance (a2 + b2 + c2 - ab - ac - bc) / 18: any text on distributions.
    assert draws.mean() == pytest.approx((a + b + c) / 3, abs=0.05)
    assert draws.var() == pytest.approx((a * a + b * b + c * c - a * b - a * c - b * c) / 18, rel=0.01)


def test_a_tolerance_is_normal_with_its_ends_at_two_deviations():
    draws = sample(MACHINE, N, 1).modules["winder"].mass.value
    assert draws.min() == 116.0 and draws.max() == 120.0
    # Normal distribution: 68.27 % within one deviation, 4.55 % outside two (here held at the ends).
    assert np.mean(np.abs(draws - 118) < 1) == pytest.approx(0.6827, abs=0.005)
    assert np.mean((draws == 116) | (draws == 120)) == pytest.approx(0.0455, abs=0.002)
    lopsided = sample(MACHINE, N, 1).drives["weight"].mass.value  # 96 kg, from 90 kg to 99 kg
    assert np.mean(lopsided < 96) == pytest.approx(0.5, abs=0.005)
    assert np.mean(lopsided < 93) == pytest.approx(0.1587, abs=0.005)
    assert np.mean(lopsided > 97.5) == pytest.approx(0.1587, abs=0.005)


def test_the_nominal_stays_known():
    given = sample(MACHINE, 5, 1).drives["weight"].mass
    assert given.nominal == 96.0 and given.value.shape == (5,) and str(given).startswith("96.00 kg")


def test_same_seed_same_draws_whatever_else_is_in_the_file():
    one, two, three = sample(MACHINE, 9, 7), sample(MACHINE, 9, 7), sample(MACHINE, 9, 8)
    assert (one.loads["lens"].mass.value == two.loads["lens"].mass.value).all()
    assert (one.loads["lens"].mass.value != three.loads["lens"].mass.value).any()
    other = sample(apply(MACHINE, {"set": {"drives.weight.drop": "1.4 m ± 0.1 m"}}), 9, 7)
    assert (one.loads["lens"].mass.value == other.loads["lens"].mass.value).all()


def test_one_cause_is_one_draw():
    shared = read_text(changed("118 kg ± 2 kg", "same as drives.weight.mass"))
    drawn = sample(shared, 9, 7)
    assert (drawn.modules["winder"].mass.value == drawn.drives["weight"].mass.value).all()
    assert drawn_causes(shared) == ["drives.weight.mass", "loads.lens.mass"]


def test_whole_numbers_and_what_is_settled_are_not_drawn():
    text = changed("teeth: [19, 38]", "teeth: [{value: 19, between: [17, 21]}, 38]")
    drawn = sample(read_text(text), 9, 7)
    assert drawn.stages["lens chain"].teeth[0].value == 19.0
    assert drawn.drives["weight"].drop.value == pytest.approx(1.4)


def test_no_draws_are_refused():
    with pytest.raises(ValueError, match="ask for at least 1"):
        sample(MACHINE, 0, 1)


@pytest.mark.parametrize(("how", "expected"), [
    ({}, ((25**2 - 10 * 15) / 18) ** 0.5), ({"even": True}, 25 / 12**0.5), ({"source": "measured"}, 25 / 4)])
def test_the_standard_deviation_of_a_given_is_that_of_its_draws(how, expected):
    """100 to 125 about 110. Triangle and even: GUM (JCGM 100:2008) 4.3.9 and 4.3.7; else two deviations to an end."""
    given = replace(doubts(MACHINE)["loads.lens.mass"], **how)
    assert deviation(given) == pytest.approx(expected, rel=1e-12)
    drawn = draw(given, N, np.random.default_rng(1))
    assert drawn.std() == pytest.approx(expected, rel=0.05)
