"""What stands there only for something that goes: told by names in the model, not by the code that finds it."""

from pathlib import Path

import pytest

from layshaft.faces.changing import change_file
from layshaft.machine.additions import addition, option_of_addition
from layshaft.machine.leftovers import leftovers, take_out
from layshaft.machine.options import apply
from layshaft.machine.reader import read, read_text
from layshaft.machine.shaping import things
from layshaft.trace.errors import BadInput

ROOT = Path(__file__).parents[2]
BEGUN = """layshaft: 1
name: begun
gravity: 9.81 m/s2
modules: {frame: {}}
drives: {}
shafts:
  a: {module: frame, axis: x, seats: {l: {at: 0 mm, bearing: open}, one: {at: 9 mm}, r: {at: 99 mm, bearing: open}}}
  b: {module: frame, axis: x, seats: {l: {at: 0 mm, bearing: open}, one: {at: 9 mm}, r: {at: 99 mm, bearing: open}}}
stages:
  chain: {kind: roller chain, from: a, to: b, seats: [one, one]}
"""


def machine(name):
    return read(ROOT / "examples" / name / "machine.yaml")


def with_chain(there, begin, name):
    """A chain from a shaft to a new one, as the form adds it."""
    what = addition(there, "stages", "roller chain")
    return apply(there, option_of_addition(there, what, name, {"from": begin, "to": "a new shaft"}))


def users(there, name):
    """Drives, loads and wants that name a shaft."""
    every = [*there.drives.values(), *there.loads.values(), *there.wants.values()]
    return [t for t in every if name in (getattr(t, "shaft", ""), getattr(t, "rewound_from", ""))]


@pytest.mark.parametrize("name", ["harbour-light", "village-pump", "sluice-winch"])
def test_nothing_is_offered_that_anything_uses_and_what_is_offered_can_go(name):
    there = machine(name)
    for thing in (*there.stages.values(), *there.drives.values(), *there.loads.values()):
        found = leftovers(there, thing.path)
        after = apply(there, take_out(there, thing.path, [a.path for a in found.alone]))
        kept = {t.path for t in things(after)}
        for alone in found.alone:
            assert alone.path not in kept
            if alone.path.count(".") == 1:
                assert not [u for u in users(there, alone.path.split(".")[1]) if u.path not in found.goes]
        for stays in found.stays:
            assert stays.path in kept and (not stays.because or stays.because in kept)


def test_a_chain_to_a_new_shaft_leaves_nothing_and_one_between_two_that_are_used_leaves_both():
    there = machine("harbour-light")
    made = with_chain(there, "main", "dial chain")
    found = leftovers(made, "stages.dial chain")
    assert [a.path for a in found.alone] == ["shafts.dial chain shaft", "shafts.main.seats.dial chain"]
    assert found.stays[0] == ("shafts.main", "drives", "drives.weight")
    back = apply(made, take_out(made, "stages.dial chain", [a.path for a in found.alone]))
    assert [t.path for t in things(back)] == [t.path for t in things(there)]
    used = leftovers(there, "stages.lens chain")
    assert [s.path for s in used.stays[:2]] == ["shafts.main", "shafts.lens lay"]
    assert used.stays[1].why == "joins" and used.stays[1].because in {s.path for s in there.stages.values()}


def test_shafts_behind_the_one_that_is_cut_off_go_together():
    there = machine("harbour-light")
    for begin, end in (("main", "first"), ("first shaft", "second")):
        there = with_chain(there, begin, end)
    found = leftovers(there, "stages.first")
    assert [a.path for a in found.alone] == ["shafts.first shaft", "shafts.second shaft", "shafts.main.seats.first"]
    assert found.alone[0].along == found.alone[1].along == ("stages.second",)


def test_a_machine_that_nothing_drives_yet_is_not_taken_for_left_over():
    found = leftovers(read_text(BEGUN), "stages.chain")
    assert [(a.path, a.before) for a in found.alone] == [("shafts.a", False), ("shafts.b", False)]


def test_only_what_is_offered_goes_along():
    with pytest.raises(BadInput, match="does not stand there only for it"):
        take_out(machine("harbour-light"), "stages.lens chain", ["shafts.main"])


def test_the_command_says_what_is_left_and_takes_it_out_on_request(tmp_path):
    place = tmp_path / "machine.yaml"
    text = (ROOT / "examples" / "harbour-light" / "machine.yaml").read_text()
    place.write_text(text)
    said = change_file(place, [], [], ["loads.fan"], [], write=False)
    assert "Still there, though only for what goes: shafts.fan.seats.fan." in said and "--clear" in said
    assert place.read_text() == text
    said = change_file(place, [], [], ["loads.fan"], [], write=True, clear=True)
    assert "Still there" not in said and "fan" not in read(place).shafts["fan"].seats
    with pytest.raises(BadInput, match="--clear goes with --remove"):
        change_file(place, [], [], [], [], write=False, clear=True)
