"""The head of a list, and what each column means: guessed, remembered or said.

A head may be one row or two, with titles above it and a row of units below; what the words do not
tell the contents may.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from layshaft.listings.imports import cells
from layshaft.listings.imports.fields import IGNORED, TEXT_FIELDS, Field, field_of, kind_of, list_fields, part_kinds
from layshaft.listings.offers import standard_offers
from layshaft.trace.errors import BadInput

MOST_ABOVE = 40
"""Rows in which a head is looked for."""

SAMPLED = 400
MOST_COLUMNS = 400
_BRACKETS = re.compile(r"[\[(]([^\])]*)[\])]")
_NUMBER = re.compile(r"[-+]?\d[\d.,' ]*")
_CAD = re.compile(r"(?i).*\.(?:step|stp|iges|igs|x_t|sat|dxf|dwg|stl|3dm|ipt|sldprt)(?:\?.*)?$|https?://\S+$")


@dataclass(frozen=True, slots=True)
class Lack:
    """What has to be said before a list can be read: in words, how the command is told, and for which column."""

    words: str
    say: str
    column: str = ""

    def __str__(self) -> str:
        return f"{self.words} {self.say}"


@dataclass(slots=True)
class Column:
    """One column and what it was taken for; `how` is header, contents, remembered, said or nothing."""

    number: int
    heads: tuple[str, ...]
    examples: list[str] = field(default_factory=list)
    field: Field | None = None
    unit: str = ""
    per: float = 1.0
    how: str = ""
    note: str = ""

    @property
    def head(self) -> str:
        """All its heads in one."""
        return " ".join(dict.fromkeys(h for h in self.heads if h))

    @property
    def letter(self) -> str:
        """A, B, ..., Z, AA: what a workbook calls it."""
        text, n = "", self.number
        while n:
            n, rest = divmod(n - 1, 26)
            text = chr(65 + rest) + text
        return text


@dataclass(slots=True)
class Head:
    """Where the data begin, what stands above them, and the columns."""

    columns: list[Column]
    data: int
    titles: str
    rows: set[tuple[str, ...]]

    @property
    def fingerprint(self) -> str:
        """By which a map is remembered."""
        return "|".join(c.head for c in self.columns)


def find_head(rows: Sequence[Sequence[str]], kind: str) -> Head | None:
    """The head among the first rows, or None where no row names two things a list can say."""
    kinds = [kind] if kind else list(part_kinds())
    scores = [max(_score(row, k) for k in kinds) for row in rows[:MOST_ABOVE]]
    best = max(scores, default=0)
    if best < 2:
        return None
    main = next(i for i, score in enumerate(scores) if score >= 2 and score >= 0.5 * best)
    first = main - 1 if main and _groups(rows[main - 1], rows[main]) else main
    last = main
    while last + 1 < len(rows) and last - main < 2 and _still_head(rows[last + 1]):
        last += 1
    block = [list(row) for row in rows[first: last + 1]]
    if len(block) > 1:
        block[0] = _filled(block[0])
    width = min(max(len(row) for row in block), MOST_COLUMNS)
    sample = [row for row in rows[last + 1: last + 1 + SAMPLED] if any(row)]
    columns = [Column(i + 1, tuple(row[i].strip() if i < len(row) else "" for row in block),
                      [row[i].strip() for row in sample if i < len(row) and row[i].strip()]) for i in range(width)]
    titles = " ".join(cell for row in rows[:first] for cell in row if cell)
    return Head(columns, last + 1, titles, {tuple(row) for row in rows[first: last + 1]})


def _score(row: Sequence[str], kind: str) -> int:
    if any(_NUMBER.fullmatch(cell.strip()) for cell in row):
        return 0
    return len({f.name for cell in row if cell.strip() and (f := field_of(cell.replace("\n", " "), kind))})


def _groups(above: Sequence[str], main: Sequence[str]) -> bool:
    """Whether the row above heads groups of columns: several words, no numbers, and not a title over all."""
    said = [cell.strip() for cell in above if cell.strip()]
    wide = sum(bool(c.strip()) for c in main)
    return bool(said) and not any(_NUMBER.fullmatch(cell) for cell in said) and (
        len(set(said)) > 1 or 1 < len(said) < wide)


def _still_head(row: Sequence[str]) -> bool:
    """Units or second heads: no number, and nothing but units, brackets or words a list is headed with."""
    said = [cell.strip() for cell in row if cell.strip()]
    return bool(said) and not any(_NUMBER.fullmatch(cell) for cell in said) and (
        sum(_is_unit(cell) or any(field_of(cell, k) for k in part_kinds()) for cell in said) > len(said) / 2)


def _is_unit(text: str) -> bool:
    bare = text.strip("[]() ")
    return any(cells.factor_of(f, bare) is not None for f in list_fields().values()
               if f.unit_of not in ("", "money", "count")) or bool(cells.currency(bare))


def _filled(row: list[str]) -> list[str]:
    """A group's head over all its columns, as merged cells leave it in the first alone."""
    last, found = "", []
    for cell in row:
        last = cell if cell.strip() else last
        found.append(last)
    return found


def guess_kind(head: Head, texts: Sequence[str]) -> str:
    """The kind a list is of: by the words in its names, titles or cells, or by fields no other kind has."""
    for text in (*texts, head.titles):
        if found := kind_of(text):
            return found
    for column in head.columns:
        said = [kind_of(text) for text in column.examples]
        usual = max(set(said), key=said.count, default="")
        if usual and said.count(usual) > 0.5 * len(said):
            return usual
    names = {f.name for c in head.columns for f in [field_of(c.head, "")] if f}
    scores = {kind.name: sum(f in names for f in kind.tells) for kind in part_kinds().values()}
    most = max(scores.values())
    best = [kind for kind, score in scores.items() if score == most]
    return best[0] if most > 0 and len(best) == 1 else ""


def map_columns(head: Head, kind: str, kept: Mapping[str, str], said: Mapping[str, str]) -> None:
    """Settle what every column means: as said, else as kept, else by its head, else by its contents."""
    _apply(head, kept, "remembered", strict=False)
    _apply(head, said, "said", strict=True)
    for column in head.columns:
        if not column.how:
            _by_head(column, kind)
    _settle_twice(head)
    _by_contents(head, kind)


def as_said(head: Head) -> dict[str, str]:
    """The map in the words it is said in, to be kept."""
    return {name_of(head, c): (f"{c.field.name} {unit_words(c)}".strip() if c.field else IGNORED)
            for c in head.columns if c.how}


def name_of(head: Head, column: Column) -> str:
    """What a column is called so that no other is meant: by its head, else by its letter or number."""
    return next((name for name in (column.head, column.letter, str(column.number))
                 if name and _named(head, name) is column), column.letter)


def unit_words(column: Column) -> str:
    """The unit of a column, and of a price for how many pieces it is."""
    return f"{column.unit}/{column.per:g}" if column.per != 1 else column.unit


def _apply(head: Head, said: Mapping[str, str], how: str, *, strict: bool) -> None:
    for name, meaning in said.items():
        column = _named(head, name)
        if column is None:
            if strict:
                raise BadInput(f"The list has no column '{name}'. Its columns are "
                               f"{', '.join(c.head or c.letter for c in head.columns)}.")
            continue
        column.how, column.field, column.unit = how, None, ""
        if meaning == IGNORED:
            continue
        column.field, unit = field_and_unit(meaning)
        inherited = unit or _unit_of(column)
        column.unit, column.per = known_unit(column.field, inherited)
        if unit and not column.unit and column.field.unit_of != "count":
            raise BadInput(f"'{unit}' is not a unit of {column.field.unit_of or 'a text'} "
                           f"({column.field.name}). Write another for column {column.letter}.")
        for other in head.columns:  # what is said of one column is taken from the others
            if other is not column and other.field is column.field and other.how != how:
                other.field, other.how = None, how


def _named(head: Head, name: str) -> Column | None:
    """A column by its head, its letter or its number; case counts where heads differ by nothing else ('d' and 'D')."""
    folded = name.casefold()
    heads = [c for c in head.columns if name in (c.head, *c.heads)]
    places = [c for c in head.columns if name in (c.letter, str(c.number))]
    alike = [c for c in head.columns if folded in (c.head.casefold(), *(h.casefold() for h in c.heads))]
    whole = [c for c in heads if c.head == name]
    return next((found[0] for found in (whole, heads, places, alike) if len(found) == 1 or (found is whole and found)),
                None)


def field_and_unit(text: str) -> tuple[Field, str]:
    """`bore mm` as field and unit. Raises `BadInput`."""
    fields = list_fields()
    for name in sorted(fields, key=len, reverse=True):
        if text == name or text.startswith((f"{name} ", f"{name}[")):
            return fields[name], text[len(name):].strip(" []")
    raise BadInput(f"'{text}' is nothing a list can say. Write one of {', '.join(fields)}, with a unit behind it where "
                   f"it needs one, or {IGNORED} to leave the column out.")


def _by_head(column: Column, kind: str) -> None:
    lowest = next((h for h in reversed(column.heads) if h and not _is_unit(h)), "")
    found = (field_of(lowest, kind) if lowest else None) or field_of(column.head, kind)
    if found is not None:
        column.field, column.how = found, "header"
        column.unit, column.per = known_unit(found, _unit_of(column))


def _unit_of(column: Column) -> str:
    """The unit in the heads: in brackets, as a row of its own, behind 'in' or a stroke, or as the last word."""
    for head in reversed(column.heads):
        if match := _BRACKETS.search(head):
            return match.group(1).strip()
        if head and _is_unit(head):
            return head.strip("[]() ")
    for head in reversed(column.heads):
        if match := re.search(r"(?:\s+in\s+|\s*/\s*|\s+)(\S+)$", head):
            return match.group(1)
    return ""


def known_unit(what: Field, unit: str) -> tuple[str, float]:
    """The unit if it is one of the field, and for how many pieces a price is."""
    if what.unit_of == "money":
        per = cells.PER.search(unit)
        bare = unit[: per.start()].strip() if per else unit.strip()
        many = float(per.group(1)) if per and per.group(1) else 1.0
        return (cells.currency(bare), many) if many > 0 else ("", 1.0)
    if what.unit_of == "count" or what.is_text:
        return "", 1.0
    return (unit, 1.0) if unit and cells.factor_of(what, unit) is not None else ("", 1.0)


def _settle_twice(head: Head) -> None:
    """Of two columns that name one field the first counts."""
    seen: dict[str, Column] = {}
    for column in sorted(head.columns, key=lambda c: c.how == "header"):
        if column.field is not None:
            first = seen.setdefault(column.field.name, column)
            if first is not column:
                column.note = f"says {column.field.name} too; column {first.letter} counts"
                column.field, column.how = None, ""


def _by_contents(head: Head, kind: str) -> None:
    taken = {c.field.name for c in head.columns if c.field}
    free = [c for c in head.columns if not c.how and c.field is None and not c.note and c.examples]
    names = {o.name.casefold() for o in standard_offers(kind)}
    for column in free:
        for name, fits in (
            ("cad", lambda t: bool(_CAD.match(t))), ("currency", lambda t: bool(cells.currency(t))),
            ("price", _is_priced), ("lead time", _is_time), ("standard", lambda t: t.casefold() in names),
        ):
            if name not in taken and sum(map(fits, column.examples)) > 0.8 * len(column.examples):
                column.field, column.how = list_fields()[name], "contents"
                taken.add(name)
                break
    if "part number" not in taken:
        for column in free:
            if column.field is None and len(set(column.examples)) == len(column.examples) and len(column.examples) > 1 \
                    and not all(_NUMBER.fullmatch(t) for t in column.examples):
                column.field, column.how = list_fields()["part number"], "contents"
                break


def _is_priced(text: str) -> bool:
    reading = cells.Reading(list_fields()["price"], "", "")
    return bool(re.search(r"\d", text)) and not cells.numbers([text], reading)[1] and bool(reading.currencies)


def _is_time(text: str) -> bool:
    reading = cells.Reading(list_fields()["lead time"], "", "")
    return bool(re.search(r"\d", text)) and not cells.numbers([text], reading)[1]


def lacking(head: Head, currency: str) -> list[Lack]:
    """What has to be said before such a list can be read."""
    found = []
    names = {c.field.name for c in head.columns if c.field}
    if not names & {"part number", "name", "standard"}:
        found.append(Lack("No column tells the part number.", "Say which does: --map 'COLUMN=part number'."))
    for c in head.columns:
        if c.field is None or c.field.name in TEXT_FIELDS or c.field.is_text or c.unit:
            continue
        bare = sum(bool(_NUMBER.fullmatch(t)) for t in c.examples)
        called = f"Column {c.letter} '{c.head}'"
        if c.field.unit_of == "money":
            if bare > len(c.examples) / 2 and not currency and "currency" not in names:
                found.append(Lack(f"{called} has prices without a currency.", "Say --currency EUR.", c.letter))
        elif bare > len(c.examples) / 2 and c.field.unit_of not in ("count", "ratio"):
            of = f" of {c.field.dimension.name}" if c.field.dimension is not None else ""
            say = f"Say for instance --map '{c.head or c.letter}={c.field.name} {_usual(c.field)}'."
            found.append(Lack(f"{called} ({c.field.name}) has no unit{of} in its head or cells.", say, c.letter))
    return found


def _usual(what: Field) -> str:
    if what.dimension is None:
        return "km"
    return "days" if what.unit_of == "time" else what.dimension.shown[0]
