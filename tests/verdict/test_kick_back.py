"""Whether a crank can kick back: statics of one hoist, with the holder on the drum, elsewhere, or nowhere. Invented."""

import pytest

from closed_form.small_train import DRIVES, LEVEL, machine
from layshaft.machine.options import apply
from layshaft.trace.units import ENERGY, FORCE, shown
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions
from layshaft.verdict.rate import rate

SACK = {"sack": DRIVES["weight"].replace("shaft: first, seat: in", "shaft: second, seat: out")}
LINK = f"{{kind: coupling, from: first, to: second, seats: [out, in], {LEVEL}}}"
HOLD = "{{kind: ratchet, from: {0}, to: frame, seats: [hold, hold], teeth: 24, pawls: 1, diameter: 120 mm, material: C45+N}}"
BAND = "{kind: band brake, shaft: second, seat: hold, put on by: spring, strong way: forward, force: 100 N}"


REST = "{kind: steady, shaft: first, seat: extra, torque: 0 N m, break away: 1, inertia: 0.1 kg m2}"


def kick(stages=None, loads=None, drives=SACK, crossing=False, parted=False):
    read = machine({"link": LINK} | (stages or {}), {"rest": REST} | (loads or {}), drive="crank", drives=drives,
                   crossing=crossing)
    if parted:  # the drum stands in another module than the crank
        read = apply(read, {"set": {"shafts.second.module": "other"}})
    return [f for f in rate(solve(read)).findings if f.mode == "kick-back"]


def test_nothing_holds():
    [f] = kick()
    assert (f.verdict, f.part, f.place) == ("fails", "drives.crank", "sack")
    assert shown(40 * 9.81 * 2, ENERGY) in f.note
    assert shown(40 * 9.81 * 0.1 / 0.25, FORCE) in f.note
    assert f.hurts == "whoever holds crank"


@pytest.mark.parametrize("on", ["first", "second"])
def test_a_ratchet_holds(on):
    [f] = kick({"stop": HOLD.format(on)})
    assert f.verdict == "holds"
    assert f.note == "stop holds sack when the hand lets go"


def test_a_ratchet_beyond_a_parting_does_not_count():
    [f] = kick({"stop": HOLD.format("first")}, parted=True)
    assert f.verdict == "fails"
    assert "stop cannot be counted" in f.note
    [f] = kick({"stop": HOLD.format("second")}, parted=True)
    assert f.verdict == "holds"


@pytest.mark.parametrize(("by", "verdict"), [("spring", "holds"), ("weight", "holds"), ("hand", "fails"), ("foot", "fails")])
def test_a_brake_holds_if_no_hand_is_needed(by, verdict):
    [f] = kick(loads={"stop": BAND.replace("spring", by)})
    assert f.verdict == verdict


def test_a_one_way_hub_in_the_way_holds_nothing():
    """What drives the drum up is driven back by it: a hub between the two passes the weight on to the handle."""
    hub = f"{{kind: one-way hub, from: first, to: second, seats: [out, in], {LEVEL}}}"
    [f] = kick({"link": hub})
    assert f.verdict == "fails"


def test_a_ratchet_behind_a_shear_pin_does_not_count():
    pin = f"{{kind: shear pin, from: first, to: second, seats: [out, in], {LEVEL}}}"
    [f] = kick({"link": pin, "stop": HOLD.format("first")})
    assert f.verdict == "fails"
    [f] = kick({"link": pin, "stop": HOLD.format("second")})
    assert f.verdict == "holds"


@pytest.mark.parametrize("belt", [
    "{kind: V belt, from: first, to: second, seats: [out, in], belt: A, diameters: [100 mm, 100 mm], belts: 1, line: 0 deg, "
    "centres: 400 mm, pretension: 300 N, efficiency: 0.95, break away: 1.2, creep: 0 %}",
    "{kind: synchronous belt, from: first, to: second, seats: [out, in], belt: H, teeth: [20, 20], width: 38.1 mm, line: 0 deg, "
    "centres: 400 mm, pretension: 900 N, efficiency: 0.95, break away: 1.2}"])
def test_a_ratchet_beyond_a_belt_does_not_count(belt):
    """A belt that slips or jumps off holds nothing."""
    [f] = kick({"link": belt, "stop": HOLD.format("first")})
    assert f.verdict == "fails"
    [f] = kick({"link": belt, "stop": HOLD.format("second")})
    assert f.verdict == "holds"


@pytest.mark.parametrize(("ends", "verdict"), [
    ("from: first, to: second, seats: [out, in]", "holds"), ("from: second, to: first, seats: [in, out]", "fails")])
def test_a_holder_counts_through_a_one_way_hub_only_the_way_it_grips(ends, verdict):
    """The first shaft drives the second; what goes back on the second is held by the first. Turned round it runs free."""
    [f] = kick({"link": f"{{kind: one-way hub, {ends}, {LEVEL}}}", "stop": HOLD.format("first")})
    assert f.verdict == verdict


def test_the_cautions_give_force_and_energy():
    read = machine({"link": LINK, "stop": HOLD.format("second")}, {"rest": REST}, drive="crank", drives=SACK)
    [text] = [c.text for c in cautions(rate(solve(read))) if "can kick back" in c.text]
    assert "with 157 N at the handle" in text  # 40 kg on 100 mm, the handle on 250 mm
    assert shown(40 * 9.81 * 2, ENERGY) in text


def test_without_a_weight_nobody_asks():
    assert kick(drives={}) == []


@pytest.mark.parametrize(("efficiency", "locks"), [(0.45, True), (0.8, False)])
def test_a_worm_that_locks_is_named_and_does_not_count(efficiency, locks):
    """It locks where it passes on half of the power or less; a shake lets it go, so it is no holder."""
    worm = "{kind: worm, from: first, to: second, seats: [out, in], break away: 1, starts: 1, wheel teeth: 40, " \
        f"efficiency: {efficiency}}}"
    across = {"sack": SACK["sack"].replace("+y", "+x")}
    [f] = kick({"link": worm}, drives=across, crossing=True)
    assert f.verdict == "fails"
    assert ("link may lock by itself and does not count" in f.note) == locks
    [f] = kick({"link": worm, "stop": HOLD.format("second")}, drives=across, crossing=True)
    assert f.verdict == "holds"
