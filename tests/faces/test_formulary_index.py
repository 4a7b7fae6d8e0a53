"""The formulary as a builder looks for things: what is asked in plain words is found first, and nothing has no place."""

import pytest

from layshaft.faces import formulary
from layshaft.faces import formulary_index as index
from layshaft.trace.registry import load_all, room_of


@pytest.mark.parametrize(("asked", "first"), [
    ("how thick a shaft", "shaft.sizing.first_diameter"),
    ("chain length", "roller_chain.geometry.chain_length"),
    ("how many links has a chain", "roller_chain.geometry.links_even"),
    ("bolt", "threads.tightening_torque"),
    ("tighten a screw", "threads.tightening_torque"),
    ("buckling", "frame_column.buckling_load"),
    ("energy of a flywheel", "drives.turning_energy"),
    ("how long does a bearing last", "rolling_life.rating_life"),
    ("twist of a shaft", "round_bar.twist"),
    ("sag of a beam", "spans.sag_between"),
    ("whirling", "critical_speed.uniform_shaft"),
    ("spring stiffness", "helical_spring.coil.spring_rate"),
    ("how long does a winding last", "drives.running_time"),
    ("sphere volume", "inertia.sphere_volume"),
    ("KEYS", "parallel_key.flank_pressure"),
])
def test_what_is_asked_in_plain_words_is_found_first(asked, first):
    assert index.search(asked)[0].name == first


@pytest.mark.parametrize("asked", ["", "   ", "the of a", "qqqq", "?"])
def test_words_that_say_nothing_find_nothing(asked):
    assert index.search(asked) == []


def test_every_room_stands_once_under_a_heading_and_every_question_has_its_formula():
    rooms = [room.name for group in index.groups() for room in group.rooms]
    assert sorted(rooms) == sorted({room_of(i) for i in load_all().values()})
    assert "More" not in [group.title for group in index.groups()]
    assert len(index.asked_often()) == len(index.QUESTIONS)
    assert all(room.about and room.count for group in index.groups() for room in group.rooms)


def test_every_formula_is_listed_in_its_room():
    for group in index.groups():
        for room in group.rooms:
            listed = {i.name for _, infos in index.formulas_of(room.name) for i in infos}
            assert {i.name for i in load_all().values() if room_of(i) == room.name} <= listed


def test_what_is_wrong_with_each_input_is_one_sentence():
    info = formulary.find("roller_chain.geometry.pitch_diameter")
    wrong = formulary.wrong_inputs(info, {"p": "12.7", "z": ""})
    assert "has no unit" in wrong["p"] and wrong["z"] == "Needed too, for instance 1."
    assert formulary.wrong_inputs(info, {"p": "12.7 mm", "z": "19"}) == {}
    assert formulary.unusual(info, "p", "-12.7 mm") == "Look again: parts of this kind have more than 0 mm."
    assert "at least" in formulary.unusual(info, "z", "1")
    assert formulary.unusual(info, "p", "12.7 mm") == formulary.unusual(info, "p", "much") == ""
    assert "spread" in formulary.wrong_inputs(info, {"p": "12.7 mm ± 1 mm", "z": "19"})["p"]


def test_checks_of_a_formula_are_those_of_the_lock():
    published, remembered, closed = formulary.checks_of("roller_chain.geometry.pitch_diameter")
    assert published > 0 and remembered >= 0 and closed > 0
    assert formulary.checks_of("no.such_formula") is None
