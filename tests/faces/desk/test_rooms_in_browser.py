"""The rooms in a real Chromium: no script complains, the accessibility checker `axe-core` finds nothing serious, a phone
is wide enough, and what one does by hand works."""

from itertools import pairwise
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parents[3]
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
ROOMS = ("/part", "/part?path=stages.winding chain", "/part?path=shafts.wind.seats.right bearing&would=1", "/needs", "/run",
         "/options", "/options?with=slim crank&with=stout winding chain", "/doubt", "/formulary", "/formulary?find=life",
         "/formulary?name=roller_chain.geometry.pitch_diameter&p=1/2 in&z=19", "/take-away", "/shape",
         "/shape?add=stages:roller chain", "/shape?thing=shafts.bell", "/part?path=venue", "/part?path=programme",
         "/shape/whole", "/shape/options", "/shape/needs?of=drives.crank", "/shape?add=made of:ring")
CHECK = ("async () => (await axe.run(document, {resultTypes: ['violations']})).violations"
         ".filter(v => ['serious', 'critical'].includes(v.impact))"
         ".map(v => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map(n => n.html).join(' | ')}`)")


@pytest.mark.skipif(not AXE.is_file(), reason="axe-core is not there: sh tools/assets.sh")
@pytest.mark.parametrize("room", ROOMS)
def test_a_room_is_sound(page, desk, room):
    said = []
    page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    page.goto(desk.link)
    page.goto(desk.origin + room)
    assert page.locator("h1").first.is_visible()
    page.evaluate(AXE.read_text(encoding="utf-8"))
    assert page.evaluate(CHECK) == []
    page.set_viewport_size({"width": 390, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert said == []


def test_sheets_of_a_part_have_the_width_of_the_page_and_verdict_words_end_with_their_lines(page, desk):
    page.set_viewport_size({"width": 1400, "height": 900})
    page.goto(desk.link)
    for path in ("stages.lens chain", "stages.fan gears 1"):
        page.goto(desk.origin + "/part?path=" + path)
        assert page.evaluate("[...document.querySelectorAll('.sheet')].every(s => s.scrollWidth <= s.clientWidth)")
        ends = page.evaluate("[...document.querySelectorAll('.part-verdict .entry')].map(e => Math.abs("
                             "e.getBoundingClientRect().right - e.querySelector('.word').getBoundingClientRect().right))")
        assert ends and max(ends) < 1


def test_boxes_to_tick_stand_apart_from_their_words(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/options")
    apart = page.evaluate("[...document.querySelectorAll('.switch')].map(s => s.querySelector('span')"
                          ".getBoundingClientRect().left - s.querySelector('input').getBoundingClientRect().right)")
    assert apart and min(apart) > 3


def test_a_run_begins_by_itself_and_every_line_is_named_at_its_end(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/run")
    page.locator(".uplot canvas").nth(3).wait_for(timeout=60_000)
    assert page.locator(".chart-names li").count() >= 6
    page.get_by_text("Largest torque of each stage", exact=True).wait_for()
    page.wait_for_timeout(300)
    boxes = page.evaluate("[...document.querySelectorAll('.chart-names')].map(l => [...l.children].map(i => {"
                          "const b = i.getBoundingClientRect(); return [b.top, b.bottom]}).sort((a, b) => a[0] - b[0]))")
    assert all(above[1] <= below[0] + 1 for names in boxes for above, below in pairwise(names))


def test_one_moment_of_a_run_is_read_in_all_charts_by_keyboard_and_looked_at_closer(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/run")
    page.locator(".uplot canvas").nth(3).wait_for(timeout=60_000)
    page.wait_for_timeout(300)
    read = "[...document.querySelectorAll('.chart-names b')].map(b => b.textContent).join()"
    lines = "[...document.querySelectorAll('.moment')].map(m => m.style.left)"
    before = page.evaluate(read)
    page.locator("#run-moment").focus()
    page.keyboard.press("Home")
    assert page.locator(".run-at output").text_content() == "0.0 s"
    assert page.evaluate(read) != before
    assert len(set(page.evaluate(lines))) == 1
    page.keyboard.press("End")
    page.get_by_role("button", name="Closer").press("Enter")
    page.get_by_role("button", name="Whole run").wait_for()
    page.wait_for_timeout(300)
    page.locator("#run-moment").focus()
    page.keyboard.press("Home")
    assert page.locator(".run-at output").text_content().startswith("40 min")
    page.get_by_role("button", name="Whole run").press("Enter")
    page.get_by_role("button", name="Whole run").wait_for(state="hidden")


def test_a_given_of_a_part_is_tried_kept_and_taken_back(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/part?path=stages.winding chain")
    page.get_by_label("centres", exact=True).fill("35 1/2 in")
    page.keyboard.press("Enter")
    page.locator(".fact .moved s", has_text="about 900 mm").wait_for()
    page.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_role("button", name="Undo what was kept last").wait_for()
    assert "centres: 35 1/2 in" in desk.place.read_text()
    page.get_by_role("button", name="Undo what was kept last").click()
    page.get_by_role("button", name="Undo what was kept last").wait_for(state="detached")
    assert "centres: about 900 mm" in desk.place.read_text()


def test_a_stage_is_added_by_hand(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/shape")
    page.get_by_role("link", name="gear pair").click()
    page.get_by_label("Its name").fill("dial gears")
    page.get_by_role("button", name="Add it").click()
    page.locator("h1", has_text="dial gears").wait_for()
    assert "dial gears" in desk.draft.state.machine.stages


def test_draws_are_watched_and_stopped(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/doubt")
    page.get_by_label("How many draws").select_option("2048")
    page.get_by_role("button", name="Draw", exact=True).click()
    page.locator("progress").wait_for()
    page.get_by_role("button", name="Stop").click()
    page.get_by_role("button", name="Draw").wait_for(timeout=60_000)
