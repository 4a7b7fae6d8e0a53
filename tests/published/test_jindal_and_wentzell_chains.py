"""Jindal, Machine Design, ch. 30, and Wentzell, Machine Design, ch. 14. Read in textbook companions."""

from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.trace.units import FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

MM = 1e-3


def test_jindal_example_30_3_page_779():
    """21 teeth, pitch 9.52 mm, 1000 rev/min: 3.332 m/s; 2557.8 W: 767.6 N; 42 teeth, 50 pitches: 1254.01 mm."""
    v = chain.chain_speed(9.52 * MM, 21.0, 1000 * REV_PER_MIN)
    assert v == approx(3.332, rel=1e-4)
    assert chain.pull_from_power(2557.8, v) == approx(767.6, rel=1e-4)
    X_0 = chain.links_exact(50 * 9.52 * MM, 9.52 * MM, 21.0, 42.0)
    assert chain.chain_length(X_0, 9.52 * MM) == approx(1254.01 * MM, rel=1e-5)


def test_jindal_example_30_5_page_780():
    """17 and 34 teeth, pitch 15.88 mm, 40 pitches: 1678.25 mm."""
    X_0 = chain.links_exact(40 * 15.88 * MM, 15.88 * MM, 17.0, 34.0)
    assert chain.chain_length(X_0, 15.88 * MM) == approx(1678.25 * MM, rel=1e-5)


def test_wentzell_example_14_4_page_321():
    """5.31 hp, 12 teeth, 1/2 in, 1800 rev/min: 194.62 lbf. The book rounds 63 025 to 63 000."""
    v = chain.chain_speed(0.5 * INCH, 12.0, 1800 * REV_PER_MIN)
    assert v == approx(900 * FOOT / 60, rel=1e-12)
    assert chain.pull_from_power(5.31 * HORSEPOWER, v) == approx(194.62 * POUND_FORCE, rel=2e-3)
