"""Plain bushes in a machine: supports of the shaft, friction that grows with the load, and what is unknown."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

PUMP = (Path(__file__).parents[2] / "examples/village-pump/machine.yaml").read_text(encoding="utf-8")
NEAR = "shafts.pump.seats.near bush.bush"
DRUM = """
layshaft: 1
name: Drum on two bushes
gravity: 9.81 m/s2
modules: {frame: {mass: 40 kg}}
shafts:
  drum:
    module: frame
    axis: x
    at: [0 mm, 0 mm, 1000 mm]
    sections: [[20 mm, 400 mm]]
    seats:
      left: {at: 0 mm, bush: {material: acetal, length: 25 mm}}
      rope: {at: 200 mm}
      right: {at: 400 mm, bush: {material: acetal, length: 25 mm}}
      fan: {at: 390 mm}
drives: {weight: {kind: falling weight, shaft: drum, seat: rope, mass: 20 kg, diameter: 100 mm, hangs on: +y, pulley loss: 0, over people: no}}
loads: {fan: {kind: fan brake, shaft: drum, constant: 0.05 N m s2, inertia: 0.01 kg m2}}
"""


def verdict(*pairs, text=PUMP):
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return rate(solve(read_text(text)))


def modes(v, path=NEAR):
    return {f.mode: f for f in v.findings if f.part == path}


def test_friction_of_a_drum_by_hand():
    """Half of 20 kg and of the bar on each bush: 0.2 x F x 10 mm; what is left turns the fan, square of the speed."""
    solved = solve(read_text(DRUM))
    bar = 7850 * np.pi / 4 * 0.02**2 * 0.4
    F = (20 + bar) * 9.81 / 2
    drags = [solved.machine.shafts["drum"].seats[name].drag for name in ("left", "right")]
    assert [d.nominal for d in drags] == approx([0.2 * F * 0.01] * 2)
    assert all(d.is_guess for d in drags)
    assert solved.machine.shafts["drum"].seats["left"].break_away.nominal == approx(0.3 / 0.2)
    spare = 20 * 9.81 * 0.05 - 2 * 0.2 * F * 0.01
    assert solved.speed["drum"][0, 0] ** 2 == approx(spare / 0.05)


def test_friction_and_load_settle_on_each_other():
    """A chain pulls by the torque that turns the bushes: the drag is friction of the load it gives itself."""
    text = DRUM.replace("fan: {at: 390 mm}", "fan: {at: 390 mm}\n      chain: {at: 100 mm}").replace("drives:", """  far:
    module: frame
    axis: x
    sections: [[20 mm, 400 mm]]
    seats:
      left: {at: 20 mm, bush: {material: nylon 66, length: 25 mm}}
      chain: {at: 100 mm}
      right: {at: 380 mm, bush: {material: nylon 66, length: 25 mm}}
      brake: {at: 200 mm}
stages: {chain: {kind: roller chain, from: drum, to: far, chain: 08B-1, teeth: [38, 19], centres: 600 mm, line: 60 deg, efficiency: 0.95, break away: 1}}
drives:""").replace("loads: {fan: {kind: fan brake, shaft: drum,", "loads: {fan: {kind: fan brake, shaft: far, seat: brake,").replace("      fan: {at: 390 mm}\n", "")
    solved = solve(read_text(text))
    for shaft, mu in (("drum", 0.2), ("far", 0.25)):
        loads = solved.loads[shaft]
        for i, name in enumerate(loads.supports):
            F = np.hypot(*loads.reaction[i, :, 0, 0])
            assert solved.machine.shafts[shaft].seats[name].drag.nominal == approx(mu * F * 0.01, rel=1e-8)
    assert float(solved.budget.total("in")[0]) == approx(float(solved.budget.total("used")[0] + solved.budget.total("lost")[0]))
    rubbed = [e for e in solved.budget.entries if e.kind == "lost" and e.name in ("far, left", "far, right")]
    assert len(rubbed) == 2


def test_a_stated_drag_is_kept_and_told_if_it_is_kind():
    v = verdict(("near bush: {at: 60 mm,", "near bush: {at: 60 mm, drag: 0.001 N m, break away: 1.5,"))
    assert v.solved.machine.shafts["pump"].seats["near bush"].drag.nominal == 0.001
    assert [paths for text, paths in by_text(v).items() if "the bush rubs with about" in text] == [
        ["shafts.pump.seats.near bush.drag"]]
    assert not [text for text in by_text(verdict()) if "the bush rubs with about" in text]


def test_thrust_on_bushes_alone_is_told():
    assert [paths for text, paths in by_text(verdict()).items() if "along its axis with" in text] == [["shafts.pump"]]
    free = verdict(("axial stiffness: 300 N/mm, ", ""))
    assert not [text for text in by_text(free) if "along its axis with" in text]


@pytest.mark.parametrize(("change", "mode", "reason"), [
    ((", length: 30 mm, clearance: 0.06 mm, wear: 0.2 mm}", "}"), "bush pressure", "length"),
    (("clearance: 0.06 mm, wear: 0.2", "wear: 0.2"), "edge load", "clearance"),
    (("warmest: 32 degC", "warmest: 66 degC"), "pressure times speed", "warmer than this material"),
    (("material: sintered bronze oiled", "material: woven PTFE"), "wear of the bush", "volume worn off")])
def test_what_is_not_told_is_unknown_by_name(change, mode, reason):
    found = modes(verdict(change))[mode]
    assert found.verdict == "unknown"
    assert reason in found.reason


def test_more_load_or_speed_never_helps_a_bush():
    light, heavy = (modes(verdict(("mass: 6 kg}", f"mass: {m} kg}}"))) for m in (6, 60))
    slow, fast = (modes(verdict(("speed: 40 rpm\n", f"speed: {n} rpm\n"))) for n in (40, 60))
    for mode in ("bush pressure", "pressure times speed", "wear of the bush"):
        assert heavy[mode].margin < light[mode].margin
    for mode in ("rubbing speed", "pressure times speed", "wear of the bush"):
        assert fast[mode].margin < slow[mode].margin


def test_a_bush_and_a_bearing_on_one_seat_are_refused():
    with pytest.raises(MachineErrors) as refused:
        read_text(PUMP.replace("near bush: {at: 60 mm,", 'near bush: {at: 60 mm, bearing: "6206",'))
    assert "it has a bearing and a bush" in str(refused.value)


def test_a_material_of_no_list_is_refused_by_name():
    with pytest.raises(MachineErrors) as refused:
        read_text(PUMP.replace("sintered bronze oiled", "sintered cheese"))
    assert "sintered cheese" in str(refused.value)


def test_a_slope_is_asked_of_a_bush_by_its_edge_alone():
    v = verdict()
    assert not [f for f in v.findings if f.part.startswith("shafts.pump") and f.mode == "slope at bearing"]
    assert set(modes(v)) == {"bush pressure", "rubbing speed", "pressure times speed", "wear of the bush", "edge load"}
