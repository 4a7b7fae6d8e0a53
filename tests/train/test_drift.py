"""Slow drift of the rate: the square-law brake in thinner air, and drag at both ends of its doubt.

Ideal gas at constant pressure, written out again here.
"""

from pathlib import Path

import numpy as np
from pytest import approx

import layshaft
from layshaft.train.motion.drift import drifts

LIGHT = layshaft.read(Path(__file__).parents[2] / "examples" / "harbour-light")


def test_thin_air_lets_it_run_faster_as_solving_it_anew_says():
    found = drifts(layshaft.solve(LIGHT), "spindle")
    air = next(d for d in found if d.what == "air alone")
    assert air.rate[0] < 0 < air.rate[1]
    level = layshaft.solve(LIGHT).speed["spindle"][0, 0]
    for t, rate in zip((0.0, 35.0), air.rate, strict=True):
        density = 1.20 * (273.15 + 17.5) / (273.15 + t)
        other = layshaft.solve(layshaft.apply(LIGHT, {"set": {"venue.air density": {"value": f"{density!r} kg/m3"}}}))
        assert rate == approx(other.speed["spindle"][0, 0] / level - 1, abs=1e-9)
    # A governor that takes nearly everything: speed as the root of the density turned over, to within what friction eats.
    assert air.rate[1] == approx(np.sqrt((273.15 + 35) / (273.15 + 17.5)) - 1, rel=0.35)


def test_drag_at_its_high_end_slows():
    drag = next(d for d in drifts(layshaft.solve(LIGHT), "spindle") if d.what.startswith("drag"))
    assert drag.rate[0] < 0 < drag.rate[1]


def test_without_temperatures_nothing_is_said_of_air():
    bare = layshaft.apply(LIGHT, {"remove": ["venue.coldest"]})
    assert not [d for d in drifts(layshaft.solve(bare), "spindle") if d.what == "air alone"]
