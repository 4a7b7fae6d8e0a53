"""Modules that outgrow their size, and cranks out of a standing person's reach. Sums of places, by hand.

Heights of people: MIL-STD-1472G, appendix B, 5th percentile woman: shoulder 123.0 cm, fingertip 55.1 cm (read in
NUREG-0700 rev. 3, table 11.4); overhead grip 71.1 in, after Pheasant, Bodyspace, 1996. The machines are invented.
"""

import pytest

from closed_form.small_train import DRIVES, FAN, LEVEL, machine
from layshaft import apply, rate, read, read_text, solve
from layshaft.project.answers import answers
from layshaft.project.draft import ROOM, draft
from layshaft.verdict.cautions import cautions
from layshaft.verdict.remarks import remarks
from layshaft.verdict.standing import GRIP, SHOULDER

LINK = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
HOIST = {"crank": DRIVES["crank"].replace("seat: in", "seat: extra")}


def checked(height):
    read_ = machine({"link": LINK}, {"fan": FAN}, drives=HOIST)
    return rate(solve(apply(read_, {"add": {"shafts.first.at": ["0 m", "0 m", height]}})))


def told(verdict, path):
    return [r.text for p, r in remarks(verdict) if p == path and ("small standing" in r.text or "take up" in r.text)]


@pytest.mark.parametrize(("height", "words"), [
    ("1.0 m", ""), ("1.22 m", ""), ("1.24 m", "above the shoulder"), ("0.56 m", ""), ("0.54 m", "below the hanging hands")])
def test_a_crank_is_turned_between_shoulder_and_hanging_hands(height, words):
    found = told(checked(height), "drives.crank")
    assert ([words in text for text in found] == [True]) if words else not found


@pytest.mark.parametrize(("height", "out"), [("1.55 m", False), ("1.56 m", True), ("2.2 m", True)])
def test_a_handle_out_of_grip_is_a_caution(height, out):
    """The handle stands 250 mm above its axis: 1.556 m of it and no more are within 1.806 m."""
    assert GRIP == pytest.approx(71.1 * 0.0254, abs=0.5e-3) and SHOULDER == 1.23
    verdict = checked(height)
    assert any("grips no higher than 1806 mm" in c.text for c in cautions(verdict)) == out
    assert bool(told(verdict, "drives.crank")) != out  # told once
    assert not [f for f in verdict.findings if f.verdict == "fails" and "reach" in f.mode]


def test_nothing_is_told_of_a_height_that_is_not_known():
    verdict = rate(solve(machine({"link": LINK}, {"fan": FAN}, drives=HOIST)))
    assert not told(verdict, "drives.crank") and not any("grips no higher" in c.text for c in cautions(verdict))


def test_a_module_against_its_size(checkout):
    """Corn Sheller: its wheel's axis is 0.9 m up and the wheel 0.26 m in radius: 1.16 m, and the stand says 1.00 m."""
    file = read(checkout / "examples" / "corn-sheller")
    [text] = told(rate(solve(file)), "modules.stand.size")
    assert "1160 mm from the floor (up to wheel), where the file gives 1000 mm" in text and "along" not in text
    larger = apply(file, {"set": {"modules.stand.size[2]": "1.17 m"}})
    assert not told(rate(solve(larger)), "modules.stand.size")
    noted = apply(file, {"set": {"modules.stand.size[2]": {"value": "1 m", "source": "decided", "note": ROOM}}})
    assert "the file gives 1000 mm (the room there is)" in told(rate(solve(noted)), "modules.stand.size")[0]


def test_a_draft_keeps_the_room_that_was_answered():
    """2 m high and 0.6 m wide: the size of its one frame, with where it comes from."""
    text = draft(answers({"what": "a sign", "speed": "1 rpm", "torque": "6 N m", "run": "10 min", "driver": "crank",
                          "room": "2 m high, 0.6 m wide"}))
    size = read_text(text, "machine.yaml").modules["frame"].size
    assert [one.nominal for one in size] == [0.6, 0.6, 2.0]
    assert {(one.source, one.note) for one in size} == {("decided", ROOM)}
