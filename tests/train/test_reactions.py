"""What a coupling pushes back with: closed forms of a beam with an overhang, and of two cantilevers."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.machine.reader import read_text
from layshaft.train.cases import MODULE_OFF, RUNNING, TRANSIT
from layshaft.train.rigid import rigid_reaction
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

TEXT = """
layshaft: 1
name: Two shafts in line
gravity: {gravity}
modules: {{left: {{mass: 40 kg}}, right: {{mass: 40 kg}}}}
shafts:
  one:
    module: left
    axis: x
    at: [0 mm, 0 mm, 1000 mm]
    sections: [[20 mm, 300 mm]]
    seats:
      drive: {{at: 10 mm}}
      a: {{at: 0 mm, bearing: "6004", drag: 0 N m, break away: 1}}
      b: {{at: 200 mm, bearing: "6004", drag: 0 N m, break away: 1}}
      joint: {{at: 300 mm}}
  two:
    module: {module}
    axis: {axis}
    sections: [[20 mm, 300 mm]]
    seats:
      joint: {{at: {joint}}}
      a: {{at: {a}, bearing: "6004", drag: 0 N m, break away: 1}}
      b: {{at: {b}, bearing: "6004", drag: 0 N m, break away: 1}}
      load: {{at: 150 mm}}
drives: {{motor: {{kind: motor, shaft: one, seat: drive, speed: 60 rpm, peak torque: 9 N m}}}}
stages: {{joint: {{kind: coupling, from: one, to: two, listing: claw, efficiency: 1, break away: 1, gap: 0 mm,
  offset: {offset}, angle: {angle}, end float: 0.5 mm}}}}
loads: {{load: {{kind: steady, shaft: two, torque: 4 N m, break away: 1, inertia: 1 kg m2}}}}
transit: {{shock: 3 g}}
parts: {{claw: {{kind: coupling, source: assumed, read in: invented, {stiffness}}}}}
"""
LISTED = "radial stiffness: 500 N/mm, angular stiffness: 100 N m/rad, axial stiffness: 80 N/mm"
WEIGHTLESS = "0.000000001 m/s2"


def machine(**changes):
    given = {"gravity": WEIGHTLESS, "module": "left", "axis": "x", "joint": "0 mm", "a": "100 mm", "b": "300 mm",
             "offset": "0.2 mm", "angle": "0 mrad", "stiffness": LISTED}
    return read_text(TEXT.format(**given | changes))


def size(vectors):
    return np.hypot(vectors[:, 0], vectors[:, 1])


def test_offset_on_an_overhang():
    """100 N at 100 mm beyond a span of 200 mm: 150 N and 50 N, moment 10 N m at the bearing."""
    solved = solve(machine())
    for shaft, far, near in (("one", "a", "b"), ("two", "b", "a")):
        loads = solved.loads[shaft]
        found = dict(zip(loads.supports, size(loads.reaction)[:, 0, 0], strict=True))
        assert (found[near], found[far]) == approx((150.0, 50.0))
        moment = np.maximum(size(loads.moment_left), size(loads.moment_right))[loads.at(near), 0, 0]
        assert moment == approx(10.0)
        assert abs(loads.thrust[0, 0]) == approx(40.0)
        assert "coupling" in loads.hand


def test_angle_by_itself():
    """10 mrad at 100 N m/rad: a couple of 1 N m, 5 N on each bearing of a span of 200 mm."""
    loads = solve(machine(offset="0 mm", angle="10 mrad")).loads["one"]
    assert size(loads.reaction)[:, 0, 0] == approx([5.0, 5.0])


def test_directions_are_the_worst_on_each_place():
    """With its own weight: no direction of offset and angle loads a bearing more than what is counted."""
    both, offset, plain = (solve(machine(gravity="9.81 m/s2", angle="10 mrad", **more)).loads["one"] for more in (
        {}, {"stiffness": "radial stiffness: 500 N/mm"}, {"stiffness": "stiffness: 500 N m/rad"}))
    own, push = plain.reaction[:, :, 0, 0], np.array([50.0, 150.0])
    couple = np.array([5.0, 5.0])
    for i in range(2):
        every = [np.hypot(own[i, 0] + push[i] * np.cos(t) + couple[i] * np.cos(s),
                          own[i, 1] + push[i] * np.sin(t) + couple[i] * np.sin(s))
                 for t in np.linspace(0, 2 * np.pi, 73) for s in np.linspace(0, 2 * np.pi, 73)]
        assert max(every) == approx(np.hypot(*both.reaction[i, :, 0, 0]), rel=2e-3)
        assert max(every) <= np.hypot(*both.reaction[i, :, 0, 0]) * (1 + 1e-12)
    assert size(offset.reaction)[:, 0, 0] == approx(np.hypot(*own.T) + push)


def test_modules_that_travel_apart_do_not_push():
    found = {}
    for module in ("left", "right"):
        solved = solve(machine(module=module))
        cases = [c.case for c in solved.columns]
        near = size(solved.loads["one"].reaction)[1, :, 0]
        assert near[cases.index(RUNNING)] == approx(150.0)
        found[module] = near[cases.index(TRANSIT)]
        if MODULE_OFF in cases:
            assert near[cases.index(MODULE_OFF)] < 1
    assert found["left"] - found["right"] == approx(150.0)


@pytest.mark.parametrize("opposed", [False, True])
def test_rigid_bound(opposed):
    """Two equal overhung ends without an angle: each gives half the offset; its own slope is held to zero.

    Span l, overhang c: y/F = c^2 (l + c)/3EI, y/M = c(2l + 3c)/6EI, slope/M = (l + 3c)/3EI. Mirrored
    ends need no couple, so F = offset/2 over y/F.
    """
    turned = {"axis": "-x", "joint": "300 mm", "a": "200 mm", "b": "0 mm"} if opposed else {}
    found = rigid_reaction((m := machine(**turned)), m.stages["joint"])
    EI, span, c = 206e9 * np.pi * 0.02**4 / 64, 0.2, 0.1
    assert found == approx(0.1e-3 / (c**2 * (span + c) / (3 * EI)), rel=1e-6)
    angled = machine(offset="0 mm", angle="1 mrad", **turned)
    by_angle = rigid_reaction(angled, angled.stages["joint"])
    assert by_angle == approx(0, abs=1e-6)  # mirrored ends share an angle by a couple alone


def test_a_stiffness_that_is_not_listed_is_said_with_its_bound():
    said = [t for t in by_text(rate(solve(machine(stiffness="stiffness: 500 N m/rad")))) if "pushes back" in t]
    assert len(said) == 1
    assert "Were it rigid" in said[0]
    listed = by_text(rate(solve(machine(angle="10 mrad"))))
    assert not [t for t in listed if "pushes back" in t]
    assert [t for t in listed if "pushes both shafts with 100.0 N across and 40.00 N along" in t and "1.000 N m" in t]


def test_a_missing_offset_is_named():
    text = TEXT.format(gravity=WEIGHTLESS, module="left", axis="x", joint="0 mm", a="100 mm", b="300 mm",
                       offset="0 mm", angle="0 mrad", stiffness=LISTED).replace("offset: 0 mm, ", "")
    unknown = [f for f in rate(solve(read_text(text))).findings if f.mode == "static load"]
    assert unknown
    assert all("stages.joint.offset" in f.reason for f in unknown)


def test_examples_with_no_stiffness_listed_are_as_before():
    solved = solve(read_text((Path(__file__).parents[2] / "examples/harbour-light/machine.yaml").read_text("utf-8")))
    assert not any(loads.leaned_on for loads in solved.loads.values())
