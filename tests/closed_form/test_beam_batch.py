"""Many shafts at once against one at a time, against a general frame library, and mirrored.

The stack and the single beam share their theory and nothing of their code beyond the sentence for an
impossible shaft. Frame library: PyNite, one shaft of the stack in both planes.
"""

import math
from itertools import pairwise

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from Pynite import FEModel3D
from pytest import approx

import layshaft
from layshaft.machine.options import apply
from layshaft.mechanics.beam import Beam
from layshaft.mechanics.beam_batch import Beams
from layshaft.mechanics.critical_speed import first_critical, first_speed
from layshaft.train import beams
from layshaft.verdict import search
from layshaft.verdict.candidates import shaft_search

E = 206e9
LINES = ("reactions", "shear_left", "shear_right", "moment_left", "moment_right", "deflection", "slope")


def shafts(seed, count, steps, bearings, stations):
    """Invented shafts; stations and bearings anywhere, the first station on a bearing, the second on a shoulder."""
    random = np.random.default_rng(seed)
    lengths = random.uniform(0.02, 0.2, (count, steps))
    ends = np.concatenate((np.zeros((count, 1)), np.cumsum(lengths, axis=1)), axis=1)
    whole = ends[:, -1:]
    diameters = random.uniform(0.015, 0.05, (count, steps))
    supports = (np.arange(bearings) + random.uniform(0.1, 0.9, (count, bearings))) / bearings * whole
    supports = random.permuted(supports, axis=1)
    at = random.uniform(0, 1, (count, stations)) * whole
    at[:, 0], at[:, 1] = supports[:, -1], ends[:, steps // 2]
    forces, couples = random.normal(size=(2, count, stations, 2, 3)) * 300
    return (ends, diameters, E, supports, at), forces, couples / 20


@given(seed=st.integers(0, 10_000), steps=st.integers(1, 6), bearings=st.integers(2, 4))
def test_a_stack_answers_what_each_shaft_answers_alone(seed, steps, bearings):
    shape, forces, couples = shafts(seed, 4, steps, bearings, 5)
    stack = Beams(*shape)
    found, softness = stack.solve(forces, couples), stack.flexibility()
    for i in range(4):
        ends, diameters, _, supports, at = (a if np.isscalar(a) else a[i] for a in shape)
        alone = Beam(ends, diameters, E, supports, at)
        single = alone.solve(forces[i], couples[i])
        for name in LINES:
            wanted = getattr(single, name)
            assert getattr(found, name)[i] == approx(wanted, rel=1e-9, abs=1e-9 * np.abs(wanted).max()), name
        assert softness[i] == approx(alone.flexibility(), rel=1e-9, abs=1e-9 * np.abs(softness[i]).max())
        again = stack.one(i).solve(forces[i], couples[i])
        assert again.slope == approx(single.slope, rel=1e-9, abs=1e-9 * np.abs(single.slope).max())


def test_first_critical_speed_of_a_stack():
    shape, _, _ = shafts(5, 6, 4, 2, 7)
    softness = Beams(*shape).flexibility()
    masses = np.random.default_rng(5).uniform(0.5, 20, (6, 7))
    alone = [first_critical(D, m, 9.81).omega_1 for D, m in zip(softness, masses, strict=True)]
    assert first_speed(softness, masses) == approx(np.array(alone), rel=1e-9)
    assert first_critical(softness, masses, 9.81).omega_1 == approx(np.array(alone), rel=1e-9)


def by_frame_library(ends, diameters, supports, at, forces, couples):
    """Reactions, deflections and slopes of one shaft, both planes, one column of loads."""
    model = FEModel3D()
    model.add_material("steel", E, 80e9, 0.3, 0.0)
    places = sorted({*ends, *supports, *at})
    for i, x in enumerate(places):
        model.add_node(f"n{i}", x, 0, 0)
    for i, d in enumerate(diameters):
        second = math.pi * d**4 / 64
        model.add_section(f"s{i}", math.pi * d**2 / 4, second, second, 2 * second)
    for k, (a, b) in enumerate(pairwise(places)):
        step = int(np.searchsorted(ends, (a + b) / 2)) - 1
        model.add_member(f"m{k}", f"n{k}", f"n{k + 1}", "steel", f"s{step}")
    node = {x: f"n{i}" for i, x in enumerate(places)}
    for k, x in enumerate(supports):
        model.def_support(node[x], k == 0, True, True, k == 0, False, False)
    for x, F, C in zip(at, forces, couples, strict=True):
        for load, size in (("FY", F[0]), ("MZ", C[0]), ("FZ", F[1]), ("MY", -C[1])):
            model.add_node_load(node[x], load, size)
    model.analyze_linear()
    case, nodes = "Combo 1", [model.nodes[node[x]] for x in at]
    held = [model.nodes[node[x]] for x in supports]
    return (np.array([[n.RxnFY[case], n.RxnFZ[case]] for n in held]),
            np.array([[n.DY[case], n.DZ[case]] for n in nodes]), np.array([[n.RZ[case], -n.RY[case]] for n in nodes]))


@pytest.mark.parametrize("bearings", [2, 3, 4])
def test_a_shaft_of_the_stack_against_a_frame_library(bearings):
    shape, forces, couples = shafts(11 + bearings, 3, 5, bearings, 4)
    found = Beams(*shape).solve(forces, couples)
    ends, diameters, _, supports, at = (a if np.isscalar(a) else a[1] for a in shape)
    reactions, deflection, slope = by_frame_library(ends, diameters, supports, at, forces[1, :, :, 0], couples[1, :, :, 0])
    on_bearing = np.isin(at, supports)
    assert found.reactions[1, :, :, 0] == approx(reactions, rel=1e-6, abs=1e-6)
    assert found.deflection[1, ~on_bearing, :, 0] == approx(deflection[~on_bearing], rel=1e-6, abs=1e-12)
    assert found.slope[1, :, :, 0] == approx(slope, rel=1e-6, abs=1e-12)


def test_mirrored_shafts_give_mirrored_answers():
    (ends, diameters, _, supports, at), forces, couples = shafts(21, 3, 4, 3, 5)
    whole = ends[:, -1:]
    there = Beams(ends, diameters, E, supports, at).solve(forces, couples)
    back = Beams((whole - ends)[:, ::-1], diameters[:, ::-1], E, whole - supports, whole - at).solve(forces, -couples)
    assert back.reactions == approx(there.reactions, rel=1e-9, abs=1e-9 * np.abs(there.reactions).max())
    assert back.deflection == approx(there.deflection, rel=1e-9, abs=1e-9 * np.abs(there.deflection).max())
    assert back.slope == approx(-there.slope, rel=1e-9, abs=1e-9 * np.abs(there.slope).max())
    assert back.moment_left == approx(there.moment_right, rel=1e-9, abs=1e-9 * np.abs(there.moment_right).max())
    assert back.shear_left == approx(-there.shear_right, rel=1e-9, abs=1e-9 * np.abs(there.shear_right).max())


def test_bores_count_in_the_stack_too():
    """Bore 20 in 40 mm: I is 15/16 of the solid bar."""
    solid, bored = (Beams([[0, 1.0]], [[0.04]], E, [[0, 1.0]], [[0.5]], b).flexibility()[0, 0, 0] for b in (None, [[0.02]]))
    assert solid / bored == approx(15 / 16)


@pytest.mark.parametrize(("supports", "at", "words"), [
    ([0.1], [0.2], "at least two bearings"), ([0.1, 0.1], [0.2], "same place"),
    ([0.0, 0.6], [0.2], "bearing at 600 mm lies outside"), ([0.0, 0.5], [-0.2], "seat at -200 mm lies outside"),
])
def test_an_impossible_shaft_among_many_is_refused_in_words(supports, at, words):
    fine = [0.1, 0.4][: len(supports)] if len(supports) > 1 else [0.1]
    with pytest.raises(ValueError, match=words):
        Beams([[0, 0.5]] * 2, [[0.02]] * 2, E, [fine, supports], [[0.2], at])


def test_other_impossible_stacks():
    for ends, diameters, bores in (([0, 0.5, 0.4], [0.02, 0.02], None), ([0, 0.5], [0.02, 0.03], None),
                                   ([0, 0.5], [0.02], [[0.02]])):
        with pytest.raises(ValueError, match=r"section|larger"):
            Beams([ends], [diameters], E, [[0, 0.4]], [[0.1]], bores)
    with pytest.raises(ValueError, match="equally many shafts"):
        Beams([[0, 1.0]] * 2, [[0.02]], E, [[0, 1.0]], [[0.5]])
    with pytest.raises(ValueError, match="2 planes"):
        Beams([[0, 1.0]], [[0.02]], E, [[0, 1.0]], [[0.5]]).solve(np.zeros((1, 2, 2, 1)), np.zeros((1, 2, 2, 1)))


def test_the_search_for_a_bar_bends_all_candidates_at_a_stroke(monkeypatch):
    """No candidate builds a beam of its own, and each has the answers it would have had."""
    shaft = "shafts.lens lay"
    paths = [f"{shaft}.sections[0][0]", *(f"{shaft}.seats.{seat}" for seat in (
        "left bearing.bearing", "right bearing.bearing", "sprocket.key", "coupling.key"))]
    machine = layshaft.read("examples/harbour-light")
    solved = layshaft.solve(apply(machine, {"set": dict.fromkeys(paths, "open")}))
    c = layshaft.rate(solved).context
    found = shaft_search(c, solved.machine.shafts["lens lay"])
    assert len(found.candidates) > 20
    monkeypatch.setattr(beams, "_KEPT", {})
    with monkeypatch.context() as singly:
        singly.setattr(search, "_bend_all", lambda *_: None)
        one_by_one = margins(c, found)
    monkeypatch.setattr(beams, "_KEPT", {})
    monkeypatch.setattr(beams, "Beam", None)
    assert margins(c, found) == approx(one_by_one, rel=1e-9)


def margins(c, found):
    return [t.worst.margin for t in search.tried(c, found.candidates, found.gather, found.keep, found.inside)]
