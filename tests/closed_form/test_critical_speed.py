"""Critical speeds against closed forms, a general frame library and a general linear-algebra library.

Uniform shaft on two bearings: (pi/L)^2 sqrt(E I/m); overhung (cantilever of two near bearings) and three
equal spans: textbooks on vibration (values from memory where marked). Frame library: PyNite, modal analysis.
"""

import math

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given
from pytest import approx
from scipy.linalg import eigh

import layshaft
from layshaft.mechanics.beam import Beam
from layshaft.mechanics.critical_speed import first_critical, speed_of_sag, uniform_shaft
from layshaft.trace.units import REV_PER_MIN
from layshaft.verdict.kinds import critical_speeds

E, RHO, G = 206e9, 7850.0, 9.81


def lumped(ends, diameters, supports, extra=(), pieces=60):
    """Flexibility and masses of a shaft cut into equal pieces, with (place, mass) besides."""
    cuts = np.linspace(ends[0], ends[-1], pieces + 1)
    middle = (cuts[1:] + cuts[:-1]) / 2
    d = np.array([diameters[np.searchsorted(ends, x) - 1] for x in middle])
    own = RHO * math.pi / 4 * d**2 * np.diff(cuts)
    beam = Beam(ends, diameters, E, supports, [*middle, *(x for x, _ in extra)])
    return beam.flexibility(), np.array([*own, *(m for _, m in extra)])


def test_uniform_shaft_bows_in_half_a_sine_wave():
    D, m = lumped([0, 0.6], [0.02], [0, 0.6])
    exact = (math.pi / 0.6) ** 2 * math.sqrt(E * (math.pi * 0.02**4 / 64) / (RHO * math.pi / 4 * 0.02**2))
    assert first_critical(D, m, G).omega_1 == approx(exact, rel=1e-5)
    assert uniform_shaft(0.6, E, math.pi * 0.02**4 / 64, RHO * math.pi / 4 * 0.02**2) == approx(exact)


def test_three_bearings_double_the_number_of_waves():
    """A middle bearing makes the whole wave the first one: four times the speed."""
    two, three = (first_critical(*lumped([0, 0.6], [0.02], s), G).omega_1 for s in ([0, 0.6], [0, 0.3, 0.6]))
    assert three / two == approx(4, rel=1e-4)


@pytest.mark.parametrize("supports", [[0.05, 0.45], [0.05, 0.25, 0.45], [0.0, 0.30]])
def test_exact_speed_by_a_general_eigenvalue_solver_and_between_its_bounds(supports):
    """K x = omega^2 M x of the inverted flexibility, by scipy."""
    D, m = lumped([0, 0.1, 0.4, 0.5], [0.020, 0.030, 0.015], supports, [(0.2, 6.0), (0.5, 1.5)])
    whirl = first_critical(D, m, G)
    values = eigh(np.diag(m), np.diag(m) @ D @ np.diag(m), eigvals_only=True)
    assert whirl.omega_1 == approx(math.sqrt(values[0]), rel=1e-6)
    low, high = speed_of_sag(G, whirl.lower_sag), speed_of_sag(G, whirl.upper_sag)
    assert low <= whirl.omega_1 <= high
    assert high < 1.2 * whirl.omega_1


places = st.floats(0.02, 0.98)


@given(masses=st.lists(st.tuples(places, st.floats(0.1, 200)), min_size=1, max_size=5),
       middle=st.booleans(), left=st.floats(0, 0.3), right=st.floats(0.6, 1.0))
def test_bounds_hold_and_more_mass_lowers_the_speed(masses, middle, left, right):
    supports = [left, *([0.45] if middle else []), right]
    D, m = lumped([0, 0.4, 1.0], [0.025, 0.02], supports, masses, pieces=8)
    whirl = first_critical(D, m, G)
    assert speed_of_sag(G, whirl.lower_sag) <= whirl.omega_1 * (1 + 1e-9)
    assert whirl.omega_1 <= speed_of_sag(G, whirl.upper_sag) * (1 + 1e-9)
    more = m.copy()
    more[-1] *= 2
    assert first_critical(D, more, G).omega_1 <= whirl.omega_1 * (1 + 1e-12)
    both = first_critical(D, np.array([m, more]), G)
    assert both.omega_1 == approx([whirl.omega_1, first_critical(D, more, G).omega_1], rel=1e-12)


def test_an_unknown_mass_leaves_its_own_sample_unknown():
    D, m = lumped([0, 1.0], [0.025], [0.1, 0.9], [(0.5, 3.0)], pieces=8)
    both = np.array([m, m])
    both[1, -1] = np.nan
    found = first_critical(D, both, G)
    assert found.omega_1 == approx([first_critical(D, m, G).omega_1, np.nan], nan_ok=True)
    assert np.isnan(found.upper_sag).tolist() == np.isnan(found.lower_sag).tolist() == [False, True]


def test_mirrored_shaft_has_the_same_critical_speed():
    there = lumped([0, 0.1, 0.5], [0.02, 0.03], [0.05, 0.4], [(0.5, 3.0), (0.2, 1.0)])
    back = lumped([0, 0.4, 0.5], [0.03, 0.02], [0.1, 0.45], [(0.0, 3.0), (0.3, 1.0)])
    assert first_critical(*there, G).omega_1 == approx(first_critical(*back, G).omega_1, rel=1e-9)


@pytest.fixture(scope="module")
def harbour_light():
    return layshaft.rate(layshaft.solve(layshaft.read("examples/harbour-light")))


def test_fan_shaft_of_the_demo_by_a_frame_library(harbour_light):
    """Flywheel 7.77 kg on 15 mm between bearings at 60 and 330 mm; PyNite's modal analysis in 5 mm pieces."""
    from Pynite import FEModel3D

    d, step = 0.015, 5
    area, second = math.pi / 4 * d**2, math.pi * d**4 / 64
    model = FEModel3D()
    model.add_material("steel", E, 80e9, 0.3, RHO)
    model.add_section("bar", area, second, second, 2 * second)
    xs = range(0, 351, step)
    for x in xs:
        model.add_node(f"n{x}", x / 1e3, 0, 0)
    for x in list(xs)[:-1]:
        model.add_member(f"m{x}", f"n{x}", f"n{x + step}", "steel", "bar")
        model.add_member_self_weight("FY", -1, "own")
    model.def_support("n60", True, True, True, True, False, False)
    model.def_support("n330", False, True, True, False, False, False)
    D = Beam([0, 0.35], [d], E, [0.06, 0.33], [x / 1e3 for x in xs]).flexibility()
    for x in (150, 250):
        model.add_node_load(f"n{x}", "FY", 1.0, f"at {x}")
        model.add_load_combo(f"at {x}", {f"at {x}": 1.0})
    model.analyze_linear()
    found = [[model.nodes[f"n{x}"].DY[f"at {a}"] for x in (150, 250)] for a in (150, 250)]
    places = [list(xs).index(x) for x in (150, 250)]
    assert D[np.ix_(places, places)] == approx(np.array(found), rel=1e-6)
    masses = np.full(len(D), RHO * area * step / 1e3)
    masses[[0, -1]] /= 2
    masses[places[0]] += 7.77
    by_hand = first_critical(D, masses, G)
    fan = harbour_light.solved.machine.shafts["fan"]
    ours = critical_speeds._whirl(fan, frozenset(), (("flywheel", 7.77),), G)
    assert ours.omega_1 == approx(by_hand.omega_1, rel=2e-3)
    alone = first_critical(D[places[0], places[0]].reshape(1, 1), np.array([7.77]), G).omega_1
    assert 0.95 * alone < ours.omega_1 < alone


def test_fan_shaft_holds_even_with_the_whole_module_at_its_softest_seat(harbour_light):
    """1/w^2 of the masses given plus 118 kg at the coupling or fan seat, whichever gives way more."""
    found = next(f for f in harbour_light.findings if f.part == "shafts.fan" and f.mode == "critical speed")
    shaft = harbour_light.solved.machine.shafts["fan"]
    omega_1 = critical_speeds._whirl(shaft, frozenset(), (("flywheel", 7.77),), G).omega_1
    EI = E * math.pi * 0.015**4 / 64
    overhung, between = 0.045**2 * (0.27 + 0.045) / (3 * EI), (0.19 * 0.08) ** 2 / (3 * EI * 0.27)
    assert found.rating == approx((1 / omega_1**2 + 118 * max(overhung, between)) ** -0.5, rel=1e-6)
    assert found.rating / REV_PER_MIN == approx(1135, abs=1)
    assert found.verdict == "holds"
