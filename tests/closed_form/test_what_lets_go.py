"""Slip clutch, shear pin and one-way hub in a jam, by hand: elementary statics, no loss anywhere.

A shaft held fast gets through a clutch no more than the clutch passes; what lies in front of it pushes no harder, since
it starts to move. The way a hub runs free nothing passes at all. All machines are invented.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from closed_form.small_train import FAN, LEVEL, WHEEL, machine, shaft
from layshaft.machine.errors import MachineErrors
from layshaft.machine.sampling import sample
from layshaft.trace.units import ENERGY, STRESS, shown
from layshaft.train.arrest import arrest_drop
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions
from layshaft.verdict.jam import jams
from layshaft.verdict.one_way import run_on
from layshaft.verdict.protects import protected
from layshaft.verdict.rate import rate

SLIP = f"{{kind: slip clutch, from: first, to: second, seats: [out, in], {LEVEL}, slip torque: 20 N m, scatter: 20 %}}"
PIN = f"{{kind: shear pin, from: first, to: second, seats: [out, in], {LEVEL}, diameter: 3 mm, pins: 1, shear planes: 2, " \
    "at radius: 15 mm, shear strength: 180 MPa, scatter: 10 %}"
HUB = f"{{kind: one-way hub, from: first, to: second, seats: [out, in], {LEVEL}, listing: roller}}"
PARTS = {"roller": "{kind: one-way hub, source: assumed, read in: invented, torque: 80 N m, overrun speed: 60 rpm, "
                   "bore: 30 mm, play: 3 deg}"}
GEARS = f"{{kind: gear pair, from: second, to: third, seats: [out, in], {LEVEL}, normal module: 2 mm, teeth: [20, 60], " \
    "face: 20 mm, shift: [0, 0], helix: 0 deg, pressure angle: 20 deg, line: 180 deg, materials: [C45+N, C45+N], " \
    "hardness: [190, 190]}"
W = 40 * 9.81 * 0.100


def at(solved, title):
    return next(i for i, c in enumerate(solved.columns) if c.title == title)


def torque(solved, title, stage="link", end=0):
    return abs(solved.stage_torque[stage][end][at(solved, title), 0])


@pytest.mark.parametrize(("kind", "most"), [
    (SLIP, 20 * 1.2), (PIN, 180e6 * 2 * np.pi * 0.003**2 / 4 * 0.015 * 1.1)], ids=["clutch", "pin"])
def test_a_jam_behind_it_feels_its_limit_and_no_more(kind, most):
    solved = solve(machine({"link": kind}, {"fan": FAN}, drive="crank"))
    assert most < 100  # what leaning on the crank could give
    for title in ("held fast at second", "leaning on crank"):
        assert torque(solved, title) == approx(most, rel=1e-12)
        assert abs(solved.seat_torque["first"]["in"][at(solved, title), 0]) == approx(most, rel=1e-12)
    assert abs(solved.required["first"][at(solved, "held fast at second"), 0]) == approx(most, rel=1e-12)
    held_in_front = at(solved, "held fast at first")
    assert abs(solved.seat_torque["first"]["in"][held_in_front, 0]) == approx(100, rel=1e-12)


def test_a_clutch_stronger_than_the_drive_changes_nothing():
    strong = SLIP.replace("20 N m", "500 N m")
    a = solve(machine({"link": strong}, {"fan": FAN}, drive="crank"))
    b = solve(machine({"link": f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"}, {"fan": FAN},
                      drive="crank"))
    for shaft_ in ("first", "second"):
        for seat, values in b.seat_torque[shaft_].items():
            known = np.isfinite(values)  # the coupling's stiffness is not listed: no blow through it
            assert known.sum() >= 8
            assert a.seat_torque[shaft_][seat][known] == approx(values[known], rel=1e-12)


def test_the_limit_comes_through_a_gear_pair_by_its_ratio():
    """24 N m at the clutch, 60 teeth driven by 20: 72 N m hold the third shaft."""
    solved = solve(machine({"link": SLIP, "gears": GEARS}, {"fan": FAN}, drive="crank",
                           shafts={"third": shaft("in", "extra")}))
    i = at(solved, "held fast at third")
    assert abs(solved.required["first"][i, 0]) == approx(72, rel=1e-12)
    assert torque(solved, "held fast at third", "gears", 1) == approx(72, rel=1e-12)


def test_a_wheel_that_runs_into_a_jam_in_front_is_capped_too():
    """Without the clutch the wheel would hit with omega sqrt(J k); through it come 24 N m, and the weight adds its own."""
    solved = solve(machine({"link": SLIP.replace("20 N m", "60 N m")}, {"fan": FAN, "wheel": WHEEL}))
    i = at(solved, "stopped dead at first")
    assert torque(solved, "stopped dead at first", end=1) == approx(72, rel=1e-12)
    assert abs(solved.required["first"][i, 0]) == approx(72 + W, rel=1e-12)


def test_nothing_comes_back_through_a_one_way_hub():
    """A wheel behind the hub runs on: a jam on the driving side feels the weight alone."""
    loads = {"fan": FAN, "wheel": WHEEL}
    solved = solve(machine({"link": HUB}, loads, parts=PARTS))
    i = at(solved, "stopped dead at first")
    assert torque(solved, "stopped dead at first") == 0
    assert abs(solved.required["first"][i, 0]) == approx(W, rel=1e-12)
    assert torque(solved, "held fast at second") == approx(W, rel=1e-12)  # forward it drives as hard as it can


def test_a_hub_told_from_its_other_end_drives_nothing():
    wrong = HUB.replace("from: first, to: second, seats: [out, in]", "from: second, to: first, seats: [in, out]")
    found = {f.mode: f for f in rate(solve(machine({"link": wrong}, {"fan": FAN}, parts=PARTS))).findings
             if f.part == "stages.link"}
    right = {f.mode: f for f in rate(solve(machine({"link": HUB}, {"fan": FAN}, parts=PARTS))).findings
             if f.part == "stages.link"}
    assert (found["sense of drive"].verdict, right["sense of drive"].verdict) == ("fails", "holds")
    assert right["held torque"].demand >= W
    omega = np.sqrt(W / 0.05)  # the fan balances the weight
    assert right["overrun speed"].demand == approx(omega, rel=1e-9)
    assert right["overrun speed"].margin == approx(60 * 2 * np.pi / 60 / omega, rel=1e-9)


def test_the_play_of_a_hub_is_a_fall_before_it_grips():
    found = machine({"link": HUB}, {"fan": FAN}, parts=PARTS)
    assert arrest_drop(found, found.drives["weight"]) == approx(np.deg2rad(3) * 0.100, rel=1e-12)


def test_grip_in_running_is_the_lower_end_over_the_hardest_push():
    """The crank pushes 1.5 times its mean against a fan: mean b omega^2 at 30 rev/min, 2 omega^2 would be 19.7 N m."""
    mean = 0.05 * (np.pi) ** 2 * 4  # constant 0.2 N m s2
    solved = solve(machine({"link": SLIP}, {"fan": FAN.replace("0.05", "0.2")}, drive="crank"))
    f = next(f for f in rate(solved).every() if f.part == "stages.link" and f.title == "running mean")
    assert f.demand == approx(mean, rel=1e-9)
    assert f.margin == approx(20 * 0.8 / mean, rel=1e-9)


def test_the_jam_names_what_lets_go_first():
    found = rate(solve(machine({"link": SLIP}, {"fan": FAN}, drive="crank")))
    jam = next(j for j in jams(found) if j.shaft == "second" and j.still)
    assert jam.goes
    assert jam.first_to_go.part == "stages.link"


def test_a_jam_names_nothing_that_does_not_feel_it():
    """How far a flank leans over its friction, or how hard a hub was pressed on, has nothing to do with a jam's torque."""
    click = f"{{kind: ratchet, from: first, to: second, seats: [out, in], {LEVEL}, teeth: 24, pawls: 1, diameter: 120 mm, " \
        "face: 16 mm, tooth depth: 6 mm, root thickness: 12 mm, pin diameter: 16 mm, pin shears: 2, pin arm: 20 mm, " \
        "flank angle: 9 deg, friction: 0.15, material: C45+N}"
    verdict = rate(solve(machine({"link": click}, {"fan": FAN})))
    seating = next(f for f in verdict.findings if f.mode == "pawl seating")
    named = [j.first_to_go for j in jams(verdict) if j.first_to_go is not None]
    assert named
    assert min(f.margin for f in named) > seating.margin  # it would have been the nearest
    assert "pawl seating" not in {f.mode for f in named}


def test_slipping_between_a_weight_and_its_governor_is_a_danger():
    found = {f.mode: f for f in rate(solve(machine({"link": SLIP}, {"fan": FAN}))).findings if f.part == "stages.link"}
    assert found["grip in running"].verdict == "fails"  # 16 N m against 39
    assert "runs away" in found["grip in running"].hurts


def test_samples_are_single_solves():
    wide = SLIP.replace("20 N m", "{value: 20 N m, between: [10 N m, 30 N m], source: assumed}")
    solved = solve(sample(machine({"link": wide}, {"fan": FAN}, drive="crank"), 5, 3))
    i = at(solved, "held fast at second")
    slip = solved.machine.stages["link"].slip_torque.value
    assert len(set(slip)) == 5
    assert np.abs(solved.required["first"][i]) == approx(1.2 * slip, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(st.floats(1, 300), st.floats(1, 300), st.sampled_from(["crank", "weight", "motor"]))
def test_every_shaft_is_in_balance_and_no_clutch_passes_more_than_its_limit(first, second, drive):
    """Two clutches one behind the other with a step down between them, and a wheel that runs into every jam."""
    stages = {"link": SLIP.replace("20 N m", f"{first} N m"), "gears": GEARS,
              "last": SLIP.replace("20 N m", f"{second} N m").replace("from: first, to: second", "from: third, to: fourth")}
    wheel = WHEEL.replace("shaft: second", "shaft: fourth")
    solved = solve(machine(stages, {"fan": FAN, "wheel": wheel}, drive=drive, shafts={
        "third": shaft("in", "out"), "fourth": shaft("in", "wheel")}))
    for i, column in enumerate(solved.columns):
        if column.case in ("held fast", "stopped dead"):
            for seats in solved.seat_torque.values():
                assert sum(t[i, 0] for t in seats.values()) == approx(0, abs=1e-9)
            assert torque(solved, column.title) <= 1.2 * first * (1 + 1e-12)
            assert torque(solved, column.title, "last") <= 1.2 * second * (1 + 1e-12)


def test_a_wheel_behind_a_hub_runs_on_and_the_cautions_say_with_how_much():
    found = rate(solve(machine({"link": HUB}, {"fan": FAN, "wheel": WHEEL}, parts=PARTS)))
    assert [(r.load, r.behind) for r in run_on(found.solved)] == [("fan", "link"), ("wheel", "link")]
    energy = 2.0 * W / 0.05 / 2  # J omega^2 / 2, with b omega^2 = W
    assert run_on(found.solved)[1].energy == approx(energy, rel=1e-9)
    assert any("wheel runs on behind link" in c.text and shown(energy, ENERGY) in c.text for c in cautions(found))
    assert found.context.hurts("loads.wheel") == "people beside the wheel: it runs on behind link"


def test_nothing_runs_on_in_front_of_a_hub_or_behind_a_coupling():
    first = WHEEL.replace("shaft: second, seat: wheel", "shaft: first, seat: extra")
    assert [r.load for r in run_on(solve(machine({"link": HUB}, {"fan": FAN, "wheel": first}, parts=PARTS)))] == ["fan"]
    assert run_on(solve(machine({"link": SLIP}, {"fan": FAN, "wheel": WHEEL}))) == []


def test_what_it_protects_is_named_with_both_numbers():
    found = rate(solve(machine({"link": SLIP, "gears": GEARS}, {"fan": FAN}, drive="crank",
                               shafts={"third": shaft("in", "extra")})))
    [remark] = [r for path, r in protected(found) if path == "stages.link"]
    assert "24.00 N m" in remark.text
    held = at(found.solved, "held fast at third")
    T = abs(found.solved.seat_torque["third"]["in"][held, 0])
    assert approx(72, rel=1e-12) == T
    p = 2 * T / (0.030 * 0.003 * 0.017)  # key 8 x 7 x 25: 3 mm of its height stand in the hub, 17 mm of its length are straight
    assert f"(flank pressure: {shown(p, STRESS)} against" in remark.text


def test_the_cautions_name_what_can_let_go_under_a_weight_only():
    weight = cautions(rate(solve(machine({"link": PIN}, {"fan": FAN}))))
    crank = cautions(rate(solve(machine({"link": PIN}, {"fan": FAN}, drive="crank"))))
    assert any("link can let go" in c.text for c in weight)
    assert not any("link can let go" in c.text for c in crank)


SPRUNG = f"{{kind: slip clutch, from: first, to: second, seats: [out, in], {LEVEL}, spring force: 600 N, friction: 0.3, " \
    "faces: 2, outer diameter: 100 mm, inner diameter: 60 mm, lining pressure: 0.3 MPa, scatter: 20 %}"


def test_a_clutch_by_its_springs_grips_worn_in_and_caps_new():
    """600 N x 0.3 x 2: 14.4 N m at 40 mm worn in, 14.7 at 40.83 mm new; 600 N on the inner edge press with 0.159 MPa."""
    solved = solve(machine({"link": SPRUNG}, {"fan": FAN}, drive="crank"))
    found = {f.mode: f for f in rate(solved).findings if f.part == "stages.link"}
    assert found["grip in running"].rating == approx(0.8 * 360 * 0.040, rel=1e-9)
    new = 2 / 3 * (0.05**3 - 0.03**3) / (0.05**2 - 0.03**2)
    assert torque(solved, "held fast at second") == approx(1.2 * 360 * new, rel=1e-9)
    assert found["lining pressure"].demand == approx(600 / (np.pi * 0.06 * 0.02), rel=1e-9)


@pytest.mark.parametrize(("gone", "word"), [("friction: 0.3, ", "friction"), ("scatter: 20 %", "scatter")])
def test_what_is_missing_of_a_clutch_is_named(gone, word):
    less = SPRUNG.replace(gone, "").replace(", }", "}")
    found = {f.mode: f for f in rate(solve(machine({"link": less}, {"fan": FAN}, drive="crank"))).findings
             if f.part == "stages.link"}
    assert found["grip in running"].verdict == "unknown"
    assert f"stages.link.{word}" in found["grip in running"].reason


def test_a_hub_whose_bore_is_not_that_of_its_shaft_is_refused():
    with pytest.raises(MachineErrors, match=r"25\.00 mm.*30\.00 mm"):
        machine({"link": HUB}, {"fan": FAN}, parts={"roller": PARTS["roller"].replace("bore: 30 mm", "bore: 25 mm")})


@pytest.mark.parametrize("bad", ["slip torque: 0 N m", "slip torque: -3 N m", "slip torque: 20 N", "scatter: 95 %",
                                 "scatter: -1 %", "slip torque: nan N m"])
def test_impossible_clutches_are_refused_in_words(bad):
    key = bad.split(":")[0]
    old = "slip torque: 20 N m" if key == "slip torque" else "scatter: 20 %"
    with pytest.raises(MachineErrors, match=f"stages.link.{key}"):
        machine({"link": SLIP.replace(old, bad)}, {"fan": FAN})
