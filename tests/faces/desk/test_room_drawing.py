"""The drawing in the Machine room: every part opens, a case is chosen, a run is played, a closer look outlives an edit."""

import re

import pytest

from layshaft.faces.desk.room_drawing import looked, moved


def test_every_part_of_the_drawing_is_a_link_to_its_room(desk):
    with desk.caller() as caller:
        html = caller.get("/").text
        assert 'href="/part?path=stages.lens%20chain"' in html
        assert caller.get("/part?path=stages.lens%20chain").status_code == 200


def test_what_is_looked_at_stands_in_the_address(desk):
    with desk.caller() as caller:
        html = caller.get("/?quantity=moment&held=spindle").text
    assert "<option value=\"moment\" selected>" in html
    assert "Held fast at spindle by the pull of its drive" in html
    assert "bending moment" in html


def test_a_case_that_an_edit_took_away_is_no_longer_chosen(desk):
    verdict = desk.draft.look().verdict
    assert looked(verdict, "no such case", "heat", "nobody").case == ""
    assert looked(verdict, "running mean", "torque", "").case == "running mean"


def test_what_an_edit_moves_is_marked(desk):
    assert not moved(desk.draft.look())
    state = desk.draft.edit({"set": {"stages.lens chain.teeth[0]": "21"}})
    assert "stages.lens chain" in moved(state)
    with desk.caller() as caller:
        assert 'class="d-part d-moved"' in caller.get("/").text


def test_the_course_of_the_run_is_served(desk):
    with desk.caller() as caller:
        data = caller.get("/course").json()
    assert data["turned"]["spindle"][-1]
    assert data["heights"]["weight"][0] == pytest.approx(1.4, abs=0.02)


@pytest.mark.browser
def test_a_run_is_played_and_scrubbed(page, desk):
    page.goto(desk.link)
    page.click("#play button")
    page.locator(".d-turns[transform]").first.wait_for(state="attached")
    assert page.inner_text("#play button") == "Pause"
    page.click("#play button")
    page.evaluate("""() => { const s = document.querySelector('#play input[type=range]');
                             s.value = 600; s.dispatchEvent(new Event('input', { bubbles: true })); }""")
    page.locator("#play output", has_text="10:00 of").wait_for()
    first, second = (float(re.search(r"-?[\d.]+", page.locator(f".d-turns[data-shaft='{shaft}']").first.get_attribute(
        "transform"))[0]) for shaft in ("main", "lens lay"))
    assert second / first == pytest.approx(19 / 38, abs=1e-3)


@pytest.mark.browser
def test_a_closer_look_outlives_an_edit(page, desk):
    page.goto(desk.link)
    page.click("[data-view=end] [data-zoom=in]")
    box = "document.querySelector('[data-view=end] svg').getAttribute('viewBox')"
    closer = page.evaluate(box)
    assert not closer.startswith("0 0")
    desk.draft.edit({"set": {"loads.fan.trim": "90 %"}})
    page.locator("#sheet[data-open='1']").wait_for()
    page.locator(f"[data-view=end] svg[viewBox='{closer}']").wait_for()
    page.click("[data-view=end] [data-zoom=all]")
    assert page.evaluate(box).startswith("0.0 0.0")


@pytest.mark.browser
def test_a_part_is_opened_by_the_keyboard(page, desk):
    page.goto(desk.link)
    page.locator("[data-view=end] a.d-part[data-path='stages.lens chain']:not([tabindex])").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/part?path=stages.lens*chain")


@pytest.mark.browser
def test_a_plain_wheel_scrolls_and_ctrl_with_it_looks_closer(page, desk):
    page.goto(desk.link)
    svg = page.locator("[data-view=end] svg.drawing")
    svg.hover()
    whole = svg.get_attribute("viewBox")
    page.mouse.wheel(0, -100)
    assert svg.get_attribute("viewBox") == whole
    page.keyboard.down("Control")
    page.mouse.wheel(0, -100)
    page.keyboard.up("Control")
    page.locator(f"[data-view=end] svg.drawing:not([viewBox='{whole}'])").wait_for()
