"""Walks: what doubling does is computed, the shaft's sums are those of the beam, every part can be walked through."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.faces.teach import effect_words, walk_dict, walks_text
from layshaft.train.forces import shaft_loads
from layshaft.verdict.teaching import GUESS, doubled, standing, walks

EXAMPLES = Path(__file__).parents[2] / "examples"
VERDICT = layshaft.rate(layshaft.solve(layshaft.read(EXAMPLES / "harbour-light")))


def effects(path):
    walk = walks(VERDICT, path)[0]
    return {e.symbol: e.factor for e in walk.effects}


def test_doubling_is_that_of_the_closed_form():
    # flank pressure p = 2 T / (d (h - t1) (l - b)): margin goes with d, with 1/T, with (l - b)
    found = effects("shafts.main.seats.loop sprocket.key")
    assert found["T"] == approx(1 / 2) and found["d"] == approx(2)
    assert found["l"] == approx(39 / 17)  # 17 mm of straight flank; twice the key counts up to 1.3 d = 39 mm
    assert found["i"] == approx(1.5)  # two keys count as three quarters of both
    # a solid bar in bending and torsion: strength goes with the cube of its diameter
    section = next(w for w in walks(VERDICT, "shafts.main") if w.findings and w.findings[0].mode in ("yield", "fatigue"))
    assert {e.symbol: e.factor for e in section.effects}["d"] == approx(8, rel=0.1)


def test_doubling_one_argument_of_one_step():
    walk = walks(VERDICT, "shafts.main.seats.loop sprocket.key")[0]
    force = next(s for s in walk.trace.steps if s.symbol == "F_t")
    assert {e.symbol: e.factor for e in doubled(force)} == {"T": 2.0, "d": 0.5}


def test_a_number_says_what_it_stands_on():
    walk = walks(VERDICT, "shafts.main.seats.loop sprocket.key")[0]
    said = {s.symbol: standing(s) for s in walk.trace.steps}
    assert said["T"] == "follows from the machine" and said["i"] == "decided" and said["R_e_key"] == GUESS
    assert said["F_t"] == "follows from T, d"


@pytest.mark.parametrize("name", list(VERDICT.solved.machine.shafts))
def test_the_moment_of_a_walk_is_that_of_the_beam(name):
    machine = VERDICT.solved.machine
    lead = walks(VERDICT, machine.shafts[name].path)[0]
    found = next(f for f in VERDICT.findings if f.part == machine.shafts[name].path and f.mode == "fatigue")
    case = [c.title for c in VERDICT.solved.columns].index(found.title)
    loads = shaft_loads(VERDICT.solved, name, in_balance=True)
    at = next(i for i, x in enumerate(loads.stations) if (loads.names[i] or f"step at {x * 1e3:.0f} mm") == found.place)
    beam = max(np.hypot(*side[at, :, case, 0]) for side in (loads.moment_left, loads.moment_right))
    size = max(1e-6, float(np.max(np.abs(loads.moment_left[:, :, case, 0]))))
    couples = float(np.abs(loads.couple[at, :, case, 0]).max())  # a couple right at the place: the walk sees its left
    assert lead.trace["M_b"].value == approx(beam, abs=1e-9 * size + couples)


def test_every_part_can_be_walked_through():
    paths = {f.part for r in VERDICT.rated for p in r.block.parts for f in VERDICT.findings if f.part == p.path}
    for path in sorted(paths):
        found = walks(VERDICT, path)
        assert found, path
        text = walks_text(VERDICT, path, found)
        assert "nan" not in text.split() and max(map(len, text.splitlines())) <= 140
        assert all(walk_dict(w)["sheet"]["givens"] for w in found)


@pytest.mark.parametrize(("factor", "words"), [(2.0, "doubles"), (0.5, "halves"), (1.0, "stays as it is"), (8.0, "becomes eight times"),
                                               (2.3, "becomes 2.30 times"), (float("nan"), "cannot be, or leaves the method"),
                                               (-3.0, "cannot be, or leaves the method")])
def test_a_factor_in_words(factor, words):
    assert effect_words(factor) == words
