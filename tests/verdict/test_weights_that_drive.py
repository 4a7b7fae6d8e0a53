"""A weight that is to drive and is held against the frame: it never comes down. Statics; the machines are invented.

A pawl to the frame holds one way of turning; the way a hoist's pawl holds is the way the weight falls: common practice,
no single source.
"""

import pytest

from closed_form.small_train import DRIVES, FAN, LEVEL, machine
from layshaft import rate, read, solve
from layshaft.trace.errors import BadInput
from layshaft.train.motion.programme import programme_of
from layshaft.verdict.cautions import cautions
from layshaft.verdict.driving import to_drive

LINK = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
PAWL = "{{kind: {0}, from: {1}, to: frame, seats: [hold, hold]{2}}}"
TEETH = ", teeth: 24, pawls: 1, diameter: 120 mm, material: C45+N"
CRANK = {"crank": DRIVES["crank"].replace("seat: in", "seat: extra")}
BAND = "{kind: band brake, shaft: first, seat: hold, put on by: spring, strong way: forward, force: 100 N}"
STEADY = "{kind: steady, shaft: second, seat: fan, torque: 5 N m, break away: 1, inertia: 0.1 kg m2}"


def ratchet(shaft="first"):
    return PAWL.format("ratchet", shaft, TEETH)


def findings(verdict, mode):
    return [f for f in verdict.findings if f.mode == mode]


def checked(stages, loads, drives=CRANK):
    return rate(solve(machine({"link": LINK} | stages, loads, drives=drives)))


@pytest.mark.parametrize("stop", [ratchet(), PAWL.format("one-way hub", "first", ", listing: open"), ratchet("second")])
def test_a_crank_and_a_pawl_on_the_shaft_of_a_weight_that_drives(stop):
    """The pawl that holds when the hand lets go holds in the run too, and nothing of the run is known."""
    verdict = checked({"stop": stop}, {"fan": FAN})
    [found] = findings(verdict, "free to drive")
    assert (found.part, found.place, found.verdict) == ("stages.stop", "weight", "fails")
    assert "stop holds weight the way it falls, so fan never turns" in found.note
    assert "endless loop, which crank winds while it drives" in found.note
    assert "a ratchet between the shaft it is wound on and the driven one" in found.note
    assert ("lift stop for the run only while something else holds weight" in found.note) == ("ratchet, from" in stop)
    assert {f.verdict for f in findings(verdict, "run-away")} <= {"fails", "unknown"}
    [kick] = findings(verdict, "kick-back")
    assert kick.verdict == "holds" and "keeps it from driving fan" in kick.note
    assert not any("second pawl" in c.text for c in cautions(verdict))


def test_a_brake_that_is_on_by_itself_holds_it_as_a_pawl_does():
    [found] = findings(checked({}, {"fan": FAN, "stop": BAND}), "free to drive")
    assert found.part == "loads.stop" and found.verdict == "fails"
    assert not findings(checked({}, {"fan": FAN, "stop": BAND.replace("spring", "hand")}), "free to drive")


def test_a_pawl_on_a_train_that_the_weight_leads():
    [found] = findings(checked({"stop": ratchet()}, {"fan": FAN}, drives={}), "free to drive")
    assert found.verdict == "fails" and "take" not in found.note
    assert not findings(checked({}, {"fan": FAN}, drives={}), "free to drive")


def test_the_advice_fits_what_the_weight_is_for():
    [found] = findings(checked({}, {"fan": FAN}), "kick-back")
    assert found.verdict == "fails" and "endless loop" in found.note and "Put a ratchet on the shaft" not in found.note
    [found] = findings(checked({}, {}), "kick-back")
    assert found.verdict == "fails" and "Put a ratchet on the shaft the weight is wound on." in found.note


def test_what_resists_on_a_hoist_is_drag():
    """A weight on a train with other work is taken to drive it; drag of bearings and stages is no work."""
    [found] = findings(checked({"stop": ratchet()}, {"rest": STEADY}), "free to drive")
    assert "only lifted and let down, give what resists as `drag`" in found.note
    assert not findings(checked({"stop": ratchet()}, {"rest": STEADY.replace("5 N m", "0 N m")}), "free to drive")
    dragged = LINK.replace("break away: 1", "break away: 1, drag: 1 N m")
    assert not findings(checked({"stop": ratchet(), "link": dragged}, {}), "free to drive")


@pytest.mark.parametrize("name", ["sack-hoist", "sluice-winch", "planter-hoist", "mill-hoist", "harbour-light"])
def test_hoists_and_loops_are_right_as_they_are(checkout, name):
    solved = solve(read(checkout / "examples" / name))
    assert all(not one.held_by and not one.crank for one in to_drive(solved).values())


def test_the_run_says_what_to_change():
    with pytest.raises(BadInput, match="If weight is to drive the machine, hang weight in an endless loop, which"):
        programme_of(checked({"stop": ratchet()}, {"fan": FAN}).solved)
