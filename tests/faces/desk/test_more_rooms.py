"""Needs, Run, Doubt, Formulary and Shape, asked as a browser asks, without scripts."""

import re
import shutil
import time
from html import unescape
from urllib.parse import quote

import numpy as np
import pytest

from faces.pages_help import ROOT, parsed, until
from layshaft.faces.desk.jobs import Jobs
from layshaft.faces.desk.shown import doubting
from layshaft.study.doubt import doubt
from layshaft.trace.errors import BadInput

SMALL_RUN = 30.0


# Long work ----------------------------------------------------------------------------------------


def test_work_is_done_once_for_a_key_and_answers():
    jobs, ran = Jobs(), []
    job = jobs.ask(("a",), 10.0, "{done:.0f} of {whole:.0f}", lambda told: ran.append(told(5.0)) or "answer")
    until(lambda: not job.running)
    assert (job.answer, job.share, job.said()) == ("answer", 0.5, "5 of 10")
    assert jobs.ask(("a",), 10.0, "", lambda told: "again") is job
    assert len(ran) == 1
    anew = jobs.ask(("a",), 10.0, "", lambda told: "again", anew=True)
    until(lambda: not anew.running)
    assert anew.answer == "again"
    assert jobs.of(("b",)) is None


def test_work_that_is_stopped_keeps_what_is_done_and_newer_work_stops_older():
    def slow(told):
        try:
            for i in range(10_000):
                told(float(i))
                time.sleep(0.005)
        except KeyboardInterrupt:
            return "as far as it came"

    jobs = Jobs()
    first = jobs.ask(("a",), 1e4, "", slow)
    second = jobs.ask(("b",), 1e4, "", slow)
    until(lambda: not first.running)
    assert second.running
    jobs.stop()
    until(lambda: not second.running)
    assert second.answer == "as far as it came"
    assert second.stopped


def test_work_that_cannot_be_done_says_why():
    jobs = Jobs()

    def refused(_told):
        raise BadInput("There is nothing to run.")

    def broken(_told):
        raise ZeroDivisionError

    job = jobs.ask(("a",), 1.0, "", refused)
    until(lambda: not job.running)
    assert job.why == "There is nothing to run."
    job = jobs.ask(("b",), 1.0, "", broken)
    until(lambda: not job.running)
    assert "ZeroDivisionError" in job.why


# Run ----------------------------------------------------------------------------------------------


def test_a_run_begins_by_itself_and_is_made_anew_when_the_machine_changes(desk, caller):
    assert caller.get("/run/charts.json").status_code == 404
    page = until(lambda: (text := caller.get("/run").text) and "data-charts" in text and text)
    parsed(re.sub(r"<!doctype html>", "", page))
    assert 'data-charts="/run/charts.json"' in page
    assert "Largest torque of each stage" in page
    data = caller.get("/run/charts.json").json()
    assert [c["name"] for c in data["charts"]] == ["speed", "torque", "height", "energy"]
    spindle = next(line for line in data["charts"][0]["lines"] if line["name"].startswith("spindle") and
                   line["role"] in ("line", "high"))
    tail = [v for v in spindle["values"][len(spindle["values"]) // 2:] if v is not None]
    assert np.median(tail) == pytest.approx(1.0, abs=0.1)  # the lens turns once a minute
    lengths = {len(line["values"]) for c in data["charts"] for line in c["lines"]}
    assert lengths == {len(data["time"]["values"])}
    assert caller.get("/run/run.csv").text.startswith('"time, min"')
    caller.post("/edit", data={"path": "loads.hammer cam.energy", "value": "9 J", "back": "/run"})
    later = until(lambda: (text := caller.get("/run").text) and "data-charts" in text and text)
    assert told_first(later) != told_first(page)


def told_first(page):
    """The sentences above the charts."""
    return re.sub(r"<[^>]+>", "", re.search(r'<p class="about run-sum">.*?</p>', page)[0])


def test_a_part_of_a_run_is_shown_as_closely_as_it_is_known(caller):
    until(lambda: "data-charts" in caller.get("/run").text)
    whole = caller.get("/run/charts.json").json()
    part = caller.get("/run/charts.json", params={"begin": 10, "end": 12}).json()
    times = part["time"]["values"]
    assert times[0] == pytest.approx(10, abs=1e-6) and times[-1] < 12
    assert len(times) == len(whole["time"]["values"])
    heights = [next(c for c in d["charts"] if c["name"] == "height")["lines"][0]["values"] for d in (whole, part)]
    at = [np.interp(11.0, d["time"]["values"], h) for d, h in zip((whole, part), heights, strict=True)]
    assert at[0] == pytest.approx(at[1], abs=0.01)
    assert caller.get("/run/charts.json", params={"begin": 44, "end": 1e9}).json()["time"]["values"][-1] < 45
    assert caller.get("/run/charts.json", params={"begin": "nan", "end": -3}).status_code == 200


def test_a_run_says_first_how_long_a_winding_lasts_and_shares_are_per_cent(caller):
    """0.2027 of a change of speed is 20.3 %; what a run must last is a least, what it may vary a most."""
    page = until(lambda: (text := caller.get("/run").text) and "data-charts" in text and text)
    assert re.search(r"One winding of weight lasts \d+ min( \d+ s)?, and the run takes [\d.]+ of them; whoever winds gives "
                     r"\d+ W for \d+ s at a time", told_first(page))
    assert re.search(r"Where nothing is changed, spindle turns at [\d.]+ rev/min, [\d.]+ % (faster|slower) than wanted. Over "
                     r"the whole run, changes and all, it is", told_first(page))
    assert re.search(r"with \d+ N at the handle; at the hardest push \d+ W with \d+ N\.", told_first(page))
    slowest, fastest = map(float, re.search(r"slowest at ([\d.]+) rev/min and fastest at ([\d.]+) rev", told_first(page)).groups())
    lines = next(c for c in caller.get("/run/charts.json").json()["charts"] if c["name"] == "speed")["lines"]
    late = [v for line in lines if line["name"].startswith("spindle") for v in line["values"][-200:] if v]
    assert slowest - 0.01 <= min(late) and max(late) <= fastest + 0.01  # the chart is drawn from the same run, otherwise
    assert "they do not turn with the train that runs: ratchet, winding chain" in page
    row = re.search(r"<tr>(?:(?!</tr>).)*change of the mean speed.*?</tr>", page)[0]
    assert re.search(r">\d\d\.\d+ %<", row) and "at most 25.00 %" in row
    assert "at least 45.00 min" in page and "wanted: open day" not in page.split("<details>")[0].split("run-tables")[1]


def test_the_line_of_a_job_that_is_done_sends_the_window_to_look_again(caller):
    answer = caller.get("/run/progress")
    assert answer.headers.get("hx-trigger") == "desk-moved" or "progress" in answer.text


# Doubt --------------------------------------------------------------------------------------------


def test_guesses_stand_with_their_tests_before_anything_is_drawn(desk, caller):
    page = unescape(caller.get("/doubt").text).replace("\N{NO-BREAK SPACE}", " ")
    assert "What is guessed, by how it is found out" in page and "A person's effort at the crank" in page
    assert "600 N, between 400 N and 900 N, assumed" in page
    assert page.count('href="/doubt/readings?given=') >= 30
    sheet = caller.get("/doubt/test.html", params={"given": "drives.crank.worst push"})
    assert sheet.text.startswith("<!doctype html>") and "style-src 'unsafe-inline'" in sheet.headers["content-security-policy"]
    assert sheet.headers["content-disposition"].startswith("inline")
    assert caller.get("/doubt/test.csv", params={"given": "drives.crank.worst push"}).status_code == 200


def test_draws_are_told_with_what_they_are_in_doubt_by(desk, caller):
    caller.post("/doubt/start", data={"draws": "64", "back": "/doubt"}, follow_redirects=True)
    page = unescape(until(lambda: (text := caller.get("/doubt").text) and "Verdicts in doubt" in text and text, 120))
    page = page.replace("\N{NO-BREAK SPACE}", " ")
    assert "64 draws of the" in page and "Most of the doubt," in page
    assert "What to find out first" in page and "Where a verdict flips" in page
    row = re.search(r'<tr><th scope="row"><a href="[^"]+">crank, winding sprocket: key</a>.*?</tr>', page, re.DOTALL)[0]
    assert "crank, worst push" in row and "600 N, between 400 N and 900 N" in row
    room = page.split('<main')[1].split("</main>")[0]
    assert not re.search(r">[^<]*\b(?:drives|stages|loads)\.\w", room)


def test_a_guess_put_down_near_one_end_explains_a_verdict_that_holds_and_yet_seldom(desk):
    machine = desk.draft.look().machine
    found = doubt(machine, 64)
    rows = doubting.rows(found)
    assert [bool(r.odds.finding.hurts) for r in rows] == sorted((bool(r.odds.finding.hurts) for r in rows), reverse=True)
    odd = [r for r in rows if r.odds.finding.verdict == "holds" and r.odds.holds < 0.5]
    assert odd and "hold as the machine stands" in doubting.lopsided(rows, found)
    assert doubting.lopsided([], found) == ""


@pytest.mark.parametrize("draws", ["0", "-5", "99999999", "many"])
def test_draws_that_cannot_be_are_refused(caller, draws):
    assert caller.post("/doubt/start", data={"draws": draws, "back": "/doubt"}).status_code in (400, 422)


# Formulary ----------------------------------------------------------------------------------------


def test_a_formula_is_found_and_worked_out_in_any_unit(caller):
    found = caller.get("/formulary?find=pitch+diameter").text
    assert "/formulary?name=roller_chain.geometry.pitch_diameter" in found
    page = caller.get("/formulary?name=roller_chain.geometry.pitch_diameter&p=1/2+in&z=19&in=mm").text
    assert "77.159" in page  # ISO 606: 12.7 mm / sin(180 deg / 19) = 77.16 mm, printed in its table of sprockets
    assert "<math" in page
    assert 'value="1/2 in"' in page


def test_what_is_wrong_with_an_input_is_said(caller):
    page = unescape(caller.get("/formulary?name=roller_chain.geometry.pitch_diameter&p=12.7&z=19").text)
    assert "'12.7' has no unit" in page
    page = unescape(caller.get("/formulary?name=roller_chain.geometry.pitch_diameter&p=12.7+mm").text)
    assert "Needed too, for instance 1." in page and "One input is missing" in page
    page = unescape(caller.get("/formulary?name=rolling_life.rating_life&C=14+kN&P=1+kg&p=").text)
    assert "2 inputs are missing" in page and "'1 kg'" in page
    assert caller.get("/formulary?name=no_such.formula").status_code == 404


def test_every_formula_has_a_form_from_its_signature(caller):
    from layshaft.trace.registry import load_all

    for name in list(load_all())[::60]:
        page = caller.get(f"/formulary?name={name}").text
        for parameter in load_all()[name].parameters:
            assert f'id="in-{parameter}"' in page, name


def test_a_formula_says_where_the_machine_uses_it_and_fills_in_its_numbers(caller):
    """12.7 mm / sin(180 deg / 19) = 77.16 mm; ISO 606, from the desk's own form with the machine's own numbers."""
    page = caller.get("/formulary?name=roller_chain.geometry.pitch_diameter").text
    use = re.search(r'<li>(?:(?!</li>).)*winding chain(?:(?!</li>).)*</li>', page)[0]
    assert "77.16 mm" in use
    filled = unescape(re.search(r'class="case" href="([^"]+)"', use)[1])
    assert "77.159" in caller.get(filled).text


def test_rooms_of_formulas_stand_under_headings_and_open(caller):
    page = unescape(caller.get("/formulary").text)
    assert "How thick must a shaft be?" in page and "<h3>Chains, belts and ropes</h3>" in page
    solids = unescape(caller.get("/formulary?room=mechanics.solids").text)
    assert "<h2>Sphere</h2>" in solids and "/formulary?name=inertia.sphere_volume" in solids
    assert caller.get("/formulary?room=mechanics.nothing").status_code == 404
    assert "No formula speaks of that" in caller.get("/formulary?find=qqqq").text


# Needs --------------------------------------------------------------------------------------------


@pytest.fixture
def open_desk(serve, tmp_path):
    """The demo machine with a bearing, a chain and a coupling still to be found."""
    folder = tmp_path / "open"
    shutil.copytree(ROOT / "examples" / "harbour-light", folder, ignore=shutil.ignore_patterns(".layshaft"))
    place = folder / "machine.yaml"
    text = place.read_text(encoding="utf-8")
    text = text.replace('right bearing: {at: 360 mm, bearing: "6205"', "right bearing: {at: 360 mm, bearing: open", 1)
    text = text.replace("  lens chain:\n    kind: roller chain\n    from: main\n    to: lens lay\n    seats: [lens sprocket, "
                        "sprocket]\n    chain: 08B-1", "  lens chain:\n    kind: roller chain\n    from: main\n    to: "
                        "lens lay\n    seats: [lens sprocket, sprocket]\n    chain: open", 1)
    text = text.replace("listing: jaw 35", "listing: open", 1)
    place.write_text(text, encoding="utf-8")
    return serve(folder)


def test_a_need_is_a_sentence_with_what_is_offered(open_desk):
    with open_desk.caller() as caller:
        page = unescape(caller.get("/needs").text)
        assert "parts still to be found" in page
        assert "Find a bearing that" in page
        assert 'name="bore" value="25 mm"' in page
        assert re.search(r"6205\s+<span class=\"case\">standard series", page, re.DOTALL)
        narrow = caller.get("/needs", params={"part": "shafts.wind.seats.right bearing.bearing", "bore": "25 mm",
                                              "dynamic rating": "20 kN"}).text
        narrow = narrow.partition('whose-need"><a href="/part?path=shafts.wind.seats.right')[2].partition("</section>")[0]
        assert 'value="6305"' in narrow
        assert 'value="6005"' not in narrow
        wrong = unescape(caller.get("/needs", params={"part": "shafts.wind.seats.right bearing.bearing",
                                                      "bore": "25"}).text)
        assert "no unit" in wrong or "unit" in wrong


def test_an_offer_and_the_smallest_size_are_taken_into_the_draft(open_desk):
    path = "shafts.wind.seats.right bearing.bearing"
    with open_desk.caller() as caller:
        caller.post("/needs/take", data={"path": path, "wanted": "6305", "back": "/needs"})
        assert open_desk.draft.state.machine.shafts["wind"].seats["right bearing"].bearing.name == "6305"
        caller.post("/drop", data={"back": "/needs"})
        caller.post("/needs/size", data={"path": "stages.lens chain", "back": "/needs"})
        assert open_desk.draft.state.machine.stages["lens chain"].chain.known
        gone = caller.post("/needs/size", data={"path": "stages.nowhere", "back": "/needs"}, follow_redirects=True)
        assert "Nothing is open at" in unescape(gone.text)


def test_nothing_open_says_so(caller):
    assert "Every part is chosen" in caller.get("/needs").text


# Shape --------------------------------------------------------------------------------------------


def test_a_stage_is_added_by_its_form_renamed_and_removed(desk, caller):
    page = caller.get("/shape").text
    link = next(unescape(a) for a in re.findall(r'href="(/shape\?add=[^"]+)"', page) if "roller" in a)
    form = caller.get(link).text
    assert 'name="from"' in form
    answer = caller.post("/shape/add", data={"add": "stages:roller chain", "name": "dial chain", "from": "main",
                                             "to": "a new shaft", "back": link}, follow_redirects=True)
    assert answer.status_code == 200
    assert "dial chain" in desk.draft.state.machine.stages
    assert "<code>stages.dial chain</code>" in answer.text
    caller.post("/shape/rename", data={"path": "stages.dial chain", "name": "clock chain", "back": "/shape"})
    assert "clock chain" in desk.draft.state.machine.stages
    caller.post("/shape/remove", data={"path": "shafts.dial chain shaft", "back": "/shape"})
    machine = desk.draft.state.machine
    assert "dial chain shaft" not in machine.shafts
    assert "clock chain" not in machine.stages
    assert len(desk.draft.state.edits) == 3


def test_what_would_go_with_it_is_told_before(caller):
    page = unescape(caller.get(f"/shape?thing={quote('shafts.bell')}").text)
    assert "bell coupling" in page
    assert "hammer cam" in page


def test_a_copy_is_another_one(desk, caller):
    caller.post("/shape/copy", data={"path": "stages.lens chain", "name": "lens chain 2", "back": "/shape"})
    both = desk.draft.state.machine.stages
    assert both["lens chain 2"].chain.name == both["lens chain"].chain.name
    assert both["lens chain 2"].seats != both["lens chain"].seats


def test_what_cannot_be_added_is_told_and_nothing_changes(desk, caller):
    for data in ({"add": "stages:no such kind", "name": "x"}, {"add": "modules:", "name": "a.b"},
                 {"add": "stages:roller chain", "name": "lens chain", "from": "main", "to": "lens lay"}):
        answer = caller.post("/shape/add", data=data | {"back": "/shape"}, follow_redirects=True)
        assert "Nothing was changed" in answer.text
    assert not desk.draft.state.edits


# Options ------------------------------------------------------------------------------------------


def test_options_stand_side_by_side_and_one_is_taken(desk, caller):
    page = caller.get("/options").text
    assert "slim crank" in page
    both = caller.get("/options?with=slim+crank&with=stout+winding+chain").text
    assert re.search(r"<h3>stout winding chain</h3>.*now holds", both, re.DOTALL)
    assert "Margins that move" in both
    caller.post("/options/take", data={"name": "stout winding chain", "back": "/options"})
    assert desk.draft.state.machine.stages["winding chain"].chain.name == "12B-1"
    assert [e.words for e in desk.draft.state.edits] == ["option stout winding chain"]


def test_an_option_that_cannot_turn_as_the_draft_stands_is_named_beside_the_others(desk, caller):
    """A second lens chain of 19 and 38 teeth beside a first one of 21 and 38 locks the loop."""
    caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": "21"})
    page = unescape(caller.get("/options?with=lens+twin&with=slim+crank").text)
    assert "Not possible as the machine stands: lens twin:" in page and "cannot turn" in page
    assert "<h3>slim crank</h3>" in page


def test_a_search_is_watched_answered_and_a_trade_off_taken(desk, caller):
    path = "shafts.wind.seats.right bearing.bearing"
    caller.post("/options/choose", data={"part": path, "prefer": "", "ratio": "", "back": "/options"})
    page = until(lambda: (text := unescape(caller.get("/options").text)) and "Take trade-off" in text and text)
    assert "combination" in page
    wanted = re.search(r'name="wanted" value="([^"]+)" aria-label="Take trade-off 1"', page)[1]
    caller.post("/options/trade", data={"wanted": wanted, "back": "/options"})
    assert desk.draft.state.machine.shafts["wind"].seats["right bearing"].bearing.name != "6205"
    later = unescape(caller.get("/options").text)
    assert "earlier state" in later
    refused = caller.post("/options/trade", data={"wanted": wanted, "back": "/options"}, follow_redirects=True)
    assert "Search again" in unescape(refused.text)


def test_nothing_ticked_searches_nothing(caller):
    answer = caller.post("/options/choose", data={"back": "/options"}, follow_redirects=True)
    assert "Tick the parts" in unescape(answer.text)


def test_every_offer_that_can_be_taken_is_taken(serve, tmp_path):
    """A first machine whose parts are all open: whatever is offered beside a need fits the place it is offered for."""
    from layshaft.project.new import answers, create

    desk = serve(create(tmp_path / "first", answers({})).parent)
    with desk.caller() as caller:
        page = unescape(caller.get("/needs").text)
        forms = re.findall(r'action="/needs/take".*?name="path" value="([^"]+)".*?name="wanted" value="([^"]+)"', page, re.DOTALL)
        assert len(forms) > 5
        firsts = {}
        for path, wanted in forms:
            firsts.setdefault(path, wanted)
        for path, wanted in firsts.items():
            answer = caller.post("/needs/take", data={"path": path, "wanted": wanted, "back": "/needs"}, follow_redirects=True)
            assert "Nothing was changed" not in answer.text, (path, wanted)
        assert len(desk.draft.state.edits) == len(firsts)
