"""A programme followed over time: against a general integrator (scipy), closed forms, and energy books that close."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

import layshaft
from layshaft.machine.reader import read_text
from layshaft.trace.errors import BadInput
from layshaft.train.motion.books import books_of
from layshaft.train.motion.course import follow
from layshaft.train.motion.programme import Bout, Change, Hold, Programme, programme_of
from layshaft.train.motion.reduced import Setting, brake_torque, reduce
from layshaft.train.motion.results import motion_of
from layshaft.train.motion.wound import heights
from train.random_machines import machine_text
from train.run_up import FAN, FREE

EXAMPLES = Path(__file__).parents[2] / "examples"
HARBOUR = layshaft.solve(layshaft.read(EXAMPLES / "harbour-light"))
HOIST = layshaft.solve(layshaft.read(EXAMPLES / "mill-hoist"))
PLAIN = Programme("main")
NEVER = np.inf

EDDY = "  eddy: {kind: eddy brake, shaft: drum, seat: brake, constant: 0.5 N m s/rad, critical speed: 900 rpm, inertia: 0 kg m2}\n"


def solved(text):
    return layshaft.solve(read_text(text))


def test_run_up_under_constant_torque_and_landing():
    # 4 kg at 0.1 m pull with 4 N m; J = 0.46 + 4 x 0.1^2 = 0.5 kg m2; 5 m are 50 rad: omega^2 = 2 x 8 x 50
    c = follow(solved(FREE), Programme("drum", time=60.0))
    landed = next(m for m in c.marks if m.kind == "landed")
    assert landed.time == approx(np.sqrt(2 * 50 / 8), rel=1e-9) and landed.speed == approx(np.sqrt(2 * 8 * 50), rel=1e-9)
    t = np.array([0.003, 0.2, 1.9, 3.4])
    assert c.motion.at_time(t)[0] == approx(4 * t**2, rel=1e-9) and c.motion.at_time(t)[1] == approx(8 * t, rel=1e-9)
    books = books_of(c)
    assert books.total("in") == approx(4 * 10 * 5) and books.landing == approx(4 * (0.1 * landed.speed) ** 2 / 2)
    assert c.motion.omega[-1] == approx(landed.speed) and books.open < 1e-12  # nothing brakes the wheel


@pytest.mark.parametrize(("brake", "omega"), [(FAN, np.sqrt(4 / 0.04)), (EDDY, 4 / 0.5)])
def test_terminal_speed_of_a_fan_and_of_an_eddy_brake(brake, omega):
    r = motion_of(solved(FREE + brake), Programme("drum", time=4.0))
    c = r.course
    assert c.level(Setting()).mean == approx(omega, rel=1e-12)
    # run-up: omega_e tanh for the fan, 1 - exp for the eddy brake, with J = 0.5 kg m2
    t = 1.3
    closed = omega * np.tanh(0.04 * omega * t / 0.5) if brake is FAN else omega * -np.expm1(-t)
    assert c.motion.at_time(np.array([t]))[1][0] == approx(closed, rel=1e-9)
    assert r.books.open < 1e-9


def integrated(c, until):
    """Angle and speed at a time: scipy from edge to edge, changes, windings and lifts located by it."""
    t, z, root = 0.0, [0.0, 0.0], c.programme.root
    times = sorted({c.motion.time[leg.first] for leg in c.legs} | {until})
    off = {c.motion.time[leg.first]: leg.setting for leg in c.legs}
    for begin, end in pairwise(times):
        r = reduce(c.solved, root, off[begin])
        while t < end:
            state, ends = [], [np.inf]
            for lift in r.lifts:
                n = np.floor(z[0] / lift.pitch + 1e-9)
                into = z[0] - n * lift.pitch < lift.over * (1 - 1e-9)
                state.append(bool(into))
                ends.append(n * lift.pitch + (lift.over if into else lift.pitch))

            edge = min(ends)

            def reached(_, y, edge=edge):
                return y[0] - edge if np.isfinite(edge) else 1.0

            reached.terminal, reached.direction = True, 1
            s = solve_ivp(lambda _, y, r=r, state=tuple(state): [y[1], r.band(state, max(y[1], 0)).at(y[1])], (t, end), z,
                          events=reached, rtol=1e-11, atol=1e-13)
            t, z = s.t[-1], [edge if s.status == 1 else s.y[0, -1], s.y[1, -1]]
    return z


def test_a_programme_with_a_bout_against_a_general_integrator():
    p = replace(PLAIN, time=200.0, height=0.9,
                changes=(Change("a", 60.0, NEVER, frozenset({"hammer cam"})), Change("b", NEVER, 25.0, frozenset())),
                bouts=(Bout("w", "weight", "crank", 30.0, 20.0, np.pi, 0.03, 1.0, 0.2),))
    c = follow(HARBOUR, p)
    angle, omega = integrated(c, 200.0)
    assert (c.motion.angle[-1], c.motion.omega[-1]) == (approx(angle, rel=1e-8), approx(omega, rel=1e-7))
    assert c.motion.at_angle(np.array([25.0]))[0][0] == approx(next(m.time for m in c.marks if m.name == "b"), rel=1e-9)
    lifted = heights(c)["weight"][-1] - (0.9 - c.legs[0].hoists[0].arm * angle)
    assert lifted == approx(0.03 * 19, rel=1e-6)  # brought up and eased off in a second each: 19 s at full speed


def test_random_machines_with_changes_against_a_general_integrator():
    assert sum(changed_and_compared(number) for number in range(30)) >= 4


def changed_and_compared(number):
    """A load let go after a time and taken back after an angle; whether any train of the machine could be compared."""
    machine, tried = solved(machine_text(number)), False
    for root, role in machine.roles.items():
        omega = abs(float(machine.speed[root][0][0]))
        if role.led_by or role.free or not role.weights or not np.isfinite(omega):
            continue
        loads = [n for n, load in machine.machine.loads.items() if load.shaft in role.set.ratio][:1]
        turn = 2 * np.pi / omega
        p = Programme(root, time=3 * turn, changes=(Change("a", turn, NEVER, frozenset(loads)),
                                                    Change("b", NEVER, 4 * np.pi, frozenset())))
        try:
            c = follow(machine, p)
        except BadInput:
            continue
        end = float(c.motion.time[-1])
        if any(m.kind == "landed" for m in c.marks) or c.ended != "the time is over":
            continue
        angle, speed = integrated(c, end)
        assert c.motion.angle[-1] == approx(angle, rel=1e-6) and c.motion.omega[-1] == approx(speed, rel=1e-6)
        tried = True
    return tried


def test_bouts_wait_for_each_other_and_brakes_do_not_overlap():
    bouts = tuple(Bout(n, "weight", "crank", t, 10.0, np.pi, 0.03, 1.0, 0.0) for n, t in (("a", 60.0), ("b", 65.0)))
    c = follow(HARBOUR, replace(PLAIN, time=100.0, height=0.5, bouts=bouts))
    begun = {m.name: m.time for m in c.marks if m.kind == "wind"}
    assert (begun["a"], begun["b"]) == (approx(60.0), approx(70.0))
    twice = {"add": {"programme.brakes.one": {"at": "2 s", "brake": "brake disc"},
                     "programme.brakes.two": {"at": "4 s", "brake": "brake disc"}}}
    with pytest.raises(BadInput, match=r"programme.brakes.two: programme.brakes.one is still on then"):
        programme_of(layshaft.solve(layshaft.apply(HOIST.machine, twice)))


def test_what_never_came_is_said():
    r = motion_of(HARBOUR, replace(PLAIN, time=50.0, changes=(Change("late", 60.0, NEVER, frozenset()),)))
    assert "The run was over before late of the programme came." in r.notes


def test_a_renamed_load_is_renamed_in_the_programme():
    renamed = layshaft.apply(HARBOUR.machine, {"rename": {"loads.hammer cam": "fog bell"}})
    assert renamed.programme.acts["clear weather"].without == ("fog bell",)


def test_books_close_over_an_hour_of_winding_and_changes():
    p = replace(PLAIN, time=3600.0, bouts=tuple(
        Bout(f"w{i}", "weight", "crank", 200.0 + 250 * i, 60.0, np.pi, 0.03, 1.0, 0.1 * (i == 3)) for i in range(13)),
        changes=(Change("a", 700.0, NEVER, frozenset({"hammer cam"})), Change("b", 1500.0, NEVER, frozenset())))
    r = motion_of(HARBOUR, p)
    assert r.course.motion.time[-1] == 3600 and r.books.open < 1e-6
    assert not any(m.kind == "landed" for m in r.course.marks)
    assert heights(r.course)["weight"].max() < 1.45  # it eases off at the top


@pytest.mark.parametrize("number", range(0, 60, 3))
def test_books_close_on_random_machines(number):
    machine = solved(machine_text(number))
    for root, role in machine.roles.items():
        if role.led_by or role.free or not role.weights or not np.isfinite(machine.speed[root][0][0]):
            continue
        turn = 2 * np.pi / abs(float(machine.speed[root][0][0]))
        try:
            c = follow(machine, Programme(root, time=30 * turn))
        except BadInput:
            continue
        assert books_of(c).open < 1e-6


def test_a_brake_stops_it_in_the_time_of_a_closed_form():
    # a disc brake of T on the drum of the free weight: J omega / (T - 4 N m)
    brake = ("  brake: {kind: disc brake, shaft: drum, put on by: hand, force: 200 N, friction: 0.3, pads: 2, "
             "outer diameter: 200 mm, inner diameter: 100 mm, inertia: 0 kg m2}\n")
    machine = solved(FREE + brake)
    T = brake_torque(machine.machine, "brake", lambda _: 1.0)
    assert T > 8
    c = follow(machine, Programme("drum", time=20.0, holds=(Hold("h", "brake", 1.5, NEVER),)))
    still = next(m for m in c.marks if m.kind == "still")
    assert still.time == approx(1.5 + 0.5 * 8 * 1.5 / (T - 4), rel=1e-9)
    a = (T - 4) / 0.5
    left = np.array([1e-3, 0.3, 0.9]) * (still.time - 1.5)
    assert c.motion.at_time(still.time - left)[1] == approx(a * left, rel=1e-6)
    assert c.motion.omega[-1] == 0 and c.motion.time[-1] == 20 and books_of(c).open < 1e-12
    paused = follow(machine, Programme("drum", time=20.0, holds=(Hold("h", "brake", 1.5, 3.0),)))
    assert [m.kind for m in paused.marks[:3]] == ["brake", "still", "freed"]
    after = paused.motion.at_time(np.array([5.0]))[1][0]
    assert paused.mean(0.5, 6.0) == approx((0.5 * 8 * (1.5**2 - 0.5**2) + 0.5 * 8 * 1.5**2) / 2.5, rel=1e-9)
    assert after == approx(8 * 0.5, rel=1e-9)  # off again from rest at 4.5 s


def test_harbour_light_follows_its_file():
    r = motion_of(HARBOUR)
    assert r.course.motion.time[-1] == 2700 and not r.stopped and len(r.wound[0].bouts) == 8
    loose, back = (c for c in r.changes if c.name in ("clear weather", "mist again"))
    assert loose.droop < -0.15 and back.droop > 0.15 and 5 < loose.recovery < 60
    assert r.combinations[0].swing == approx(0.0348, abs=0.0005)
    mean = {c.off: c.mean for c in r.combinations}
    assert mean[()] == approx(abs(HARBOUR.speed["main"][0][0]), rel=1e-3)
    budget = HARBOUR.budget.windings[0]
    assert r.wound[0].bouts[0].force == approx(float(np.mean(budget.handle_force)))
    assert r.wound[0].bouts[0].power == approx(float(np.mean(budget.person_power)))


def test_peaks_of_the_run_are_those_of_the_solved_peaks():
    """Settled, the largest torque of the bell coupling is that of the running peak with all lifts together."""
    r = motion_of(HARBOUR, replace(PLAIN, time=300.0))
    found = {p.stage: p for p in r.peaks}
    lifts = next(i for i, c in enumerate(HARBOUR.columns) if c.title == "running peak, all lifts together")
    first, second = (abs(float(t[lifts][0])) for t in HARBOUR.stage_torque["bell coupling"])
    assert (found["bell coupling"].first, found["bell coupling"].second) == (approx(first, rel=0.02),
                                                                               approx(second, rel=0.02))


@pytest.mark.parametrize(("option", "sentence"), [
    ({"set": {"loads.hammer cam.energy": "60 J"}}, "It will not start: at rest weight gives"),
    ({"remove": ["loads.fan.inertia"]}, "the moment of inertia of fan is not known"),
    ({"set": {"loads.fan.trim": "0.1 %", "loads.lens table.rolling coefficient": "0.3"}}, "It will not start"),
])
def test_what_cannot_run_is_said_in_a_sentence(option, sentence):
    with pytest.raises(BadInput, match=sentence):
        motion_of(layshaft.solve(layshaft.apply(HARBOUR.machine, option)))


def test_a_machine_that_is_pedalled_has_nothing_to_run():
    with pytest.raises(BadInput, match="is decided by pedals"):
        motion_of(layshaft.solve(layshaft.read(EXAMPLES / "cider-mill")))


def test_how_much_is_short_is_what_the_start_ratio_says():
    heavy = layshaft.solve(layshaft.apply(HARBOUR.machine, {"set": {"loads.hammer cam.energy": "60 J"}}))
    with pytest.raises(BadInput) as caught:
        motion_of(heavy, PLAIN)
    ratio = float(np.mean(heavy.budget.start_ratio["weight"]))
    gives, needs = (float(part.split()[0]) for part in (str(caught.value).split("gives ")[1],
                                                        str(caught.value).split("takes ")[1]))
    assert ratio < 1 and gives / needs == approx(ratio, rel=1e-3)


def test_a_fan_that_cannot_govern():
    machine = layshaft.apply(HARBOUR.machine, {"set": {"loads.fan.governs": "spindle", "loads.fan.governed speed": "30 rpm",
                                                       "drives.weight.mass": "20 kg"}, "remove": ["loads.fan.trim"]})
    with pytest.raises(BadInput, match=r"loads.fan cannot hold spindle at 30\.00 rev/min"):
        motion_of(layshaft.solve(machine), PLAIN)


def test_a_pulse_larger_than_what_is_stored_stops_it():
    # little at rest, since a light pulse train at first; a heavier one engages later
    text = FREE.replace("brake: {at: 90 mm}", "brake: {at: 90 mm}, cam: {at: 120 mm}") + FAN + (
        "  cam: {kind: pulses, shaft: drum, seat: cam, per turn: 1, energy: 80 J, over: 60 deg, break away: 1}\n")
    r = motion_of(solved(text), Programme("drum", time=60.0, changes=(
        Change("light", 0.0, NEVER, frozenset({"cam"})), Change("all", 2.0, NEVER, frozenset()))))
    assert r.course.ended == "it stops" and "in a lift of cam" in r.stopped and "80.00 J" in r.stopped


def test_an_interrupt_keeps_what_is_done():
    def told(time):
        if time > 500:
            raise KeyboardInterrupt

    r = motion_of(HARBOUR, told=told)
    assert r.broken_off and 0 < r.course.motion.time[-1] < 2700 and r.books.open < 1e-6


def test_bouts_that_cannot_be():
    def run(change):
        return programme_of(layshaft.solve(layshaft.apply(HARBOUR.machine, change)))

    with pytest.raises(BadInput, match=r"programme.winding.first.force: 10.00 N does not turn crank"):
        run({"set": {"programme.winding.first.force": "10 N"}})
    weak = run({"set": {"programme.winding.first.force": "42 N"}})
    assert weak.bouts[0].ramp > run({}).bouts[1].ramp / 1e3
    with pytest.raises(BadInput, match=r"programme.acts.mist again.turns of: 'wind' does not turn with 'main'"):
        run({"set": {"programme.acts.mist again.turns of": "wind"}})
