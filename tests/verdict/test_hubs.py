"""Hubs of a machine: which solved number and which given reaches which input, and what is unknown by name.

Numbers are worked out by hand from the example's own file, whose data are invented.
"""

import math
from pathlib import Path

import pytest
from pytest import approx

from layshaft.bill.parts import parts_list
from layshaft.machine import MachineErrors, read, read_text
from layshaft.machine.options import apply
from layshaft.trace.sheet import as_text
from layshaft.trace.source import Source
from layshaft.train.solve import solve
from layshaft.verdict.context import Steel, context
from layshaft.verdict.kinds import hubs
from layshaft.verdict.kinds.notches import notch_of
from layshaft.verdict.needs import needs
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import remarks
from layshaft.verdict.sheets import sheet_of
from machine.samples import SMALL, changed

EXAMPLE = Path(__file__).parents[2] / "examples" / "herb-winder"
DRUM = "drum:          {at: 110 mm, key: 8x7x25}"
MM = 1e-3


@pytest.fixture(scope="module")
def verdict():
    return rate(solve(read(EXAMPLE)))


def one(verdict, path, mode):
    return next(f for f in verdict.findings if f.part == path and f.mode == mode)


def changed_example(**sets):
    return apply(read(EXAMPLE), {"set": {f"shafts.{k.replace('__', '.')}": v for k, v in sets.items()}})


def test_clamp_on_the_crank_by_hand(verdict):
    """Two M10 at 45 N m, nut factor 0.2, 30 % scatter: 22.5 kN, 15.75 to 29.25; lever 60 over 28; mu 0.12, even."""
    path = "shafts.hand.seats.crank.hub"
    lowest = 2 * 45 / (0.2 * 0.010) * 0.7 * 60 / 28
    assert one(verdict, path, "clamp slip").rating == approx(math.pi / 2 * 0.12 * lowest * 0.025)
    d2, d3 = 10 - 0.64952 * 1.5, 10 - 1.22687 * 1.5
    proof = math.pi / 4 * ((d2 + d3) / 2 * MM) ** 2 * 580e6
    screw = one(verdict, path, "clamp screw load")
    assert (screw.demand, screw.rating) == (approx(29.25e3), approx(proof, rel=1e-6))
    assert one(verdict, path, "clamp pressure").demand == approx(2 * 29.25e3 * 60 / 28 / (0.025 * 0.040))


def test_press_fit_by_hand(verdict):
    """30 H6/t5: hole 0 to 13 um, shaft 41 to 50; least 28 less 0.8 (3.2 + 4) of roughness leaves 22.24 um."""
    path = "shafts.rack.seats.rack chain.hub"
    q = (55**2 + 30**2) / (55**2 - 30**2)
    per_metre = 206e9 / (30 * MM * (q + 0.3 + 1 - 0.3))
    slip = one(verdict, path, "press fit slip")
    assert slip.rating == approx(math.pi / 2 * 0.12 * 22.24e-6 * per_metre * (30 * MM) ** 2 * 36 * MM, rel=1e-4)
    p, stress = 50e-6 * per_metre, one(verdict, path, "press fit hub yield")
    assert stress.demand == approx(p * math.sqrt(q**2 + q + 1), rel=1e-4)
    assert one(verdict, path, "press fit shaft yield").demand == approx(p, rel=1e-6)


def test_cross_pin_set_screws_and_taper_clamp_by_hand(verdict):
    key_torque = one(verdict, "shafts.rack.seats.herbs.hub", "cross pin in shaft").demand * 8 * MM * (30 * MM) ** 2 / 6
    pin = one(verdict, "shafts.rack.seats.herbs.hub", "cross pin shear")
    assert pin.demand == approx(4 * key_torque / (math.pi * (8 * MM) ** 2 * 30 * MM))
    screws = one(verdict, "shafts.fan.seats.fan chain.hub", "set screw slip")
    seated = 18 / (165 * 4.4482216152605 * 0.0254)
    assert screws.rating == approx(1.3 * 1500 * 4.4482216152605 * seated * 0.010)
    assert screws.required == 4 and screws.verdict == "thin"
    taper = one(verdict, "shafts.rack.seats.fan chain.hub", "taper clamp hub yield")
    q = (100**2 + 55**2) / (100**2 - 55**2)
    assert taper.demand == approx(95e6 * math.sqrt(q**2 + q + 1))


def test_a_sheet_shows_every_step_of_a_press_fit(verdict):
    path = "shafts.rack.seats.rack chain.hub"
    slip, burst = (" ".join(as_text(sheet_of(verdict, one(verdict, path, mode)).trace).split())
                   for mode in ("press fit slip", "press fit hub yield"))
    for words in ("least interference", "interference lost to roughness", "least pressure", "H6 at 30 mm, range 18-30 mm"):
        assert words in slip, words
    for words in ("greatest interference", "greatest pressure", "hoop stress at the bore of the hub"):
        assert words in burst, words


def test_how_a_press_fit_is_joined(verdict):
    """Tightest 50 um: friction on the whole surface; 50 and 30 um over 11.5e-6 per K and 30 mm, from 20 degC."""
    said = [r.text for path, r in remarks(verdict) if path == "shafts.rack.seats.rack chain.hub"]
    p = one(verdict, "shafts.rack.seats.rack chain.hub", "press fit shaft yield").demand
    force, heat = math.pi * 0.12 * p * 30 * MM * 36 * MM, 20 + 80e-6 / (11.5e-6 * 30 * MM)
    [joined] = [text for text in said if text.startswith("To join it")]
    assert f"{force / 1e3:.2f} kN" in joined and f"{heat:.1f} degC" in joined


def test_more_torque_never_raises_a_margin(verdict):
    harder = rate(solve(apply(read(EXAMPLE), {"set": {"drives.crank.worst push": "500 N", "loads.herbs.torque": "12 N m"}})))
    for f in verdict.findings:
        if ".hub" in f.part:
            assert one(harder, f.part, f.mode).margin <= f.margin * (1 + 1e-12)


def test_an_aluminium_hub_loosens_in_the_sun_and_a_steel_one_does_not():
    path, hub = "shafts.rack.seats.rack chain.hub", "rack.seats.rack chain.hub"
    def slip(**more):
        return one(rate(solve(apply(read(EXAMPLE), {"set": {f"shafts.{hub}.{k}": v for k, v in more.items()}}))), path,
                   "press fit slip").rating
    light = {"hub material": "aluminium", "hub yield strength": "240 MPa"}
    assert slip(warmest="90 degC") == approx(slip(warmest="20 degC"))
    assert slip(**light, warmest="60 degC") < slip(**light, warmest="25 degC")


def test_an_unknown_given_is_unknown_by_name():
    text = changed(DRUM, "drum: {at: 110 mm, hub: {kind: set screws, size: M8, screws: 1, point: cup}}")
    f = one(rate(solve(read_text(text))), "shafts.main.seats.drum.hub", "set screw slip")
    assert f.verdict == "unknown" and "seating torque" in f.reason
    text = changed(DRUM, "drum: {at: 110 mm, hub steel: S355J2, hub: {kind: press fit, hub diameter: 60 mm, length: 30 mm}}")
    f = one(rate(solve(read_text(text))), "shafts.main.seats.drum.hub", "press fit hub yield")
    assert f.verdict == "unknown" and "fit: not given" in f.reason


def test_measured_interference_counts_from_the_hole_as_it_is():
    press = "hub: {kind: press fit, hub diameter: 60 mm, length: 30 mm, interference: 0.040 mm ± 0.004 mm}"
    c = context(solve(read_text(changed(DRUM, f"drum: {{at: 110 mm, hub steel: S355J2, {press}}}"))))
    [block] = hubs.blocks(c)
    [part] = block.parts
    assert (part.inputs["ES"], part.inputs["EI"]) == (0, 0)
    assert (part.inputs["ei"], part.inputs["es"]) == (approx(36e-6), approx(44e-6))


def test_an_open_set_screw_is_sized():
    text = changed(DRUM, "drum: {at: 110 mm, hub: {kind: set screws, size: open, point: cup}}")
    need = next(n for n in needs(rate(solve(read_text(text)))) if n.path.endswith("drum.hub"))
    assert need.what == "hub" and (need.smallest or need.nearest)
    tried = need.smallest or need.nearest
    assert tried.candidate.name.startswith("M")
    assert set(tried.option["set"]) == {f"shafts.main.seats.drum.hub.{k}" for k in ("size", "seating torque", "screws")}


def test_an_open_taper_clamp_says_what_to_ask_for():
    text = changed(DRUM, "drum: {at: 110 mm, hub: {kind: taper clamp, listing: open, hub diameter: 90 mm}}")
    need = next(n for n in needs(rate(solve(read_text(text)))) if n.path.endswith("drum.hub"))
    assert need.smallest is None and any("taper clamps" in note for note in need.notes)
    f = one(rate(solve(read_text(text))), "shafts.main.seats.drum.hub", "taper clamp slip")
    assert f.reason == "not chosen"


def test_a_taper_clamp_of_another_bore_is_refused():
    listed = "parts: {cone 25: {kind: taper clamp, source: listed, read in: a list, bore: 25 mm, outside: 60 mm}}\n"
    text = listed + changed(DRUM, "drum: {at: 110 mm, hub: {kind: taper clamp, listing: cone 25, hub diameter: 55 mm}}")
    with pytest.raises(MachineErrors) as caught:
        read_text(text)
    assert "has a bore of 25.00 mm, the shaft is 30.00 mm there" in str(caught.value)
    assert "55.00 mm" in str(caught.value) and "60.00 mm over its clamp" in str(caught.value)


def test_options_reach_into_a_hub():
    machine = read(EXAMPLE)
    keyed = rate(solve(apply(machine, machine.options["key on the fan"])))
    assert {f.mode for f in keyed.of("shafts.fan.seats.fan chain")} >= {"flank pressure"}
    thicker = apply(machine, {"set": {"shafts.rack.seats.herbs.hub.diameter": "9 mm"}})
    assert thicker.shafts["rack"].seats["herbs"].hub.diameter.nominal == approx(9 * MM)
    added = apply(read_text(SMALL), {"add": {"shafts.main.seats.drum.hub": {"kind": "cross pin", "diameter": "8 mm"}}})
    assert added.shafts["main"].seats["drum"].hub.diameter.nominal == approx(8 * MM)
    with pytest.raises(MachineErrors, match="no 'diametre'"):
        apply(machine, {"set": {"shafts.rack.seats.herbs.hub.diametre": "9 mm"}})


def test_machines_without_hubs_pay_nothing():
    assert hubs.blocks(context(solve(read_text(SMALL)))) == []


def test_what_holds_hubs_is_on_the_parts_list(verdict):
    """Screws are counted, a pin is weighed by its size: 8 mm by 55 mm of steel is 21.7 g."""
    lines = {line.name: line for line in parts_list(verdict.solved.machine, verdict.solved)}
    assert lines["clamp screw M10, 8.8"].quantity == lines["set screw M8, cup"].quantity == 2
    assert lines["cross pin 8 mm for a hub of 55 mm, C45+N"].mass == approx(0.0217, abs=0.0001)
    assert "taper clamp cone 30" in lines and not any("press fit" in name for name in lines)


MANGLE = EXAMPLE.parent / "village-mangle"
PRESSED = ("{kind: press fit, hub diameter: 40 mm, length: 40 mm, hub material: steel, roughness: [4 um, 4 um], "
           "friction: 0.12, warmest: 30 degC, coldest: 10 degC}")


def mangle(hub):
    """The mangle with single helical teeth of 25 degrees on its crank, the pinion held otherwise than by a key."""
    text = (MANGLE / "machine.yaml").read_text(encoding="utf-8")
    key = "{at: 130 mm, key: 8x7x40, keys: 1, key steel: C45+N, hub steel: C45+N, mass: 0.6 kg}"
    held = f"{{at: 130 mm, fit: H7/s6, hub steel: C45+N, hub: {hub}, mass: 0.6 kg}}"
    return read_text(text.replace(key, held).replace("    double: yes\n", "").replace("    floats: from\n", ""))


def test_thrust_of_helical_teeth_reaches_their_hub():
    """250 N on 250 mm; thrust is tan 25 deg of the pull at 22 teeth of 2 mm: torque and thrust share one friction."""
    [slip] = [f for f in rate(solve(mangle(PRESSED))).findings if f.mode == "press fit slip"]
    thrust = 2 * 62.5 / (22 * 2 * MM / math.cos(math.radians(25))) * math.tan(math.radians(25))
    assert thrust > 1e3
    assert slip.demand == approx(math.hypot(62.5, thrust * 12.5 * MM), rel=1e-6)


def test_a_stated_force_along_the_shaft_is_that_of_the_file():
    machine = mangle("{kind: cross pin, diameter: 6 mm, hub diameter: 40 mm, pin steel: C45+N, axial force: 3 kN}")
    [hub] = [f for f in rate(solve(machine)).findings if f.mode == "cross pin in hub"]
    assert hub.demand == approx(math.hypot(4 * 62.5 / (6 * MM * (40**2 - 25**2) * MM**2), 3e3 / (6 * MM * 15 * MM)))


def test_a_chain_pulls_square_to_its_shaft_wherever_it_runs():
    """Without `line` nobody knows where the wheel stands; what its set screws hold along the shaft is still nothing."""
    text = (EXAMPLE / "machine.yaml").read_text(encoding="utf-8").replace("    line: 60 deg\n", "")
    [slip] = [f for f in rate(solve(read_text(text))).findings if f.mode == "set screw slip"]
    assert slip.demand == approx(87.5 * 2 / 3)


def test_a_fit_with_play_leaves_a_clamp_two_lines(verdict):
    """Even pressure carries half pi times the torque of two lines, and g6 always leaves play."""
    loose, path = rate(solve(changed_example(hand__seats__crank__fit="H7/g6"))), "shafts.hand.seats.crank.hub"
    assert one(loose, path, "clamp slip").rating == approx(one(verdict, path, "clamp slip").rating * 2 / math.pi)


def test_a_friction_in_per_cent_is_refused():
    with pytest.raises(MachineErrors, match=r"friction is 12; it must be at most 1\."):
        changed_example(**{"rack__seats__rack chain__hub__friction": "12"})


def test_the_hub_of_a_key_is_no_thinner_than_twice_its_shaft():
    """S355J2 yields at 355 MPa in 32 mm and loses 0.26 of it per tenfold size (DIN 743-2): 90 mm round a shaft of 45."""
    found = one(rate(solve(read(MANGLE))), "shafts.roller.seats.linen.key", "flank pressure")
    assert found.rating == approx(0.9 * 355e6 * (1 - 0.26 * math.log10(90 / 32)))


def test_a_key_under_a_pressed_hub_keeps_the_larger_of_both_notches():
    """A seat of 620 MPa steel: 2.7 (R_m/1000)^0.43 at the edge of the hub leads in bending, the keyseat in torsion.

    Shigley's Table 7-1: 3.0 in torsion at a radius of 0.02 d; Neuber's constant of eq. 6-35b, R_m in kpsi.
    """
    machine = changed_example(**{"rack__seats__rack chain__key": "8x7x32", "rack__seats__rack chain__keys": "1"})
    solved, R_m = solve(machine), 620e6
    steel = Steel(R_m, 370e6, math.nan, Source("a bar"), ())
    found, origins = notch_of(solved.machine.shafts["rack"], "rack chain", True, 0.030, steel)
    k = R_m / 6.894757e6
    root_a = (0.190 - 2.51e-3 * k + 1.35e-5 * k**2 - 2.67e-8 * k**3) * math.sqrt(25.4)
    assert found["K_ts"] == approx(1 + 2.0 / (1 + root_a / math.sqrt(0.6)), rel=1e-5)
    assert found["K_t"] == approx(2.7 * 0.62**0.43, rel=0.02)  # 30 mm, where the factor holds at 40
    assert found["tested"] == 1 and "keyseat" not in origins["K_t"].work and "7-1" in origins["K_ts"].work + origins["K_ts"].place
    alone = notch_of(read(EXAMPLE).shafts["rack"], "rack chain", True, 0.030, steel)[0]
    assert alone["K_t"] == found["K_t"] and alone["K_ts"] < found["K_ts"]
