"""The suppliers' lists a project sees, each with the parts it is looked through for, and those that can be put back."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from layshaft.faces.pages.day import day_words
from layshaft.project import catalogue, taken_out
from layshaft.store.lists import Listed


@dataclass(frozen=True, slots=True)
class There:
    """One kind of one supplier's list; `own` where it is this project's and not one of all the user's."""

    supplier: str
    kind: str
    count: int
    file: str
    day: str
    number: int
    own: bool
    parts: Sequence[str]
    """Paths of the parts of which this kind is asked for."""


def lists_there(project: Path, asked: Mapping[str, Sequence[str]]) -> list[There]:
    """Every list; `asked` are the parts by the kind that is asked for."""
    return [_there(one, asked, own=folder == project) for folder, one in catalogue.contents(project)]


def lists_out(project: Path) -> list[There]:
    """The project's lists that were taken out or replaced, the last one first."""
    return [_there(one, {}, own=True) for _, one in taken_out.taken_out(project, project)]


def day_read(text: str) -> str:
    """The day a list was read on, in words."""
    try:
        return day_words(datetime.date.fromisoformat(text))
    except ValueError:
        return text


def _there(one: Listed, asked: Mapping[str, Sequence[str]], *, own: bool) -> There:
    return There(one.supplier, one.kind, one.count, one.file, day_read(one.read_on), one.number, own,
                 asked.get(one.kind, ()))
