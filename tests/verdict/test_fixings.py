"""Bolts, pins and welds under bearings: statics of the face against vectors written out; bad files in words."""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.options import apply
from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.kinds import fixings
from layshaft.verdict.sheets import sheets_of

EXAMPLES = Path(__file__).parents[2] / "examples"
MILL = (EXAMPLES / "cider-mill" / "machine.yaml").read_text(encoding="utf-8")
SHELLER = (EXAMPLES / "corn-sheller" / "machine.yaml").read_text(encoding="utf-8")
BOLTS = ("thread: M10, class: 8.8, rows: [2, 1], spread: [130 mm, 20 mm], tightening: 40 N m, nut factor: 0.2, scatter: 30 %, "
         "grip: 27 mm, modulus: 110 GPa, friction: 0.15")


def mill(shaft="drum", normal="z", along="y", arm="[0 mm, 0 mm, 37 mm]", extra=""):
    held = "".join(
        f"  {seat}: {{kind: bolted joint, shaft: {shaft}, seat: {seat}, normal: {normal}, along: {along}, can hurt: no, "
        f"arm: {arm}, {BOLTS}}}\n" for seat in ("left bearing", "right bearing"))
    return read_text(MILL.replace("runs:\n", f"fixings:\n{held}{extra}runs:\n", 1), "machine.yaml")


def parts(machine):
    c = context(solve(machine))
    return c, {p.path.split(".")[-1]: p.inputs for b in fixings.blocks(c) for p in b.parts}


@pytest.mark.parametrize("seat", ["left bearing", "right bearing"])
def test_reaction_of_a_bearing_in_the_axes_of_the_face(seat):
    """The drum lies along x: what the bearing gives upward the bolts feel as pressing, sideways as a push across."""
    c, found = parts(mill())
    loads = c.solved.loads["drum"]
    i = loads.supports.index(seat)
    _, side, other = loads.frame
    F = -(side[:, None] * loads.reaction[i, 0, :, 0] + other[:, None] * loads.reaction[i, 1, :, 0])
    road = np.array([column.case == "in transit" for column in c.solved.columns])
    size = np.linalg.norm(F, axis=0)
    assert found[seat]["N"][:, 0] == pytest.approx(np.where(road, size, F[2]))
    assert found[seat]["V_a"][:, 0] == pytest.approx(np.where(road, size, abs(F[1])))
    assert found[seat]["V_c"][:, 0] == pytest.approx(np.where(road, size, abs(F[0])), abs=1e-9)
    assert found[seat]["M_a"][:, 0] == pytest.approx(0.037 * np.where(road, size, abs(F[1])))
    assert found[seat]["M_c"][:, 0] == pytest.approx(0.037 * np.where(road, size, abs(F[0])), abs=1e-9)
    assert found[seat]["T"][:, 0] == pytest.approx(0.037 * np.where(road, size, 0), abs=1e-9)


def test_all_that_hangs_and_pulls_arrives_at_the_bolts():
    """Both bearings together: the sum of all forces on the shaft, running."""
    c, found = parts(mill())
    total = c.solved.loads["drum"].force[:, :, 0, 0].sum(axis=0)
    assert sum(found[seat]["N"][0, 0] for seat in found) == pytest.approx(total[2])


def test_a_joint_that_hangs_under_the_beam_is_pulled():
    up, down = parts(mill())[1]["left bearing"]["N"], parts(mill(normal="-z"))[1]["left bearing"]["N"]
    running = 0
    assert up[running] == pytest.approx(-down[running])


def test_on_the_shaft_of_a_hand_crank_the_push_comes_from_any_side():
    c, found = parts(read_text(SHELLER, "machine.yaml"))
    left = found["left feet"]
    assert c.solved.loads["crank shaft"].goes_round
    for symbol in ("V_a", "V_c"):
        assert left[symbol] == pytest.approx(left["N"])
    assert left["T"] == pytest.approx(0.037 * left["N"])


def test_a_stated_force_with_its_arm():
    """-400 N square to the face, 250 N each way 800 mm up: 200 N m each way, no twist."""
    _, found = parts(read_text(SHELLER, "machine.yaml"))
    feet = found["feet of the stand"]
    assert {k: float(feet[k]) for k in ("N", "V_a", "V_c", "M_a", "M_c", "T")} == pytest.approx(
        {"N": 400, "V_a": 250, "V_c": 250, "M_a": 200, "M_c": 200, "T": 0})


def test_hurts_and_margins():
    findings = {(f.part, f.mode): f for f in room.rate(solve(read_text(SHELLER, "machine.yaml"))).findings}
    assert findings["fixings.feet of the stand", "throat stress"].verdict == "fails"  # thin, and people beside it
    assert findings["fixings.left feet", "joint slip"].required == 2.0
    assert findings["fixings.right block", "pin shear"].hurts == ""


def test_sheets_show_every_step():
    verdict = room.rate(solve(read_text(SHELLER, "machine.yaml")))
    for path in ("fixings.left feet", "fixings.right block", "fixings.feet of the stand"):
        found = sheets_of(verdict, path)
        assert found and all(sheet.trace.untraced == [] for sheet in found)


@pytest.mark.parametrize("gone", ["arm", "tightening", "class", "thread", "rows", "spread", "scatter", "friction", "grip",
                                  "modulus", "nut factor"])
def test_a_key_less_is_unknown_and_never_holds(gone):
    verdict = room.rate(solve(apply(mill(), {"remove": [f"fixings.left bearing.{gone}"]})))
    words = {f.mode: f.verdict for f in verdict.of("fixings.left bearing")}
    assert len(words) == 4 and "unknown" in words.values()


@pytest.mark.parametrize(("old", "new", "said"), [
    ("thread: M10", "thread: M11", "'M11' is no thread"),
    ("class: 8.8", "class: 7.8", "7.8"),
    ("pin: dowel 8", "pin: dowel 9", "'dowel 9' is no pin"),
    ("can hurt: no, ", "", "can hurt"),
    ("normal: z, along: x", "normal: z, along: z", "square to 'normal'"),
    ("force: [250 N, 250 N, -400 N], ", "", "say what it carries"),
    ("force: [250 N, 250 N, -400 N]", "force: [250 N, 250 N]", "3"),
    ("force: [250 N, 250 N, -400 N], ", "shaft: crank shaft, seat: crank, ", "has no bearing"),
    ("lines: [2, 2]", "lines: [3, 2]", "at most 2"), ("leg: 3 mm", "leg: 0 mm", "more than 0"),
    ("leg: 3 mm", "leg: 3 kg", "mass"), ("friction: {value: 0.15", "friction: {value: -0.1", "at least 0"),
    ("seat: left bearing, normal", "seat: lost bearing, normal", "no seat 'lost bearing'"),
])
def test_bad_files_are_refused_in_words(old, new, said):
    assert old in SHELLER
    with pytest.raises(MachineErrors) as errors:
        read_text(SHELLER.replace(old, new, 1), "machine.yaml")
    assert said in str(errors.value)


def test_a_class_that_is_not_made_in_that_size_is_unknown():
    text = SHELLER.replace("thread: M10, class: 8.8", "thread: M20, class: 9.8", 1)
    found = {f.mode: f for f in room.rate(solve(read_text(text, "machine.yaml"))).of("fixings.left feet")}
    assert found["bolt proof load"].verdict == "unknown" and "9.8 is not made in M20" in found["bolt proof load"].reason


def test_own_pins_and_a_welded_tube():
    text = SHELLER.replace("pin: dowel 8", "pin: soft 8", 1).replace(
        "lines: [2, 2], lengths: [40 mm, 40 mm]", "round: 48.3 mm", 1) + (
        "parts:\n  soft 8: {kind: pin, source: listed, read in: sheet of an invented maker, diameter: 8 mm, shear load: 15 kN}\n")
    findings = {(f.part, f.mode): f for f in room.rate(solve(read_text(text, "machine.yaml"))).findings}
    assert findings["fixings.right block", "pin shear"].rating == pytest.approx(15e3)
    assert np.isfinite(findings["fixings.feet of the stand", "throat stress"].margin)


def test_renaming_a_seat_is_followed():
    machine = apply(read_text(SHELLER, "machine.yaml"), {"rename": {"shafts.crank shaft.seats.left bearing": "near bearing"}})
    assert machine.fixings["left feet"].seat == "near bearing"
