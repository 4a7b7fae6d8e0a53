"""Changing the machine file from the command line: what was asked for, and which lines that changed."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from layshaft.machine.options import option_of, set_from_text
from layshaft.project import keeping
from layshaft.trace.errors import BadInput


def change_file(path: Path, options: Sequence[str], sets: Sequence[str], removals: Sequence[str],
                names: Sequence[str], *, write: bool) -> str:
    """Make the file's own options and then single changes; returns the lines that differ."""
    before = after = keeping.opened(path)
    for name in options:
        after = keeping.changed(after, option_of(after.machine, name), name)
    asked: dict[str, Any] = set_from_text(sets) if sets else {}
    if removals:
        asked["remove"] = list(removals)
    if names:
        asked["rename"] = dict(_pair(text) for text in names)
    if not (options or asked):
        raise BadInput("Nothing to change. Give --option, --set, --remove or --rename.")
    if asked:
        after = keeping.changed(after, asked, "what-if")
    if write:
        keeping.keep(before, after)
    lines = difference(before.text, after.text, before.path.name)
    if not lines:
        return f"{before.path} says so already: nothing changed."
    end = f"Written to {before.path}. Take it back with: layshaft undo {path}" if write else "Nothing was written."
    return f"{lines}\n{end}"


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
