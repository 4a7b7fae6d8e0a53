"""A handle that whirls when what holds a weight is lost, worked out by hand."""

import math
import re

import pytest

from closed_form.small_train import FAN, LEVEL, machine
from layshaft import apply, rate, read, solve
from layshaft.machine.options import named_option
from layshaft.trace.units import VELOCITY, shown
from layshaft.verdict.cautions import cautions


def test_a_handle_that_whirls_is_in_the_cautions(checkout):
    """The sack falls nearly freely: v = sqrt(2 g h), the drum turns with v/r, the handle with it."""
    verdict = rate(solve(read(checkout / "examples" / "sack-hoist")))
    text = next(c.text for c in cautions(verdict) if c.text.startswith("If pawl is lost"))
    sack = verdict.solved.machine.drives["sack"]
    free = math.sqrt(2 * 9.81 * sack.drop.value)
    speed = float(re.search(r"at ([\d.]+) m/s", text)[1])
    whirl = float(re.search(r"up to ([\d.]+) rev/min", text)[1])
    assert 0.98 * free < speed < free
    assert whirl == pytest.approx(speed / (sack.diameter.value / 2) / (2 * math.pi) * 60, rel=1e-3)


def lost(machine):
    """What becomes of the sack when its ratchet is lost."""
    return next(f for f in rate(solve(machine)).of("stages.pawl") if f.mode == "run-away")


def test_the_floor_ends_nothing_for_whoever_stands_beside_a_whirling_handle(checkout):
    """It may go back at twice the 20 rev/min it is wound at, so on its 80 mm at 0.335 m/s: free fall of 5.7 mm.

    Common practice, no single source: a handle that a load drives is kept from whirling by a second hold or a brake.
    """
    machine = read(checkout / "examples" / "sack-hoist")
    at_twice = (2 * 20 / 60 * 2 * math.pi * 0.080) ** 2 / (2 * 9.81)
    assert at_twice == pytest.approx(5.7e-3, abs=0.05e-3)
    found = lost(machine)
    assert found.verdict == "fails" and "crank" in found.hurts and "whirls" in found.note
    for drop, verdict in ((0.9 * at_twice, "holds"), (1.1 * at_twice, "fails")):
        assert lost(apply(machine, {"set": {"drives.sack.drop": f"{drop * 1e3} mm"}})).verdict == verdict


def test_a_brake_on_the_drum_keeps_the_handle_still(checkout):
    found = lost(named_option(read(checkout / "examples" / "sack-hoist"), "brake as well"))
    assert found.verdict == "holds" and "brake drum" in found.note


def test_a_handle_of_unknown_speed_is_never_called_safe(checkout):
    assert lost(apply(read(checkout / "examples" / "sack-hoist"), {"remove": ["drives.crank.speed"]})).verdict == "unknown"


def test_what_fails_tells_what_is_reached_and_what_is_allowed(checkout):
    """Twice the speed, by hand: of the handle, wound at 20 rev/min, 40; of a weight on a fan, twice sqrt(mgr/k) r.

    Twice its speed as what a train is kept at: common practice, no single source.
    """
    note = lost(read(checkout / "examples" / "sack-hoist")).note
    assert "(40.00 rev/min allowed, twice what it is wound at)" in note and "second hold nearer to it" in note
    fans = {"weak": FAN.replace("0.05", "0.002"), "strong": FAN.replace("seat: fan", "seat: out")}
    link = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
    peopled = apply(machine({"link": link}, fans), {"set": {"drives.weight.over people": "yes"}})
    found = next(f for f in rate(solve(peopled)).of("loads.strong") if f.mode == "run-away")
    runs = math.sqrt(40 * 9.81 * 0.1 / 0.052) * 0.1
    assert found.verdict == "fails" and "weak lets weight reach" in found.note
    assert f"; {shown(2 * runs, VELOCITY)} is allowed, twice the {shown(runs, VELOCITY)} it runs at." in found.note
    assert "does not count: people can be under it. Let weak hold back more" in found.note
