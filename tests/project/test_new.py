"""`layshaft new`: every draft reads, solves, and says at its top what the solved machine gives.

The sizes are balanced backwards from the load by `project.sizing`; `train.solve` finds the speed from
the file alone. One is the check of the other.
"""

import re

import numpy as np
import pytest

from layshaft.machine import read, read_text
from layshaft.machine.schema import Choice, Given
from layshaft.project.answers import AnswerError, answers, ask
from layshaft.project.draft import draft
from layshaft.project.new import NewProjectError, create, refuse_if_taken
from layshaft.project.sizing import HEAVY, MOST_PER_STAGE, size
from layshaft.trace.units import FORCE, POWER, TIME, shown
from layshaft.train.solve import solve

DRIVES = ("weight", "crank", "pedals", "motor")
EXTREME = [
    {"speed": "0.01 rpm"}, {"speed": "3000 rpm"}, {"torque": "0.1 N m"}, {"torque": "5 kN m"},
    {"speed": "3000 rpm", "torque": "5 kN m"}, {"speed": "0.01 rpm", "torque": "0.1 N m"},
    {"speed": "3000 rpm", "torque": "0.1 N m"}, {"speed": "0.01 rpm", "torque": "5 kN m"},
    {"room": "0.1 m x 0.1 m"}, {"room": "30 m"}, {"run": "8 h"}, {"run": "5 s"}, {"speed": "30 rpm"}, {"speed": "60 rpm"},
    {"torque": "20 lbf at 6 in", "room": "6 ft by 2 ft"}, {"torque": "10 N ± 3 N at 200 mm"},
]
NAMED = ["The bell", "frame", "fan brake", "left bearing", "chain 1", "lay shaft 1", "Übergroßes Rad: №1 [neu] {x}",
         "- yes", "null", "7", "weight", "crank", "pedals", "motor", "drum", "brake", "lay", "lay 1", "x" * 90, "a_b"]


def solved(given):
    machine = read_text(draft(answers(given)))
    return machine, solve(machine)


def head(text):
    """The comment at the top, as one line."""
    lines = [line[1:].strip() for line in text.split("layshaft: 1")[0].splitlines()]
    return " ".join(lines)


def listed_power(text, name):
    """Power of a line of the budget, as printed."""
    return re.search(rf"^#   {re.escape(name)}: (.+ k?W)$", text, re.MULTILINE).group(1)


@pytest.mark.parametrize("drive", DRIVES)
@pytest.mark.parametrize("given", [{}, *EXTREME], ids=str)
def test_every_shaft_has_speed_and_torque_while_it_runs(drive, given):
    machine, found = solved({**given, "driver": drive})
    assert found.columns[0].case == "running mean"
    for name in machine.shafts:
        assert np.all(np.isfinite(found.speed[name][0])) and np.all(found.speed[name][0] != 0), name
        torques = np.array([t[0] for t in found.seat_torque[name].values()])
        assert np.all(np.isfinite(torques)) and np.abs(torques).max() > 0, name
        assert abs(torques.sum()) <= 1e-6 * np.abs(torques).max(), name


@pytest.mark.parametrize("drive", DRIVES)
@pytest.mark.parametrize("given", [{}, *EXTREME], ids=str)
def test_the_wanted_speed_results(drive, given):
    machine, found = solved({**given, "driver": drive})
    want = machine.wants["speed"]
    assert abs(found.speed[want.shaft][0]) == pytest.approx(want.speed.nominal, rel=5e-3)


@pytest.mark.parametrize("drive", DRIVES)
@pytest.mark.parametrize("given", [{}, *EXTREME], ids=str)
def test_printed_budget_is_the_solved_budget(drive, given):
    text = draft(answers({**given, "driver": drive}))
    book = solve(read_text(text)).budget
    loads = {e.name: e.power for e in book.entries if e.kind == "used"}
    lost = [e for e in book.entries if e.kind == "lost"]
    lines = {"spindle": loads["spindle"], f"given by the {drive}": book.total("in"),
             "lost in stages": sum(e.power for e in lost if e.what.startswith("stages.")),
             "lost in bearings": sum(e.power for e in lost if e.what.startswith("shafts."))}
    if drive == "weight":
        lines["fan brake"] = loads["fan brake"]
        if "lost in pulleys" in text:
            lines["lost in pulleys"] = sum(e.power for e in lost if e.what.startswith("drives."))
    for name, power in lines.items():
        number, unit = listed_power(text, name).split()
        assert float(number) * POWER.units[unit] == pytest.approx(np.sum(power), rel=1e-3, abs=1e-12), name
    assert np.sum(book.total("in")) == pytest.approx(np.sum(book.total("used") + book.total("lost")), rel=1e-6)


@pytest.mark.parametrize("given", [{}, *EXTREME, {"driver": "weight of 80 kg"}, {"driver": "weight 200 lb"}], ids=str)
def test_a_weight_starts_the_train_and_runs_as_long_as_it_says(given):
    text = draft(answers(given))
    machine = read_text(text)
    book = solve(machine).budget
    assert book.start_ratio["weight"] == pytest.approx(1.5, rel=0.02)
    assert book.start_ratio["weight"] >= 1.5 * (1 - 1e-4)
    run = float(book.windings[0].running_time[0])
    assert f"lasts {shown(run, TIME, 'min', 3)}" in head(text)
    if "driver" not in given:
        wanted = machine.wants["winding"].time_per_winding.nominal
        assert wanted < run < 1.01 * wanted


@pytest.mark.parametrize("drive", ["crank", "pedals"])
def test_handle_force_is_that_of_the_solved_machine(drive):
    text = draft(answers({"driver": drive, "torque": "9 N m", "speed": "40 rpm"}))
    machine = read_text(text)
    found = solve(machine)
    handle = machine.drives[drive]
    torque = abs(found.seat_torque[handle.shaft][handle.seat][0][0])
    force = torque / handle.radius.nominal / handle.people.nominal
    assert f"{shown(force, FORCE)} from each person" in head(text)


@pytest.mark.parametrize("drive", DRIVES)
@pytest.mark.parametrize("given", [{}, *EXTREME], ids=str)
def test_no_stage_steps_more_than_one_chain_can(drive, given):
    a = answers({**given, "driver": drive})
    s = size(a)
    turns = [*s.main.turns, *(s.weight.fan.turns if s.weight else ())]
    for t in turns:
        assert 1 / MOST_PER_STAGE * 0.999 <= t <= MOST_PER_STAGE * 1.001
    assert max(s.main.turns, default=1) == pytest.approx(min(s.main.turns, default=1), rel=1e-2)


@pytest.mark.parametrize("what", NAMED)
@pytest.mark.parametrize("drive", DRIVES)
def test_any_name_makes_a_machine_that_solves(what, drive):
    machine, found = solved({"what": what, "driver": drive})
    assert all(np.all(np.isfinite(found.speed[n][0])) for n in machine.shafts)


@pytest.mark.parametrize("drive", DRIVES)
def test_parts_are_open_and_nothing_is_chosen(drive):
    machine = read_text(draft(answers({"driver": drive})))
    for shaft in machine.shafts.values():
        assert shaft.material.state == "open" and shaft.sections[0][0].state == "open"
        for seat in shaft.seats.values():
            assert "open" in (seat.bearing.state, seat.key_size.state)
    for stage in machine.stages.values():
        assert stage.chain.state == "open" and all(t.state == "open" for t in stage.teeth)
    assert not any(c.known for c in choices(machine))


def choices(node):
    if isinstance(node, Choice):
        yield node
    elif isinstance(node, dict | tuple):
        for value in node.values() if isinstance(node, dict) else node:
            yield from choices(value)
    elif hasattr(node, "path") and not isinstance(node, Given):
        for name, value in vars(node).items():
            if name != "document":
                yield from choices(value)


def test_answers_are_decided_and_defaults_are_guesses():
    machine = read_text(draft(answers({"speed": "2 rpm", "torque": "3 N m ± 1 N m", "drop": "1.1 m"})))
    assert machine.wants["speed"].speed.source == "decided"
    assert machine.drives["weight"].drop.source == "decided"
    torque = machine.loads["spindle"].torque
    assert (torque.source, torque.low, torque.high) == ("assumed", 2.0, 4.0)
    assert machine.wants["winding"].time_per_winding.source == "assumed"
    assert machine.givens["drives.weight.mass"].source == "assumed"
    assert read_text(draft(answers({"torque": "3 N m"}))).loads["spindle"].torque.source == "decided"


def test_heavy_weight_is_said_with_ways_out():
    text = head(draft(answers({"torque": "60 N m"})))
    assert f"more than {HEAVY:.0f} kg" in text and "the drop would have to be" in text
    assert "more than" not in head(draft(answers({})))


def test_given_mass_sets_the_time():
    a = answers({"driver": "weight of 80 kg"})
    text = draft(a)
    assert "With the mass you gave" in head(text)
    mass = read_text(text).drives["weight"].mass
    assert (mass.nominal, mass.source) == (80.0, "decided")


def test_hanging_weight_has_its_cautions_and_others_do_not():
    assert "hanging weight can kill" in head(draft(answers({})))
    for drive in DRIVES[1:]:
        text = head(draft(answers({"driver": drive})))
        assert "hanging weight" not in text and "Guard every chain" in text


def test_a_weight_that_cannot_do_it_is_said_in_a_sentence():
    with pytest.raises(AnswerError, match="cannot turn this for even a second"):
        draft(answers({"driver": "weight of 1 g"}))


# Questions -------------------------------------------------------------------------------------


def conversation(*lines):
    said, rest = [], list(lines)
    found = ask(lambda: rest.pop(0) if rest else None, said.append)
    return found, said


def test_end_of_input_takes_defaults():
    found, said = conversation()
    assert found == answers({})
    assert len(said) == 1


def test_empty_lines_take_defaults_and_six_questions_are_asked():
    found, said = conversation(*["\n"] * 6)
    assert found == answers({})
    assert len(said) == 6 and all(re.search(r"\[.+\] $", line) for line in said)


def test_unreadable_answers_are_asked_again():
    found, said = conversation("???\n", "bell\n", "fast\n", "3 kg\n", "-1 rpm\n", "3 rpm\n", "2\n", "2 N m\n", "0 s\n",
                               "5 min\n", "steam\n", "motor of 3 kg\n", "pedals\n", "big\n", "2 m, 0,5 m\n", "2 m x 1 m\n")
    assert (found.what, found.speed.text(), found.torque.text(), found.run.text()) == ("bell", "3 rpm", "2 N m", "5 min")
    assert found.driver.kind == "pedals" and found.room.width.value == 1.0
    replies = [line for line in said if line.endswith("\n")]
    assert len(replies) == 10
    assert any("'3 kg' is a mass; a turning speed belongs here" in r for r in replies)
    assert any("no unit" in r for r in replies)


def test_flags_are_not_asked():
    rest = ["2 rpm\n"]
    said = []
    given = {"what": "bell", "torque": "1 N m", "run": "1 min", "driver": "crank", "room": "1 m"}
    found = ask(lambda: rest.pop(0), said.append, given)
    assert len(said) == 1 and found.speed.text() == "2 rpm" and found.what == "bell"


def test_a_bad_flag_is_said_before_any_question():
    said = []
    with pytest.raises(AnswerError, match="a turning speed belongs here"):
        ask(lambda: "", said.append, {"speed": "3 kg"})
    assert said == []
    with pytest.raises(AnswerError, match="no question 'colour'"):
        answers({"colour": "red"})


@pytest.mark.parametrize("text", ["nan rpm", "inf rpm", "1e300 rpm", "1e-300 rpm", "1 rpm between [-1 rpm, 2 rpm]",
                                  "1/0 rpm", "1 rpm ± 2 rpm", "rpm", "'", "\x00"])
def test_odd_numbers_are_refused_in_one_sentence(text):
    with pytest.raises(AnswerError) as why:
        answers({"speed": text})
    assert str(why.value) and "\n" not in str(why.value)


# The folder ------------------------------------------------------------------------------------


def test_writes_a_folder_that_reads(tmp_path):
    place = create(tmp_path / "new" / "bell", answers({"what": "bell"}))
    assert place == tmp_path / "new" / "bell" / "machine.yaml"
    assert read(place.parent).title == "Bell"
    assert [p.name for p in place.parent.iterdir()] == ["machine.yaml"]


def test_keeps_what_is_there(tmp_path):
    (tmp_path / "machine.yaml").write_text("mine")
    with pytest.raises(NewProjectError, match="is there already and stays as it is"):
        create(tmp_path, answers({}))
    assert (tmp_path / "machine.yaml").read_text() == "mine"
    with pytest.raises(NewProjectError, match="is a file, not a folder"):
        refuse_if_taken(tmp_path / "machine.yaml")
    with pytest.raises(NewProjectError):
        create(tmp_path / "machine.yaml" / "sub", answers({}))
    assert len(list(tmp_path.iterdir())) == 1


def test_writes_nothing_when_the_answers_do_not_work(tmp_path):
    with pytest.raises(AnswerError):
        create(tmp_path / "x", answers({"driver": "weight of 1 g"}))
    assert not (tmp_path / "x").exists()
