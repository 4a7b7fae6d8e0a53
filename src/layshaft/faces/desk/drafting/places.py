"""The machine file on disk, for a desk: which one is meant, what cannot be written, and a good text put back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from layshaft.machine.reader import FILE, machine_file
from layshaft.project.files import write_whole
from layshaft.project.keeping import FOLDER, locked
from layshaft.trace.errors import BadInput

MOST_ASIDE = 1000


def place_of(path: Path) -> Path:
    """The machine file meant; in a folder without one, the one that would be there."""
    return path / FILE if path.is_dir() and not (path / FILE).exists() else machine_file(path)


@contextmanager
def writing(place: Path) -> Iterator[None]:
    """While something is written: what the disk refuses is said in a sentence. Raises `BadInput`."""
    try:
        yield
    except OSError as why:
        raise BadInput(f"{place.name} cannot be written ({(why.strerror or str(why)).lower()}). Nothing was kept, and "
                       "nothing is lost. Make room on the disk or take off the write protection, then do it "
                       "again.") from None


def is_blank(place: Path) -> bool:
    """Whether there is a file in which nothing is written."""
    try:
        return place.stat().st_size < MOST_ASIDE and not place.read_bytes().strip()
    except OSError:
        return False


def put_back(place: Path, text: str) -> None:
    """Write a text over whatever stands in the file now; that goes into the folder beside it first."""
    folder = place.parent / FOLDER
    with writing(place), locked(place):
        if place.exists():
            there = place.read_bytes()
            free = (folder / f"{place.name}.set-aside-{n}" for n in range(1, MOST_ASIDE))
            aside = next((p for p in free if not p.exists() or p.read_bytes() == there), None)
            if aside is None:
                raise BadInput(f"{folder} holds {MOST_ASIDE - 1} broken texts already. Look through them first.")
            write_whole(aside, there)
        write_whole(place, text)
