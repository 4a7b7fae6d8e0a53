"""What a page shows of a list that was read: its columns, its first rows, what is refused and what would change."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from layshaft.faces.catalogue_text import MOST_ROWS, changes_lines
from layshaft.faces.pages.words import short
from layshaft.listings.imports.cells import SAY_DECIMAL
from layshaft.listings.imports.fields import IGNORED, list_fields
from layshaft.listings.imports.heads import Column, Head, known_unit, name_of, unit_words
from layshaft.listings.imports.importing import First, Outcome, Table

DAY, KM = 86400.0, 1000.0
MOST_CELL = 40
HOW = {"header": "by its head", "contents": "by its cells", "remembered": "as last time", "said": "as you said"}
TEXTS = {"part": "part number", "name": "name", "standard": "standard", "cad": "cad"}
NAMES = ("part number", "name", "standard")
SIGNS = {",": "comma", ".": "point"}


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """One column of the list: what it is called in a form, what stands in it, and what it was taken for."""

    name: str
    letter: str
    head: str
    cells: str
    means: str
    unit: str
    how: str
    lacks: str
    in_words: bool
    """Whether it tells words, which have no unit."""


def columns(outcome: Outcome, table: Table) -> list[ColumnRow]:
    """Columns in which something stands."""
    assert table.head is not None
    lacks = {one.column: one.words for one in outcome.lacking if one.column}
    return [_row(table.head, c, lacks.get(c.letter, "")) for c in table.head.columns if c.head or c.examples]


def _row(head: Head, c: Column, lacks: str) -> ColumnRow:
    how = c.note or HOW.get(c.how, "") if c.field is not None or c.note else ("left out" if c.how else "not read")
    cells = "; ".join(clipped(t) for t in dict.fromkeys(c.examples[:3]))
    return ColumnRow(name_of(head, c), c.letter, clipped(c.head), cells, c.field.name if c.field else IGNORED,
                     unit_words(c), how, lacks, c.field is None or c.field.is_text)


def said_of(row: ColumnRow, means: str, unit: str) -> str:
    """What a form says of a column, as the import is told; a unit that belonged to what it meant before is left out."""
    what = list_fields().get(means)
    if what is None or means == IGNORED:
        return IGNORED
    if what.is_text or what.unit_of == "count" or (unit == row.unit and not known_unit(what, unit)[0]):
        return means
    return f"{means} {unit}".strip()


def first_rows(table: Table) -> tuple[list[str], list[tuple[str, list[str]]]]:
    """Places of the first rows, and for each thing the list tells what was understood of it in every one of them."""
    words = dict.fromkeys([*TEXTS, *(key for row in table.first for key in row.texts if key != "place")])
    numbers = list(dict.fromkeys(key for row in table.first for key in row.numbers))
    told = [(TEXTS.get(key, key), [clipped(_text(row, key)) for row in table.first]) for key in words]
    first = [(key, [number(key, row.numbers.get(key, math.nan), row.currency) for row in table.first])
             for key in numbers]
    said = [(key, cells) for key, cells in told if any(cells)]
    names = [one for one in said if one[0] in NAMES]
    return ([row.place.rpartition("row ")[2] for row in table.first],
            [*names, *first, *(one for one in said if one not in names)])


def _text(row: First, key: str) -> str:
    text = row.texts.get(key, "")
    return "" if key == "name" and text == row.texts.get("part") else text


def number(key: str, value: float, currency: str) -> str:
    """A number as a builder would write it; a dash where the list does not say it."""
    if not math.isfinite(value):
        return "\N{EN DASH}"
    if key == "price":
        return f"{value:.2f} {currency}".strip()
    if key == "lead time":
        return f"{value / DAY:.3g} days" if value else "in stock"
    if key == "distance":
        return f"{value / KM:.4g} km"
    what = list_fields().get(key)
    dimension = what.dimension if what is not None else None
    return short(value, dimension) if dimension is not None else f"{value:.4g}"


def refused(outcome: Outcome) -> tuple[list[tuple[str, str]], int, str]:
    """The first rows that are not taken, each with why, how many more there are, and what most are refused for."""
    rows = [(f"{one.sheet}, row {one.place}" if one.sheet else f"row {one.place}", plainly(one.why))
            for one in outcome.rejected[:MOST_ROWS]]
    more = outcome.rejected_count - len(rows)
    sorts = Counter(one.why.split(":")[0].split(" is ")[0].split("; ")[0] for one in outcome.rejected)
    most = ", ".join(f"{word} ({n})" for word, n in sorts.most_common(4)) if more > 0 else ""
    return rows, more, most


def plainly(words: str) -> str:
    """Words without the options of the command: a page has fields for them."""
    return words.replace(SAY_DECIMAL, "")


def asks_currency(outcome: Outcome) -> bool:
    """Whether some price of the list does not say its currency."""
    prices = [c for table in readable(outcome) if table.head for c in table.head.columns
              if c.field is not None and c.field.unit_of == "money"]
    return any(not c.unit for c in prices)


def changes(outcome: Outcome) -> list[list[str]]:
    """What it changes of the lists there are, for each supplier and kind."""
    return [[line.strip() for line in changes_lines(one)] for one in outcome.changes]


def count(number: int, word: str) -> str:
    """`100 000 rows`, in thousands that do not end a line."""
    return f"{number:,} {word}{'' if number == 1 else 's'}".replace(",", "\N{NO-BREAK SPACE}")


def lacks(outcome: Outcome) -> list[str]:
    """What has to be said first."""
    return list(dict.fromkeys(one.words for one in outcome.lacking))


def clipped(text: str) -> str:
    """A cell that fits a line."""
    text = "".join(ch if ch.isprintable() else " " for ch in text).strip()
    return text if len(text) <= MOST_CELL else f"{text[:MOST_CELL - 1]}\N{HORIZONTAL ELLIPSIS}"


def readable(outcome: Outcome) -> list[Table]:
    """Sheets in which a list was found."""
    return [table for table in outcome.tables if table.head is not None]


def passed_over(outcome: Outcome) -> Sequence[str]:
    """Sheets in which none was found."""
    return [table.sheet for table in outcome.tables if table.head is None]
