"""Beams and posts under bearings: the whole beam again in a frame library (PyNiteFEA); bad files in words."""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.options import apply
from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.kinds import frames

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = (EXAMPLES / "corn-sheller" / "machine.yaml").read_text(encoding="utf-8")


def sheller(*changes):
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def parts(machine):
    c = context(solve(machine))
    return c, {p.path.split(".")[-1]: p.inputs for b in frames.blocks(c) for p in b.parts}


def pynite(held, span, forces, q, second_moment):
    from Pynite import FEModel3D

    m = FEModel3D()
    m.add_material("steel", 206e9, 79e9, 0.3, 7850)
    m.add_section("tube", 4e-4, second_moment, second_moment, 1e-7)
    m.add_node("a", 0, 0, 0)
    m.add_node("b", span, 0, 0)
    m.add_member("beam", "a", "b", "steel", "tube")
    m.def_support("a", *[True] * (6 if held else 4), *([] if held else [False, False]))
    m.def_support("b", *([False] * 6 if held else [False, True, True, False, False, False]))
    for F, a in forces:
        m.add_member_pt_load("beam", "Fy", -F, a)
    m.add_member_dist_load("beam", "Fy", -q, -q)
    m.analyze(check_statics=False)
    beam = m.members["beam"]
    return max(abs(beam.max_moment("Mz")), abs(beam.min_moment("Mz"))), -beam.min_deflection("dy")


@pytest.mark.parametrize("held", ["on two supports", "at one end"])
def test_a_rail_against_a_frame_library(held):
    """Bearing load of the running case, a hopper, own weight and a fifth of the module."""
    c, found = parts(sheller(("held: on two supports, yield strength: 235 MPa, modulus: 206 GPa, density: 7850 kg/m3, "
                              "allowed sag: 1 mm, allowed slope: 3 mrad, can hurt: yes, carries: {bearing: {shaft: crank shaft, "
                              "seat: left", f"held: {held}, yield strength: 235 MPa, modulus: 206 GPa, density: 7850 kg/m3, "
                              "allowed sag: 1 mm, allowed slope: 3 mrad, can hurt: yes, carries: {bearing: {shaft: crank shaft, "
                              "seat: left")))
    loads = c.solved.loads["crank shaft"]
    F = np.linalg.norm(loads.reaction[loads.supports.index("left bearing"), :, 0, 0])
    q = (7850 * 4.2082e-4 + 0.2 * 38 / 0.52) * 9.81
    M, w = pynite(held == "at one end", 0.52, [(F, 0.26), (60.0, 0.16)], q, 9.3236e-8)
    rail = found["left rail"]
    assert rail["M"][0, 0] == pytest.approx(M, rel=1e-3)
    assert rail["w"][0, 0] == pytest.approx(w, rel=2e-3)


def test_legs_share_the_module_and_its_bearings():
    c, found = parts(sheller())
    loads = c.solved.loads["crank shaft"]
    both = np.linalg.norm(loads.reaction[:, :, 0, 0], axis=1).sum()
    assert found["legs"]["N"][0, 0] == pytest.approx((38 * 9.81 + both) / 4, rel=1e-6)
    road = next(i for i, column in enumerate(c.solved.columns) if column.case == "in transit")
    shock = np.linalg.norm(loads.reaction[:, :, road, 0], axis=1).sum()
    assert found["legs"]["N"][road, 0] == pytest.approx((38 * 3 * 9.80665 + shock) / 4, rel=1e-6)


def test_lifted_by_the_bar():
    """The whole stand at the middle of one bar, slings 100 mm in of 640 mm, half as much again."""
    _, found = parts(sheller())
    A = (0.05 * 0.03 - 0.046 * 0.026) - (4 - np.pi) * (0.004**2 - 0.002**2)
    own = 7850 * A * 9.81 * ((0.64 - 0.2) ** 2 / 8 - 0.1**2 / 2)
    assert found["lifting bar"]["M_L"] == pytest.approx(1.5 * (own + 38 * 9.81 / 2 * (0.32 - 0.1)), rel=1e-6)


def test_modes_follow_what_a_member_is_for():
    findings = {(f.part, f.mode): f for f in room.rate(solve(sheller())).findings}
    assert ("frames.lifting bar", "lifting") in findings and ("frames.left rail", "lifting") not in findings
    assert ("frames.left rail", "frame slope") in findings and ("frames.lifting bar", "frame slope") not in findings
    assert "riggers" in findings["frames.lifting bar", "lifting"].note
    assert findings["frames.legs", "buckling"].required == 4


@pytest.mark.parametrize("path", ["left rail.section", "left rail.span", "left rail.share", "left rail.count",
                                  "left rail.modulus", "left rail.density", "left rail.yield strength", "legs.length",
                                  "left rail.allowed sag", "left rail.allowed slope", "legs.buckling factor",
                                  "left rail.carries.bearing.at", "lifting bar.laid", "lifting bar.lift shock"])
def test_a_key_less_is_unknown_and_never_holds(path):
    verdict = room.rate(solve(apply(sheller(), {"remove": [f"frames.{path}"]})))
    assert "unknown" in [f.verdict for f in verdict.of(f"frames.{path.split('.')[0]}")]


@pytest.mark.parametrize(("old", "new", "said"), [
    ("section: SHS 30x30x2", "section: SHS 31x31x2", "'SHS 31x31x2' is no section"),
    ("at: 160 mm", "at: 560 mm", "at is 560.0 mm, but frames.left rail.span is 520.0 mm"),
    ("lift in: 100 mm", "lift in: 320 mm", "is 320.0 mm, but half of frames.lifting bar.span is 320.0 mm"),
    ("hopper: {force: 60 N, at", "hopper: {at", "say what it carries"),
    ("seat: left bearing, at: 260 mm", "seat: pump, at: 260 mm", "no seat 'pump'"),
    ("seat: left bearing, at: 260 mm", "seat: crank, at: 260 mm", "has no bearing"),
    ("kind: post, module: stand", "kind: post, module: stool", "'stool'"), ("count: 4", "count: 0", "at least 1"),
    ("kind: post", "kind: column", "column"), ("held: on two supports", "held: somehow", "somehow"),
    ("length: 860 mm", "length: 860 kg", "mass"), ("share: 100 %", "share: 120 %", "at most"),
])
def test_bad_files_are_refused_in_words(old, new, said):
    with pytest.raises(MachineErrors) as errors:
        sheller((old, new))
    assert said in str(errors.value)


def test_more_weight_and_longer_spans_never_help():
    def margins(*changes):
        return {(f.part, f.mode): f.margin for f in room.rate(solve(sheller(*changes))).findings if f.part.startswith("frames.")}
    base = margins()
    for change in (("value: 38 kg, between: [34 kg, 44 kg]", "value: 60 kg, between: [50 kg, 70 kg]"),
                   ("span: 520 mm", "span: 700 mm"), ("force: 60 N", "force: 600 N"), ("length: 860 mm", "length: 1200 mm")):
        worse = margins(change)
        assert all(worse[key] <= base[key] * (1 + 1e-9) for key in base), change
        assert any(worse[key] < base[key] for key in base), change


def test_an_own_section():
    text = TEXT.replace("section: SHS 30x30x2", "section: old pipe", 1) + (
        "parts:\n  old pipe: {kind: section, source: measured, read in: own callipers, height: 30 mm, area: 200 mm2, "
        "second moment: 2.5 cm4, least second moment: 2.5 cm4}\n")
    found = {f.mode: f for f in room.rate(solve(read_text(text, "machine.yaml"))).of("frames.legs")}
    assert found["crushing"].rating == pytest.approx(235e6 * 2e-4)


@pytest.mark.parametrize(("old", "new", "part", "mode", "said"), [
    (", share: 20 %", "", "left rail", "frame bending", "frames.left rail.share: not given"),
    ("span: 520 mm, ", "", "left rail", "frame slope", "frames.left rail.span: not given"),
    ("modulus: 206 GPa, ", "", "left rail", "frame sag", "frames.left rail.modulus: not given"),
    (", at: 260 mm}, hopper", "}, hopper", "left rail", "frame bending", "carries.bearing.at: not given"),
    ("laid: flat, ", "", "lifting bar", "frame bending", "frames.lifting bar.laid: not given"),
    (", lift shock: 1.5", "", "lifting bar", "lifting", "frames.lifting bar.lift shock: not given"),
    ("count: 4, ", "", "legs", "crushing", "frames.legs.count: not given"),
])
def test_what_a_load_lacks_is_named(old, new, part, mode, said):
    text = TEXT.replace(old, new, 1)
    assert text != TEXT
    f = next(f for f in room.rate(solve(read_text(text, "machine.yaml"))).findings
             if f.part == f"frames.{part}" and f.mode == mode)
    assert (f.verdict, said in f.reason) == ("unknown", True), f.reason
