"""A draft outlives its desk: killed, stopped, the file edited or broken in between, nothing that was changed is lost."""

import json

import pytest

from layshaft.faces.desk.drafting.draft import opened
from layshaft.project.unkept import laid_aside

PATH, OTHER = "stages.lens chain.teeth[0]", "drives.weight.mass"


@pytest.fixture
def place(copy):
    return copy("harbour-light") / "machine.yaml"


def aside(place):
    return place.parent / ".layshaft" / "machine.yaml.unkept.json"


def test_a_new_desk_goes_on_where_the_old_one_was_killed(place):
    old = opened(place).edit({"set": {PATH: "21"}}, "a finer step")
    again = opened(place).state
    assert [(e.option, e.text) for e in again.edits] == [({"set": {PATH: "21"}}, "a finer step")]
    assert [str(f) for f in again.verdict.findings] == [str(f) for f in old.verdict.findings]
    assert again.from_before
    assert not opened(place).edit({"set": {OTHER: "90 kg"}}).from_before


@pytest.mark.parametrize("end", ["keep", "drop"])
def test_what_is_kept_or_dropped_does_not_come_back(place, end):
    draft = opened(place)
    draft.edit({"set": {PATH: "21"}})
    assert aside(place).is_file()
    getattr(draft, end)()
    assert not aside(place).exists()
    assert not opened(place).state.open


def test_what_no_longer_applies_is_listed_by_the_new_desk_and_not_forgotten_before_it_was_seen(place):
    draft = opened(place)
    draft.edit({"set": {"stages.lens coupling.offset": "0.2 mm"}})
    draft.edit({"set": {PATH: "21"}})
    place.write_text(place.read_text().replace("lens coupling:", "lens joint:"))
    for _ in range(2):  # the first new desk is killed too, before anybody looked
        state = opened(place).state
        assert [lost.edit.text for lost in state.lost] == ["stages.lens coupling.offset: 0.2 mm"]
        assert [e.text for e in state.edits] == [f"{PATH}: 21"]
    last = opened(place)
    last.dismiss()
    assert [edit.option for edit in laid_aside(place)] == [{"set": {PATH: "21"}}]


def test_a_draft_waits_for_a_broken_file_to_be_mended(place):
    opened(place).edit({"set": {PATH: "21"}})
    good = place.read_text()
    place.write_text(good.replace("shafts:", "shafts: ["))
    draft = opened(place)
    assert draft.state.trouble and not draft.state.open
    place.write_text(good)
    assert [e.text for e in draft.look(again=True).edits] == [f"{PATH}: 21"]


@pytest.mark.parametrize("record", [
    "", "[", "null", '{"form": 99, "edits": []}', '{"form": 1, "edits": [{"option": 3, "words": ""}]}',
    '{"form": 1, "edits": [{"option": {"set": 3}, "words": ""}]}',
    '{"form": 1, "edits": [{"option": {"fly": {}}, "words": ""}]}', "[" * 100_000])
def test_a_record_that_is_torn_or_foreign_stops_no_desk(place, record):
    aside(place).parent.mkdir(exist_ok=True)
    aside(place).write_text(record)
    state = opened(place).state
    assert state.verdict is not None and not state.open


def test_a_desk_that_only_reads_neither_shows_nor_touches_it(place):
    opened(place).edit({"set": {PATH: "21"}})
    before = aside(place).read_text()
    reader = opened(place, "another desk is open")
    assert not reader.state.open
    assert aside(place).read_text() == before


def test_where_nothing_can_be_written_the_draft_works_and_says_what_hangs_on_it(place, monkeypatch):
    draft = opened(place)

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as m:
        m.setattr("layshaft.faces.desk.drafting.draft.lay_aside", full)
        state = draft.edit({"set": {PATH: "21"}})
        assert state.open and state.fleeting == "no space left on device"
    assert draft.edit({"set": {OTHER: "90 kg"}}).fleeting == ""
    assert len(json.loads(aside(place).read_text())["edits"]) == 2
