"""Forms of the room Shape and of a part: every key can be written, what is refused stays in its field, said in a sentence."""

import re
from dataclasses import dataclass
from html import unescape

import pytest

from layshaft.faces.pages.given_forms import fields
from layshaft.machine import schema
from layshaft.machine.model import Machine
from layshaft.machine.reader import read
from layshaft.machine.schema import keys
from layshaft.machine.shape import EMPTY, Shape


@dataclass(frozen=True)
class Kind:
    name: str
    kind: type


def kinds(kind):
    """Every kind of thing there is, by the schema alone."""
    for name, (_, k) in keys(kind).items():
        found = getattr(k.reads, "kinds", None) or ({"": k.reads.item} if isinstance(k.reads, schema.MapOf) else {})
        for word, inner in found.items():
            yield Kind(f"{name} {word}".strip(), inner)
            yield from kinds(inner)


@pytest.mark.parametrize("kind", list(kinds(Machine)), ids=lambda k: k.name)
def test_every_key_of_every_kind_has_a_field(kind):
    """By the schema: what is no collection of things with names of their own is written in a form."""
    absent = {field: Shape().absent(k.reads, f"x.{name}", "x") for name, (field, k) in keys(kind.kind).items()}
    there = kind.kind(path="x", name="x", **absent)
    paths = [f.path.removeprefix("x.") for f in fields(there, EMPTY)]
    for name, (_, k) in keys(kind.kind).items():
        if not isinstance(k.reads, schema.MapOf | schema.KindMap):
            assert any(p == name or p.startswith((f"{name}[", f"{name}.")) for p in paths), name


def page_of(desk, path):
    with desk.caller() as caller:
        return unescape(caller.get(path).text)


def post(desk, where, **data):
    with desk.caller() as caller:
        return unescape(caller.post(where, data=data, follow_redirects=True).text)


def edit(desk, path, value):
    return post(desk, "/edit", path=path, value=value, back="/part?path=shafts.main")


@pytest.mark.parametrize(("path", "value", "written"), [
    ("shafts.main.grooves", "[62 mm, 28.6 mm, 0.15 mm]", "[[62 mm, 28.6 mm, 0.15 mm]]"),
    ("shafts.main.sections", "[25 mm, 40 mm], [30 mm, 340 mm], [25 mm, 20 mm], [20 mm, 20 mm]", "[25 mm, 20 mm]"),
    ("shafts.main.axis", "1, 0, 0", "[1, 0, 0]"),
    ("shafts.main.note", "[see 4]: \"x\" # y", "note"),
    ("stages.lens chain.seats", "lens sprocket, sprocket", "[lens sprocket, sprocket]"),
    ("partings.winder - bell.between", "bell, winder", "[bell, winder]"),
    ("shafts.main.seats.lens sprocket.hub.kind", "clamp", "form: two halves")])
def test_what_is_written_as_a_whole_is_kept_in_the_file(desk, path, value, written):
    assert "Nothing was changed" not in edit(desk, path, value)
    desk.draft.keep()
    assert written in desk.place.read_text()
    read(desk.place)


@pytest.mark.parametrize(("value", "said"), [
    ("[25 mm, 40 mm", "cannot be read as a list"), ("25 mm", "a list of 2 belongs here"), ("[[1 kg, 2 mm]]", "kg")])
def test_a_list_that_cannot_be_stays_in_its_field(desk, value, said):
    page = edit(desk, "shafts.main.sections", value)
    assert said in page and f'value="{value}"' in page and str(desk.place) not in page and not desk.draft.state.open


def test_a_refused_addition_keeps_what_was_typed(desk):
    page = post(desk, "/shape/add", add="loads:flywheel", back="/shape?add=loads%3Aflywheel", name="a: b", shaft="fan")
    assert "'a: b' cannot be a name" in page and 'value="a: b"' in page
    assert '<option value="fan" selected>' in page and not desk.draft.state.open


def test_a_name_that_is_taken_is_said_beside_the_form(desk):
    page = post(desk, "/shape/add", add="modules:", back="/shape?add=modules%3A", name="Lantern")
    assert "there already" in page and 'value="Lantern"' in page and not desk.draft.state.open


@pytest.mark.parametrize(("add", "title"), [("acts:", "act of the run"), ("idlers:", "idler"), ("made of:ring", "ring")])
def test_what_goes_inside_a_thing_is_offered_added_and_removed_again(desk, add, title):
    with desk.caller() as caller:
        page = caller.get(f"/shape?add={add}").text
    assert f"Add a {title}" in page or f"Add an {title}" in page
    page = post(desk, "/shape/add", add=add, name="new one", off="-70 mm", back="/shape")
    assert "Changed, not kept" in page
    desk.draft.keep()
    assert "new one" in desk.place.read_text()
    path = next(t for t in ("programme.acts.new one", "stages.winding chain.idlers.new one",
                            "loads.flywheel.made of.new one") if t in page)
    post(desk, "/shape/remove", path=path)
    desk.draft.keep()
    assert "new one" not in desk.place.read_text()


def test_what_was_just_added_says_what_it_still_needs_as_one_form(desk):
    """The chain's own lines first, then those of the shaft that came with it; all are taken as one change."""
    add = {"add": "stages:roller chain", "name": "dial chain", "from": "main", "to": "a new shaft", "back": "/shape"}
    with desk.caller() as caller:
        answer = caller.post("/shape/add", data=add)
        assert answer.headers["location"] == "/shape/needs?of=stages.dial+chain&added=1"  # an address of its own
        page = unescape(caller.get("/shape/needs?of=stages.dial chain").text)
    lines = re.findall(r'<(?:input|select) id="line-[^>]*name="([^"]+)"', page)
    assert lines[0] == "stages.dial chain.efficiency" and "stages.dial chain.teeth[1]" in lines
    assert lines.index("stages.dial chain.chain") < lines.index("shafts.dial chain shaft.sections[0][0]")
    filled = dict.fromkeys(lines, "") | {"stages.dial chain.teeth[0]": "19", "stages.dial chain.teeth[1]": "38",
                                         "stages.dial chain.chain": "08B-1", "stages.dial chain.efficiency": "0.95",
                                         "stages.dial chain.line": "many"}
    page = post(desk, "/shape/needs", of="stages.dial chain", back="/shape/needs?of=stages.dial chain", **filled)
    assert "dial chain, line: 'many' is not an angle" in page and 'value="08B-1"' in page  # nothing typed is lost
    filled |= {"stages.dial chain.line": "45 deg", "stages.dial chain.centres": "300 mm"}
    page = post(desk, "/shape/needs", of="stages.dial chain", back="/shape/needs?of=stages.dial chain", **filled)
    assert "Nothing was changed" not in page and "stages.dial chain.teeth[1]" not in page
    assert desk.draft.state.machine.stages["dial chain"].teeth[1].nominal == 38
    assert desk.draft.state.edits[-1].text == "dial chain: 6 lines filled in"


def test_a_want_or_a_part_that_is_whole_asks_for_nothing_more(desk):
    page = page_of(desk, "/shape/needs?of=stages.fan coupling")
    assert "Nothing it needs is missing" in page
    assert "Fill in or tick at least one line" in post(desk, "/shape/needs", of="stages.fan coupling", back="/shape")
    with desk.caller() as caller:
        assert caller.get("/shape/needs?of=stages.nowhere").status_code == 404


def test_a_machine_that_nothing_drives_is_led_to_what_puts_power_in(desk):
    assert "Nothing drives the machine yet" not in page_of(desk, "/shape")
    for drive in list(desk.draft.state.machine.drives):
        post(desk, "/shape/remove", path=f"drives.{drive}")
    page = page_of(desk, "/shape")
    assert "Nothing drives the machine yet" in page and page.count('href="/shape?add=drives%3Acrank"') == 2


def test_a_chain_that_came_with_its_seats_goes_with_them(desk):
    """What the form added, removing takes out again: nothing is left of it, and nothing more goes."""
    before = desk.draft.look()
    counts = [f.verdict for f in before.verdict.findings].count("unknown")
    ends = {"from": "main", "to": "lens lay", "name": "test chain"}
    post(desk, "/shape/add", add="stages:roller chain", back="/shape", **ends)
    added = desk.draft.look().machine
    assert "test chain" in added.stages and "test chain" in added.shafts["main"].seats
    page = page_of(desk, "/shape?thing=stages.test+chain")
    assert "the seat test chain on main with its key" in page and "the seat test chain on lens lay" in page
    remove_as_offered(desk, "stages.test chain")
    after = desk.draft.look()
    assert [f.verdict for f in after.verdict.findings].count("unknown") == counts
    for name, shaft in before.machine.shafts.items():
        assert list(after.machine.shafts[name].seats) == list(shaft.seats)


def remove_as_offered(desk, path):
    """Press Remove on the form as it comes: what is ticked goes."""
    page = page_of(desk, f"/shape?thing={path}")
    ticked = re.findall(r'name="also" value="([^"]+)" checked', page)
    post(desk, "/shape/remove", path=path, also=ticked)
    return ticked


def test_seats_stay_where_one_wants_them_to(desk):
    post(desk, "/shape/remove", path="stages.lens chain")
    assert "lens sprocket" in desk.draft.look().machine.shafts["main"].seats


def test_a_shaft_that_came_with_a_chain_goes_with_it_and_undo_brings_all_back(desk):
    """Chain, shaft, bearings and seats come by one form and go by one; kept and undone, the file is the same to the byte."""
    add = {"add": "stages:roller chain", "name": "dial chain", "from": "main", "to": "a new shaft", "back": "/shape"}
    text = desk.place.read_text()
    post(desk, "/shape/add", **add)
    desk.draft.keep()
    with_it = desk.place.read_text()
    page = page_of(desk, "/shape?thing=stages.dial chain")
    assert ("the shaft dial chain shaft, which nothing drives and nothing needs then, with its 2 bearings "
            "(left bearing, right bearing) and its seat (dial chain)") in page
    assert "<b>shaft main</b>: weight drives it" in page
    assert remove_as_offered(desk, "stages.dial chain") == ["shafts.dial chain shaft", "shafts.main.seats.dial chain"]
    assert "dial chain removed, with shaft dial chain shaft; main, dial chain" in page_of(desk, "/shape")
    desk.draft.keep()
    assert desk.place.read_text() == text
    desk.draft.undo()
    assert desk.place.read_text() == with_it


def test_what_is_wanted_of_a_shaft_or_sits_on_it_keeps_it(desk):
    page = page_of(desk, "/shape?thing=stages.lens chain")
    assert "<b>shaft lens lay</b>" in page and 'value="shafts.lens lay"' not in page
    page = post(desk, "/shape/remove", path="stages.lens chain", also=["shafts.lens lay"], back="/shape")
    assert "does not stand there only for it any more" in page and not desk.draft.state.open
