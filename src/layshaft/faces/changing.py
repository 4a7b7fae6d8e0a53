"""Changing the machine file from the command line: what was asked for, and which lines that changed."""

from __future__ import annotations

import difflib
import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from layshaft.machine.leftovers import Alone, leftovers
from layshaft.machine.model import Machine
from layshaft.machine.options import option_of, set_from_text
from layshaft.machine.shaping import removal
from layshaft.project import keeping
from layshaft.trace.errors import BadInput


def change_file(path: Path, options: Sequence[str], sets: Sequence[str], removals: Sequence[str],
                names: Sequence[str], *, write: bool, clear: bool = False) -> str:
    """Make the file's own options and then single changes; returns the lines that differ.

    With `clear` what hangs on a thing that is removed goes too, and what stands there only for it.
    """
    if clear and not removals:
        raise BadInput("--clear goes with --remove: name what is to go.")
    before = after = keeping.opened(path)
    for name in options:
        after = keeping.changed(after, option_of(after.machine, name), name)
    asked: dict[str, Any] = set_from_text(sets) if sets else {}
    left = () if clear else left_behind(after.machine, removals)
    if clear:
        after = keeping.changed(after, _cleared(after.machine, removals), "what-if")
    elif removals:
        asked["remove"] = list(removals)
    if names:
        asked["rename"] = dict(_pair(text) for text in names)
    if not (options or asked or clear):
        raise BadInput("Nothing to change. Give --option, --set, --remove or --rename.")
    if asked:
        after = keeping.changed(after, asked, "what-if")
    if write:
        keeping.keep(before, after)
    lines = difference(before.text, after.text, before.path.name)
    if not lines:
        return f"{before.path} says so already: nothing changed."
    end = f"Written to {before.path}. Take it back with: layshaft undo {path}" if write else "Nothing was written."
    return "\n".join((lines, *left, end))


def left_behind(machine: Machine, removals: Sequence[str]) -> tuple[str, ...]:
    """A sentence on what stood there only for what goes and is still there, and how to take it out too."""
    found = dict.fromkeys(a.path for path in removals for a in _alone(machine, path) if a.path not in removals)
    if not found:
        return ()
    more = " ".join(f"--remove {shlex.quote(path)}" for path in found)
    return (f"Still there, though only for what goes: {', '.join(found)}.\n"
            f"Give --clear with --remove to take it out as well, or afterwards: {more}",)


def _alone(machine: Machine, path: str) -> tuple[Alone, ...]:
    """What stands there only for one thing; nothing where the thing cannot go, which is said when it is tried."""
    try:
        return tuple(a for a in leftovers(machine, path).alone if a.before)
    except BadInput:
        return ()


def _cleared(machine: Machine, removals: Sequence[str]) -> dict[str, Any]:
    """The option that removes things with what hangs on them and what stands there only for them."""
    alone = dict.fromkeys(a.path for path in removals for a in leftovers(machine, path).alone if a.before)
    return removal(machine, *dict.fromkeys((*removals, *alone)))


def undo_file(path: Path) -> str:
    """Take the last change back; returns the lines that differ."""
    was = keeping.undo(path)
    now = keeping.opened(path)
    return f"{difference(was.text, now.text, now.path.name)}\nThe last change of {now.path} is taken back."


def difference(before: str, after: str, name: str) -> str:
    """Lines that went and lines that came, each with the lines around it."""
    found = difflib.unified_diff(before.splitlines(), after.splitlines(), f"{name}, before", f"{name}, after",
                                 n=1, lineterm="")
    return "\n".join(found)


def _pair(text: str) -> tuple[str, str]:
    path, equals, name = text.partition("=")
    if not equals or not path.strip() or not name.strip():
        raise BadInput(f"'{text}' has no PATH=NAME. Write for instance --rename 'shafts.main=great wheel'.")
    return path.strip(), name.strip()
