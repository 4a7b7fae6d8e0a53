"""The words of a need are printed in the units of the file; what they ask for does not change with them.

The inch is 25.4 mm and the pound-force 4.448 221 615 260 5 N by definition (the international yard and pound, 1959).
"""

import datetime
import math
import shutil

import pytest

from faces.desk.test_needs_room import LISTS, opened
from faces.pages_help import ROOT
from layshaft.faces.pages.asked import Word, asked_for, offered
from layshaft.listings.imports.importing import Asked as Import
from layshaft.machine import read
from layshaft.project import catalogue
from layshaft.trace.units import FORCE, LENGTH, printing_in
from layshaft.train.solve import solve
from layshaft.verdict.needs import needs
from layshaft.verdict.rate import rate
from layshaft.verdict.too_weak import too_weak

TODAY = datetime.date(2026, 11, 27)
MANY = 2000


@pytest.fixture(scope="module")
def projects(tmp_path_factory):
    """Two examples with two invented lists each; in the cider mill a bearing, a key and a chain are open."""
    folder = tmp_path_factory.mktemp("projects")
    mill, light = opened(folder / "mill"), folder / "light"
    shutil.copytree(ROOT / "examples" / "harbour-light", light, ignore=shutil.ignore_patterns(".layshaft"))
    for name, supplier in (("lagerhaus-erfunden.csv", "Lagerhaus Erfunden"), ("made-up-chain.csv", "Made-up Chain")):
        catalogue.import_file(LISTS / name, light, Import(supplier=supplier))
    return {"mill": (mill, rate(solve(read(mill)))), "light": (light, rate(solve(read(light))))}


def offers_in(units, project, verdict, *, sent_back):
    """What is offered for every need: as the page is opened, or as its form sends the printed words back."""
    with printing_in(units):
        found = [a for need in (*needs(verdict), *too_weak(verdict)) for a in asked_for(verdict.solved.machine, need)]
        texts = [[word.text for word in asked.words] for asked in found]
        for asked in found:
            if sent_back:
                asked.edited({word.key: word.text for word in asked.words})
            offered(asked, project, MANY, TODAY)
    names = [(a.need.path, a.whose, a.count, [(o.supplier, o.name) for o in a.offers]) for a in found]
    return names, texts


@pytest.mark.parametrize("sent_back", [False, True])
@pytest.mark.parametrize("name", ["light", "mill"])
def test_every_need_is_offered_the_same_in_every_setting_of_units(name, projects, sent_back):
    metric, words = offers_in("metric", *projects[name], sent_back=sent_back)
    inch, printed = offers_in("inch", *projects[name], sent_back=sent_back)
    assert inch == metric
    assert printed != words  # the setting does change what is printed
    assert len(metric) >= 5 and sum(count > 0 for *_, count, _ in metric) >= 4


def test_a_word_means_its_exact_value_until_somebody_writes_another():
    """17 mm is 0.669 291 in, printed as 0.6693 in, which is 17.000 22 mm; 17.8 kN is 4001.6 lbf."""
    bore = Word("fits a shaft of", "bore", "=")
    with printing_in("inch"):
        bore.put(0.017, LENGTH)
    assert bore.text == "0.6693 in" and bore.asks == ""
    assert bore.between == pytest.approx((0.017, 0.017), rel=2e-9) and bore.between[0] < 0.017 < bore.between[1]
    bore.text = "20 mm"
    assert bore.between is None and bore.asks == "bore=20 mm"
    load = Word("bears", "breaking load", ">=")
    with printing_in("inch"):
        load.put(17800.0, FORCE)
    assert load.text == "4002 lbf" and load.between[0] == pytest.approx(17800, rel=2e-9)
    assert load.between[1] == math.inf


def test_a_value_that_is_not_known_leaves_the_word_blank():
    word = Word("bears", "breaking load", ">=")
    word.put(math.nan, FORCE)
    assert (word.text, word.asks, word.between) == ("", "", None)
