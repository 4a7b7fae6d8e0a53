"""Suppliers' lists in a SQLite file: texts row by row, numbers packed column by column.

A search over one kind reads the packed columns it asks for (8 MB for a million offers) and compares
them with numpy; only rows that are found are read as rows. An import is one transaction.
"""

from __future__ import annotations

import json
import math
import sqlite3
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.store.database import opened

FILE = "lists.db"
VERSION = 1
SHIFT = 32
TEXTS = ("part", "name", "standard", "cad", "place")
HAS_CAD = "has cad"
Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]
LAYOUT = (
    "CREATE TABLE lists(id INTEGER PRIMARY KEY, supplier TEXT NOT NULL, file TEXT NOT NULL, read_on TEXT NOT NULL)",
    "CREATE TABLE blocks(id INTEGER PRIMARY KEY, list INTEGER NOT NULL REFERENCES lists, kind TEXT NOT NULL, "
    "count INTEGER NOT NULL)",
    "CREATE TABLE columns(block INTEGER NOT NULL REFERENCES blocks, key TEXT NOT NULL, words TEXT, data BLOB NOT NULL, "
    "PRIMARY KEY(block, key))",
    "CREATE TABLE offers(id INTEGER PRIMARY KEY, part TEXT NOT NULL, name TEXT NOT NULL, standard TEXT NOT NULL, "
    "cad TEXT NOT NULL, place TEXT NOT NULL)",
    "CREATE INDEX offers_by_part ON offers(part)",
    "CREATE INDEX offers_by_standard ON offers(standard) WHERE standard != ''",
    "CREATE TABLE maps(supplier TEXT NOT NULL, header TEXT NOT NULL, map TEXT NOT NULL, PRIMARY KEY(supplier, header))",
)


@dataclass(slots=True)
class Block:
    """All offers of one kind in one list: `texts` by the names in `TEXTS`, the rest by key.

    `words` hold, for each key, a code an offer (-1 where nothing is said) and what the codes stand for.
    """

    kind: str
    count: int
    numbers: dict[str, Floats] = field(default_factory=dict)
    words: dict[str, tuple[npt.NDArray[np.int32], list[str]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Hit:
    """One row that was found."""

    kind: str
    supplier: str
    file: str
    read_on: str
    texts: Mapping[str, str]
    numbers: Mapping[str, float]
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found: how many fit, and the first of them."""

    count: int
    hits: list[Hit]


@dataclass(frozen=True, slots=True)
class Listed:
    """One kind of one supplier's list, for a table of contents. No other list ever had its `number`."""

    supplier: str
    kind: str
    count: int
    file: str
    read_on: str
    number: int
    block: int


@contextmanager
def lists(folder: Path) -> Iterator[sqlite3.Connection]:
    """The lists of a project folder or of the user. Raises `BadInput`."""
    with opened(folder / FILE, LAYOUT, VERSION) as connection:
        yield connection


def contents(db: sqlite3.Connection) -> list[Listed]:
    """What is held, by supplier and kind."""
    rows = db.execute("SELECT supplier, kind, count, file, read_on, lists.id, blocks.id FROM blocks "
                      "JOIN lists ON list = lists.id ORDER BY supplier, kind, lists.id").fetchall()
    return [Listed(*row) for row in rows]


# Writing. All of it stands in one transaction of the caller's.


def begin_list(db: sqlite3.Connection, supplier: str, file: str, read_on: str) -> int:
    """A new list without offers; its number, which is one that no list had before, in whatever file."""
    last = db.execute("SELECT max(id) FROM lists").fetchone()[0] or 0
    return _last(db.execute("INSERT INTO lists(id, supplier, file, read_on) VALUES (?, ?, ?, ?)",
                            (max(time.time_ns(), last + 1), supplier, file, read_on)))


def begin_block(db: sqlite3.Connection, list_: int, kind: str) -> int:
    """An empty block of a list; its number."""
    return _last(db.execute("INSERT INTO blocks(list, kind, count) VALUES (?, ?, 0)", (list_, kind)))


def add_texts(db: sqlite3.Connection, block: int, first: int, rows: Iterable[Sequence[str]]) -> None:
    """Rows of `TEXTS`, from the row `first` of the block on."""
    start = (block << SHIFT) + first
    db.executemany("INSERT INTO offers VALUES (?, ?, ?, ?, ?, ?)", ((start + i, *row) for i, row in enumerate(rows)))


def end_block(db: sqlite3.Connection, number: int, block: Block) -> None:
    """The columns of a block whose texts are there."""
    db.execute("UPDATE blocks SET count = ? WHERE id = ?", (block.count, number))
    rows: list[tuple[int, str, str | None, Any]] = [
        (number, key, None, np.ascontiguousarray(values, np.float64).tobytes())
        for key, values in block.numbers.items()]
    rows += [(number, key, json.dumps(words, ensure_ascii=False), np.ascontiguousarray(codes, np.int32).tobytes())
             for key, (codes, words) in block.words.items()]
    db.executemany("INSERT INTO columns VALUES (?, ?, ?, ?)", rows)


def drop_blocks(db: sqlite3.Connection, numbers: Iterable[int]) -> None:
    """Take blocks out, and lists that are empty then."""
    for number in numbers:
        db.execute("DELETE FROM offers WHERE id BETWEEN ? AND ?", _span(number))
        db.execute("DELETE FROM columns WHERE block = ?", (number,))
        db.execute("DELETE FROM blocks WHERE id = ?", (number,))
    db.execute("DELETE FROM lists WHERE id NOT IN (SELECT list FROM blocks)")


def copy_block(db: sqlite3.Connection, number: int, to: sqlite3.Connection) -> int:
    """A block of one file also in another, with its list; its number there."""
    list_, kind, count = db.execute("SELECT list, kind, count FROM blocks WHERE id = ?", (number,)).fetchone()
    to.execute("INSERT OR IGNORE INTO lists VALUES (?, ?, ?, ?)",
               db.execute("SELECT id, supplier, file, read_on FROM lists WHERE id = ?", (list_,)).fetchone())
    there = begin_block(to, list_, kind)
    to.execute("UPDATE blocks SET count = ? WHERE id = ?", (count, there))
    columns = db.execute("SELECT key, words, data FROM columns WHERE block = ?", (number,))
    to.executemany("INSERT INTO columns VALUES (?, ?, ?, ?)", ((there, *row) for row in columns))
    shift = (there - number) << SHIFT
    rows = db.execute("SELECT id + ?, part, name, standard, cad, place FROM offers WHERE id BETWEEN ? AND ?",
                      (shift, *_span(number)))
    to.executemany("INSERT INTO offers VALUES (?, ?, ?, ?, ?, ?)", rows)
    return there


def copy_maps(db: sqlite3.Connection, supplier: str, to: sqlite3.Connection) -> None:
    """What is kept of a supplier's columns, also in another file."""
    rows = db.execute("SELECT supplier, header, map FROM maps WHERE supplier = ? COLLATE NOCASE", (supplier,))
    to.executemany("INSERT OR REPLACE INTO maps VALUES (?, ?, ?)", rows.fetchall())


def remember_map(db: sqlite3.Connection, supplier: str, header: str, said: Mapping[str, str]) -> None:
    """Keep what a supplier's columns mean."""
    db.execute("INSERT OR REPLACE INTO maps VALUES (?, ?, ?)", (supplier, header, json.dumps(said, ensure_ascii=False)))


def forget_maps(db: sqlite3.Connection, supplier: str) -> None:
    """Take out what was kept of a supplier's columns."""
    db.execute("DELETE FROM maps WHERE supplier = ? COLLATE NOCASE", (supplier,))


# Reading.


def remembered_map(db: sqlite3.Connection, supplier: str, header: str) -> dict[str, str]:
    """What was kept for these columns; empty where nothing was."""
    row = db.execute("SELECT map FROM maps WHERE supplier = ? AND header = ?", (supplier, header)).fetchone()
    return dict(json.loads(row[0])) if row else {}


def blocks_of(db: sqlite3.Connection, *, supplier: str | None = None, kind: str | None = None) -> list[int]:
    """Numbers of the blocks of a supplier, of a kind, or both; all where neither is named."""
    rows = db.execute("SELECT blocks.id FROM blocks JOIN lists ON list = lists.id WHERE (?1 IS NULL OR "
                      "supplier = ?1 COLLATE NOCASE) AND (?2 IS NULL OR kind = ?2) ORDER BY blocks.id",
                      (supplier, kind)).fetchall()
    return [row[0] for row in rows]


def parts_of(db: sqlite3.Connection, block: int) -> list[str]:
    """Part numbers of a block, in its order."""
    return [row[0] for row in db.execute("SELECT part FROM offers WHERE id BETWEEN ? AND ? ORDER BY id", _span(block))]


def numbers_of(db: sqlite3.Connection, block: int) -> dict[str, Floats]:
    """All numeric columns of a block."""
    rows = db.execute("SELECT key, data FROM columns WHERE block = ? AND words IS NULL", (block,))
    return {key: np.frombuffer(data, np.float64) for key, data in rows}


def search(db: sqlite3.Connection, kind: str, where: Mapping[str, tuple[float, float]], words: Mapping[str, str], *,
           require_cad: bool = False, supplier: str | None = None, order: str = "", most: int = 200) -> Found:
    """Offers of a kind whose values lie within the ranges; a value that is not said lies in none.

    In the order of the lists, or by the numeric key `order`, smallest first and unknown last.
    """
    asked = dict(where) | ({HAS_CAD: (1.0, 1.0)} if require_cad else {})
    fitting: list[tuple[int, Places, Floats]] = []
    for block in blocks_of(db, supplier=supplier, kind=kind):
        rows = _fitting(db, block, asked, words)
        if len(rows):
            by = _column(db, block, order) if order else None
            fitting.append((block, rows, np.full(len(rows), np.nan) if by is None else by[rows]))
    if not fitting:
        return Found(0, [])
    ids = np.concatenate([(block << SHIFT) + rows for block, rows, _ in fitting])
    if order and most < len(ids):
        by = np.concatenate([values for _, _, values in fitting])
        by = np.where(np.isnan(by), math.inf, by)
        least = np.argpartition(by, most)[:most]
        first = np.sort(least)[np.argsort(by[np.sort(least)], kind="stable")]
    else:
        first = np.argsort(np.concatenate([v for _, _, v in fitting]), kind="stable") if order else np.arange(len(ids))
    return Found(len(ids), hits(db, ids[first[:most]].tolist()))


def named(db: sqlite3.Connection, name: str, *, standard: bool = False, supplier: str | None = None) -> list[Hit]:
    """Offers with that part number, or that are examples of that standard designation."""
    column = "standard" if standard else "part"
    more = " AND standard != ''" if standard else ""
    ids = [row[0] for row in db.execute(f"SELECT id FROM offers WHERE {column} = ?{more} ORDER BY id", (name,))]
    found = hits(db, ids)
    return [h for h in found if supplier is None or h.supplier.casefold() == supplier.casefold()]


def hits(db: sqlite3.Connection, ids: Sequence[int]) -> list[Hit]:
    """Rows by their numbers, in that order."""
    blocks = {i >> SHIFT for i in ids}
    heads = {b: db.execute("SELECT kind, supplier, file, read_on FROM blocks JOIN lists ON list = lists.id "
                           "WHERE blocks.id = ?", (b,)).fetchone() for b in blocks}
    columns = {b: _picked(db, b, [i & ((1 << SHIFT) - 1) for i in ids if i >> SHIFT == b]) for b in blocks}
    found = []
    for i in ids:
        block, row = i >> SHIFT, i & ((1 << SHIFT) - 1)
        texts = db.execute("SELECT part, name, standard, cad, place FROM offers WHERE id = ?", (i,)).fetchone()
        numbers, words = columns[block][row]
        kind, supplier, file, read_on = heads[block]
        found.append(Hit(kind, supplier, file, read_on, dict(zip(TEXTS, texts, strict=True)), numbers, words))
    return found


def _picked(db: sqlite3.Connection, block: int, rows: list[int]) -> dict[int, tuple[dict[str, float], dict[str, str]]]:
    """All values of a few rows of a block, by row. A value is read where it stands, not with its column."""
    found: dict[int, tuple[dict[str, float], dict[str, str]]] = {row: ({}, {}) for row in rows}
    for number, key, words in db.execute("SELECT rowid, key, words FROM columns WHERE block = ?", (block,)).fetchall():
        if key == HAS_CAD:
            continue
        meant = json.loads(words) if words is not None else None
        size = 8 if meant is None else 4
        with db.blobopen("columns", "data", number, readonly=True) as blob:
            for row in sorted(rows):
                blob.seek(row * size)
                piece = blob.read(size)
                if meant is None:
                    found[row][0][key] = float(np.frombuffer(piece, np.float64)[0])
                elif (code := int(np.frombuffer(piece, np.int32)[0])) >= 0:
                    found[row][1][key] = meant[code]
    return found


def _fitting(db: sqlite3.Connection, block: int, where: Mapping[str, tuple[float, float]],
             words: Mapping[str, str]) -> Places:
    """Rows of a block that fit, by their place in it."""
    count = db.execute("SELECT count FROM blocks WHERE id = ?", (block,)).fetchone()[0]
    fits = np.ones(count, bool)
    for key, (low, high) in where.items():
        values = _column(db, block, key)
        if values is None:
            return np.zeros(0, np.int64)
        fits &= (values >= low) & (values <= high)
    for key, word in words.items():
        row = db.execute("SELECT words, data FROM columns WHERE block = ? AND key = ? AND words IS NOT NULL",
                         (block, key)).fetchone()
        meant = [i for i, w in enumerate(json.loads(row[0])) if w.casefold() == word.casefold()] if row else []
        if not meant:
            return np.zeros(0, np.int64)
        fits &= np.isin(np.frombuffer(row[1], np.int32), meant)
    return np.flatnonzero(fits)


def _column(db: sqlite3.Connection, block: int, key: str) -> Floats | None:
    row = db.execute("SELECT data FROM columns WHERE block = ? AND key = ? AND words IS NULL", (block, key)).fetchone()
    return np.frombuffer(row[0], np.float64) if row else None


def _span(block: int) -> tuple[int, int]:
    return block << SHIFT, ((block + 1) << SHIFT) - 1


def _last(cursor: sqlite3.Cursor) -> int:
    assert cursor.lastrowid is not None
    return cursor.lastrowid
