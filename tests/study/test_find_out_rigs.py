"""Try-out rigs: valid machine files, predictions against closed forms, readings beside them."""

import math
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine import MachineErrors
from layshaft.study.find_out.prediction import COLUMNS, as_csv, beside, predict, read_prediction, template
from layshaft.study.find_out.rig import BREAK_AWAY, KINDS, RUN_DOWN, draft, friction
from layshaft.trace.errors import BadInput

ROOT = Path(__file__).parents[2] / "examples"
LIGHT = layshaft.read(ROOT / "harbour-light")
PLAIN = {"remove": ["loads.fan"], "set": {"shafts.fan.seats.left bearing.drag": "0.005 N m",
                                          "shafts.fan.seats.right bearing.drag": "0.005 N m"}}


def drafted(shaft="fan", kind=RUN_DOWN, machine=LIGHT):
    return draft(machine, shaft, kind)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("example", ["harbour-light", "cider-mill", "corn-sheller", "sack-hoist", "village-mangle"])
def test_every_shaft_that_can_be_tried_gives_a_file_that_is_read_solved_and_rated(example, kind):
    machine, rigs, refused = layshaft.read(ROOT / example), {}, []
    for shaft in machine.shafts:
        try:
            rigs[shaft] = draft(machine, shaft, kind)
        except BadInput as why:
            refused.append(str(why))
    assert all("is not known" in why or "Nothing resists" in why for why in refused)
    assert rigs or example not in ("harbour-light", "cider-mill")
    for shaft, rig in rigs.items():
        again = layshaft.read_text(rig.text)
        assert layshaft.rate(layshaft.solve(again)).findings
        assert list(again.shafts) == [shaft]


def test_guesses_are_carried_over_with_their_spread_and_shared_as_before():
    rig = drafted().machine
    there = LIGHT.givens["shafts.fan.seats.left bearing.drag"]
    here = rig.givens["shafts.fan.seats.left bearing.drag"]
    assert (here.nominal, here.low, here.high, here.source) == (there.nominal, there.low, there.high, there.source)
    assert rig.givens["shafts.fan.seats.right bearing.drag"].cause == here.path
    assert rig.loads["flywheel"].inertia.nominal == LIGHT.loads["flywheel"].inertia.nominal


def test_a_run_down_is_foretold_as_the_closed_form_has_it():
    """Flywheel and two bearings alone: even speeding up, even slowing down (elementary dynamics)."""
    rig = drafted(machine=layshaft.apply(LIGHT, PLAIN))
    m, d, h = (getattr(rig.machine.drives["weight"], k).nominal for k in ("mass", "diameter", "drop"))
    shaft = 7850 * math.pi / 4 * 0.015**2 * 0.35 * 0.015**2 / 8
    J, T, g = 0.087 + shaft, 0.01, 9.81
    a = (m * g * d / 2 - T) / (J + m * d**2 / 4)
    phi = 2 * h / d
    omega = math.sqrt(2 * a * phi)
    told = {r.name: r.value for r in predict(rig).rows}
    assert told["time falling"] == approx(omega / a, rel=1e-4)
    assert told["turns falling"] == approx(phi / (2 * math.pi), rel=1e-6)
    assert told["time after"] == approx(J * omega / T, rel=1e-4)
    assert told["turns after"] == approx(J * omega**2 / (2 * T) / (2 * math.pi), rel=1e-4)


def test_a_break_away_is_foretold_by_hand():
    """Lens table on its track: two seals, 0.015 of 110 kg at 0.4 m, twice as much at rest; drum of 400 mm."""
    rig = drafted("spindle", BREAK_AWAY)
    rolls = 0.015 * 110 * 9.81 * 0.4
    d = rig.machine.drives["weight"].diameter.nominal
    starts, turns = (r.value for r in predict(rig).rows)
    assert starts == approx((2 * 0.03 + 2 * rolls) * 2 / (9.81 * d), rel=1e-9)
    assert turns == approx((2 * 0.03 + rolls) * 2 / (9.81 * d), rel=1e-9)


def test_the_spread_of_a_prediction_is_that_of_plain_random_draws():
    rig = drafted("spindle", BREAK_AWAY)
    starts = predict(rig).rows[0]
    many = layshaft.sample(rig.machine, 4000, 3)
    torque = sum(s.drag.value * s.break_away.value for s in many.shafts["spindle"].seats.values() if s.drag.known)
    table = many.loads["lens table"]
    torque = torque + table.rolling_coefficient.value * table.mass.value * 9.81 * 0.4 * table.break_away.value
    masses = 2 * torque / (9.81 * rig.machine.drives["weight"].diameter.nominal)
    low, high = np.quantile(masses, (0.02275, 0.97725))
    assert (starts.low, starts.high) == approx((low, high), rel=0.12)
    assert friction(rig.machine, "spindle", "at rest") == approx(float(np.mean(torque)), rel=0.2)


def written(tmp_path, rig, scale=1.0, scatter=(0.98, 1.0, 1.02)):
    told = predict(rig)
    (tmp_path / "prediction.csv").write_text(as_csv(told, "2026-11-20"), encoding="utf-8")
    lines = [",".join(f"{r.value * scale * s:.5f}" for r in told.rows) for s in scatter]
    place = tmp_path / "readings.csv"
    place.write_text(template(rig.kind) + "\n".join(lines) + "\n", encoding="utf-8")
    return told, place


@pytest.mark.parametrize("kind", KINDS)
def test_readings_as_foretold_agree_and_others_do_not(tmp_path, kind):
    rig = drafted("spindle", kind)
    told, place = written(tmp_path, rig)
    kept = read_prediction(tmp_path)
    assert [r.name for r in kept.rows] == [c.name for c in COLUMNS[kind]]
    assert [(r.value, r.low, r.high) for r in kept.rows] == [approx((r.value, r.low, r.high), rel=1e-5)
                                                             for r in told.rows]
    assert all(b.apart < 0.1 for b in beside(kept, place))
    _, far = written(tmp_path, rig, 4.0)
    assert max(b.apart for b in beside(kept, far)) > 1


def test_the_distance_is_over_both_spreads_on_its_side(tmp_path):
    rig = drafted("spindle", BREAK_AWAY)
    told, place = written(tmp_path, rig, 1.5)
    first = beside(read_prediction(tmp_path), place)[0]
    theirs = told.rows[0].high - told.rows[0].value
    assert first.apart == approx((first.read.value - told.rows[0].value) / math.hypot(first.read.spread, theirs), rel=1e-4)


def test_what_is_not_there_or_spoilt_is_said(tmp_path):
    with pytest.raises(MachineErrors, match="laid beside what was predicted before"):
        read_prediction(tmp_path)
    rig = drafted("spindle", BREAK_AWAY)
    told, _ = written(tmp_path, rig)
    file = tmp_path / "prediction.csv"
    for bad in (as_csv(told, "").replace("break-away", "see-saw"), as_csv(told, "").replace(",kg,", ",mm,")):
        file.write_text(bad, encoding="utf-8")
        with pytest.raises(MachineErrors, match="cannot be read any more"):
            read_prediction(tmp_path)


def test_what_cannot_be_tried_is_refused_with_what_to_write():
    with pytest.raises(BadInput, match="Give --part with one of: main, wind"):
        draft(LIGHT)
    with pytest.raises(BadInput, match="'wings' is no shaft, nor on one"):
        draft(LIGHT, "wings")
    with pytest.raises(BadInput, match="'see-saw' is no rig\\. There is: run-down, break-away"):
        draft(LIGHT, "fan", "see-saw")
    still = layshaft.apply(LIGHT, {"set": {"shafts.main.seats.left bearing.drag": "0 N m"}})
    with pytest.raises(BadInput, match="Nothing resists main"):
        draft(still, "main")
    open_ = layshaft.apply(LIGHT, {"remove": ["shafts.main.seats.left bearing.break away"]})
    with pytest.raises(BadInput, match="What breaks main away is not known"):
        draft(open_, "main")


def test_a_part_names_its_shaft():
    assert drafted("loads.lens table", BREAK_AWAY).shaft == "spindle"
    assert drafted("flywheel").shaft == "fan"
    assert drafted("shafts.fan.seats.left bearing").shaft == "fan"


def test_a_weight_nothing_holds_back_is_not_called_too_light():
    verdict = layshaft.rate(layshaft.solve(drafted("spindle").machine))
    reasons = {f.reason for f in verdict.findings}
    assert any("no even speed" in r for r in reasons)
    assert not any("gives less" in r for r in reasons)
