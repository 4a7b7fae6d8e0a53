"""Options: what changes, what is shared, what is refused; and how fast one change is."""

import time

import pytest

from layshaft.machine import MachineErrors, apply, named_option, read_text, sample, set_from_text
from machine.samples import SMALL, changed, every_key

MACHINE = read_text(SMALL)


def said(machine, option) -> list[str]:
    with pytest.raises(MachineErrors) as caught:
        apply(machine, option)
    return str(caught.value).split("\n")


def test_a_plain_value_replaces_a_plain_value():
    other = apply(MACHINE, {"set": {"drives.weight.drop": "1.60 m", "stages.lens chain.teeth[1]": 40}})
    assert other.drives["weight"].drop.value == pytest.approx(1.6)
    assert other.drives["weight"].drop.source == "decided"
    assert [t.value for t in other.stages["lens chain"].teeth] == [19.0, 40.0]
    assert MACHINE.drives["weight"].drop.value == pytest.approx(1.4)
    assert other.shafts is MACHINE.shafts and other.loads is MACHINE.loads


@pytest.mark.parametrize("path", ["drives.weight.mass", "modules.winder.mass", "loads.lens.mass"])
def test_where_there_was_a_spread_or_a_source_a_plain_value_is_a_what_if(path):
    given = apply(MACHINE, {"set": {path: "90 kg"}}).givens[path]
    assert (given.value, given.low, given.source, given.note) == (90.0, None, "assumed", "what-if")


def test_a_value_written_out_says_more():
    given = apply(MACHINE, {"set": {"drives.weight.mass": {"value": "90 kg", "source": "measured"}}}).givens["drives.weight.mass"]
    assert (given.value, given.source, given.low) == (90.0, "measured", None)
    narrower = apply(MACHINE, {"set": {"drives.weight.mass.between": ["95 kg", "97 kg"]}}).givens["drives.weight.mass"]
    assert (narrower.low, narrower.high, narrower.source) == (95.0, 97.0, "measured")
    sourced = apply(MACHINE, {"set": {"drives.weight.drop.source": "measured"}}).givens["drives.weight.drop"]
    assert (sourced.value, sourced.source) == (1.4, "measured")


def test_keys_that_are_not_in_the_file_can_be_set():
    option = {"set": {"venue.warmest": "30 degC", "shafts.main.fillet": "0.5 mm", "margins.flank pressure": "1.5"}}
    other = apply(MACHINE, option)
    assert other.venue.warmest.value == 30.0
    assert other.shafts["main"].fillet.value == pytest.approx(0.0005)
    assert other.margins["flank pressure"].value == 1.5


def test_one_place_of_an_open_list():
    opened = read_text(changed("teeth: [19, 38]", "teeth: open"))
    teeth = apply(opened, {"set": {"stages.lens chain.teeth[0]": "21"}}).stages["lens chain"].teeth
    assert (teeth[0].value, teeth[1].state) == (21.0, "open")


def test_add_and_remove_as_a_whole():
    option = {
        "remove": ["loads.lens"],
        "add": {"loads.brake": {"kind": "steady", "shaft": "lens lay", "seat": "table", "torque": "2 N m"}},
        "set": {"loads.brake.torque": "3 N m"},
    }
    other = apply(MACHINE, option, "brake")
    assert list(other.loads) == ["brake"]
    assert other.loads["brake"].torque.value == 3.0
    assert other.label == "brake" and MACHINE.label == ""
    assert list(MACHINE.loads) == ["lens"]


@pytest.mark.parametrize(("option", "sentence"), [
    ({"set": {"drives.wieght.mass": "90 kg"}},
     "'drives.wieght.mass' leads nowhere: 'drives' has no 'wieght'. Did you mean 'weight'?"),
    ({"set": {"drives.weight.mas": "90 kg"}},
     "'drives.weight.mas' leads nowhere: 'drives.weight' has no 'mas'. Did you mean 'mass'?"),
    ({"set": {"drive.weight.mass": "90 kg"}}, "'drive.weight.mass' leads nowhere: the file has no 'drive'. Did you mean 'drives'?"),
    ({"set": {"loads.bell": {"kind": "steady"}}}, "'loads.bell' leads nowhere: 'loads' has no 'bell'. It has: lens."),
    ({"set": {"drives.weight.mass": "90"}},
     "drives.weight.mass: '90' has no unit; a mass needs one. Write for instance 96 kg."),
    ({"set": {"drives..mass": "90 kg"}},
     "'drives..mass' is not a path. Write for instance drives.weight.mass or stages.lens chain.teeth[1]."),
    ({"set": {"drives.weight.mass": None}}, "'drives.weight.mass' needs a text, a list or keys with values."),
    ({"set": {"shafts.main.at[0]": "5 mm"}}, "'shafts.main.at[0]' is one place of a list that is not in the file. Set the whole list."),
    ({"set": ["drives.weight.mass"]}, "'set' takes paths with values. Write set: {drives.weight.mass: 90 kg}."),
    ({"sett": {}}, "'sett' is not a change. Did you mean 'set'?"),
    ({"add": {"loads.lens": {"kind": "steady"}}},
     "'loads.lens' is there already. Use 'set' to change it, or add it under another name."),
    ({"add": {"loads.Lens": {"kind": "steady"}}},
     "'loads.Lens' is there already. Use 'set' to change it, or add it under another name."),
    ({"add": {"shafts.mian.fillet": "1 mm"}}, "'shafts.mian.fillet' leads nowhere: 'shafts' has no 'mian'. Did you mean 'main'?"),
    ({"remove": ["loads.lense"]}, "'loads.lense' leads nowhere: 'loads' has no 'lense'. Did you mean 'lens'?"),
    ({"remove": ["shafts.main.fillet"]},
     "'shafts.main.fillet' is not written in the file, so it cannot be removed. Leave it out of 'remove'."),
    ({"remove": "loads.lens"}, "'remove' takes a list of paths. Write remove: [loads.bell]."),
    ({"rename": {"shafts.main": "lens lay"}}, "'shafts.main' cannot be renamed to 'lens lay': that name is taken. Choose another."),
    ({"rename": {"shafts.main.axis": "way"}},
     "'shafts.main.axis' has no name of its own. Only things with names can be renamed, such as shafts.main."),
])
def test_what_cannot_be_done_is_said_and_nothing_is_done(option, sentence):
    assert said(MACHINE, {**option, **({} if "set" in option else {"set": {"drives.weight.drop": "2 m"}})}) == [sentence]


def test_a_shaft_is_renamed_wherever_it_is_named():
    other = apply(MACHINE, {"rename": {"shafts.main": "first", "modules.winder": "frame one"}})
    assert list(other.shafts) == ["first", "lens lay"]
    assert (other.drives["weight"].shaft, other.stages["lens chain"].from_) == ("first", "first")
    assert {shaft.module for shaft in other.shafts.values()} == {"frame one"}


def test_seats_follow_their_names_also_where_they_were_not_written():
    by_stage = apply(MACHINE, {"rename": {"stages.lens chain": "long chain"}})
    assert by_stage.stages["long chain"].seats == ("lens chain", "lens chain")
    by_seat = apply(MACHINE, {"rename": {"shafts.main.seats.lens chain": "sprocket", "shafts.main.seats.drum": "barrel"}})
    assert by_seat.stages["lens chain"].seats == ("sprocket", "lens chain")
    assert by_seat.drives["weight"].seat == "barrel"


def test_shared_quantities_parts_and_options_follow_a_new_name():
    text = changed("118 kg ± 2 kg", "same as drives.weight.mass").replace("08B-1", "own chain") + (
        "parts:\n  own chain: {kind: chain, source: listed, read in: a sheet, pitch: 12.7 mm}\n"
        "options:\n  light: {set: {drives.weight.mass: 80 kg}, remove: [loads.lens]}\n")
    other = apply(read_text(text), {"rename": {"drives.weight": "stone", "parts.own chain": "best chain", "loads.lens": "lamp"}})
    assert other.givens["modules.winder.mass"].cause == "drives.stone.mass"
    assert other.stages["lens chain"].chain.name == "best chain"
    light = named_option(other, "light")
    assert light.drives["stone"].mass.value == 80.0 and not light.loads and light.label == "light"


def test_every_name_can_be_changed():
    machine = read_text(every_key())
    for collection in ("modules", "shafts", "drives", "stages", "loads", "partings", "parts", "runs", "wants", "options"):
        for name in getattr(machine, collection):
            assert "new name" in getattr(apply(machine, {"rename": {f"{collection}.{name}": "new name"}}), collection)


def test_options_of_the_file():
    machine = read_text(every_key())
    assert named_option(machine, "duplex").stages["roller chain"].chain.name == "08B-2"
    with pytest.raises(MachineErrors, match=r"There is no option 'duplx'\. Did you mean 'duplex'\?"):
        named_option(machine, "duplx")


def test_set_from_text():
    option = set_from_text(["drives.weight.mass = 90 kg", "stages.lens chain.teeth=[21, 42]"])
    other = apply(MACHINE, option)
    assert other.drives["weight"].mass.value == 90.0
    assert [t.value for t in other.stages["lens chain"].teeth] == [21.0, 42.0]
    with pytest.raises(MachineErrors, match="'mass' has no '='"):
        set_from_text(["mass"])


def test_a_changed_machine_is_the_one_its_text_would_give():
    other = apply(MACHINE, {"set": {"drives.weight.drop": "1.60 m"}})
    again = read_text(changed("1.40 m", "1.60 m"))
    assert {p: (g.value, g.low, g.source) for p, g in other.givens.items() if g.known} == {
        p: (g.value, g.low, g.source) for p, g in again.givens.items() if g.known}


def test_what_was_checked_before_is_checked_again_where_it_matters():
    assert "off the shaft" in said(MACHINE, {"set": {"shafts.lens lay.sections": [["20 mm", "250 mm"]]}})[0]
    assert "not parallel" in said(MACHINE, {"set": {"shafts.lens lay.axis": "z"}})[0]
    assert "there is no shaft 'main'" in said(MACHINE, {"remove": ["shafts.main"]})[0]
    assert "no seat 'table'" in said(MACHINE, {"remove": ["shafts.lens lay.seats.table"]})[0]
    parts = read_text(changed("08B-1", "own") + "parts:\n  own: {kind: chain, source: listed, read in: a sheet}\n")
    assert "'own' is no roller chain" in said(parts, {"remove": ["parts.own"]})[0]


def long_file(shafts: int) -> str:
    """A line of shafts joined by chains."""
    text = "layshaft: 1\nname: Long\ngravity: 9.81 m/s2\nmodules:\n  m: {mass: 100 kg}\nshafts:\n"
    for i in range(shafts):
        text += (f"  s{i}:\n    module: m\n    axis: x\n    material: C45+N\n    sections: [[25 mm, 420 mm]]\n    seats:\n"
                 '      left: {at: 20 mm, bearing: "6205", drag: {value: 0.03 N m, between: [0.02 N m, 0.08 N m]}}\n'
                 "      in: {at: 110 mm, key: 8x7x25}\n      out: {at: 120 mm}\n      right: {at: 400 mm, bearing: open}\n")
    text += "drives:\n  crank: {kind: crank, shaft: s0, seat: in, radius: 300 mm}\nstages:\n"
    for i in range(shafts - 1):
        text += f"  c{i}: {{kind: roller chain, from: s{i}, to: s{i + 1}, seats: [out, in], chain: 08B-1, teeth: [19, 38]}}\n"
    return text


@pytest.mark.parametrize(("path", "value"), [
    ("drives.crank.radius", "310 mm"), ("shafts.s5.seats.left.drag", "0.1 N m"), ("stages.c7.teeth[1]", "40"),
])
def test_one_change_to_a_thousand_lines_takes_under_3_ms(path, value):
    text = long_file(95)
    assert text.count("\n") > 1000
    machine = read_text(text)
    times = []
    for _ in range(20):
        start = time.perf_counter()
        apply(machine, {"set": {path: value}})
        times.append(time.perf_counter() - start)
    assert min(times) < 3e-3
    assert sample(apply(machine, {"set": {path: value}}), 3, 1)


def test_a_load_that_the_programme_names_does_not_go_unnoticed():
    text = SMALL + "programme: {acts: {calm: {at: 1 min, without: [lens]}}}\n"
    assert said(read_text(text), {"remove": ["loads.lens"]}) == [
        "machine.yaml:52:47: programme.acts.calm.without: there is no load 'lens'. The file has: none yet."]
