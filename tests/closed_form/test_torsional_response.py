"""Response to pulses, near misses, damping and the elastic march, against closed forms and scipy's integrator."""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp
from scipy.linalg import expm

import layshaft
from closed_form import small_train as train
from closed_form.test_torsional_modes import CHAIN
from layshaft.train.torsion.answer import torsion as answer
from layshaft.train.torsion.damping import of_modes
from layshaft.train.torsion.march import march
from layshaft.train.torsion.modes import give_at, natural
from layshaft.train.torsion.orders import heard, shakings
from layshaft.train.torsion.periodic import free, repeating, within
from layshaft.train.torsion.response import cycle, spring_torques

HARBOUR = layshaft.solve(layshaft.named_option(layshaft.read("examples/harbour-light"), "as first drawn"))


def some_modes(seed=3, n=6):
    rng = np.random.default_rng(seed)
    mass, stiffness = rng.uniform(0.05, 2.0, n), rng.uniform(50, 5000, n - 1)
    modes = natural(mass, [(i, i + 1) for i in range(n - 1)], stiffness)
    brakes = np.zeros(n)
    brakes[-1] = 0.4
    return modes, of_modes(modes, np.full(n - 1, 0.03), brakes), rng


# Exact states ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("omega", "rate"), [(7.0, 0.3), (2.0, 9.0), (3.0, 6.0), (0.0, 0.5), (0.0, 0.0)])
def test_free_motion_of_one_mode_against_a_general_integrator(omega, rate):
    """Underdamped, overdamped, critical, and turning as one with and without a brake."""
    times = np.linspace(0, 2, 9)
    found = free(np.array([omega]), np.array([rate]), times)[:, 0]
    for k in range(2):
        s = solve_ivp(lambda _, y: [y[1], -rate * y[1] - omega**2 * y[0]], (0, 2), np.eye(2)[k], t_eval=times,
                      rtol=1e-11, atol=1e-13)
        assert found[:, :, k].T == approx(s.y, rel=1e-6, abs=1e-6)


def test_the_repeating_cycle_repeats():
    modes, damped, rng = some_modes()
    spans, forces = rng.uniform(0.05, 0.3, 4), rng.normal(size=(4, 6))
    starts = repeating(modes.omega, damped.rate, spans, forces)
    last = within(modes.omega, damped.rate, starts[-1], forces[-1], spans[-1:])[0]
    assert last[modes.rigid:] == approx(starts[0][modes.rigid:], abs=1e-12)


def test_a_cycle_of_lifts_against_its_fourier_series():
    """Every harmonic of rectangular lifts through each mode's complex gain, summed up to the 3000th."""
    modes, damped, _ = some_modes()
    pitch, share = 0.9, 0.35
    at = modes.shapes[2]
    forces = -5.0 * np.array([(1 - share) * at, -share * at])
    found = cycle(modes, damped, np.array([share * pitch, (1 - share) * pitch]), forces)
    t = np.linspace(0, pitch, 1200)
    h = np.arange(1, 3001)
    c = -5.0 * (1 - np.exp(-2j * np.pi * h * share)) / (2j * np.pi * h)
    w = 2 * np.pi * h / pitch
    q = np.array([np.zeros_like(t) if o == 0 else 2 * (
        (c * a / (o**2 - w**2 + 1j * w * r))[:, None] * np.exp(1j * w[:, None] * t)).real.sum(axis=0)
        for o, r, a in zip(modes.omega, damped.rate, at, strict=True)])
    wanted = (modes.stiffness[:, None] * modes.twists) @ q
    assert found.max(axis=0) == approx(wanted.max(axis=1), rel=3e-3)
    assert found.min(axis=0) == approx(wanted.min(axis=1), rel=3e-3)


def test_damping_of_two_discs_and_of_a_brake():
    """zeta of the one spring; a brake c on a disc of inertia J that nothing else holds: rate c / J of all."""
    modes = natural(np.array([0.5, 2.0]), [(0, 1)], np.array([800.0]))
    assert of_modes(modes, np.array([0.07]), np.zeros(2)).zeta[1] == approx(0.07)
    braked = of_modes(modes, np.array([0.0]), np.array([0.0, 0.3]))
    assert braked.rate[0] == approx(0.3 / 2.5)
    assert braked.rate[1] == approx(0.3 * modes.shapes[1, 1] ** 2)


def test_give_of_a_node_in_a_network():
    """Springs in line and side by side, a node held, a rigid joint."""
    springs, k = [(0, 1), (1, 2), (0, 2)], np.array([100.0, 300.0, 50.0])
    assert give_at(4, springs, k, [(2, 3)], [0], 3) == approx(1 / (1 / (1 / 100 + 1 / 300) + 50))
    assert give_at(4, springs, k, [(2, 3)], [3], 2) == 0


# Whole machines --------------------------------------------------------------------------------


def test_harbour_lights_swings_against_the_matrix_exponential():
    """The first tenth of a second of a lift in the nodes' own twists: mass, stiffness and damping as matrices."""
    one = answer(HARBOUR)[0]
    modes, damped, net = one.modes, one.damped, one.net
    found = spring_torques(HARBOUR, net, modes, damped, one.case, HARBOUR.machine.loads["hammer cam"])
    omega = abs(float(HARBOUR.speed["bell"][one.case].mean()))
    pitch, lift = 2 * np.pi / 4 / omega, np.radians(80) / omega
    cam = net.nodes.index(("bell", "hammer cam"))
    sense = np.sign(HARBOUR.speed["main"][0].mean())
    force = sense * 6.0 / np.radians(80) * 21 / 28 * np.array([-(1 - lift / pitch), lift / pitch])
    starts = repeating(modes.omega, damped.rate, np.array([lift, pitch - lift]), force[:, None] * modes.shapes[cam])
    n, M = len(net.nodes), np.array(net.mass)
    K = np.zeros((n, n))
    for spring in net.springs:
        d = np.eye(n)[spring.nodes[0]] - np.eye(n)[spring.nodes[1]]
        K += spring.stiffness * np.outer(d, d)
    C = (M[:, None] * modes.shapes * damped.rate) @ (modes.shapes.T * M)
    A = np.zeros((2 * n + 1, 2 * n + 1))
    A[:n, n:2 * n] = np.eye(n)
    A[n:2 * n, :n], A[n:2 * n, n:2 * n] = -K / M[:, None], -C / M[:, None]
    A[n + cam, 2 * n] = force[0] / M[cam]
    step, state = expm(A * 2e-4), np.concatenate([*(modes.shapes @ starts[0]).T, [1.0]])
    torques = []
    for _ in range(500):
        state = step @ state
        torques.append([s.stiffness * (state[s.nodes[0]] - state[s.nodes[1]]) for s in net.springs])
    peaks = np.abs(torques).max(axis=0)
    ours = within(modes.omega, damped.rate, starts[0], force[0] * modes.shapes[cam], np.arange(1, 501) * 2e-4)
    exact = ours[:, :, 0] @ (modes.stiffness[:, None] * modes.twists).T
    for part in ("stages.lens chain", "stages.bell chain", "stages.bell coupling", "stages.fan gears 1"):
        i = [p.part for p in net.springs].index(part)
        assert np.array(torques)[:, i] == approx(exact[:, i], abs=2e-3 * peaks[i]), part
        assert np.abs(found[:, i]).max() >= 0.98 * peaks[i]


def pulsed(stiffness="2000 N/mm", **more):
    """A weight, a chain, a flywheel and lifts beside it."""
    lifts = "{kind: pulses, shaft: second, seat: fan, per turn: 2, energy: 30 J, over: 60 deg, break away: 1}"
    brake = "{kind: fan brake, shaft: second, seat: out, constant: 0.9 N m s2, inertia: 0.1 kg m2}"
    chain = CHAIN.replace("2000 N/mm", stiffness)
    return layshaft.solve(train.machine({"join": chain}, {"wheel": train.WHEEL, "lifts": lifts, "brake": brake}, **more))


def test_slow_lifts_on_a_stiff_train_pass_as_on_a_rigid_one():
    """Shares of inertia: what the weight and the first shaft take of a lift goes through the chain, and rings twice."""
    solved = pulsed()
    one = answer(solved, guess=0.3)[0]
    chain = next(s for s in one.swings if s.part == "stages.join")
    net = one.net
    before = sum(m for m, (shaft, _) in zip(net.mass, net.nodes, strict=True) if shaft != "second")
    share = before / sum(net.mass)
    T = 30 / np.radians(60) / 2  # seen at the first shaft, half as fast
    lifting = 60 * 2 / 360
    quiet = share * T * np.array([lifting, 1 - lifting])
    assert chain.below >= quiet[0] * 0.99 and chain.above >= quiet[1] * 0.99
    assert chain.above < 2.2 * share * T
    assert chain.mean == approx(abs(float(solved.stage_torque["join"][0][0].mean())))


def test_backlash_opens_where_the_swing_is_larger_than_the_mean():
    for one in (answer(HARBOUR)[0], answer(pulsed())[0]):
        for s in one.swings:
            if s.opens is not None:
                back = s.below if s.mean > 0 else s.above
                assert s.opens == (back >= abs(s.mean)), s
    calm = layshaft.apply(HARBOUR.machine, {"set": {"loads.hammer cam.energy": "0.1 J"}})
    gears = {s.part: s.opens for s in answer(layshaft.solve(calm))[0].swings}
    assert gears["stages.fan gears 1"] is False and gears["stages.lens coupling"] is None


def test_orders_of_harbour_light():
    one = answer(HARBOUR)[0]
    found = {s.name: s.omega for s in shakings(HARBOUR, one.net, one.case)}
    main = abs(float(HARBOUR.speed["main"][0].mean()))
    assert found["lens chain, links"] == approx(19 * main)
    assert found["lens mitre, teeth"] == approx(25 * main / 2)
    assert found["fan gears 2, teeth"] == approx(120 * 7.5 * main)
    assert found["hammer cam, lifts"] == approx(4 * main * 21 / 28)
    assert found["fan coupling, out of line"] == approx(2 * 60 * main)
    assert [s.name for s in heard(one.shakings)] == ["fan gears 2, teeth"]
    winding = answer(HARBOUR)[1]
    assert {s.name: s.omega for s in winding.shakings}["ratchet, clicks"] == approx(24 * np.pi * 19 / 25)


def test_near_misses_are_found_and_harmonics_that_vanish_are_left_out():
    one = answer(HARBOUR, near=0.2)[0]
    lifts = [m.harmonic for m in one.meetings if m.shaking.name == "hammer cam, lifts"]
    assert sorted(lifts) == [8, 10, 11]  # eight ninths of the time it lifts: the ninth is not there
    for m in one.meetings:
        assert abs(m.ratio - 1) <= 0.2
        assert m.critical == approx(abs(float(HARBOUR.speed[m.shaking.shaft][0].mean())) / m.ratio)
    assert answer(HARBOUR, near=1e-6)[0].meetings == []


def test_the_lens_table_may_stick_and_slip_until_its_drive_is_stiffer():
    table = answer(HARBOUR)[0].dragged[0]
    assert table.load == "lens table" and table.sticks and table.held_at == "fan, flywheel"
    assert table.friction == approx(110 * 9.81 * 0.015 * 0.40)
    stiff = layshaft.apply(HARBOUR.machine, {"set": {"parts.jaw 35.stiffness": "6000 N m/rad"}})
    cured = answer(layshaft.solve(stiff))[0].dragged[0]
    assert not cured.sticks and cured.stiffness > table.stiffness * table.share**-2
    assert not answer(HARBOUR, guess=0.1)[0].dragged[0].sticks


# The march -------------------------------------------------------------------------------------


def test_march_against_a_general_integrator():
    modes, damped, rng = some_modes()
    time = np.concatenate([[0.0], np.cumsum(rng.uniform(0.02, 0.2, 30))])
    forces, which = rng.normal(size=(2, 6)), np.arange(30) % 2
    found = march(modes, damped.rate, time, forces, which, grid=1e-4)
    y = np.zeros(12)
    pull = modes.stiffness[:, None] * modes.twists
    low, high = np.zeros(5), np.zeros(5)
    for i in range(30):
        s = solve_ivp(lambda _, z, g=forces[which[i]]: np.concatenate([z[6:], g - damped.rate * z[6:] - modes.omega**2 * z[:6]]),
                      (time[i], time[i + 1]), y, rtol=1e-10, atol=1e-13, dense_output=True)
        y = s.y[:, -1]
        assert found.torque[np.searchsorted(found.time, time[i + 1])] == approx(pull @ y[:6], rel=1e-6, abs=1e-7)
        torque = pull @ s.sol(np.linspace(time[i], time[i + 1], 400))[:6]
        low, high = np.minimum(low, torque.min(axis=1)), np.maximum(high, torque.max(axis=1))
    assert found.least == approx(low, rel=1e-4, abs=1e-6) and found.greatest == approx(high, rel=1e-4, abs=1e-6)


def test_march_comes_to_the_repeating_cycle_and_says_when_the_greatest_is():
    modes, damped, _ = some_modes()
    spans = np.array([0.31, 0.24])
    forces = np.array([[1.0], [-0.5]]) * modes.shapes[2]
    time = np.concatenate([[0.0], np.cumsum(np.tile(spans, 400))])
    which = np.arange(800) % 2
    late = march(modes, damped.rate, time, forces, which).torque[-3:-1]
    starts = repeating(modes.omega, damped.rate, spans, forces)[:, :, 0]
    assert late == approx(starts @ (modes.stiffness[:, None] * modes.twists).T, rel=1e-6, abs=1e-9)
    early = march(modes, damped.rate, time[:3], forces, which[:2], grid=1e-5)
    i = int(np.argmax(early.greatest))
    state = within(modes.omega, damped.rate, np.zeros((6, 2)), forces[0], early.greatest_at[i:i + 1])[0, :, 0]
    if early.greatest_at[i] < spans[0]:
        assert (modes.stiffness[:, None] * modes.twists)[i] @ state == approx(early.greatest[i], rel=1e-9)


def test_a_run_from_rest_ends_in_the_repeating_cycle():
    """A long time after the start the largest swings are at most those of the run-up, and near those of the cycle."""
    solved = pulsed()
    one = answer(solved, over=120.0)[0]
    steady = {s.part: s for s in one.swings}
    assert one.from_rest.why == "" and len(one.from_rest.peaks) == len(one.net.springs)
    for peak in (p for p in one.from_rest.peaks if not p.part.startswith("shafts.")):  # light ends ring too quickly
        s = steady[peak.part]
        assert peak.below >= 0.9 * s.below and peak.above >= 0.9 * s.above, peak
        assert 0 <= peak.below_at <= 120 and 0 <= peak.above_at <= 120


def test_a_run_from_rest_that_is_none_says_why():
    assert "decided" in answer(HARBOUR, over=1.0)[1].from_rest.why
    heavy = layshaft.apply(HARBOUR.machine, {"set": {"loads.hammer cam.energy": "60 J"}})
    assert "does not set off" in answer(layshaft.solve(heavy), over=1.0)[0].from_rest.why


def test_a_cut_stretch_changes_nothing():
    modes, damped, _ = some_modes()
    forces = 3.0 * modes.shapes[[2]]
    whole = march(modes, damped.rate, np.array([0.0, 1.9]), forces, np.array([0]), grid=1e-3)
    parts = march(modes, damped.rate, np.array([0.0, 1.9]), forces, np.array([0]), grid=1e-4)
    assert len(parts.time) > len(whole.time) and parts.torque[-1] == approx(whole.torque[-1], rel=1e-9)
    assert parts.greatest == approx(whole.greatest, rel=1e-3)
