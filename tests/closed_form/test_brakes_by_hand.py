"""Brakes on a drum under a weight, by hand: statics at rest, and one mass stopped on its way down. All invented."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from closed_form.small_train import DRIVES, FAN, LEVEL, WHEEL, machine
from layshaft.elements.brake import band
from layshaft.machine.errors import MachineErrors
from layshaft.mechanics import brakes, friction
from layshaft.trace.source import Source
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions
from layshaft.verdict.rate import rate

LINK = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
HUB = f"{{kind: one-way hub, from: first, to: second, seats: [out, in], {LEVEL}, listing: roller}}"
ROLLER = {"roller": "{kind: one-way hub, source: assumed, read in: invented, torque: 80 N m, overrun speed: 400 rpm, "
                    "bore: 30 mm, play: 3 deg}"}
HEAT = "lining pressure: 1 MPa, rubbing power: 1 MPa m/s, heated mass: 5 kg, specific heat: 460 J/(kg K), temperature " \
    "rise: 60 degC, stop within: 1 s, inertia: 0.05 kg m2"
DISC = f"{{kind: disc brake, shaft: first, seat: hold, put on by: spring, force: 3000 N, friction: 0.35, scatter: 20 %, " \
    f"pads: 2, outer diameter: 240 mm, inner diameter: 160 mm, covers: 40 deg, {HEAT}}}"
BAND = f"{{kind: band brake, shaft: first, seat: hold, put on by: hand, force: 100 N, friction: 0.3, scatter: 0 %, covers: " \
    f"250 deg, strong way: forward, drum diameter: 240 mm, lever: 500 mm, slack arm: 60 mm, tight arm: 0 mm, width: 50 mm, {HEAT}}}"
BLOCK = f"{{kind: block brake, shaft: first, seat: hold, put on by: weight, force: 400 N, friction: 0.3, scatter: 10 %, " \
    f"covers: 60 deg, strong way: backward, drum diameter: 240 mm, lever: 500 mm, shoes: 2, shoe arm: 150 mm, pivot offset: " \
    f"40 mm, width: 40 mm, {HEAT}}}"
W = 40 * 9.81 * 0.100
R_NEW = 2 / 3 * (0.12**3 - 0.08**3) / (0.12**2 - 0.08**2)
R_WORN = (0.12 + 0.08) / 2


def found(loads, stages=None, **kwargs):
    return rate(solve(machine(stages or {"link": LINK}, {"fan": FAN} | loads, **kwargs)))


def of(verdict, name="brake"):
    return {f.mode: f for f in verdict.findings if f.part == f"loads.{name}"}


def test_a_disc_holds_the_weight_and_stops_it():
    verdict = found({"brake": DISC})
    modes = of(verdict)
    T = 0.35 * 3000 * R_WORN * 2
    assert modes["holding torque"].demand == approx(W, rel=1e-12)
    assert modes["holding torque"].rating == approx(0.8 * T, rel=1e-12)
    omega = np.sqrt(W / 0.05)  # where the fan balances the weight
    J = 0.05 + 0.1 + 40 * 0.1**2  # disc, fan, weight
    t = J * omega / (0.8 * T - W)
    assert modes["stopping time"].demand == approx(t, rel=1e-9)
    assert modes["heat of a stop"].demand == approx(0.8 * T * omega * t / 2 / (5 * 460), rel=1e-9)
    area = np.deg2rad(40) / 2 * (0.12**2 - 0.08**2)
    assert modes["lining pressure"].demand == approx(3000 / area, rel=1e-9)
    assert modes["rubbing power"].demand == approx(0.35 * 3000 / area * omega * 0.12, rel=1e-9)
    assert modes["reach"].margin == approx(1, rel=1e-12)


def test_heat_is_motion_and_fall_together():
    """Energy of all that turns, and of the weight on the way it still sinks, end in the disc."""
    verdict = found({"brake": DISC})
    modes = of(verdict)
    omega, t = np.sqrt(W / 0.05), modes["stopping time"].demand
    energy = (0.05 + 0.1 + 0.4) * omega**2 / 2 + 40 * 9.81 * 0.100 * omega * t / 2
    assert modes["heat of a stop"].demand * 5 * 460 == approx(energy, rel=1e-9)


def test_the_train_feels_a_stop_with_the_most_the_brake_can():
    """Upper end of the scatter: 1.2 T; what the fan gives through the coupling is its own inertia, and its drag less."""
    solved = found({"brake": DISC}).solved
    i = next(i for i, c in enumerate(solved.columns) if c.title == "stopped by brake")
    T = 1.2 * 0.35 * 3000 * R_NEW * 2
    assert abs(solved.seat_torque["first"]["hold"][i, 0]) == approx(T - 0.05 * abs(solved.acceleration["first"][i, 0]), rel=1e-9)
    drag = W  # at running speed the fan holds what the weight gives
    assert abs(solved.acceleration["first"][i, 0]) == approx((T + drag - W) / 0.55, rel=1e-9)
    loads = solved.loads["first"]
    pull = 40 * (9.81 + abs(solved.acceleration["first"][i, 0]) * 0.1)
    assert loads.force[loads.at("in"), 2, i, 0] == approx(-pull, rel=1e-9)


def test_a_band_is_strong_one_way_and_weak_the_other():
    """Hung on +y the weight turns the shaft backward: the weak way; turned round, the strong one."""
    k = np.exp(0.3 * np.deg2rad(250))
    strong, weak = (100 * 0.5 / arm * (k - 1) * 0.12 for arm in (0.060, k * 0.060))
    ratings = {of(found({"brake": BAND.replace("forward", way)}))["holding torque"].rating for way in ("forward", "backward")}
    assert sorted(ratings) == approx([weak, strong], rel=1e-12)
    assert max(ratings) / min(ratings) == approx(k, rel=1e-12)


def test_a_band_turned_round_changes_places(monkeypatch):
    """Mirrored: strong way, side of the weight. The same torque holds."""
    one = found({"brake": BAND})
    text = {"brake": BAND.replace("forward", "backward")}
    monkeypatch.setitem(DRIVES, "mirrored", DRIVES["weight"].replace("+y", "-y"))
    other = rate(solve(machine({"link": LINK}, {"fan": FAN} | text, drive="mirrored")))
    for mode, f in of(one).items():
        assert of(other)[mode].margin == approx(f.margin, rel=1e-12)


def test_shoes_by_hand():
    """60 degrees: friction counts 1.045 times; two shoes of 400 N on 500 mm."""
    modes = of(found({"brake": BLOCK}))
    a = np.deg2rad(60)
    mu = 0.3 * 4 * np.sin(a / 2) / (a + np.sin(a))
    ways = [400 * 0.5 / (0.150 + sign * mu * 0.040) * mu * 0.12 * 2 for sign in (-1, 1)]
    assert modes["holding torque"].rating in [approx(0.9 * way, rel=1e-12) for way in ways]
    N = 400 * 0.5 / (0.150 - mu * 0.040)
    assert modes["lining pressure"].demand == approx(N / (0.24 * np.sin(a / 2) * 0.04), rel=1e-12)


def test_a_wheel_behind_a_hub_is_not_reached():
    on_drum = found({"brake": DISC, "wheel": WHEEL}, {"link": HUB}, parts=ROLLER)
    on_wheel = found({"brake": DISC.replace("shaft: first", "shaft: second"), "wheel": WHEEL}, {"link": HUB}, parts=ROLLER)
    share = (0.05 + 0.4) / (0.05 + 0.4 + 0.1 + 2.0)
    assert of(on_drum)["reach"].margin == approx(share, rel=1e-12)
    assert of(on_drum)["reach"].verdict == "fails"
    assert of(on_wheel)["reach"].verdict == "holds"
    omega, T = np.sqrt(W / 0.05), 0.8 * 0.35 * 3000 * R_WORN * 2
    assert of(on_drum)["stopping time"].demand == approx(0.45 * omega / (T - W), rel=1e-9)
    assert of(on_wheel)["stopping time"].demand == approx(2.55 * omega / (T - W), rel=1e-9)
    i = next(i for i, c in enumerate(on_drum.solved.columns) if c.title == "stopped by brake")
    assert on_drum.solved.stage_torque["link"][0][i, 0] == 0  # parted: the wheel turns on


def test_a_brake_weaker_than_the_weight_never_stops():
    modes = of(found({"brake": DISC.replace("force: 3000 N", "force: 400 N")}))
    assert modes["holding torque"].verdict == "fails"
    assert modes["stopping time"].verdict == "unknown"
    assert "no more than what goes on driving" in modes["stopping time"].reason


def test_on_a_hoist_it_is_the_way_down_that_is_stopped():
    drives = {"sack": DRIVES["weight"].replace("seat: in", "seat: extra")}
    verdict = rate(solve(machine({"link": LINK}, {"fan": FAN, "brake": DISC}, drive="crank", drives=drives)))
    modes = of(verdict)
    omega, T = np.pi, 0.8 * 0.35 * 3000 * R_WORN * 2
    assert modes["stopping time"].demand == approx(0.55 * omega / (T - W), rel=1e-9)
    assert "stopped by brake on the way down" in [c.title for c in verdict.solved.columns]


def test_a_hand_on_a_brake_is_a_danger_and_a_spring_is_none():
    words = "holds only while a hand presses it"
    assert any(words in c.text for c in cautions(found({"brake": BAND})))
    assert not any("holds only while" in c.text for c in cautions(found({"brake": DISC})))


@pytest.mark.parametrize(("old", "new", "said"), [
    ("force: 3000 N", "force: 0 N", "loads.brake.force"), ("force: 3000 N", "force: 3000 kg", "loads.brake.force"),
    ("put on by: spring", "put on by: luck", "loads.brake.put on by"), ("pads: 2", "pads: 1.5", "loads.brake.pads"),
    ("put on by: spring, ", "", "put on by")])
def test_impossible_brakes_are_refused_in_words(old, new, said):
    with pytest.raises(MachineErrors, match=said):
        machine({"link": LINK}, {"fan": FAN, "brake": DISC.replace(old, new)})


def test_pads_that_cannot_be_are_refused_in_the_file_and_unknown_in_a_draw():
    with pytest.raises(MachineErrors, match="inner diameter is 250"):
        machine({"link": LINK}, {"fan": FAN, "brake": DISC.replace("inner diameter: 160 mm", "inner diameter: 250 mm")})
    assert np.isnan(friction.wear_radius(0.24, 0.25)) and np.isnan(friction.pressure_radius(0.24, 0.25))
    assert np.isnan(brakes.pad_area(0.24, 0.25, 0.7)) and np.isnan(brakes.pad_area(0.24, 0.24, 0.7))


@pytest.mark.parametrize(("brake", "covers"), [(DISC, "400 deg"), (BLOCK, "300 deg")])
def test_a_lining_that_covers_more_than_there_is_is_refused(brake, covers):
    with pytest.raises(MachineErrors, match=r"loads\.brake\.covers is"):
        machine({"link": LINK}, {"fan": FAN, "brake": re.sub("covers: [0-9]+ deg", f"covers: {covers}", brake)})


def test_what_is_missing_is_named():
    modes = of(found({"brake": DISC.replace("friction: 0.35, ", "")}))
    assert modes["holding torque"].verdict == "unknown"
    assert "loads.brake.friction" in modes["holding torque"].reason


GIVEN = {"T_h": 40.0, "mu": 0.3, "s": 0.2, "J": 0.5, "omega": 10.0, "T_w": 30.0, "E_a": 30.0, "p_lim": 1e6, "q_lim": 1e6,
         "m": 5.0, "c": 460.0, "d_lim": 60.0, "t_lim": 2.0, "F": 200.0, "l": 0.5, "a_s": 0.06, "a_t": 0.0, "d": 0.24,
         "theta": 4.3, "w": 0.05, "S_required": 2.0, "S_p_required": 1.0}


def rated(**changes):
    given_ = GIVEN | changes
    return band.rate(band.BandBrakeInputs(**given_, origins=dict.fromkeys(given_, Source("test", obtained="given"))))


def test_the_way_a_brake_turns_decides():
    strong, weak = rated(), rated(T_h=-40.0, omega=-10.0)
    k = np.exp(0.3 * 4.3)
    assert strong.checks[0].margin / weak.checks[0].margin == approx(k)
    assert weak.t_s == approx(0.5 * 10 / (0.8 * strong.T_2 - 30))
    assert np.isnan(rated(T_h=np.nan).checks[0].margin)
    assert np.isnan(rated(omega=np.nan).t_s)
    assert rated(E_a=0.0, omega=0.0).checks[-1].margin == 1
    assert rated(T_h=0.0).checks[0].rating == rated().checks[0].rating  # at nothing, the strong way
    assert rated(omega=0.0).t_s == 0


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 200), st.floats(1.0, 3.0))
def test_more_weight_never_raises_a_margin(T, more):
    for before, after in zip(rated(T_h=T, T_w=T).checks, rated(T_h=T * more, T_w=T * more).checks, strict=True):
        assert not after.margin > before.margin * (1 + 1e-12)
