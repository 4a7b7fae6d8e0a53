"""Rooms with their answers in them, in a real Chromium: what was drawn, read, looked up and made, also on a phone."""

from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parents[3]
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
SOUND = ("async () => (await axe.run(document, {resultTypes: ['violations']})).violations"
         ".filter(v => ['serious', 'critical'].includes(v.impact))"
         ".map(v => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map(n => n.html).join(' | ')}`)")


def sound_and_narrow(page):
    """Nothing serious for whoever cannot see it, and no page wider than a phone."""
    if AXE.is_file():
        page.evaluate(AXE.read_text(encoding="utf-8"))
        assert page.evaluate(SOUND) == []
    page.set_viewport_size({"width": 390, "height": 800})
    page.wait_for_timeout(300)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.set_viewport_size({"width": 1280, "height": 900})


def test_draws_lead_to_readings_and_into_the_draft(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/doubt")
    page.get_by_label("How many draws").select_option("128")
    page.get_by_role("button", name="Draw", exact=True).click()
    page.get_by_role("heading", name="Verdicts in doubt").wait_for(timeout=120_000)
    sound_and_narrow(page)
    page.get_by_role("link", name="Type in readings of crank, worst push").first.click()
    for i, reading in enumerate(("560 N", "0.55 kN", "570"), 1):
        page.get_by_label(f"largest push in N, repeat {i}", exact=True).fill(reading)
    page.get_by_role("button", name="What do they say?").click()
    page.get_by_role("heading", name="Measured: 560 N").wait_for()
    sound_and_narrow(page)
    page.get_by_role("button", name="Put it in as measured").click()
    page.get_by_role("button", name="Keep", exact=True).wait_for()
    assert desk.draft.state.machine.givens["drives.crank.worst push"].source == "measured"


def test_readings_far_from_the_guess_say_so(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/doubt/readings?given=drives.crank.worst push")
    for i, reading in enumerate(("1500", "1505", "1510"), 1):
        page.get_by_label(f"largest push in N, repeat {i}", exact=True).fill(reading)
    page.get_by_role("button", name="What do they say?").click()
    page.get_by_text("THEY CONTRADICT EACH OTHER").wait_for()
    assert page.get_by_role("button", name="Put it in as measured").is_visible()


def test_a_formula_is_found_by_plain_words_and_worked_out(page, desk):
    """Torque alone: d = (16 T / (pi tau))^(1/3); 60 N m at 40 MPa gives 19.7 mm, worked out on paper."""
    page.goto(desk.link)
    page.goto(desk.origin + "/formulary")
    page.get_by_label("What do you look for?").fill("how thick a shaft for torque alone")
    page.keyboard.press("Enter")
    page.locator(".found a").first.click()
    page.get_by_label("torque", exact=False).first.fill("60 kg")
    page.get_by_label("allowed shear stress").fill("40 MPa")
    page.keyboard.press("Enter")
    page.locator(".blank .why").wait_for()
    assert "60 kg" in page.locator(".blank .why").first.text_content()
    sound_and_narrow(page)
    page.get_by_label("torque", exact=False).first.fill("60 N m")
    page.keyboard.press("Enter")
    page.locator(".answer", has_text="19.69").wait_for()
    sound_and_narrow(page)


def test_the_book_is_made_while_one_goes_on_and_sheets_unfold(page, desk):
    page.goto(desk.link)
    page.goto(desk.origin + "/take-away")
    page.locator(".sheet-group summary").first.click()
    sound_and_narrow(page)
    page.get_by_role("button", name="Make the short HTML").click()
    page.get_by_text("The short book is made, as HTML.").wait_for(timeout=120_000)
    with page.expect_popup() as opened:
        page.get_by_role("link", name="Read it").click()
    book = opened.value
    book.wait_for_load_state()
    assert book.locator("h1").first.text_content() == "Harbour Light"
    assert book.evaluate("getComputedStyle(document.querySelector('main')).maxWidth") != "none"  # its own style is let in
