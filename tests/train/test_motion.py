"""A run over time against a general integrator (scipy) on the balance of the train, and against closed forms."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

import layshaft
from layshaft.machine.reader import read_text
from layshaft.train.motion.reduced import reduce
from layshaft.train.motion.run import Act, simulate
from train.random_machines import machine_text

EXAMPLES = Path(__file__).parents[2] / "examples"
HARBOUR = layshaft.solve(layshaft.read(EXAMPLES / "harbour-light"))


def integrated(solved, root, until, start=0.0):
    """Root angle and speed at a time: scipy from edge to edge, each edge found by its own event."""
    r = reduce(solved, root)
    t, z = 0.0, [0.0, start]
    while t < until:
        state, ends = [], []
        for lift in r.lifts:
            n = np.floor(z[0] / lift.pitch + 1e-9)
            into = z[0] - n * lift.pitch < lift.over * (1 - 1e-9)
            state.append(bool(into))
            ends.append(n * lift.pitch + (lift.over if into else lift.pitch))
        edge = min(ends, default=np.inf)

        def reached(_, y, edge=edge):
            return y[0] - edge

        reached.terminal, reached.direction = True, 1
        s = solve_ivp(lambda _, y, state=tuple(state): [y[1], r.band(state, max(y[1], 0)).at(y[1])], (t, until), z,
                      events=reached, rtol=1e-11, atol=1e-13)
        t, z = s.t[-1], [edge if s.status == 1 else s.y[0, -1], s.y[1, -1]]
    return z


def test_acceleration_is_that_of_the_peaks():
    r = reduce(HARBOUR, "main")
    for title, state in (("all lifts together", (True,)), ("all drops together", (False,))):
        i = [c.title for c in HARBOUR.columns].index(f"running peak, {title}")
        assert r.band(state, r.running).at(r.running) == approx(-HARBOUR.acceleration["main"][i][0], rel=1e-9)


def test_harbour_light_from_rest_against_a_general_integrator():
    found = simulate(HARBOUR, "main", [Act(300.0)])
    angle, omega = integrated(HARBOUR, "main", 300.0)
    assert (found.time[-1], found.angle[-1], found.omega[-1]) == (approx(300, abs=1e-9), approx(angle, rel=1e-8),
                                                                  approx(omega, rel=1e-8))


def test_harbour_light_settles_to_its_swing():
    """Between lifts the fan shaft gains what the hammer takes: worked out apart in tests/closed_form."""
    found = simulate(HARBOUR, "main", [Act(3600.0)])
    late = found.omega[found.after(1800.0)]
    swing = (late.max() - late.min()) / late.mean()
    assert swing == approx(0.0347, abs=0.0005)
    rate = (found.angle[-1] - found.angle[found.after(1800.0)][0]) / (found.time[-1] - found.time[found.after(1800.0)][0])
    assert rate == approx(abs(HARBOUR.speed["main"][0][0]), rel=1e-3)


@pytest.mark.parametrize("seed", range(4))
def test_random_machines_against_a_general_integrator(seed):
    tried = 0
    for number in range(15 * seed, 15 * seed + 15):
        solved = layshaft.solve(read_text(machine_text(number)))
        for root, role in solved.roles.items():
            if role.led_by or role.free or not role.weights or not np.isfinite(solved.speed[root][0][0]):
                continue
            start = 0.3 * abs(float(solved.speed[root][0][0]))
            until = 40 * 2 * np.pi / abs(float(solved.speed[root][0][0])) / 10
            found = simulate(solved, root, [Act(until)], start=start)
            if found.ended != "the time is over":
                continue
            angle, omega = integrated(solved, root, until, start)
            assert found.angle[-1] == approx(angle, rel=1e-6) and found.omega[-1] == approx(omega, rel=1e-6)
            tried += 1
    assert tried


def test_a_stronger_bell_keeps_it_from_setting_off():
    heavy = layshaft.solve(layshaft.apply(HARBOUR.machine, {"set": {"loads.hammer cam.energy": "60 J"}}))
    r = reduce(heavy, "main")
    assert r.at_rest < 0
    found = simulate(heavy, "main", [Act(10.0)])
    assert found.time[-1] == 10 and found.angle[-1] == 0


def test_the_weight_at_the_bottom_ends_it():
    found = simulate(HARBOUR, "main", [Act(3600.0)], farthest=5.0)
    assert found.ended == "the weight is at the bottom" and found.angle[-1] == approx(5.0, rel=1e-9)
    assert found.time[-1] < 60


def test_a_load_let_go_speeds_it_up_and_taken_back_slows_it_down():
    found = simulate(HARBOUR, "main", [Act(600.0), Act(600.0, frozenset({"hammer cam"})), Act(600.0)])
    first, second, third = (found.omega[b - 2] for b in (*found.acts[1:], len(found.time)))
    assert second > 1.05 * first and third == approx(first, rel=0.05)
    assert found.time[-1] == approx(1800.0)


def test_a_set_led_by_a_crank_is_refused():
    with pytest.raises(ValueError, match="is decided"):
        simulate(HARBOUR, "wind" if "wind" in HARBOUR.roles else "crank", [Act(1.0)])


def test_time_and_angle_in_between_edges():
    found = simulate(HARBOUR, "main", [Act(120.0)])
    for until in (0.01, 0.9, 7.0, 18.5, 61.3, 119.9):
        angle, omega = integrated(HARBOUR, "main", until)
        at, speed = found.at_time(np.array([until]))
        assert (at[0], speed[0]) == (approx(angle, rel=1e-8), approx(omega, rel=1e-8))
        time, again = found.at_angle(at)
        assert time[0] == approx(until, rel=1e-9) and again[0] == approx(speed[0], rel=1e-12)
    assert np.isnan(found.at_time(np.array([-1.0, 500.0]))[0]).all()
