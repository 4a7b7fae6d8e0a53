"""What a run over time says of a change that would mend a finding.

The outside is a weight on a drum before a fan, in closed form (any textbook on dynamics): with torque m g r, moment of
inertia J and fan k w^2 it runs up as w = w_e tanh(k w_e t / J) to w_e = sqrt(m g r / k). The twist of the shaft goes as
the torque.
"""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.faces.mending_told import mending_dict, mending_text
from layshaft.machine import apply, named_option, read
from layshaft.machine.reader import read_text
from layshaft.study.elsewhere import elsewhere, plainly
from layshaft.study.mending import finding_of, mending
from layshaft.study.with_run import rated_with_run
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from train.run_up import FAN as BRAKE
from train.run_up import FREE

MASS, GRAVITY, FAN, WHEEL = 4, 10, 0.04, 0.46
NEAR = np.arctanh(0.99)
"""A run has settled where its speed stays within 1 %."""

DRUM = FREE.replace("C45+N,", "C45+N, wind up: WINDUP,") + BRAKE + """programme: {time: 10 s}
wants: {run up: {settle time: SETTLE}}
options:
  smaller drum: {set: {drives.weight.diameter: 160 mm}}
  motor: {remove: [drives.weight], add: {drives.motor: {kind: motor, shaft: drum, seat: drum, speed: 80 rpm,
          torque: 3 N m, peak torque: 3 N m}}}
"""
DRIVEN = {"remove": ["drives.weight"], "add": {"drives.motor": {
    "kind": "motor", "shaft": "drum", "seat": "drum", "speed": "80 rpm", "torque": "3 N m", "peak torque": "3 N m"}}}
SETTLING, TWIST = ("wants.run up", "settling time from rest"), ("shafts.drum", "twist")


def drum(settle="3 s", wind_up="1 deg"):
    return read_text(DRUM.replace("SETTLE", settle).replace("WINDUP", wind_up))


def settles(diameter):
    """Time until the speed of the drum is within 1 % of what the fan lets it come to."""
    r = diameter / 2
    return (WHEEL + MASS * r**2) * NEAR / np.sqrt(FAN * MASS * GRAVITY * r)


def asked(machine, key):
    return mending(machine, finding_of(rated_with_run(machine), *key))


def of(machine, key):
    return next(f for f in rated_with_run(machine).findings if (f.part, f.mode) == key)


def test_what_a_run_alone_says_is_mended_by_the_least_drum_of_the_closed_form():
    machine = drum()
    assert next(f for f in rate(solve(machine)).findings if f.mode == SETTLING[1]).verdict == "unknown"
    found = asked(machine, SETTLING)
    assert found.finding.demand == approx(settles(0.2), rel=1e-3) and found.not_run == ""
    [change] = found.values
    assert change.ran and change.what == "drives.weight.diameter"
    diameter = float(change.steps[0].then.removesuffix(" mm")) / 1e3
    assert change.found.demand == approx(settles(diameter), rel=1e-3)
    assert settles(diameter) <= 3 < settles(diameter - 0.005)  # whole steps of 5 mm: the next smaller one does not do
    assert "All that is offered was run over time as well" in " ".join(mending_text(found).split())


@pytest.fixture(scope="module")
def twist():
    """A shaft that twists too far, and options that take torque from it."""
    machine = drum("3.4 s", "0.0025 deg")
    return machine, asked(machine, TWIST)


def test_an_answer_that_a_run_shows_to_harm_is_no_longer_harmless(twist):
    machine, found = twist
    changed = named_option(machine, "smaller drum")
    without = [{(f.part, f.mode): f for f in rate(solve(m)).findings} for m in (machine, changed)]
    assert without[1][TWIST].verdict == "holds"
    assert [k for k, f in without[1].items() if f.verdict != without[0][k].verdict] == [TWIST]  # without a run: no harm
    assert "option smaller drum" not in [c.what for c in found.changes]
    change = next(c for c in found.but if c.what == "option smaller drum")
    [harm] = change.harms
    assert (harm.now.part, harm.now.mode) == SETTLING
    assert harm.was.demand == approx(settles(0.2), rel=1e-3) and harm.now.demand == approx(settles(0.16), rel=1e-3)
    assert harm.was.verdict == "holds" and settles(0.2) < 3.4 < settles(0.16)
    assert "wanted: run up, settling time from rest" in " ".join(mending_text(found).split())


def test_what_cannot_be_run_any_more_is_said_by_name_and_is_not_harmless(twist):
    machine, found = twist
    with pytest.raises(BadInput, match="decided by motor"):
        finding_of_run(named_option(machine, "motor"))
    change = next(c for c in found.but if c.what == "option motor")
    assert not change.ran and "decided by motor" in change.not_run and not change.mends
    text = " ".join(mending_text(found).split())
    assert "so what a run says is not known: The speed of this machine is decided by motor: nothing about it to run over time; wanted: run up" in text


def finding_of_run(machine):
    from layshaft.train.motion.programme import programme_of
    from layshaft.train.motion.results import motion_of

    solved = solve(machine)
    return motion_of(solved, programme_of(solved))


def test_what_stays_harmless_is_so_with_a_run_too(twist):
    machine, found = twist
    assert found.values
    for change in found.changes:
        after = apply(machine, change.option)
        assert change.ran and of(after, TWIST).verdict == of(after, SETTLING).verdict == "holds"
        assert change.found.margin == approx(of(after, TWIST).margin)


def test_what_a_size_does_to_the_rest_is_told_with_a_run_where_there_was_one(twist):
    """The same for a size that is offered in the room of needs."""
    machine, _ = twist
    smaller, motor = ({"set": {"drives.weight.diameter": "160 mm"}}, DRIVEN)
    without = elsewhere(machine, plainly(machine), smaller, "drives.weight")
    assert without.harmless and not without.ran
    found = elsewhere(machine, rated_with_run(machine), smaller, "drives.weight")
    assert found.ran and not found.harmless and [(h.now.part, h.now.mode) for h in found.harms] == [SETTLING]
    driven = elsewhere(machine, rated_with_run(machine), motor, "drives.weight")
    assert not driven.ran and "decided by motor" in driven.not_run and not driven.harmless


def test_a_machine_that_cannot_be_run_says_so_and_is_answered_all_the_same():
    grinder = read(Path(__file__).parents[2] / "examples" / "hand-grinder")
    found = asked(grinder, ("springs.guard", "hook fatigue"))
    assert found.changes and not [c for c in found.changes if c.ran]
    assert "None of it was run over time. The speed of this machine is decided by" in " ".join(mending_text(found).split())


def test_the_same_question_has_the_same_answer(twist):
    machine, found = twist
    assert str(mending_dict(asked(machine, TWIST))) == str(mending_dict(found))
    assert mending_text(asked(machine, TWIST)) == mending_text(found)
