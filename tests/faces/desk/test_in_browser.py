"""The builder's evening, in a real Chromium: open, change, look, keep, undo; edits and mishaps from outside."""

import pytest

pytestmark = pytest.mark.browser
TEETH = "stages.lens chain.teeth[1]"


def what_if(page, path, value):
    page.get_by_label("Which given").fill(path)
    page.get_by_label("Its new value").fill(value)
    page.keyboard.press("Enter")


def test_a_tooth_count_is_changed_looked_at_kept_and_taken_back(page, desk):
    original = desk.place.read_bytes()
    page.goto(desk.link)
    assert page.get_by_role("heading", name="The verdict").is_visible()
    assert page.locator(".moved").count() == 0
    what_if(page, TEETH, "44")
    slip = page.get_by_role("complementary", name="Draft")
    slip.get_by_text("figures moved").wait_for()
    assert page.locator("#room .moved").count() > 0
    assert desk.place.read_bytes() == original
    slip.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_role("button", name="Undo what was kept last").wait_for()
    assert "44]" in desk.place.read_text() and page.locator(".moved").count() == 0
    page.get_by_role("button", name="Undo what was kept last").click()
    page.get_by_role("button", name="Undo what was kept last").wait_for(state="detached")
    assert desk.place.read_bytes() == original


def test_a_field_with_suggestions_that_moves_does_not_end_the_tab(page, serve, copy):
    """Steel filled in for the first time: its field goes from what is missing to what is given. Chromium 156 died of it."""
    folder = copy("harbour-light")
    file = folder / "machine.yaml"
    text = file.read_text()
    bare = text.replace(", key steel: C45+N, hub steel: S355J2", "")
    assert bare != text
    file.write_text(bare)
    desk = serve(folder)
    seat = next(f"shafts.{s.name}.seats.{t.name}" for s in desk.draft.look().machine.shafts.values()
                for t in s.seats.values() if t.keys.known and not t.key_steel.known)
    page.goto(desk.link)
    page.goto(f"{desk.origin}/part?path={seat}")
    page.evaluate("for (const one of document.querySelectorAll('main details')) one.open = true")
    field = page.locator("main").get_by_label("key steel", exact=True).first
    field.fill("C45+N")
    field.locator("xpath=ancestor::form[1]").get_by_role("button", name="Try it").click()
    page.get_by_role("complementary", name="Draft").get_by_text("moved").first.wait_for()
    page.wait_for_timeout(300)
    assert page.locator("main").get_by_label("key steel", exact=True).first.input_value() == "C45+N"


def test_a_value_that_cannot_be_is_refused_beside_the_field(page, desk):
    page.goto(desk.link)
    what_if(page, "drives.weight.mass", "3 m")
    alert = page.get_by_role("alert").filter(has_text="Nothing was changed")
    alert.wait_for()
    assert "mass" in alert.inner_text()
    assert page.get_by_label("Its new value").input_value() == "3 m"


def test_a_second_window_follows_the_first(page, desk):
    page.goto(desk.link)
    other = page.context.new_page()
    other.goto(desk.origin)
    what_if(page, TEETH, "44")
    other.get_by_text("figures moved").wait_for()


def test_a_file_broken_elsewhere_is_said_and_a_mended_one_is_noticed(page, desk):
    page.goto(desk.link)
    text = desk.place.read_text()
    desk.place.write_text(text.replace("shafts:", "shfts:", 1))
    notice = page.get_by_role("alert").filter(has_text="cannot be used as it stands")
    notice.wait_for()
    assert "shfts" in notice.inner_text()
    assert page.get_by_role("heading", name="The verdict").is_visible()
    desk.place.write_text(text)
    notice.wait_for(state="detached")


def test_what_was_unfolded_and_where_one_was_stay_when_figures_move(page, desk):
    desk.run_no_more()
    page.goto(desk.link)
    unfolded = page.locator("[id='e-stages.winding_chain'] details")
    unfolded.locator("summary").click()
    asked = []
    page.on("request", lambda request: asked.append(request.url.removeprefix(desk.origin)))
    what_if(page, TEETH, "44")
    page.get_by_text("figures moved").wait_for()
    assert unfolded.get_attribute("open") is not None
    assert page.evaluate("document.activeElement.name") == "value"
    page.wait_for_timeout(500)
    asked.clear()
    page.wait_for_timeout(2500)  # two looks of the window: it is told that nothing is new and does not load again
    assert set(asked) == {f"/moved?seen={desk.draft.state.number}"}


def test_an_answer_that_comes_late_repaints_nothing_newer(page, desk):
    """The page of the first edit is held back until that of the second one is shown."""
    desk.run_no_more()
    held = []

    def hold_the_first(route):
        if route.request.method == "GET" and route.request.headers.get("hx-request") and not held:
            held.append((route, route.fetch()))
        else:
            route.continue_()

    page.goto(desk.link)
    page.route(f"{desk.origin}/", hold_the_first)
    page.evaluate("void htmx.ajax('GET', '/', {target: '#sheet', select: '#sheet', swap: 'morph:outerHTML', source: '.skip'})")
    while not held:
        page.wait_for_timeout(20)
    what_if(page, TEETH, "44")
    page.get_by_text("figures moved").wait_for()
    route, answer = held[0]
    route.fulfill(response=answer)
    page.wait_for_timeout(300)
    assert page.get_by_text("figures moved").is_visible()
    assert page.locator("#sheet").get_attribute("data-state") == str(desk.draft.state.number)
