"""Modes of networks and of whole trains against closed forms and scipy's generalised eigenvalues."""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp
from scipy.linalg import eigh

import layshaft
from closed_form import small_train as train
from layshaft.machine.reader import read_text
from layshaft.mechanics import torsion
from layshaft.train.torsion.answer import torsion as answer
from layshaft.train.torsion.modes import natural
from layshaft.train.torsion.network import network

LEVEL = train.LEVEL
STEEL, G = 7850.0, 80e9


def test_two_discs():
    J_1, J_2, k = 0.3, 1.7, 900.0
    found = natural(np.array([J_1, J_2]), [(0, 1)], np.array([k]))
    assert found.omega == approx([0, np.sqrt(k * (J_1 + J_2) / (J_1 * J_2))])
    assert found.shapes[0, 1] / found.shapes[1, 1] == approx(-J_2 / J_1)


def test_equal_discs_in_a_row_and_in_a_ring():
    """n equal discs: 2 sqrt(k/J) sin(i pi / 2n) in a row, sin(i pi / n) with the ring closed."""
    n, J, k = 7, 0.2, 640.0
    row = natural(np.full(n, J), [(i, i + 1) for i in range(n - 1)], np.full(n - 1, k))
    assert row.omega == approx(2 * np.sqrt(k / J) * np.sin(np.arange(n) * np.pi / (2 * n)), abs=1e-9)
    ring = natural(np.full(n, J), [(i, (i + 1) % n) for i in range(n)], np.full(n, k))
    assert ring.omega == approx(np.sort(2 * np.sqrt(k / J) * np.sin(np.arange(n) * np.pi / n)), abs=1e-6)


def test_a_held_end_and_a_massless_disc_between_two_springs():
    found = natural(np.array([5.0, 0.0, 0.4]), [(0, 1), (1, 2)], np.array([300.0, 600.0]), held=[0])
    assert found.rigid == 0 and found.omega == approx([np.sqrt(200.0 / 0.4)])
    assert found.shapes[:, 0] / found.shapes[2, 0] == approx([0, 2 / 3, 1])


def test_a_part_without_mass_is_refused():
    with pytest.raises(ValueError, match="no mass at all"):
        natural(np.array([1.0, 1.0, 0.0, 0.0]), [(0, 1), (2, 3)], np.array([10.0, 10.0]))


@pytest.mark.parametrize("seed", range(12))
def test_random_networks_against_a_general_library(seed):
    """Branches, loops, rigid joints, held nodes, several parts: constraints by elimination, then scipy."""
    rng = np.random.default_rng(seed)
    n = int(rng.integers(3, 14))
    mass = rng.uniform(0.01, 5.0, n)
    springs = [(int(rng.integers(0, i)), i) for i in range(1, n) if rng.random() < 0.85]
    springs += [tuple(map(int, rng.choice(n, 2, replace=False))) for _ in range(int(rng.integers(0, 4)))]
    stiffness = 10 ** rng.uniform(1, 5, len(springs))
    rigid = [tuple(map(int, rng.choice(n, 2, replace=False))) for _ in range(int(rng.integers(0, 2)))]
    held = [int(rng.integers(0, n))] if rng.random() < 0.4 else []
    found = natural(mass, springs, stiffness, rigid, held)
    wanted, still = in_full(mass, springs, stiffness, rigid, held)
    assert len(found.omega) == len(wanted) and found.rigid == still
    assert found.omega == approx(wanted, rel=1e-6, abs=1e-4)
    modal = found.shapes.T @ (mass[:, None] * found.shapes)
    assert modal == approx(np.eye(len(wanted)), abs=1e-7)
    if len(springs):
        assert found.strain_shares.sum(axis=0)[still:] == approx(1, rel=1e-6)
    assert all(found.shapes[a] == approx(found.shapes[b]) for a, b in rigid)


def in_full(mass, springs, stiffness, rigid, held):
    """Null space of all constraints written as rows; scipy's generalised problem in it."""
    n = len(mass)
    K = np.zeros((n, n))
    for (a, b), k in zip(springs, stiffness, strict=True):
        d = np.eye(n)[a] - np.eye(n)[b]
        K += k * np.outer(d, d)
    rows = [np.eye(n)[a] - np.eye(n)[b] for a, b in rigid] + [np.eye(n)[h] for h in held]
    N = np.eye(n)
    if rows:
        _, s, v = np.linalg.svd(np.array(rows))
        N = v[int((s > 1e-9).sum()):].T
    values = eigh(N.T @ K @ N, N.T @ np.diag(mass) @ N, eigvals_only=True) if N.shape[1] else np.zeros(0)
    still = int((values < 1e-7 * max(values.max(initial=0.0), 1.0)).sum())
    return np.sqrt(np.maximum(values, 0)), still


# Whole machines --------------------------------------------------------------------------------

CHAIN = f"{{kind: roller chain, from: first, to: second, seats: [out, in], chain: 08B-1, teeth: [19, 38], centres: 600 mm, " \
        f"stiffness: 2000 N/mm, connecting link: press fit, {LEVEL}}}"
GEARS = f"{{kind: gear pair, from: first, to: second, seats: [out, in], normal module: 2 mm, teeth: [60, 20], face: 20 mm, " \
        f"helix: 0 deg, pressure angle: 20 deg, torsional stiffness: 5 kN m/rad, {LEVEL}}}"
HARBOUR = layshaft.solve(layshaft.named_option(layshaft.read("examples/harbour-light"), "as first drawn"))


def solved(stages, loads=None, drive="weight", **more):
    return layshaft.solve(train.machine(stages, loads or {"wheel": train.WHEEL}, drive, **more))


def bar(length, d=0.030):
    return STEEL * np.pi * d**4 / 32 * length


@pytest.mark.parametrize(("stage", "ratio", "k"), [
    (CHAIN, 0.5, 2000e3 * (0.0127 / np.sin(np.pi / 19) / 2) ** 2), (GEARS, -3.0, 5000.0)])
def test_a_weight_a_stage_and_a_flywheel_in_true_angles(stage, ratio, k):
    """The whole machine in every shaft's own angle, assembled apart and given to scipy."""
    found = network(solved({"join": stage}), "first")
    seats = {s: 0.060 + 0.050 * i for i, s in enumerate(("in", "hold", "out", "extra"))}
    assert [n for n in found.nodes if n[0] == "first"] == [("first", "in"), ("first", "out")]
    assert [n[1] for n in found.nodes if n[0] == "second"] == ["in", "wheel"]
    mean_1, mean_2 = (seats["in"] + seats["out"]) / 2, (0.060 + 0.260) / 2
    disc = {19: (0.0127 / np.sin(np.pi / 19), 7.75e-3), 38: (0.0127 / np.sin(np.pi / 38), 7.75e-3),
            60: (0.120, 0.020), 20: (0.040, 0.020)}
    d = [disc[z] for z in ((19, 38) if ratio == 0.5 else (60, 20))]
    M = np.array([bar(mean_1), bar(0.5 - mean_1) + bar(*d[0][::-1]), bar(mean_2) + bar(*d[1][::-1]),
                  bar(0.5 - mean_2) + 2.0, 40 * 0.1**2])
    K = np.zeros((5, 5))

    def spring(k, row):
        nonlocal K
        K += k * np.outer(row, row)

    I_p = np.pi * 0.030**4 / 32
    spring(G * I_p / (seats["out"] - seats["in"]), np.array([1, -1, 0, 0, 0.0]))
    spring(G * I_p / 0.200, np.array([0, 0, 1, -1, 0.0]))
    spring(k, np.array([0, 1, -1 / ratio, 0, 0.0]))  # twist of the first shaft beyond what the second lets it
    spring(20e3 / 8 / (0.004 * 1.0) * 0.1**2, np.array([1, 0, 0, 0, -1.0]))
    values = eigh(K, np.diag(M), eigvals_only=True)
    modes = found.modes()
    assert modes.rigid == 1
    assert modes.omega[1:] == approx(np.sqrt(values[1:]), rel=2e-6)


def test_a_shaft_of_many_seats_sings_like_a_bar():
    """Free at both ends, held at one: (i - 1/2) pi / L sqrt(G / rho), here between end seats of a crank's shaft."""
    seats = ", ".join(f"s{i}: {{at: {20 * i} mm}}" for i in range(1, 50))
    loads = "\n".join(f"  l{i}: {{kind: steady, shaft: long, seat: s{i}, torque: 0.1 N m, break away: 1, inertia: 0 kg m2}}"
                      for i in range(1, 50))
    text = f"""layshaft: 1
name: Long bar
gravity: 9.81 m/s2
modules: {{frame: {{mass: 20 kg}}}}
shafts:
  long: {{module: frame, axis: x, material: C45+N, sections: [[20 mm, 1 m]], seats: {{hub: {{at: 0 mm}}, one: {{at: 5 mm, bearing: open}}, {seats}, two: {{at: 995 mm, bearing: open}}, end: {{at: 1 m}}}}}}
drives:
  crank: {{kind: crank, shaft: long, seat: hub, radius: 250 mm, people: 1, speed: 30 rpm}}
loads:
{loads}
  end: {{kind: steady, shaft: long, seat: end, torque: 0.1 N m, break away: 1, inertia: 0 kg m2}}
"""
    modes = network(layshaft.solve(read_text(text, "m.yaml")), "long").modes()
    assert modes.rigid == 0
    assert modes.omega[:3] == approx((np.arange(3) + 0.5) * np.pi * np.sqrt(G / STEEL), rel=3e-3)


def test_harbour_light_lens_table_swings_slowly_behind_its_mitre():
    """By hand: 110 kg at 0.42 m on coupling, bars and chain in line, seen at the spindle; the rest hardly moves."""
    one = answer(HARBOUR)[0]
    assert one.root == "main" and one.modes.rigid == 1
    bars = [(0.020, 0.285), (0.020, 0.465), (0.030, 0.310)]
    r = 0.0127 / np.sin(np.pi / 19) / 2
    give = sum(32 * length / (np.pi * G * d**4) for d, length in bars) + 1 / 1500
    chain = 0.0015 * 0.7 / (17.8e3 / 8)  # way for a force: a table's stretch at an eighth of the breaking load
    k_mesh = 20e9 * 0.020 * ((0.075 - 0.020 * np.sin(np.pi / 4)) / 2 * np.cos(np.radians(20))) ** 2
    give += 1 / k_mesh + chain / (r**2 * 4)
    assert one.modes.omega[1] == approx(np.sqrt(1 / give / (110 * 0.42**2)), rel=0.02)
    assert one.modes.motion_shares[one.net.nodes.index(("spindle", "lens table")), 1] > 0.98


def test_side_by_side_and_closed_loops_are_stiffer_and_still_turn():
    one = network(solved({"join": CHAIN}), "first")
    twin = CHAIN.replace("[out, in]", "[hold, hold]")
    twice = network(solved({"join": CHAIN, "twin": twin}), "first")
    rigid = network(solved({"join": CHAIN}), "first", ["join"])
    assert one.modes().omega[1] < twice.modes().omega[1] < rigid.modes().omega[1]
    third = {"third": train.shaft("a", "b")}
    on = CHAIN.replace("to: second, seats: [out, in]", "to: third, seats: [extra, a]").replace("[19, 38]", "[19, 19]")
    back = CHAIN.replace("from: first, to: second, seats: [out, in]", "from: third, to: second, seats: [b, out]")
    loop = network(solved({"join": CHAIN, "on": on, "back": back}, shafts=third), "first")
    tree = network(solved({"join": CHAIN, "on": on}, shafts=third), "first")
    assert loop.set.closing == ["back"] and loop.modes().rigid == 1
    assert len(loop.springs) == len(tree.springs) + 3  # the chain, and lengths of two shafts to its seats
    assert loop.modes().omega[1] > tree.modes().omega[1]


def test_what_is_not_known_is_named():
    belt = f"{{kind: synchronous belt, from: first, to: second, seats: [out, in], belt: XL, teeth: [20, 40], width: 9.5 mm, " \
           f"centres: 300 mm, {LEVEL}}}"
    assert network(solved({"belt": belt}), "first").lacking == [
        "stages.belt.torsional stiffness: lists of belts do not give it"]
    stated = belt.replace("width", "torsional stiffness: 50 N m/rad, width")
    assert network(solved({"belt": stated}), "first").lacking == []
    assert network(solved({"belt": belt}), "first", ["belt"]).lacking == []
    open_chain = CHAIN.replace("chain: 08B-1", "chain: open").replace("stiffness: 2000 N/mm, ", "")
    assert network(solved({"join": open_chain}), "first").lacking == ["stages.join.chain"]
    coupling = f"{{kind: coupling, from: first, to: second, seats: [out, in], listing: open, gap: 2 mm, {LEVEL}}}"
    assert network(solved({"join": coupling}), "first").lacking == ["stages.join.listing"]
    work = "{kind: steady, shaft: second, seat: fan, torque: 1 N m, break away: 1}"
    with pytest.raises(ValueError, match=r"not known: loads.work.inertia"):
        network(solved({"join": CHAIN}, {"work": work}), "first").modes()


# Formulas --------------------------------------------------------------------------------------


def test_a_strand_on_a_wheel_and_a_stiffness_seen_from_elsewhere():
    """Energies: half k s^2 with s = r phi, half k phi^2 with phi = i phi_1."""
    phi, k, r, i = 0.02, 3e5, 0.07, 2.5
    assert torsion.strand_on_wheel(k, r) * phi**2 == approx(k * (r * phi) ** 2)
    assert torsion.reflected_stiffness(k, i) * phi**2 == approx(k * (i * phi) ** 2)


@pytest.mark.parametrize(("eta", "zeta"), [(0.5, 0.35), (1.6, 0.2), (1.03, 0.05)])
def test_gain_against_the_complex_stiffness(eta, zeta):
    """Answer of k - w^2 J + i w c to a unit torque, over that at standstill."""
    k, J = 650.0, 0.9
    w, c = eta * np.sqrt(k / J), 2 * zeta * np.sqrt(k * J)
    assert torsion.gain(eta, zeta) == approx(abs(k / (k - w**2 * J + 1j * w * c)), rel=1e-12)


def test_orders():
    """25 teeth at 1500 rev/min meet 625 times a second; a mode of 80 Hz is met by four pulses a turn at 1200 rev/min."""
    assert torsion.order_frequency(1500 * 2 * np.pi / 60, 25.0) / (2 * np.pi) == approx(625)
    assert torsion.critical_turning_speed(80 * 2 * np.pi, 4.0) * 60 / (2 * np.pi) == approx(1200)


@pytest.mark.parametrize("D", [0.3, 0.55])
def test_harmonics_of_lifts_against_a_fourier_transform(D):
    n, T_l = 4000, 7.0
    lifts = np.where(np.arange(n) < D * n, T_l, 0.0)
    wanted = 2 * np.abs(np.fft.rfft(lifts)) / n
    for h in (1, 2, 5):
        assert torsion.lift_harmonic(T_l, D, float(h)) == approx(wanted[h], rel=1e-4)


@pytest.mark.parametrize(("dT", "k", "J", "zeta"), [(3.0, 700.0, 19.0, 2e-4), (1.0, 90.0, 0.5, 1e-4)])
def test_stick_slip_speed_against_a_general_integrator(dT, k, J, zeta):
    """A mass dragged through a spring: the speed at which it just does not come to rest again."""
    c = 2 * zeta * np.sqrt(k * J)

    def sticks(v):
        """Set free at the pull of friction at rest; friction in motion is the steady pull."""
        period = 2 * np.pi / np.sqrt(k / J)
        s = solve_ivp(lambda _, y: [y[1], -(k * y[0] + c * y[1]) / J], (0, 1.2 * period), [-dT / k, -v],
                      rtol=1e-10, atol=1e-14, dense_output=True)
        return float(np.min(s.sol(np.linspace(0.3 * period, 1.2 * period, 4001))[1])) <= -v

    low, high = 0.1 * dT / np.sqrt(k * J), 100 * dT / np.sqrt(k * J)
    assert sticks(low) and not sticks(high)
    for _ in range(25):
        middle = np.sqrt(low * high)
        low, high = (middle, high) if sticks(middle) else (low, middle)
    assert torsion.stick_slip_speed(dT, zeta, k, J) == approx(low, rel=0.01)
    assert np.isnan(torsion.stick_slip_speed(dT, 0.0, k, J))
