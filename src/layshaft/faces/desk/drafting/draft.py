"""The one draft of a desk: the file as it stands, the edits laid over it, and the machine solved with them.

At most one solve is under way: edits that come meanwhile are made together by the next one.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from layshaft.faces.desk.drafting.broken import broken, told
from layshaft.faces.desk.drafting.edits import Edit, Edits
from layshaft.faces.desk.drafting.places import is_blank, place_of, put_back, writing
from layshaft.faces.desk.drafting.solving import rated, standing
from layshaft.faces.desk.drafting.state import NO_MACHINE, Lost, State
from layshaft.machine.model import Machine
from layshaft.machine.reader import of_file
from layshaft.project import keeping, new
from layshaft.project.answers import Answers
from layshaft.project.unkept import Unkept, laid_aside, lay_aside
from layshaft.trace.errors import BadInput
from layshaft.train.motion.figures import EARLIER_STATE, RunSeen
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate

MOST_EDITS = 500
"""Edits one draft holds; more than anybody looks through before keeping."""


class RefusedError(BadInput):
    """An edit that cannot be made: the message says why, `edit` what was asked."""

    def __init__(self, edit: Edit, why: str) -> None:
        super().__init__(why)
        self.edit = edit


@dataclass
class _Ask:
    edit: Edit
    why: Exception | None = None
    done: bool = False


@dataclass
class Draft:
    """The draft of one machine file. Every method may be called from any thread."""

    place: Path
    read_only: str = ""
    state: State = field(default_factory=State)
    told: Callable[[State], None] = lambda _: None
    """Called with every new state, by whoever made it."""

    _base: keeping.Text | None = None
    _file: Verdict | None = None
    _unrun: Verdict | None = None
    _edits: Edits = field(default_factory=Edits)
    _aside: tuple[Edit, ...] = ()
    _seen: tuple[Any, ...] = ()
    _asks: list[_Ask] = field(default_factory=list)
    _door: threading.Lock = field(default_factory=threading.Lock)
    _work: threading.Lock = field(default_factory=threading.Lock)

    def look(self, *, again: bool = False) -> State:
        """The newest state, after a look whether the file was edited elsewhere. Waits for no solve."""
        if (again or self._signature() != self._seen) and self._work.acquire(blocking=again):
            try:
                self._read()
            finally:
                self._work.release()
        return self.state

    @property
    def blank(self) -> bool:
        """Whether there is no file yet, or one in which nothing is written."""
        return not self.place.exists() or is_blank(self.place)

    @property
    def busy(self) -> bool:
        """Whether an edit is being solved, or waits for it."""
        return bool(self._asks) or self._work.locked()

    def take_up(self) -> None:
        """Begin with what an earlier desk left; the first look at the file says what of it still applies."""
        with self._work:
            made = tuple(Edit(old.option, old.words, i) for i, old in enumerate(laid_aside(self.place), 1))
            self._edits = Edits(made, len(made))
            self.state = replace(self.state, from_before=bool(made))

    def edit(self, option: Mapping[str, Any], words: str = "") -> State:
        """Lay a change over the machine and solve it. Raises `RefusedError`; then nothing is changed."""
        self._refuse_reader()
        ask = _Ask(Edit(dict(option), words))
        with self._door:
            self._asks.append(ask)
        with self._work:
            if not ask.done:
                self._settle()
        if isinstance(ask.why, BadInput):
            raise RefusedError(ask.edit, told(ask.why)) from None
        if ask.why is not None:
            raise ask.why
        return self.state

    def drop(self, number: int | None = None) -> State:
        """Take one edit out of the draft, or all of them. Raises `RefusedError` where the rest needs it."""
        self._refuse_reader()
        with self._work:
            if self._base is None:
                raise BadInput(self.state.trouble or NO_MACHINE)
            edits = self._edits.none() if number is None else self._edits.without(number)
            try:
                self._show(edits, lost=())
            except BadInput as why:
                raise RefusedError(Edit({}, ""), f"What is left does not stand without it: {told(why)}") from None
        return self.state

    def keep(self, words: str = "") -> State:
        """Write the draft into the file. Raises `BadInput`, and writes nothing, if the file changed meanwhile.

        `words` say at the way back what was kept.
        """
        self._refuse_reader()
        with self._work:
            if self._base is None or not self._edits.made:
                return self.state
            base = self._unchanged()
            after = base
            for option in self._edits.options():
                after = keeping.changed(after, option, "draft")
            self._write(base, after, words)
        return self.state

    def keep_instead(self, make: Callable[[Machine, Edits], Mapping[str, Any]]) -> State:
        """Write what `make` makes of the draft into the file, instead of the draft itself, which is gone then."""
        self._refuse_reader()
        with self._work:
            if self._base is None or not self._edits.made:
                raise BadInput("Nothing is changed, so there is nothing to keep. Change something first.")
            base = self._unchanged()
            self._write(base, keeping.changed(base, make(base.machine, self._edits), "draft"))
        return self.state

    def undo(self) -> State:
        """Put back the file's text from before the last change kept. Raises `BadInput`."""
        self._refuse_reader()
        with self._work:
            with writing(self.place):
                keeping.undo(self.place)
            self._read()
        return self.state

    def put_back(self) -> State:
        """Write the last good text again where the file is broken or gone. Raises `BadInput`."""
        self._refuse_reader()
        with self._work:
            self._read()
            if self._base is None or not self.state.trouble:
                raise BadInput(f"{self.place.name} can be used as it stands; there is nothing to put back.")
            put_back(self.place, self._base.text)
            self._read()
        return self.state

    def redo(self) -> State:
        """Make the change again that was undone last. Raises `BadInput`."""
        self._refuse_reader()
        with self._work:
            keeping.redo(self.place)
            self._read()
        return self.state

    def begin(self, given: Answers) -> State:
        """Write a first machine where there is no file, or one in which nothing turns. Raises `BadInput`."""
        self._refuse_reader()
        with self._work:
            if not self.place.exists():
                new.create(self.place.parent, given)
            elif is_blank(self.place):
                put_back(self.place, new.draft(given))
            elif self._base is not None and not self._base.machine.shafts:
                text = new.draft(given)
                with writing(self.place):
                    keeping.keep(self._base, keeping.Text(self.place, text, of_file(self.place, text),
                                                          keeping.digest(text)))
            else:
                raise BadInput(f"{self.place.name} describes a machine already; it stays as it is.")
            self._edits = self._edits.none()
            self._read()
        return self.state

    def again(self) -> State:
        """Show the same under a new number: something beside the file has changed, and every window is to look."""
        with self._work:
            self._publish(self.state)
        return self.state

    def dismiss(self) -> State:
        """Forget what is said of edits that no longer apply."""
        with self._work:
            self._publish(replace(self.state, lost=()))
        return self.state

    # What follows runs under `_work` only.

    def _unchanged(self) -> keeping.Text:
        """The text the draft lies over. Raises `BadInput` where the file is another one by now."""
        if self._signature() != self._seen:
            self._read()
            if self.state.lost:
                raise BadInput("The file was edited elsewhere meanwhile. Look through what is said of it, then keep.")
        if self.state.trouble:
            raise BadInput(f"{self.place.name} cannot be used as it stands. Mend it, then keep; the draft waits.")
        assert self._base is not None
        return self._base

    def _write(self, before: keeping.Text, after: keeping.Text, words: str = "") -> None:
        """Write the file. What cannot be written is said, and the draft stands as it was."""
        with writing(self.place):
            keeping.keep(before, after, words)
        self._edits = self._edits.none()
        self._read()

    def _settle(self) -> None:
        """Make all edits asked for so far."""
        with self._door:
            asks, self._asks = self._asks, []
        self._attempt(asks)
        for ask in asks:
            ask.done = True

    def _attempt(self, asks: list[_Ask]) -> None:
        """Make edits together, or one by one where together they fail. Whoever asked is told why his was not made."""
        try:
            self._make(asks)
        except Exception as why:  # a fault of ours too: nobody may be left to think that his edit was made
            if len(asks) == 1:
                asks[0].why = why
            else:
                for ask in asks:
                    self._attempt([ask])

    def _make(self, asks: Iterable[_Ask]) -> None:
        if self._base is None:
            raise BadInput(self.state.trouble or NO_MACHINE)
        edits = self._edits
        for ask in asks:
            edits = edits.plus(ask.edit, self._base.machine)
        if len(edits.made) > MOST_EDITS:
            raise BadInput(f"The draft holds {MOST_EDITS} edits already: keep or drop them first.")
        self._show(edits)

    def _show(self, edits: Edits, **changes: Any) -> None:
        """Solve with these edits and show it; raises `BadInput` and shows nothing new where that fails."""
        assert self._base is not None
        assert self._file is not None
        verdict = self._file if not edits.made else rated(edits.over(self._base.machine))
        self._edits = edits
        self._publish(replace(self.state, before=self._beside(verdict), verdict=verdict, edits=edits.made,
                              from_before=False, **changes))

    def _beside(self, verdict: Verdict) -> Verdict:
        """The file as it stands, seen no better than the draft: with its run only where the draft was run too."""
        assert self._file is not None
        if verdict.run.figures is not None or self._file.run.figures is None:
            return self._file
        if self._unrun is None:
            self._unrun = rate(solve(self._file.solved.machine), RunSeen(None, EARLIER_STATE))
            _ = self._unrun.findings
        return self._unrun

    def _publish(self, state: State) -> None:
        self.state = replace(state, number=self.state.number + 1, read_only=self.read_only,
                             can_undo=keeping.undoable(self.place), fleeting=self._lay_aside(state))
        self.told(self.state)

    def _lay_aside(self, state: State) -> str:
        """Write down what is not kept, and what no longer applies too: a desk that ends loses neither.

        Gives why it could not be written, or a blank.
        """
        edits = (*(lost.edit for lost in state.lost), *self._edits.made)
        if self.read_only or edits == self._aside:
            return ""
        try:
            lay_aside(self.place, (Unkept(edit.option, edit.words) for edit in edits))
        except OSError as why:
            return (why.strerror or str(why)).lower()
        self._aside = edits
        return ""

    def _read(self) -> None:
        """Read the file again; a broken one leaves the last good state standing and says what is wrong."""
        seen = self._signature()
        try:
            base = keeping.opened(self.place)
            before = rated(base.machine)
        except BadInput as why:
            self._seen = seen
            if self.state.trouble != str(why) or not self.state.number:
                self._publish(replace(self.state, trouble=str(why), broken=broken(why)))
            return
        edits, lost = self._edits.laid_again(base.machine)
        self._base, self._seen, self._file, self._unrun = base, seen, before, None
        verdict, more = standing(edits, base.machine, before)
        self._edits = edits if not more else edits.none()
        self._publish(State(self.state.number, self._beside(verdict), verdict, self._edits.made,
                            (*self.state.lost, *(Lost(e, w) for e, w in (*lost, *more))),
                            from_before=self.state.from_before and bool(self._edits.made)))

    def _signature(self) -> tuple[Any, ...]:
        """Changes whenever the file or a table beside it is written."""
        found = []
        for path in (self.place, *sorted(self.place.parent.glob("*.csv"))):
            try:
                stat = path.stat()
                found.append((path.name, stat.st_mtime_ns, stat.st_size, stat.st_ino))
            except OSError:
                found.append((path.name, 0, 0, 0))
        return tuple(found)

    def _refuse_reader(self) -> None:
        if self.read_only:
            raise BadInput(f"This desk only reads: {self.read_only}")


def opened(path: Path, read_only: str = "") -> Draft:
    """The draft of a machine file, read for the first time. One that is broken or not there yet opens too."""
    place = place_of(path)
    draft = Draft(place.resolve() if place.is_symlink() else place, read_only)
    if not read_only:
        draft.take_up()
    draft.look(again=True)
    return draft


