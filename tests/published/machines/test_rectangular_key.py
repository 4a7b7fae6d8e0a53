"""Khurmi and Gupta, A Textbook of Machine Design, Example 13.1: key of a 50 mm shaft. From memory."""

import pytest
from pytest import approx

from layshaft.trace.units import LENGTH, STRESS, TORQUE
from published.machines.printed import read_off, sheet

NAME = "rectangular-key"
KEY = "shafts.shaft.seats.hub.key"


def flank():
    return sheet(NAME, KEY, "flank pressure")


@pytest.mark.from_memory
def test_torque_of_the_shaft():  # 1.03 x 10^6 N mm
    assert read_off(flank(), "T", TORQUE) * 1e3 == approx(1.03e6, rel=2e-3)


@pytest.mark.from_memory
def test_size_of_the_key():  # 16 mm wide, 10 mm thick
    text = flank()
    assert (read_off(text, "b", LENGTH) * 1e3, read_off(text, "h", LENGTH) * 1e3) == approx((16, 10))


@pytest.mark.from_memory
def test_crushing_length():
    """117.7 mm is printed: 70 MPa on half the height and the whole length.

    Ours sits 6 mm deep in the shaft (4 mm left for the hub, not 5) and counts at most 1.3 d of its length (65 mm,
    not 120): brought to the book's area it is the same pressure.
    """
    text = flank()
    at_book = read_off(text, "p", STRESS) * (4 / 5) * (read_off(text, "l_tr", LENGTH) / 0.120)
    assert at_book * 0.120 / 70e6 * 1e3 == approx(117.7, abs=0.15)


@pytest.mark.from_memory
def test_shearing_length():  # 61.31 mm at 42 MPa, whole length
    text = sheet(NAME, KEY, "key shear")
    at_book = read_off(text, "tau", STRESS) * read_off(text, "l_tr", LENGTH) / 42e6
    assert at_book * 1e3 == approx(61.31, abs=0.1)
