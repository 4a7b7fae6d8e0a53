"""A run as the drawing plays it: ratios by teeth, the drop by the wheel, winding by what it lifts, lifts by the cam."""

import json
import math

import numpy as np
import pytest
from pytest import approx

from faces.pages_help import rated
from layshaft.faces.pages.course import MOST, course_data, steady_data
from layshaft.train.motion.results import motion_of


@pytest.fixture(scope="module")
def light():
    return course_data(motion_of(rated("harbour-light").solved).course)


def test_shafts_turn_in_the_ratio_of_their_teeth(light):
    """19 to 38 teeth, 21 to 28, 120 to 16 and 120 to 15; gears turn the other way about."""
    turned = {name: values[-1] for name, values in light["turned"].items()}
    assert turned["lens lay"] / turned["main"] == approx(19 / 38, rel=1e-4)
    assert turned["bell"] / turned["main"] == approx(21 / 28, rel=1e-4)
    assert turned["fan lay"] / turned["main"] == approx(-120 / 16, rel=1e-4)
    assert turned["fan"] / turned["main"] == approx(120 / 16 * 120 / 15, rel=1e-4)


def test_the_weight_sinks_by_half_the_chain_less_what_is_wound(light):
    """A bight: the weight moves half as far as the chain runs over the wheel, d = p / sin(pi / 17)."""
    d = 0.0127 / math.sin(math.pi / 17)
    turned = {name: np.array(values) for name, values in light["turned"].items()}
    fallen = abs(turned["main"]) * d / 4 - abs(turned["wind"]) * d / 4
    height = np.array(light["heights"]["weight"])
    assert height[0] - height == approx(fallen, abs=2e-4)


def test_the_crank_turns_in_the_ratio_of_the_winding_chain(light):
    assert light["turned"]["crank"][-1] / light["turned"]["wind"][-1] == approx(25 / 19, rel=1e-4)


def test_winding_is_told_when_it_begins(light):
    """The programme winds first after five minutes."""
    assert next(m["time"] for m in light["marks"] if "first" in m["words"]) == approx(300.0)


def test_the_hammer_strikes_as_the_file_says(light):
    """Four lifts a turn, each over 80 degrees."""
    assert light["strikes"]["hammer cam"] == {"shaft": "bell", "per": 4.0, "over": approx(math.radians(80))}


def test_it_is_small_enough_to_send(light):
    assert len(light["time"]) <= MOST
    assert len(json.dumps(light)) < 300_000
    assert all(len(values) == len(light["time"]) for values in light["turned"].values())


def test_steady_running_stands_in_where_no_run_can_be():
    verdict = rated("harbour-light")
    data = steady_data(verdict.solved, "nothing is told of the run.")
    speed = float(np.mean(verdict.solved.speed["main"][0]))
    assert data["turned"]["main"] == approx(speed * np.array(data["time"]), abs=1e-4)
    assert "nothing is told of the run" in data["told"]


def test_what_a_crank_lifts_goes_up():
    """Height is the angle of the drum times half its diameter, over the parts of rope, up to the whole drop."""
    verdict = rated("sack-hoist")
    data = steady_data(verdict.solved, "")
    name, drive = next((n, d) for n, d in verdict.solved.machine.drives.items() if hasattr(d, "drop"))
    angle = np.abs(np.array(data["turned"][drive.shaft]))
    falls = drive.falls.nominal if drive.falls.known else 1
    lifted = np.minimum(angle * drive.diameter.nominal / 2 / falls, drive.drop.nominal)
    assert data["heights"][name] == approx(lifted, abs=2e-4)
