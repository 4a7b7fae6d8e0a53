"""What a part still needs, by its form: sizes that hold and usual values are offered, nothing of them is taken unticked."""

import re
from html import unescape
from urllib.parse import quote

import pytest

from faces.pages_help import rated
from layshaft.faces.desk.below.finishing import _lines
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.shown.still import not_finished, still_next
from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.unfinished import still_needed

BEGUN = {"what": "drum", "speed": "40 rpm", "torque": "2 N m", "driver": "crank", "room": "2 m high, 0.6 m wide"}
FORM = r'<form [^>]*action="/shape/needs".*?</form>'


@pytest.fixture
def begun(serve, tmp_path):
    """A machine begun from nothing: a crank, a chain, a load, all sizes open."""
    desk = serve(tmp_path)
    post(desk, "/begin", **BEGUN)
    return desk


def post(desk, where, **data):
    with desk.caller() as caller:
        return unescape(caller.post(where, data=data, follow_redirects=True).text)


def form_of(desk, of, more=""):
    with desk.caller() as caller:
        return unescape(caller.get(f"/shape/needs?of={quote(of)}{more}").text)


def ticks(page):
    return re.findall(r'name="((?:size|guess):[^"]+)"', page)


def settle(desk, of, **filled):
    return post(desk, "/shape/needs", of=of, back=f"/shape/needs?of={quote(of)}", **filled)


@pytest.mark.parametrize("name", ["harbour-light", "planter-hoist", "sack-hoist", "cider-mill"])
def test_whatever_is_named_as_not_finished_has_a_form_with_lines(name):
    state = State(verdict=rated(name))
    for path, count in not_finished(state):
        assert count and _lines(state, still_needed(state.verdict, path))
    assert (still_next(state) is None) == (state.unknown == 0)


def test_every_page_says_how_many_are_unknown_and_what_to_settle_next(begun):
    unknown = begun.draft.look().unknown
    assert unknown > 30
    for room in ("/", "/shape", "/part?path=shafts.crank shaft", "/needs"):
        with begun.caller() as caller:
            page = unescape(caller.get(room).text)
        assert f"<b>{unknown}</b> verdicts are still unknown" in page
        assert 'Next to settle: <a href="/shape/needs?of=stages.chain%201">chain 1</a>, 3 lines' in page


def test_the_diameter_comes_first_then_what_sits_on_it(begun):
    page = form_of(begun, "shafts.crank shaft")
    assert ticks(page) == ["size:shafts.crank shaft"] and "offered once its diameter is there" in page
    settle(begun, "shafts.crank shaft", **{"size:shafts.crank shaft": "1"})
    shaft = begun.draft.look().machine.shafts["crank shaft"]
    bore = shaft.sections[0][0].nominal
    assert bore in (0.010, 0.012, 0.015, 0.017, 0.020, 0.025, 0.030)  # bores of ISO 15 that a shaft of this size may have
    page = form_of(begun, "shafts.crank shaft")
    bearings = [t for t in ticks(page) if t.endswith(".bearing")]
    assert len(bearings) == 2 and "the smallest standard size that holds" in page
    settle(begun, "shafts.crank shaft", **dict.fromkeys(bearings, "1"))
    assert all(seat.bearing.known for seat in begun.draft.look().machine.shafts["crank shaft"].seats.values()
               if seat.carries_shaft)


def test_usual_values_are_offered_with_their_range_and_written_as_guesses(begun):
    post(begun, "/shape/add", add="loads:disc brake", name="stop", shaft="crank shaft", back="/shape")
    page = form_of(begun, "loads.stop")
    offered = [t for t in ticks(page) if t.startswith("guess:")]
    assert offered == ["guess:loads.stop.friction", "guess:loads.stop.scatter", "guess:loads.stop.pads"]
    assert ("or begin with <b>0.35</b>, between 0.25 and 0.45, as a guess: an organic lining on steel or iron "
            '<span class="case">(common practice)</span>') in page
    assert " checked" not in re.search(FORM, page, re.DOTALL)[0]
    assert re.search(FORM, form_of(begun, "loads.stop", "&ticked=1"), re.DOTALL)[0].count(" checked") == len(offered)
    settle(begun, "loads.stop", **dict.fromkeys(offered, "1") | {"loads.stop.scatter": "25 %"})
    made = begun.draft.look().machine.loads["stop"]
    assert made.friction.is_guess and (made.friction.low, made.friction.high) == (0.25, 0.45)
    assert made.scatter.nominal == 0.25 and made.scatter.source == "decided"  # what is typed counts
    begun.draft.keep()
    assert 'note: "an organic lining on steel or iron: common practice"' in begun.place.read_text()
    read(begun.place)


@pytest.mark.parametrize(("name", "said"), [
    ("size:stages.nowhere", "No size is offered"), ("guess:stages.chain 1.chain", "There is no usual value"),
    ("nothing", "Fill in or tick at least one line")])
def test_what_is_not_offered_is_not_taken(begun, name, said):
    page = settle(begun, "stages.chain 1", **{name: "1"} if ":" in name else {})
    assert said in page and not begun.draft.look().open


def test_ticks_of_a_form_that_is_refused_stay(begun):
    typed = {"stages.chain 1.teeth[0]": "many", "size:stages.chain 1": "1"}
    page = settle(begun, "stages.chain 1", **typed)
    assert re.search(r'name="size:stages.chain 1" value="1" checked', page) and 'value="many"' in page
    assert not begun.draft.look().open


def test_a_weight_that_is_hung_on_a_chain_wants_no_rope_any_more(begun):
    post(begun, "/shape/add", add="drives:falling weight", name="weight", shaft="crank shaft", back="/shape")
    assert "drives.weight.suspension" in begun.draft.look().machine.open_paths
    with begun.caller() as caller:
        caller.post("/edit", data={"path": "drives.weight.chain", "value": "08B-1", "back": "/"})
    drive = begun.draft.look().machine.drives["weight"]
    assert drive.chain.name == "08B-1" and drive.suspension.state == "missing"


def test_nothing_of_an_example_is_laid_in_as_if_somebody_had_said_it(begun):
    post(begun, "/shape/add", add="parts:coupling", name="muff", back="/shape")
    assert begun.draft.look().machine.parts["muff"].read_in == "not said yet"


def test_a_listing_that_says_too_little_is_asked_for_its_ratings_where_it_is_used():
    machine = rated("harbour-light").solved.machine
    bare = rate(solve(apply(machine, {"remove": ["parts.jaw 10.steady torque", "parts.jaw 10.peak torque"]})))
    assert "parts.jaw 10.steady torque" not in still_needed(rated("harbour-light"), "stages.bell coupling")
    lines = still_needed(bare, "stages.bell coupling")
    assert {"parts.jaw 10.steady torque", "parts.jaw 10.peak torque"} <= set(lines)
    assert {f.path for f in _lines(State(verdict=bare), lines)} == set(lines)
