"""A list that was handed in as bytes: kept under a name of ours until it is taken in or thrown away.

No path is ever made of what somebody calls a file. It lies in the project's own folder, bounded in bytes and rows.
"""

from __future__ import annotations

import re
import secrets
import shutil
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from layshaft.listings.imports.sheets import WORKBOOKS
from layshaft.project.keeping import FOLDER
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

MOST_BYTES = 32_000_000
MOST_ROWS = 200_000
WHOLE = "A longer list is taken in with `layshaft catalogue import`."
LONGEST_NAME = 80
COMING = "lists-coming"
TOKEN = re.compile(r"[A-Za-z0-9_-]{12}")
PACKED, OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"


@dataclass(frozen=True, slots=True)
class Handed:
    """A file that was handed in: where it lies, what it is called, and how many lines it has, 0 where none can tell."""

    token: str
    folder: Path
    place: Path
    called: str
    lines: int


def hand_in(folder: Path, name: str, data: bytes) -> Handed:
    """Put a file beside the project's other things. Raises `BadInput`."""
    called = safe_name(name)
    if not data:
        raise BadInput(f"{called} is empty. Export the list again.")
    if len(data) > MOST_BYTES:
        size = f"{called} is {len(data) / 1e6:.0f} MB; the desk takes {MOST_BYTES // 1_000_000} MB."
        raise BadInput(f"{size} {WHOLE}")
    refuse_outside(folder)
    token = secrets.token_urlsafe(9)
    place = folder / FOLDER / COMING / token / f"list{_suffix(called, data)}"
    try:
        place.parent.mkdir(parents=True)
        place.write_bytes(data)
    except OSError as why:
        raise BadInput(f"Beside the machine file nothing can be written ({(why.strerror or str(why)).lower()}). Make "
                       "room or mend the rights of the folder, then choose the file again.") from None
    lines = 0 if data.startswith((PACKED, OLD)) else data.count(b"\n")
    return Handed(token, folder, place, called, lines)


def throw_away(handed: Handed) -> None:
    """Take the file away again."""
    shutil.rmtree(handed.place.parent, ignore_errors=True)


def clear(folder: Path, but: Collection[str] = ()) -> None:
    """Take away what an earlier desk left there, and nothing else."""
    home = folder / FOLDER / COMING
    if home.is_dir() and not home.is_symlink():
        for one in home.iterdir():
            if TOKEN.fullmatch(one.name) and one.name not in but and not one.is_symlink():
                shutil.rmtree(one, ignore_errors=True)


def refuse_outside(folder: Path) -> None:
    """Raises `BadInput` where what would be written beside the machine file leads out of its folder."""
    whole = folder.resolve()
    for name in (store.FILE, FOLDER):
        if not (folder / name).resolve().is_relative_to(whole):
            raise BadInput(f"{name} beside the machine file leads to another folder, where the desk writes nothing. "
                           "Take the list in with `layshaft catalogue import`.")


def safe_name(name: str) -> str:
    """What a file is called, without its folders and without letters that cannot be seen or turn a line round."""
    last = re.split(r"[/\\]", name)[-1]
    plain = "".join(" " if ch.isspace() else ch for ch in last if ch.isspace() or unicodedata.category(ch)[0] != "C")
    plain = " ".join(plain.split()).strip(". ")
    stem, dot, suffix = plain.rpartition(".")
    if len(plain) > LONGEST_NAME:
        plain = f"{stem[:LONGEST_NAME - len(suffix) - 1]}.{suffix}" if dot and len(suffix) < 6 else plain[:LONGEST_NAME]
    return plain or "the list"


def _suffix(called: str, data: bytes) -> str:
    """The ending by which a file is read, one of a few: its own where the contents agree with it."""
    own = Path(called).suffix.casefold()
    if data.startswith(PACKED):
        return own if own in WORKBOOKS and own != ".xls" else ".xlsx"
    if data.startswith(OLD):
        return ".xls"
    return own if own in WORKBOOKS else ".csv"
