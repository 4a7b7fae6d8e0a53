"""Doubt carried by others, and half of it: the same seed gives the same answer to the last bit, whoever works."""

import os
import signal
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.faces.cli import app
from layshaft.faces.doubt import doubt_text
from layshaft.study.doubt import doubt
from layshaft.work import Runner
from work.loopback import cluster

ROOT = Path(__file__).parents[2] / "examples"
MILL = layshaft.read(ROOT / "cider-mill")
LIGHT = layshaft.read(ROOT / "harbour-light")
ROUNDS = 40 if os.environ.get("HYPOTHESIS_PROFILE") == "soak" else 1
"""`make soak` kills workers at forty moments instead of one."""


@pytest.fixture(autouse=True)
def small_chunks(monkeypatch):
    """Enough chunks for all to have some, and for one to die in the middle. Who gives the work cuts it."""
    monkeypatch.setattr("layshaft.study.outcomes.MOST", 64)


def same(one, other):
    assert one.outcomes.keys == other.outcomes.keys
    assert np.array_equal(one.outcomes.share, other.outcomes.share)
    assert np.array_equal(one.outcomes.codes, other.outcomes.codes)
    assert repr(one.odds) == repr(other.odds)
    assert repr(one.owners) == repr(other.owners) and repr(one.flips) == repr(other.flips)


@pytest.mark.parametrize("machine", [MILL, LIGHT], ids=["cider-mill", "harbour-light"])
@pytest.mark.parametrize("workers", [2, 3])
def test_local_workers_give_the_answer_of_one(machine, workers):
    with Runner(workers) as runner:
        same(doubt(machine, 512, 3), doubt(machine, 512, 3, runner=runner))


def test_a_cluster_gives_it_too_whatever_becomes_of_its_workers(tmp_path):
    alone = doubt(LIGHT, 1024, 3)
    moments = np.random.default_rng(ROUNDS).uniform(0.05, 0.95, ROUNDS)
    with cluster(tmp_path) as found, Runner(cluster=found.address) as runner:
        for moment in moments:
            killed = []

            def kill(share, moment=moment, killed=killed):
                if share >= moment and not killed:
                    killed.append(found.workers.pop(0))
                    os.kill(killed[0].pid, signal.SIGKILL)

            same(alone, doubt(LIGHT, 1024, 3, progress=kill, runner=runner))
            assert killed
            killed[0].wait(10)
            found.add(1)


@pytest.mark.parametrize("turn", range(ROUNDS))
def test_local_workers_killed_in_mid_work_change_nothing(turn):
    moment = np.random.default_rng(turn).uniform(0.05, 0.95)
    killed = []

    def kill(share):
        if share >= moment and not killed:
            killed.append(runner.engine.ids[turn % 2])
            os.kill(killed[0], signal.SIGKILL)

    with Runner(2) as runner:
        same(doubt(LIGHT, 512, 3), doubt(LIGHT, 512, 3, progress=kill, runner=runner))
        assert killed and killed[0] not in runner.engine.ids


def test_half_the_draws_say_that_they_are_half_and_equal_that_many():
    def stop(share):
        if share > 0.7:
            raise KeyboardInterrupt

    half = doubt(MILL, 1024, progress=stop)
    assert 0 < half.draws < half.asked == 1024
    text = doubt_text(MILL, half)
    assert f"Stopped early (interrupted): {half.draws} of 1024 draws are done" in text
    fewer = doubt(MILL, 1024).outcomes.share[:, : half.draws]
    assert np.array_equal(half.outcomes.share, fewer)


def test_an_interrupt_before_any_draw_keeps_nothing():
    def stop(share):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        doubt(MILL, 1024, progress=stop)


@pytest.mark.parametrize(("words", "said"), [
    (["--cluster", "tcp://127.0.0.1:9"], "No cluster answers at tcp://127.0.0.1:9. Start one"),
    (["--cluster", "tcp://127.0.0.1:9", "--workers", "2"], "leave one of them out"),
])
def test_what_cannot_be_asked_for_is_one_sentence(words, said):
    run = CliRunner().invoke(app, ["doubt", str(ROOT / "cider-mill"), "--draws", "64", *words])
    assert said in str(run.exception)


def test_the_command_takes_workers():
    def words(*more):
        return CliRunner().invoke(app, ["doubt", str(ROOT / "cider-mill"), "--draws", "256", "--json", *more]).stdout

    assert words("--workers", "2") == words("--workers", "1") != ""
