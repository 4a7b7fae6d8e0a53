"""Chunks done here, in local processes, after a death, after an interrupt: the plain loop is what they are held to."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from layshaft.work import Runner, WorkLost
from layshaft.work import runner as room
from work.tasks import deadly, slow, summed, who, wrong

TESTS = Path(__file__).parents[1]
PARTS = [np.linspace(0, n, 1000 + n) for n in range(17)]
PLAIN = [summed(3.0, part) for part in PARTS]


@pytest.mark.parametrize("workers", [1, 2, 3, None])
def test_results_are_those_of_a_plain_loop_in_its_order(workers):
    heard = []
    with Runner(workers) as runner:
        done = runner.run(summed, 3.0, PARTS, heard.append)
        assert runner.run(summed, 2.0, PARTS[:3]).results == [summed(2.0, part) for part in PARTS[:3]]
    assert done.results == PLAIN and not done.ended
    assert heard == list(range(1, len(PARTS) + 1))


def test_a_killed_worker_is_replaced_and_its_chunk_done_again():
    killed = []

    def kill(done):
        if done == 3:
            killed.append(runner.engine.ids[0])
            os.kill(killed[0], signal.SIGKILL)

    with Runner(2) as runner:
        done = runner.run(slow, 0.02, list(range(20)), kill)
        assert killed[0] not in runner.engine.ids and len(runner.engine.ids) == 2
    assert done.results == [n * n for n in range(20)] and not done.ended


def test_a_chunk_that_ends_every_worker_is_given_up_and_what_is_done_is_kept():
    with Runner(2) as runner:
        done = runner.run(deadly, 5, list(range(10)))
        assert done.results == [0, 1, 2, 3, 4] and done.asked == 10
        assert done.ended.startswith("Chunk 6 has ended 3 workers, the last with exit code 9")
        with pytest.raises(WorkLost):
            runner.run(deadly, 0, list(range(10)))
        with pytest.raises(WorkLost):
            runner.run(deadly, 5, list(range(10)), keep=False)


def test_what_a_task_raises_comes_back_as_it_is():
    with Runner(2) as runner, pytest.raises(ValueError, match="4 is wrong") as caught:
        runner.run(wrong, 4, list(range(8)))
    assert "tasks.py" in "".join(caught.value.__notes__)


def test_processes_are_started_only_where_they_pay(monkeypatch):
    monkeypatch.setattr(room, "processors", lambda: 2)
    with Runner(None) as runner:
        assert set(runner.run(who, 0.001, list(range(20))).results) == {os.getpid()}
        monkeypatch.setattr(room, "START", 0.05)
        found = runner.run(who, 0.05, list(range(12))).results
        assert found[0] == os.getpid() and os.getpid() not in found[1:] and len(set(found[1:])) == 2


SCRIPT = """
import sys, time
from layshaft.work import Runner
from work.tasks import slow

if __name__ == "__main__":
    with Runner(2) as runner:
        done = runner.run(slow, 0.05, list(range(400)), lambda n: n == 6 and print("under way", flush=True))
    print(done.results == [n * n for n in range(len(done.results))], len(done.results), done.asked, done.ended)
"""


@pytest.fixture
def at_work(tmp_path):
    """A process that works with two workers, in a group of its own."""
    script = tmp_path / "at_work.py"
    script.write_text(SCRIPT)
    paths = os.pathsep.join([str(TESTS), str(TESTS.parent / "src")])
    process = subprocess.Popen([sys.executable, str(script)], env=os.environ | {"PYTHONPATH": paths}, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True)
    assert process.stdout.readline() == "under way\n"
    yield process
    process.kill()
    process.communicate()


def group_is_gone(group, within=10.0):
    until = time.monotonic() + within
    while time.monotonic() < until:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False


def test_ctrl_c_keeps_what_is_done_and_leaves_no_process_behind(at_work):
    os.killpg(at_work.pid, signal.SIGINT)  # what a terminal does: everyone in the group hears it
    out, err = at_work.communicate(timeout=20)
    fine, count, asked, ended = out.split()
    assert (fine, asked, ended, err) == ("True", "400", "interrupted", "")
    assert 5 <= int(count) < 400
    assert group_is_gone(at_work.pid)


def test_workers_end_with_a_giver_that_was_killed(at_work):
    os.kill(at_work.pid, signal.SIGKILL)
    at_work.wait(10)
    assert group_is_gone(at_work.pid)
