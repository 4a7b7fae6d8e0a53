"""The Runner: a task done for every chunk of some work, here, in local processes or on a cluster.

Whoever does a chunk, the answer is the same to the last bit: the work is cut by its size alone, what is random is
drawn before it is cut, and results are gathered in the order of their chunks.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Any, Protocol

from layshaft.work.trouble import WorkLost

Task = Callable[[Any, Any], Any]
"""A function of a module, so that others find it by name: of what all chunks share, and of one chunk."""

Taken = Callable[[int, Any], None]
"""Called with the number and the result of every chunk, in the order in which they are done."""

Progress = Callable[[int], None]

START = 0.75
"""Seconds until two local processes stand ready with everything imported, measured on two cores."""

WORTH = 2.0
"""Processes are started where they would save so many times what starting them takes."""


@dataclass(frozen=True, slots=True)
class Done:
    """The results of the first chunks, without a gap; all of them unless `ended` says why not."""

    results: list[Any]
    asked: int
    ended: str = ""


class Engine(Protocol):
    """Others who do chunks."""

    def work(self, task: Task, shared: Any, parts: Sequence[tuple[int, Any]], taken: Taken) -> None:
        """Do every part, numbered as given. Raises `WorkLost` where nobody is left to do them."""

    def close(self) -> None:
        """Stop whatever is under way and leave nothing behind."""


class Runner:
    """Does large work in chunks. To be closed, best as a context.

    `workers` local processes, 1 for none; without a number as many as there are processors, once what is left is
    seen to be worth starting them. Or `cluster`, the address of a Dask scheduler.
    """

    def __init__(self, workers: int | None = 1, cluster: str = "") -> None:
        self.workers, self.cluster = workers, cluster
        self.engine: Engine | None = None

    def __enter__(self) -> Runner:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Stop the workers; the next work starts new ones."""
        if self.engine is not None:
            self.engine.close()
            self.engine = None

    def run(self, task: Task, shared: Any, parts: Sequence[Any], progress: Progress = lambda _done: None, *,
            keep: bool = True) -> Done:
        """`task(shared, part)` for every part. An interrupt, or the loss of all workers, keeps what is done.

        Raises what a task raises, and `KeyboardInterrupt` or `WorkLost` where nothing is done yet, or part of the
        work is of no use (not `keep`).
        """
        found: dict[int, Any] = {}

        def taken(number: int, result: Any) -> None:
            found[number] = result
            progress(len(found))

        ended = ""
        try:
            self._work(task, shared, parts, taken)
        except (KeyboardInterrupt, WorkLost) as stop:
            self.close()
            if 0 not in found or not keep:
                raise
            ended = str(stop) or "interrupted"
        except BaseException:
            self.close()
            raise
        results: list[Any] = []
        while len(results) in found:
            results.append(found[len(results)])
        return Done(results, len(parts), ended if len(results) < len(parts) else "")

    def _work(self, task: Task, shared: Any, parts: Sequence[Any], taken: Taken) -> None:
        at = 0 if self._elsewhere else self._here(task, shared, parts, taken)
        if at < len(parts):
            if self.engine is None:
                self.engine = self._others()
            self.engine.work(task, shared, list(enumerate(parts))[at:], taken)

    @property
    def _elsewhere(self) -> bool:
        """Whether nothing is done here, because others stand ready or were asked for."""
        return self.engine is not None or bool(self.cluster) or (self.workers or 1) > 1

    def _here(self, task: Task, shared: Any, parts: Sequence[Any], taken: Taken) -> int:
        """Chunks done in this process: all, or where nobody was asked for, as many as show what is left to be long."""
        begun = time.monotonic()
        for number, part in enumerate(parts):
            taken(number, task(shared, part))
            left = (time.monotonic() - begun) / (number + 1) * (len(parts) - number - 1)
            if self.workers is None and left * (1 - 1 / processors()) > WORTH * START:
                return number + 1
        return len(parts)

    def _others(self) -> Engine:
        if self.cluster:
            from layshaft.work.cluster import Cluster

            return Cluster(self.cluster)
        from layshaft.work.local import Processes

        return Processes(self.workers or processors())


HERE = Runner()
"""Does everything in this process."""


def processors() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
