"""Sizing answers against a general integrator, closed forms, and the checks of the machine they are applied to."""

import json
import math
import re
from pathlib import Path

import numpy as np
import pytest
import yaml
from pytest import approx
from scipy.integrate import solve_ivp
from typer.testing import CliRunner

import layshaft
from closed_form import small_train
from layshaft.faces.cli import app
from layshaft.faces.sizing import flow, sizing_text
from layshaft.mechanics import sizing
from layshaft.study.steady import sized, trains
from layshaft.study.trial import merged, rounded_up, shape_of, swing_of, written
from layshaft.study.wheels import wheels
from layshaft.train.motion.reduced import reduce
from layshaft.train.motion.steady import closing, repeating, steady
from layshaft.train.swing import within_a_turn

EXAMPLES = Path(__file__).parents[2] / "examples"
LIGHT = layshaft.read(EXAMPLES / "harbour-light")
LESS = 0.98
RPM = 2 * np.pi / 60


def scaled(option, path, by=LESS):
    """The option with one number of it made smaller."""
    number, unit = re.match(r"(\S+) ?(.*)", option["set"][path]).groups()
    return merged(option, {"set": {path: f"{float(number) * by:.9g} {unit}".strip()}})


def finding(machine, mode):
    found = [f for f in layshaft.rate(layshaft.solve(machine)).findings if mode in f.mode]
    assert found
    return min(found, key=lambda f: f.margin)


def pressed(energy="20 J", over="60 deg", more=(), teeth="[19, 57]", loose=False):
    """A weight drives a slow shaft, a chain a faster one with the fan; a cam lifts on the slow one."""
    stages = {"chain": f"{{kind: roller chain, from: first, to: second, seats: [out, in], chain: 08B-1, teeth: {teeth}, "
                       "centres: 500 mm, line: 0 deg, efficiency: 1, break away: 1, connecting link: press fit, "
                       "lubrication: manual}"}
    loads = {"cam": f"{{kind: pulses, shaft: first, seat: hold, per turn: 2, energy: {energy}, over: {over}, "
                    "break away: 1}", "fan": small_train.FAN.replace("0.05 N m s2", "9 N m s2"), **dict(more)}
    if loose:
        stages = {"hub": "{kind: one-way hub, from: first, to: second, seats: [out, in], efficiency: 1, break away: 1}"}
    return small_train.machine(stages, loads)


def only(machine, swing=math.nan):
    """The one train; with `swing` its pulses alone, else the want of the file: links, teeth and runout count too."""
    (found,) = sized(machine, swing)
    return found


def pulses_of(machine):
    solved = layshaft.solve(machine)
    return float(within_a_turn(solved, next(iter(solved.roles)))[0])


def pulsing(machine):
    """The swing of the pulses alone, by check and by cycle."""
    return swing_of(next(iter(trains(layshaft.solve(machine)))))


FOUND, ALONE = only(LIGHT), only(LIGHT, 0.05)


# An answer, applied, meets what is wanted; two per cent less does not ------------------------------


def test_a_spread_lift_meets_the_want_and_a_shorter_one_does_not():
    (s,) = FOUND.spreads
    (path,) = s.option["set"]
    assert finding(layshaft.apply(LIGHT, s.option), "within a turn").margin >= 1
    assert finding(layshaft.apply(LIGHT, scaled(s.option, path)), "within a turn").margin < 1


def sizes_of(wheel):
    """The option as changes of one load, and the same with two per cent less inertia."""
    if "set" in wheel.option:
        path = next(p for p in wheel.option["set"] if p.endswith("inertia"))
        return wheel.option, scaled(wheel.option, path)
    less = json.loads(json.dumps(wheel.option))
    load = next(v for k, v in less["add"].items() if k.startswith("loads."))
    load["inertia"] = f"{float(load['inertia'].split()[0]) * LESS:.9g} kg m2"
    return wheel.option, less


@pytest.mark.parametrize("place", range(9))
def test_a_wheel_on_any_shaft_meets_the_want_and_a_smaller_one_does_not(place):
    if FOUND.wheels.found[place].why_not:
        assert "no wheel on it brings the swing down" in FOUND.wheels.found[place].why_not
        return
    enough, less = sizes_of(FOUND.wheels.found[place])
    assert finding(layshaft.apply(LIGHT, enough), "within a turn").margin >= 1
    small = next(iter(trains(layshaft.solve(layshaft.apply(LIGHT, less)))))
    assert swing_of(small) + shape_of(small) > 0.05


def test_a_wheel_is_sized_for_what_the_train_makes_with_it_on():
    """Here the train makes less of its own errors with a wheel than without."""
    fast = layshaft.apply(LIGHT, {"set": {"loads.fan.trim": "20 %"}})
    (train,) = trains(layshaft.solve(fast))
    found = wheels(train, 0.02)
    enough, less = sizes_of(found.found[0])
    assert finding(layshaft.apply(fast, enough), "within a turn").margin >= 1
    assert finding(layshaft.apply(fast, less), "within a turn").margin < 1


def test_for_the_pulses_alone_the_wheel_is_smaller():
    best = ALONE.wheels.found[0]
    assert best.inertia == approx(0.054, rel=0.01) and best.swing_then <= 0.05
    assert pulsing(layshaft.apply(LIGHT, sizes_of(best)[1])) > 0.05
    assert FOUND.shape == approx(0.0488, abs=0.0001) and FOUND.train.swing == approx(0.05 - FOUND.shape, rel=1e-4)


def test_the_lightest_wheel_is_on_the_fastest_shaft():
    best, *others = ALONE.wheels.found
    assert best.ratio == max(ALONE.train.ratio(s) for s in ALONE.train.role.set.shafts)
    assert all(best.mass <= w.mass * 1.001 for w in others)
    assert best.mass == approx(7850 * np.pi / 4 * best.diameter**2 * 0.02, rel=1e-6)
    assert all(w.energy == approx(best.energy, rel=0.12) for w in others), "wherever it is, much the same energy"


def test_each_governor_holds_the_wanted_speed_and_a_weaker_one_does_not():
    assert len(FOUND.governors) == 2
    for g in FOUND.governors:
        speed = np.abs(layshaft.solve(layshaft.apply(LIGHT, g.option)).speed["spindle"][0])
        assert speed == approx(1 * RPM, rel=2e-6) and g.then == approx(1 * RPM, rel=2e-6)
    fan = FOUND.governors[0].option
    weaker = layshaft.solve(layshaft.apply(LIGHT, scaled(fan, "loads.fan.trim")))
    assert np.abs(weaker.speed["spindle"][0]) > 1.005 * RPM


def test_a_tenth_more_torque_or_denser_air_is_what_the_machine_itself_answers():
    fan = FOUND.governors[0]
    governed = layshaft.apply(LIGHT, fan.option)
    air = layshaft.apply(governed, {"set": {"loads.fan.trim": f"{1.1 * float(fan.option['set']['loads.fan.trim'])}"}})
    assert np.abs(layshaft.solve(air).speed["spindle"][0]) == approx((1 + fan.denser) * RPM, rel=1e-5)
    heavy = layshaft.apply(governed, {"set": {"drives.weight.mass": "105.6 kg", "drives.weight.counterweight": "8.8 kg"}})
    assert np.abs(layshaft.solve(heavy).speed["spindle"][0]) == approx((1 + fan.more_torque) * RPM, rel=1e-5)


def test_the_least_weight_meets_every_want_and_a_lighter_one_does_not():
    w = FOUND.weight
    then = layshaft.apply(LIGHT, w.option)
    for mode in ("start of weight", "mean speed of spindle", "running time of one drop"):
        f = finding(then, mode)
        assert f.margin >= f.required, mode
    f = finding(layshaft.apply(LIGHT, scaled(w.option, "drives.weight.mass")), "start of weight")
    assert f.margin < f.required and "start ratio" in w.decides
    assert float(w.sheet["m_w"].value) == approx(w.mass, rel=1e-3), "closed form and solved samples agree"


def test_the_drop_lasts_as_long_as_is_wanted():
    longer = layshaft.apply(LIGHT, {"set": {"wants.winding.time per winding": "9 min"}})
    w = only(longer).weight
    assert w.drop > w.drop_now and "drives.weight.drop" in w.option["set"]
    assert finding(layshaft.apply(longer, w.option), "running time").margin >= 1
    assert finding(layshaft.apply(longer, scaled(w.option, "drives.weight.drop")), "running time").margin < 1


# Against other ways of reckoning -------------------------------------------------------------------


def test_the_swing_with_the_wheel_is_that_of_a_general_integrator():
    """J d omega/dt = T - lift - k omega^2 seen from the slow shaft, many turns, by a general library."""
    machine = pressed()
    found = only(machine, 0.08)
    wheel = next(w for w in found.wheels.found if w.shaft == "second")
    i, E, over, pitch = 19 / 57, 20.0, np.deg2rad(60), np.pi
    drum = 40 * 9.81 * 0.1
    J = 40 * 0.1**2 + (0.1 + wheel.inertia) * i**2
    k = 9 * i**3

    def motion(t, y):
        lift = E / over if y[0] % pitch < over else 0.0
        return [y[1], (drum - lift - k * y[1] ** 2) / J]

    edges = [lambda t, y: math.sin(y[0]), lambda t, y: math.sin(y[0] - over)]
    run = solve_ivp(motion, (0, 60), [0.01, found.train.speed], rtol=1e-9, atol=1e-10, max_step=0.01, events=edges)
    late = run.t > 40
    omega, t, phi = run.y[1][late], run.t[late], run.y[0][late]
    swing = (omega.max() - omega.min()) / ((phi[-1] - phi[0]) / (t[-1] - t[0]))
    assert swing <= found.train.swing * 1.002
    assert swing == approx(found.train.swing, rel=0.05)  # the check reckons with the torque at the mean speed


def test_closed_form_of_the_sheet_is_near_the_cycle():
    found = only(pressed(), 0.02)
    best = found.wheels.found[0]
    assert float(best.sheet["J_x"].value) == approx(best.inertia, rel=0.05)
    (s,) = found.spreads
    assert float(s.sheet["phi_w"].value) == approx(s.angle, rel=0.02)


@pytest.mark.parametrize(("energy", "over", "want", "teeth"), [
    ("4 J", "25 deg", 0.03, "[19, 57]"), ("9 J", "100 deg", 0.01, "[57, 19]"), ("30 J", "150 deg", 0.005, "[23, 23]"),
    ("20 J", "40 deg", 0.2, "[40, 17]")])
def test_any_machine_with_its_wheel_or_its_spread_lift_swings_no_more_than_wanted(energy, over, want, teeth):
    machine = pressed(energy, over, teeth=teeth)
    found = only(machine, want)
    for option in [*(w.option for w in found.wheels.found), *(s.option for s in found.spreads if s.option)]:
        then = layshaft.apply(machine, option)
        assert pulses_of(then) <= want and only(then, want).swing <= want


def test_a_wheel_that_runs_on_behind_a_one_way_hub_gives_nothing_back():
    found = only(pressed(loose=True), 0.08)
    assert "runs on behind hub" in next(w for w in found.wheels.found if w.shaft == "second").why_not
    assert found.wheels.found[0].shaft == "first"


def test_a_cam_that_is_drawn_gets_its_wheel_too():
    drawn = layshaft.apply(LIGHT, LIGHT.options["drawn cam"])
    found = only(drawn, 0.05)
    assert not found.spreads
    enough, less = sizes_of(found.wheels.found[0])
    assert pulsing(layshaft.apply(drawn, enough)) <= 0.05 < pulsing(layshaft.apply(drawn, less))
    assert "is drawn point by point" in sizing_text(drawn, [found], sheets=False)


def test_half_the_wheel_is_one_option_away():
    best = ALONE.wheels.found[0]
    half = pulsing(layshaft.apply(LIGHT, scaled(best.option, "loads.flywheel.inertia", 0.5)))
    assert half == approx(best.half, rel=1e-9) and best.half > 0.05


def test_a_cycle_that_crosses_into_other_laws_is_found_by_the_secant():
    """Against running on for hundreds of cycles, and against the closed form where one law holds all through."""
    for flywheel in ("0.3 kg m2", "0.01 kg m2", "0.0002 kg m2"):
        r = reduce(layshaft.solve(layshaft.apply(LIGHT, {"set": {"loads.flywheel.inertia": flywheel}})), "main")
        found, once, long = closing(r), repeating(r), steady(r)
        for one in ("mean", "low", "high"):
            assert getattr(found, one) == approx(getattr(long, one), rel=1e-9)
            assert math.isnan(once.mean) or getattr(found, one) == approx(getattr(once, one), rel=1e-12)


def test_teeth_and_links_that_make_too_much_by_themselves():
    strict = layshaft.apply(LIGHT, {"set": {"wants.lens speed.within a turn": "3 %"}})
    found = only(strict)
    assert found.shape > 0.03 and found.train.swing == 0.03
    assert "no lift and no wheel mends" in sizing_text(strict, [found], sheets=False)


# What cannot be reached ----------------------------------------------------------------------------


def test_a_weight_too_light_says_by_how_much():
    text = sizing_text(LIGHT, sized(layshaft.apply(LIGHT, {"set": {"drives.weight.mass": "40 kg"}})), sheets=False)
    assert "does not start" in text and "are short" in text and "does not run" in text
    assert "114.6 kg, now 40.00 kg" in text


def test_a_governor_that_cannot_be_reached():
    found = only(layshaft.apply(LIGHT, {"set": {"wants.lens speed.speed": "3 rpm", "loads.hammer cam.energy": "20 J"}}))
    assert all("No brake on fan can hold spindle at 3.000 rev/min" in g.short and "are short" in g.short
               for g in found.governors)


def test_a_pulse_larger_than_what_is_stored():
    found = only(pressed(energy="150 J", over="60 deg"), 0.08)
    assert any("does not run" in n for n in found.notes)
    found = only(pressed(energy="60 J", over="60 deg"), 0.08)
    assert any("It stops in a lift of cam: the lift asks 60.00 J" in n for n in found.notes)
    assert found.wheels.needed and found.wheels.found[0].swing_then <= 0.08


def test_what_is_not_known_is_not_sized():
    found = only(layshaft.apply(LIGHT, {"remove": ["loads.fan.inertia"]}))
    assert math.isnan(found.swing) and math.isnan(found.wheels.without) and not found.wheels.found
    assert "not known well enough" in found.spreads[0].short


def test_without_a_brake_the_governor_comes_first():
    found = only(layshaft.apply(LIGHT, {"remove": ["loads.fan"]}))
    assert "A governor comes first" in found.notes[-1] and found.wheels is None
    for g in found.governors:
        assert g.shaft in ("fan", "fan pinion")
        speed = np.abs(layshaft.solve(layshaft.apply(LIGHT, merged({"remove": ["loads.fan"]}, g.option))).speed["spindle"][0])
        assert speed == approx(RPM, rel=1e-5)


def test_another_lift_that_keeps_the_swing_up():
    other = {"second cam": "{kind: pulses, shaft: first, seat: extra, per turn: 2, energy: 30 J, over: 70 deg, "
                           "break away: 1}"}
    found = only(pressed(energy="3 J", more=other), 0.01)
    first = next(s for s in found.spreads if s.load == "cam")
    assert "the other lifts alone make that much" in first.short and not first.option


def test_no_wheel_where_none_is_needed():
    found = only(LIGHT, 0.5)
    assert not found.wheels.needed and found.wheels.option == {"remove": ["loads.flywheel"]}
    assert found.wheels.without < 0.5


def test_nothing_evens_out_what_a_crank_drives_without_a_mass():
    pump = layshaft.read(EXAMPLES / "village-pump")
    found = only(pump)
    assert math.isinf(found.wheels.without) and found.weight is None and not found.governors
    enough, less = sizes_of(found.wheels.found[0])
    assert finding(layshaft.apply(pump, enough), "within a turn").margin >= 1
    assert finding(layshaft.apply(pump, less), "within a turn").margin < 1


# Sheets, text, data --------------------------------------------------------------------------------


def test_sheets_leave_nothing_unexplained():
    sheets = [FOUND.spreads[0].sheet, FOUND.weight.sheet, *(g.sheet for g in FOUND.governors),
              *(w.sheet for w in FOUND.wheels.found if not w.why_not)]
    assert all(not sheet.untraced and sheet.steps for sheet in sheets)
    assert float(FOUND.governors[0].sheet["e_m"].value) == approx(math.sqrt(1.1) - 1)
    assert float(FOUND.governors[1].sheet["e_m"].value) == approx(0.1)


def test_options_of_the_text_can_be_pasted_into_the_file():
    text = sizing_text(LIGHT, [FOUND], sheets=False)
    block = text.split("--option 'eddy brake on fan':\n", 1)[1].split("\n\n", 1)[0]
    option = yaml.safe_load(block)["eddy brake on fan"]
    machine = layshaft.apply(LIGHT, option)
    assert np.abs(layshaft.solve(machine).speed["spindle"][0]) == approx(RPM, rel=1e-5)
    assert flow({"a": {"b": "x, y"}}) == '{a: {b: "x, y"}}'


def test_numbers_are_rounded_up():
    assert rounded_up(0.0123412) == approx(0.01235) and rounded_up(1.0) == 1.0 and rounded_up(123456.0) == 123500.0
    assert written(0.00001234, "kg m2") == "0.00001234 kg m2" and written(2.0, "") == "2"


def test_the_command():
    run = CliRunner().invoke(app, ["steady", str(EXAMPLES / "harbour-light"), "--sheets", "--swing", "2 %"])
    assert run.exit_code == 0, run.output
    for words in ("SPREAD THE LIFT OF HAMMER CAM", "SMALLEST FLYWHEEL", "GOVERNOR", "LEAST WEIGHT", "2.00 % is wanted", "asked of the pulses alone",
                  "energy the turning masses give over one lift", "guard the one"):
        assert words in run.output
    data = json.loads(CliRunner().invoke(app, ["steady", str(EXAMPLES / "harbour-light"), "--json"]).stdout)
    assert data[0]["weight"]["mass"] == approx(114.6)
    assert data[0]["lifts"][0]["sheet"]["steps"]
    assert "nothing to size" in CliRunner().invoke(app, ["steady", str(EXAMPLES / "cider-mill")]).output


@pytest.mark.parametrize("words", [["--swing", "-3 %"], ["--swing", "3"], ["--thickness", "0 mm"]])
def test_what_is_no_swing_or_thickness(words):
    run = CliRunner().invoke(app, ["steady", str(EXAMPLES / "harbour-light"), *words])
    assert "write a" in str(run.exception)


def test_a_short_lift_by_hand():
    assert sizing.short_in_a_lift(20.0, 5.0, 1.0, 3.0) == approx(12.0)
