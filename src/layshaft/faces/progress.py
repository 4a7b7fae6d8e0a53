"""How far long work has come, on the error stream, once it takes more than a second."""

from __future__ import annotations

import math
import time
from types import TracebackType
from typing import TextIO

AFTER = 1.0
EVERY = 0.25


class Progress:
    """One line that is written over and taken away in the end; silent where nobody looks at it.

    `words` says how far it has come, with the places `done`, `whole` and `part`, the one in per cent of the other;
    `breaking` what Ctrl-C does. Where the whole is known the line says how long the rest may take.
    """

    def __init__(self, stream: TextIO, whole: float, words: str, breaking: str = "keeps what is done") -> None:
        self.stream, self.whole, self.words, self.breaking = stream, whole, words, breaking
        self.begun = self.shown = time.monotonic()
        self.first = (self.begun, 0.0)
        self.wide = 0
        self.watched = stream.isatty()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self.wide:
            self._write("")

    def reached_of(self, done: float, whole: float) -> None:
        """The same, of a whole that is found out on the way."""
        self.whole = whole
        self.reached(done)

    def reached(self, done: float) -> None:
        """Work has come to `done` of the whole; shown a few times a second at most."""
        now = time.monotonic()
        if not self.first[1]:  # what comes before the first piece of work says little about the others
            self.first = (now, done)
        if not self.watched or now - self.begun < AFTER or now - self.shown < EVERY:
            return
        self.shown = now
        part = 100 * done / self.whole if self.whole else 100.0
        came = done - self.first[1]
        rest = (now - self.first[0]) * (self.whole - done) / came if came > 0 and self.whole > done else math.inf
        about = f", {left(rest)} left" if math.isfinite(rest) else ""
        text = self.words.format(done=done, whole=self.whole, part=part)
        self._write(f"{text}{about}; Ctrl-C {self.breaking}")

    def _write(self, line: str) -> None:
        self.stream.write("\r" + line.ljust(self.wide) + ("" if line else "\r"))
        self.stream.flush()
        self.wide = len(line)


def left(seconds: float) -> str:
    """A time as roughly as it is known."""
    if seconds < 1.5:
        return "about a second"
    if seconds < 90:
        return f"about {seconds:.0f} s"
    return f"about {seconds / 60:.0f} min" if seconds < 5400 else f"about {seconds / 3600:.1f} h"
