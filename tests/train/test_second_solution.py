"""Speeds, torques and books of random machines against a second solution of the same text.

The second solution is one sparse linear system a case, solved by SciPy (`second_solution.py`). Lossless
machines are also held against virtual work, which needs no system at all.
"""

import functools
import itertools

import numpy as np
import pytest

from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from train.random_machines import machine_text
from train.second_solution import Machine, si

WITHIN = 1e-9
SEEDS = range(120)
LEADERS = ("crank", "motor", "hoist")


@functools.cache
def both(seed, drive="", lossy=True, count=0, deep=False):
    text = machine_text(seed, drive, lossy=lossy, count=count, deep=deep)
    return solve(read_text(text)), Machine(text)


@functools.cache
def running(seed, **how):
    return both(seed, **how)[1].running()


def column(solved, title):
    return [c.title for c in solved.columns].index(title)


def agree(solved, case, answer):
    """Torques on both ends of every stage, to 1e-9 of each, or of 1 N m."""
    for name, ends in answer.ends.items():
        for ours, theirs in zip(solved.stage_torque[name], ends, strict=True):
            assert ours[case, 0] == pytest.approx(theirs, rel=WITHIN, abs=WITHIN), (solved.columns[case].title, name)


@pytest.mark.parametrize("seed", SEEDS)
def test_running_mean(seed):
    solved, other = both(seed)
    answer = running(seed)
    for shaft, speed in answer.speed.items():
        assert solved.speed[shaft][0, 0] == pytest.approx(speed, rel=WITHIN)
    agree(solved, 0, answer)
    if other.led:
        d = other.drives[other.led]
        assert solved.seat_torque[d["shaft"]][d["seat"]][0, 0] == pytest.approx(answer.reaction, rel=WITHIN, abs=WITHIN)


@pytest.mark.parametrize("seed", SEEDS)
def test_running_peaks(seed):
    solved, other = both(seed)
    root = solved.roles[next(iter(solved.roles))].set.root
    for case, c in enumerate(solved.columns):
        if c.case != "running peak":
            continue
        if not any(other.inertias().values()):  # nothing to speed up: no answer, and none is given
            assert np.isnan(solved.acceleration[root][case, 0])
            continue
        state = {"all lifts together": "lifts", "all drops together": "drops"}.get(c.title.split(", ")[1], "mean")
        answer = other.peak(state, running(seed), 1.5 if "push" in c.title else 1.0)
        agree(solved, case, answer)
        for shaft, alpha in answer.acceleration.items():
            assert solved.acceleration[shaft][case, 0] == pytest.approx(alpha, rel=WITHIN, abs=1e-7)


@pytest.mark.parametrize("seed", SEEDS)
def test_breaking_away(seed):
    solved, other = both(seed)
    case = column(solved, "starting from rest, worst position of every cam")
    agree(solved, case, other.breaking_away())


@pytest.mark.parametrize("seed", SEEDS)
def test_held_fast_at_each_shaft(seed):
    solved, other = both(seed)
    shafts = other.shafts if seed % 3 == 0 else other.shafts[:: 4]
    for shaft in shafts:
        agree(solved, column(solved, f"held fast at {shaft}"), other.held(shaft))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_jam_loads_only_the_way_between_drives_and_itself(seed):
    """Parts off every way from a drive to the held shaft carry nothing."""
    solved, other = both(seed)
    neighbours = {s: [] for s in other.shafts}
    for stage in other.stages.values():
        neighbours[stage["from"]].append(stage["to"])
        neighbours[stage["to"]].append(stage["from"])
    for shaft in other.shafts[:: 3]:
        case, ways = column(solved, f"held fast at {shaft}"), set()
        for drive in other.drives.values():
            way = _way(neighbours, drive["shaft"], shaft)
            ways |= {frozenset(pair) for pair in itertools.pairwise(way)}
        for name, stage in other.stages.items():
            torque = solved.stage_torque[name][0][case, 0]
            if frozenset((stage["from"], stage["to"])) not in ways:
                assert torque == 0, (shaft, name)
            elif len(other.drives) == 1:
                assert torque != 0, (shaft, name)


def _way(neighbours, start, end):
    ways = {start: [start]}
    for shaft in list(ways):
        queue = [shaft]
        while queue:
            at = queue.pop()
            for nxt in neighbours[at]:
                if nxt not in ways:
                    ways[nxt] = [*ways[at], nxt]
                    queue.append(nxt)
    return ways[end]


@pytest.mark.parametrize("seed", range(60))
def test_virtual_work_of_a_lossless_machine(seed):
    """Let every shaft turn by its ratio: drives and loads do as much work as one another."""
    solved, other = both(seed, lossy=False)
    work = gross = 0.0
    speed = solved.speed[other.shafts[0]][0, 0]
    for name, ratio in other.ratio.items():
        torque = other.torques("mean", abs(speed))[name] * ratio
        work, gross = work + torque, gross + abs(torque)
    if other.led:
        d = other.drives[other.led]
        work += solved.seat_torque[d["shaft"]][d["seat"]][0, 0] * other.ratio[d["shaft"]]
    assert abs(work) <= 1e-9 * gross


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_virtual_work_of_a_held_machine(seed):
    """Without losses the reaction at a jam follows from the two turns alone."""
    solved, other = both(seed, lossy=False)
    push = sum(t * other.ratio[s] for s, t in other.drive_torques().items())
    if other.led:
        d = other.drives[other.led]
        full = si(d["peak torque"]) if d["kind"] == "motor" else si(d["worst push"]) * si(d["radius"])
        push += full * other.turn[d["shaft"]] * other.ratio[d["shaft"]]
    for shaft in other.shafts:
        case = column(solved, f"held fast at {shaft}")
        held = solved.required[solved.set_of(shaft).root][case, 0] * other.turn[shaft] * other.ratio[shaft]
        assert held == pytest.approx(-push, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_books_balance(seed):
    b = both(seed)[0].budget
    assert float(b.total("used")[0] + b.total("lost")[0]) == pytest.approx(float(b.total("in")[0]), rel=WITHIN)
    assert all(float(e.power.min() if np.ndim(e.power) else e.power) >= 0 for e in b.entries)


@pytest.mark.parametrize("seed", SEEDS)
def test_each_line_of_the_books(seed):
    """Each loss and use from the second solution's torques and speeds."""
    solved, other = both(seed)
    answer = running(seed)
    lines = {(e.kind, e.name): float(np.broadcast_to(e.power, (1,))[0]) for e in solved.budget.entries}
    for name, (t_1, t_2) in answer.ends.items():
        stage = other.stages[name]
        power = t_1 * answer.speed[stage["from"]] + t_2 * answer.speed[stage["to"]]
        assert lines["lost", name] == pytest.approx(-power, rel=WITHIN, abs=WITHIN)
        if "drag" in stage:
            assert lines["lost", f"{name}, drag"] == pytest.approx(si(stage["drag"]) * abs(answer.speed[stage["from"]]))
    for shaft, s in other.file["shafts"].items():
        for seat_name, seat in s["seats"].items():
            if "bearing" in seat or "bush" in seat:
                drag = si(seat["drag"]) * abs(answer.speed[shaft])
                assert lines["lost", f"{shaft}, {seat_name}"] == pytest.approx(drag, rel=WITHIN)
    for name, load in other.loads.items():
        if load["kind"] != "flywheel":
            omega = abs(answer.speed[load["shaft"]])
            torque = other.resisting(load, "mean") + other.brake(load, omega)
            assert lines["used", name] == pytest.approx(torque * omega, rel=WITHIN)
    for name in other.weights:
        _weight_lines(other, name, answer, lines)


def _weight_lines(other, name, answer, lines):
    """Height lost or won, and pulley by pulley: tension difference times the rope that passes it."""
    d, k = other.drives[name], int(other.drives[name]["falls"])
    sinks = abs(answer.speed[d["shaft"]]) * other.arm(d) / k
    side = "used" if other.rising(d) else "in"
    assert lines[side, name] == pytest.approx(si(d["mass"]) * other.g * sinks, rel=WITHIN)
    if k > 1:
        falls = other.falls(d, rising=other.rising(d))
        lost = sum(abs(falls[j + 1] - falls[j]) * (k - 1 - j) * sinks for j in range(k - 1))
        assert lines["lost", f"{name}, pulleys"] == pytest.approx(lost, rel=1e-9)


@pytest.mark.parametrize("deep", [False, True], ids=["branched", "in one row"])
@pytest.mark.parametrize("drive", ["weight", "two weights", *LEADERS])
def test_thirty_shafts(drive, deep):
    solved, other = both(7, drive, True, 30, deep)
    agree(solved, 0, other.running())
    agree(solved, column(solved, "starting from rest, worst position of every cam"), other.breaking_away())
