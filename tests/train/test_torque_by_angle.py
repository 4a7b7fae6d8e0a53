"""Torques by angle in a train: against a general integrator (scipy) on the torque that is meant, and closed forms."""

from dataclasses import astuple
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

import layshaft
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read, read_text
from layshaft.train.by_angle import pieces_of
from layshaft.train.motion import reduced
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.reduced import reduce
from layshaft.train.motion.results import motion_of
from layshaft.train.motion.run import Act, simulate
from layshaft.train.swing import within_a_turn
from layshaft.train.torsion.answer import torsion
from layshaft.verdict.lacking import lacking

TRAIN = """layshaft: 1
name: Loads by angle
gravity: 10 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  drum: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {
    left: {at: 0 mm, bearing: open, drag: 0 N m, break away: 1}, drum: {at: 10 mm}, wheel: {at: 50 mm}, fan: {at: 90 mm},
    one: {at: 120 mm}, two: {at: 150 mm}, three: {at: 170 mm},
    right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: 8 kg, drop: 500 m, diameter: 200 mm,
           seat: drum}
loads:
  wheel: {kind: flywheel, shaft: drum, inertia: 0.42 kg m2}
  fan: {kind: fan brake, shaft: drum, constant: 0.04 N m s2, inertia: 0 kg m2}
"""  # 8 N m of pull on 0.42 + 8 x 0.1^2 = 0.5 kg m2
J, PULL, FAN = 0.5, 8.0, 0.04
SINE = "T = 3 + 4 sin(2 phi)"


def points(count, torque):
    phi = np.linspace(0, 360, count, endpoint=False)
    return "[" + ", ".join(f"[{a:.10g} deg, {torque(np.radians(a)):.12g} N m]" for a in phi) + "]"


def one(rest, seat="one", kind="torque by angle"):
    return f"  {seat}: {{kind: {kind}, shaft: drum, seat: {seat}, break away: 1, {rest}}}\n"


def sine(phi):
    return 3 + 4 * np.sin(2 * phi)


def solved(*loads):
    return layshaft.solve(read_text(TRAIN + "".join(loads)))


def integrated(torque, until, start=0.0, steps=()):
    """Angle and speed under a torque by angle, each of its steps (angles of a turn) located by an event."""
    def balance(_, z):
        return [z[1], (PULL - FAN * z[1] ** 2 - torque(z[0])) / J]

    t, z = 0.0, [0.0, start]
    while t < until:
        ends = [s + 2 * np.pi * np.ceil((z[0] - s) / (2 * np.pi) + 1e-9) for s in steps]
        edge = min(ends, default=np.inf)

        def reached(_, y, edge=edge):
            return y[0] - edge if np.isfinite(edge) else 1.0

        reached.terminal, reached.direction = True, 1
        s = solve_ivp(balance, (t, until), z, events=reached, rtol=1e-11, atol=1e-12)
        t, z = s.t[-1], [edge + 1e-13 if s.status == 1 else s.y[0, -1], s.y[1, -1]]
    return z


def test_a_sine_converges_to_a_general_integrator(monkeypatch):
    """Twice as many pieces, a quarter of the error; with the 96 of a run some 1e-6 of the angle in 20 s."""
    machine = solved(one(f"points: {points(2880, sine)}"))
    angle, omega = integrated(sine, 20.0, start=10.0)
    error = []
    for count in (24, 48, 96):
        monkeypatch.setattr(reduced, "pieces_of", partial(pieces_of, count=count))
        monkeypatch.setattr("layshaft.train.by_angle._steps", lambda first, last, most: np.zeros(0, int))
        found = simulate(machine, "drum", [Act(20.0)], start=10.0)
        error.append(abs(found.angle[-1] / angle - 1))
        assert found.omega[-1] == approx(omega, rel=3e-3 * (24 / count) ** 2)
    assert error[0] / error[1] == approx(4, rel=0.3) and error[1] / error[2] == approx(4, rel=0.3)
    assert error[2] < 3e-6


def test_at_the_edges_of_pieces_only_the_fan_knows_a_difference():
    """Without a fan the energy at every edge is that of the integral, to the last digit."""
    plain = TRAIN.replace("constant: 0.04 N m s2", "constant: 1e-12 N m s2")
    machine = layshaft.solve(read_text(plain + one("points: [[0 deg, 2 N m], [90 deg, 9 N m], [90 deg, -1 N m]]")))
    found = simulate(machine, "drum", [Act(3.0)], start=5.0)
    knots, torque = np.radians([0, 90, 90, 360]), np.array([2.0, 9.0, -1.0, 2.0])
    turn = np.mod(found.angle, 2 * np.pi)
    first = np.where(turn < np.pi / 2, turn * 2 + 7 / (np.pi / 2) * turn**2 / 2, 0)
    x = turn - np.pi / 2
    done = np.where(turn < np.pi / 2, first, 5.5 * np.pi / 2 - x + 3 / (1.5 * np.pi) * x**2 / 2)
    whole = 5.5 * np.pi / 2 + (-1 + 2) / 2 * 1.5 * np.pi
    assert whole == approx(np.trapezoid(torque, knots))
    work = PULL * found.angle - np.floor(found.angle / (2 * np.pi)) * whole - done
    assert found.omega[:-1] ** 2 == approx(25 + 2 * work[:-1] / J, rel=1e-6)


@pytest.mark.parametrize("free", [False, True])
def test_a_cam_against_a_general_integrator(free):
    """6 kg on a spring of 1 N/mm, lifted 50 mm in 120 deg and let down in 60 deg: scipy from corner to corner."""
    lift = "lift: [[20 deg, 0 mm], [140 deg, 50 mm], [200 deg, 0 mm]], mass: 6 kg, spring rate: 1 N/mm"
    machine = solved(one(lift + (", falls free: yes" if free else ""), kind="cam"))

    def torque(phi):
        turn = np.degrees(np.mod(phi, 2 * np.pi))
        h = np.interp(turn, [20, 140, 200], [0, 0.05, 0])
        slope = 0.05 / np.radians(120) if 20 <= turn < 140 else -0.05 / np.radians(60) if 140 <= turn < 200 else 0.0
        return (60 + 1000 * h) * (slope if not free else max(slope, 0.0))

    angle, omega = integrated(torque, 15.0, steps=np.radians([20.0, 140.0, 200.0]))
    found = simulate(machine, "drum", [Act(15.0)])
    assert (found.angle[-1], found.omega[-1]) == (approx(angle, rel=2e-6), approx(omega, rel=2e-4))


def test_several_at_once_cost_the_pieces_they_meet_and_no_product():
    """Two tables and pulses that never come round together, against the integrator; then seven of them."""
    def other(phi):
        return 1 + np.cos(3 * phi)

    machine = solved(one(f"points: {points(1440, sine)}"), one(f"points: {points(1440, other)}", "two"),
                     one("per turn: 5, energy: 0.8 J, over: 20 deg", "three", "pulses"))

    def torque(phi):
        return sine(phi) + other(phi) + (0.8 / np.radians(20) if np.mod(phi, 2 * np.pi / 5) < np.radians(20) else 0.0)

    steps = [np.radians(72 * i + d) for i in range(5) for d in (0, 20)]
    angle, omega = integrated(torque, 6.0, start=9.0, steps=steps)
    found = simulate(machine, "drum", [Act(6.0)], start=9.0)
    assert (found.angle[-1], found.omega[-1]) == (approx(angle, rel=1e-5), approx(omega, rel=3e-4))
    seats = "".join(f"s{i}: {{at: {210 + 5 * i} mm}}, " for i in range(7))
    text = TRAIN.replace("    one: {at", "    " + seats + "one: {at")
    text += "".join(one(f"per turn: {i + 3}, points: [[0 deg, 0 N m], [7 deg, 0.9 N m], [21 deg, 0 N m]]", f"s{i}")
                    for i in range(7))
    machine = layshaft.solve(read_text(text))
    found = simulate(machine, "drum", [Act(30.0)], start=9.0)
    assert found.ended == "the time is over" and len(reduce(machine, "drum").bands) == 2
    assert len(found.parts) < 7 * 200 * 12  # 100 pieces each: 1e14 products


def test_cases_take_mean_largest_and_smallest():
    machine = solved(one("points: [[0 deg, 1 N m], [180 deg, 5 N m]]").replace("break away: 1", "break away: 1.25"))
    titles = [c.title for c in machine.columns]
    at = {t: abs(float(machine.seat_torque["drum"]["one"][titles.index(t)][0])) for t in titles if "held" not in t}
    assert at["running mean"] == approx(3) and at["running peak, all lifts together"] == approx(5)
    assert at["running peak, all drops together"] == approx(1)
    assert at["starting from rest, worst position of every cam"] == approx(6.25)
    assert abs(machine.speed["drum"][0][0]) == approx(np.sqrt((PULL - 3) / FAN))
    found = simulate(machine, "drum", [Act(60.0)])
    assert found.ended == "the time is over"
    assert reduce(machine, "drum").at_rest == approx((PULL - 6.25) / J)


def test_swing_within_a_turn_is_that_of_a_run():
    """A triangle of 1 to 5 N m: energy swings by 1/2 x 2 N m x pi/2 twice; small beside what turns."""
    heavy = TRAIN.replace("inertia: 0.42", "inertia: 19.92")
    machine = layshaft.solve(read_text(heavy + one("points: [[0 deg, 1 N m], [180 deg, 5 N m]]")))
    closed = np.pi / (20 * (PULL - 3) / FAN)
    assert within_a_turn(machine, "drum")[0] == approx(closed, rel=1e-9)
    r = motion_of(machine, Programme("drum", time=1800.0))
    assert r.shafts[0].swing == approx(closed, rel=5e-3)
    assert any("one is taken as 95 pieces" in note for note in r.notes) and r.books.open < 1e-9


@pytest.fixture(scope="module")
def twice():
    """Harbour Light with its pulses, and with the same pulses as a table with steps."""
    machine, lift = read(Path(__file__).parents[2] / "examples/harbour-light"), float(6 / np.radians(80))
    rows = [["0 deg", f"{lift!r} N m"], ["80 deg", f"{lift!r} N m"], ["80 deg", "0 N m"], ["90 deg", "0 N m"]]
    other = layshaft.apply(machine, {"remove": ["loads.hammer cam.energy", "loads.hammer cam.over"],
                                     "set": {"loads.hammer cam.kind": "torque by angle"},
                                     "add": {"loads.hammer cam.points": rows}})
    return layshaft.solve(machine), layshaft.solve(other)


def test_pulses_written_as_a_table_are_the_same_machine(twice):
    pulses, points = twice
    for stage, (first, _) in pulses.stage_torque.items():
        assert points.stage_torque[stage][0] == approx(first, rel=1e-9, abs=1e-9, nan_ok=True)
    assert within_a_turn(points, "spindle") == approx(within_a_turn(pulses, "spindle"), rel=1e-12)
    one, two = (simulate(m, "main", [Act(1800.0)]) for m in twice)
    assert (one.angle[-1], one.omega[-1]) == (approx(two.angle[-1], rel=1e-10), approx(two.omega[-1], rel=1e-10))


def test_the_elastic_train_answers_a_table_as_it_does_pulses(twice):
    one, two = (torsion(m, over=20.0)[0] for m in twice)
    assert len(one.swings) > 5
    for mine, other in zip(one.swings, two.swings, strict=True):
        assert (other.below, other.above) == (approx(mine.below, rel=1e-6), approx(mine.above, rel=1e-6))
    for mine, other in zip(one.from_rest.peaks, two.from_rest.peaks, strict=True):
        assert astuple(other)[1:] == approx(astuple(mine)[1:], rel=1e-6)


def test_it_stops_in_what_it_cannot_get_over():
    text = TRAIN.replace("inertia: 0.42", "inertia: 0.02")
    with pytest.raises(layshaft.trace.errors.BadInput, match="will not start"):
        motion_of(layshaft.solve(read_text(text + one("points: [[0 deg, 0 N m], [180 deg, 12 N m]]"))), Programme("drum"))


def test_what_lacks_is_named():
    text = TRAIN + one("per turn: 2") + one("lift: [[0 deg, 0 mm], [9 deg, 1 mm]]", "two", "cam")
    assert lacking(layshaft.solve(read_text(text)), "drum", forces=False)[:2] == ["loads.one.points", "loads.two.mass"]


FROM = one("from: saw.csv")


@pytest.mark.parametrize(("csv", "says"), [
    ("angle in deg;torque in N m\n0;0,5\n90;3,25\n", ""),
    ("\ufeff# of an invented saw\nangle [deg],x,torque (N m)\n0,,0.5\n90,,3.25\n", ""),
    ("angle in turns\ttorque in N cm\n0\t50\n0,25\t325\n", ""),
    ("angle;torque\n0;1\n", "saw.csv:1:1: The first line should name the columns"),
    ("", "saw.csv:1:1: This table has no lines of numbers"),
    ("angle in deg;torque in N m\n", "saw.csv:1:1: This table has no lines of numbers"),
    ("angle in deg;torque in N m\n0;0,5\n90;hard\n", "saw.csv:3:2: 'hard' under 'torque' is no number"),
    ("angle in deg;torque in N m\n0;0.5.1\n", "saw.csv:2:2: '0.5.1' under 'torque' is no number"),
    ("angle in deg;torque in N m\n0;0,5\n90\n", "saw.csv:3:1: This line has nothing under 'torque'"),
    ("angle in deg;torque in kg\n0;1\n90;2\n", "saw.csv:2:1: loads.one.points[0][1]: '1 kg' is a mass"),
    ("angle in deg;torque in N m\n0;1\n90;2\n80;3\n", "saw.csv:4:1: loads.one.points: 80.00 deg comes after 90.00"),
    ("angle in deg;torque in N m\n0;1\n900;2\n", "saw.csv:3:1: loads.one.points go over 900.0 deg"),
    ("angle in deg;torque in N m\n0;1\n", "saw.csv:2:1: This table has 1 line of numbers; it needs 2"),
])
def test_a_table_beside_the_file(tmp_path, csv, says):
    (tmp_path / "machine.yaml").write_text(TRAIN + FROM, encoding="utf-8")
    (tmp_path / "saw.csv").write_text(csv, encoding="utf-8")
    if says:
        with pytest.raises(MachineErrors) as refused:
            read(tmp_path)
        assert says in str(refused.value)
    else:
        points = read(tmp_path).loads["one"].points
        assert [[v.nominal for v in row] for row in points] == [approx([0, 0.5]), approx([np.pi / 2, 3.25])]


@pytest.mark.parametrize(("load", "says"), [
    (one("from: ../saw.csv"), "is not the name of a file beside"), (one("from: saw.csv"), "there is no file 'saw.csv'"),
    (one("from: saw.csv, points: [[0 deg, 1 N m], [9 deg, 2 N m]]"), "gives 'points' and 'from'"),
    (one("points: [[0 deg, 1 N m], [0 deg, 2 N m]]"), "all stand at one angle"),
    (one("points: [[0 deg, 1 N m, 2], [9 deg, 2 N m]]"), "points[0]: a list of 2 belongs here"),
    (one("mass: 1 kg, lift: [[0 deg, 0 mm], [9 deg, 2 mm], [9 deg, 0 mm]]", kind="cam"), "drops at 9.000 deg at once"),
    (one("mass: 1 kg, lift: [[0 deg, 1 mm], [9 deg, 0 mm], [9 deg, 2 mm]]", kind="cam"), "rises at 9.000 deg at once"),
    (one("mass: 1 kg, lift: [[0 deg, 0 mm], [360 deg, 2 mm]]", kind="cam"), "drops at 360.0 deg at once"),
])
def test_what_cannot_be_is_refused(tmp_path, load, says):
    (tmp_path / "machine.yaml").write_text(TRAIN + load, encoding="utf-8")
    with pytest.raises(MachineErrors) as refused:
        read(tmp_path)
    assert says in str(refused.value) and "machine.yaml:" in str(refused.value)
