"""Lists as files: delimited text or a workbook, as rows of plain text in pieces that fit in memory.

Nothing is understood here. Formulas that stand as text stay text, and so does one of a workbook whose value was
never worked out; merged cells say in every row what they say in their first.
"""

from __future__ import annotations

import csv
import itertools
import mmap
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from layshaft.listings.imports.workbooks import Page, pages
from layshaft.trace.errors import BadInput

MOST_BYTES = 1 << 30
MOST_CELL = 1 << 16
"""Characters in one cell: a quote that is never closed would swallow the rest of the file."""

MOST_WORKBOOK = 1 << 26
PIECE = 20_000
"""Rows held at a time."""

SAMPLE = 1 << 20
DELIMITERS = ";\t,|"
WORKBOOKS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
_BEGINS = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"GIF8": "a picture",
           b"\x1f\x8b": "a packed file", b"Rar!": "a packed file", b"7z\xbc\xaf": "a packed file",
           b"<!DOCTYPE": "a web page", b"<html": "a web page", b"{\\rtf": "a letter", b"\x7fELF": "a program"}


class Piece(NamedTuple):
    """Rows and, for each, its line in the file or its row in the sheet."""

    rows: list[list[str]]
    places: list[int]


@dataclass(slots=True)
class Sheet:
    """One table of a file; `pieces` can be gone through once."""

    name: str
    pieces: Iterator[Piece]
    first: Piece = field(init=False)

    def __post_init__(self) -> None:
        self.first = next(self.pieces, Piece([], []))

    def all(self) -> Iterator[Piece]:
        """All pieces, the first again at their head."""
        return itertools.chain([self.first], self.pieces)


def sheets(place: Path, called: str = "", waited: Callable[[], None] = lambda: None) -> list[Sheet]:
    """The tables of a file, `called` so in what is said of it. Raises `BadInput` in one sentence where it is none.

    `waited` is called now and then while a workbook is opened; what it raises ends the work.
    """
    called = called or str(place)
    size = _size(place, called)
    with place.open("rb") as file:
        begins = file.read(16)
    for magic, what in _BEGINS.items():
        if begins.lstrip().lower().startswith(magic.lower()):
            raise BadInput(f"{called} is {what}, not a list. Save the list as CSV or XLSX and import that.")
    if place.suffix.casefold() in WORKBOOKS or begins.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        if size > MOST_WORKBOOK:
            raise BadInput(f"{called} is a workbook of {size / 1e6:.0f} MB; {MOST_WORKBOOK / 1e6:.0f} MB is the most. "
                           "Save its sheets as CSV.")
        return _workbook(place, called, waited)
    encoding, delimiter = _text_of(place, called)
    return [Sheet("", _lines(place, called, encoding, delimiter))]


def _size(place: Path, called: str) -> int:
    try:
        size, folder = place.stat().st_size, place.is_dir()
    except (OSError, ValueError):
        raise BadInput(f"There is no file {place}. Write the path of a CSV or XLSX file.") from None
    if folder:
        raise BadInput(f"{called} is a folder. Name the list itself.")
    if size == 0:
        raise BadInput(f"{called} is empty. Export the list again.")
    if size > MOST_BYTES:
        raise BadInput(f"{called} is {size / 1e9:.1f} GB; {MOST_BYTES / 1e9:.1f} GB is the most. Cut it in two.")
    return size


def _text_of(place: Path, called: str) -> tuple[str, str]:
    """Encoding and delimiter of a text file; all of it is looked at, so that no import stops in the middle."""
    with place.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            encoding = "utf-16"
        else:
            if (at := data.find(b"\0")) >= 0:
                line = data[:at].count(b"\n") + 1
                raise BadInput(f"{called}:{line}: there is a NUL byte: this is no text, or is damaged. Export the list "
                               "again as CSV or XLSX.")
            encoding = "utf-8-sig" if _decodes(data, "utf-8") else "cp1252" if _decodes(data, "cp1252") else "latin-1"
        sample = data[:SAMPLE].decode(encoding, "replace")
    return encoding, _delimiter(called, sample)


def _decodes(data: mmap.mmap, encoding: str) -> bool:
    import codecs

    decoder = codecs.getincrementaldecoder(encoding)()
    try:
        for start in range(0, len(data), SAMPLE):
            decoder.decode(data[start: start + SAMPLE], start + SAMPLE >= len(data))
    except UnicodeDecodeError:
        return False
    return True


def _delimiter(called: str, sample: str) -> str:
    """The sign that parts most lines into the same number of cells, more than one."""
    lines = [line[:10_000] for line in sample.splitlines()[:200] if line.strip()]
    best, score = "", 0.0
    for sign in DELIMITERS:
        widths = [len(next(csv.reader([line], delimiter=sign), [])) for line in lines]
        usual = max(set(widths), key=widths.count) if widths else 1
        if usual > 1 and widths.count(usual) * min(usual, 4) > score:
            best, score = sign, float(widths.count(usual) * min(usual, 4))
    if not best:
        raise BadInput(f"{called} is not a list: no semicolon, tab, comma or bar parts its lines into cells. Save it "
                       "as CSV or XLSX.")
    return best


def _lines(place: Path, called: str, encoding: str, delimiter: str) -> Iterator[Piece]:
    csv.field_size_limit(MOST_CELL)
    with place.open(encoding=encoding, newline="") as file:
        reader = csv.reader(file, delimiter=delimiter, strict=True)  # an open quote would swallow rows
        rows: list[list[str]] = []
        places: list[int] = []
        try:
            for row in reader:
                rows.append(row)
                places.append(reader.line_num)
                if len(rows) == PIECE:
                    yield Piece(rows, places)
                    rows, places = [], []
        except csv.Error as why:
            raise BadInput(f"{called}:{reader.line_num}: this is no line of a list ({why}): a quote is not closed, or "
                           "the file is damaged.") from None
        except UnicodeError:
            raise BadInput(f"{called} breaks off in the middle of a letter. Export the list again.") from None
        if rows:
            yield Piece(rows, places)


def _workbook(place: Path, called: str, waited: Callable[[], None]) -> list[Sheet]:
    return [Sheet(page.name, _placed(page)) for page in pages(place, called, waited)]


def _placed(page: Page) -> Iterator[Piece]:
    first = page.first
    for rows in page.pieces:
        yield Piece(rows, list(range(first, first + len(rows))))
        first += len(rows)
