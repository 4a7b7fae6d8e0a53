"""Many draws rated by plan: the same answers as rating every row of every draw, and one draw at a time."""

import sys
from pathlib import Path

import numpy as np
import pytest

import layshaft
from layshaft.machine.sampling import at_sample, doubts, with_draws
from layshaft.study.draws import drawn
from layshaft.study.outcomes import chunk, outcomes
from layshaft.trace.findings import HOLDS, UNKNOWN, WORST_FIRST, verdicts
from layshaft.trace.formula import skips
from layshaft.train.solve import solve
from layshaft.verdict.narrowed import FEW, TRIALS, narrowed, near_rows
from layshaft.verdict.needed import needed, only
from layshaft.verdict.sampled import RATED, plan_of, rated_draws

HERE = Path(__file__).parents[2]
sys.path.append(str(HERE / "benchmarks"))
import generated  # noqa: E402

EXAMPLES = sorted(p.parent.name for p in (HERE / "examples").glob("*/machine.yaml"))


def generated_machine(tmp_path):
    (tmp_path / "machine.yaml").write_text(generated.machine_text(), encoding="utf-8")
    return layshaft.read(tmp_path)


def every_row(verdict, n):
    """Worst share and code of every finding, from all rows of all cases."""
    found = {}

    def keep(key, share, code):
        share, code = np.broadcast_to(share, (n,)), np.broadcast_to(code, (n,))
        old = found.get(key, (np.full(n, np.inf), np.full(n, HOLDS)))
        found[key] = np.minimum(old[0], share), np.minimum(old[1], code)

    for r in verdict.rated:
        for p, c in zip(*np.nonzero(r.asked), strict=True):
            keep((r.block.parts[p].path, r.mode), r.ranked[p, c], r.codes[p, c])
    for f in verdict.whole:
        each = np.float64(f.margin) if f.each is None else f.each
        spoilt = f.each is not None and np.isfinite(f.each).any()  # the mean of draws of which one is unknown
        code = verdicts(1.0, 1.0, each, f.required, bool(f.hurts))
        code = UNKNOWN if f.verdict == "unknown" and not spoilt else code
        keep((f.part, f.mode), np.nan_to_num(each / f.required, nan=0.0), code)
    return found


def compared(machine, n=16):
    draws = drawn(machine, n, 3)
    sampled = with_draws(machine, draws)
    with np.errstate(all="ignore"):
        plain = every_row(layshaft.rate(layshaft.solve(sampled)), n)
    mine = rated_draws(plan_of(machine), layshaft.solve(sampled, asked=RATED))
    assert mine.keys() == plain.keys()
    for key, (share, code) in plain.items():
        np.testing.assert_allclose(mine[key][0], share.astype(np.float32), rtol=1e-6, err_msg=str(key))
        assert (mine[key][1] == code).all(), key
    return mine


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_plan_answers_as_every_row_of_every_case_does(name):
    machine = layshaft.read(HERE / "examples" / name)
    if doubts(machine):
        assert compared(machine)


def test_so_it_does_on_the_machine_of_the_benchmarks(tmp_path):
    assert len(compared(generated_machine(tmp_path), 8)) > 600


def test_a_draw_among_many_is_the_check_of_that_machine_alone(tmp_path):
    machine = generated_machine(tmp_path)
    draws = drawn(machine, 64, 2)
    sampled, found = with_draws(machine, draws), outcomes(machine, draws)
    for i in (0, 17, 63):
        alone = layshaft.rate(layshaft.solve(at_sample(sampled, i)))
        words = {(f.part, f.mode): f.verdict for f in alone.findings}
        assert {key: WORST_FIRST[found.codes[found.row(key), i]] for key in found.keys} == words


def test_answers_do_not_depend_on_how_the_draws_are_cut(tmp_path, monkeypatch):
    machine = generated_machine(tmp_path)
    draws, found = {c: v[:96] for c, v in drawn(machine, 128, 1).items()}, []
    for size in (96, 40, 7):
        monkeypatch.setattr("layshaft.study.outcomes.at_once", lambda *_, size=size: size)
        found.append(outcomes(machine, draws))
    for other in found[1:]:
        assert other.keys == found[0].keys
        np.testing.assert_allclose(other.share, found[0].share, rtol=2e-7)
        assert (other.codes == found[0].codes).all()


def _sections(machine):
    return next(r.block for r in layshaft.rate(layshaft.solve(machine)).rated if r.mode == "yield")


def test_only_the_formulas_a_margin_stands_on_are_evaluated():
    """The margin against yield of a shaft stands on neither its endurance limit nor the opinions beside it."""
    block = _sections(layshaft.read(HERE / "examples" / "harbour-light"))
    formulas = needed(block, ["yield"])
    assert 5 < sum(formulas) < len(formulas) / 4
    whole = {check.mode: check for check in block.rated()}
    with only(formulas):
        some = {check.mode: check for check in block.rated()}
    assert skips.get() is None
    np.testing.assert_array_equal(some["yield"].margin, whole["yield"].margin)
    assert np.isnan(some["fatigue"].margin).all() and np.isfinite(whole["fatigue"].margin).any()


def test_a_value_of_no_stated_origin_may_stand_on_all_before_it():
    """The thrust factors of a bearing are read between rows by a load ratio that leaves no link on the sheet."""
    verdict = layshaft.rate(layshaft.solve(layshaft.read(HERE / "examples" / "harbour-light")))
    block = next(r.block for r in verdict.rated if r.mode == "rating life")
    with only(needed(block, ["rating life"])):
        some = {check.mode: check for check in block.rated()}
    whole = {check.mode: check for check in block.rated()}
    np.testing.assert_array_equal(some["rating life"].margin, whole["rating life"].margin)
    assert np.isfinite(whole["rating life"].margin).any()


@pytest.mark.parametrize("name", [*EXAMPLES, "generated"])
def test_a_few_findings_have_the_answers_they_have_among_all(name, tmp_path):
    """Every seventh finding, of whatever kind, and those that are on the machine as a whole."""
    machine = generated_machine(tmp_path) if name == "generated" else layshaft.read(HERE / "examples" / name)
    if not doubts(machine):
        return
    draws = drawn(machine, 64, 3)
    every = outcomes(machine, draws)
    whole = [f for f in layshaft.rate(layshaft.solve(machine)).whole if f.verdict != "unknown"]
    for some in (every.keys[::7][:20], every.keys[3::40][:5], [(f.part, f.mode) for f in whole][::5]):
        if some:
            few = outcomes(machine, draws, only=frozenset(some))
            assert few.keys == sorted(set(some))
            rows = [every.row(key) for key in few.keys]
            np.testing.assert_allclose(few.share, every.share[rows], rtol=1e-6)
            assert (few.codes == every.codes[rows]).all()


def test_what_is_far_from_the_worst_of_a_few_findings_is_not_solved(tmp_path):
    machine = generated_machine(tmp_path)
    asked = frozenset({("shafts.s3", "yield"), ("stages.gear 1", "flank wear")})
    assert near_rows(machine, asked, drawn(machine, FEW, 1)) is None
    plan = narrowed(machine, asked, near_rows(machine, asked, drawn(machine, 2 * FEW, 1)))
    assert plan.asked.shafts == {"s3"} and plan.asked.stages == {"gear 1"}
    assert sum(title.startswith("held fast") for title in plan.asked.without) > 15
    assert plan.rows < plan_of(machine).rows / 10


def _far_out(machine, n, times):
    """Draws of spreads so many times as wide, upwards, and down to a twentieth of the value: in many it stands."""
    nominal = {cause: given.nominal for cause, given in doubts(machine).items()}
    return {cause: np.maximum(nominal[cause] + times * (values - nominal[cause]), nominal[cause] / 20)
            for cause, values in drawn(machine, n, 1).items()}


LIGHT = layshaft.read(HERE / "examples" / "harbour-light")


def test_a_machine_that_stands_in_some_draws_is_judged_alike_however_they_are_cut(monkeypatch):
    """Sense and uneven turning were once read off draws that have no speed.

    Damping and stiffness by which a train twists are still means of the draws in hand.
    """
    draws, found = _far_out(LIGHT, 64, 3), []
    for size in (64, 24, 1):
        monkeypatch.setattr("layshaft.study.outcomes.at_once", lambda *_, size=size: size)
        found.append(outcomes(LIGHT, draws))
    stands = found[0].unknown[found[0].row(("wants.lens speed", "mean speed of spindle, error"))]
    assert 0.1 < stands.mean() < 0.9
    swing = found[0].row(("wants.lens speed", "swing of spindle within a turn"))
    for other in found[1:]:
        assert other.keys == found[0].keys
        for numbers in ("share", "codes"):
            mine, first = (np.delete(getattr(o, numbers), swing, axis=0) for o in (other, found[0]))
            np.testing.assert_allclose(mine, first, rtol=2e-6)
        np.testing.assert_allclose(other.share[swing], found[0].share[swing], rtol=0.6)
        assert (other.unknown[swing] == found[0].unknown[swing]).all()


def test_what_is_not_known_of_a_machine_that_stands_is_not_known_when_asked_alone():
    """The torque of a case without an answer was once known on shafts that no other case pushed at."""
    key = ("stages.bell coupling", "steady torque")
    draws = _far_out(LIGHT, 64, 3)
    every, alone = outcomes(LIGHT, draws), outcomes(LIGHT, draws, only=frozenset({key}))
    unknown = every.unknown[every.row(key)]
    assert 0.1 < unknown.mean() < 0.9
    near = frozenset({("stages.bell coupling", "", "steady torque", "running mean")})
    few = chunk(LIGHT, draws, frozenset({key}), near)[key]
    assert (alone.unknown[0] == unknown).all() and ((few[1] == UNKNOWN) <= unknown).all()
    running = solve(with_draws(LIGHT, draws)).speed["bell"][0]
    assert ((few[1] == UNKNOWN) == np.isnan(running)).all()


def test_nothing_is_left_out_of_few_draws_and_next_to_nothing_of_many():
    """Ten times the spreads of the file; the rule of three says 3 / 256 of the draws at most."""
    draws = _far_out(LIGHT, 2 * FEW, 10)
    every = outcomes(LIGHT, draws)
    whole = plan_of(LIGHT).whole
    some = [key for key in every.keys if key not in whole and key[0].startswith("shafts.wind")]
    rows = [every.row(key) for key in some]
    assert len(some) > 10
    many = outcomes(LIGHT, draws, only=frozenset(some))
    apart = ~np.isclose(many.share, every.share[rows], rtol=1e-5) | (many.codes != every.codes[rows])
    assert apart.mean(axis=1).max() < 3 / TRIALS and not (many.holds & ~every.holds[rows]).any()
    some_draws = {cause: values[:FEW] for cause, values in draws.items()}
    few = outcomes(LIGHT, some_draws, only=frozenset(some))
    np.testing.assert_allclose(few.share, every.share[rows][:, :FEW], rtol=1e-5)
    assert (few.codes == every.codes[rows][:, :FEW]).all()
