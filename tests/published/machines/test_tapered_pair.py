"""A bearing maker's published worked example: two tapered roller bearings back to back. From memory.

Load centres 83.8 mm apart; radial loads 1569 and 3931 N; F_ai = 0.6 F_r/Y, 1290 and 1474 N; P 3164 and 3931 N;
109 750 and 80 400 h by charts.
"""

import pytest
from pytest import approx

from layshaft.trace.units import COUNT, FORCE
from published.machines.printed import read_off, sheet, verdict

NAME = "tapered-pair"
FIRST, SECOND = (f"shafts.spindle.seats.{word} bearing.bearing" for word in ("first", "second"))
TURNS_AN_HOUR = 600 * 60


@pytest.mark.from_memory
def test_load_centres_lie_83_8_mm_apart():
    one, other = verdict(NAME).solved.loads["spindle"].centres
    assert other - one == approx(0.0838)


@pytest.mark.from_memory
@pytest.mark.parametrize(("path", "F_r", "F_i", "F_a", "P", "hours"), [
    (FIRST, 1569, 1290, 3474, 3164, 109_750), (SECOND, 3931, 1474, 1474, 3931, 80_400)])
def test_loads_and_life(path, F_r, F_i, F_a, P, hours):
    text = sheet(NAME, path, "rating life")
    for symbol, printed in (("F_r", F_r), ("F_i", F_i), ("F_a", F_a), ("P", P)):
        assert read_off(text, symbol, FORCE) == approx(printed, rel=1.5e-3), symbol
    assert read_off(text, "L_10", COUNT) / TURNS_AN_HOUR == approx(hours, rel=7e-3)
