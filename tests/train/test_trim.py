"""A governed speed is a trim of the first evening, not a wish: solved once, at the nominal machine."""

import numpy as np
from pytest import approx

import layshaft

GOVERNED = {"remove": ["loads.fan.trim"], "add": {"loads.fan.governs": "spindle", "loads.fan.governed speed": "1 rpm"}}
RPM = 2 * np.pi / 60


def governed():
    return layshaft.apply(layshaft.read("examples/harbour-light"), GOVERNED)


def test_the_nominal_machine_turns_as_governed():
    solved = layshaft.solve(governed())
    assert np.abs(solved.speed["spindle"][0]) == approx(1 * RPM, rel=1e-10)
    assert solved.taken["loads.fan.trim"].given.nominal == approx(0.9979, abs=5e-5)


def test_the_trim_stays_when_other_givens_are_drawn():
    """Draws spread the speed about the governed one; a trim solved anew for each would leave none."""
    speed = np.abs(layshaft.solve(layshaft.sample(governed(), 200, 1)).speed["spindle"][0]) / RPM
    assert speed.std() > 0.05
    again = layshaft.apply(layshaft.read("examples/harbour-light"), {"set": {"loads.fan.trim": "0.99788"}})
    other = np.abs(layshaft.solve(layshaft.sample(again, 200, 1)).speed["spindle"][0]) / RPM
    assert speed == approx(other, rel=1e-4)


def test_a_speed_the_weight_cannot_reach_leaves_the_trim_unknown():
    machine = layshaft.apply(governed(), {"set": {"loads.fan.governed speed": "9 rpm", "loads.hammer cam.energy": "20 J"}})
    assert np.isnan(layshaft.solve(machine).speed["spindle"][0]).all()
