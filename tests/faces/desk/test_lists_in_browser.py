"""A list's whole way in a real Chromium: chosen, a unit put right, taken in, offered in another window at once, taken out
and put back; on a phone nothing is cut off. The list is invented."""

import shutil
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parents[3]
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
SOUND = ("async () => (await axe.run(document, {resultTypes: ['violations']})).violations"
         ".filter(v => ['serious', 'critical'].includes(v.impact)).map(v => v.id)")
BEARINGS = "Part no;Bore;Price [EUR];Lead time [days]\nK1 6204;20;4,50;3\nK2 6205;25;5,50;5\nK3;-1;1;1\n"


@pytest.fixture
def mill(serve, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    folder = tmp_path / "mill"
    shutil.copytree(ROOT / "examples" / "cider-mill", folder, ignore=shutil.ignore_patterns(".layshaft"))
    text = (folder / "machine.yaml").read_text(encoding="utf-8")
    was = 'right bearing: {at: 220 mm, bearing: "6205"'
    assert was in text
    (folder / "machine.yaml").write_text(text.replace(was, "right bearing: {at: 220 mm, bearing: open"), encoding="utf-8")
    return serve(folder)


def test_a_list_comes_in_is_offered_goes_and_comes_back(page, mill, tmp_path):
    said = []
    page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
    page.on("pageerror", lambda e: said.append(str(e)))
    (tmp_path / "bearings.csv").write_text(BEARINGS, encoding="utf-8")
    page.goto(mill.link)
    page.goto(mill.origin + "/needs")
    other = page.context.new_page()
    other.goto(mill.origin + "/needs#lists")
    page.set_input_files("input[type=file]", tmp_path / "bearings.csv")
    page.get_by_label("Whose list it is").fill("Muster & Co.")
    page.get_by_role("button", name="Read it").click()
    page.get_by_text("has no unit of length").wait_for()
    page.get_by_label("Unit of column B").fill("mm")
    page.get_by_role("button", name="Read it again").click()
    page.get_by_text("bore is -1; it must be more than 0").wait_for()
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    if AXE.is_file():
        page.evaluate(AXE.read_text(encoding="utf-8"))
        assert page.evaluate(SOUND) == []
    page.get_by_role("button", name="Take 2 rows in, leave 1 out").click()
    page.get_by_role("heading", name="The list is in").wait_for()
    other.locator(".lists-there").get_by_text("Muster & Co.").wait_for()  # by itself
    assert other.locator(".offered, .orders").get_by_text("5.50 EUR").count()
    other.get_by_role("button", name="Take out the bearing list").click()
    other.get_by_text("can be put back").click()
    other.get_by_role("button", name="Put back the bearing list").click()
    other.locator(".lists-there").get_by_text("Muster & Co.").wait_for()
    assert said == []
