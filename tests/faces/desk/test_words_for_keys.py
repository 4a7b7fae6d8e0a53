"""No room shows a key of the machine file as it is written there, but where it says that it is one."""

import html
import re

import pytest

from layshaft.machine.options import named_option
from layshaft.machine.shaping import things

ROOMS = ("/", "/part", "/shape", "/needs", "/run", "/options", "/doubt", "/formulary", "/take-away", "/remarks")
TOPS = ("stages", "shafts", "drives", "loads", "fixings", "springs", "frames", "modules", "partings", "wants", "runs",
        "venue", "transit")
RAW = re.compile(rf"\b(?:{'|'.join(TOPS)})\.[A-Za-z]|\w\[\d+\]")
WANTED = (re.compile(r"In the machine file:? *<code>[^<]*</code>"),
          re.compile(r"<dt>In the machine file</dt><dd><code>[^<]*</code>"))
"""Where a page says that this is how the file writes it."""


def read_of(page: str) -> str:
    """What is read on a page, by eye or by ear: text, and the names of what has none."""
    for wanted in WANTED:
        page = wanted.sub(" ", page)
    page = re.sub(r"<(script|style|pre)\b.*?</\1>|<option>.*?</option>", " ", page, flags=re.S)
    page = re.sub(r'<[^>]*\baria-label="([^"]*)"[^>]*>', r" \1 ", page)
    page = re.sub(r"<[^>]*>", " ", page)
    return " ".join(html.unescape(page).split())


def raw_in(page: str) -> list[str]:
    text = read_of(page)
    return [text[max(0, m.start() - 60):m.end() + 40] for m in RAW.finditer(text)]


def test_the_check_itself_finds_a_key():
    assert raw_in("<p>Mend stages.lens chain first</p>")
    assert raw_in('<button aria-label="Drop loads.fan">x</button>')
    assert raw_in("<p>teeth[0]</p>")
    assert not raw_in('<p><a href="/part?path=stages.x">lens chain</a> In the machine file: <code>stages.x</code></p>')


@pytest.mark.parametrize("example", ["harbour-light", "village-mangle"])
def test_every_room_says_keys_in_words(example, serve, copy):
    desk = serve(copy(example))
    machine = desk.draft.look().machine
    beside = "&".join(f"with={name}" for name in machine.options if fits(machine, name))
    places = [*ROOMS, f"/options?{beside}", *(f"/part?path={t.path}" for t in things(machine)),
              *(f"/shape?thing={t.path}" for t in things(machine) if t.path.count(".") == 1)]
    with desk.caller() as caller:
        answers = {place: caller.get(place) for place in places}
    assert {a.status_code for a in answers.values()} == {200}
    assert {place: found for place, a in answers.items() if (found := raw_in(a.text))} == {}


def fits(machine, name):
    try:
        named_option(machine, name)
    except Exception:
        return False
    return True


def test_a_draft_and_its_notices_say_keys_in_words(desk):
    with desk.caller() as caller:
        for form in ({"path": "stages.lens chain.teeth[0]", "value": "21"}, {"path": "shafts.wind.material", "value": ""}):
            caller.post("/edit", data=form)
        caller.post("/shape/remove", data={"path": "stages.fan coupling"})
        wrong = caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": "many"}, follow_redirects=True)
        gone = caller.post("/edit", data={"path": "stages.no such.teeth", "value": "5"}, follow_redirects=True)
        pages = [wrong, gone, *(caller.get(place) for place in ROOMS)]
    assert [found for page in pages if (found := raw_in(page.text))] == []
    assert "lens chain, teeth 1" in read_of(pages[2].text)
    assert "lens chain, teeth 1" in read_of(wrong.text)


def test_a_given_may_be_named_in_words(desk):
    with desk.caller() as caller:
        offered = re.findall(r"<option>(.*?)</option>", caller.get("/paths").text)
        caller.post("/edit", data={"path": "Lens chain, teeth 1", "value": "21"})
        caller.post("/edit", data={"path": "worst push", "value": "500 N"})
        several = caller.post("/edit", data={"path": "teeth", "value": "21"}, follow_redirects=True)
    assert "lens chain, teeth 1" in offered and "lens chain, chain" in offered
    assert [dict(e.option["set"]) for e in desk.draft.look().edits] == [
        {"stages.lens chain.teeth[0]": "21"}, {"drives.crank.worst push": "500 N"}]
    assert "fits 15 givens: weight, teeth" in read_of(several.text)
