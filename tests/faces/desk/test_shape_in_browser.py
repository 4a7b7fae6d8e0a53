"""The room Shape in a real browser: a machine from nothing by mouse, and again by keyboard alone; no console errors."""

import pytest

from layshaft.machine.reader import read

pytestmark = pytest.mark.browser

FIRST = {"what": "mill", "speed": "10 rpm", "driver": "crank"}
GEARS = {"efficiency": "0.95", "break away": "1.5", "teeth[0]": "20", "teeth[1]": "60", "normal module": "2 mm",
         "pressure angle": "20 deg", "line": "-90 deg", "face": "20 mm"}


class Mouse:
    """Somebody who clicks and types into what was clicked."""

    def __init__(self, page):
        self.page = page

    def fill(self, selector, text):
        self.page.click(selector)
        self.page.fill(selector, text)

    def choose(self, selector, text):
        self.page.select_option(selector, text)

    def press(self, selector):
        self.page.click(selector)


class Keyboard:
    """Somebody who has no mouse: goes on from stop to stop until the one wanted is reached."""

    MOST_STOPS = 400

    def __init__(self, page):
        self.page = page

    def reach(self, selector):
        for _ in range(self.MOST_STOPS):
            if self.page.evaluate("s => document.activeElement === document.querySelector(s)", selector):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"no key leads to {selector}")

    def fill(self, selector, text):
        self.reach(selector)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def choose(self, selector, text):
        self.reach(selector)
        self.page.keyboard.type(text)

    def press(self, selector):
        self.reach(selector)
        self.page.keyboard.press("Enter")


def add(hand, page, href, name, **answers):
    """Go to Shape, choose what to add, answer what is asked."""
    hand.press("nav a[href='/shape']")
    page.locator("h1", has_text="Shape").wait_for()
    hand.press(f"section[aria-label='Add'] a[href='{href}']")
    page.locator("#new-name").wait_for()
    hand.fill("#new-name", name)
    for key, text in answers.items():
        hand.choose(f"[name='{key.strip('_')}']", text)
    hand.press("form[action='/shape/add'] button.main")
    page.locator("h1", has_text=f"{name} is added").wait_for()


@pytest.mark.parametrize("hand", [Mouse, Keyboard])
def test_a_machine_is_made_from_nothing(page, serve, tmp_path, hand):
    desk = serve(tmp_path)
    hand = hand(page)
    page.goto(desk.link)
    for key, text in FIRST.items():
        hand.fill(f"#q-{key}", text)
    hand.press(".begin button.main")
    page.locator(".tour").wait_for()
    add(hand, page, "/shape?add=modules%3A", "top")
    add(hand, page, "/shape?add=stages%3Agear%20pair", "gears", from_="mill shaft")
    for key, text in GEARS.items():
        hand.fill(f".finish [name='stages.gears.{key}']", text)
    hand.press(".finish button.main")
    page.locator(".finish [name='stages.gears.face']").wait_for(state="detached")
    add(hand, page, "/shape?add=stages%3Acoupling", "muff", from_="gears shaft")
    add(hand, page, "/shape?add=drives%3Afalling%20weight", "weight", shaft="muff shaft")
    add(hand, page, "/shape?add=partings%3A", "joint")
    add(hand, page, "/shape?add=wants%3A", "brisk", shaft="muff shaft")
    add(hand, page, "/shape?add=runs%3A", "fair")
    hand.press(".slip .as-option summary")
    hand.fill("#option-name", "all of it")
    assert not read(desk.place).partings
    hand.press(".slip .acts button.main")
    page.locator(".slip-open").wait_for(state="detached")
    made = read(desk.place)
    assert {"top"} < set(made.modules) and made.partings["joint"].between == ("frame", "top")
    assert made.stages["gears"].teeth[1].nominal == 60 and made.stages["muff"].to == "muff shaft"
    assert made.drives["weight"].shaft == "muff shaft" and "fair" in made.runs and "brisk" in made.wants


def test_a_draft_becomes_an_option_and_going_back_shows_what_was_there(page, desk):
    page.goto(desk.link)
    hand = Mouse(page)
    add(hand, page, "/shape?add=loads%3Aallowance", "dial")
    page.reload()
    page.locator("h1", has_text="dial is added").wait_for()  # its address is its own
    hand.press(".slip .as-option summary")
    hand.fill("#option-name", "with a dial")
    hand.press(".as-option button")
    page.locator("h2", has_text="with a dial").wait_for()
    assert "dial" not in read(desk.place).loads and "with a dial" in read(desk.place).options
