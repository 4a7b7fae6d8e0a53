"""Worm pairs in a whole machine: the sluice winch by hand, what is not known, what is said of holding."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.bill.parts import parts_list
from layshaft.faces.pages.outline import outline
from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

WINCH = read(Path(__file__).parents[2] / "examples" / "sluice-winch")


def rated(changes=None):
    return rate(solve(apply(WINCH, {"set": changes}) if changes else WINCH))


def without(*keys):
    return rate(solve(apply(WINCH, {"remove": [f"stages.worm.{key}" for key in keys]})))


@pytest.fixture(scope="module")
def winch():
    return rated()


def mode(verdict, name):
    return next(f for f in verdict.findings if (f.part, f.mode) == ("stages.worm", name))


def test_running_by_hand(winch):
    """100 kg on 80 mm and two bearings of 0.06 N m: 78.60 N m on a wheel of 200 mm, 1 of 40, tan of the lead 0.1."""
    T_2 = 100 * 9.81 * 0.080 + 2 * 0.06
    assert mode(winch, "flank durability").demand == approx(2 * T_2 / 0.200, rel=1e-9)
    fpm = 40 * 2 * np.pi / 60 * 0.025 / np.cos(np.arctan(0.1)) / 0.00508
    mu = 0.103 * np.exp(-0.110 * fpm**0.450) + 0.012
    eta = (np.cos(np.radians(20)) - 0.1 * mu) / (np.cos(np.radians(20)) + mu / 0.1)
    first, second = (t[0, 0] for t in winch.solved.stage_torque["worm"])
    assert abs(second) == approx(T_2)
    assert abs(first) == approx(T_2 / 40 / eta)


def test_every_mode_is_answered(winch):
    modes = {f.mode: f.verdict for f in winch.findings if f.part == "stages.worm"}
    assert modes == dict.fromkeys(
        ("root strength", "flank wear", "flank durability", "jam strength", "worm deflection", "run-away"), "holds")


def test_only_a_closed_case_gets_hot():
    f = mode(rated({"stages.worm.housing area": "0.12 m2"}), "heat of running")
    assert f.verdict == "holds"
    assert f.rating == approx(93 - 35)


@pytest.mark.parametrize(("key", "asks", "says"), [
    ("worm hardness", "flank wear", "stages.worm.worm hardness"),
    ("worm hardness", "flank durability", "stages.worm.worm hardness"),
    ("wheel material", "root strength", "stages.worm.wheel material"),
    ("face", "jam strength", "stages.worm.face"),
    ("pressure angle", "root strength", "stages.worm"),
])
def test_what_is_missing_is_named(key, asks, says):
    f = mode(without(key), asks)
    assert f.verdict == "unknown"
    assert says in f.reason


def test_forces_wait_for_the_side_of_the_wheel():
    verdict = without("line")
    assert any(f.verdict == "unknown" and "stages.worm.line" in f.reason for f in verdict.findings)
    assert "worm" in outline(verdict.solved).nowhere


def test_the_caution_says_when_it_locks(winch):
    [text] = [c.text for c in cautions(winch) if c.path == "stages.worm"]
    assert text.startswith("worm locks against gate at rest alone")
    flat = rated({"stages.worm.quotient": "14"})
    assert any("at rest and running" in c.text for c in cautions(flat))
    steep = rated({"stages.worm.starts": "4"})
    assert not [c for c in cautions(steep) if c.path == "stages.worm"]
    assert any("The wheel drives this worm back" in t for t in by_text(steep))


def test_a_worm_is_no_holder():
    """Without the brake the worm alone holds the gate: the crank can kick back."""
    bare = rate(solve(apply(WINCH, {"remove": ["loads.brake drum"]})))
    [f] = [f for f in bare.findings if f.mode == "kick-back"]
    assert f.verdict == "fails"
    assert "worm may lock by itself and does not count" in f.note


def test_masses_and_drawing(winch):
    """A bar of 50 mm over 26.5 modules' pitch lengths, a disc of bronze of 200 mm by 33 mm."""
    lines = {line.name.split(",")[0]: line.mass for line in parts_list(WINCH, winch.solved) if "worm" in line.name}
    assert lines["worm"] == approx(7850 * np.pi / 4 * 0.050**2 * np.pi * 0.005 * 5.3)
    assert lines["worm wheel"] == approx(8700 * np.pi / 4 * 0.200**2 * 0.033)
    kinds = {w.kind: w for w in outline(winch.solved).wheels if w.name == "worm"}
    assert kinds["worm"].radius == approx(0.025)
    assert kinds["gear"].centre - kinds["worm"].centre == approx([0, 0, 0.125], abs=1e-9)


def test_a_wheel_beside_its_worm_is_said():
    moved = rated({"shafts.worm.at": ["420 mm", "-130 mm", "670 mm"]})
    assert any("from where it meets its worm" in t for t in by_text(moved))
    assert not any("from where it meets its worm" in t for t in by_text(rated()))
