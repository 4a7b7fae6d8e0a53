"""Changes kept in the machine file: one writer at a time, whole files only, every earlier text within reach.

Beside the machine file, `.layshaft/` holds the lock of whoever is writing and the texts there were before.
A write names the text it was made from by its digest; if the file is no longer that text, nothing is written.
"""

from __future__ import annotations

import fcntl
import hashlib
import json
import os
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from layshaft.machine import document
from layshaft.machine.document import MapNode
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.machine.reader import PARTS_FILE, machine_file, of_file
from layshaft.machine.schema import Mark
from layshaft.machine.sentences import writing as say
from layshaft.machine.writing import rewritten
from layshaft.project.files import write_whole

FOLDER = ".layshaft"
AGAIN = ".again"
"""In the name of a text that was undone and can be put there again."""

MOST_STATES = 200
"""Earlier texts kept; the oldest go first."""


class Kept(NamedTuple):
    """One change that was kept: what it was in words, and when; blanks where nobody said."""

    words: str = ""
    when: str = ""


class Text(NamedTuple):
    """The text of a machine file as it was read, its machine, and its digest."""

    path: Path
    text: str
    machine: Machine
    digest: str


def opened(path: str | os.PathLike[str]) -> Text:
    """A machine file for changing. Raises `MachineErrors`."""
    place = _file(path)
    text = document.load(place, keep_bom=True)
    return Text(place, text, of_file(place, text), digest(text))


def changed(before: Text, option: Mapping[str, Any] | MapNode, label: str = "") -> Text:
    """The same file with an option's changes in its text; nothing is written yet. Raises `MachineErrors`."""
    machine = apply(before.machine, option, label)
    text = rewritten(before.text, before.machine.document, machine.document, str(before.path.parent / PARTS_FILE))
    return Text(before.path, text, of_file(before.path, text), digest(text))


def keep(before: Text, after: Text, words: str = "") -> None:
    """Write a change. Raises `MachineErrors`, and writes nothing, if the file is no longer what it was."""
    if before.text == after.text:
        return
    with locked(before.path):
        if digest(document.load(before.path, keep_bom=True)) != before.digest:
            raise MachineErrors([Problem(_nowhere_in(before.path), say.changed_meanwhile(str(before.path)))])
        _keep_state(before, after, words)
        write_whole(before.path, after.text)
        for old in _kept(before.path, AGAIN):
            old.unlink(missing_ok=True)


def undo(path: str | os.PathLike[str]) -> Text:
    """Put back the text from before the last change kept; returns what stood there until now."""
    place = _file(path)
    with locked(place):
        now = document.load(place, keep_bom=True)
        states = _states(place, now)
        if not states:
            raise MachineErrors([Problem(_nowhere_in(place), say.nothing_to_undo(str(place)))])
        last = json.loads(states[-1].read_text(encoding="utf-8"))
        if digest(now) != last["became"]:
            raise MachineErrors([Problem(_nowhere_in(place), say.edited_since(str(place)))])
        again = last | {"text": now, "became": digest(last["text"])}
        write_whole(_folder(place) / states[-1].name.replace(place.name, place.name + AGAIN, 1), json.dumps(again))
        write_whole(place, last["text"])
        states[-1].unlink()
    return Text(place, now, of_file(place, last["text"]), digest(now))


def redo(path: str | os.PathLike[str]) -> Text:
    """Make the change again that was undone last; returns what stood there until now."""
    place = _file(path)
    with locked(place):
        now = document.load(place, keep_bom=True)
        undone = _kept(place, AGAIN)
        last = json.loads(undone[0].read_text(encoding="utf-8")) if undone else {}
        if not undone or digest(now) != last["became"]:
            raise MachineErrors([Problem(_nowhere_in(place), say.nothing_to_redo(str(place)))])
        machine = of_file(place, now)
        _keep_state(Text(place, now, machine, digest(now)),
                    Text(place, last["text"], machine, digest(last["text"])), last.get("words", ""))
        write_whole(place, last["text"])
        undone[0].unlink()
    return Text(place, now, machine, digest(now))


def undoable(path: str | os.PathLike[str]) -> bool:
    """Whether an earlier text can be put back: one is kept, and nobody edited the file since."""
    return kept_last(path) is not None


def kept_last(path: str | os.PathLike[str]) -> Kept | None:
    """The change that an undo takes back; None where there is none, or somebody edited the file since."""
    return _last(path, "", newest=True)


def undone_last(path: str | os.PathLike[str]) -> Kept | None:
    """The change that a redo makes again; None where there is none, or the file is another since."""
    return _last(path, AGAIN, newest=False)


def _last(path: str | os.PathLike[str], of: str, *, newest: bool) -> Kept | None:
    """The state next in turn, as it was told; nothing is tidied: a state may be that of a write just under way."""
    try:
        place = _file(path)
        now = document.load(place, keep_bom=True)
        found = _kept(place, of)
        kept = (json.loads(p.read_text(encoding="utf-8")) for p in (found[::-1] if newest else found))
        last = next((state for state in kept if state["text"] != now), None)
        told = last is not None and last["became"] == digest(now)
        return Kept(last.get("words", ""), last.get("when", "")) if last is not None and told else None
    except (MachineErrors, OSError, ValueError):
        return None


def digest(text: str) -> str:
    """What a text is known by."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:32]


@contextmanager
def locked(place: Path, name: str = "lock", held: Callable[[str, str], str] = say.held_by) -> Iterator[None]:
    """Be the only writer of a machine file. Raises `MachineErrors` where another process is.

    The system lets go of the lock of a process that dies; what is written into it is for the eye only. A desk
    holds a lock of its own `name` for as long as it is open, and this one only while it writes.
    """
    with (_folder(place) / f"{place.name}.{name}").open("a+", encoding="utf-8") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            lock.seek(0)
            who = lock.read().strip() or "another process"
            raise MachineErrors([Problem(_nowhere_in(place), held(str(place), who))]) from None
        lock.truncate(0)
        lock.write(f"process {os.getpid()}, since {time.strftime('%Y-%m-%d %H:%M:%S')}\n")
        lock.flush()
        yield


def _keep_state(before: Text, after: Text, words: str) -> None:
    """The text there was, before the new one takes its place: a death in between loses neither."""
    states = _states(before.path, before.text)
    number = int(states[-1].name.rsplit(".", 2)[1]) + 1 if states else 1
    state = {"text": before.text, "became": after.digest, "when": time.strftime("%Y-%m-%d %H:%M:%S"),
             "words": words}
    write_whole(_folder(before.path) / f"{before.path.name}.{number:06d}.json", json.dumps(state))
    for old in states[: len(states) + 1 - MOST_STATES]:
        old.unlink(missing_ok=True)


def _states(place: Path, now: str) -> list[Path]:
    """Earlier texts, the oldest first. A state of the text that still stands is of a write that never came to be."""
    found = _kept(place)
    while found and json.loads(found[-1].read_text(encoding="utf-8"))["text"] == now:
        found.pop().unlink()
    return found


def _kept(place: Path, of: str = "") -> list[Path]:
    return sorted((place.parent / FOLDER).glob(f"{place.name}{of}.[0-9][0-9][0-9][0-9][0-9][0-9].json"))


def _file(path: str | os.PathLike[str]) -> Path:
    """The file itself, where a link leads to it: it is the file that is replaced."""
    place = machine_file(Path(path))
    return place.resolve() if place.is_symlink() else place


def _nowhere_in(place: Path) -> Mark:
    return Mark(str(place), 0, 0)


def _folder(place: Path) -> Path:
    folder = place.parent / FOLDER
    folder.mkdir(exist_ok=True)
    return folder
