"""Many draws rated by plan: the same answers as rating every row of every draw, and one draw at a time."""

import sys
from pathlib import Path

import numpy as np
import pytest

import layshaft
from layshaft.machine.sampling import at_sample, doubts, with_draws
from layshaft.study.draws import drawn
from layshaft.study.outcomes import outcomes
from layshaft.trace.findings import HOLDS, UNKNOWN, WORST_FIRST, verdicts
from layshaft.trace.formula import skips
from layshaft.verdict.narrowed import narrowed
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
    plan = narrowed(machine, frozenset({("shafts.s3", "yield"), ("stages.gear 1", "flank wear")}))
    assert plan.asked.shafts == {"s3"} and plan.asked.stages == {"gear 1"}
    assert sum(title.startswith("held fast") for title in plan.asked.without) > 15
    assert plan.rows < plan_of(machine).rows / 10
