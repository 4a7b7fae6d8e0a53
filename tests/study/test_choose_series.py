"""Choices among sizes of a series against brute force: ropes, brakes, worms, clutches, wheels, springs, bushes and more.

The machines are the invented examples; every n-th size of each series, so that every combination can be gone through.
"""

import itertools
from pathlib import Path

import numpy as np
import pytest

import layshaft
from layshaft.machine import apply
from layshaft.study.choosing import in_series
from layshaft.study.choosing.asked import space_of
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.space import Wish
from layshaft.study.choosing.wishes import weights_of
from layshaft.verdict.coverage import WHOLE
from layshaft.verdict.ladder import is_there, series
from study.brute import check, trade_offs, worth
from study.small_machines import few

EXAMPLES = Path(__file__).parents[2] / "examples"
MASS = weights_of("mass,width,across")
LEFT = "shafts.worm.seats.far bearing.bearing"


def nothing(kind, where=None):
    """No list and no series of offers."""
    return []


@pytest.fixture
def thinned(monkeypatch):
    """Keeps so many sizes of each series, from end to end, and the one there is with its neighbours."""
    def thin(count):
        def some(c, path, *, wide=False):
            found = series(c, path, wide=wide)
            now = [i for i, k in enumerate(found.candidates) if is_there(c, k)]
            at = {*np.linspace(0, len(found.candidates) - 1, count).astype(int), *now, *(i + 1 for i in now)}
            found.candidates = [k for i, k in enumerate(found.candidates) if i in at]
            return found
        monkeypatch.setattr(in_series, "series", some)
    return thin


@pytest.mark.parametrize(("name", "sets", "parts", "count"), [
    ("sluice-winch", {}, ["drives.gate"], 14),
    ("sluice-winch", {}, ["stages.worm"], 12),
    ("sluice-winch", {}, ["stages.clutch", "loads.brake drum"], 3),
    ("sluice-winch", {}, ["stages.worm", LEFT], 2),
    ("sluice-winch", {"loads.brake drum.force": "open"}, ["loads.brake drum"], 26),
    ("sluice-winch", {"stages.clutch.slip torque": "open"}, ["stages.clutch"], 16),
    ("hand-grinder", {}, ["springs.guard", "springs.water tap"], 4),
    ("village-pump", {}, ["loads.wheel"], 12),
    ("village-pump", {}, ["shafts.pump.seats.far bush.bush"], 12),
    ("corn-sheller", {}, ["fixings.left feet", "frames.left rail"], 4),
])
def test_trade_offs_are_those_of_brute_force(thinned, name, sets, parts, count):
    thinned(count)
    machine = layshaft.read(EXAMPLES / name)
    machine = apply(machine, {"set": sets}) if sets else machine
    offers = few if LEFT in parts else nothing
    wish = Wish(prefer=MASS)
    space = space_of(machine, parts, wish, offers)
    found = choose(machine, parts, wish, offers)
    assert found.candidates and found.complete and found.size == space.grid.size
    assert trade_offs(machine, space, parts) == worth(space, [c.row for c in found.candidates])
    for c in found.candidates:
        assert not [f for f in check(machine, c.option).findings if f.part in parts and f.mode not in WHOLE
                    and f.verdict in ("fails", "thin")]


def test_ropes_are_tried_of_every_construction_and_none_thicker_than_its_grooves():
    """EN 12385-4 and ISO 2408: eleven constructions in three grades, beside textile ropes; grooves of 6.6 mm pitch."""
    machine = apply(layshaft.read(EXAMPLES / "mill-hoist"), {"set": {"drives.weight.groove pitch": "6.6 mm"}})
    axis = space_of(machine, ["drives.weight"], Wish(), nothing).grid.axes[0]
    wires = [o.split() for o in axis.options if o.startswith("wire rope")]
    assert {float(w[2]) for w in wires} == {2, 3, 4, 5, 6}
    assert {w[-1] for w in wires} == {"1570", "1770", "1960"}
    assert sum(o.startswith("polyester") for o in axis.options) == 2  # 5 and 6 mm


def test_a_flywheel_is_weighed_by_the_swing_it_leaves(thinned):
    """The want of the pump, no more than 40 % of swing, decides; heavier discs swing less, and the bush wears more."""
    thinned(45)
    machine = layshaft.read(EXAMPLES / "village-pump")
    found = choose(machine, ["loads.wheel"], Wish(prefer=weights_of("mass,swing")), nothing)
    values = sorted((c.values["mass"], c.values["swing"]) for c in found.candidates)
    assert len(values) > 1 and all(a[1] > b[1] for a, b in itertools.pairwise(values))
    assert any("swing of pump within a turn" in r.words for r in found.refused)
