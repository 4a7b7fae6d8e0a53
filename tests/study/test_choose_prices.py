"""Prices of what is cut to length, by hand: the pieces a run is cut from, times what one costs. All lists are invented."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from layshaft.faces.cli import app
from layshaft.listings.imports.fields import run_of_price
from layshaft.machine.reader import read_text
from layshaft.project.offered import offers_for
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.space import Wish
from layshaft.study.choosing.wishes import weights_of
from study.small_machines import few, text

LISTS = Path(__file__).parents[2] / "examples" / "harbour-light" / "lists"
SMALL = read_text(text(20, 40, 20, [17, 38], "about 400 mm", "6004"))


def dealer(kind, where=None):
    """Chains at 20 EUR a piece of half a metre, one of them of no told length; bars at 9 EUR a piece of 200 mm."""
    said = {"roller chain": (20.0, 0.5), "bright bar": (9.0, 0.2)}.get(kind)
    if said is None:
        return few(kind, where)
    price, length = said
    return [replace(o, supplier="an invented dealer", price=price, currency="EUR", values={
        **o.values, "length": math.nan if o.name == "10B-1" else length}) for o in few(kind, where)]


def test_a_chain_costs_the_pieces_it_is_cut_from():
    """08B-1 about 400 mm round 17 and 38 teeth: 92 links of 12.7 mm (ISO 10823's length), 1.168 m, so three half metres."""
    found = choose(SMALL, ["stages.link"], Wish(prefer=weights_of("price,mass")), dealer)
    price = next(w for w in found.weighed if w.kind.name == "price")
    rows = found.space.grid.axes[0].options
    cost = dict(zip([rows[i] for i in range(len(rows))], _all_prices(found), strict=True))
    C = 2 * 400 / 12.7 + (17 + 38) / 2 + 12.7 / 400 * ((38 - 17) / (2 * math.pi)) ** 2
    links = 2 * math.ceil(C / 2 - 1e-9) if math.ceil(C) % 2 else math.ceil(C)
    assert cost["08B-1 (an invented dealer)"] == 20.0 * math.ceil(links * 0.0127 / 0.5)
    assert math.isnan(cost["10B-1 (an invented dealer)"])  # nobody said how long a piece is
    assert price.counts or "the same" in price.left_out


def _all_prices(found):
    from layshaft.study.choosing.joining import Table, column
    axis = found.space.grid.axes[0]
    places = np.arange(len(axis))
    every = Table(len(axis), {axis.name: places}, [(dict(axis.columns), places)])
    return column(found.space.grid, every, "stages.link|price").tolist()


def test_a_bar_of_300_mm_takes_two_pieces_of_200():
    found = choose(SMALL, ["shafts.b"], Wish(prefer=weights_of("mass,price")), dealer)
    price = next(w for w in found.weighed if w.kind.name == "price")
    assert set(price.values) == {18.0}


@pytest.mark.parametrize(("head", "run"), [
    ("Price per metre", 1.0), ("Preis pro m", 1.0), ("Preis/m [EUR]", 1.0), ("Prix au metre", 1.0),
    ("Price per foot", 0.3048), ("Unit price", math.nan), ("Price per pack", math.nan), ("Preis je Stueck", math.nan)])
def test_heads_that_sell_by_length(head, run):
    assert run_of_price(head) == pytest.approx(run, nan_ok=True)


def test_a_list_sold_by_the_metre_is_weighed(tmp_path):
    """The invented list asks 11.80 EUR for a metre of 08B-1: two metres for 92 links, 1.168 m."""
    done = CliRunner().invoke(app, ["catalogue", "import", str(LISTS / "made-up-chain.csv"), "--supplier", "Made Up",
                                    "--project", str(tmp_path)])
    assert done.exit_code == 0, done.output
    offers = [o for o in offers_for(tmp_path)("roller chain") if o.name == "MC-08B1"]
    assert [(o.price, o.values["length"]) for o in offers] == [(11.80, 1.0)]
