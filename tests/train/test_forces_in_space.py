"""Every shaft as a free body in space, and every stage's forces from the places where they act.

Sources: equilibrium of a rigid body; the common tangent of two circles; the involute of a circle and
the normal of a screw surface (its lead is the same on every circle). All closed form.
"""

import functools

import numpy as np
import pytest
from scipy.optimize import brentq

from layshaft.machine.reader import read_text
from layshaft.train.forces import shaft_loads
from layshaft.train.solve import solve
from train.random_machines import machine_text
from train.second_solution import PITCH, SIDE, Machine, si

SEEDS = [s for s in range(75) if s % 5]  # those with a turning mass: every case has an answer
STEEL = 7850.0
SNATCHED = "one element failed"


@functools.cache
def both(seed, lossy=True):
    text = machine_text(seed, lossy=lossy)
    solved = solve(read_text(text))
    assert all(np.isfinite(a).all() for a in solved.acceleration.values())
    return solved, Machine(text)


def seat_at(solved, other, shaft, seat):
    return solved.place[shaft] + other.axis[shaft] * si(other.file["shafts"][shaft]["seats"][seat]["at"])


def close(got, wanted, size):
    """Equal to 1e-9 of the forces or moments at work."""
    off = np.abs(np.asarray(got) - np.asarray(wanted)) / np.maximum(size, 1.0)
    assert np.max(off) <= 1e-9


@pytest.mark.parametrize("seed", SEEDS)
def test_every_shaft_is_in_balance_in_every_case(seed):
    solved, _ = both(seed)
    point = np.random.default_rng(seed).uniform(-1, 1, 3)
    whole = np.array([c.case != SNATCHED for c in solved.columns])
    for name in solved.loads:
        loads = shaft_loads(solved, name, in_balance=True)
        a, side, up = loads.frame
        force, moment = np.zeros((3, *loads.thrust.shape)), np.zeros((3, *loads.thrust.shape))
        size = np.ones(loads.thrust.shape)
        seats = dict(zip(loads.names, loads.stations, strict=True))
        acting = [(x, loads.force[i]) for i, x in enumerate(loads.stations)]
        acting += [(seats[bearing], side[:, None, None] * r[0] + up[:, None, None] * r[1])
                   for bearing, r in zip(loads.supports, loads.reaction, strict=True)]
        acting.append((0.0, a[:, None, None] * loads.thrust))
        for x, f in acting:
            arm = (solved.place[name] + a * x - point)[:, None, None] * np.ones_like(f)
            force += f
            moment += np.cross(arm, f, axis=0)
            size = size + np.abs(f).sum(axis=0) * np.linalg.norm(arm[:, 0, 0])
        moment += loads.couple.sum(axis=0)
        along = sum(solved.seat_torque[name].values(), np.zeros(loads.thrust.shape))
        close(force, 0, size)
        close(moment, np.tensordot(a, moment, 1) * a[:, None, None], size)
        close(np.tensordot(a, loads.couple.sum(axis=0), 1), 0, size)
        close(along[whole], 0, sum(np.abs(t) for t in solved.seat_torque[name].values())[whole])
        close(loads.torque_right[-1][whole], 0, size[whole])


@pytest.mark.parametrize("seed", SEEDS)
def test_own_weight_of_every_shaft(seed):
    """All forces of a machine that nothing pulls, in transit: steel and what sits on the seats."""
    solved, other = both(seed)
    rest = [c.title for c in solved.columns].index("at rest, weights hanging")
    for name, s in other.file["shafts"].items():
        mass = sum(STEEL * np.pi / 4 * si(d) ** 2 * si(step) for d, step in s["sections"])
        mass += sum(si(seat.get("mass", 0)) for seat in s["seats"].values())
        mass += sum(si(v["mass"]) for v in other.loads.values()
                    if v["shaft"] == name and v["kind"] in ("flywheel", "allowance"))
        pulled = sum(other.falls(d, rising=False)[0] for n, d in other.drives.items()
                     if n in other.weights and d["shaft"] == name)
        hand = [d for d in other.drives.values() if d["kind"] == "crank" and d["shaft"] == name]
        if not hand and not _chained(other, name, solved, rest):
            total = solved.loads[name].force.sum(axis=0)[:, rest, 0]
            close(total, [0, 0, -(mass * other.g + pulled)], mass * other.g)


def _chained(other, name, solved, case):
    """Something on the shaft pulls or pushes at rest."""
    return any(name in (s["from"], s["to"]) and (solved.stage_torque[n][0][case, 0] != 0 or "slack force" in s)
               for n, s in other.stages.items())


def stage_forces(solved, other, name, end):
    """Force and couple of a stage on one seat, what rests on the seat taken off, per case."""
    stage = other.stages[name]
    shaft, seat = stage[("from", "to")[end]], stage["seats"][end]
    loads = solved.loads[shaft]
    i = loads.at(seat)
    mass = si(other.file["shafts"][shaft]["seats"][seat].get("mass", 0))
    up = np.array([0, 0, 1.0])
    across = seen_against(other.axis[shaft])[1]  # on the road masses knock across the shaft
    weight = np.stack([mass * other.g * up if c.shock is None else mass * (c.shock * across if mass else 0 * up)
                       for c in solved.columns], axis=1)
    return loads.force[i][:, :, 0] + weight, loads.couple[i][:, :, 0]


def tangents(c_1, c_2, r_1, r_2, a):
    """Both outer common tangents as pairs of touching points, found by turning the radius."""
    u = (c_2 - c_1) / np.linalg.norm(c_2 - c_1)
    n = np.cross(a, u)

    def radius(t):
        return np.cos(t) * u + np.sin(t) * n

    def lean(t):  # the two touching points lie across the radius from one another
        return radius(t) @ (c_2 + r_2 * radius(t) - c_1 - r_1 * radius(t))

    found = [brentq(lean, lo, hi, xtol=1e-15) for lo, hi in ((0, np.pi), (-np.pi, 0))]
    return [(c_1 + r_1 * radius(t), c_2 + r_2 * radius(t)) for t in found]


@pytest.mark.parametrize("seed", SEEDS)
def test_strands_of_every_chain(seed):
    """Tension times arm about either axis is the torque; no strand pushes; slack is as stated."""
    solved, other = both(seed)
    running = [i for i, c in enumerate(solved.columns) if c.case != "in transit"]
    for name, stage in other.stages.items():
        if stage["kind"] != "roller chain":
            continue
        centre = [seat_at(solved, other, stage[k], stage["seats"][i]) for i, k in enumerate(("from", "to"))]
        r = [PITCH[stage["chain"]] / 2 / np.sin(np.pi / z) for z in stage["teeth"]]
        a = other.axis[stage["from"]]
        lines = tangents(*centre, *r, a)
        way = np.stack([(q - p) / np.linalg.norm(q - p) for p, q in lines], axis=1)
        f_1, f_2 = (stage_forces(solved, other, name, end)[0][:, running] for end in (0, 1))
        size = np.abs(f_1).max() + 1
        close(f_1, -f_2, size)
        # Two tensions must give three forces and two moments; the wheel that drives is loaded in full.
        torque = [solved.stage_torque[name][k][running, 0] for k in (0, 1)]
        pull = np.maximum(np.abs(torque[0]) / r[0], np.abs(torque[1]) / r[1])
        rows, right = [way], [f_1]
        for end, sign in ((0, 1.0), (1, -1.0)):
            axis = other.axis[stage[("from", "to")[end]]]
            arms = [sign * np.cross(line[end] - centre[end], d) @ axis / r[end]
                    for line, d in zip(lines, way.T, strict=True)]
            rows.append(np.array([arms]))
            right.append(np.sign(torque[end])[None] * pull)
        tension, *_ = np.linalg.lstsq(np.vstack(rows), np.vstack(right), rcond=None)
        close(np.vstack(rows) @ tension, np.vstack(right), size)
        close(tension.min(axis=0), si(stage.get("slack force", 0)), size)


def involute(angle):
    return np.tan(angle) - angle


def mesh(stage):
    """Pressure angle and helix where two gears roll, and their centre distance, from the basic rack."""
    z, m, alpha = stage["teeth"], si(stage["normal module"]), si(stage["pressure angle"])
    helix, x = si(stage.get("helix", 0)), [float(v) for v in stage.get("shift", (0, 0))]
    alpha_t = np.arctan(np.tan(alpha) / np.cos(helix))
    base = [n * m / np.cos(helix) / 2 * np.cos(alpha_t) for n in z]
    lead = np.tan(helix) / (z[0] * m / np.cos(helix) / 2)
    inside = bool(stage.get("internal"))
    reach = abs(base[0] - base[1]) if inside else sum(base)
    if "centres" in stage:
        return np.arccos(reach / si(stage["centres"])), lead, si(stage["centres"])
    # Thicker teeth push the axes apart, and a pinion deeper into its ring.
    inv = involute(alpha_t) + 2 * sum(x) / (-abs(z[0] - z[1]) if inside else sum(z)) * np.tan(alpha)
    alpha_w = brentq(lambda t: involute(t) - inv, 0.05, 1.2, xtol=1e-15)
    return alpha_w, lead, reach / np.cos(alpha_w)


def rolling_point(stage, centre):
    """Where both pitch circles touch: between the axes; of a ring, beyond the axis of the gear inside it."""
    z = stage["teeth"]
    if not stage.get("internal"):
        return centre[0] + (centre[1] - centre[0]) * z[0] / sum(z)
    ring = 0 if z[0] > z[1] else 1
    return centre[ring] + (centre[1 - ring] - centre[ring]) * z[ring] / abs(z[0] - z[1])


@pytest.mark.parametrize("lossy", [True, False], ids=["losses", "no losses"])
@pytest.mark.parametrize("seed", SEEDS)
def test_mesh_of_every_gear_pair(seed, lossy):
    """One force at the rolling point: along the normal of the tooth, and its moments are the torques.

    The two halves of a double helical gear push against each other, and nothing is left along the axis.
    """
    solved, other = both(seed, lossy)
    for name, stage in other.stages.items():
        if stage["kind"] != "gear pair":
            continue
        alpha_w, turn_per_way, distance = mesh(stage)
        centre = [seat_at(solved, other, stage[k], stage["seats"][i]) for i, k in enumerate(("from", "to"))]
        apart = centre[1] - centre[0]
        assert np.linalg.norm(apart) == pytest.approx(distance, rel=1e-9)
        touch = rolling_point(stage, centre)
        ring = int(stage["teeth"][1] > stage["teeth"][0]) if stage.get("internal") else None
        u = apart / distance
        for end in (0, 1):
            out = (touch - centre[end]) / np.linalg.norm(touch - centre[end]) * (-1 if end == ring else 1)
            axis, torque = other.axis[stage[("from", "to")[end]]], solved.stage_torque[name][end][:, 0]
            force, couple = stage_forces(solved, other, name, end)
            moment = np.cross(np.broadcast_to((touch - centre[end])[:, None], force.shape), force, axis=0)
            size = np.abs(force).max() + 1
            close(axis @ moment, torque, size)
            close(moment - np.outer(axis, torque), couple, size)
            assert np.all(out @ force <= 1e-9 * size)  # pushed apart; a ring away from the gear inside it
            if not lossy:
                close(np.abs(np.cross(axis, u) @ force) * np.tan(alpha_w), -(out @ force), size)
        first, second = (stage_forces(solved, other, name, end)[0] for end in (0, 1))
        a = other.axis[stage["from"]]
        # A screw surface slides in itself: the normal does no work when it turns and advances by its lead.
        turned = solved.stage_torque[name][0][:, 0] * (0 if stage.get("double") else turn_per_way)
        advanced = a @ first
        close(turned + advanced, 0, np.abs(first).max() + 1)
        if not lossy:
            close(first, -second, np.abs(first).max() + 1)


@pytest.mark.parametrize("lossy", [True, False], ids=["losses", "no losses"])
@pytest.mark.parametrize("seed", SEEDS)
def test_mesh_of_every_bevel_pair(seed, lossy):
    """One force in the middle of the face, across the line of the cones, both gears off the crossing."""
    solved, other = both(seed, lossy)
    for name, stage in other.stages.items():
        if stage["kind"] != "bevel pair":
            continue
        m, z = si(stage["normal module"]), stage["teeth"]
        out = [other.axis[stage[k]] * (1 if s == "before" else -1)
               for k, s in zip(("from", "to"), stage["apex"], strict=True)]
        centre = [seat_at(solved, other, stage[k], stage["seats"][i]) for i, k in enumerate(("from", "to"))]
        crossing = centre[0] - out[0] * m * z[1] / 2
        close(crossing, centre[1] - out[1] * m * z[0] / 2, 1.0)
        cone = (out[0] * z[1] + out[1] * z[0]) / np.hypot(*z)
        touch = crossing + cone * (m * np.hypot(*z) / 2 - si(stage["face"]) / 2)
        for end in (0, 1):
            axis, torque = other.axis[stage[("from", "to")[end]]], solved.stage_torque[name][end][:, 0]
            force, couple = stage_forces(solved, other, name, end)
            moment = np.cross(np.broadcast_to((touch - centre[end])[:, None], force.shape), force, axis=0)
            size = np.abs(force).max() + 1
            close(axis @ moment, torque, size)
            close(moment - np.outer(axis, torque), couple, size)
            close(cone @ force, 0, size)
            across = np.cross(*out)
            flat = force - np.outer(across, across @ force)
            assert np.all(out[end] @ flat >= -1e-9 * size)
            if not lossy:
                slope = np.tan(si(stage["pressure angle"]))
                close(np.linalg.norm(flat, axis=0), np.abs(across @ force) * slope, size)
        if not lossy:
            pair = [stage_forces(solved, other, name, end)[0] for end in (0, 1)]
            close(pair[0], -pair[1], np.abs(pair[0]).max() + 1)


@pytest.mark.parametrize("seed", SEEDS)
def test_pull_of_every_rope(seed):
    """The rope's pull at the side of its drum turns the shaft with the torque on the seat."""
    solved, other = both(seed)
    titles = ("running mean", "starting from rest, worst position of every cam")
    cases = [i for i, c in enumerate(solved.columns) if c.title in titles]
    for name in other.weights:
        d = other.drives[name]
        loads, i = solved.loads[d["shaft"]], solved.loads[d["shaft"]].at(d["seat"])
        mass = si(other.file["shafts"][d["shaft"]]["seats"][d["seat"]].get("mass", 0))
        force = loads.force[i][:, cases, 0] + np.array([[0], [0], [mass * other.g]])
        torque = solved.seat_torque[d["shaft"]][d["seat"]][cases, 0]
        if "hand" not in other.drives and name == other.weights[0]:  # somebody holds the drum at break-away
            torque = torque + np.array([0, solved.required[solved.set_of(d["shaft"]).root][cases[1], 0]
                                        * -other.turn[d["shaft"]]])
        arm = np.array(SIDE[d["hangs on"]], float) * other.arm(d)
        moment = other.axis[d["shaft"]] @ np.cross(np.broadcast_to(arm[:, None], force.shape), force, axis=0)
        close(moment, torque, np.abs(torque).max())


def seen_against(axis):
    """Right and up for somebody who looks against the axis, its sense left aside; from above for an upright one."""
    a = np.abs(axis)
    if a[2] == 1:
        return np.array([1.0, 0, 0]), np.array([0, 1.0, 0])
    return (np.array([0, 1.0, 0]) if a[0] == 1 else np.array([-1.0, 0, 0])), np.array([0, 0, 1.0])


@pytest.mark.parametrize("seed", SEEDS)
def test_places_of_shafts(seed):
    """Chains close with an even number of links on the line that is stated; couplings join ends."""
    solved, other = both(seed)
    for stage in other.stages.values():
        a = other.axis[stage["from"]]
        c_1, c_2 = (seat_at(solved, other, stage[k], stage["seats"][i]) for i, k in enumerate(("from", "to")))
        if "line" in stage:
            right, up = seen_against(a)
            t = si(stage["line"])
            close((c_2 - c_1) / np.linalg.norm(c_2 - c_1), np.cos(t) * right + np.sin(t) * up, 1.0)
        if stage["kind"] == "roller chain":
            p = PITCH[stage["chain"]]
            r = [z * p / (2 * np.pi) for z in stage["teeth"]]  # a wheel counts as a circle of z pitches
            lines = tangents(c_1, c_2, *r, a)
            free = sum(np.linalg.norm(q - s) for s, q in lines)
            lean = np.arcsin((r[1] - r[0]) / np.linalg.norm(c_2 - c_1))
            links = (free + r[0] * (np.pi - 2 * lean) + r[1] * (np.pi + 2 * lean)) / p
            assert links / 2 == pytest.approx(round(links / 2), abs=1e-9)
            assert abs(np.linalg.norm(c_2 - c_1) - si(stage["centres"])) < p
        if stage["kind"] == "coupling":
            ends = [[solved.place[n] + x * other.axis[n] for x in (0, sum(
                si(step) for _, step in other.file["shafts"][n]["sections"]))] for n in (stage["from"], stage["to"])]
            apart = min(np.linalg.norm(p - q) for p in ends[0] for q in ends[1])
            close(apart, si(stage["gap"]), 1.0)
            close(np.cross(c_2 - c_1, a), 0, 1.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_push_on_a_handle_counts_where_it_is_hardest_on_each_bearing(seed):
    """Turned through all directions, by moments about one bearing; a shaft on two bearings is statics alone."""
    solved, other = both(seed)
    for d in other.drives.values():
        loads = shaft_loads(solved, d["shaft"], in_balance=True) if d["kind"] == "crank" else None
        if loads is None or len(loads.supports) != 2:
            continue
        _, side, up = loads.frame
        x_1, x_2 = (loads.stations[loads.at(s)] for s in loads.supports)
        size = np.abs(solved.seat_torque[d["shaft"]][d["seat"]][:, 0]) / si(d["radius"])
        far = loads.stations[loads.at(d["seat"])] + si(d["handle overhang"])
        largest = np.zeros((2, len(size)))
        for angle in np.linspace(0, 2 * np.pi, 721):
            turned = (np.cos(angle) + 1) * up + np.sin(angle) * side  # instead of the one straight down
            share_2 = (far - x_1) / (x_2 - x_1)
            for i, share in enumerate((1 - share_2, share_2)):
                r = loads.reaction[i, :, :, 0] - share * size * np.array([turned @ side, turned @ up])[:, None]
                largest[i] = np.maximum(largest[i], np.hypot(*r))
        free = np.array([c.title != "leaning on hand" for c in solved.columns])
        got = np.hypot(*np.moveaxis(solved.loads[d["shaft"]].reaction[..., 0], 1, 0))
        assert got[:, free] == pytest.approx(largest[:, free], rel=1e-5, abs=1e-9)
        plain = np.hypot(*np.moveaxis(loads.reaction[..., 0], 1, 0))
        assert got[:, ~free] == pytest.approx(plain[:, ~free], rel=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_road_knocks_across_every_shaft(seed):
    """A shock comes in any direction: an upright shaft, too, lies on its bearings with all its mass."""
    solved, other = both(seed)
    road = next(i for i, c in enumerate(solved.columns) if c.shock is not None)
    for name, s in other.file["shafts"].items():
        mass = sum(STEEL * np.pi / 4 * si(d) ** 2 * si(step) for d, step in s["sections"])
        mass += sum(si(seat.get("mass", 0)) for seat in s["seats"].values())
        mass += sum(si(v["mass"]) for v in other.loads.values()
                    if v["shaft"] == name and v["kind"] in ("flywheel", "allowance"))
        if not _chained(other, name, solved, road):
            total = solved.loads[name].reaction[:, :, road, 0].sum(axis=0)
            assert np.hypot(*total) == pytest.approx(mass * solved.columns[road].shock, rel=1e-9)
