"""Where a method ends it says which bound is not kept, with both numbers: here the speed of a chain by its teeth."""

import re

import numpy as np
import pytest

from faces.pages_help import rated

PITCH = {"08": 0.0127, "06": 0.009525, "10": 0.015875, "12": 0.01905}
"""ISO 606, pitch by the first figures of a chain's number, m."""


@pytest.mark.parametrize(("name", "stage"), [("cider-mill", "mill chain"), ("fanning-mill", "chain")])
def test_the_speed_that_is_too_high_is_told_beside_the_bound(name, stage):
    verdict = rated(name)
    found = next(f for f in verdict.findings if f.part == f"stages.{stage}" and f.mode == "joint pressure")
    told = re.search(r"chain speed is ([\d.]+) m/s, and must be less than ([\d.]+) m/s$", found.reason)
    machine = verdict.solved.machine
    chain = machine.stages[stage]
    turns = np.abs(verdict.solved.speed[chain.from_]) / (2 * np.pi)
    speeds = turns * chain.teeth[0].nominal * PITCH[chain.chain.name[:2]]  # kinematics: teeth x pitch x turns in a second
    assert np.any(np.isclose(speeds, float(told[1]), rtol=1e-3)) and float(told[1]) > float(told[2])


def test_a_bound_that_is_kept_is_not_told():
    found = next(f for f in rated("cider-mill").findings if f.part == "stages.mill chain" and f.mode == "joint pressure")
    assert "least teeth" not in found.reason
