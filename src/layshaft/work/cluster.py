"""A Dask cluster: the same chunks, sent to whoever listens at the address of a scheduler.

What all chunks share goes to the scheduler as a task of its own, so a worker that dies with it can be replaced:
the scheduler has its chunks done again by the others. Only so many chunks are out at once that all workers are busy.
"""

from __future__ import annotations

import asyncio
import logging
import pickle
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from importlib import import_module
from queue import Empty, Queue
from typing import Any

from layshaft.work.runner import Taken, Task
from layshaft.work.state import state
from layshaft.work.trouble import NoCluster, WorkLost

ANSWERS = 5.0
"""Seconds a scheduler has to answer."""

ALONE = 30.0
"""Seconds without any worker after which nobody is waited for."""

AHEAD = 2
"""Chunks out for each thread of the cluster: while one is done the next lies ready."""

LOOK = 1.0
"""Seconds between two looks at who is there."""


class Other(Exception):
    """A worker with another Layshaft than the one that gave the work; its text is the one it has."""


class Cluster:
    """The workers of one scheduler."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.dask = _dask()
        self.client = self._reached()
        try:
            self._same_everywhere()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Take back what is under way and leave the cluster as it was."""
        with suppress(Exception):
            self.client.close(timeout=LOOK)

    def work(self, task: Task, shared: Any, parts: Sequence[tuple[int, Any]], taken: Taken) -> None:
        """Chunks go out in order and are taken as they come."""
        given = self.client.submit(pickle.loads, pickle.dumps(shared, pickle.HIGHEST_PROTOCOL), pure=False)
        waiting, out, back = iter(parts), dict[str, int](), Queue[Any]()
        threads = sum(w["nthreads"] for w in self._workers().values())
        while True:
            while len(out) < AHEAD * max(threads, 1) and (part := next(waiting, None)) is not None:
                future = self.client.submit(_chunk, task, given, part[1], state(), pure=False)
                out[future.key] = part[0]
                future.add_done_callback(back.put)
            if not out:
                return
            future = self._back(back)
            number = out.pop(future.key)
            taken(number, self._result(future, number))

    def _reached(self) -> Any:
        """The client, once a scheduler is known to answer: the library itself may wait for ever for another server."""
        try:
            with ThreadPoolExecutor(1) as beside:  # the caller's thread may have a loop of its own, as in a notebook
                beside.submit(asyncio.run, asyncio.wait_for(self._knock(), ANSWERS)).result()
            return self.dask.Client(self.address, timeout=ANSWERS, set_as_default=False)
        except (OSError, ValueError, TypeError, RuntimeError) as error:
            raise NoCluster(f"No cluster answers at {self.address}. Start one with `dask scheduler` and some `dask "
                            "worker ADDRESS`, or give the address they print, such as tcp://127.0.0.1:8786.") from error

    async def _knock(self) -> None:
        comm = await self.dask.core.connect(self.address, timeout=ANSWERS / 2)
        try:
            await self.dask.core.send_recv(comm, op="identity")
        finally:
            comm.abort()

    def _same_everywhere(self) -> None:
        """Refuse workers without Layshaft, or with another one. Raises `NoCluster`."""
        def told() -> str:  # sent as code, not by name: a worker may not have this module
            try:
                return str(import_module("layshaft.work.state").state())
            except ImportError:
                return ""

        if not self._workers():
            raise NoCluster(f"The cluster at {self.address} has no worker: start some with `dask worker "
                            f"{self.address}`.")
        for worker, theirs in self.client.run(told).items():
            if theirs != state():
                raise NoCluster(self._other(f"The worker {worker}", theirs))

    def _other(self, who: str, theirs: str) -> str:
        has = theirs or "no Layshaft of this kind"
        return f"{who} of the cluster at {self.address} has {has}, and here is {state()}: the answers could differ."

    def _workers(self) -> Any:
        try:
            return self.client.scheduler_info(n_workers=-1)["workers"]
        except Exception as error:
            raise WorkLost(f"The cluster at {self.address} no longer answers.") from error

    def _back(self, back: Queue[Any]) -> Any:
        """The next chunk that is done. Raises `WorkLost` where there has been no worker for long."""
        seen = time.monotonic()
        while True:
            with suppress(Empty):
                return back.get(timeout=LOOK)
            if self._workers():
                seen = time.monotonic()
            elif time.monotonic() - seen > ALONE:
                raise WorkLost(self._deserted())

    def _result(self, future: Any, number: int) -> Any:
        """What was done; a worker that dies before it is fetched has it done again by the others."""
        while True:
            try:
                return future.result(timeout=ALONE)
            except Other as other:
                raise WorkLost(self._other("A worker", str(other))) from other
            except self.dask.scheduler.KilledWorker as lost:
                raise WorkLost(f"Chunk {number + 1} has ended several workers of the cluster at {self.address}: most "
                               "likely they have not enough memory.") from lost
            except self.dask.CancelledError as lost:
                raise WorkLost(f"The cluster at {self.address} no longer answers.") from lost
            except OSError:  # lost on its way here, or not there in time
                if future.status == "error":
                    raise
                if not self._workers():
                    raise WorkLost(self._deserted()) from None

    def _deserted(self) -> str:
        return f"The cluster at {self.address} has had no worker for {ALONE:.0f} s."


def _chunk(task: Task, shared: Any, part: Any, wanted: str) -> Any:
    """One chunk, on a worker; one that came later may have another Layshaft."""
    if state() != wanted:
        raise Other(state())
    return task(shared, part)


def _dask() -> Any:
    """The library, loaded only here, and kept from talking."""
    try:
        found = import_module("distributed")
    except ImportError as error:
        raise NoCluster("Work on a cluster needs one more package: pip install 'layshaft[cluster]'.") from error
    for name in ["asyncio", *(n for n in logging.root.manager.loggerDict if n.split(".")[0] == "distributed")]:
        logging.getLogger(name).setLevel(logging.CRITICAL)
    return found
