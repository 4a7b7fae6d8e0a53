"""Which solved number reaches which input: chains told from either end, pairs side by side, keys, couplings.

Closed form: the same machine told in another way has the same demands; what nobody drives is not known.
"""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read, read_text
from layshaft.train.cases import MEAN_WINDING, PEAK, RUNNING, WINDING, Column
from layshaft.train.solve import solve
from layshaft.train.steady import steady_of
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.hazards import hazards
from layshaft.verdict.kinds import chains, couplings, gears, keys, shafts

EXAMPLES = Path(__file__).parents[2] / "examples"
MILL = (EXAMPLES / "cider-mill" / "machine.yaml").read_text(encoding="utf-8")
LIGHT = read(EXAMPLES / "harbour-light")


def mill(*changes):
    """The cider mill with pieces of its file replaced."""
    text = MILL
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def findings(machine):
    return {(f.part, f.place, f.mode): f for f in room.rate(solve(machine)).findings}


def inputs(block, path):
    return next(part for part in block.parts if part.path == path).inputs


def test_a_chain_told_from_its_driven_end_is_asked_the_same():
    told = findings(mill(("from: pedal\n    to: drum", "from: drum\n    to: pedal"), ("[42, 17]", "[17, 42]"),
                         ("line: 50 deg", "line: 230 deg")))
    for key, f in findings(mill()).items():
        if key[0].startswith("stages."):
            assert told[key].demand == pytest.approx(f.demand, rel=1e-9)


def test_the_pull_of_a_chain_is_that_of_the_sprocket_that_drives():
    """Pedal torque over pitch radius: (5.56 / 0.95 x 42/17) N m behind the losses, told at 17 teeth."""
    c = context(solve(mill()))
    T = inputs(chains.block(c), "stages.mill chain")["T_1"][0, 0]
    assert pytest.approx((5.5 + 2 * 0.03) / 0.95, rel=1e-12) == T


def test_a_key_on_which_nothing_acts_is_not_known():
    spare = ("      right bearing: {at: 365 mm",
             "      spare: {at: 250 mm, key: 8x7x25, keys: 1, key steel: C45+N, hub steel: S235JR}\n"
             "      right bearing: {at: 365 mm")
    found = findings(mill(spare))
    for mode in ("flank pressure", "key shear"):
        f = found["shafts.drum.seats.spare.key", "", mode]
        assert f.verdict == "unknown"
        assert "nothing in the file acts on this seat" in f.reason


def test_what_nothing_drives_holds_nothing_but_its_layout():
    start, end = MILL.index("drives:"), MILL.index("stages:")
    found = findings(mill((MILL[start:end], "drives: {}\n")))
    assert {mode for (_, _, mode), f in found.items() if f.verdict == "holds"} == {"collision", "wrap"}
    f = found["shafts.pedal.seats.mill chain.key", "", "flank pressure"]
    assert f.reason == "torque through the key is not known: nothing drives pedal"


def test_gear_pairs_side_by_side_are_each_rated_for_all():
    """Nothing says how rigid teeth share, so each pair alone must carry the torque of one that is alone."""
    text = (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
    start = text.index("  fan gears 2:")
    pair = text[text.index("  fan gears 1:"):start]
    text = text[:start] + pair.replace("fan gears 1:", "fan gears 3:").replace(
        "[gear wheel, gear wheel]", "[gear wheel 2, gear wheel 2]") + text[start:]
    text = text.replace("      gear wheel: {at: 335 mm,", "      gear wheel 2: {at: 358 mm, key: 8x7x25, keys: 1, "
                        "key steel: C45+N, hub steel: S355J2}\n      gear wheel: {at: 335 mm,")
    text = text.replace("      gear wheel: {at: 130 mm,", "      gear wheel 2: {at: 153 mm, key: 5x5x20, keys: 1, "
                        "key steel: C45+N, hub steel: S355J2}\n      gear wheel: {at: 130 mm,")
    alone = inputs(gears.block(context(solve(LIGHT))), "stages.fan gears 1")["T_1"][0, 0]
    twins = gears.block(context(solve(read_text(text, "machine.yaml"))))
    for name in ("fan gears 1", "fan gears 3"):
        assert inputs(twins, f"stages.{name}")["T_1"][0, 0] == pytest.approx(alone, rel=1e-9)


def test_the_steel_of_a_gear_is_that_of_a_bar_over_its_tips():
    parts = {p.path: p for p in gears.block(context(solve(LIGHT))).parts}
    assert "in a bar of 183 mm" in parts["stages.fan gears 2"].origins["R_e2"].place  # 1.5 (120 + 2)
    assert "in a bar of 36 mm" in parts["stages.fan gears 1"].origins["R_e1"].place  # 2 (16 + 2)


def test_the_steel_of_a_shaft_at_a_key_is_that_of_the_whole_bar():
    stepped = mill(("[30 mm, 320 mm], [25 mm, 30 mm]", "[30 mm, 250 mm], [25 mm, 100 mm]"))
    part = next(p for p in keys.block(context(solve(stepped))).parts if p.path == "shafts.drum.seats.wheel.key")
    assert part.inputs["d"] == 0.025
    assert "in a bar of 30 mm" in part.origins["R_e_shaft"].place
    assert "in a bar of 8 mm" in part.origins["R_e_key"].place  # as wide as its section


def test_a_peak_in_a_coupling_stands_on_the_running_torque():
    c = context(solve(LIGHT))
    given = inputs(couplings.block(c), "stages.bell coupling")
    peak = c.solved.cases.index(PEAK)
    mean = 4 * 6.0 / (2 * np.pi) + 2 * 0.03  # four lifts of 6 J a turn, two bearings behind it
    assert given["T_N"][peak, 0] == pytest.approx(mean, rel=1e-12)
    lift = 6.0 / np.deg2rad(80) + 2 * 0.03
    assert given["T_max"][peak, 0] == pytest.approx(lift, rel=1e-12)


def test_what_a_case_swings_about():
    titles = [(RUNNING, RUNNING), (RUNNING, f"{RUNNING}, loop opened at a"), (PEAK, PEAK), (WINDING, MEAN_WINDING),
              (WINDING, "hard"), (WINDING, MEAN_WINDING), (WINDING, "hard"), ("held fast", "held fast at b")]
    assert steady_of([Column(case, title, {}) for case, title in titles]) == [0, 1, 0, 3, 3, 5, 5, 7]


def test_the_hardest_push_of_a_turn_counts_at_the_handle():
    """Torque of the drum and four bearings through one chain, times the ripple, over the length of the pedal."""
    mean = (5.5 + 2 * 0.03) / 0.95 * 42 / 17 + 2 * 0.03
    f = findings(mill())["drives.pedals", "", "handle force"]
    assert f.case == PEAK
    assert f.demand == pytest.approx(1.8 * mean / 0.17, rel=1e-9)


def test_what_sits_without_a_key_counts_as_pressed_on_and_an_empty_seat_as_a_plain_bar():
    """A tight seat in fatigue: DIN 743-2, value from memory; 2.7 at 1000 MPa and 40 mm, so near 2 in this steel."""
    bare = ("apples: {at: 190 mm, key: 8x7x40, keys: 1, key steel: C45+N, hub steel: S235JR, mass: 9 kg}",
            "apples: {at: 190 mm, mass: 9 kg}\n      spare: {at: 170 mm}")
    parts = {p.place: p for p in shafts.sections(context(solve(mill(bare)))).parts}
    assert parts["apples"].inputs["tested"] == 1.0
    assert 1.8 < parts["apples"].inputs["K_t"] < 2.3
    assert "counts as pressed on" in parts["apples"].origins["K_t"].place
    assert parts["apples"].origins["K_t"].weak
    assert parts["spare"].inputs["K_t"] == 1.0
    assert parts["spare"].origins["K_t"].work == "nothing in the file sits here: counted as a plain bar"


def test_who_is_at_risk_is_the_same_behind_a_one_way_hub():
    text = (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
    start, end = text.index("  ratchet:\n    kind: ratchet"), text.index("  lens chain:")
    hub = "  ratchet: {kind: one-way hub, from: wind, to: frame, seats: [ratchet, ratchet]}\n"
    assert hazards(solve(read_text(text[:start] + hub + text[end:], "machine.yaml"))) == hazards(solve(LIGHT))


def test_an_american_number_is_read_as_its_own_chain():
    """ASME B29.1: 3125 lbf for no. 40; the ISO twin 08A is listed with 13.9 kN."""
    block = chains.block(context(solve(mill(("chain: 08B-1", "chain: asme 40-1")))))
    assert inputs(block, "stages.mill chain")["F_u"] == pytest.approx(3125 * 4.4482216, rel=1e-7)
    with pytest.raises(MachineErrors, match="Did you mean '085-1'"):
        mill(("chain: 08B-1", "chain: 085-2"))
