"""A generated machine of 200 parts in a real Chromium: it opens, filters, opens a part, is looked at and takes an edit."""

import re
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
sys.path.insert(0, str(Path(__file__).parents[3] / "benchmarks"))
from generated import LARGE, machine_text  # noqa: E402


@pytest.fixture
def large(serve, tmp_path):
    place = tmp_path / "machine.yaml"
    place.write_text(machine_text(LARGE), encoding="utf-8")
    return serve(tmp_path)


def test_a_machine_of_200_parts_is_worked_with(page, large):
    machine = large.draft.look().machine
    bearings = sum("bearing" in name for s in machine.shafts.values() for name in s.seats)
    keys = large.place.read_text(encoding="utf-8").count("key: 8x7x40")
    assert len(machine.shafts) + len(machine.stages) + bearings + keys + len(machine.drives) + len(machine.loads) >= 200
    page.goto(large.link)
    assert page.locator(".entry").count() == 40  # as many as a page lists at once
    page.get_by_role("link", name="List them all").click()
    page.locator(".entry").nth(60).wait_for()
    page.get_by_label("and whose name has").fill("gear 25")
    page.wait_for_function("() => { const n = document.querySelectorAll('.entry').length; return n > 0 && n < 10; }")
    page.wait_for_timeout(200)  # htmx takes up new addresses of links a moment after the page has changed
    assert all("gear 25" in name for name in page.locator(".entry .head a").all_inner_texts())
    page.get_by_role("link", name="From the side").click()
    page.locator("[data-view=side] text.d-name", has_text="s40").wait_for()
    assert "gear 25" in page.get_by_label("and whose name has").input_value()
    page.locator(".entry .head a").first.click()
    page.wait_for_url("**/part?path=*gear*25*")
    page.goto(large.origin)
    page.get_by_label("Which given").fill("stages.gear 25.face")
    page.get_by_label("Its new value").fill("35 mm")
    page.keyboard.press("Enter")
    page.get_by_text("figures moved").wait_for()
    assert large.draft.look().machine.stages["gear 25"].face.nominal == pytest.approx(0.035)


def test_its_labels_do_not_lie_over_one_another(page, large):
    page.goto(large.link)
    page.locator(".wide[data-window]:not([data-window=''])").wait_for()
    for view in ("end", "side"):
        page.goto(f"{large.origin}/?view={view}")
        boxes = page.evaluate("""() => [...document.querySelectorAll(".d-labels text")].map((t) => {
            const b = t.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom, t.textContent]; })""")
        assert len(boxes) > 25
        for i, a in enumerate(boxes):
            for b in boxes[i + 1:]:
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] - 3 <= b[1] or b[3] - 3 <= a[1]
                assert apart, (view, a[4], b[4])
        assert re.fullmatch(r"\d+x\d+", page.locator(".wide").get_attribute("data-window"))
