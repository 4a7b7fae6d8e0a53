"""Choices rated by others, and half of one: the same answer to the last bit, whoever works."""

import json
import os
import signal
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.faces.choices import choice_dict, choice_text
from layshaft.faces.cli import app
from layshaft.faces.terminal import BROKEN_OFF
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.space import Wish, series_only
from layshaft.study.choosing.wishes import weights_of
from layshaft.trace.errors import BadInput
from layshaft.work import Runner
from work.loopback import cluster

PLACE = Path(__file__).parents[2] / "examples" / "harbour-light"
LIGHT = layshaft.read(PLACE)
LEFT = "shafts.lens lay.seats.left bearing.bearing"
PARTS = ["shafts.lens lay", LEFT, "stages.lens chain"]
WISH = Wish(prefer=weights_of("mass,width"))
ROUNDS = 20 if os.environ.get("HYPOTHESIS_PROFILE") == "soak" else 1
"""`make soak` kills workers at twenty moments instead of one."""


def silent(_done, _whole):
    """Nobody listens."""


def asked(progress=silent, **how):
    return choose(LIGHT, PARTS, WISH, series_only, progress=progress, **how)


@pytest.fixture(scope="module")
def alone():
    """The answer of this process, and how often its progress was told."""
    heard = []
    found = asked(lambda *told: heard.append(told))
    assert found.candidates and found.complete and not found.ended and found.unrated == 0
    assert len(heard) > 4 and all(0 < done <= whole for done, whole in heard)
    return found, heard


def same(one, other):
    assert json.dumps(choice_dict(one)) == json.dumps(choice_dict(other))
    assert choice_text(one, 10) == choice_text(other, 10)


@pytest.mark.parametrize("workers", [2, 3])
def test_local_workers_give_the_answer_of_one(alone, workers):
    with Runner(workers) as runner:
        same(alone[0], asked(runner=runner))


@pytest.mark.parametrize("turn", range(ROUNDS))
def test_local_workers_killed_in_mid_work_change_nothing(alone, turn):
    at, heard, killed = _moment(alone, turn), [], []

    def kill(done, whole):
        heard.append(done)
        if len(heard) == at:
            killed.append(runner.engine.ids[turn % len(runner.engine.ids)])
            os.kill(killed[0], signal.SIGKILL)

    with Runner(2) as runner:
        same(alone[0], asked(kill, runner=runner))
        assert killed


def test_a_cluster_gives_it_too_whatever_becomes_of_its_workers(alone, tmp_path):
    with cluster(tmp_path) as found, Runner(cluster=found.address) as runner:
        for turn in range(ROUNDS):
            at, heard, killed = _moment(alone, turn), [], []

            def kill(done, whole, at=at, heard=heard, killed=killed):
                heard.append(done)
                if len(heard) == at:
                    killed.append(found.workers.pop(0))
                    os.kill(killed[0].pid, signal.SIGKILL)

            same(alone[0], asked(kill, runner=runner))
            assert killed
            killed[0].wait(10)
            found.add(1)


def _moment(alone, turn):
    return int(np.random.default_rng(turn).integers(1, len(alone[1])))


def test_ctrl_c_keeps_what_is_rated_and_says_how_many_are_not(alone):
    def stop(done, whole):
        if done >= 2:
            raise KeyboardInterrupt

    half = asked(stop)
    assert half.ended == "interrupted" and not half.complete and half.unrated > 0
    text = " ".join(choice_text(half, 10).split())
    assert f"Stopped early (interrupted): {half.unrated:,}".replace(",", " ") in text
    assert "neither rated nor ruled out" in text
    for c in half.candidates:  # what is shown holds, as `check` says of the machine with it in place
        verdict = layshaft.rate(layshaft.solve(layshaft.apply(LIGHT, c.option)))
        assert not [f for path in PARTS for f in verdict.of(path) if f.verdict in ("fails", "thin")]


def interrupted(*_):
    raise KeyboardInterrupt


def test_ctrl_c_in_the_end_keeps_every_trade_off(alone, monkeypatch):
    monkeypatch.setattr("layshaft.study.choosing.choose._explain", interrupted)
    found = asked()
    assert found.complete and found.ended == "interrupted"
    assert [c.sizes for c in found.candidates] == [c.sizes for c in alone[0].candidates]
    assert "what one size smaller would break is not told" in " ".join(choice_text(found, 10).split())


def test_ctrl_c_before_anything_is_rated_keeps_nothing(monkeypatch):
    monkeypatch.setattr("layshaft.study.choosing.judging.Judge.look", interrupted)
    with pytest.raises(KeyboardInterrupt):
        asked()


@pytest.mark.parametrize("take", [False, True])
def test_the_command_says_so_and_writes_nothing(monkeypatch, take):
    def stopped(*words, **how):
        return choose(LIGHT, PARTS, WISH, series_only, progress=interrupted)

    monkeypatch.setattr("layshaft.study.choosing.choose.choose", stopped)
    run = CliRunner().invoke(app, ["choose", str(PLACE), "lens chain", *(["--take", "1"] if take else [])])
    if take:
        assert isinstance(run.exception, BadInput) and "nothing was written" in str(run.exception)
    else:
        assert run.exit_code == BROKEN_OFF and "Stopped early (interrupted)" in " ".join(run.output.split())


def test_the_command_takes_workers():
    def words(*more):
        return CliRunner().invoke(app, ["choose", str(PLACE), "lens chain", "--json", *more]).stdout

    assert words("--workers", "2") == words("--workers", "1") != ""
