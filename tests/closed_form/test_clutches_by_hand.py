"""Friction and dog clutches closed on a running machine, by hand: two masses brought to one speed. All invented.

The slipping is integrated in time by a general library besides; the snatch is the energy of two masses in one spring.
"""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from closed_form.small_train import FAN, LEVEL, WHEEL, machine
from layshaft.elements import dog_clutch, friction_clutch
from layshaft.mechanics import stopping
from layshaft.trace.source import Source
from layshaft.train.masses import between
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

DISC = f"{{kind: friction clutch, from: first, to: second, seats: [out, in], {LEVEL}, closed while: running, closing force: " \
    "2500 N, friction: 0.35, scatter: 20 %, faces: 2, outer diameter: 160 mm, inner diameter: 100 mm, cone angle: 90 deg, " \
    "lining pressure: 0.4 MPa, heated mass: 3 kg, specific heat: 460 J/(kg K), temperature rise: 60 degC}"
DOGS = f"{{kind: dog clutch, from: first, to: second, seats: [out, in], {LEVEL}, closed while: running, speed difference: " \
    "2 rpm, teeth that carry: 2, outer diameter: 80 mm, inner diameter: 46 mm, depth: 8 mm, root thickness: 20 mm, play: 8 deg, " \
    "push speed: 150 mm/s, material: C45+N}"
FRONT = WHEEL.replace("shaft: second, seat: wheel", "shaft: first, seat: extra")
W = 40 * 9.81 * 0.100
OMEGA = np.sqrt(W / 0.05)
J_1, J_2 = 2.0 + 40 * 0.1**2, 0.1


def of(stage, loads=None, **kwargs):
    verdict = rate(solve(machine({"link": stage}, loads or {"fan": FAN, "front": FRONT}, **kwargs)))
    return {f.mode: f for f in verdict.findings if f.part == "stages.link"}, verdict


def test_a_disc_clutch_closed_under_load():
    """Worn in it passes 0.8 x 0.35 x 2500 N x 65 mm x 2; the load asks 39.24 N m of it all the while."""
    modes, _ = of(DISC)
    T = 0.8 * 0.35 * 2500 * 0.065 * 2
    assert modes["grip in running"].rating == approx(T, rel=1e-12)
    J = J_1 * J_2 / (J_1 + J_2)
    t = J * OMEGA / (T - W)
    assert modes["heat of closing"].demand == approx(T * OMEGA * t / 2 / (3 * 460), rel=1e-9)
    assert modes["lining pressure"].demand == approx(2500 / (np.pi * 0.1 * 0.03), rel=1e-9)


def test_slipping_integrated_in_time():
    """The drive gives, and the load takes, 39 N m on their sides until both turn alike."""
    T = 80.0
    alike = lambda _, y: y[0] - y[1]  # noqa: E731
    alike.terminal = True
    run = solve_ivp(lambda _, y: ((W - T) / 2.4, (T - W) / 0.7, T * (y[0] - y[1])), (0, 60), (28.0, 0.0, 0.0), events=alike,
                    rtol=1e-10, atol=1e-12, max_step=0.05)
    t, (_, _, heat) = run.t_events[0][0], run.y_events[0][0]
    found = stopping.slip_time(stopping.reduced_inertia(2.4, 0.7), 28.0, stopping.net_torque(T, W))
    assert found == approx(t, rel=1e-6)
    assert stopping.slip_heat(T, 28.0, found) == approx(heat, rel=1e-6)


def test_a_drive_that_keeps_its_speed_is_endless():
    assert stopping.reduced_inertia(np.inf, 0.7) == 0.7
    assert stopping.reduced_inertia(1e12, 0.7) == approx(0.7)
    modes, verdict = of(DISC, {"fan": FAN}, drive="crank")
    assert np.isinf(between(verdict.solved, verdict.solved.machine.stages["link"]).first)
    T, load = 0.8 * 0.35 * 2500 * 0.065 * 2, 0.05 * np.pi**2
    t = 0.1 * np.pi / (T - load)
    assert modes["heat of closing"].demand == approx(T * np.pi * t / 2 / (3 * 460), rel=1e-9)


def test_reach_and_net_torque_at_their_ends():
    assert np.isnan(stopping.net_torque(5.0, 5.0))
    assert np.isnan(stopping.net_torque(np.nan, 5.0))
    assert stopping.net_torque(5.0, -2.0) == 7
    assert (stopping.reached(0.0, 0.0), stopping.reached(1.0, 4.0)) == (1.0, 0.25)
    assert np.isnan(stopping.reached(1.0, np.nan))


def test_a_cone_wedges():
    cone = DISC.replace("90 deg", "12.5 deg")
    assert of(cone)[0]["grip in running"].rating == approx(of(DISC)[0]["grip in running"].rating / np.sin(np.deg2rad(12.5)))


def test_it_caps_a_jam_when_it_is_new():
    """New, and at the upper end of its scatter: 1.2 x 0.35 x 2500 N x 66.15 mm x 2, were the crank strong enough."""
    weak = DISC.replace("2500 N", "800 N")
    _, verdict = of(weak, {"fan": FAN}, drive="crank")
    i = next(i for i, c in enumerate(verdict.solved.columns) if c.title == "held fast at second")
    r = 2 / 3 * (0.08**3 - 0.05**3) / (0.08**2 - 0.05**2)
    assert abs(verdict.solved.stage_torque["link"][0][i, 0]) == approx(1.2 * 0.35 * 800 * r * 2, rel=1e-12)


def test_closed_at_rest_it_makes_no_heat():
    assert "heat of closing" not in of(DISC.replace("running", "standing"))[0]
    assert not {"engaging speed", "snatch on engaging"} & of(DOGS.replace("running", "standing"))[0].keys()


def test_teeth_by_hand():
    modes, _ = of(DOGS)
    r, b = 0.0315, 0.017
    F = modes["tooth pressure"].demand * b * 0.008  # in whatever case is the worst
    assert modes["tooth shear"].demand == approx(F / (b * 0.020), rel=1e-12)
    assert modes["tooth bending"].demand == approx(6 * F * 0.008 / (b * 0.020**2), rel=1e-12)
    assert r * 2 * F >= W


def test_engaging_by_hand():
    """150 mm/s over 8 mm while 8 degrees pass; then the energy of both masses goes into 210 mm of a 30 mm bar."""
    modes, verdict = of(DOGS)
    assert modes["engaging speed"].rating == approx(np.deg2rad(8) * 0.150 / 0.008, rel=1e-12)
    assert modes["engaging speed"].demand == approx(2 * np.pi / 30, rel=1e-12)
    # from the front wheel at 210 mm to the clutch at 160 mm, and from 60 to 210 mm on the second shaft
    k = 80e9 * np.pi * 0.03**4 / 32 / (0.050 + 0.150)
    assert between(verdict.solved, verdict.solved.machine.stages["link"]).stiffness == approx(k, rel=1e-9)
    J = J_1 * J_2 / (J_1 + J_2)
    T_d = 2 * np.pi / 30 * np.sqrt(J * k)
    assert modes["snatch on engaging"].demand == approx(W + np.hypot(T_d, W), rel=1e-9)
    R_e = modes["tooth pressure"].rating
    weakest = min(R_e * 0.017 * 0.008, R_e / np.sqrt(3) * 0.017 * 0.020, R_e * 0.017 * 0.020**2 / 6 / 0.008)
    assert modes["snatch on engaging"].rating == approx(weakest * 0.0315 * 2, rel=1e-12)


TEETH = {"T": 60.0, "z_c": 3.0, "d_o": 0.08, "d_i": 0.04, "h": 0.012, "s_t": 0.011, "R_e": 300e6, "phi": 0.1, "v": 0.2,
         "d_omega": 1.5, "T_w": 20.0, "J_1": 2.0, "J_2": 0.5, "k_t": 3000.0, "S_required": 1.5, "S_v_required": 1.0}


def dogs(**changes):
    given = TEETH | changes
    return dog_clutch.rate(dog_clutch.DogClutchInputs(**given, origins=dict.fromkeys(given, Source("test", obtained="given"))))


@pytest.mark.parametrize(("h", "s_t", "place"), [(0.012, 0.011, "bending"), (0.004, 0.020, "flank"), (0.010, 0.009, "bending")])
def test_the_weakest_place_of_a_tooth(h, s_t, place):
    b, r = 0.020, 0.030
    F = {"flank": 300e6 * b * h, "shear": 300e6 / np.sqrt(3) * b * s_t, "bending": 300e6 * b * s_t**2 / 6 / h}
    assert min(F, key=F.get) == place
    found = dogs(h=h, s_t=s_t)
    assert found.checks[-1].rating == approx(F[place] * r * 3)
    assert found.T_s == approx(20 + np.sqrt(1.5**2 * 0.4 * 3000 + 20**2))
    assert found.F == approx(60 / (r * 3))
    assert [c.margin for c in found.checks[:3]] == approx([F[p] / found.F for p in ("flank", "shear", "bending")])


@pytest.mark.parametrize(("d_omega", "T_w"), [(1.5, 20.0), (0.0, 20.0), (0.6, 35.0), (1.5, 0.0)])
def test_the_snatch_by_integration(d_omega, T_w):
    """Two masses, 2.0 and 0.5 kg m2, on a shaft of 3000 N m: both torques go on while the twist swings; its largest."""
    def motion(_, y):
        twist = 3000 * (y[0] - y[1])
        return [y[2], y[3], (T_w - twist) / 2.0, (twist - T_w) / 0.5]

    swing = solve_ivp(motion, (0, 0.1), [0, 0, 10 + d_omega, 10], rtol=1e-10, atol=1e-12, max_step=1e-4)
    assert dogs(d_omega=d_omega, T_w=T_w).T_s == approx(3000 * (swing.y[0] - swing.y[1]).max(), rel=1e-5)


def test_formulas_of_the_teeth():
    assert dog_clutch.shear_strength(100e6, 2e-4) == approx(20e3)
    assert dog_clutch.root_area(0.02, 0.011) == approx(2.2e-4)
    assert dog_clutch.tooth_length(0.08, 0.046) == approx(0.017)
    assert np.isnan(dog_clutch.mean_radius(0.05, 0.05))
    assert np.isnan(dogs(d_i=0.09).checks[0].margin)


def test_a_clutch_rates_as_its_formulas():
    given = {"T": 30.0, "mu": 0.3, "F": 900.0, "d_o": 0.16, "d_i": 0.1, "i": 2.0, "alpha": np.pi / 2, "s": 0.2, "p_lim": 3e5,
             "T_w": 10.0, "J_1": 2.4, "J_2": 0.7, "d_omega": 28.0, "m": 3.0, "c": 460.0, "d_lim": 60.0, "S_required": 1.25,
             "S_p_required": 1.0}
    r = friction_clutch.rate(friction_clutch.FrictionClutchInputs(
        **given, origins=dict.fromkeys(given, Source("test", obtained="given"))))
    T = 0.8 * 0.3 * 900 * 0.065 * 2
    t = 2.4 * 0.7 / 3.1 * 28 / (T - 10)
    assert (r.T_low, r.t_s, r.E_s) == approx((T, t, T * 28 * t / 2))
    assert r.T_high == approx(1.2 * 0.3 * 900 * 2 * 2 / 3 * (0.08**3 - 0.05**3) / (0.08**2 - 0.05**2))
