"""Samples against single solves, blows against the energy of springs in a row."""

from dataclasses import replace

import numpy as np
import pytest

from layshaft.machine.paths import replaced, split
from layshaft.machine.reader import read, read_text
from layshaft.machine.sampling import sample
from layshaft.train.solve import solve
from layshaft.train.stiffness import path_flexibility, shaft_flexibility
from train.random_machines import Draft, machine_text
from train.second_solution import Machine

DRAWS = 4
SAME = 1e-12


def doubtful(text, seed):
    """The text with a spread on every efficiency, drag, mass and torque."""
    rng, lines = np.random.default_rng(seed), []
    for line in text.splitlines():
        for key in ("efficiency: ", "pulley loss: ", "drag: ", "torque: ", "mass: "):
            before, found, after = line.partition(key)
            head = after.partition(",")[0].partition("}")[0]
            value, _, unit = head.partition(" ")
            if found and before.rstrip().endswith((",", "{")) and float(value) > 0 and rng.random() < 0.7:
                ends = f"[{float(value) * 0.95!r} {unit}, {min(float(value) * 1.01, 1 if not unit else 1e9)!r} {unit}]"
                after = f"{{value: {head}, between: {ends}, source: assumed}}" + after[len(head):]
                line = before + key + after
        lines.append(line)
    return "\n".join(lines) + "\n"


def single(machine, i):
    """The machine with the values of draw `i` alone."""
    for path, given in machine.givens.items():
        if isinstance(given.value, np.ndarray) and given.value.ndim:
            machine = replaced(machine, split(path), replace(given, value=given.value[i : i + 1]))
    return machine


def same(many, one, i, what):
    """Column `i` of many answers is the one answer, unknowns included."""
    many = np.broadcast_to(many, (*np.shape(many)[:-1], DRAWS))[..., i : i + 1] if np.ndim(many) else np.array([many])
    one = np.broadcast_to(one, many.shape)
    assert (np.isnan(many) == np.isnan(one)).all(), what
    known = one[~np.isnan(one)]
    scale = np.maximum(np.abs(known), 1e-3 * np.abs(known).max(initial=0))
    assert (np.abs(many[~np.isnan(one)] - known) <= SAME * np.maximum(scale, SAME)).all(), what


def compare(machine):
    many = solve(machine)
    for i in range(DRAWS):
        one = solve(single(machine, i))
        assert [c.title for c in one.columns] == [c.title for c in many.columns]
        for shaft in machine.shafts:
            same(many.speed[shaft], one.speed[shaft], i, shaft)
            same(many.acceleration[shaft], one.acceleration[shaft], i, shaft)
            for seat, torque in many.seat_torque[shaft].items():
                same(torque, one.seat_torque[shaft][seat], i, (shaft, seat))
            ours, theirs = many.loads[shaft], one.loads[shaft]
            for part in ("force", "reaction", "thrust", "moment_left", "deflection"):
                same(getattr(ours, part), getattr(theirs, part), i, (shaft, part))
        for stage, (first, second) in many.stage_torque.items():
            same(first, one.stage_torque[stage][0], i, stage)
            same(second, one.stage_torque[stage][1], i, stage)
            same(many.carried[stage], one.carried[stage], i, stage)
        for ours, theirs in zip(many.budget.entries, one.budget.entries, strict=True):
            same(ours.power, theirs.power, i, ours.name)


@pytest.mark.parametrize("example", ["harbour-light", "cider-mill"])
def test_samples_of_the_examples_are_single_solves(example, checkout):
    compare(sample(read(checkout / "examples" / example), DRAWS, 7))


@pytest.mark.parametrize("seed", range(10))
def test_samples_of_random_machines_are_single_solves(seed):
    machine = sample(read_text(doubtful(machine_text(seed), seed)), DRAWS, seed)
    assert sum(np.ndim(g.value) for g in machine.givens.values()) > 3
    compare(machine)


# Blows


def slow_and_fast(rng=None):
    """A wheel on a slow shaft, a chain 3 to 1, a coupling, and a jam at the far end of the fast shaft."""
    d = Draft(rng or np.random.default_rng(4), False)
    d.shaft("slow", "x")
    d.drives["weight"] = {"kind": "falling weight", "shaft": "slow", "seat": d.seat("slow"), "hangs on": "+y",
                          "over people": "no", "mass": "20 kg", "drop": "1 m", "diameter": "200 mm",
                          "falls": 1, "pulley loss": 0}
    d.loads["wheel"] = {"kind": "flywheel", "shaft": "slow", "seat": d.seat("slow"), "inertia": "0.5 kg m2",
                        "mass": "9 kg"}
    d.shaft("fast", "x")
    d.chain("slow", "fast", (57, 19), chain="08B-1", stiffness="300 N/mm")
    d.stages["roller chain 0"] |= {"from": "slow", "to": "fast", "teeth": [57, 19]}
    d.shaft("far", "x")
    d.stage("coupling", "fast", "far", listing="jaw 1", gap="2 mm")
    d.loads["fan"] = {"kind": "fan brake", "shaft": "far", "seat": d.seat("far"), "constant": "0.05 N m s2",
                      "inertia": "0 kg m2"}
    return d


def test_twist_between_two_seats_by_the_work_of_the_torque():
    """Unit torque at one end: twist is twice the strain energy, each spring with the torque it really carries."""
    d = slow_and_fast()
    text = d.text()
    machine, other = read_text(text), Machine(text)
    solved = solve(machine)
    seats = other.file["shafts"]
    ways = {"slow": ("seat 1", "seat 2"), "fast": ("seat 0", "seat 1"), "far": ("seat 0", "seat 1")}
    r = 12.7e-3 / 2 / np.sin(np.pi / 57)
    twice_energy = 1.0**2 / (300e3 * r**2) + (1 / 3) ** 2 / 1500
    for shaft, torque in (("slow", 1.0), ("fast", 1 / 3), ("far", 1 / 3)):
        at = [float(seats[shaft]["seats"][s]["at"].split()[0]) * 1e-3 for s in ways[shaft]]
        twice_energy += torque**2 * spring(seats[shaft]["sections"], min(at), max(at))
    s = solved.sets["slow"]
    twist = path_flexibility(machine, s, ("slow", "seat 1"), ("far", "seat 1"))
    assert twist == pytest.approx(twice_energy, rel=1e-3)  # the pitch circles of 19 and 57 are not 1 to 3
    back = path_flexibility(machine, s, ("far", "seat 1"), ("slow", "seat 1"))
    assert back == pytest.approx(twist * 9, rel=1e-12)
    case = [c.title for c in solved.columns].index("stopped dead at far")
    blow = abs(solved.speed["slow"][0, 0]) * np.sqrt(0.5 / twist)
    steady = 20 * 9.81 * 0.1
    assert abs(solved.stage_torque["roller chain 0"][0][case, 0]) == pytest.approx(blow + steady, rel=1e-9)


def spring(sections, start, end):
    """Twist of a round bar by torque: 32 l over pi G d^4, step by step; G = 80 GPa."""
    total, at = 0.0, 0.0
    for diameter, step in sections:
        d, long = (float(v.split()[0]) * 1e-3 for v in (diameter, step))
        total += 32 * max(0.0, min(end, at + long) - max(start, at)) / (np.pi * 80e9 * d**4)
        at += long
    return total


def test_twist_of_a_stepped_shaft():
    machine = read_text(slow_and_fast().text())
    shaft = machine.shafts["slow"]
    sections = [(f"{a.nominal * 1e3} mm", f"{b.nominal * 1e3} mm") for a, b in shaft.sections]
    assert shaft_flexibility(shaft, 0.07, 0.19) == pytest.approx(spring(sections, 0.07, 0.19), rel=1e-12)
