"""Springs against energy methods, root finders and the machine file; no example is needed."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import quad, trapezoid
from scipy.optimize import brentq

import layshaft
from layshaft.elements import helical_spring as coil
from layshaft.elements import spiral_spring as spiral
from layshaft.elements import torsion_spring as torsion
from layshaft.elements.helical_spring import compression, extension
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.mechanics import spring_wire as wire

EXAMPLES = Path(__file__).parents[2] / "examples"
HOIST = (EXAMPLES / "sack-hoist" / "machine.yaml").read_text(encoding="utf-8")
GRINDER = (EXAMPLES / "hand-grinder" / "machine.yaml").read_text(encoding="utf-8")


def rated(text, *changes):
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return layshaft.rate(layshaft.solve(read_text(text, "machine.yaml")))


def of(verdict, name, mode):
    return next(f for f in verdict.findings if f.part == f"springs.{name}" and f.mode == mode)


def test_rate_by_the_energy_of_twist_and_work_by_integration():
    """Castigliano: y = dU/dF with U the twist energy of a wire of length pi D N and polar moment pi d^4 / 32."""
    d, D, N, G = 2e-3, 17e-3, 9.0, 79e9
    polar = np.pi * d**4 / 32
    assert coil.spring_rate(d, G, D, N) == approx(1 / ((D / 2) ** 2 * np.pi * D * N / (G * polar)))
    assert coil.spring_energy(50.0, 8e-3) == approx(quad(lambda y: 50 / 8e-3 * y, 0, 8e-3)[0])
    assert extension.extension_energy(50.0, 12.0, 8e-3) == approx(quad(lambda y: 12 + 38 / 8e-3 * y, 0, 8e-3)[0])
    assert coil.travel(10.0, 12.0, 1e3) == 0
    assert coil.solid_force(2e3, 0.05, 0.03) == approx(40)
    assert np.isnan(coil.solid_force(2e3, 0.03, 0.03)) and np.isnan(coil.spring_index(2e-3, 2e-3))
    assert np.isnan(coil.halved_swing(20.0, 90.0)) and coil.halved_swing(20.0, 20.0) == 0
    assert np.isnan(torsion.halved_swing(0.2, 0.9)) and torsion.halved_swing(0.2, 0.2) == 0
    assert coil.solid_length(2e-3, 10.0) == approx(0.02)
    assert coil.buckling_length(20e-3, 0.5) == approx(0.1052)


def test_two_factors_for_curvature_agree_within_one_and_a_half_per_cent():
    C = np.linspace(4, 12, 50)
    assert coil.bergstraesser_factor(C) == approx(coil.wahl_factor(C), rel=0.015)


def test_torsion_and_spiral_rate_by_bending_energy():
    d, D, N, E = 2e-3, 20e-3, 6.0, 200e9
    assert torsion.exact_rate(d, E, D, N) == approx(E * np.pi * d**4 / 64 / (np.pi * D * N))
    assert torsion.spring_rate(d, E, D, N) == approx(torsion.exact_rate(d, E, D, N) * 64 / (21.6 * np.pi))
    assert torsion.stored_energy(0.8, 2.0) == approx(0.8)
    b, t, l = 20e-3, 0.7e-3, 3.0  # noqa: E741
    k = spiral.spring_rate(E, b, t, l)
    assert k == approx(E * b * t**3 / 12 / l)
    angles = np.linspace(spiral.wound_angle(2.0), spiral.wound_angle(6.0), 1001)
    work = trapezoid(spiral.spring_torque(k, angles), angles)
    assert spiral.run_energy(k * angles[-1], k * angles[0], angles[-1], angles[0]) == approx(work, rel=1e-6)
    assert spiral.turns_left(6.0, 4.0) == 2
    assert np.isnan(spiral.turns_left(3.0, 4.0))
    assert spiral.strip_area(3.0, 0.7e-3) == approx(2.1e-3)
    assert spiral.room_in_drum(0.5, 0.1, 0.02) == approx(0.5 * np.pi * (0.05**2 - 0.01**2))


def test_the_gerber_line_is_met_where_the_factor_says():
    """n s_a / S_e + (n s_m / S_u)^2 = 1, found by bisection; without swing it is the steady strength."""
    s_a, s_m, S_e, S_u = 90e6, 210e6, 260e6, 900e6
    n = brentq(lambda x: x * s_a / S_e + (x * s_m / S_u) ** 2 - 1, 0.1, 20)
    assert wire.fatigue_factor(s_a, s_m, S_e, S_u) == approx(n)
    assert wire.fatigue_factor(0.0, s_m, S_e, S_u) == approx(S_u / s_m)
    through = wire.endless_strength(S_e * 0.7, 300e6, S_u)
    assert S_e * 0.7 / through + (300e6 / S_u) ** 2 == approx(1)


def test_where_a_method_ends_nothing_is_said():
    assert np.isnan(coil.hook_bending_factor(0.49e-3, 1e-3))
    assert np.isnan(coil.hook_torsion_factor(0.4e-3, 1e-3))
    assert np.isfinite(coil.hook_bending_factor(0.6e-3, 1e-3))
    assert np.isnan(coil.hook_torsion_factor(0.49e-3, 1e-3))
    assert np.isfinite(coil.hook_torsion_factor(0.52e-3, 1e-3))
    assert coil.hook_bending_factor(1.5e-3, 1e-3) == approx((4 * 9 - 3 - 1) / (4 * 3 * 2))
    assert coil.hook_torsion_factor(1.5e-3, 1e-3) == approx((4 * 3 - 1) / (4 * 3 - 4))
    for r, twist in ((0.5125, 3.1 / 0.1), (0.8, 5.4 / 2.4)):
        c = 2 * r
        assert coil.hook_bending_factor(r, 1.0) == approx((4 * c**2 - c - 1) / (4 * c * (c - 1)))
        assert coil.hook_torsion_factor(r, 1.0) == approx(twist)
    assert coil.hook_bending_stress(10.0, 0.0, 5e-3, 1e-3) == approx(10 / (np.pi * 0.25e-6))
    assert torsion.inner_factor(2.0) == approx(13 / 8)
    assert np.isnan(torsion.inner_factor(0.98))
    assert np.isfinite(torsion.inner_factor(1.03))
    assert [float(compression.odd_index(C)) for C in (3.9, 4.1, 11.9, 12.1)] == [1, 0, 0, 1]
    assert np.isnan(wire.spring_wire("music wire", 7e-3).A)
    assert wire.spring_wire("music wire", 3e-3).G == 81e9
    assert wire.spring_wire("music wire", 3.01e-3).G == 80e9


def test_the_lock_of_the_hoist_by_hand():
    """2 mm hard-drawn wire, coil of 16 mm, 8 of 10 turns, 39 mm, 20 to 60 N."""
    v = rated(HOIST)
    R_m = 1783 * 2**-0.19
    K = (4 * 8 + 2) / (4 * 8 - 3)
    tau = K * 8 * 60 * 16 / (np.pi * 8)
    assert of(v, "hatch lock", "spring set").demand / 1e6 == approx(tau)
    assert of(v, "hatch lock", "spring set").rating / 1e6 == approx(0.45 * R_m)
    k = 79300 * 16 / (8 * 16**3 * 8)
    assert of(v, "hatch lock", "coil clash").rating == approx(k * (39 - 20))
    assert of(v, "hatch lock", "set when solid").demand / 1e6 == approx(tau * k * 19 / 60)
    assert of(v, "hatch lock", "spring buckling").rating == approx(2.63 * 16e-3 / 0.5)
    assert "spring surge" not in [f.mode for f in v.findings if f.part == "springs.hatch lock"]
    S_su = 0.67 * R_m
    S_e = 241 / (1 - (379 / S_su) ** 2)
    n = brentq(lambda x: x * tau / 3 / S_e + (x * tau * 2 / 3 / S_su) ** 2 - 1, 0.1, 20)
    assert of(v, "hatch lock", "spring fatigue").margin == approx(n)


def test_the_reel_of_the_grinder_by_hand():
    """Strip 18 x 0.8 mm of 4.5 m, seven turns, of which five run: 207 GPa."""
    v = rated(GRINDER)
    k = 207e9 * 0.018 * 0.8e-3**3 / (12 * 4.5)
    assert of(v, "hose reel", "spring set").demand == approx(6 * k * 14 * np.pi / (0.018 * 0.8e-3**2))
    assert of(v, "hose reel", "torque at the end").rating == approx(k * 4 * np.pi)
    assert of(v, "hose reel", "room in the drum").demand == approx(4.5 * 0.8e-3)
    pinned = rated(GRINDER, ("outer end: clamped", "outer end: on a pin"))
    assert of(pinned, "hose reel", "spring set").margin == approx(of(v, "hose reel", "spring set").margin / 2)


def test_the_tap_surges_far_above_its_use():
    f = of(rated(GRINDER), "water tap", "spring surge")
    k = 69e9 * 1e-12 / (8 * 9e-3**3 * 6)
    mass = np.pi**2 * 1e-6 * 9e-3 * 6 * 7850 / 4
    assert f.rating == approx(np.pi * np.sqrt(k / mass))
    assert f.demand == approx(50 * 2 * np.pi / 60)


def test_who_can_be_hurt_gets_the_stricter_factor_and_the_caution():
    v = rated(HOIST)
    pawl, lock = of(v, "pawl", "spring set"), of(v, "hatch lock", "spring set")
    assert (pawl.required, lock.required) == (1.5, 1.2)
    assert "strikes with its legs" in pawl.note
    peened = rated(HOIST, ("mean diameter: 13 mm, peened: no", "mean diameter: 13 mm, peened: yes"))
    assert of(peened, "pawl", "spring fatigue").margin > of(v, "pawl", "spring fatigue").margin


@pytest.mark.parametrize(("old", "new", "said"), [
    ("wire: music wire", "wire: piano string", "no spring wire in the shipped tables"),
    ("wire diameter: 1.6 mm", "wire diameter: 0 mm", "more than 0"),
    ("torque: 0.35 N m", "torque: 0.35 N", "a torque belongs here"),
    ("kind: torsion spring, can hurt: yes", "kind: torsion spring", "can hurt"),
    ("kind: torsion spring", "kind: volute spring", "volute spring"),
    ("legs: [30 mm, 30 mm]", "legs: [30 mm]", "legs"),
    ("ends: flat and parallel", "ends: glued", "glued"),
])
def test_what_cannot_be_is_refused_in_a_sentence(old, new, said):
    assert old in HOIST
    with pytest.raises(MachineErrors) as refused:
        read_text(HOIST.replace(old, new, 1), "machine.yaml")
    assert said in str(refused.value)


@pytest.mark.parametrize(("old", "new", "name", "mode"), [
    ("wire: music wire", "wire: open", "pawl", "spring set"),
    ("wire diameter: 1.6 mm", "wire diameter: 8 mm", "pawl", "spring set"),
    (", pin: 10 mm", "", "pawl", "pin clearance"), (", least torque: 0.15 N m", "", "pawl", "spring fatigue"),
    (", ends: flat and parallel", "", "hatch lock", "spring buckling"),
    (", free length: 39 mm", "", "hatch lock", "coil clash"), (", turns: 10", "", "hatch lock", "set when solid")])
def test_what_is_not_said_is_unknown_and_never_holds(old, new, name, mode):
    assert of(rated(HOIST, (old, new)), name, mode).verdict == "unknown"


def test_more_force_never_raises_a_margin():
    rows = {"F": np.linspace(5, 90, 30), "F_least": 4.0, "d": 2e-3, "D": 16e-3, "N_a": 8.0, "N_t": 10.0, "L_0": 0.045,
            "A": 1783e6, "m": 0.19, "G": 79e9, "share": 0.45, "S_a": 241e6, "S_m": 379e6, "alpha": 0.5, "rho": 7850.0,
            "omega": 5.0, "S_required": 1.0}
    found = compression.rate(compression.CompressionInputs(origins=dict.fromkeys(rows, wire.STRENGTH), **rows))
    for check in found.checks:
        margins = np.broadcast_to(check.margin, (30,))
        assert np.all(np.diff(margins) <= 1e-12), check.mode


def test_fatigue_where_a_hook_leaves_the_body_by_the_gerber_line():
    """The grinder's guard, 10 to 35 N: both parts of the twist there grow together till they meet the parabola."""
    verdict = rated(GRINDER)
    f = of(verdict, "guard", "hook torsion fatigue")
    d, D, c_2 = 1.4e-3, 12e-3, 2 * 2.5 / 1.4
    swing, mean = ((4 * c_2 - 1) / (4 * c_2 - 4) * 8 * F * D / (np.pi * d**3) for F in (12.5, 22.5))
    S_su = 0.67 * 2181e6 * 1.4**-0.162
    S_e = 241e6 / (1 - (379e6 / S_su) ** 2)
    assert f.demand == approx(swing, rel=1e-12)
    assert f.margin == approx(brentq(lambda n: n * swing / S_e + (n * mean / S_su) ** 2 - 1, 0.1, 10), rel=1e-9)
    assert f.margin < of(verdict, "guard", "spring fatigue").margin
