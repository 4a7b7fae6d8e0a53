"""The process that opens a workbook: rows as text go out, and whatever is hidden in the file ends this process alone.

A workbook of a megabyte may unpack to gigabytes, or say that its only cell stands in the last column of the last
row. So it is first unpacked without keeping anything, counted, and then read with a bound on memory.
"""

from __future__ import annotations

import contextlib
import html
import marshal
import re
import sys
import zipfile
import zlib
from typing import Any
from xml.etree import ElementTree

MOST_UNPACKED = 1 << 28
MOST_MEMORY = 1 << 31
MOST_SECONDS = 120
PIECE = 10_000
"""Rows handed over at a time."""

UNPACKS_TO_TOO_MUCH, TOO_LARGE, LOCKED, UNREADABLE = 3, 4, 5, 6
"""What ended it, as the process says it."""

CHUNK = 1 << 16
LOCAL_HEAD = 30
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_UNWORKED = re.compile(rb"<c\s([^>]*)>\s*<f\b[^>]*?(?:/>|>([^<]*)</f>)\s*(?:<v\s*/>|<v>\s*</v>)?\s*</c>")
_PLACE = re.compile(rb"\br=\"([A-Z]{1,3})(\d{1,7})\"")

Rows = list[list[str]]


def main(place: str, most: int) -> int:
    """Read one workbook; its sheets go to the standard output, each as name, first row and number of pieces."""
    _bound()
    if zipfile.is_zipfile(place) and _unpacked(place, most) > most:
        return UNPACKS_TO_TOO_MUCH
    import python_calamine

    letters = 0
    try:
        book = python_calamine.load_workbook(place)
        names = book.sheet_names
        unworked = _unworked(place)
        for name in names:
            sheet = book.get_sheet_by_name(name)
            rows = _grid(sheet)
            _fill(rows, sheet.start or (0, 0), unworked.get(name, {}))
            letters += sum(len(cell) for row in rows for cell in row)
            if letters > most:  # one long text may stand in every cell
                return UNPACKS_TO_TOO_MUCH
            _hand_over(name, int(sheet.start[0]) + 1 if sheet.start else 1, rows)
    except MemoryError:
        return TOO_LARGE
    except python_calamine.PasswordError:
        return LOCKED
    except Exception as why:  # what is wrong inside a workbook comes in many kinds of error
        sys.stderr.write((str(why).splitlines() or [type(why).__name__])[0])
        return UNREADABLE
    return 0


def _bound() -> None:
    """As much memory and time as a list may take, where the system can be told so."""
    try:
        import resource
    except ImportError:
        return
    bounds = {resource.RLIMIT_AS: MOST_MEMORY, resource.RLIMIT_CPU: MOST_SECONDS, resource.RLIMIT_CORE: 0}
    for what, most in bounds.items():
        hard = resource.getrlimit(what)[1]
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(what, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


def _unpacked(place: str, most: int) -> int:
    """Bytes in all its members, counted, for what a member says of its own size may be wrong; stops at the bound."""
    total = 0
    with zipfile.ZipFile(place) as packed, open(place, "rb") as file:
        for member in packed.infolist():
            file.seek(member.header_offset)
            head = file.read(LOCAL_HEAD)
            file.seek(int.from_bytes(head[26:28], "little") + int.from_bytes(head[28:30], "little"), 1)
            total += member.compress_size if member.compress_type == zipfile.ZIP_STORED else _inflated(
                file, member.compress_size, most - total)
            if total > most:
                break
    return total


def _inflated(file: Any, size: int, most: int) -> int:
    """How large one member is, or the first size over `most` that was met."""
    packer, found = zlib.decompressobj(-zlib.MAX_WBITS), 0
    while size > 0 and found <= most and not packer.eof:
        piece = file.read(min(CHUNK, size))
        size -= len(piece)
        if not piece:
            break
        with contextlib.suppress(zlib.error):  # what is damaged is told by whoever reads it
            while piece and found <= most:
                found += len(packer.decompress(piece, CHUNK))
                piece = packer.unconsumed_tail
    return found


def _grid(sheet: Any) -> Rows:
    """All rows as text, merged cells filled with what they say."""
    rows = [[_text(cell) for cell in row] for row in sheet.to_python()]
    top, left = sheet.start or (0, 0)
    try:
        merged = sheet.merged_cell_ranges or []
    except Exception:  # not every kind of workbook can tell
        merged = []
    for (first_row, first_column), (last_row, last_column) in merged:
        inside = range(max(first_row - top, 0), min(last_row - top + 1, len(rows)))
        across = range(max(first_column - left, 0), last_column - left + 1)
        said = next((rows[r][c] for r in inside for c in across if c < len(rows[r]) and rows[r][c]), "")
        for r in inside:
            for c in across:
                if c < len(rows[r]):
                    rows[r][c] = said
    return rows


def _text(cell: Any) -> str:
    """A cell as it would stand in a text file: whole numbers without a point."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.0f}" if cell.is_integer() and abs(cell) < 1e15 else f"{cell:.15g}"
    return str(cell).strip()


def _unworked(place: str) -> dict[str, dict[tuple[int, int], str]]:
    """By sheet, row and column the formulas whose value was never worked out: the file holds none to be read."""
    found: dict[str, dict[tuple[int, int], str]] = {}
    with contextlib.suppress(KeyError, zipfile.BadZipFile, ElementTree.ParseError), zipfile.ZipFile(place) as packed:
        relations = {r.get("Id"): r.get("Target", "")
                     for r in ElementTree.fromstring(packed.read("xl/_rels/workbook.xml.rels"))}
        for sheet in ElementTree.fromstring(packed.read("xl/workbook.xml")).iter():
            target = relations.get(sheet.get(RELATION)) if sheet.tag.endswith("}sheet") else None
            if target:
                data = packed.read(target.lstrip("/") if target.startswith("/") else f"xl/{target}")
                found[sheet.get("name", "")] = _formulas(data) if b"<f" in data else {}
    return found


def _formulas(data: bytes) -> dict[tuple[int, int], str]:
    found = {}
    for cell in _UNWORKED.finditer(data):
        if place := _PLACE.search(cell.group(1)):
            column = 0
            for letter in place.group(1):
                column = column * 26 + letter - 64
            formula = html.unescape((cell.group(2) or b"").decode("utf-8", "replace"))
            found[int(place.group(2)) - 1, column - 1] = f"={formula}"
    return found


def _fill(rows: Rows, start: tuple[int, int], formulas: dict[tuple[int, int], str]) -> None:
    """Stand a formula without a value where its value should be, so that it is refused there and not taken as blank."""
    for (row, column), formula in formulas.items():
        r, c = row - start[0], column - start[1]
        if 0 <= r < len(rows) and 0 <= c < len(rows[r]) and not rows[r][c]:
            rows[r][c] = formula


def _hand_over(name: str, first: int, rows: Rows) -> None:
    out = sys.stdout.buffer
    marshal.dump((name, first, -(-len(rows) // PIECE)), out)
    for start in range(0, len(rows), PIECE):
        marshal.dump(rows[start: start + PIECE], out)


if __name__ == "__main__":
    try:
        ended = main(sys.argv[1], int(sys.argv[2]))
        sys.stdout.flush()
    except MemoryError:
        ended = TOO_LARGE
    sys.exit(ended)
