"""Long work of a room: one thread each, with how far it has come, a way to stop it, and the answer kept for its state.

A room asks for work by a key that says all it depends on. The answer stays until another key is asked for; a
room shows it only where its key is that of the machine as it stands. Stopping keeps what is done, where the
work can.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from layshaft.trace.errors import BadInput

T = TypeVar("T")
Told = Callable[[float], None]


@dataclass(eq=False)
class Job(Generic[T]):
    """One piece of work: `done` of `whole`, and in the end its answer, or why there is none."""

    key: tuple[Hashable, ...]
    whole: float
    words: str
    done: float = 0.0
    answer: T | None = None
    why: str = ""
    begun: float = field(default_factory=time.monotonic)
    ended: float = 0.0
    _stop: threading.Event = field(default_factory=threading.Event)
    _over: threading.Event = field(default_factory=threading.Event)

    @property
    def running(self) -> bool:
        """Whether it is still at work."""
        return not self.ended

    @property
    def stopped(self) -> bool:
        """Whether somebody asked it to stop."""
        return self._stop.is_set()

    @property
    def took(self) -> float:
        """Seconds it took, or has taken so far."""
        return (self.ended or time.monotonic()) - self.begun

    @property
    def share(self) -> float:
        """How far it has come, from 0 to 1."""
        return min(self.done / self.whole, 1.0) if self.whole > 0 else 0.0

    def said(self) -> str:
        """How far it has come, in words."""
        return self.words.format(done=self.done, whole=self.whole)

    def reached(self, done: float) -> None:
        """The work has come to `done`; raises `KeyboardInterrupt` where it is to stop, as the work expects it."""
        self.done = done
        if self._stop.is_set():
            raise KeyboardInterrupt

    def stop(self) -> None:
        """Ask it to stop."""
        self._stop.set()

    def wait(self, seconds: float) -> None:
        """Wait for its end, but no longer than that: what is soon done is shown without a bar."""
        self._over.wait(seconds)

    def end(self) -> None:
        """It has come to its end, one way or another."""
        self.ended = time.monotonic()
        self._over.set()


class Jobs:
    """The work of one kind: at most one piece is under way, the newest asked for wins."""

    def __init__(self) -> None:
        self._door = threading.Lock()
        self._job: Job[Any] | None = None

    @property
    def now(self) -> Job[Any] | None:
        """The piece asked for last."""
        return self._job

    def of(self, key: tuple[Hashable, ...]) -> Job[Any] | None:
        """The piece with this key, if it is the last one asked for."""
        job = self._job
        return job if job is not None and job.key == key else None

    def ask(self, key: tuple[Hashable, ...], whole: float, words: str, work: Callable[[Told], Any], *,
            anew: bool = False) -> Job[Any]:
        """Begin a piece of work, or give the one with this key that is under way or done.

        What is done is done again where it is asked for `anew`: for work that rests on more than its key says.
        """
        with self._door:
            there = self.of(key)
            done = there is not None and there.answer is not None and not anew
            if there is not None and (there.running or done) and not there.stopped:
                return there
            if self._job is not None:
                self._job.stop()
            job = self._job = Job(key, whole, words)
            threading.Thread(target=_do, args=(job, work), daemon=True).start()
            return job

    def stop(self) -> None:
        """Stop what is under way."""
        if self._job is not None:
            self._job.stop()


def _do(job: Job[Any], work: Callable[[Told], Any]) -> None:
    try:
        job.answer = work(job.reached)
    except BadInput as why:
        job.why = str(why)
    except KeyboardInterrupt:
        job.why = "It was stopped before there was anything to show."
    except Exception as why:  # a fault of ours must not leave a bar that never ends
        job.why = f"This could not be worked out ({type(why).__name__}: {why}). Please report it."
    finally:
        job.end()
