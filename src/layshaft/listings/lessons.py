"""Lessons: the plain-words layer of a method, one YAML file a room in `tables/lessons/`.

A lesson says what the part is for, where each symbol sits on the real part, which mistake is made
most often and how to check the answer with a pencil. What a step is for is the formula's own
docstring; what happens when an input doubles is computed where the lesson is shown.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from importlib import resources
from typing import Any

import yaml

FIELDS = {"title", "purpose", "drawing", "symbols", "mistakes", "pencil", "steps"}


@dataclass(frozen=True, slots=True)
class Lesson:
    """One room's lesson. `symbols` and `steps` are by symbol, as printed on the sheet."""

    title: str
    purpose: str
    drawing: str
    symbols: dict[str, str]
    mistakes: tuple[str, ...]
    pencil: str
    steps: dict[str, str]
    """More on single steps, where the formula's own line does not say enough."""


@functools.cache
def lesson(room: str) -> Lesson | None:
    """The lesson of an element's room such as `parallel_key`, or None. Raises `ValueError` if malformed."""
    place = resources.files("layshaft.tables") / "lessons" / f"{room}.yaml"
    if not place.is_file():
        return None
    said: dict[str, Any] = yaml.safe_load(place.read_text(encoding="utf-8"))
    if set(said) - FIELDS or FIELDS - {"steps"} - set(said):
        raise ValueError(f"lesson {room}: its keys are {', '.join(said)}; they must be {', '.join(sorted(FIELDS))}")
    return Lesson(said["title"], said["purpose"].strip(), said["drawing"].rstrip("\n"), dict(said["symbols"]),
                  tuple(said["mistakes"]), said["pencil"].strip(), dict(said.get("steps") or {}))


def lesson_rooms() -> list[str]:
    """Rooms that have a lesson."""
    folder = resources.files("layshaft.tables") / "lessons"
    return sorted(p.name.removesuffix(".yaml") for p in folder.iterdir() if p.name.endswith(".yaml"))
