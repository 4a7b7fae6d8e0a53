"""With `units: inch` nothing of a machine stays in metric units, and figures that are to be round are round in inches.

The inch is 25.4 mm, the foot-pound force 1.355 817 948 J by definition (international yard and pound, 1959). ISO 13854
and ISO 13857 are written in millimetres: their figures stay so, with inches beside them.
"""

import re
from functools import cache

import pytest
from pytest import approx

from faces.pages_help import ROOT, rated
from layshaft.faces.pages.asked import says
from layshaft.faces.pages.drawing import BAR, bar_length, drawings
from layshaft.faces.pages.run_charts import charts
from layshaft.listings.offers import standard_offers
from layshaft.machine import read
from layshaft.trace.units import printing_in
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.results import motion_of
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions

FOOT_POUND_FORCE = 1.3558179483314004


@cache
def run_once():
    solved = solve(read(ROOT / "examples" / "harbour-light"))
    return motion_of(solved, programme_of(solved, 600.0))


def charted(units):
    with printing_in(units):
        return {c["name"]: c for c in charts(run_once())["charts"]}


def drawn(chart):
    return [v for line in chart["lines"] for key in ("values", "low", "high") for v in line.get(key, []) if v is not None]


@pytest.mark.parametrize(("name", "metric", "inch", "size"), [
    ("height", "height, m", "height, in", 0.0254),
    ("energy", "energy of motion, J", "energy of motion, ft lbf", FOOT_POUND_FORCE),
    ("torque", "torque, N m", "torque, lbf in", 0.1129848290276167),
])
def test_charts_of_a_run_are_drawn_in_the_units_of_the_file(name, metric, inch, size):
    first, second = charted("metric")[name], charted("inch")[name]
    assert (first["title"], second["title"]) == (metric, inch)
    assert max(map(abs, drawn(first))) == approx(max(map(abs, drawn(second))) * size, rel=1e-3)


@pytest.mark.parametrize("scale", [13.0, 90.0, 217.0, 700.0, 2600.0])
@pytest.mark.parametrize(("units", "size"), [("metric", 1e-3), ("inch", 0.0254)])
def test_a_scale_bar_is_round_in_the_units_shown(units, size, scale):
    with printing_in(units):
        length = bar_length(scale)
    assert f"{length / size:.6g}".replace(".", "").strip("0") in ("1", "2", "5")
    assert BAR / 2.6 < length * scale <= BAR


def test_the_drawing_tells_its_bar_in_inches():
    with printing_in("inch"):
        markup = drawings(rated("harbour-light").solved)
    told = re.findall(r'class="d-scale"[^<]*/>\s*<text[^>]*>([\d.]+) in<', markup)
    assert len(told) == 2 and {t.replace(".", "").strip("0") for t in told} <= {"1", "2", "5"}


def test_a_standards_millimetres_have_inches_beside_them():
    with printing_in("inch"):
        said = " ".join(c.text for c in cautions(rated("harbour-light")))
    assert "between 4 mm (0.16 in) and 25 mm (0.98 in)" in said
    with printing_in("metric"):
        assert "between 4 mm and 25 mm, where" in " ".join(c.text for c in cautions(rated("harbour-light")))


def test_what_a_chain_weighs_is_named_by_the_thing_and_not_by_a_unit():
    offer = next(o for o in standard_offers("roller chain") if o.name == "08B-1")
    with printing_in("inch"):
        said = says(offer)
    assert "mass per length" in said and "lb/ft" in said and "metre" not in said
