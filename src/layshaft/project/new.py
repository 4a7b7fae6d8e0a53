"""`layshaft new DIR`: a project folder with a first machine.yaml from six answers."""

from __future__ import annotations

import os
from pathlib import Path

from layshaft.machine.reader import FILE
from layshaft.project.answers import EXTRAS, QUESTIONS, AnswerError, Answers, Question, answers, ask
from layshaft.project.draft import draft
from layshaft.project.files import write_whole
from layshaft.trace.errors import BadInput

__all__ = [
    "EXTRAS",
    "QUESTIONS",
    "AnswerError",
    "Answers",
    "NewProjectError",
    "Question",
    "answers",
    "ask",
    "create",
    "draft",
    "refuse_if_taken",
]


class NewProjectError(BadInput):
    """The folder cannot take a new machine; the message is one sentence that says what to do instead."""


def refuse_if_taken(folder: str | os.PathLike[str]) -> Path:
    """The folder, if a machine can be written there. Raises `NewProjectError`: ask before the questions."""
    place = Path(folder)
    try:
        if place.exists() and not place.is_dir():
            raise NewProjectError(f"{place} is a file, not a folder. Give the name of a new folder.")
        if (place / FILE).exists():
            raise NewProjectError(f"{place / FILE} is there already and stays as it is. Give another folder.")
    except (OSError, ValueError) as why:
        if isinstance(why, NewProjectError):
            raise
        raise NewProjectError(f"{place} cannot be looked at. Give the name of a new folder.") from None
    return place


def create(folder: str | os.PathLike[str], given: Answers) -> Path:
    """Write machine.yaml into a new or empty folder, whole or not at all; gives the file's path."""
    place, text = refuse_if_taken(folder), draft(given)
    try:
        place.mkdir(parents=True, exist_ok=True)
        return write_whole(place / FILE, text, lambda: refuse_if_taken(place))
    except OSError as why:
        raise NewProjectError(
            f"{place} cannot be written ({why.strerror or why}). Give another folder."
        ) from None
