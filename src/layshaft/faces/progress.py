"""How far long work has come, on the error stream, once it takes more than a second."""

from __future__ import annotations

import time
from types import TracebackType
from typing import TextIO

AFTER = 1.0
EVERY = 0.25


class Progress:
    """One line that is written over and taken away in the end; silent where nobody looks at it.

    `words` says how far it has come, with the places `done` and `whole`; `breaking` what Ctrl-C does.
    """

    def __init__(self, stream: TextIO, whole: float, words: str, breaking: str = "keeps what is done") -> None:
        self.stream, self.whole, self.words, self.breaking = stream, whole, words, breaking
        self.begun = self.shown = time.monotonic()
        self.wide = 0
        self.watched = stream.isatty()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self.wide:
            self._write("")

    def reached(self, done: float) -> None:
        """Work has come to `done` of the whole; shown a few times a second at most."""
        now = time.monotonic()
        if not self.watched or now - self.begun < AFTER or now - self.shown < EVERY:
            return
        self.shown = now
        self._write(f"{self.words.format(done=done, whole=self.whole)}; Ctrl-C {self.breaking}")

    def _write(self, line: str) -> None:
        self.stream.write("\r" + line.ljust(self.wide) + ("" if line else "\r"))
        self.stream.flush()
        self.wide = len(line)
