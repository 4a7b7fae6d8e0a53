"""A winding ratchet: the drum drives the train through it. Torques and stresses by hand, elementary statics."""

import numpy as np
from pytest import approx

from closed_form.small_train import FAN, LEVEL, machine
from layshaft.train.arrest import arrest_drop
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

RATCHET = f"{{kind: ratchet, from: first, to: second, seats: [out, in], {LEVEL}, teeth: 24, pawls: 2, diameter: 120 mm, " \
    "face: 12 mm, tooth depth: 6 mm, root thickness: 9 mm, pin diameter: 12 mm, pin shears: 2, pin arm: 16 mm, " \
    "flank angle: 15 deg, friction: 0.15, material: C45+N}"
T = 40 * 9.81 * 0.100  # the weight on its drum


def findings(verdict, path="stages.click"):
    return {f.mode: f for f in verdict.findings if f.part == path}


def test_a_winding_ratchet_carries_the_torque_that_drives():
    verdict = rate(solve(machine({"click": RATCHET}, {"fan": FAN})))
    found = {f.mode: f for f in verdict.every() if f.part == "stages.click" and f.case == "running mean"}
    F = 2 * T / 0.120
    assert found["pawl pin shear"].demand == approx(F / (2 * np.pi * 0.012**2 / 4), rel=1e-9)
    assert found["pawl pin bending"].demand == approx(32 * F * 0.016 / 4 / (np.pi * 0.012**3), rel=1e-9)
    assert found["tooth bending"].demand == approx(6 * F * 0.006 / (0.012 * 0.009**2), rel=1e-9)
    assert found["tooth pressure"].demand == approx(F / (0.012 * 0.006), rel=1e-9)
    assert findings(verdict)["pawl seating"].margin == approx(np.deg2rad(15) / np.arctan(0.15), rel=1e-9)
    assert not [f for f in findings(verdict).values() if f.verdict == "unknown"]
    assert found["tooth bending"].hurts  # it stands between the weight and what governs its fall


def test_it_is_asked_while_the_machine_runs():
    verdict = rate(solve(machine({"click": RATCHET}, {"fan": FAN})))
    cases = {f.case for f in verdict.every() if f.part == "stages.click" and f.mode == "tooth bending"}
    assert "running mean" in cases and "held fast" in cases


def test_the_drum_falls_back_one_step_of_it():
    found = machine({"click": RATCHET}, {"fan": FAN})
    step = 2 * np.pi / 24 / 2 * 0.100
    assert arrest_drop(found, found.drives["weight"]) == approx(step, rel=1e-12)


def test_a_missing_size_is_unknown_by_its_name():
    verdict = rate(solve(machine({"click": RATCHET.replace("pin arm: 16 mm, ", "")}, {"fan": FAN})))
    f = findings(verdict)["pawl pin bending"]
    assert f.verdict == "unknown"
    assert "stages.click.pin arm" in f.reason


def test_more_weight_never_raises_a_margin():
    light, heavy = (
        {f.mode: f.margin for f in rate(solve(machine({"click": RATCHET}, {"fan": FAN}))).findings
         if f.part == "stages.click"},
        {f.mode: f.margin for f in rate(solve(_heavier())).findings if f.part == "stages.click"})
    assert all(heavy[mode] <= margin for mode, margin in light.items())


def _heavier():
    from layshaft.machine.options import apply
    return apply(machine({"click": RATCHET}, {"fan": FAN}), {"set": {"drives.weight.mass": "55 kg"}})
