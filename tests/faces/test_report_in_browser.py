"""The report in a real browser: no complaint, headings in order, named tables and pictures, no text over text."""

import itertools

import pytest

from faces.pages_help import EXAMPLES, rated
from layshaft.faces.report import write_report

pytestmark = pytest.mark.browser

OVER = """() => {
  const found = [];
  for (const svg of document.querySelectorAll('svg.drawing')) {
    const words = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBBox()]);
    const view = svg.viewBox.baseVal;
    for (const [i, [a, p]] of words.entries()) {
      if (p.x < -0.5 || p.x + p.width > view.width + 0.5 || p.y + p.height > view.height + 2) found.push('outside: ' + a);
      for (const [b, q] of words.slice(i + 1)) {
        const across = Math.min(p.x + p.width, q.x + q.width) - Math.max(p.x, q.x);
        const down = Math.min(p.y + p.height, q.y + q.height) - Math.max(p.y, q.y);
        if (across > 1 && down > 3.5) found.push(a + ' / ' + b);
      }
    }
  }
  return found;
}"""


@pytest.fixture(scope="module", params=EXAMPLES)
def file(request, tmp_path_factory):
    return write_report(rated(request.param), tmp_path_factory.mktemp("report") / "report.html")


@pytest.fixture
def opened(page, file):
    said = []
    page.on("console", lambda message: said.append(f"{message.type}: {message.text}"))
    page.goto(file.as_uri())
    yield page
    assert said == []


def test_headings_go_down_one_level_at_a_time(opened):
    levels = opened.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b <= a + 1 for a, b in itertools.pairwise(levels))


def test_tables_have_heads_and_captions(opened):
    bare = opened.evaluate("[...document.querySelectorAll('table')].filter(t => !t.caption || "
                           "!t.tHead || t.querySelector('thead th:not([scope])') || !t.tBodies.length).length")
    assert bare == 0


def test_pictures_are_named_or_hidden(opened):
    unnamed = opened.evaluate("[...document.querySelectorAll('svg')].filter(s => s.getAttribute('aria-hidden') "
                              "!== 'true' && !(s.getAttribute('aria-labelledby') || '').split(' ')"
                              ".every(i => document.getElementById(i)?.textContent)).length")
    assert unnamed == 0
    assert opened.evaluate("document.documentElement.lang") == "en"


def test_no_words_lie_over_others_on_the_drawings(opened):
    opened.set_viewport_size({"width": 1000, "height": 900})
    assert opened.evaluate(OVER) == []


def test_words_stand_out_from_the_paper(opened):
    """WCAG 2.1, 1.4.3: contrast of text at least 4.5 to 1."""
    low = opened.evaluate("""() => {
      const light = c => { const [r, g, b] = c.match(/[\\d.]+/g).map(Number)
        .map(v => (v /= 255) <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
        return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
      const found = new Set();
      for (const e of document.querySelectorAll('body *')) {
        if (![...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())) continue;
        const s = getComputedStyle(e);
        const l = light(e instanceof SVGElement ? s.fill : s.color);
        if (1.05 / (l + 0.05) < 4.5) found.add(e.tagName + '.' + e.getAttribute('class'));
      }
      return [...found];
    }""")
    assert low == []


@pytest.mark.parametrize("width", [390, 1200])
def test_the_page_itself_never_scrolls_sideways(opened, width):
    opened.set_viewport_size({"width": width, "height": 800})
    assert opened.evaluate("document.documentElement.scrollWidth") <= width


def test_it_prints_on_a4_within_its_margins(page, tmp_path):
    """A table or formula wider than the paper would make the browser shrink every page."""
    page.goto(write_report(rated("cider-mill"), tmp_path / "report.html").as_uri())
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 680, "height": 900})  # 180 mm at 96 points an inch
    assert page.evaluate("document.documentElement.scrollWidth") <= 680
    assert page.pdf(prefer_css_page_size=True).startswith(b"%PDF")
