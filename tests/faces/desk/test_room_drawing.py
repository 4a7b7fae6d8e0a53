"""The drawing in the Machine room: every part opens, a case is chosen, a run is played, a closer look outlives an edit."""

import re
from html import unescape

import pytest

from layshaft.faces.desk.shown.room_drawing import WINDOW, looked, moved


def opened(page, desk):
    """The page, once its drawing is made for its window."""
    page.goto(desk.link)
    page.locator(".wide[data-window]:not([data-window=''])").wait_for()


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


def test_each_view_is_one_link_away_and_keeps_what_is_looked_at(desk):
    with desk.caller() as caller:
        html = unescape(caller.get("/?quantity=moment&show=fails&named=chain").text)
        assert 'data-view="end"' in html and 'data-view="side"' not in html
        side = caller.get(re.search(r'<a href="([^"]+)"[^>]*>From the side', html)[1]).text
    assert 'data-view="side"' in side and '<option value="moment" selected>' in side
    assert 'value="fails" checked' in side and 'name="named" value="chain"' in side


def test_a_shaft_held_fast_is_a_case_among_the_others(desk):
    with desk.caller() as caller:
        html = caller.get("/?case=held+fast+at+spindle").text
    assert "<option selected>held fast at spindle</option>" in html and "Held fast at spindle by the pull" in html


def test_a_drawing_is_made_for_the_window_it_is_in(desk):
    """Letters of 10.5 units are to be read at 12 pixels or more, in whatever width there is; nonsense does no harm."""
    for told, width in (("750x600", 750), ("1050x780", 1050), ("360x700", 360), ("x", 750), ("9" * 40, 750)):
        with desk.caller() as caller:
            html = caller.get("/", headers={"cookie": f"{desk.guard.cookie}={desk.guard.secret}; {WINDOW}={told}"}).text
        units = float(re.search(r'data-size="([\d.]+) ', html)[1])
        assert 10.5 * width / units >= 12


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
    opened(page, desk)
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
def test_the_drawing_fills_its_window_and_is_drawn_anew_for_another(page, desk):
    """The whole drawing is seen at once, its letters at 12 pixels or more, at any size of window."""
    opened(page, desk)
    for width, height in ((1280, 900), (1600, 1000), (390, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.locator("[data-window]").evaluate("""(wide, width) => new Promise((done) => {
            const looks = () => Math.abs(Number(wide.dataset.window.split("x")[0]) - wide.clientWidth) <= 20 ? done() : setTimeout(looks, 50);
            looks(); })""", width)
        svg = page.locator("[data-view] svg.drawing").bounding_box()
        letters = page.evaluate("""() => { const svg = document.querySelector("[data-view] svg.drawing");
            return 10.5 * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width; }""")
        assert letters >= 12 and svg["height"] <= height


@pytest.mark.browser
def test_a_closer_look_outlives_an_edit(page, desk):
    opened(page, desk)
    page.click("[data-zoom=in]")
    box = "document.querySelector('[data-view=end] svg').getAttribute('viewBox')"
    closer = page.evaluate(box)
    assert not closer.startswith("0 0")
    desk.draft.edit({"set": {"loads.fan.trim": "90 %"}})
    page.locator("#sheet[data-open='1']").wait_for()
    page.locator(f"[data-view=end] svg[viewBox='{closer}']").wait_for()
    letters = page.locator(".d-near text", has_text="lens lay").evaluate("""(name) => { const svg = name.ownerSVGElement;
        return parseFloat(name.style.fontSize) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width; }""")
    assert letters == pytest.approx(11 * 1.17, abs=0.5)  # names stand at their places, at the size they had beside it
    page.click("[data-zoom=all]")
    assert page.locator(".d-near").count() == 0
    assert page.evaluate(box).startswith("0.0 0.0")


@pytest.mark.browser
def test_a_part_is_opened_by_the_keyboard(page, desk):
    opened(page, desk)
    page.locator("[data-view=end] a.d-part[data-path='stages.lens chain']:not([tabindex])").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/part?path=stages.lens*chain")


@pytest.mark.browser
def test_a_plain_wheel_scrolls_and_ctrl_with_it_looks_closer(page, desk):
    opened(page, desk)
    svg = page.locator("[data-view=end] svg.drawing")
    svg.hover()
    whole = svg.get_attribute("viewBox")
    page.mouse.wheel(0, -100)
    assert svg.get_attribute("viewBox") == whole
    page.keyboard.down("Control")
    page.mouse.wheel(0, -100)
    page.keyboard.up("Control")
    page.locator(f"[data-view=end] svg.drawing:not([viewBox='{whole}'])").wait_for()
