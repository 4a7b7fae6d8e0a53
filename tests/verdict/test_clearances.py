"""What runs into what, by distances worked out by hand; gaps for fingers and hands after ISO 13854 and ISO 13857."""

import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft import apply, rate, read, solve
from layshaft.listings.tables import table
from layshaft.machine.options import apply as apply_option
from layshaft.machine.reader import read_text
from layshaft.train.placed import NOWHERE, Placed
from layshaft.train.space import Near, Space, space
from layshaft.verdict.cautions import cautions
from layshaft.verdict.clearances import narrow, worst

EXAMPLES = Path(__file__).parents[2] / "examples"
AGAIN = read(EXAMPLES / "harbour-light")
LIGHT = apply(AGAIN, AGAIN.options["as first drawn"])
BELL = {"set": {"stages.bell chain.line": "-125 deg"}}  # where the vanes strike the bell's shaft
TEXT = (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")


def told(machine, mode="collision"):
    return {f.part: f for f in rate(solve(machine)).findings if f.mode == mode}


def fails(machine):
    return {part: f.place for part, f in told(machine).items() if f.verdict == "fails"}


@pytest.mark.parametrize(("part", "mm"), [("body", 500), ("head", 300), ("leg", 180), ("foot", 120), ("toes", 50),
                                          ("arm", 120), ("hand", 100), ("finger", 25)])
def test_gaps_are_those_of_iso_13854(part, mm):
    """ISO 13854:2017, table 1, as an accident insurer's encyclopaedia prints it."""
    assert table("safety_gaps")[part].number("gap_mm") == mm


def test_the_vanes_sweep_through_the_shaft_beside_them():
    """By hand: vanes reach 260 + 85 mm, the shaft is 20 mm thick; the axes stand what the stages say apart."""
    machine = apply_option(AGAIN, BELL)
    solved = solve(machine)
    off = solved.place["bell"] - solved.place["fan"]
    apart = math.hypot(off[1], off[2])
    found = told(machine)["modules.winder"]
    assert (found.verdict, found.place) == ("fails", "fan beside shaft bell")
    assert (found.demand, found.rating) == (approx(0.345 + 0.010), approx(apart))
    assert found.margin == approx(apart / 0.355)
    assert f"fan stands {(0.355 - apart) * 1e3:.2f} mm deep in shaft bell" in found.note


def test_in_the_demo_everything_has_a_place_and_the_hand_room():
    assert {f.verdict for f in told(AGAIN).values()} == {"holds"}
    assert told(AGAIN, "room for the hand")["drives.crank"].verdict == "holds"


def test_what_belongs_together_does_not_collide():
    """Teeth and mate, chain and sprocket, a wheel and the shaft it sits on: nothing but what is left so is told."""
    assert set(fails(LIGHT)) == {"modules.winder", "modules.lantern", "modules.bell"}
    bell = apply_option(AGAIN, BELL)
    assert fails(bell) == dict.fromkeys(("modules.winder", "modules.bell"), "fan beside shaft bell")
    assert not fails(read(EXAMPLES / "village-mangle"))  # a pinion inside its ring


def test_the_arm_of_a_crank_strikes_what_lies_within_its_radius():
    """By hand: the shorter way out is along x, where the shaft goes on 60 mm past the middle of an arm of 16 mm."""
    solved = solve(LIGHT)
    off = solved.place["lens lay"] - solved.place["crank"]
    near = next(n for n in space(solved).near if {n.a.name, n.b.name} == {"arm of crank", "shaft lens lay"})
    assert near.meet
    assert math.hypot(off[1], off[2]) - 0.300 - 0.010 < near.gap == approx(-0.060 - 0.008)


def test_a_size_that_is_open_is_unknown_only_where_it_may_reach_something():
    """A ratchet of no told size on a shaft of 30 mm is taken for up to 300 mm; the next shaft passes it at 123 mm."""
    open_ = apply_option(AGAIN, {"remove": ["stages.ratchet.diameter", "stages.ratchet.face"]})
    found = told(open_)
    assert (found["modules.lantern"].verdict, found["modules.winder"].verdict) == ("holds", "unknown")
    assert found["modules.winder"].reason.startswith(
        "ratchet on wind may reach shaft main, 123 mm from its middle: no size is told of ratchet on wind. Of what is "
        "told, nearest: fan gears 1 on main beside shaft wind, 1.73 mm")
    assert found["modules.lantern"].trust  # it rests on what such parts usually are


def test_a_shaft_put_through_a_gear_is_told():
    """The fan's first wheel has 120 teeth of 2 mm and shift -0.25: tips at 121.5 mm; the winding shaft is 30 mm thick."""
    near = apply_option(apply_option(AGAIN, BELL), {"set": {"drives.weight.teeth": "15"}})
    found = told(near)["modules.winder"]
    assert found.place == "fan gears 1 on main beside shaft wind"
    d = 2 * 0.0127 / math.sin(math.pi / 15)
    assert found.rating == approx(d, rel=1e-6)
    assert found.demand == approx(0.1215 + 0.015, abs=3e-4)  # tips may be shortened by a little
    assert "also fan beside shaft bell by 7.21 mm" in found.note


def test_wheels_too_close_on_one_shaft():
    """Two sprockets 10 mm from middle to middle, each as wide as the pins of its chain: 17.0 mm, ISO 606, b4, from memory."""
    moved = apply_option(AGAIN, {"set": {"shafts.main.seats.bell sprocket.at": "225 mm",
                                         "shafts.bell lay.seats.sprocket.at": "165 mm"}})
    found = told(moved)["modules.winder"]
    assert found.place == "lens chain on main beside bell chain on main"
    assert (found.demand, found.rating) == (approx(0.0170), approx(0.010))


def test_an_unknown_width_is_unknown_only_where_it_matters():
    near = apply_option(apply_option(AGAIN, {"remove": ["loads.flywheel.mass"]}),
                        {"set": {"shafts.fan.seats.flywheel.at": "80 mm"}})
    found = told(near)["modules.winder"]
    assert found.verdict == "unknown"
    assert "the width of flywheel is not known" in found.reason


def test_a_shaft_without_a_place_is_unknown():
    lost = read_text(TEXT.replace("    line: -105 deg\n    efficiency: same", "    efficiency: same", 1))
    assert "the place of lens lay is not known" in told(lost)["modules.lantern"].reason


def test_room_for_the_hand_by_hand():
    """A handle 300 mm from its axis, nothing but its own bearings: the nearer one stands between."""
    solo = read(EXAMPLES / "sack-hoist")
    found = told(solo, "room for the hand")["drives.crank"]
    assert found.verdict == "holds"
    assert found.demand == approx(0.100)
    shaft, drive = solo.shafts["drum"], solo.drives["crank"]
    out = drive.handle_overhang.nominal + abs(shaft.seats[drive.seat].at.nominal - shaft.seats[
        "right bearing"].at.nominal)
    bearing = next(b for b in space(solve(solo)).bodies if b.name == "right bearing of drum")
    assert found.rating == approx(math.hypot(drive.radius.nominal - bearing.radius, out - bearing.half))


def test_a_pedal_asks_for_a_foot():
    """ISO 13854: 120 mm for a foot."""
    assert told(read(EXAMPLES / "cider-mill"), "room for the hand")["drives.pedals"].demand == approx(0.120)


def test_fingers_are_a_caution_that_names_who_is_at_risk():
    verdict = rate(solve(LIGHT))
    words = next(c.text for c in cautions(verdict) if c.text.startswith("Fingers"))
    assert "whoever reaches in while it turns" in words
    assert all(0.004 < n.gap < 0.025 for n in narrow(verdict.context))


def fingers(machine):
    return next((c.text for c in cautions(rate(solve(machine))) if c.text.startswith("Fingers")), "")


def test_fingers_beside_what_tells_no_size_are_not_known():
    """A coupling on 20 mm is taken for up to 120 mm of length; the bearings beside it stand 120 mm apart, less 14 mm."""
    untold = apply_option(AGAIN, {"remove": ["parts.jaw 35.outside", "parts.jaw 35.length"]})
    assert fingers(untold).endswith(
        "And whether one gets in beside lens coupling is not known, since no size is told.")
    assert "And whether" not in fingers(AGAIN)


def test_moving_the_whole_machine_changes_nothing():
    moved = read_text(TEXT.replace("at: [0 mm, 0 mm, 2000 mm]", "at: [1.3 m, -2.7 m, 5 m]"))
    here, there = (space(solve(m)).near for m in (AGAIN, moved))
    assert [(n.a.name, n.b.name) for n in here] == [(n.a.name, n.b.name) for n in there]
    assert [n.gap for n in here] == approx([n.gap for n in there], abs=1e-6, nan_ok=True)
    away = np.array([n.where for n in there]) - np.array([n.where for n in here])
    assert away == approx(np.tile([1.3, -2.7, 3.0], (len(here), 1)), abs=1e-6)


def test_a_passage_that_cannot_be_told_is_not_forgotten_for_a_clear_one():
    """Of one name, in any order: what meets comes first, then what cannot be told, then the least gap."""
    a, b = Placed("p", "rod", "shaft", "s", "p", *[NOWHERE] * 3, 0.1, 0.01), \
        Placed("q", "ring", "wheel", "t", "q", *[NOWHERE] * 3, 0.1, 0.2)
    clear, unsaid, met = (Near(a, b, gap, gap, 0.0, 1.0, NOWHERE) for gap in (0.01, math.nan, -0.002))
    for order in itertools.permutations((clear, unsaid)):
        assert worst(Space(near=list(order))) == [unsaid]
    for order in itertools.permutations((clear, unsaid, met)):
        assert worst(Space(near=list(order))) == [met]
