"""The page of the machine as a whole: every line that belongs to no part has a form, and margins are asked for there."""

import re
from html import unescape

import pytest

from layshaft.listings.tables import table
from layshaft.machine import schema
from layshaft.machine.model import Machine
from layshaft.machine.reader import read
from layshaft.machine.schema import keys

COLLECTIONS = schema.MapOf, schema.KindMap, schema.QuantityMap, schema.Raw


def page_of(desk, path="/shape/whole"):
    with desk.caller() as caller:
        return unescape(caller.get(path).text)


def ask(desk, mode, value, note="", source="decided"):
    with desk.caller() as caller:
        return unescape(caller.post("/shape/margin", data={"mode": mode, "value": value, "note": note, "source": source},
                                    follow_redirects=True).text)


def lines(kind, head=""):
    """Every line of a kind that holds one value, by the schema alone."""
    for name, (_, k) in keys(kind).items():
        if isinstance(k.reads, type):
            yield from lines(k.reads, f"{head}{name}.")
        elif not isinstance(k.reads, COLLECTIONS):
            yield f"{head}{name}"


def test_every_line_of_the_whole_machine_has_a_form(desk):
    page = page_of(desk)
    paths = set(re.findall(r'name="path" value="([^"]+)"', page))
    assert set(lines(Machine)) - {"layshaft"} == paths
    assert "The version of the file's format" in page  # the one line that can be said in one way only


def test_every_required_margin_of_the_house_has_a_form_with_who_asks_for_it(desk):
    page = page_of(desk)
    assert set(re.findall(r'name="mode" value="([^"]+)"', page)) == set(table("required_margins").names)
    assert "DIN 8195 practice" in page and "whoever stands under or beside weight" in page


def test_a_lower_margin_wants_a_reason_and_says_who_is_at_risk(desk):
    before = desk.place.read_text()
    page = ask(desk, "fatigue", "1.2")
    assert "1.2 is less than the house asks of fatigue (1.5, and 2.5 where a person can be hurt)" in page
    assert "At risk if it lets go: whoever stands under or beside weight" in page and 'value="1.2"' in page
    assert not desk.draft.state.open
    page = ask(desk, "fatigue", "1.2", "all steels tested, loads measured")
    assert "yours, less than the house's" in page and "Required margin of fatigue: 1.2" in page
    assert {f.required for f in desk.draft.state.verdict.findings if f.mode == "fatigue"} == {1.2}
    assert desk.place.read_text() == before


def test_a_margin_is_kept_undone_and_given_back_to_the_house(desk):
    before = desk.place.read_text()
    ask(desk, "fatigue", "3", source="advised")
    desk.draft.keep()
    kept = read(desk.place).margins["fatigue"]
    assert (kept.nominal, kept.source) == (3.0, "advised")
    ask(desk, "fatigue", "")
    assert {f.required for f in desk.draft.state.verdict.findings if f.mode == "fatigue"} == {1.5, 2.5}
    desk.draft.drop()
    desk.draft.undo()
    assert desk.place.read_text() == before


@pytest.mark.parametrize("value", ["0", "-2", "nan", "1e400", "inf", "3 mm", "<b>", "3 ± 5"])
def test_a_margin_that_cannot_be_is_refused_in_words(desk, value):
    page = ask(desk, "yield", value, "because")
    assert "Nothing was changed." in page and not desk.draft.state.open
    assert "There is no way to fail called" in ask(desk, "<i>", "3")


@pytest.mark.parametrize(("path", "value", "said"), [
    ("units", "inch", " in"), ("gravity", "9.83 m/s2", "9.83 m/s2"), ("venue.warmest", "41 degC", "41 degC"),
    ("name", "Röhrenwerk: \"2\" # neu", "Röhrenwerk"), ("transit.shock", "2 g", "2 g")])
def test_each_line_goes_through_the_draft(desk, path, value, said):
    with desk.caller() as caller:
        page = unescape(caller.post("/edit", data={"path": path, "value": value, "back": "/shape/whole"},
                                    follow_redirects=True).text)
    assert said in page and "Changed, not kept" in page
    desk.draft.keep()
    assert read(desk.place).title == (value if path == "name" else "Harbour Light")


def test_gravity_cannot_be_left_out(desk):
    with desk.caller() as caller:
        page = unescape(caller.post("/edit", data={"path": "gravity", "value": "", "back": "/shape/whole"},
                                    follow_redirects=True).text)
    assert "gravity" in page and "Nothing was changed." in page and not desk.draft.state.open
