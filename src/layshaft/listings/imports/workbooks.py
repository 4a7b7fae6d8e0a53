"""Workbooks as rows of text, read by a process of their own: see `unpacking`."""

from __future__ import annotations

import marshal
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import IO, NamedTuple

from layshaft.listings.imports import unpacking
from layshaft.trace.errors import BadInput

OFTEN = 0.1
"""Seconds between two looks whether it is to stop."""

UNPACKER = "layshaft.listings.imports.unpacking"
MEGA = 1_000_000
WHY = {
    unpacking.UNPACKS_TO_TOO_MUCH: "{} unpacks to more than {:.0f} MB, far more than a list holds. Save the sheet with "
                                   "the list as CSV.",
    unpacking.TOO_LARGE: "{} takes more memory than a list may: a cell far from all others, or far too many of them. "
                         "Save the sheet with the list as CSV.",
    unpacking.LOCKED: "{} is locked with a password. Take the password off and save it again.",
}


class Page(NamedTuple):
    """One sheet: its name, the row its first cells stand in, and all rows from there on, in pieces."""

    name: str
    first: int
    pieces: list[list[list[str]]]


def pages(place: Path, called: str, waited: Callable[[], None]) -> list[Page]:
    """The sheets of a workbook. `waited` is called now and then; what it raises ends the work. Raises `BadInput`."""
    command = [sys.executable, "-P", "-m", UNPACKER, str(place), str(unpacking.MOST_UNPACKED)]
    with tempfile.TemporaryFile() as out, subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=out, stderr=subprocess.PIPE) as reader:
        try:
            while True:
                try:
                    said = reader.communicate(timeout=OFTEN)[1]
                    break
                except subprocess.TimeoutExpired:
                    waited()
        except BaseException:
            reader.kill()
            raise
        if reader.returncode:
            why = WHY.get(reader.returncode if reader.returncode > 0 else unpacking.TOO_LARGE, "")
            raise BadInput(why.format(called, unpacking.MOST_UNPACKED / MEGA) if why else _unreadable(called, said))
        out.seek(0)
        return _read(out)


def _read(out: IO[bytes]) -> list[Page]:
    found: list[Page] = []
    while True:
        try:
            name, first, count = marshal.load(out)
        except EOFError:
            return found
        found.append(Page(name, first, [marshal.load(out) for _ in range(count)]))


def _unreadable(called: str, said: bytes) -> str:
    why = said.decode(errors="replace").strip()
    told = f" ({why.splitlines()[-1][:200]})" if why else ""
    return f"{called} cannot be read as a workbook{told}. Open and save it again, or save the list as CSV."
