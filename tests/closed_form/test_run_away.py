"""What one loss frees, beside elementary dynamics and a general integrator (scipy). The machines are invented."""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from closed_form.small_train import FAN, LEVEL, WHEEL, machine
from layshaft.machine.options import apply
from layshaft.machine.sampling import sample
from layshaft.train.runaway.freed import freed, hitting_energy, weight_speed
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

G, M, R, DROP = 9.81, 40.0, 0.1, 2.0
LINK = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
BEFORE = WHEEL.replace("shaft: second", "shaft: first").replace("seat: wheel", "seat: extra")
STOP = "{kind: ratchet, from: first, to: frame, seats: [hold, hold], teeth: 24, pawls: 1, diameter: 120 mm, material: C45+N}"
SACK = "{kind: falling weight, shaft: second, seat: out, mass: 40 kg, drop: 2 m, strand length: 1 m, hangs on: +y, " \
       "over people: no, diameter: 200 mm, suspension: rope, falls: 1}"


def after(read):
    """By path of what is lost: what it frees."""
    solved = solve(read)
    return solved, {f.loss.path: f for f in freed(solved)}


def verdicts(read):
    return {f.part: f for f in rate(solve(read)).findings if f.mode == "run-away"}


def test_a_weight_on_a_drum_that_has_lost_its_brake():
    """m g h goes into the weight and the wheel on the drum's shaft; what the run had comes on top."""
    solved, found = after(machine({"link": LINK}, {"fan": FAN, "wheel": BEFORE}))
    f = found["stages.link"]
    begins = (M * G * R / 0.05) ** 0.5
    assert float(f.begins[0]) == approx(begins)
    v = float(weight_speed(solved, f, f.fastest)[0]) if np.ndim(f.fastest) else float(weight_speed(solved, f, f.fastest))
    assert v == approx((2 * M * G * DROP / (M + 2.0 / R**2) + (begins * R) ** 2) ** 0.5)
    assert float(np.mean(hitting_energy(solved, f, f.fastest))) == approx(M * v**2 / 2)
    assert set(f.shafts) == {"first"}


def test_losses_on_the_way_and_a_brake_that_is_left():
    """Half a fan is left behind a stage of 80 %: the speed over the drop beside a general integrator."""
    two = FAN.replace("0.05", "0.02"), FAN.replace("seat: fan", "seat: out")
    read = machine({"link": LINK.replace("efficiency: 1", "efficiency: 0.8")}, {"weak": two[0], "strong": two[1]})
    _, found = after(read)
    f = found["loads.strong"]
    begins = (0.8 * M * G * R / 0.07) ** 0.5

    def motion(_, y):
        return [y[1], (M * G * R - 0.02 / 0.8 * y[1] ** 2) / (M * R**2 + 0.1 / 0.8)]

    def down(_, y):
        return y[0] - DROP / R

    down.terminal = True
    fallen = solve_ivp(motion, (0, 60), [0.0, begins], events=down, rtol=1e-11, atol=1e-11)
    assert float(np.mean(f.fastest)) == approx(fallen.y[1, -1], rel=1e-8)
    assert f.brakes == ("weak",)


def test_a_long_drop_ends_at_the_terminal_speed():
    read = apply(machine({"link": LINK}, {"fan": FAN, "rest": "{kind: steady, shaft: first, seat: extra, torque: 20 N m, "
                                          "break away: 1, inertia: 0.1 kg m2}"}), {"set": {"drives.weight.drop": "90 m"}})
    _, found = after(read)
    assert float(np.mean(found["loads.rest"].fastest)) == approx((M * G * R / 0.05) ** 0.5)


@pytest.mark.parametrize(("people", "word"), [("no", "holds"), ("yes", "fails")])
def test_the_floor_is_an_end_where_nobody_can_be_under_the_weight(people, word):
    found = verdicts(apply(machine({"link": LINK}, {"fan": FAN}), {"set": {"drives.weight.over people": people}}))
    assert {path: f.verdict for path, f in found.items()} == {"stages.link": word, "loads.fan": word}
    assert "the floor ends it" in found["loads.fan"].note
    assert (found["loads.fan"].hurts == "whoever stands under or beside weight") == (people == "yes")


def test_a_wheel_that_would_burst_is_no_end():
    weak = BEFORE.replace("235 MPa", "0.8 MPa, tensile strength: 1 MPa")
    strong = BEFORE.replace("235 MPa", "235 MPa, tensile strength: 360 MPa")
    words = [verdicts(machine({"link": LINK}, {"fan": FAN, "wheel": wheel}))["stages.link"].verdict
             for wheel in (weak, strong)]
    assert words == ["fails", "holds"]


def test_a_wheel_is_rated_at_the_speed_of_the_worst_loss():
    """The rim of a ring: stress goes with the square of its speed; the lost fan lets it run to the end of the drop."""
    strong = BEFORE.replace("235 MPa", "235 MPa, tensile strength: 360 MPa")
    solved, found = after(machine({"link": LINK}, {"fan": FAN, "wheel": strong}))
    [run] = [f for f in rate(solved).findings if f.mode == "run-away burst"]
    [rim] = [f for f in rate(solved).findings if f.mode == "rim stress"]
    top, runs = (float(np.mean(v)) for v in (found["stages.link"].fastest, np.abs(solved.speed["first"][0])))
    assert run.demand / rim.demand == approx((top / runs) ** 2)


def hoist(more=None, loads=None):
    idle = "{kind: steady, shaft: first, seat: extra, torque: 0 N m, break away: 1, inertia: 0.1 kg m2}"
    return machine({"link": LINK} | (more or {}), {"idle": idle} | (loads or {}), drive="crank", drives={"sack": SACK})


def test_a_hoist_drives_its_crank_back_where_nothing_holds():
    """Wound up at rest, the sack pulls 0.1 kg m2 along: sqrt(2 m g h / (m + J / r^2))."""
    solved, found = after(hoist())
    f = found["drives.crank"]
    assert f.holders == () and f.begins == 0.0
    assert float(np.mean(weight_speed(solved, f, f.fastest))) == approx((2 * M * G * DROP / (M + 0.1 / R**2)) ** 0.5)
    # the stage between: the sack falls with nothing but itself
    alone = found["stages.link"]
    assert float(np.mean(weight_speed(solved, alone, alone.fastest))) == approx((2 * G * DROP) ** 0.5)


def test_what_holds_is_named_and_what_is_lost_does_not_hold():
    _, found = after(hoist({"stop": STOP}))
    assert found["drives.crank"].holders == ("stop",)
    assert found["stages.stop"].holders == ()
    assert found["stages.link"].holders == ()  # the ratchet sits on the other side
    assert float(np.mean(found["drives.crank"].fastest)) == 0.0


@pytest.mark.parametrize(("force", "holds"), [("900 N", True), ("20 N", False)])
def test_a_brake_holds_only_if_it_grips(force, holds):
    band = (f"{{kind: band brake, shaft: second, seat: hold, put on by: spring, strong way: forward, force: {force}, "
            "friction: 0.3, scatter: 20 %, covers: 250 deg, drum diameter: 240 mm, lever: 500 mm, slack arm: 60 mm, "
            "tight arm: 0 mm}")
    _, found = after(hoist(loads={"band": band}))
    assert (found["drives.crank"].holders == ("band",)) is holds


def test_a_one_way_stage_drives_what_lies_behind_it():
    hub = f"{{kind: one-way hub, from: first, to: second, seats: [out, in], {LEVEL}}}"
    _, found = after(machine({"link": hub}, {"fan": FAN}))
    assert set(found["loads.fan"].shafts) == {"first", "second"}


def test_what_is_not_known_is_said():
    bare = FAN.replace(", inertia: 0.1 kg m2", "")
    rest = "{kind: steady, shaft: first, seat: extra, torque: 5 N m, break away: 1, inertia: 0.1 kg m2}"
    found = verdicts(machine({"link": LINK}, {"fan": bare, "rest": rest}))
    assert found["loads.rest"].verdict == "unknown"
    assert "loads.fan" in found["loads.rest"].reason
    assert found["stages.link"].verdict != "unknown"  # the fan is off with it


def test_an_eddy_brake_beyond_its_critical_speed_is_unknown():
    eddy = "{kind: eddy brake, shaft: first, seat: hold, constant: 2 N m s, critical speed: 100 rpm, inertia: 0.1 kg m2}"
    rest = FAN.replace("shaft: second", "shaft: first").replace("seat: fan", "seat: extra").replace("0.05", "0.6")
    found = verdicts(machine({"link": LINK}, {"eddy": eddy, "fan": rest}))
    assert found["loads.fan"].verdict == "unknown"
    assert "eddy" in found["loads.fan"].reason


def test_two_that_share_one_strand_free_nothing():
    both = machine({"link": LINK, "twin": LINK.replace("[out, in]", "[extra, hold]")}, {"fan": FAN})
    assert set(after(both)[1]) == {"loads.fan"}


def test_draws_give_each_its_own_answer():
    read = apply(machine({"link": LINK}, {"fan": FAN}), {"set": {
        "drives.weight.mass": {"value": "40 kg", "between": ["30 kg", "50 kg"]}}})
    many = solve(sample(read, 16, 1))
    f = {f.loss.path: f for f in freed(many)}["loads.fan"]
    mass = many.machine.drives["weight"].mass.value
    begins2 = mass * G * R / 0.05
    assert f.fastest == approx(np.sqrt(2 * mass * G * DROP / (mass * R**2) + begins2))
