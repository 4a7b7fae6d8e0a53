"""Two pawls on one winch: each must hold all of it alone, by elementary statics. The machine is invented.

That a second holder is reckoned for the whole load, since it is there for the loss of the first: common practice,
no single source.
"""

from math import pi

import pytest
from pytest import approx

from closed_form.test_winch_by_hand import WEIGHT, case, machine, of
from layshaft import rate, read_text, solve
from layshaft.train.arrest import arrest_drop
from layshaft.verdict.cautions import cautions

TOOTH = "face: 12 mm, tooth depth: 6 mm, root thickness: 9 mm, pin diameter: 12 mm, pin shears: 2, material: C45+N"
PAWL = "kind: ratchet, from: {0}, to: frame, seats: [second, second], teeth: 24, pawls: 1, diameter: 120 mm, " + TOOTH
SEAT = "{at: 340 mm, key: 8x7x25, keys: 1, key steel: C45+N, hub steel: C45+N}"


def with_second(shaft):
    """The winch of the other test with one pawl more, on a seat of its own."""
    text = machine().replace("face: 12 mm, material: C45+N", TOOTH)
    lines = text.replace("parts:\n", f"  spare: {{{PAWL.format(shaft)}}}\nparts:\n").split("\n")
    row = next(i for i, line in enumerate(lines) if line.startswith(f"  {shaft}: {{module"))
    return read_text("\n".join([*lines[:row + 1], f"    second: {SEAT},", *lines[row + 1:]]), "machine.yaml")


@pytest.fixture(scope="module")
def beside():
    return rate(solve(with_second("crank")))


def at(verdict, shaft, seat, title):
    return abs(verdict.solved.seat_torque[shaft][seat][case(verdict, title), 0])


def test_on_the_same_shaft_it_bears_what_the_first_bears(beside):
    """At rest 25.26 N m of the weight through 20 to 1; leaning on the crank 210 N m of the push besides."""
    at_rest = WEIGHT * 0.103 / 20
    assert at(beside, "crank", "second", "at rest, weights hanging, spare alone") == approx(at_rest, rel=1e-9)
    assert at(beside, "crank", "second", "leaning on crank, spare alone") == approx(210 + at_rest, rel=1e-9)
    assert at(beside, "crank", "stop", "at rest, weights hanging") == approx(at_rest, rel=1e-9)
    assert at(beside, "crank", "stop", "at rest, weights hanging, spare alone") == 0


def test_its_checks_and_its_key_are_answered(beside):
    for mode in ("tooth bending", "tooth pressure", "pawl pin shear"):
        one, other = of(beside, "stages.stop", mode), of(beside, "stages.spare", mode)
        assert one.verdict != "unknown" and other.demand == approx(one.demand, rel=1e-12)
    key = of(beside, "shafts.crank.seats.second.key", "flank pressure")
    assert key.demand == approx(2 * (210 + WEIGHT * 0.103 / 20) / (0.025 * 0.017 * 0.003), rel=1e-9)
    assert key.hurts == of(beside, "shafts.crank.seats.stop.key", "flank pressure").hurts != ""


def test_on_the_drum_it_bears_twenty_times_as_much():
    verdict = rate(solve(with_second("drum")))
    assert at(verdict, "drum", "second", "at rest, weights hanging, spare alone") == approx(WEIGHT * 0.103, rel=1e-9)
    assert at(verdict, "drum", "second", "leaning on crank, spare alone") == approx(
        210 * 20 + WEIGHT * 0.103, rel=1e-9)


def test_the_weight_falls_by_the_longest_step_of_the_two():
    """15 degrees at the drum of 206 mm are 27 mm; the same step at the crank is a twentieth of that."""
    read = with_second("drum")
    assert float(arrest_drop(read, read.drives["load"])) == approx(2 * pi / 24 * 0.103, rel=1e-12)


def test_a_second_pawl_is_the_end_of_its_caution(beside):
    [text] = [c.text for c in cautions(beside) if "can kick back" in c.text]
    assert "if stop and spare both fail while winding" in text and "second pawl" not in text
    lost = {f.part: f for f in beside.findings if f.mode == "run-away"}
    assert lost["stages.stop"].note == "spare holds load at once" and lost["stages.spare"].note == "stop holds load at once"
