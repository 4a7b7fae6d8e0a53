"""What a desk changed and did not keep, laid aside beside the machine file, so that it outlives the desk."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from layshaft.project.files import write_whole
from layshaft.project.keeping import FOLDER

FORM = 1
"""Grows when a record says something else than before."""


class Unkept(NamedTuple):
    """One edit of a draft: what it changes, as an option, and its words."""

    option: Mapping[str, Any]
    words: str


def lay_aside(place: Path, edits: Iterable[Unkept]) -> None:
    """Take the place of what was laid aside for a machine file; without edits nothing is left. Raises `OSError`."""
    record = _record(place)
    told = [{"option": _plain(edit.option), "words": edit.words} for edit in edits]
    if not told:
        record.unlink(missing_ok=True)
        return
    record.parent.mkdir(exist_ok=True)
    write_whole(record, json.dumps({"form": FORM, "edits": told}))


def laid_aside(place: Path) -> list[Unkept]:
    """What was laid aside, in the order it was made; nothing where no record of this version can be read."""
    try:
        data = json.loads(_record(place).read_text(encoding="utf-8"))
        if data["form"] != FORM:
            return []
        return [Unkept(dict(edit["option"]), str(edit["words"])) for edit in data["edits"]]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return []


def _record(place: Path) -> Path:
    return place.parent / FOLDER / f"{place.name}.unkept.json"


def _plain(value: Any) -> Any:
    """A value of an option as JSON can say it."""
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value if isinstance(value, str | int | float | bool | None) else str(value)
