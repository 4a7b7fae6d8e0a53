"""Doubt carried through whole machines: against plain random draws, closed forms of a sum, and the checks themselves."""

import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.faces.cli import app
from layshaft.faces.doubt import bar, doubt_text
from layshaft.faces.pages.words import odds_words
from layshaft.machine.sampling import doubts, quantile
from layshaft.study.doubt import doubt
from layshaft.study.draws import drawn, kind_of, kinds_of
from layshaft.study.outcomes import outcomes
from layshaft.trace.findings import HOLDS
from machine.samples import SMALL

EXAMPLES = Path(__file__).parents[2] / "examples"
MILL = layshaft.read(EXAMPLES / "cider-mill")
FOUND = doubt(MILL, 256)


def test_odds_agree_with_plain_random_draws():
    """512 independent draws by the older way of drawing; 3 standard errors of both and a little."""
    plain = layshaft.rate(layshaft.solve(layshaft.sample(MILL, 512, 5)))
    apart = doubt(MILL, 512, alike=0.0)
    for rated in plain.rated:
        for p, part in enumerate(rated.block.parts):
            if rated.asked[p].any() and sum(q.path == part.path for q in rated.block.parts) == 1:
                share = np.where(rated.asked[p][:, None], rated.codes[p] == HOLDS, True).all(axis=0).mean()
                mine = next(o.holds for o in apart.odds if (o.finding.part, o.finding.mode) == (part.path, rated.mode))
                assert mine == pytest.approx(share, abs=3 * np.sqrt(0.25 / 512) + 0.01)


def test_a_flip_is_where_the_check_itself_changes_its_word():
    flips = [f for f in FOUND.flips if (g := doubts(MILL)[f.cause]).high - g.low > 0][:8]
    assert flips
    for f in flips:
        g = doubts(MILL)[f.cause]
        step = 0.02 * (g.high - g.low)
        words = []
        for value in (f.value - step, f.value + step):
            machine = layshaft.apply(MILL, {"set": {f.cause: f"{value!r} {g.dimension.si}".strip()}})
            verdict = layshaft.rate(layshaft.solve(machine))
            words.append(next(x.verdict == "holds" for x in verdict.findings if (x.part, x.mode) == f.key))
        assert words == [f.holds_below, not f.holds_below]


def test_no_draw_is_worse_than_all_guesses_at_their_bad_ends():
    for o in FOUND.odds:
        assert o.at_worst <= FOUND.outcomes.share[FOUND.outcomes.row((o.finding.part, o.finding.mode))].min() * (1 + 1e-5)


def test_the_same_seed_gives_the_same_answer_in_any_chunks(monkeypatch):
    monkeypatch.setattr("layshaft.study.outcomes.at_once", lambda *_: 50)
    again = doubt(MILL, 256)
    assert (again.outcomes.codes == FOUND.outcomes.codes).all()
    assert [w.cause for w in again.owners] == [w.cause for w in FOUND.owners]


def test_guesses_of_one_kind_are_wrong_alike():
    """A sum of n values of correlation r has n + n (n - 1) r times the variance of one: any text on probability."""
    machine = layshaft.read(EXAMPLES / "harbour-light")
    causes = doubts(machine)
    of = [c for c, kind in kinds_of(machine, causes).items() if kind == "offset of coupling"]
    assert len(of) == 3 and kind_of(machine, of[0]) == "offset of coupling"
    together, apart = drawn(machine, 4096, 1), drawn(machine, 4096, 1, 0.0)

    def scaled(draws):
        return np.stack([(draws[c] - draws[c].mean()) / draws[c].std() for c in of])

    assert np.corrcoef(scaled(apart))[0, 1] == pytest.approx(0, abs=0.02)
    assert np.corrcoef(scaled(together))[0, 1] == pytest.approx(0.5, abs=0.05)
    assert scaled(together).sum(axis=0).var() == pytest.approx(3 + 3 * 2 * 0.5, rel=0.05)
    assert scaled(apart).sum(axis=0).var() == pytest.approx(3, rel=0.05)


@pytest.mark.parametrize("written", ["value: 96 kg, between: [90 kg, 99 kg], source: assumed",
                                     "value: 96 kg, between: [90 kg, 99 kg], even: yes, source: assumed",
                                     "value: 96 kg, between: [90 kg, 99 kg], source: measured"])
def test_quantiles_have_the_moments_of_the_distribution(written):
    """Triangle: (a + b + c)/3; even: (a + b)/2 and (b - a)^2/12; any text on distributions."""
    machine = layshaft.read_text(SMALL.replace("value: 96 kg, between: [90 kg, 99 kg], source: measured", written))
    given = doubts(machine)["drives.weight.mass"]
    from scipy.special import ndtri
    values = quantile(given, ndtri((np.arange(20000) + 0.5) / 20000))
    random = layshaft.sample(machine, 200_000, 1).drives["weight"].mass.value
    assert values.mean() == pytest.approx(random.mean(), abs=0.02)
    assert values.std() == pytest.approx(random.std(), rel=0.01)
    if "even" in written:
        assert (values.mean(), values.var()) == pytest.approx((94.5, 81 / 12), rel=1e-3)
    elif "assumed" in written:
        assert values.mean() == pytest.approx((90 + 96 + 99) / 3, rel=1e-4)
    assert (values >= 90).all() and (values <= 99).all()


def test_an_interrupt_keeps_what_is_done(monkeypatch):
    import layshaft.study.outcomes as room

    calls, rated = [], room.rated_draws

    def stopped(plan, solved):
        calls.append(1)
        if len(calls) == 3:
            raise KeyboardInterrupt
        return rated(plan, solved)

    monkeypatch.setattr(room, "rated_draws", stopped)
    monkeypatch.setattr(room, "at_once", lambda *_: 32)
    assert outcomes(MILL, drawn(MILL, 128, 1)).draws == 64


def test_words_of_the_command():
    text = doubt_text(MILL, FOUND, 0.95)
    for head in ("VERDICTS IN DOUBT", "WHICH GIVEN OWNS THE DOUBT", "ASK ABOUT THIS NEXT", "WHERE A VERDICT FLIPS",
                 "ALL GUESSES AT THEIR BAD ENDS TOGETHER"):
        assert head in text
    assert [odds_words(x) for x in (0.0, 0.049, 0.5, 0.951, 1.0)] == ["< 5 %", "< 5 %", "50 %", "> 95 %", "> 95 %"]
    assert bar((1.0, 2.0, 4.0)).index("o") == 24 and bar((0.01, 0.02, 0.03)).startswith("o")
    run = CliRunner().invoke(app, ["doubt", str(EXAMPLES / "cider-mill"), "--draws", "64", "--json"])
    assert json.loads(run.stdout)["draws"] == 64


def test_a_machine_without_doubt_says_so():
    machine = layshaft.read(EXAMPLES / "cider-mill")
    sure = layshaft.apply(machine, {"set": {c: {"value": f"{g.nominal!r} {g.dimension.si}".strip()}
                                            for c, g in doubts(machine).items()}})
    assert "nothing to draw" in doubt_text(sure, doubt(sure, 64))


@pytest.mark.parametrize("text", ["300%", "0.2", "much"])
def test_a_target_that_is_none(text):
    run = CliRunner().invoke(app, ["doubt", str(EXAMPLES / "cider-mill"), "--target", text])
    assert "is not a share to reach" in str(run.exception)


def test_what_is_unknown_with_all_guesses_at_their_bad_ends_is_no_margin_of_nought():
    """Harbour Light stands still there: nobody knows the margin on yield of its main shaft."""
    key = ("shafts.main", "yield")
    found = doubt(layshaft.read(EXAMPLES / "harbour-light"), 16, only=frozenset({key}))
    assert found.odds[0].unknown_at_worst and not found.odds[0].holds_at_worst
    text = doubt_text(layshaft.read(EXAMPLES / "harbour-light"), found)
    assert "unknown of 2.50  shafts.main" in text and "\n    0 of" not in text
