"""Machine files in: text, shape, references; each pass reports all of its own problems.

`read` takes the file or the project folder and merges `parts.csv` and measured tables beside it.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from layshaft.machine import document, measured, parts_list, references
from layshaft.machine.document import MapNode
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.schema import Mark
from layshaft.machine.sentences import text as say
from layshaft.machine.sentences.wording import clipped
from layshaft.machine.shape import Shape

FILE = "machine.yaml"
PARTS_FILE = "parts.csv"


def read(path: str | os.PathLike[str]) -> Machine:
    """The machine of a file, or of the project folder that holds machine.yaml."""
    place = machine_file(Path(path))
    return of_file(place, document.load(place))


def of_file(place: Path, text: str) -> Machine:
    """The machine of a text that stands, or is to stand, in a file; merges the tables beside it."""
    root = document.compose(text, str(place))
    beside = place.parent / PARTS_FILE
    if beside.is_file():
        root = parts_list.merged(root, document.load(beside), str(beside))
    return replace(build(measured.points_from(root, place.parent)), file=place)


def read_text(text: str, file: str = FILE, parts: str = "") -> Machine:
    """The machine a text describes; `parts` is the text of a parts.csv."""
    root = document.compose(text, file)
    if parts:
        root = parts_list.merged(root, parts, PARTS_FILE)
    return build(root)


def build(root: MapNode, before: Machine | None = None) -> Machine:
    """Shape and reference pass over a tree. Raises `MachineErrors`.

    What is the same in `before`, a machine that passed, is not looked at again.
    """
    shape = Shape()
    machine = shape.thing(Machine, root, "", "")
    if shape.problems or machine is None:
        raise MachineErrors(shape.problems)
    return references.checked(replace(machine, document=root), shape.pending, before)


def machine_file(path: Path) -> Path:
    """The file meant by its own path or by its project folder. Raises `MachineErrors`."""
    try:
        if not path.is_dir():
            return path
        if (path / FILE).exists():
            return path / FILE
    except (OSError, ValueError):
        raise MachineErrors([Problem(Mark(str(path), 0, 0), say.no_file(clipped(str(path))))]) from None
    raise MachineErrors([Problem(Mark(str(path), 0, 0), say.no_machine_in_folder(str(path)))])
