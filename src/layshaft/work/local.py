"""Local processes, each with a pipe of its own: one that dies is replaced, and its chunk is done again.

They are copied from a server that has imported what the task needs and runs a single thread (numpy's own threads
are switched off in it), so a copy is safe and ready in hundredths of a second; where there is no such server they
are started from nothing. A pipe that closes ends its process: none is left behind when this one is killed.
"""

from __future__ import annotations

import multiprocessing
import os
import pickle
import signal
import sys
import traceback
from collections import Counter, deque
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection, wait
from typing import Any

from layshaft.work.runner import Taken, Task
from layshaft.work.trouble import WorkLost

DEATHS = 3
"""A chunk that has ended so many workers is not tried again."""

ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
PATIENCE = 2.0
"""Seconds a worker has to end when told to."""


class Worker:
    """One process and what it knows."""

    def __init__(self, context: Any) -> None:
        self.pipe: Connection
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=serve, args=(theirs,), daemon=True)
        self.process.start()
        theirs.close()
        self.knows = b""
        self.doing = -1

    def give(self, task: Task, shared: bytes, number: int, part: Any) -> None:
        """Hand over a chunk, and what all chunks share if it is new. A dead worker is found out by `take`."""
        self.doing = number
        new = shared if shared != self.knows else b""
        with suppress(OSError):
            self.pipe.send_bytes(pickle.dumps((task, new, part), pickle.HIGHEST_PROTOCOL))
            self.knows = shared

    def take(self) -> Any:
        """The result. Raises `EOFError` or `OSError` where the worker died, and what the task raised."""
        fine, found = pickle.loads(self.pipe.recv_bytes())
        self.doing = -1
        if not fine:
            raise found
        return found

    def end(self) -> None:
        """End it now, whatever it does."""
        self.pipe.close()
        self.process.terminate()
        self.process.join(PATIENCE)
        if self.process.is_alive():
            self.process.kill()
            self.process.join()


class Processes:
    """A number of local workers, started with the first work."""

    def __init__(self, count: int) -> None:
        self.count = count
        self.workers: list[Worker] = []

    @property
    def ids(self) -> list[int]:
        """Process numbers of the workers."""
        return [w.process.pid for w in self.workers]

    def work(self, task: Task, shared: Any, parts: Sequence[tuple[int, Any]], taken: Taken) -> None:
        """Every worker has one chunk at a time; the next goes to whoever is free."""
        told = pickle.dumps(shared, pickle.HIGHEST_PROTOCOL)
        by_number, waiting, deaths = dict(parts), deque(number for number, _ in parts), Counter[int]()
        self._fill(min(self.count, len(parts)), task)
        while waiting or any(w.doing >= 0 for w in self.workers):
            for w in self.workers:
                if w.doing < 0 and waiting:
                    number = waiting.popleft()
                    w.give(task, told, number, by_number[number])
            busy = {w.pipe: w for w in self.workers if w.doing >= 0}
            for pipe in wait(list(busy)):
                worker = busy[pipe]  # type: ignore[index]
                number = worker.doing
                try:
                    result = worker.take()
                except (EOFError, ConnectionError):
                    deaths[number] += 1
                    self._replace(worker, number, deaths[number], task)
                    waiting.appendleft(number)
                else:
                    taken(number, result)

    def close(self) -> None:
        """End all workers."""
        workers, self.workers = self.workers, []
        for w in workers:
            w.end()

    def _fill(self, count: int, task: Task) -> None:
        context = _context(task)
        with _one_thread():
            while len(self.workers) < count:
                self.workers.append(Worker(context))

    def _replace(self, worker: Worker, number: int, deaths: int, task: Task) -> None:
        worker.end()
        self.workers.remove(worker)
        if deaths >= DEATHS:
            raise WorkLost(f"Chunk {number + 1} has ended {deaths} workers, the last with {_cause(worker)}: most "
                           "likely there is not enough memory. Try with fewer workers.")
        self._fill(len(self.workers) + 1, task)


def _cause(worker: Worker) -> str:
    code = worker.process.exitcode
    return f"signal {-code}" if code is not None and code < 0 else f"exit code {code}"


def _context(task: Task) -> Any:
    """How processes are started. On a Mac the system's own libraries must not be copied while loaded."""
    if sys.platform == "darwin" or "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload([task.__module__])
    return context


@contextmanager
def _one_thread() -> Iterator[None]:
    """Threads inside each of many processes are in each other's way, and must not be there when one is copied."""
    before = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def serve(pipe: Connection) -> None:
    """A worker: chunk after chunk until the pipe closes. Ctrl-C is for the one who gave the work."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    known: list[Any] = []
    with suppress(EOFError, OSError):
        while True:
            pipe.send_bytes(_answer(pipe.recv_bytes(), known))


def _answer(message: bytes, known: list[Any]) -> bytes:
    """What becomes of one chunk; what all chunks share is remembered."""
    try:
        task, new, part = pickle.loads(message)
        if new:
            known[:] = [pickle.loads(new)]
        return pickle.dumps((True, task(known[0], part)), pickle.HIGHEST_PROTOCOL)
    except Exception as error:
        error.add_note("".join(traceback.format_exception(error)))
        return _error(error)


def _error(error: Exception) -> bytes:
    """An error as it can be sent: some cannot be made again elsewhere, and go as their text."""
    try:
        sent = pickle.dumps((False, error))
        pickle.loads(sent)
    except Exception:
        return pickle.dumps((False, RuntimeError("".join(traceback.format_exception(error)))))
    return sent
