"""One list into the store: all of it or nothing, with every refused row and what changed since last time."""

from __future__ import annotations

import gc
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from layshaft.listings.imports import cells, changes, sheets
from layshaft.listings.imports.blocks import Group, standard_names
from layshaft.listings.imports.fields import kind_of, part_kinds, run_of_price
from layshaft.listings.imports.heads import Column, Head, Lack, as_said, find_head, guess_kind, lacking, map_columns
from layshaft.store import database
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

MOST_REJECTED = 100_000
"""More refused rows than this are counted, not kept."""

MOST_FIRST = 6
"""Rows of each sheet that are shown as they were read."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a person said about a list."""

    supplier: str = ""
    kind: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    currency: str = ""
    decimal: str = ""
    sheet: str = ""
    skip_rejected: bool = False
    dry_run: bool = False
    called: str = ""
    """The name of the list in what is said of it, where it is not that of the file."""

    most_rows: int = 0
    """More rows than this are refused; 0 for any number."""


@dataclass(frozen=True, slots=True)
class First:
    """One of the first rows that can be taken, as it was read: words, and numbers in SI, by what they say."""

    place: str
    texts: dict[str, str]
    numbers: dict[str, float]
    currency: str


@dataclass(frozen=True, slots=True)
class Rejected:
    """A row that was not taken: the sheet, its line or row, and why."""

    sheet: str
    place: int
    why: str


@dataclass(slots=True)
class Table:
    """One sheet of the file and how it was understood; `head` is None for one that is passed over."""

    sheet: str
    kind: str
    head: Head | None
    decimal: str = ""
    taken: int = 0
    first: list[First] = field(default_factory=list)


@dataclass(slots=True)
class Outcome:
    """What became of a list. `written` only where it stands in the store now."""

    file: str
    tables: list[Table] = field(default_factory=list)
    rejected: list[Rejected] = field(default_factory=list)
    rejected_count: int = 0
    changes: list[changes.Changes] = field(default_factory=list)
    lacking: list[Lack] = field(default_factory=list)
    sheets: list[str] = field(default_factory=list)
    looked_at: int = 0
    """Rows that were read, whatever became of them."""

    taken: int = 0
    written: bool = False

    def reject(self, sheet: str, place: int, why: str) -> None:
        """Note a row that is not taken."""
        self.rejected_count += 1
        if len(self.rejected) < MOST_REJECTED:
            self.rejected.append(Rejected(sheet, place, why))


SetAside = Callable[[sqlite3.Connection, Sequence[int]], None]
"""Keeps blocks that are about to be replaced, somewhere else."""


class _Back(Exception):
    """Takes the transaction back without an error."""


def import_list(db: sqlite3.Connection, file: Path, asked: Asked, read_on: str,
                progress: Callable[[int], None] = lambda _rows: None,
                set_aside: SetAside = lambda _db, _blocks: None) -> Outcome:
    """Read a list and, unless something stands against it, keep it. Raises `BadInput`.

    What it takes the place of is handed to `set_aside` first. What `progress` raises ends the work; nothing is
    written then.
    """
    outcome = Outcome(asked.called or file.name)
    found = sheets.sheets(file, asked.called, lambda: progress(0))
    outcome.sheets = [s.name for s in found]
    found = [s for s in found if not asked.sheet or s.name == asked.sheet]
    if not found:
        raise BadInput(f"{asked.called or file} has no sheet '{asked.sheet}'.")
    understood = [(sheet, _understood(db, sheet, asked, outcome)) for sheet in found]
    outcome.tables = [table for _, table in understood]
    _refuse_unread(asked.called or str(file), understood)
    if outcome.lacking:
        return outcome
    try:
        with database.writing(db), _without_collecting():
            groups = _take(db, understood, asked, read_on, outcome, progress)
            refused = outcome.rejected_count > 0 and not asked.skip_rejected
            keeps = outcome.taken > 0 and not refused and not asked.dry_run
            for (supplier, kind), group in groups.items():
                outcome.changes.append(changes.settle(db, supplier, kind, group, set_aside if keeps else None))
            if not keeps:
                raise _Back
        outcome.written = True
    except _Back:
        pass
    return outcome


@contextmanager
def _without_collecting() -> Iterator[None]:
    """Millions of rows make no cycles; looking for some would take longer than the import."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _understood(db: sqlite3.Connection, sheet: sheets.Sheet, asked: Asked, outcome: Outcome) -> Table:
    rows = sheet.first.rows
    head = find_head(rows, asked.kind)
    if head is None:
        return Table(sheet.name, "", None)
    kind = asked.kind or guess_kind(head, [sheet.name, Path(outcome.file).stem])
    map_columns(head, kind, store.remembered_map(db, asked.supplier, head.fingerprint), asked.columns)
    names = {c.field.name for c in head.columns if c.field}
    if not kind and "kind" not in names:
        words = f"What kind of parts {sheet.name or outcome.file} lists is not plain from its words."
        outcome.lacking.append(Lack(words, f"Say --kind with one of {', '.join(part_kinds())}."))
    if not asked.supplier and "supplier" not in names:
        outcome.lacking.append(Lack("The list does not name its supplier.", "Say --supplier NAME."))
    texts = [c.examples for c in head.columns if c.field is not None and not c.field.is_text]
    decimal = asked.decimal or cells.decimal_sign(texts)
    outcome.lacking += lacking(head, asked.currency)
    return Table(sheet.name, kind, head, decimal)


def _refuse_unread(called: str, understood: Sequence[tuple[sheets.Sheet, Table]]) -> None:
    if all(table.head is None for _, table in understood):
        raise BadInput(f"{called} has no row that heads a list: none of its first rows names two things such as part "
                       "number, bore or price, in English, German or French. Write such words above the columns.")


def _take(db: sqlite3.Connection, understood: Sequence[tuple[sheets.Sheet, Table]], asked: Asked, read_on: str,
          outcome: Outcome, progress: Callable[[int], None]) -> dict[tuple[str, str], Group]:
    """Every row that can be taken, in a block for each supplier and kind."""
    groups: dict[tuple[str, str], Group] = {}
    listed: dict[str, int] = {}
    seen: dict[str, dict[str, str]] = {}
    for sheet, table in understood:
        for taken in _pieces(sheet, table, asked, seen, outcome):
            for key, rows in taken.groups().items():
                if key not in groups:
                    supplier, kind = key
                    if supplier not in listed:
                        listed[supplier] = store.begin_list(db, supplier, outcome.file, read_on)
                    groups[key] = Group(kind, store.begin_block(db, listed[supplier], kind))
                groups[key].add(db, taken, rows)
                outcome.taken += taken.count if rows is None else len(rows)
            progress(outcome.looked_at)
        if table.head is not None:
            for supplier in {supplier for supplier, _ in groups} | ({asked.supplier} if asked.supplier else set()):
                store.remember_map(db, supplier, table.head.fingerprint, as_said(table.head))
    return groups


@dataclass(slots=True)
class Piece:
    """Rows that were taken, column by column, all of one length."""

    count: int
    texts: dict[str, list[str]]
    numbers: dict[str, cells.Floats]
    currencies: list[str] | None
    kinds: list[str] | str
    suppliers: list[str] | str

    def groups(self) -> dict[tuple[str, str], list[int] | None]:
        """Rows by supplier and kind; None for all of them."""
        if isinstance(self.kinds, str) and isinstance(self.suppliers, str):
            return {(self.suppliers, self.kinds): None} if self.count else {}
        kinds = [self.kinds] * self.count if isinstance(self.kinds, str) else self.kinds
        suppliers = [self.suppliers] * self.count if isinstance(self.suppliers, str) else self.suppliers
        found: dict[tuple[str, str], list[int] | None] = {}
        for i, key in enumerate(zip(suppliers, kinds, strict=True)):
            rows = found.setdefault(key, [])
            assert rows is not None
            rows.append(i)
        return found


def _pieces(sheet: sheets.Sheet, table: Table, asked: Asked, seen: dict[str, dict[str, str]],
            outcome: Outcome) -> Iterator[Piece]:
    head = table.head
    if head is None:
        return
    skip = head.data
    for raw in sheet.all():
        outcome.looked_at += len(raw.rows)
        if asked.most_rows and outcome.looked_at > asked.most_rows:
            raise BadInput(f"{outcome.file} has more than {asked.most_rows} rows. Cut it in two, or take it in "
                           "whole with `layshaft catalogue import`.")
        kept, places = _rows(raw, skip, table, outcome)
        skip = 0
        if kept:
            piece = _piece(kept, places, table, asked, seen, outcome)
            _note_first(table, piece)
            yield piece


def _note_first(table: Table, piece: Piece) -> None:
    for i in range(min(piece.count, MOST_FIRST - len(table.first))):
        table.first.append(First(
            piece.texts["place"][i], {key: said[i] for key, said in piece.texts.items() if said[i]},
            {key: float(values[i]) for key, values in piece.numbers.items()},
            piece.currencies[i] if piece.currencies is not None else ""))


def _rows(raw: sheets.Piece, skip: int, table: Table, outcome: Outcome) -> tuple[list[list[str]], list[int]]:
    """Rows of data, all of one width: without blank ones, repeated heads, and rows with too many cells."""
    assert table.head is not None
    width, again = len(table.head.columns), table.head.rows
    rows, places = [], []
    for row, place in zip(raw.rows[skip:], raw.places[skip:], strict=True):
        if len(row) != width:
            if any(cell.strip() for cell in row[width:]):
                outcome.reject(table.sheet, place, f"it has {len(row)} cells, and the head {width}")
                continue
            row = [*row[:width], *[""] * (width - len(row))]
        if (row[0] or any(row)) and tuple(row) not in again and any(map(str.strip, row)):
            rows.append(row)
            places.append(place)
    return rows, places


def _piece(rows: list[list[str]], places: list[int], table: Table, asked: Asked, seen: dict[str, dict[str, str]],
           outcome: Outcome) -> Piece:
    assert table.head is not None
    by_column = list(zip(*rows, strict=True))
    columns = {c.field.name: c for c in table.head.columns if c.field}
    text = {name: [t.strip() for t in by_column[c.number - 1]] for name, c in columns.items()
            if c.field is not None and c.field.is_text}
    numbers, wrong, currencies = _numbers(by_column, columns, text.get("currency"), table.decimal, asked.currency)
    if "price" in columns and "length" not in numbers and np.isfinite(run := run_of_price(columns["price"].head)):
        numbers["length"] = np.full(len(rows), run)  # a piece of what is sold by length is a metre, or a foot
    kinds: list[str] | str = table.kind
    if "kind" in text:
        meant = {t: kind_of(t) or (table.kind if not t else "") for t in dict.fromkeys(text["kind"])}
        kinds = [meant[t] for t in text["kind"]]
        for i, kind in enumerate(kinds):
            if not kind:
                wrong.setdefault(i, []).append(f"'{text['kind'][i]}' is no kind of part that is known")
    suppliers: list[str] | str = asked.supplier or text.get("supplier", "")
    blank = [""] * len(rows)
    parts = text.get("part number") or text.get("name") or text.get("standard") or blank
    _refuse_parts(parts, suppliers, places, table.sheet, seen, wrong)
    names = text.get("name") or parts
    standards = text.get("standard") or standard_names(kinds, parts, names)
    where = [f"{table.sheet}, row {p}" for p in places] if table.sheet else list(map(str, places))
    piece = Piece(len(rows), {"part": parts, "name": names, "standard": standards, "cad": text.get("cad", blank),
                              "place": where} | {k: v for k, v in text.items() if k not in _TAKEN_ASIDE},
                  numbers, currencies, kinds, suppliers)
    for i in sorted(wrong):
        outcome.reject(table.sheet, places[i], "; ".join(wrong[i]))
    table.taken += len(rows) - len(wrong)
    return _without(piece, set(wrong)) if wrong else piece


_TAKEN_ASIDE = ("part number", "name", "standard", "cad", "kind", "supplier", "currency")


def _numbers(by_column: Sequence[Sequence[str]], columns: Mapping[str, Column], said: list[str] | None, decimal: str,
             currency: str) -> tuple[dict[str, cells.Floats], dict[int, list[str]], list[str] | None]:
    """Every numeric column in SI, what is wrong by row, and the currency of each price."""
    found: dict[str, cells.Floats] = {}
    wrong: dict[int, list[str]] = {}
    currencies: list[str] | None = None
    for name, c in columns.items():
        if c.field is None or c.field.is_text:
            continue
        money = c.field.unit_of == "money"
        unit = (c.unit or currency or ("XXX" if said else "")) if money else c.unit
        reading = cells.Reading(c.field, unit, decimal, c.per)
        texts = by_column[c.number - 1]
        found[name], refused = cells.numbers(texts, reading)
        for row, why in refused:
            wrong.setdefault(row, []).append(why)
        if money:
            currencies = _currencies(texts, found[name], reading, said, wrong)
    return found, wrong, currencies


def _currencies(texts: Sequence[str], prices: cells.Floats, reading: cells.Reading, said: list[str] | None,
                wrong: dict[int, list[str]]) -> list[str]:
    """The currency of each price: in its cell, or in the column of currencies, or of the whole column."""
    if said is None:
        return [reading.currencies.get(t, reading.unit) for t in texts]
    found = []
    for i, (text, cell) in enumerate(zip(texts, said, strict=True)):
        own = reading.currencies.get(text, "XXX")
        unit = own if own != "XXX" else cells.currency(cell)
        if not unit and np.isfinite(prices[i]):
            wrong.setdefault(i, []).append(f"'{cell}' is no currency; write for instance EUR")
        found.append(unit)
    return found


def _refuse_parts(parts: Sequence[str], suppliers: Sequence[str] | str, places: Sequence[int], sheet: str,
                  seen: dict[str, dict[str, str]], wrong: dict[int, list[str]]) -> None:
    """Rows without a part number, without a supplier, or with a part number that another row has."""
    if isinstance(suppliers, str):
        known = seen.setdefault(suppliers, {})
        if all(parts) and known.keys().isdisjoint(parts) and len(set(parts)) == len(parts):
            known.update(zip(parts, (_row_words(sheet, place) for place in places), strict=True))
            return
    for i, (part, place) in enumerate(zip(parts, places, strict=True)):
        supplier = suppliers if isinstance(suppliers, str) else suppliers[i]
        if not part or not supplier:
            wrong.setdefault(i, []).append("it has no part number" if not part else "it has no supplier")
            continue
        here = _row_words(sheet, place)
        first = seen.setdefault(supplier, {}).setdefault(part, here)
        if first != here:
            wrong.setdefault(i, []).append(f"part number {part} stands in {first} already")


def _row_words(sheet: str, place: int) -> str:
    return f"sheet {sheet}, row {place}" if sheet else f"row {place}"


def _without(piece: Piece, bad: set[int]) -> Piece:
    keep = [i for i in range(piece.count) if i not in bad]
    def of(texts: list[str]) -> list[str]:
        return [texts[i] for i in keep]
    return Piece(len(keep), {k: of(v) for k, v in piece.texts.items()}, {k: v[keep] for k, v in piece.numbers.items()},
                 None if piece.currencies is None else of(piece.currencies),
                 piece.kinds if isinstance(piece.kinds, str) else of(piece.kinds),
                 piece.suppliers if isinstance(piece.suppliers, str) else of(piece.suppliers))
