"""Bent shafts against closed forms and against a general finite-element library (PyNite).

Closed forms: beam tables in Shigley's Mechanical Engineering Design, Table A-9, and in any textbook
on mechanics of materials (values from memory, formula evaluated).
"""

import math
import timeit
from itertools import pairwise

import numpy as np
import pytest
from Pynite import FEModel3D
from pytest import approx

from layshaft.mechanics import beam
from layshaft.mechanics.beam import Beam
from layshaft.trace.formula import tracing

E = 206e9


def one(beam_: Beam, forces, couples=None):
    """Solve one column in plane 0; plane 1 gets the mirrored load."""
    f = np.asarray(forces, float)
    c = np.zeros_like(f) if couples is None else np.asarray(couples, float)
    return beam_.solve(np.stack((f, -f), 1)[..., None], np.stack((c, -c), 1)[..., None])


def test_slope_at_the_bearings_under_a_centre_load():
    """F L^2 / (16 E I): 1 kN, 600 mm, 30 mm: 2.74701 mrad."""
    r = one(Beam([0, 0.6], [0.03], E, [0, 0.6], [0, 0.3, 0.6]), [0, -1000, 0])
    assert r.slope[[0, 2], 0, 0] == approx([-0.00274701, 0.00274701], rel=1e-5)
    assert r.slope[0, 1, 0] == approx(0.00274701, rel=1e-5)
    assert r.moment_left[1, 0, 0] == approx(1000 * 0.6 / 4)
    assert r.shear_left[1, 0, 0] == approx(500)
    assert r.shear_right[1, 0, 0] == approx(-500)


def test_deflection_under_an_off_centre_load():
    """F a^2 b^2 / (3 E I L): 0.434096 mm."""
    r = one(Beam([0, 0.6], [0.03], E, [0, 0.6], [0.2]), [-1000])
    assert r.deflection[0, 0, 0] == approx(-0.434096e-3, rel=1e-5)


@pytest.mark.parametrize("left", [True, False])
def test_overhang_on_either_side(left):
    """Tip deflection F a^2 (L + a) / (3 E I): 0.522152 mm."""
    supports, tip = ([0.15, 0.55], 0.0) if left else ([0.0, 0.4], 0.55)
    r = one(Beam([0, 0.55], [0.025], E, supports, [tip]), [-500])
    assert r.deflection[0, 0, 0] == approx(-0.522152e-3, rel=1e-5)
    assert sorted(r.reactions[:, 0, 0]) == approx([-187.5, 687.5])


def test_three_bearings_share_two_centre_loads():
    """Two equal spans, F in the middle of each: reactions 5/16, 22/16, 5/16 F (textbook value)."""
    r = one(Beam([0, 1.0], [0.03], E, [0, 0.5, 1.0], [0.25, 0.5, 0.75]), [-1600, 0, -1600])
    assert r.reactions[:, 0, 0] == approx([500, 2200, 500])
    assert r.moment_left[1, 0, 0] == approx(-3 / 16 * 1600 * 0.5)


def test_hollow_shaft_bends_by_its_own_second_moment():
    """Bore 20 in 40 mm: I is 15/16 of the solid bar."""
    bent = [one(Beam([0, 1], [0.04], E, [0, 1], [0.5], bores=b), [1.0]).deflection[0, 0, 0] for b in (None, [0.02])]
    assert bent[0] / bent[1] == approx(15 / 16)


def by_finite_elements(ends, diameters, supports, loads):
    """Reactions, deflections and slopes of the same shaft from PyNite, in its x-y plane."""
    model = FEModel3D()
    model.add_material("steel", E, 80e9, 0.3, 0.0)
    places = sorted({*ends, *supports, *(x for x, _, _ in loads)})
    for x in places:
        model.add_node(f"{x}", x, 0, 0)
    for i, d in enumerate(diameters):
        second = math.pi * d**4 / 64
        model.add_section(f"s{i}", math.pi * d**2 / 4, second, second, 2 * second)
    for a, b in pairwise(places):
        i = max(k for k, e in enumerate(ends[:-1]) if e <= a + 1e-12)
        model.add_member(f"{a}-{b}", f"{a}", f"{b}", "steel", f"s{i}")
    for k, x in enumerate(supports):
        model.def_support(f"{x}", k == 0, True, True, k == 0, False, False)
    for x, F, C in loads:
        model.add_node_load(f"{x}", "FY", F)
        model.add_node_load(f"{x}", "MZ", C)
    model.analyze_linear()
    nodes = model.nodes
    case = "Combo 1"
    return ([nodes[f"{x}"].RxnFY[case] for x in supports],
            [nodes[f"{x}"].DY[case] for x, _, _ in loads], [nodes[f"{x}"].RZ[case] for x, _, _ in loads])


@pytest.mark.parametrize("supports", [[0.02, 0.40], [0.05, 0.40], [0.02, 0.21, 0.40], [0.02, 0.11, 0.30, 0.42]])
def test_stepped_shaft_against_finite_elements(supports):
    ends, diameters = [0.0, 0.04, 0.19, 0.38, 0.42], [0.025, 0.030, 0.035, 0.020]
    loads = [(0.0, 300.0, 0.0), (0.11, -900.0, 25.0), (0.25, 400.0, -60.0), (0.33, -150.0, 0.0), (0.42, -80.0, 7.0)]
    reactions, deflections, slopes = by_finite_elements(ends, diameters, supports, loads)
    r = one(Beam(ends, diameters, E, supports, [x for x, _, _ in loads]),
            [F for _, F, _ in loads], [C for _, _, C in loads])
    assert r.reactions[:, 0, 0] == approx(reactions, rel=1e-6, abs=1e-6)
    assert r.deflection[:, 0, 0] == approx(deflections, rel=1e-6, abs=1e-12)
    assert r.slope[:, 0, 0] == approx(slopes, rel=1e-6, abs=1e-12)
    assert r.moment_right[-1, 0, 0] == approx(0, abs=1e-9)
    assert r.moment_left[-1, 0, 0] == approx(7.0)
    assert r.shear_right[-1, 0, 0] == approx(0, abs=1e-9)


def test_planes_and_columns_do_not_mix_and_an_unknown_load_stays_in_its_column():
    shaft = Beam([0, 0.1, 0.5], [0.02, 0.03], E, [0.0, 0.2, 0.5], [0.1, 0.4])
    rng = np.random.default_rng(1)
    forces, couples = rng.normal(size=(2, 2, 3)), rng.normal(size=(2, 2, 3))
    forces[1, 0, 1] = np.nan
    r = shaft.solve(forces, couples)
    assert np.isnan(r.reactions[:, 0, 1]).all()
    assert np.isnan(r.deflection[:, 0, 1]).all()
    assert np.isfinite(r.reactions[..., [0, 2]]).all()
    single = shaft.solve(forces[:, ::-1, 2:], couples[:, ::-1, 2:])
    assert single.slope[:, 0, 0] == approx(r.slope[:, 1, 2], rel=1e-12)


@pytest.mark.parametrize(("supports", "stations", "words"), [
    ([0.1], [0.2], "at least two bearings"), ([0.1, 0.1], [0.2], "same place"),
    ([0.0, 0.6], [0.2], "bearing at 600 mm lies outside"), ([0.0, 0.5], [-0.2], "seat at -200 mm lies outside"),
])
def test_impossible_shafts_are_refused_in_words(supports, stations, words):
    with pytest.raises(ValueError, match=words):
        Beam([0, 0.5], [0.02], E, supports, stations)


def test_other_impossible_geometry():
    for ends, diameters, bores in (([0, 0.5, 0.4], [0.02, 0.02], None), ([0, 0.5], [0.02, 0.03], None),
                                   ([0, 0.5], [0.02], [0.02])):
        with pytest.raises(ValueError, match=r"section|larger"):
            Beam(ends, diameters, E, [0, 0.4], [0.1], bores)
    with pytest.raises(ValueError, match="stations"):
        Beam([0, 1], [0.02], E, [0, 1], [0.5]).solve(np.zeros((2, 2, 1)), np.zeros((2, 2, 1)))


def test_statics_of_two_bearings_step_by_step_equal_the_beam():
    """Hand statics and the beam share nothing but the signs."""
    shaft = Beam([0, 0.5], [0.02], E, [0.1, 0.4], [0.0, 0.3])
    r = one(shaft, [200.0, -700.0], [0.0, 12.0])
    with tracing() as trace:
        R_A, R_B = beam.reactions_of_two({"belt": (200.0, 0.0), "gear": (-700.0, 0.3)}, {"tilt": 12.0}, 0.1, 0.4)
    assert trace["R_B"].value == approx((-200 * -0.1 + 700 * 0.2 - 12) / 0.3)
    assert [R_A.value, R_B.value] == approx(r.reactions[:, 0, 0])
    left = {"belt": (200.0, 0.0), "left bearing": (R_A.value, 0.1), "gear": (-700.0, 0.3)}
    assert beam.moment_at(0.35, left, {"tilt": 12.0}) == approx(-R_B.value * (0.35 - 0.4))


def test_two_planes_add_as_vectors():
    """3-4-5."""
    assert beam.resultant_force(3.0, -4.0) == approx(5.0)
    assert beam.resultant_moment(-6.0, 8.0) == approx(10.0)


def test_sixty_columns_take_well_under_a_millisecond():
    """Target 150 us for ten stretches; the bound here leaves room for a loaded machine."""
    ends = np.linspace(0, 1, 11)
    shaft = Beam(list(ends), [0.02 + 0.001 * i for i in range(10)], E, [0.05, 0.95], [0.1, 0.2, 0.4, 0.7, 0.9])
    forces = np.ones((5, 2, 60))
    best = min(timeit.repeat(lambda: shaft.solve(forces, forces), number=20, repeat=5)) / 20
    assert best < 1e-3
