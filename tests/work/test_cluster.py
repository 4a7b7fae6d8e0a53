"""A real Dask scheduler and real workers on loopback; the plain loop is what they are held to."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest

from layshaft.work import NoCluster, Runner
from layshaft.work import cluster as room
from layshaft.work.state import state
from work.loopback import TESTS, Loopback, cluster
from work.tasks import deadly, slow, summed, wrong
from work.test_runner import PARTS, PLAIN


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    with cluster(tmp_path_factory.mktemp("cluster")) as found:
        yield found


def test_results_are_those_of_a_plain_loop_in_its_order(two):
    with Runner(cluster=two.address) as runner:
        assert runner.run(summed, 3.0, PARTS).results == PLAIN
        with pytest.raises(ValueError, match="4 is wrong"):
            runner.run(wrong, 4, list(range(8)))


def test_a_killed_worker_costs_nothing(two):
    def kill(done):
        if done == 3:
            two.kill(0)

    with Runner(cluster=two.address) as runner:
        done = runner.run(slow, 0.05, list(range(20)), kill)
    assert done.results == [n * n for n in range(20)] and not done.ended
    two.workers.pop(0).wait(10)
    two.add(1)


def test_a_chunk_that_ends_every_worker_is_given_up(two, monkeypatch):
    monkeypatch.setattr(room, "ALONE", 1.0)  # workers without a nanny are not replaced
    with Runner(cluster=two.address) as runner:
        done = runner.run(deadly, 15, list(range(30)))
    assert done.results == list(range(len(done.results))) and 5 <= len(done.results) <= 15
    assert "has had no worker for 1 s" in done.ended
    for process in two.workers:
        process.wait(10)
    two.workers.clear()
    two.add(2)


def test_a_cluster_serves_where_a_loop_runs_already(tmp_path):
    """As in a notebook, whose cells run inside a loop."""
    async def cell() -> list[float]:
        with Runner(cluster=found.address) as runner:
            return runner.run(slow, 0.001, [1, 2, 3]).results

    # a thread of its own, for this one may have the browser's loop
    with cluster(tmp_path, 1) as found, ThreadPoolExecutor(1) as notebook:
        assert notebook.submit(asyncio.run, cell()).result() == [slow(0.001, n) for n in (1, 2, 3)]


def test_a_scheduler_that_goes_keeps_what_is_done(tmp_path):
    with cluster(tmp_path, 1) as found, Runner(cluster=found.address) as runner:
        done = runner.run(slow, 0.05, list(range(60)), lambda n: n == 5 and found.scheduler.kill())
    assert done.results == [n * n for n in range(len(done.results))] and 4 <= len(done.results) < 60
    assert "no longer answers" in done.ended


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:9", "nowhere", "127.0.0.1:99999", "http://127.0.0.1:9"])
def test_an_address_where_no_one_answers(address, monkeypatch):
    monkeypatch.setattr(room, "ANSWERS", 0.5)
    with pytest.raises(NoCluster, match=f"^No cluster answers at {address}. Start one"):
        Runner(cluster=address).run(summed, 1.0, PARTS)


OTHERS = {"": "has no Layshaft of this kind", "def state(): return 'Layshaft 0.0.9 (00) with numpy 1.0'":
          "has Layshaft 0.0.9 (00) with numpy 1.0, and here is " + state()}


@pytest.mark.parametrize("text", list(OTHERS))
def test_workers_without_layshaft_or_with_another(tmp_path, text):
    theirs = tmp_path / "theirs" / "layshaft" / "work"
    theirs.mkdir(parents=True)
    (theirs.parent / "__init__.py").write_text("")
    if text:
        (theirs / "__init__.py").write_text("")
        (theirs / "state.py").write_text(text)
    found = Loopback(tmp_path)
    try:
        with pytest.raises(NoCluster, match="has no worker"):
            Runner(cluster=found.address).run(summed, 1.0, PARTS)
        found.add(1, paths=(str(tmp_path / "theirs"), TESTS))
        with pytest.raises(NoCluster) as refused:
            Runner(cluster=found.address).run(summed, 1.0, PARTS)
        assert OTHERS[text] in str(refused.value)
    finally:
        found.close()
