"""Lists on their way in: each file chosen in a window, what was said of it, and the work of reading it or taking it in.

Reading is the import of the command that writes nothing; taking in is the import itself, so both say the same. One
of them is under way at a time; what waits can be stopped too.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

from layshaft.faces.desk.jobs import Job, Jobs, Told
from layshaft.listings.imports.importing import Asked, Outcome
from layshaft.project.catalogue import import_file
from layshaft.project.lists_in import MOST_ROWS, Handed, clear, hand_in, throw_away
from layshaft.trace.errors import BadInput

MOST_COMING = 6
"""Files that wait at a time; the one chosen first goes first."""

OFTEN = 0.2
GONE = "This list waits no more: it was taken in or thrown away, or the desk was started again. Choose its file again."


@dataclass(eq=False)
class Coming:
    """One file that was chosen. `outcome` is what became of it when it was last read as `said` says."""

    handed: Handed
    said: Asked
    number: int = 0
    outcome: Outcome | None = None
    taken: Outcome | None = None
    trouble: str = ""
    """Why it could not be read as was said last; then `said` is again what was said before."""

    jobs: Jobs = field(default_factory=Jobs)

    @property
    def job(self) -> Job[Outcome] | None:
        """The work under way or done last."""
        return self.jobs.now


class ListsIn:
    """The files that wait, by their tokens."""

    def __init__(self) -> None:
        self._door = threading.Lock()
        self._work = threading.Lock()
        self._there: OrderedDict[str, Coming] = OrderedDict()

    def chosen(self, folder: Path, name: str, data: bytes, supplier: str) -> Coming:
        """A file somebody chose; reading it begins. Raises `BadInput`."""
        with self._door:
            clear(folder, self._there)
            handed = hand_in(folder, name, data)
            coming = self._there[handed.token] = Coming(handed, Asked(supplier, called=handed.called, dry_run=True,
                                                                      skip_rejected=True, most_rows=MOST_ROWS))
            while len(self._there) > MOST_COMING:
                self._end(self._there.popitem(last=False)[1])
        self.read(coming, coming.said)
        return coming

    def of(self, folder: Path, token: str) -> Coming:
        """The file with that token. Raises `BadInput`."""
        coming = self._there.get(token)
        if coming is None or coming.handed.folder != folder:
            raise BadInput(GONE)
        return coming

    def thrown_away(self, coming: Coming) -> None:
        """Wait for it no more."""
        with self._door:
            self._there.pop(coming.handed.token, None)
        self._end(coming)

    def read(self, coming: Coming, said: Asked) -> Job[Outcome]:
        """Read it as it is said, and write nothing."""
        before = coming.said if coming.outcome is not None else said
        coming.said, coming.trouble = said, ""

        def done(told: Told) -> Outcome:
            try:
                coming.outcome = self._import(coming, said, told)
            except BadInput as why:
                coming.said, coming.trouble = before, str(why)
                raise
            finally:
                coming.number += 1
            return coming.outcome

        return self._ask(coming, said, done)

    def take(self, coming: Coming, then: Callable[[], object]) -> Job[Outcome]:
        """Take it in as it was read last; rows that were refused are left out. `then` is called once it is there."""
        said = replace(coming.said, dry_run=False)

        def done(told: Told) -> Outcome:
            found = self._import(coming, said, told)
            if found.written:
                coming.taken = found
                throw_away(coming.handed)
                then()
            else:
                coming.outcome = found
            return found

        return self._ask(coming, said, done)

    def _ask(self, coming: Coming, said: Asked, work: Callable[[Told], Outcome]) -> Job[Outcome]:
        lines = coming.handed.lines
        words = f"{{done:.0f}} of about {lines} rows" if lines else "{done:.0f} rows"
        key = (coming.handed.token, coming.number, repr(said))
        return coming.jobs.ask(key, float(lines), words, work)

    def _import(self, coming: Coming, said: Asked, told: Told) -> Outcome:
        while not self._work.acquire(timeout=OFTEN):
            told(0.0)
        try:
            found, _ = import_file(coming.handed.place, coming.handed.folder, said, lambda rows: told(float(rows)))
        finally:
            self._work.release()
        return found

    def _end(self, coming: Coming) -> None:
        coming.jobs.stop()
        throw_away(coming.handed)
