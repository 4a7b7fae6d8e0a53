"""Choices against selections worked out in print.

V. B. Bhandari, Design of Machine Elements, Example 14.3 (read in a textbook companion): 5 kW from 1400 rev/min to a
third of it at about 500 mm; 21 and 63 teeth, chain 8A with one strand, 122 links, 500.805 mm.
A paper on the selection of roller chains by computer, two worked examples (read in part): 1200 to 378 rev/min with
20 teeth gives 63, and with 114 pitches a distance of 35.6 pitches; 750 to 250 rev/min with 20 teeth gives 60.
"""

from pathlib import Path

import pytest

import layshaft
from layshaft.listings.offers import standard_offers
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.space import Wish
from layshaft.study.choosing.wishes import weights_of
from layshaft.train.stages import centre_distance, chain_links

DRIVE = Path(__file__).parents[2] / "examples" / "published" / "motor-chain-drive"
CHAIN = "stages.chain.chain"


def american(kind, where=None):
    """The book's table: chains of the A series, one strand."""
    return [o for o in standard_offers(kind) if kind == "roller chain" and o.name.endswith("A-1")]


def taken(machine, candidate):
    return layshaft.apply(machine, candidate.option)


def test_bhandari_14_3_chain_and_length():
    machine = layshaft.read(DRIVE)
    found = choose(machine, ["stages.chain"], Wish(prefer=weights_of("mass")), american)
    best = found.candidates[0]
    assert best.sizes[CHAIN] == "08A-1"
    after = taken(machine, best)
    stage = after.stages["chain"]
    assert chain_links(after, stage) == 122
    assert centre_distance(after, stage) == pytest.approx(0.500805, abs=0.02e-3)  # the book's formula is 0.018 mm off


def test_bhandari_14_3_ratio_of_three_keeps_its_teeth_among_the_answers():
    machine = layshaft.read(DRIVE)
    found = choose(machine, ["stages.chain"], Wish(ratio=3.0, within=1e-6, prefer=weights_of("mass")), american)
    axes = [found.space.axis(f"stages.chain.teeth[{i}]") for i in (0, 1)]
    assert all(float(axes[1].options[c.row[axes[1].name]]) == 3 * float(axes[0].options[c.row[axes[0].name]])
               for c in found.candidates)
    assert "21" in axes[0].options and "63" in axes[1].options
    assert found.candidates[0].sizes[CHAIN] == "08A-1"


@pytest.mark.parametrize(("fast", "slow", "large"), [(1200, 378, 63), (750, 250, 60)])
def test_large_wheel_to_twenty_teeth(fast, slow, large):
    machine = layshaft.apply(layshaft.read(DRIVE), {"set": {
        "stages.chain.teeth": ["20", "open"], "stages.chain.ratio": f"{fast / slow:.9f}"}})
    found = choose(machine, ["stages.chain"], Wish(within=0.01, prefer=weights_of("ratio")), american)
    assert found.candidates
    teeth = {int(c.sizes["stages.chain.teeth[1]"]) for c in found.candidates}
    assert teeth == {large}


def test_distance_of_114_pitches():
    machine = layshaft.apply(layshaft.read(DRIVE), {"set": {"stages.chain.teeth": ["20", "63"]},
                                                    "add": {"stages.chain.links": "114"}})
    pitch = 12.7e-3
    assert centre_distance(machine, machine.stages["chain"]) / pitch == pytest.approx(35.6, abs=0.05)
