"""Slopes of two shafts against each other, frames that part, and what reaches ISO 6336 from the machine.

Closed form: what both shafts do alike opens nothing; one that leans in the plane of action opens face times angle.
"""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.reader import read, read_text
from layshaft.train.cases import PEAK, RUNNING
from layshaft.train.solve import solve
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.kinds import iso_gears, mesh_tilt
from layshaft.verdict.remarks import remarks

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = (EXAMPLES / "village-mangle" / "machine.yaml").read_text(encoding="utf-8")
MANGLE = read(EXAMPLES / "village-mangle")


def mangle(*changes):
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def part(c, name):
    return next(p for p in iso_gears.block(c).parts if p.path == f"stages.{name}")


@pytest.fixture
def solved():
    return solve(MANGLE)


def lean(solved, shaft, seat, side, other):
    loads = solved.loads[shaft]
    loads.slope = loads.slope.copy()
    loads.slope[loads.at(seat)] = np.array([side, other])[:, None, None]


@pytest.mark.parametrize("name", ["press gears", "roller ring"])
def test_what_both_shafts_do_alike_opens_nothing(solved, name):
    stage = MANGLE.stages[name]
    lean(solved, stage.from_, stage.seats[0], 3e-4, -2e-4)
    lean(solved, stage.to, stage.seats[1], 3e-4, -2e-4)
    assert np.abs(mesh_tilt.relative_slope(context(solved), name, stage)).max() < 1e-15


@pytest.mark.parametrize("name", ["press gears", "roller ring"])
def test_a_lean_counts_by_its_share_in_the_plane_of_action(solved, name):
    """The second axis lies below the first: `side` runs along the pitch line, `other` along the line of axes."""
    stage = MANGLE.stages[name]
    angle = {"press gears": None, "roller ring": np.radians(20)}[name]
    if angle is None:
        alpha_t = np.arctan(np.tan(np.radians(20)) / np.cos(np.radians(25)))
        angle = np.arccos(84 * 1e-3 / np.cos(np.radians(25)) * np.cos(alpha_t) / 0.093)
    for side, other, share in ((1e-3, 0.0, np.cos(angle)), (0.0, 1e-3, np.sin(angle))):
        lean(solved, stage.from_, stage.seats[0], side, other)
        lean(solved, stage.to, stage.seats[1], 0.0, 0.0)
        found = mesh_tilt.relative_slope(context(solved), name, stage)
        driven = np.abs(solved.stage_torque[name][0]) > 0
        assert found[driven] == pytest.approx(1e-3 * share, rel=1e-9)


def test_an_opposed_axis_leans_the_other_way(solved):
    turned = mangle(("  middle:\n    module: frame\n    axis: x", "  middle:\n    module: frame\n    axis: -x"))
    plain, other = (mesh_tilt.relative_slope(context(solve(m)), "press gears", m.stages["press gears"])
                    for m in (MANGLE, turned))
    assert np.isfinite(other).all() and other.shape == plain.shape


def test_slopes_not_known_leave_the_face_load_unknown():
    bare = mangle(("sections: [[22 mm, 40 mm], [25 mm, 240 mm]]", "sections: open"))
    c = context(solve(bare))
    assert np.isnan(part(c, "press gears").inputs["theta"]).all()
    found = {(f.part, f.mode): f for f in room.rate(solve(bare)).findings}
    assert found["stages.press gears", "root fatigue"].verdict == "unknown"
    given = mangle(("sections: [[22 mm, 40 mm], [25 mm, 240 mm]]", "sections: open"),
                   ("    floats: from\n", "    floats: from\n    factors: {face load: 1.7}\n"))
    assert found["stages.roller ring", "root fatigue"].verdict == "holds"
    assert part(context(solve(given)), "press gears").inputs["K_Hbo"] == 1.7


def test_frames_set_up_anew_ask_for_more():
    apart = ("  roller:\n    module: frame", "  roller:\n    module: stand")
    stand = ("modules:\n", "modules:\n  stand: {mass: 20 kg}\n")
    assert mesh_tilt.frames(MANGLE, MANGLE.stages["roller ring"]).number("value") == 1
    two = mangle(apart, stand)
    assert mesh_tilt.frames(two, two.stages["roller ring"]).number("value") == 2
    assert mesh_tilt.frames(two, two.stages["press gears"]).number("value") == 1
    pinned = mangle(apart, stand, ("runs:\n", "partings:\n  side: {between: [stand, frame], locators: two pins}\nruns:\n"))
    assert mesh_tilt.frames(pinned, pinned.stages["roller ring"]).number("value") == 1.5


def test_which_line_of_the_materials_and_which_factors_reach_the_room():
    c = context(solve(MANGLE))
    found = part(c, "roller ring")
    assert (found.inputs["line_1"], found.inputs["line_2"]) == (7, 1)
    assert "no grade stated: the lowest" in found.origins["line_1"].work
    K_A = np.broadcast_to(found.inputs["K_A"], (len(c.solved.columns), 1))[:, 0]
    assert {K_A[i] for i, case in enumerate(c.solved.cases) if case == RUNNING} == {1.25}  # a hand on the crank
    assert {K_A[i] for i, case in enumerate(c.solved.cases) if case == PEAK} == {1.0}  # the peak itself
    own = mangle(("    hardness: [260, 190]\n    accuracy: 9\n    lubrication: grease\n    efficiency", "    hardness: [650, 700]\n"
                  "    treatment: [case-hardened, nitrided]\n    grade: MQ\n    factors: {application: 2, film: 0.92}\n"
                  "    accuracy: 9\n    lubrication: oil\n    efficiency"))
    found = part(context(solve(own)), "roller ring")
    assert (found.inputs["line_1"], found.inputs["line_2"], found.inputs["Z_LVR"]) == (11, 17, 0.92)
    assert found.inputs["mu"] == 0.06
    assert np.max(found.inputs["K_A"]) == 2


def test_which_shaft_floats_and_what_holds_it_back():
    found = part(context(solve(MANGLE)), "press gears").inputs
    assert (found["halves"], found["mu_f"], found["d_f"], found["b"]) == (2, 0.15, 0.022, 0.02)
    silent = mangle(("    floats: from\n", ""))
    found = {(f.part, f.mode): f for f in room.rate(solve(silent)).findings}
    assert "stages.press gears.floats: not given" in found["stages.press gears", "root fatigue"].reason
    fixed = room.rate(solve(mangle(("floats: from", "floats: neither"))))
    assert any("free to move along its axis" in r.text for path, r in remarks(fixed) if path == "stages.press gears")
    jam = {(f.part, f.mode): f.margin for f in fixed.findings}["stages.press gears", "root fatigue"]
    assert jam <= {(f.part, f.mode): f.margin for f in room.rate(solve(MANGLE)).findings}["stages.press gears", "root fatigue"]


def test_slow_teeth_are_asked_for_grease_and_a_harder_pinion():
    dry = room.rate(solve(mangle(("    accuracy: 9\n    lubrication: grease\n    efficiency", "    accuracy: 9\n    efficiency"),
                                 ("hardness: [260, 190]\n    accuracy: 9\n    efficiency", "hardness: [205, 190]\n    accuracy: 9\n"
                                  "    efficiency"))))
    said = [r.text for path, r in remarks(dry) if path == "stages.roller ring"]
    assert any("lubrication: grease" in text for text in said)
    assert any("30 points harder" in text for text in said)


def test_axes_too_close_are_named_with_both_distances():
    close = solve(mangle(("centres: 93 mm", "centres: 70 mm")))
    said = [r.text for path, r in remarks(room.rate(close)) if path == "stages.press gears.centres"]
    assert len(said) == 1 and "70.00 mm" in said[0] and "no shift helps" in said[0]
