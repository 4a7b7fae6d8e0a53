"""Idlers, twins and load chains as a machine file tells them.

Closed form: a told machine turned round or mirrored is asked the same; what is impossible is refused in one sentence.
"""

from pathlib import Path

import numpy as np
import pytest

from layshaft.bill.parts import parts_list
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.train.cases import FAILED, RUNNING
from layshaft.train.idlers import chain_way
from layshaft.train.solve import solve
from layshaft.train.stages import chain_links
from layshaft.verdict.context import context
from layshaft.verdict.kinds import chains, twins
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

TEXT = (Path(__file__).parents[2] / "examples" / "planter-hoist" / "machine.yaml").read_text(encoding="utf-8")
WHEEL = "stages.crank chain.idlers.tension wheel"


def hoist(*changes):
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return read_text(text, "machine.yaml")


def findings(*changes):
    return {(f.part, f.mode): f for f in rate(solve(hoist(*changes))).findings}


def inputs(block, path):
    return next(part for part in block.parts if part.path == path).inputs


def test_links_go_round_sprockets_and_idler():
    machine = hoist()
    stage = machine.stages["crank chain"]
    left = chain_links(machine, stage) * 15.875e-3 - chain_way(machine, stage)
    assert 0 <= left < 2 * 15.875e-3
    values = inputs(chains.block(context(solve(machine))), "stages.crank chain")
    assert values["L_0"] == pytest.approx(left)
    assert values["a"] == 0.465
    assert values["s_i"] == pytest.approx(1 / 23)


def test_an_idler_on_the_strand_that_pulls_does_not_hold():
    f = findings(("off: -35 mm", "off: 35 mm"))[WHEEL, "idler on the slack strand"]
    assert f.verdict == "fails"
    assert findings()[WHEEL, "idler on the slack strand"].verdict == "holds"


def test_the_chain_told_from_its_other_end_has_the_same_idler():
    """Seen from the driven sprocket the line turns by 180 deg: so does the side, and the place counts from there."""
    told = findings(("    from: crank\n    to: lay\n", "    from: lay\n    to: crank\n"),
                    ("    teeth: [19, 38]\n    centres: 465 mm\n    line: 60 deg",
                     "    teeth: [38, 19]\n    centres: 465 mm\n    line: 240 deg"),
                    ("along: 190 mm, off: -35 mm", "along: 275 mm, off: 35 mm"))
    for key, f in findings().items():
        if key[0].startswith("stages.crank chain"):
            assert told[key].margin == pytest.approx(f.margin, rel=1e-9, nan_ok=True), key


def test_the_slack_pull_on_the_shafts_follows_the_bent_strand():
    """The two ends of a strand round an idler pull with one force in two directions: their sum loads the idler."""
    on = []
    for solved in (solve(hoist()), solve(hoist(("slack force: 15 N\n    idlers", "slack force: 0 N\n    idlers")))):
        loads = [solved.loads[shaft] for shaft in ("crank", "lay")]
        on.append([x.force[x.at("crank chain")][:, 0, 0] for x in loads])
    at_crank, at_lay = (on[0][i] - on[1][i] for i in (0, 1))
    resultant = at_crank + at_lay  # tight strand cancels, the slack one leaves the force on the idler
    assert np.linalg.norm(resultant) == pytest.approx(2 * 15 * np.sin(np.deg2rad(49.40) / 2), rel=2e-3)


@pytest.mark.parametrize(("change", "said"), [
    (("along: 190 mm", "along: 90 mm"), r"its axis stands 96\.57 mm from that of shaft 'crank', and the two wheels need "
     r"more than 106\.1 mm"),
    (("off: -35 mm", "off: -140 mm"), r"outside the loop it reaches to 81\.89 mm from the line of centres, and the strand "
     r"runs at 67\.98 mm there"),
    (("off: -35 mm", "off: 0 mm"), "between the two strands"),
    (("travel: 25 mm", "travel: 60 mm"), "the other strand runs at"),
    (("    idlers:\n", "    links: 80\n    idlers:\n"), r"80 links are 1270 mm long, and the way .* Write at least 90"),
    (("    idlers:\n", "    idlers:\n      second: {teeth: 17, along: 300 mm, off: -100 mm, runs: outside}\n"),
     "it stands on the same strand as"),
    (("runs: outside", "runs: beside"), "inside"),
    (("teeth: 23", "teeth: 5"), "at least 6"),
])
def test_what_cannot_be_built_is_refused_in_one_sentence(change, said):
    with pytest.raises(MachineErrors, match=said) as e:
        solve(hoist(change))
    assert "machine.yaml:" in str(e.value)


def test_twins_carry_the_whole_pull_between_them_and_twice_when_one_parts():
    c = context(solve(hoist()))
    F = inputs(twins.block(c), "stages.twin 1")["F_a"]
    running, failed = c.solved.cases.index(RUNNING), c.solved.cases.index(FAILED)
    assert F[failed, 0] == pytest.approx(2 * F[running, 0], rel=1e-9)
    T = [inputs(chains.block(c), f"stages.twin {n}")["T_1"][failed, 0] for n in (1, 2)]
    assert T[0] == 0  # the one that has gone
    assert T[1] == pytest.approx(F[failed, 0] * 0.0578694, rel=1e-4)  # 19 teeth of 3/4 in: 57.87 mm


def test_what_is_not_doubled_is_named():
    said = next(text for text in by_text(rate(solve(hoist()))) if text.startswith("There once"))
    assert all(name in said for name in ("shaft lay", "shaft hoist", "shafts.hoist.seats.load chain",
                                         "shafts.lay.seats.crank chain"))
    assert "twin" not in said


def test_twins_of_unknown_length_share_as_nobody_knows():
    f = findings(("    length tolerance: {value: 0.05 %, between: [0.02 %, 0.15 %], source: assumed, note: both from one "
                  "box}\n", ""), ("    length tolerance: same as stages.twin 1.length tolerance\n", ""))
    assert f["stages.twin 1", "tighter of two"].verdict == "unknown"
    assert "length tolerance" in f["stages.twin 1", "tighter of two"].reason
    assert f["stages.twin 1", "one chain alone"].verdict == "holds"


def test_a_load_chain_without_a_word_on_its_link_is_unknown():
    f = findings(("    connecting link: press fit\n    strand length", "    strand length"))
    assert f["drives.planter", "slow hoisting duty"].verdict == "unknown"
    assert f["drives.planter", "no offset link"].verdict == "unknown"
    cranked = findings(("    connecting link: press fit\n    strand length",
                        "    connecting link: offset link\n    strand length"))
    assert cranked["drives.planter", "no offset link"].verdict == "fails"


def test_moving_the_axes_too_lets_the_chain_wear_out():
    before, after = findings(), findings(("    slack force: 15 N\n    idlers", "    take up: 12 mm\n    idlers"))
    key = "stages.crank chain", "wear elongation"
    assert before[key].verdict == "fails" and after[key].verdict == "holds"
    assert after["stages.crank chain", "wear life"].rating > before["stages.crank chain", "wear life"].rating


@pytest.mark.parametrize(("left_out", "named"), [
    ("along: 190 mm, ", "tension wheel.along: not given"), ("off: -35 mm, ", "tension wheel.off: not given"),
    ("    centres: 465 mm\n", "crank chain.centres: not given"),
])
def test_what_an_idler_lacks_is_named(left_out, named):
    f = findings((left_out, ""))["stages.crank chain", "wear elongation"]
    assert f.verdict == "unknown" and named in f.reason


def test_the_idler_is_on_the_list_of_parts():
    solved = solve(hoist())
    lines = [line for line in parts_list(solved.machine, solved) if WHEEL in line.where]
    assert [line.name for line in lines] == ["idler sprocket 10B-1, 23 teeth, with its bearing and bracket"]


def test_unlike_twins_share_as_nobody_knows_and_each_is_rated_for_all():
    text = TEXT.replace("chain: 12B-1", "chain: 16B-1", 1)
    solved = solve(read_text(text, "machine.yaml"))
    f = {(f.part, f.mode): f for f in rate(solved).findings}["stages.twin 2", "tighter of two"]
    assert f.verdict == "unknown" and "differ in chain, teeth or stiffness" in f.reason
    assert solved.carried["twin 2"][0, 0] == pytest.approx(
        sum(np.abs(solved.stage_torque[f"twin {n}"][0][0, 0]) for n in (1, 2)), rel=1e-9)


def test_two_axes_on_one_another_have_no_strand_between_them():
    """No direction, no pull: unknown, and no division by nothing."""
    text = (Path(__file__).parents[2] / "examples" / "herb-winder" / "machine.yaml").read_text(encoding="utf-8")
    machine = read_text(text.replace("    centres: about 420 mm", "    centres: 1e-30 mm", 1))
    [found] = [f for f in rate(solve(machine)).findings
               if f.part == "shafts.rack.seats.left bearing.bearing" and f.mode == "static load"]
    assert found.verdict == "unknown"
