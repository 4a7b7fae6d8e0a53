"""A loss followed over time: beside closed forms and a general integrator (scipy). The machines are invented."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

import layshaft
from closed_form.small_train import FAN, LEVEL, WHEEL, machine
from closed_form.test_run_away import BEFORE, LINK, STOP, hoist
from layshaft.machine.options import apply
from layshaft.trace.errors import BadInput
from layshaft.train.motion.runaway import AT_ONCE, HELD, STANDS, landing, run_away, wound_too_far
from layshaft.train.runaway.freed import freed
from layshaft.train.runaway.losses import loss_named
from layshaft.train.solve import solve

EXAMPLES = Path(__file__).parents[2] / "examples"
G, M, R, DROP = 9.81, 40.0, 0.1, 2.0
REST = "{kind: steady, shaft: second, seat: hold, torque: 3 N m, break away: 1, inertia: 0.2 kg m2}"


def lost(read, name):
    solved = solve(read)
    return run_away(solved, loss_named(solved, name))


def test_both_sides_of_a_parted_coupling():
    """The weight and its wheel speed up evenly; fan and load run down as tan, by hand."""
    r = lost(machine({"link": LINK}, {"fan": FAN, "rest": REST, "wheel": BEFORE}), "link")
    away, down = r.parts
    begins = ((M * G * R - 3.0) / 0.05) ** 0.5
    J = M * R**2 + 2.0
    a = M * G * R / J
    assert away.fastest == approx((begins**2 + 2 * a * DROP / R) ** 0.5, rel=1e-12)
    assert away.landed == approx((away.fastest - begins) / a, rel=1e-9)
    times = np.array([0.0, 0.3, 0.9]) * away.landed
    assert away.speed(times) == approx(begins + a * times, rel=1e-9)
    b = (3.0 / 0.05) ** 0.5  # speed at which the fan is as strong as the load
    assert down.ended == STANDS
    assert down.lasts == approx(0.3 / (0.05 * b) * np.arctan(begins / b), rel=1e-9)
    assert down.stored(down.begins) == approx({"fan": 0.05 * begins**2, "rest": 0.1 * begins**2})


def test_run_up_to_a_terminal_speed_is_a_tanh():
    """The load is lost and the fan alone is left: omega_e tanh, begun at the running speed."""
    read = apply(machine({"link": LINK}, {"fan": FAN, "rest": REST}), {"set": {"loads.rest.torque": "30 N m"}})
    [part] = lost(read, "rest").parts
    end, begins = (M * G * R / 0.05) ** 0.5, ((M * G * R - 30.0) / 0.05) ** 0.5
    J = M * R**2 + 0.1
    t = np.linspace(0.0, 0.9 * part.landed, 7)
    assert part.speed(t) == approx(end * np.tanh(np.arctanh(begins / end) + 0.05 * end / J * t), rel=1e-9)


def test_linear_brake_losses_and_drag_beside_a_general_integrator():
    """An eddy brake stays behind a lossy coupling with drag in a bearing; the fan is lost."""
    eddy = "{kind: eddy brake, shaft: second, seat: hold, constant: 0.4 N m s, critical speed: 9000 rpm, inertia: 0.5 kg m2}"
    read = apply(machine({"link": LINK.replace("efficiency: 1", "efficiency: 0.9")}, {"fan": FAN, "eddy": eddy}),
                 {"set": {"shafts.second.seats.left bearing.drag": "0.5 N m"}})
    r = lost(read, "loads.fan")
    [part] = r.parts

    def motion(_, y):
        return [y[1], (M * G * R - (0.5 + 0.4 * y[1]) / 0.9) / (M * R**2 + 0.5 / 0.9)]

    def down(_, y):
        return y[0] - DROP / R

    down.terminal = True
    fallen = solve_ivp(motion, (0, 60), [0.0, part.begins], events=down, rtol=1e-12, atol=1e-12)
    assert part.hits == approx(fallen.y[1, -1], rel=1e-8)
    assert part.landed == approx(fallen.t[-1], rel=1e-8)
    bound = {f.loss.path: f for f in freed(r.solved)}["loads.fan"].fastest  # in closed form it is only capped
    assert part.fastest <= float(np.mean(bound)) * (1 + 1e-12)


@pytest.mark.parametrize("example", ["harbour-light", "mill-hoist"])
def test_the_quick_answer_is_the_followed_one(example):
    """Every loss of an example: what a check reckons in closed form beside the stepped run, to its tenth per mille."""
    solved = layshaft.solve(layshaft.read(EXAMPLES / example))
    found = freed(solved)
    assert len(found) > 10
    for f in found:
        part = next(p for p in run_away(solved, f.loss).parts if p.freed is not None)
        assert part.fastest * part.ratio[f.start] == approx(float(np.mean(f.fastest)), rel=1e-4, abs=1e-12), f.loss.path
        assert (part.ended == HELD) == bool(f.holders)


def test_what_is_held_and_what_stands_at_once():
    assert [p.ended for p in lost(hoist({"stop": STOP}), "crank").parts] == [HELD]
    bare = lost(machine({"link": LINK}, {"fan": FAN.replace("0.1 kg", "0 kg")}), "link").parts
    assert [p.ended for p in bare if p.freed is None] == [AT_ONCE]
    assert bare[1].speed(np.array([0.0, 0.1])) == approx([bare[1].begins, 0.0])


def test_a_landing_by_hand():
    """A sack on a loose drum: sqrt(2 g h); what turns with it runs on against 3 N m."""
    r = lost(machine({"link": LINK}, {"rest": REST, "fan": FAN}), "fan")
    [part] = r.parts
    d = landing(r.solved, part)
    v = part.hits * R
    assert (d.speed, d.energy, d.falls) == approx((v, M * v**2 / 2, v**2 / 2 / G))
    assert d.lasts == approx(0.2 * part.hits / 3.0, rel=1e-9)
    assert d.slack == approx(R * part.hits**2 * 0.2 / 2 / 3.0, rel=1e-9)


def test_a_weight_that_comes_off_falls_free():
    r = lost(machine({"link": LINK}, {"fan": FAN, "wheel": WHEEL}), "weight")
    v, energy = r.falls
    assert (v, energy) == approx(((2 * G * DROP) ** 0.5, M * G * DROP))
    [part] = r.parts
    assert part.freed is None and part.begins == approx((M * G * R / 0.05) ** 0.5)


def test_a_counterweight_wound_too_far():
    """Harbour Light: crank 30 rev/min, 19 : 25 teeth, 17 teeth of half an inch on the winding wheel, half that speed."""
    solved = layshaft.solve(layshaft.read(EXAMPLES / "harbour-light"))
    [one] = wound_too_far(solved)
    v = 0.5 * 19 / 25 * np.pi * (0.0127 / np.sin(np.pi / 17)) / 2
    assert (one.speed, one.energy) == approx((v, 8.0 * v**2 / 2))


def test_a_seat_or_a_shaft_loses_what_sits_on_it():
    read = machine({"link": LINK}, {"fan": FAN, "rest": REST})
    for name in ("shafts.second.seats.in", "shafts.first.seats.out"):
        assert [set(p.ratio) for p in lost(read, name).parts] == [{"first"}, {"second"}]
    assert lost(read, "shafts.second").loss.off == {"fan", "rest"}
    hung = lost(read, "shafts.first.seats.in")
    assert hung.loss.weight == "weight"


@pytest.mark.parametrize(("name", "said"), [
    ("links", "Did you mean"), ("shafts.first.seats.left bearing", "Nothing that passes a torque"), ("", "no stage")])
def test_what_cannot_be_lost_is_said(name, said):
    with pytest.raises(BadInput, match=said):
        lost(machine({"link": LINK}, {"fan": FAN}), name)


def test_a_train_without_a_weight_cannot_run_away():
    driven = machine({"link": f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"}, {"rest": REST},
                     drive="motor")
    with pytest.raises(BadInput, match="nothing runs away"):
        lost(driven, "link")
