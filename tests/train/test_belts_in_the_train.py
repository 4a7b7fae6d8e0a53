"""Belts in random machines: the second solution of the same text, and every strand as a free body.

The machines are those of `random_machines.py` with each roller chain stage turned into a belt. Sources:
equilibrium of a pulley; the common tangents of two circles. All closed form.
"""

import functools
import re

import numpy as np
import pytest
import yaml

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.train.place import seat_point
from layshaft.train.solve import solve
from layshaft.train.stages import centre_distance, seat_loads
from train.random_machines import machine_text
from train.second_solution import Machine, si

SEEDS = [s for s in range(60) if s % 5]
WITHIN = 1e-9


def belted(text, seed):
    """Every roller chain stage as a synchronous or a V belt of the same wheels."""
    rng, file = np.random.default_rng(seed), yaml.load(text, Loader=yaml.BaseLoader)
    for stage in (file.get("stages") or {}).values():
        if stage["kind"] != "roller chain":
            continue
        for key in ("slack force", "chain", "length tolerance", "index error", "stiffness", "links"):
            stage.pop(key, None)
        stage["pretension"] = f"{float(rng.uniform(0, 400))!r} N"
        if rng.random() < 0.5:
            stage |= {"kind": "synchronous belt", "belt": "L", "width": "25.4 mm"}
        else:
            stage |= {"kind": "V belt", "belt": "A", "belts": "2",
                      "diameters": [f"{4 * int(z)} mm" for z in stage.pop("teeth")],
                      "creep": f"{float(rng.uniform(0, 0.03))!r}"}
    return re.sub(r"'([-0-9.e]+)'", r"\1", yaml.safe_dump(file, sort_keys=False))


@functools.cache
def both(seed):
    text = belted(machine_text(seed), seed)
    try:
        solve(read_text(text))
    except MachineErrors:  # belts in a closed loop cannot creep
        text = "\n".join(line for line in text.splitlines() if "creep" not in line)
    return solve(read_text(text)), Machine(text)


def belts(solved):
    return {n: s for n, s in solved.machine.stages.items() if type(s).__name__ in ("VBelt", "SynchronousBelt")}


def test_there_are_belts_of_both_kinds():
    kinds = [type(s).__name__ for seed in SEEDS for s in belts(both(seed)[0]).values()]
    assert min(kinds.count("VBelt"), kinds.count("SynchronousBelt")) > 15


@pytest.mark.parametrize("seed", SEEDS)
def test_speeds_and_torques_of_the_second_solution(seed):
    solved, other = both(seed)
    answer = other.running()
    for shaft, speed in answer.speed.items():
        assert solved.speed[shaft][0, 0] == pytest.approx(speed, rel=WITHIN)
    for name, ends in answer.ends.items():
        for ours, theirs in zip(solved.stage_torque[name], ends, strict=True):
            assert ours[0, 0] == pytest.approx(theirs, rel=WITHIN, abs=WITHIN)


@pytest.mark.parametrize("seed", SEEDS)
def test_both_strands_of_every_belt(seed):
    """The two pulls lie along the outer tangents, differ by torque over radius and sum to twice the tension at rest."""
    solved, other = both(seed)
    for name, stage in belts(solved).items():
        told = other.file["stages"][name]
        d = [si(t) for t in told["diameters"]] if "diameters" in told else [z * 9.525e-3 / np.pi for z in told["teeth"]]
        rest = si(told["pretension"]) * float(told.get("belts", 1))
        ends = [seat_point(solved.machine, solved.place[s], s, k)
                for s, k in zip((stage.from_, stage.to), stage.seats, strict=True)]
        between = ends[1] - ends[0]
        distance = np.linalg.norm(between)
        assert distance == pytest.approx(centre_distance(solved.machine, stage)) == pytest.approx(si(told["centres"]))
        torques = solved.stage_torque[name]
        first, second = seat_loads(solved.machine, stage, between, *torques)
        assert np.array_equal(first.force, -second.force)
        u = between / distance
        n = np.cross(other.axis[stage.from_], u)
        lean = np.arcsin((d[0] - d[1]) / 2 / distance)
        tangents = np.array([u * np.cos(lean) - n * np.sin(lean), u * np.cos(lean) + n * np.sin(lean)])
        wanted = np.maximum(*(np.abs(t).reshape(-1) / (x / 2) for t, x in zip(torques, d, strict=True)))
        if abs(lean) < 1e-6:  # parallel strands: the force on the pulley does not tell them apart
            assert u @ first.force.reshape(3, -1) == pytest.approx(np.maximum(2 * rest, wanted), rel=1e-9)
            continue
        pulls, left, *_ = np.linalg.lstsq(tangents.T, first.force.reshape(3, -1), rcond=None)
        assert np.all(left < 1e-12 * np.maximum(pulls, 1).max() ** 2) if left.size else True
        assert np.abs(pulls[0] - pulls[1]) == pytest.approx(wanted, rel=1e-7, abs=1e-6)
        assert pulls.sum(axis=0) == pytest.approx(np.maximum(2 * rest, wanted), rel=1e-7, abs=1e-6)
        assert np.all(pulls > -1e-6)
        tight_near = pulls[0] > pulls[1] + 1e-6
        back = torques[0].reshape(-1)
        assert np.all(back[tight_near] < 0)  # the strand on the side of axis x line turns the first backwards
