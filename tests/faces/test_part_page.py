"""The room of one part: well-formed, strict about scripts and styles, and every field sends what can be read back."""

import re
from html import escape
from importlib.resources import files

import numpy as np
import pytest

from faces.pages_help import EXAMPLES, parsed, rated
from layshaft.faces.pages.chart import Axis, Drawn, line_chart
from layshaft.faces.pages.given_forms import Sending, fields, given_forms, text_of, things_at
from layshaft.faces.pages.part import ladders, mend, part_page
from layshaft.faces.pages.sizes import sizes, would
from layshaft.faces.pages.style import style
from layshaft.machine import apply
from layshaft.machine.schema import Choice, Given
from layshaft.study.compare import beside
from layshaft.train.solve import solve
from layshaft.verdict.ladder import ladder
from layshaft.verdict.rate import rate

ALL = (*EXAMPLES, "mill-hoist", "village-pump")


def page(verdict, path):
    return part_page(verdict, path, lambda p: f"/part?path={escape(p)}",
                     lambda _, t: f'<button class="take">Take {escape(t.candidate.name)}</button>', Sending("/part"))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_has_a_page_that_is_well_formed(name):
    verdict = rated(name)
    for path in dict.fromkeys(f.part for f in verdict.findings):
        reader = parsed(page(verdict, path))
        ids = [a["id"] for _, a in reader.tags if "id" in a]
        assert len(ids) == len(set(ids)), path
        for tag, attributes in reader.tags:
            assert tag not in ("script", "style"), path
            assert "style" not in attributes, path
            assert not [a for a in attributes if a.startswith("on")], path
        labelled = {a["for"] for t, a in reader.tags if t == "label"}
        for tag, attributes in reader.tags:
            if tag in ("input", "select") and attributes.get("type") != "hidden":
                assert attributes["id"] in labelled


def places(machine):
    yield from (s.path for s in machine.shafts.values())
    yield from (seat.path for s in machine.shafts.values() for seat in s.seats.values())
    for things in (machine.stages, machine.drives, machine.loads, machine.parts, machine.modules, machine.wants,
                   machine.fixings, machine.springs, machine.frames, machine.partings, machine.runs):
        yield from (t.path for t in (things or {}).values())


@pytest.mark.parametrize("name", ALL)
def test_what_a_form_shows_can_be_sent_back(name):
    """Every field of every thing, sent as it stands, leaves a machine with the same numbers."""
    machine = rated(name).solved.machine
    sets, numbers = {}, {}
    for path in places(machine):
        thing = things_at(machine, path)[0]
        assert thing.path == path
        for f in fields(thing):
            text = text_of(f.there)
            if text and not text.startswith("same as"):
                sets[f.path] = text
                if isinstance(f.there, Given):
                    numbers[f.path] = f.there.nominal
    assert len(numbers) > 50
    again = apply(machine, {"set": sets})
    for path, value in numbers.items():
        assert again.givens[path].nominal == pytest.approx(value, rel=1e-12, nan_ok=True), path


def test_a_bearing_and_its_seat_lead_to_the_same_thing():
    machine = rated("harbour-light").solved.machine
    for path in ("shafts.main.seats.left bearing", "shafts.main.seats.left bearing.bearing"):
        assert [t.path for t in things_at(machine, path)] == ["shafts.main.seats.left bearing"]
    assert [t.path for t in things_at(machine, "stages.lens coupling")] == ["stages.lens coupling", "parts.jaw 35"]
    assert things_at(machine, "nowhere.at all") == []


def test_an_inch_and_a_guess_are_shown_as_they_were_written():
    machine = apply(rated("harbour-light").solved.machine, {"set": {
        "stages.winding chain.centres": {"value": "35 1/2 in", "between": ["35 in", "36 in"], "source": "assumed",
                                         "note": "by <eye>"}}})
    thing = machine.stages["winding chain"]
    html = given_forms(machine, thing, Sending("/part"))
    reader = parsed(html)
    shown = [a for _, a in reader.tags if a.get("id", "").startswith("given-stages-winding-chain-centres")]
    values = {a["name"]: a.get("value") for a in shown if "name" in a}
    assert values["value"] == "35 1/2 in"
    assert (values["low"], values["high"]) == ("889 mm", "914.4 mm")
    assert values["note"] == "by <eye>"
    assert "<eye>" not in html
    assert 'class="guess"' in html


def test_what_the_draft_changed_stands_struck_beside_it():
    before = rated("harbour-light").solved.machine
    machine = apply(before, {"set": {"stages.lens chain.teeth[0]": "21"}})
    html = given_forms(machine, machine.stages["lens chain"], Sending("/part", before=before))
    assert html.count("<s>") == 1
    assert "<s>19</s>" in html


def test_what_was_refused_stands_where_it_was_typed():
    machine = rated("harbour-light").solved.machine
    way = Sending("/part", refused=("stages.lens chain.centres", "seven <mm>", "It is not a length."))
    html = given_forms(machine, machine.stages["lens chain"], way)
    field = next(a for _, a in parsed(html).tags if a.get("id") == "given-stages-lens-chain-centres")
    assert field["value"] == "seven <mm>"
    assert field["aria-invalid"] == "true"
    assert "centres-why" in field["aria-describedby"]
    assert "It is not a length." in html


def test_every_kind_of_value_has_its_own_field():
    machine = rated("harbour-light").solved.machine
    html = given_forms(machine, machine.stages["lens chain"], Sending("/part"))
    assert re.search(r'<select id="given-stages-lens-chain-from"[^>]*>.*?<option selected>main</option>', html)
    assert re.search(r'<input id="given-stages-lens-chain-chain"[^>]* list="given-stages-lens-chain-chain-list"', html)
    assert '<option value="06B-1">' in html
    leaves = [f for f in fields(machine.stages["lens chain"]) if isinstance(f.there, Given | Choice)]
    assert {leaf.path for leaf in machine.stages["lens chain"].leaves} == {f.path for f in leaves}


def test_sizes_mark_the_one_there_is_and_offer_the_others():
    found = ladder(rated("harbour-light"), "stages.winding chain")
    html = sizes(found, lambda t: f"<button>{escape(t.candidate.name)}</button>")
    assert html.count('aria-current="true"') == 1
    assert html.count("<button>") == len(found.tried) - 1
    assert "not known" in html  # 16A-1 leaves the table of its method


def test_what_a_size_would_do_is_said_of_the_whole_machine():
    verdict = rated("harbour-light")
    found = ladder(verdict, "stages.winding chain")
    machine = verdict.solved.machine
    up = apply(machine, found.tried[-3].option)
    html = would(beside(["as it stands", found.tried[-3].candidate.name], [machine, up]))
    assert "12B-1" in html
    assert "now hold" in html
    parsed(html)


def test_a_chart_breaks_where_nothing_is_known_and_marks_where_it_stands():
    x = np.array([1.0, 2.0, 5.0, 10.0, 20.0])
    y = np.array([1.0, 2.0, np.nan, 4.0, 8.0])
    html = line_chart("a", "One & all", "said", Axis("speed", x), "life", [Drawn("rating", y, (2.0, 2.0))], (3.0, "wanted"))
    parsed(html)
    assert html.count("M") == 2
    assert html.count('class="c-now"') == 1
    assert "One &amp; all" in html
    assert line_chart("b", "t", "d", Axis("x", x), "y", [Drawn("none", np.full(5, np.nan))]) == ""


def test_the_style_of_the_rooms_gives_no_colour_of_its_own():
    """One palette, that of the printed page: the rooms only use its names."""
    home = files("layshaft.faces.desk") / "static"
    rooms, desk = (home.joinpath(name).read_text(encoding="utf-8") for name in ("rooms.css", "desk.css"))
    assert not re.search(r"#[0-9a-f]{3,6}\b", rooms)
    named = set(re.findall(r"var\((--[a-z]+)\)", rooms))
    assert named <= set(re.findall(r"(--[a-z]+):", style() + desk))


def test_a_part_whose_inputs_are_put_together_has_its_page_too():
    """The drawn wheel of the corn sheller takes its inputs from a class made for it."""
    html = page(rated("corn-sheller"), "loads.wheel")
    parsed(html)
    assert "With a pencil" in html


def test_the_change_that_mends_a_part_stands_first_and_does_mend_it():
    """The size named must hold in a solve of the whole machine with it, in every mode its size decides."""
    verdict = rated("harbour-light")
    for path in ("stages.winding chain", "shafts.wind.seats.ratchet.key", "shafts.wind.seats.right bearing"):
        rungs = ladders(verdict, path)
        html = mend(rungs, lambda p, t: f"<i>{escape(p)}|{escape(t.candidate.name)}</i>")
        there, name = re.search(r"<i>(.*)\|(.*)</i>", html).groups()
        rung = next(t for one in rungs if one.path == there for t in one.tried if t.candidate.name == name)
        changed = rate(solve(apply(verdict.solved.machine, rung.option)))
        own = {f.mode: f for f in changed.findings if f.part == there}
        assert all(own[a.mode].verdict == "holds" for a in rung.answers)
    assert mend(ladders(verdict, "stages.lens chain"), lambda p, t: "") == ""
