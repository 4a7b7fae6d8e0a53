"""Options on the desk: the draft kept as one, changed, renamed and removed; names inside options follow renames."""

from html import unescape
from pathlib import Path

import pytest

from layshaft.machine import apply, named_option, read
from layshaft.machine.difference import difference, leading, same
from layshaft.machine.shaping import copy, removal, stranded, things
from layshaft.trace.errors import BadInput

EXAMPLES = Path(__file__).parents[3] / "examples"


def post(desk, where, **data):
    with desk.caller() as caller:
        return unescape(caller.post(where, data=data, follow_redirects=True).text)


def keep_as(desk, name, **more):
    return post(desk, "/shape/options/keep", name=name, back="/", **more)


def test_a_draft_is_kept_as_an_option_and_nothing_else_is_written(desk):
    before = desk.place.read_text()
    desk.draft.edit({"set": {"stages.lens chain.teeth[0]": "21"}})
    desk.draft.edit({"remove": ["loads.flywheel"]})
    shown = desk.draft.state.machine
    page = keep_as(desk, "no wheel, finer")
    assert "cannot be a name" in page and desk.draft.state.open  # and the draft stands
    page = keep_as(desk, "no wheel")
    text = desk.place.read_text()
    assert not desk.draft.state.open and "no wheel" in page and "removes flywheel" in page
    added = [line for line in text.splitlines() if line not in before.splitlines()]
    assert all(line in text for line in before.splitlines()) and added[0] == "  no wheel:"
    assert same(named_option(read(desk.place), "no wheel"), shown)
    desk.draft.undo()
    assert desk.place.read_text() == before


def test_a_name_that_is_taken_wants_a_tick(desk):
    desk.draft.edit({"set": {"stages.lens chain.teeth[0]": "21"}})
    page = keep_as(desk, "Great Bell")
    assert "There is an option 'great bell' already" in page and 'value="Great Bell"' in page
    keep_as(desk, "Great Bell", instead="1")
    assert named_option(read(desk.place), "great bell").stages["lens chain"].teeth[0].nominal == 21
    assert "great bell:" in desk.place.read_text() and "Great Bell" not in desk.place.read_text()


def test_an_option_is_taken_changed_and_kept_in_its_place(desk):
    post(desk, "/options/take", name="drawn cam")
    desk.draft.edit({"set": {"loads.hammer cam.mass": "5 kg"}})
    with desk.caller() as caller:
        page = caller.get("/shape/options").text
    assert 'value="drawn cam" required' in page and "checked" in page  # its own name stands in the form
    keep_as(desk, "drawn cam", instead="1")
    made = named_option(read(desk.place), "drawn cam")
    assert made.loads["hammer cam"].mass.nominal == 5 and type(made.loads["hammer cam"]).__name__ == "Cam"


def test_an_option_is_renamed_thinned_out_and_removed(desk):
    before = desk.place.read_text()
    post(desk, "/shape/options/rename", name="great bell", to="greater bell")
    post(desk, "/shape/options/without", name="as first drawn", word="set", path="stages.winding chain.line")
    post(desk, "/shape/options/remove", name="fan seals")
    assert desk.place.read_text() == before  # all of it waits in the draft
    desk.draft.keep()
    options = read(desk.place).options
    assert "greater bell" in options and "great bell" not in options and "fan seals" not in options
    assert "stages.winding chain.line" not in desk.place.read_text().split("\noptions:")[1]
    page = post(desk, "/shape/options/without", name="short cam", word="set", path="loads.hammer cam.over")
    assert "Remove the option instead" in page
    page = post(desk, "/shape/options/without", name="as first drawn", word="add", path="nowhere")
    assert "does not say that any more" in page
    assert "is taken" in post(desk, "/shape/options/rename", name="greater bell", to="short cam")


def test_what_an_option_cannot_hold_is_said(desk):
    assert "Nothing is changed" in keep_as(desk, "nothing")
    post(desk, "/shape/options/remove", name="fan seals")
    assert "The draft changes options of the file" in keep_as(desk, "both") and desk.draft.state.open


def test_an_option_that_no_longer_fits_says_why_on_its_page(desk):
    desk.draft.edit(removal(desk.draft.state.machine, "loads.hammer cam"))
    with desk.caller() as caller:
        page = unescape(caller.get("/shape/options").text)
    assert page.count("It cannot be taken as the machine stands") == 3  # great bell, short cam, drawn cam


def harbour():
    return read(EXAMPLES / "harbour-light")


@pytest.mark.parametrize("name", ["harbour-light", "mill-hoist", "village-mangle", "planter-hoist"])
def test_what_differs_leads_from_one_machine_to_the_other(name):
    there = read(EXAMPLES / name)
    for thing in list(things(there))[::6]:
        changes = [{"rename": {thing.path: "other name"}}]
        for make in (removal, lambda m, p: copy(m, p, "another")):
            try:
                changes.append(make(there, thing.path))
                apply(there, changes[-1])
            except BadInput:
                changes = [c for c in changes if "rename" in c]
        for change in changes:
            made = apply(there, change)
            assert same(apply(there, difference(there, made)), made)
            assert same(apply(there, leading(there, made, [change])), made)


def test_steps_that_build_on_one_another_are_one_option():
    there = harbour()
    steps = [{"rename": {"shafts.bell": "gong"}}, {"set": {"shafts.gong.reliability": "90 %"}}]
    made = apply(apply(there, steps[0]), steps[1])
    assert same(apply(there, leading(there, made, steps)), made)


def test_every_option_still_fits_whatever_is_renamed():
    """Names inside what an option adds and sets follow, too: `from: main` of the option 'lens twin'."""
    there = harbour()
    for thing in list(things(there))[::4]:
        made = apply(there, {"rename": {thing.path: "other name"}})
        for option in there.options:
            named_option(made, option)
    made = apply(there, {"rename": {"shafts.main": "trunk"}})
    assert named_option(made, "lens twin").stages["lens chain 2"].from_ == "trunk"


def test_options_that_speak_of_what_goes_are_named_and_go_with_it_on_request(desk):
    there = harbour()
    assert stranded(there, removal(there, "loads.hammer cam")) == ["great bell", "short cam", "drawn cam"]
    with desk.caller() as caller:
        page = unescape(caller.get("/shape?thing=loads.hammer cam").text)
    assert "Options of the file speak of it" in page and "great bell, short cam, drawn cam" in page
    post(desk, "/shape/remove", path="loads.hammer cam", options="1")
    assert not {"great bell", "short cam", "drawn cam"} & set(desk.draft.state.machine.options)
    desk.draft.drop()
    post(desk, "/shape/remove", path="loads.hammer cam")
    assert "great bell" in desk.draft.state.machine.options
