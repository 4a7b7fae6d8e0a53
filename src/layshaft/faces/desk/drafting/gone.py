"""Where a part has gone whose page is still open somewhere: renamed, taken out, or with a change that was dropped."""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from layshaft.faces.desk.drafting.edits import Edit
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.pages.words import part_words
from layshaft.machine.model import Machine
from layshaft.machine.paths import NotThereError, in_model, split
from layshaft.machine.shaping import things

MOST = 500
"""Parts remembered; the oldest go first."""

CLOSE = 0.6


@dataclass(frozen=True)
class Gone:
    """What became of a part: where it is now, or why it is nowhere and which edit of the draft took it out."""

    now: str = ""
    why: str = ""
    edit: int = 0
    near: tuple[str, ...] = ()
    """Parts that are called almost the same."""


@dataclass
class Memory:
    """What changes that are not in the draft any more have done to names."""

    _renamed: OrderedDict[str, str] = field(default_factory=OrderedDict)
    _why: OrderedDict[str, str] = field(default_factory=OrderedDict)

    def note(self, was: State, now: State, why: str) -> None:
        """Remember what a drop, a keep or an undo took away, between two states; `why` says what happened."""
        if was.verdict is None or now.verdict is None or was is now:
            return
        there = {t.path for t in things(now.machine)}
        drafted = {t.path for t in things(was.machine)}
        dropped = [(new, old) for old, new in reversed(renames(e for e in was.edits if e not in now.edits))]
        back = [*dropped, *((new, old) for old, new in self._renamed.items())]
        for old in _paths(was):
            new = along(old, back if old in drafted else renames(was.edits))
            self._renamed.pop(old, None)
            self._why.pop(old, None)
            if old not in there:
                _put(self._renamed if new in there else self._why, old, new if new in there else why)

    def of(self, state: State, path: str) -> Gone:
        """What became of a path that the machine as drafted does not have."""
        machine = state.machine
        now = along(path, [*self._renamed.items()])
        for place in (path, now):
            place = along(place, renames(state.edits))
            if place != path and _stands(machine, place):
                return Gone(place)
        removed = next((e for e in state.edits if any(_within(path, p) for p in e.option.get("remove", ()))), None)
        if removed is not None:
            return Gone(why="A change that is not kept yet took it out of the machine.", edit=removed.number)
        if state.before is not None and _stands(state.before.solved.machine, path):
            return Gone(why="The draft has taken it out of the machine.")
        why = next((w for p, w in self._why.items() if _within(path, p)), "")
        names = {part_words(t.path): t.path for t in things(machine)}
        near = get_close_matches(part_words(path), names, 3, CLOSE)
        return Gone(why=why, near=tuple(names[n] for n in near))


def renames(edits: Iterable[Edit]) -> list[tuple[str, str]]:
    """Old path and new path of everything that edits rename, in their order."""
    return [(old, f"{old.rpartition('.')[0]}.{name}") for edit in edits
            for old, name in edit.option.get("rename", {}).items()]


def along(path: str, steps: Iterable[tuple[str, str]]) -> str:
    """A path after renames, one after the other."""
    for old, new in steps:
        if _within(path, old):
            path = new + path[len(old):]
    return path


def along_in_place(place: str, steps: Iterable[tuple[str, str]]) -> str:
    """The place of a finding, in which what is renamed has its new name."""
    for old, new in steps:
        name = re.escape(old.rpartition(".")[2])
        place = re.sub(rf"(?<![\w-]){name}(?![\w-])", new.rpartition(".")[2], place)
    return place


def _within(path: str, head: str) -> bool:
    return path == head or path.startswith((f"{head}.", f"{head}["))


def _paths(state: State) -> list[str]:
    """Every thing of a state, in the draft or in the file."""
    machines = [state.machine, *([state.before.solved.machine] if state.before is not None else [])]
    return list(dict.fromkeys(t.path for m in machines for t in things(m)))


def _stands(machine: Machine, path: str) -> bool:
    try:
        return in_model(machine, split(path) or ("",)) is not None
    except NotThereError:
        return False


def _put(found: OrderedDict[str, str], old: str, said: str) -> None:
    found[old] = said
    found.move_to_end(old)
    while len(found) > MOST:
        found.popitem(last=False)
