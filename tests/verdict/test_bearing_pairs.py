"""Angular contact and tapered roller bearings in a machine: facing, load centres, outer thrust, what is missing."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import bearing_pair as bp
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import sample
from layshaft.train.solve import solve
from layshaft.verdict.kinds.bearing_pairs import axial_on
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

EXAMPLES = Path(__file__).parents[2] / "examples"
PAIR = (EXAMPLES / "published/tapered-pair/machine.yaml").read_text(encoding="utf-8")
PUMP = (EXAMPLES / "village-pump/machine.yaml").read_text(encoding="utf-8")
FIRST, SECOND = (f"shafts.spindle.seats.{word} bearing.bearing" for word in ("first", "second"))
FACE = ("facing: back to back", "facing: face to face")


def changed(*pairs, text=PAIR):
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return text


def verdict(*pairs, text=PAIR):
    return rate(solve(read_text(changed(*pairs, text=text))))


def modes(v, path):
    return {f.mode: f for f in v.findings if f.part == path}


def rows(v, path):
    """Inputs and rating of one bearing in the running case."""
    [block] = [r.block for r in v.rated if r.block.kind == "bearing of a pair" and r.mode == "rating life"]
    [part] = [p for p in block.parts if p.path == path]
    return part.inputs, bp.rate(block.single(part, 0))


def said(v, words):
    return [paths for text, paths in by_text(v).items() if words in text]


def test_facing_turns_the_thrust_over_to_the_other_bearing():
    """2000 N to the right: back to back the left one is pressed, face to face the right one."""
    for pairs, pressed in (((), FIRST), ((FACE,), SECOND)):
        v = verdict(*pairs)
        for path in (FIRST, SECOND):
            inputs, rating = rows(v, path)
            assert inputs["K_a"][0, 0] == approx(2000 if path == pressed else -2000)
            own, other = inputs["k_i"] * inputs["F_r"][0, 0], inputs["k_o"] * inputs["F_o"][0, 0]
            assert approx(max(own, other + inputs["K_a"][0, 0])) == rating.F_a


def test_thrust_turned_round_presses_on_the_other():
    v = verdict(("[2000 N, 5500 N, 0 N]", "[-2000 N, 5500 N, 0 N]"))
    assert rows(v, FIRST)[0]["K_a"][0, 0] == approx(-2000)
    assert rows(v, SECOND)[1].F_a == approx(2000 + rows(v, FIRST)[0]["k_i"] * rows(v, FIRST)[0]["F_r"][0, 0])


def test_load_centres_lie_apart_back_to_back_and_nearer_face_to_face():
    for pairs, centres in (((), (20.1, 103.9)), ((FACE,), (30.875 + 10.775, 98.625 - 5.275))):
        loads = verdict(*pairs).solved.loads["spindle"]
        assert np.array(loads.centres) * 1e3 == approx(centres)
        x_1, x_2 = centres  # statics by hand, the shaft's own weight left out
        radial = np.linalg.norm(loads.reaction[:, :, 0, 0], axis=1)
        assert radial == approx([5500 * (x_2 - 80) / (x_2 - x_1), 5500 * (80 - x_1) / (x_2 - x_1)], rel=1e-3)


def test_a_load_centre_beyond_the_end_of_the_shaft_is_reached():
    """A pull beyond the bearings, the right load centre past the shaft's end: the shaft still hangs on both."""
    loads = verdict(("load centre: 13.9 mm", "load centre: 60 mm")).solved.loads["spindle"]
    assert loads.centres[1] * 1e3 == approx(98.625 + 60 - 8.625)
    span = loads.centres[1] - loads.centres[0]
    assert np.linalg.norm(loads.reaction[1, :, 0, 0]) == approx(5500 * (0.080 - 0.0201) / span, rel=1e-3)


def test_without_a_load_centre_the_middle_counts_and_it_is_said():
    v = verdict(("    load centre: 19.9 mm\n", ""))
    assert v.solved.loads["spindle"].centres[0] == approx(0.030875)
    assert said(v, "no load centre") == [[FIRST]]
    assert not said(verdict(), "no load centre")
    assert said(v, "neither play nor preload") == [[FIRST, SECOND]]


@pytest.mark.parametrize(("change", "part", "reason"), [
    (("    Y: 0.73\n", ""), FIRST, "parts.30305 D.Y"),
    (("    e: 0.83\n", ""), FIRST, "parts.30305 D.e"),
    (("facing: back to back, ", ""), FIRST, "facing: not given"),
    (("bearing: 30305 D, facing: back to back", "bearing: open"), SECOND, "only two of them")])
def test_what_is_missing_is_said_by_name(change, part, reason):
    found = modes(verdict(change), part)["rating life"]
    assert found.verdict == "unknown"
    assert reason in found.reason


def test_oil_is_not_reckoned_in_pairs():
    found = modes(verdict(("must run: normally", "base oil: 110 mm2/s, must run: normally")), FIRST)["modified life"]
    assert found.verdict == "unknown"
    assert "deep groove bearings alone" in found.reason


def test_induced_thrust_and_factors_where_the_list_has_none():
    """30305 D at 28.811 degrees: e 0.825, Y 0.727, Y0 0.40; without its own word 1/(2 Y). Angular contact balls: e."""
    bare = [(f"    {line}\n", "") for line in ("e: 0.83", "Y: 0.73", "Y0: 0.40",
                                               "induced thrust: {value: 0.821918, source: listed, note: 0.6/Y}")]
    angle = ("load centre: 19.9 mm", "contact angle: 28.811 deg\n    load centre: 19.9 mm")
    inputs, _ = rows(verdict(*bare, angle), FIRST)
    assert [inputs[k] for k in ("e", "X", "Y", "Y_0", "k_i")] == approx([0.825, 0.4, 0.727, 0.4, 0.6875], rel=1e-3)
    ball = ("  30305 D:\n    kind: tapered roller", "  30305 D:\n    kind: angular contact")
    inputs, _ = rows(verdict(*bare, angle, ball, ("28.811", "40")), FIRST)
    assert [inputs[k] for k in ("e", "X", "Y", "Y_0", "k_i", "p")] == approx([1.14, 0.35, 0.57, 0.26, 1.14, 3.0])
    found = modes(verdict(*bare, angle, ball, ("28.811", "15")), FIRST)["rating life"]
    assert "from 20 to 45 deg" in found.reason


def test_static_safety_of_rollers():
    """Asked as for shocks where nothing is said; the builder's own word wins."""
    for pairs, asked in (((), 1.5), ((("must run: normally, ", ""),), 3.0),
                         ((("runs:", "margins: {static load: 2.5}\nruns:"),), 2.5)):
        assert modes(verdict(*pairs), FIRST)["static load"].required == asked
    slope = modes(verdict(), "shafts.spindle.seats.first bearing")["slope at bearing"]
    assert slope.rating == approx(0.0012)


BALLS = """  angular 25: {kind: angular contact bearing, source: listed, read in: list of an invented maker, bore: 25 mm, \
outside: 52 mm, width: 15 mm, dynamic rating: 15 kN, static rating: 9.3 kN, contact angle: 40 deg}
"""


def test_a_push_of_either_sense_goes_towards_each_of_the_two():
    """The pump's coupling pushes 0.4 mm x 300 N/mm along the shaft, nobody knows which way."""
    crank = PUMP[PUMP.index("  crank:\n    module"):PUMP.index("  pump:\n    module")]
    assert crank.count("6205") == 2, crank
    text = PUMP.replace(crank, crank.replace('bearing: "6205"', "facing: face to face, bearing: angular 25"))
    v = verdict(("\nparts:\n", f"\nparts:\n{BALLS}"), text=text)
    for name in ("left bearing", "right bearing"):
        inputs, rating = rows(v, f"shafts.crank.seats.{name}.bearing")
        assert (inputs["K_a"][0, 0], inputs["K_u"][0, 0]) == approx((0, 120))
        own, other = 1.14 * inputs["F_r"][0, 0], 1.14 * inputs["F_o"][0, 0]
        assert approx(max(own, other + 120)) == rating.F_a
    assert not [r for r in v.rated if r.block.kind == "ball bearing" and any(
        p.shaft == "crank" for p in r.block.parts)]


def test_life_over_the_duty_by_hand():
    """The pull is there for 40 % of the time: shares of life add up, 10/3 as the exponent."""
    v = verdict(("load: {kind: pull, shaft", "load: {kind: pull, engaged: 40 %, shaft"))
    [block] = [r.block for r in v.rated if r.mode == "life over the duty"]
    assert {p.inputs["p"] for p in block.parts} == {10 / 3}
    turns = 50_000 * 3600 * 10.0
    for part in block.parts:
        _, loaded = rows(v, part.path)
        C = part.inputs["C"]
        free = 0.6 * turns / (1e6 * 1000 ** (10 / 3))  # nothing but its own weight: the life ends at a thousandth of C
        by_hand = 0.4 * turns / (1e6 * (C / loaded.P) ** (10 / 3)) + free
        assert part.inputs["u"][0] == approx(by_hand, rel=1e-3)
        assert part.inputs["N_L"][0] == approx(turns)


def test_samples_are_single_calculations():
    """Doubt in the thrust and in Y: every draw is rated as a machine of its own."""
    text = changed(("force: [2000 N, 5500 N, 0 N]", "force: [{value: 0 N, between: [-3000 N, 3000 N]}, 5500 N, 0 N]"),
                   ("    Y: 0.73\n", "    Y: {value: 0.73, between: [0.70, 0.76]}\n"))
    v = rate(solve(sample(read_text(text), 8, seed=1)))
    [r] = [r for r in v.rated if r.block.kind == "bearing of a pair" and r.mode == "rating life"]
    for i, part in enumerate(r.block.parts):
        for k in range(8):
            alone = bp.rate(r.block.single(part, 0, sample=k)).checks[1].margin
            assert np.asarray(r.check.margin)[i, 0, k] == approx(float(alone), rel=1e-12)


def test_frames_and_fixings_get_the_axial_load_of_the_bearing():
    v = verdict()
    F_a, holds = axial_on(v.context, v.solved.machine.shafts["spindle"], "first bearing")
    assert holds == 1
    assert F_a[0, 0] == approx(rows(v, FIRST)[1].F_a)


def test_the_shaft_feels_what_the_heavier_loaded_bearing_holds():
    v = verdict()
    block = next(r.block for r in v.rated if r.block.kind == "shaft section")
    assert [p.inputs["F_a"][0, 0] for p in block.parts] == approx([rows(v, FIRST)[1].F_a] * len(block.parts))


@pytest.mark.parametrize(("change", "words"), [
    (("bearing: \"30206\", facing: back to back", "bearing: \"30206\", facing: face to face"), "face in one way"),
    (("load: {at: 80 mm}", "load: {at: 80 mm, facing: back to back}"), "only angular contact and tapered"),
    (FACE, "meet or change places")])
def test_what_cannot_be_is_refused_in_a_sentence(change, words):
    more = [("load centre: 13.9 mm", "load centre: 90 mm")] if change is FACE else []
    with pytest.raises(MachineErrors) as refused:
        read_text(changed(change, *more))
    assert words in str(refused.value)


def test_more_than_two_are_unknown():
    third = ("load: {at: 80 mm}", "load: {at: 80 mm}\n      third bearing: {at: 90 mm, bearing: \"30206\", drag: 0 N m}")
    found = modes(verdict(third), FIRST)["rating life"]
    assert "3 angular contact or tapered roller bearings" in found.reason
