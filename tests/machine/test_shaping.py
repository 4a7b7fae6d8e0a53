"""What is offered to be added, copied or removed must be read again without an error, on every example."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from layshaft.machine import MachineErrors, apply, read
from layshaft.machine.additions import additions, free_name, option_of_addition
from layshaft.machine.kinds import BODIES, DRIVES, FIXINGS, FRAMES, LOADS, PARTS, SPRINGS, STAGES
from layshaft.machine.shaping import copy, left_alone, removal, things
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.open import open_owners

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("**/machine.yaml"))
IDS = [p.parent.name for p in EXAMPLES]


@cache
def machine(place):
    return read(place)


@pytest.mark.parametrize("place", EXAMPLES, ids=IDS)
def test_every_addition_offered_is_read_again(place):
    there = machine(place)
    offered = additions(there)
    assert len(offered) > 50
    for one in offered:
        made = apply(there, option_of_addition(there, one, "new thing", {}))
        assert any(t.name == "new thing" for t in things(made))


def test_every_kind_is_offered_somewhere():
    offered = {(a.collection, a.kind) for place in EXAMPLES for a in additions(machine(place))}
    for collection, kinds in (("drives", DRIVES), ("stages", STAGES), ("loads", LOADS), ("fixings", FIXINGS),
                              ("springs", SPRINGS), ("frames", FRAMES), ("parts", PARTS)):
        assert {(collection, kind) for kind in kinds} <= offered
    assert {(c, "") for c in ("modules", "shafts", "seats", "runs", "wants", "partings")} <= offered
    assert {(c, "") for c in ("idlers", "carries", "acts", "winding", "brakes")} <= offered
    assert {("made of", kind) for kind in BODIES} <= offered


def harbour():
    return machine(next(p for p in EXAMPLES if p.parent.name == "harbour-light"))


def addition(collection, kind=""):
    return next(a for a in additions(harbour()) if (a.collection, a.kind) == (collection, kind))


def test_a_stage_to_a_new_shaft_brings_the_shaft_and_its_open_parts():
    there = harbour()
    option = option_of_addition(there, addition("stages", "roller chain"), "dial chain", {"from": "main"})
    made = apply(there, option)
    stage = made.stages["dial chain"]
    assert (stage.from_, stage.to) == ("main", "dial chain shaft")
    assert stage.chain.state == "open"
    assert made.shafts["dial chain shaft"].axis == there.shafts["main"].axis
    owners = open_owners(solve(made))
    assert "stages.dial chain" in owners
    assert "shafts.dial chain shaft" in owners


def test_a_worm_gets_a_shaft_across():
    there = harbour()
    made = apply(there, option_of_addition(there, addition("stages", "worm"), "worm", {"from": "main"}))
    new = made.shafts[made.stages["worm"].to]
    assert sum(a * b for a, b in zip(new.axis, made.shafts["main"].axis, strict=True)) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("kind", ["coupling", "universal joint", "slip clutch", "dog clutch"])
@pytest.mark.parametrize(("first", "at", "way"), [("main", 410.0, 1.0), ("fan", 340.0, 1.0), ("lens lay", 10.0, -1.0)])
def test_a_new_shaft_in_line_goes_on_from_a_free_end(kind, first, at, way):
    """Main ends at 420 mm, 20 mm past its last seat; fan at 350, 20 mm past; the far end of lens lay is taken."""
    there = harbour()
    made = apply(there, option_of_addition(there, addition("stages", kind), "more", {"from": first}))
    assert made.shafts[first].seats["more"].at.nominal == pytest.approx(at / 1e3)
    new, solved = made.shafts[made.stages["more"].to], solve(made)
    assert new.axis == pytest.approx(tuple(way * a for a in there.shafts[first].axis))
    length = sum(step.nominal for _, step in there.shafts[first].sections) if way > 0 else 0.0
    start = solved.place[first] + length * np.array(there.shafts[first].axis)
    assert solved.place[new.name] == pytest.approx(start)


def test_a_seat_stands_in_the_widest_gap_or_where_it_is_told():
    """Seats of the main shaft: 20, 110, 215, 260, 335 and 400 mm; the widest gap is from 110 to 215 mm."""
    there = harbour()
    option = option_of_addition(there, addition("seats"), "dial", {"shaft": "main"})
    assert option["add"]["shafts.main.seats.dial"]["at"] == "162.5 mm"
    option = option_of_addition(there, addition("seats"), "dial", {"shaft": "main", "at": "1/2 in", "holds": "key"})
    assert apply(there, option).shafts["main"].seats["dial"].at.nominal == pytest.approx(0.0127)


def test_a_number_nobody_changed_is_a_guess_and_one_that_was_said_is_not():
    there = harbour()
    made = apply(there, option_of_addition(there, addition("runs"), "fair", {"years": "3"}))
    assert made.runs["fair"].time.is_guess
    assert not made.runs["fair"].years.is_guess


@pytest.mark.parametrize("name", ["", " ", "a.b", "-x", "two  blanks", "<b>", "a\"b", "a: b", "a#b", "a[0]"])
def test_names_that_cannot_be(name):
    with pytest.raises(BadInput, match="cannot be a name"):
        option_of_addition(harbour(), addition("modules"), name, {})
    with pytest.raises(BadInput, match="cannot be a name"):
        copy(harbour(), "modules.bell", name)


@pytest.mark.parametrize("name", ["Übersetzung größer", "n" * 60, "車輪", "2 nd"])
def test_odd_names_that_can_be(name):
    made = apply(harbour(), option_of_addition(harbour(), addition("modules"), name, {}))
    assert name in made.modules


def test_a_name_too_long_or_taken_is_refused_in_words():
    with pytest.raises(BadInput, match="too long for a name: 61 letters"):
        option_of_addition(harbour(), addition("modules"), "n" * 61, {})
    with pytest.raises(BadInput, match="There is a 'Lantern' among the modules already"):
        copy(harbour(), "modules.bell", "Lantern")


def test_an_answer_that_is_not_offered_is_refused():
    with pytest.raises(BadInput, match=r"'nowhere' is not offered for 'module' of a shaft\. Choose one of: winder"):
        option_of_addition(harbour(), addition("shafts"), "new", {"module": "nowhere"})


def test_free_names():
    assert free_name({"Bell": 1, "bell 2": 1}, "bell") == "bell 3"
    assert free_name({}, "bell") == "bell"


@pytest.mark.parametrize("place", EXAMPLES, ids=IDS)
def test_what_is_copied_stands_beside_what_it_came_from(place):
    there = machine(place)
    for thing in things(there):
        if thing.path.startswith("programme.") or ".idlers." in thing.path:  # one idler a strand
            continue
        made = apply(there, copy(there, thing.path, "other thing"))
        steps = thing.path.split(".")[:-1]
        assert any(t.path == ".".join([*steps, "other thing"]) for t in things(made))


@pytest.mark.parametrize("place", EXAMPLES, ids=IDS)
def test_what_is_removed_takes_with_it_what_hangs_on_it(place):
    """Modules, shafts, stages, drives and loads go without leaving a reference behind."""
    there = machine(place)
    for found in (there.modules, there.shafts, there.stages, there.drives, there.loads):
        for thing in (found or {}).values():
            made = apply(there, removal(there, thing.path))
            assert all(t.path != thing.path for t in things(made))


def test_values_that_others_took_from_what_goes_are_written_out():
    there = harbour()
    option = removal(there, "stages.winding chain")
    made = apply(there, option)
    for name in ("lens chain", "bell chain"):
        was, now = there.stages[name].efficiency, made.stages[name].efficiency
        assert (now.value, now.low, now.high, now.source) == (was.value, was.low, was.high, was.source)
    assert made.stages["bell chain"].efficiency.cause == made.stages["lens chain"].efficiency.cause


def test_a_shaft_cannot_lose_one_of_its_two_bearings():
    there = harbour()
    with pytest.raises(MachineErrors, match="it needs two"):
        apply(there, removal(there, "shafts.main.seats.left bearing"))


@pytest.mark.parametrize("path", ["shafts.nowhere", "shafts", "", "stages.lens chain.nowhere"])
def test_what_is_not_there_cannot_be_removed(path):
    with pytest.raises(BadInput):
        removal(harbour(), path)


def test_a_bearing_that_is_copied_stands_in_the_widest_gap_and_never_where_another_stands():
    """Seats of the main shaft: 20, 110, 215, 260, 335 and 400 mm; the widest gap is from 110 to 215 mm."""
    there = harbour()
    made = apply(there, copy(there, "shafts.main.seats.left bearing", "third bearing"))
    assert made.shafts["main"].seats["third bearing"].at.nominal == pytest.approx(0.1625)
    assert solve(made).loads["main"] is not None
    with pytest.raises(MachineErrors, match="'left bearing' and 'third bearing' hold it at the same place, 20 mm"):
        apply(made, {"set": {"shafts.main.seats.third bearing.at": "20 mm"}})


@pytest.mark.parametrize("place", EXAMPLES, ids=IDS)
def test_seats_that_are_left_alone_are_those_that_nothing_names_any_more(place):
    """By the text of the file: a seat that a thing left standing names stays, and so does every bearing."""
    there = machine(place)
    for found in (there.stages, there.drives, there.loads):
        for thing in (found or {}).values():
            option = removal(there, thing.path)
            seats = left_alone(there, option)
            apply(there, removal(there, thing.path, *seats))
            for path in seats:
                _, shaft, _, seat = path.split(".")
                assert not there.shafts[shaft].seats[seat].carries_shaft
                left = [s for s in there.stages.values() if s.path not in option["remove"]]
                assert not any((shaft, seat) in zip((s.from_, s.to), s.seats, strict=False) for s in left)
                left = [t for t in (*there.drives.values(), *there.loads.values()) if t.path not in option["remove"]]
                assert not any((t.shaft, t.seat) == (shaft, seat) for t in left)


def test_a_chain_leaves_the_seats_it_alone_used_and_not_one_that_is_shared():
    there = harbour()
    assert left_alone(there, removal(there, "stages.lens chain")) == [
        "shafts.main.seats.lens sprocket", "shafts.lens lay.seats.sprocket"]
    assert left_alone(there, {"remove": ["modules.nowhere"]}) == []


def test_a_shaft_that_came_with_a_chain_takes_the_seat_on_the_other_shaft_with_it():
    there = harbour()
    what = addition("stages", "roller chain")
    made = apply(there, option_of_addition(there, what, "test chain", {"from": "main", "to": "a new shaft"}))
    option = removal(made, "shafts.test chain shaft")
    assert "stages.test chain" in option["remove"]
    assert left_alone(made, option) == ["shafts.main.seats.test chain"]
    back = apply(made, removal(made, "shafts.test chain shaft", *left_alone(made, option)))
    assert [t.path for t in things(back)] == [t.path for t in things(there)]


@pytest.mark.parametrize("kind", ["crank", "pedals", "motor"])
def test_what_is_turned_from_outside_sits_outside_the_bearings_and_the_shaft_reaches_there(kind):
    """Common practice, no single source: nobody turns a handle between the bearings."""
    there = harbour()
    made = apply(there, option_of_addition(there, addition("drives", kind), "new", {"shaft": "main"}))
    shaft, before = made.shafts["main"], there.shafts["main"]
    at = shaft.seats["new"].at.nominal
    assert at > max(seat.at.nominal for seat in before.seats.values())
    assert sum(step.nominal for _, step in shaft.sections) >= at + 0.025
    assert [d.nominal for d, _ in shaft.sections] == [d.nominal for d, _ in before.sections]


def test_where_a_shaft_goes_on_at_its_end_the_widest_gap_is_taken():
    there = harbour()
    made = apply(there, option_of_addition(there, addition("drives", "motor"), "new", {"shaft": "bell lay"}))
    joined = [s.at.nominal for name, s in made.shafts["bell lay"].seats.items() if name == "coupling"]
    assert made.shafts["bell lay"].seats["new"].at.nominal < max(joined)
