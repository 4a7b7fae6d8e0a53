"""The desk for everyone: no serious finding of axe-core, the keyboard alone, a phone's width, without scripts."""

import pytest

from layshaft.faces.desk.rooms import rooms

pytestmark = pytest.mark.browser
PAGES = [*(room.path for room, _ in rooms()), "/remarks", "/part?path=stages.lens%20chain", "/part?path=shafts.main"]
PHONE = {"width": 390, "height": 800}
SERIOUS = {"serious", "critical"}


@pytest.fixture
def axe(checkout):
    """The checker's script; `make test` puts it there from package-lock.json."""
    place = checkout / "node_modules" / "axe-core" / "axe.min.js"
    assert place.is_file(), f"{place} is not there: sh tools/assets.sh .venv/bin"
    return place.read_text(encoding="utf-8")


@pytest.fixture
def lenient(browser):
    """A context into whose pages a test may put scripts."""
    context = browser.new_context(bypass_csp=True)
    context.set_default_timeout(10_000)
    yield context
    context.close()


def findings(page, axe):
    page.add_script_tag(content=axe)
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    return [f"{v['id']}: {v['help']}: {v['nodes'][0]['html'][:160]}" for v in found["violations"] if v["impact"] in SERIOUS]


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_serious(lenient, desk, axe, path):
    page = lenient.new_page()
    page.goto(desk.link)
    page.goto(desk.origin + path)
    assert findings(page, axe) == []


def test_axe_finds_nothing_serious_with_a_draft_and_a_refusal_and_trouble(lenient, desk, axe):
    desk.draft.edit({"set": {"stages.lens chain.teeth[1]": "44"}})
    page = lenient.new_page()
    page.goto(desk.link)
    page.get_by_label("Which given").fill("drives.weight.mass")
    page.get_by_label("Its new value").fill("heavy")
    page.keyboard.press("Enter")
    page.get_by_role("alert").filter(has_text="Nothing was changed").wait_for()
    desk.place.write_text(desk.place.read_text().replace("shafts:", "shfts:", 1))
    page.get_by_text("cannot be used as it stands").wait_for()
    assert findings(page, axe) == []


def test_axe_finds_nothing_serious_where_there_is_no_machine(lenient, serve, tmp_path, axe):
    desk = serve(tmp_path)
    page = lenient.new_page()
    page.goto(desk.link)
    assert findings(page, axe) == []


def test_the_keyboard_alone_changes_keeps_and_takes_back(page, desk):
    """From the top of the page by Tab, and the drawing with its many parts can be skipped."""
    original = desk.place.read_bytes()

    def go_to(locator, most=200):
        for _ in range(most):
            page.keyboard.press("Tab")
            if locator.evaluate("e => e === document.activeElement"):
                return
        pytest.fail(f"{locator} is not reached by Tab")

    page.goto(desk.link)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the room"
    page.keyboard.press("Enter")
    go_to(page.get_by_text("Skip the drawing"), 4)
    page.keyboard.press("Enter")
    go_to(page.get_by_label("Which given"), 3)
    page.keyboard.type("stages.lens chain.teeth[1]")
    go_to(page.get_by_label("Its new value"))
    page.keyboard.type("44")
    page.keyboard.press("Enter")
    page.get_by_text("figures moved").wait_for()
    go_to(page.get_by_role("button", name="Keep", exact=True))
    page.keyboard.press("Enter")
    undo = page.get_by_role("button", name="Undo what was kept last")
    undo.wait_for()
    assert desk.place.read_bytes() != original
    assert undo.evaluate("e => e === document.activeElement")  # whoever kept goes on from there
    page.keyboard.press("Space")
    undo.wait_for(state="detached")
    assert desk.place.read_bytes() == original


@pytest.mark.parametrize("path", PAGES)
def test_a_phone_needs_no_scrolling_to_the_side(page, desk, path):
    desk.draft.edit({"set": {"stages.lens chain.teeth[1]": "44"}})
    page.set_viewport_size(PHONE)
    page.goto(desk.link)
    page.goto(desk.origin + path)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_every_act_works_without_scripts(browser, desk):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(desk.link)
    page.get_by_label("Which given").fill("stages.lens chain.teeth[1]")
    page.get_by_label("Its new value").fill("44")
    page.get_by_role("button", name="Try it").first.click()
    assert page.locator("#room .moved").count() > 0
    page.get_by_role("button", name="Drop", exact=True).click()
    assert page.locator(".moved").count() == 0
    context.close()


def test_verdicts_and_changes_do_not_rest_on_colour(page, desk):
    """Word and shape: every verdict in the margin has both, every change is struck and underlined."""
    desk.draft.edit({"set": {"stages.lens chain.teeth[1]": "44"}})
    page.goto(desk.link)
    for word in page.locator(".entry .word").all()[:20]:
        assert word.text_content().strip() in ("fails", "unknown", "thin", "holds")
        assert word.locator("svg.mark").count() == 1
    changed = page.locator("#room .moved").first
    lines = changed.evaluate("e => [...e.querySelectorAll('s, ins')].map(x => getComputedStyle(x).textDecorationLine)")
    assert lines == ["line-through", "underline"]
