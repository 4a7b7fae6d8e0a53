"""A part of the run in which something is not engaged is the machine without that thing.

Source: none needed; the machine without the thing is solved by itself, and `test_second_solution` proves that solve.
"""

import numpy as np
import pytest

import layshaft
from layshaft.machine.options import apply
from layshaft.machine.reader import read, read_text
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import ENGAGED, remarks
from train.random_machines import machine_text

SAME = 1e-9


def case(solved, title):
    return [c.title for c in solved.columns].index(title)


def same(a, b):
    assert np.asarray(a) == pytest.approx(np.asarray(b), rel=SAME, abs=SAME, nan_ok=True)


def partly(machine, paths):
    return apply(machine, {"set": {f"{path}.engaged": "40 %" for path in paths}})


def without(machine, loads):
    programme = ["programme"] if machine.document.get("programme") else []  # it may name a load that goes
    return solve(apply(machine, {"remove": [*(f"loads.{name}" for name in loads), *programme]}))


@pytest.mark.parametrize("seed", range(40))
def test_a_load_that_is_not_engaged_is_not_there(seed):
    machine = read_text(machine_text(seed))
    loads = list(machine.loads)
    solved = solve(partly(machine, [f"loads.{name}" for name in loads]))
    groups = [(name,) for name in loads] + ([tuple(loads)] if len(loads) > 1 else [])
    for names in groups:
        i, alone = case(solved, f"running mean, {' and '.join(names)} not engaged"), without(machine, names)
        for shaft in machine.shafts:
            same(solved.speed[shaft][i], alone.speed[shaft][0])
        for stage, torques in alone.stage_torque.items():
            for ours, theirs in zip(solved.stage_torque[stage], torques, strict=True):
                same(ours[i], theirs[0])
        for name in names:
            load = machine.loads[name]
            same(solved.seat_torque[load.shaft].get(load.seat, np.zeros((i + 1, 1)))[i], [0.0])


@pytest.mark.parametrize("seed", range(12))
def test_of_two_weights_the_other_goes_on_driving(seed):
    machine = read_text(machine_text(seed, "two weights"))
    solved = solve(partly(machine, ["drives.second weight"]))
    i = case(solved, "running mean, second weight not engaged")
    alone = solve(apply(machine, {"remove": ["drives.second weight"]}))
    for shaft in machine.shafts:
        same(solved.speed[shaft][i], alone.speed[shaft][0])
        for ours, theirs in zip(solved.loads[shaft].reaction, alone.loads[shaft].reaction, strict=True):
            same(ours[:, i], theirs[:, 0])


def test_wants_are_asked_in_every_part_of_the_run(checkout):
    """Without its hammer the light turns faster and the weight lands sooner: two more findings say so."""
    machine = read(checkout / "examples" / "harbour-light")
    verdict = rate(solve(partly(machine, ["loads.hammer cam"])))
    title = "running mean, hammer cam not engaged"
    i, alone = case(verdict.solved, title), without(machine, ["hammer cam"])
    error = next(f for f in verdict.findings if "error" in f.mode and f.title == title)
    wanted = machine.wants[error.part.removeprefix("wants.")]
    assert error.demand == pytest.approx(abs(alone.speed[wanted.shaft][0, 0]) - wanted.speed.nominal, rel=SAME)
    time = next(f for f in verdict.findings if f.mode.startswith("running time") and f.title == title)
    assert time.rating == pytest.approx(alone.budget.windings[0].running_time[0], rel=SAME)
    assert np.abs(verdict.solved.speed[wanted.shaft][i, 0]) > np.abs(verdict.solved.speed[wanted.shaft][0, 0])


def test_a_drive_nobody_can_do_without_is_said_to_count_all_the_time(checkout):
    machine = partly(read(checkout / "examples" / "cider-mill"), ["drives.pedals"])
    assert ("drives.pedals.engaged", ENGAGED) in remarks(rate(solve(machine)))
    assert not [c for c in layshaft.solve(machine).columns if c.off]
