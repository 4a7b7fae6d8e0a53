"""Which solved number reaches which input of a bevel pair, and what the demo machine's mitre is told.

Closed form: the same pair told from its other end has the same demands; what is not said is unknown by name.
"""

from pathlib import Path

import numpy as np
import pytest

from layshaft.bill.parts import parts_list
from layshaft.machine.options import apply
from layshaft.machine.reader import read, read_text
from layshaft.train.solve import solve
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.kinds import bevel_pairs

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
LIGHT = read(EXAMPLES / "harbour-light")
MITRE = "stages.lens mitre"


def light(*changes):
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def findings(machine):
    return {f.mode: f for f in room.rate(solve(machine)).of(MITRE)}


@pytest.fixture(scope="module")
def before():
    return findings(LIGHT)


def test_every_mode_of_the_mitre_is_answered(before):
    assert set(before) == {"root strength", "flank wear", "jam strength", "contact ratio", "undercut", "face width",
                           "slope at mesh", "deflection at mesh", "run-away"}
    assert not [f for f in before.values() if f.verdict == "unknown"]


def test_torque_and_mounting_reach_the_room():
    c = context(solve(LIGHT))
    [part] = bevel_pairs.blocks(c)[0].parts
    assert part.inputs["T_1"] == pytest.approx(c.solved.carried["lens mitre"])
    assert part.inputs["n_o"] == 2
    [between] = bevel_pairs.blocks(context(solve(apply(LIGHT, {"set": {
        "shafts.spindle.seats.mitre.at": "150 mm"}}))))[0].parts
    assert between.inputs["n_o"] == 1


def test_a_pair_told_from_its_other_end_is_asked_the_same():
    uneven = ("teeth: [25, 25]\n    face", "teeth: [20, 40]\n    face")
    told = light(uneven)
    start = TEXT.index("  lens mitre:\n")
    stage = TEXT[start:TEXT.index("  lens coupling: {", start)]
    other = stage.replace("from: lens far\n    to: spindle", "from: spindle\n    to: lens far").replace(
        "[beyond, before]", "[before, beyond]").replace("[25, 25]", "[40, 20]").replace(
        "source: assumed, note: set up afresh", "source: assumed, note: set up anew")
    there, back = findings(told), findings(light((stage, other)))
    for mode in ("contact ratio", "undercut", "face width"):
        assert back[mode].margin == pytest.approx(there[mode].margin, rel=1e-12)
    for mode in ("flank wear", "root strength", "slope at mesh", "deflection at mesh"):
        assert back[mode].rating == pytest.approx(there[mode].rating, rel=1e-12)


def test_what_the_file_does_not_say_is_unknown_by_name():
    bare = findings(light(("    materials: [C45+N, C45+N]\n    hardness: [190, 190]\n    apex", "    apex")))
    assert "stages.lens mitre.materials[0]: not given" in bare["root strength"].reason
    assert "stages.lens mitre.hardness[0]: not given" in bare["flank wear"].reason
    assert bare["face width"].verdict == "fails"
    odd = findings(light(("teeth: [25, 25]\n    face: 20 mm\n    pressure angle: 20 deg",
                          "teeth: [25, 25]\n    face: 20 mm\n    pressure angle: 14.5 deg")))
    assert "20 degrees" in odd["flank wear"].reason


def test_axes_that_are_not_square_are_not_rated():
    start = TEXT.index("  spindle:\n")
    slanted = findings(light((TEXT[start:start + 60], TEXT[start:start + 60].replace("axis: z", "axis: [1, 0, 1]"))))
    for mode in ("root strength", "flank wear", "jam strength", "face width"):
        assert slanted[mode].verdict == "unknown"
        assert "not at right angles" in slanted[mode].reason
    assert slanted["slope at mesh"].verdict == "unknown"


def test_the_option_brings_the_mitre_to_hold():
    mended = findings(apply(LIGHT, LIGHT.options["mitre near its bearings"]))
    assert {f.verdict for f in mended.values()} == {"holds"}


def test_a_stiffer_shaft_leans_less_and_the_mesh_says_so(before):
    stout = findings(apply(LIGHT, {"set": {
        "shafts.lens far.sections[0][0]": "25 mm", "shafts.lens far.seats.left bearing.bearing": "6205",
        "shafts.lens far.seats.right bearing.bearing": "6205", "shafts.lens far.seats.mitre.key": "8x7x25",
        "shafts.lens far.seats.coupling.key": "8x7x25"}}))
    for mode in ("slope at mesh", "deflection at mesh"):
        assert stout[mode].demand < before[mode].demand


def test_the_bill_weighs_the_toothed_cones():
    """Mitre of 75 mm, face 20: a cut cone from 75 to 46.72 mm, 14.14 mm high, of 7850 kg/m3: 0.326 kg."""
    lines = [line for line in parts_list(LIGHT, solve(LIGHT)) if line.name.startswith("bevel gear")]
    R, r = 37.5, 37.5 - 20 * np.sqrt(0.5)
    assert lines[0].mass == pytest.approx(7850e-9 * np.pi / 3 * 20 * np.sqrt(0.5) * (R**2 + R * r + r**2), rel=1e-3)
