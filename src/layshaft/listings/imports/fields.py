"""What a column of a list can say, and the trade words that head it."""

from __future__ import annotations

import functools
import math
import re
import unicodedata
from dataclasses import dataclass

from layshaft.listings.tables import Row, table
from layshaft.trace.units import DIMENSIONS, FOOT, Dimension

LANGUAGES = ("english", "german", "french")
TEXT_FIELDS = ("part number", "name", "standard", "kind", "supplier", "currency", "country", "cad")
OFFER_NUMBERS = ("mass", "price", "lead time", "distance", "pack", "least order")
IGNORED = "-"
MOST_LENGTH = 60
"""A head longer than this is a sentence, not a word of the trade."""

LEAST_PART = 4
"""A word shorter than this must be the whole head: 'id' is in too many others."""


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a column can say. `unit_of` is the dimension's name: "" for text, `money`, `time`, `distance`."""

    name: str
    unit_of: str
    least: float
    above: bool
    symbols: tuple[tuple[str, str], ...]
    words: tuple[str, ...]

    @property
    def is_text(self) -> bool:
        """True where the cells are words, not numbers."""
        return not self.unit_of

    @property
    def dimension(self) -> Dimension | None:
        """The house's dimension; None for text, and for distance, which counts in kilometres."""
        return DIMENSIONS.get(self.unit_of)


@dataclass(frozen=True, slots=True)
class PartKind:
    """A kind of part: its words, the file's own part that takes one, the fields that tell it."""

    name: str
    part: str
    tells: tuple[str, ...]
    words: tuple[str, ...]


@functools.cache
def list_fields() -> dict[str, Field]:
    """Every field, by name."""
    return {row.name: _field(row) for row in table("list_fields").rows}


@functools.cache
def part_kinds() -> dict[str, PartKind]:
    """Every kind, by name."""
    return {row.name: PartKind(row.name, row.text("part"), _parted(row.text("tells")), _words(row))
            for row in table("part_kinds").rows}


def plain(text: str) -> str:
    """A head without case, accents, stops, brackets and units, so that 'Art.-Nr.' is 'art nr'."""
    text = re.sub(r"[\[(].*?[\])]", " ", text)
    text = unicodedata.normalize("NFKD", text.replace("ß", "ss")).encode("ascii", "ignore").decode()
    return " ".join(re.findall(r"[a-z0-9]+", text.casefold()))


@functools.lru_cache(maxsize=4096)
def field_of(head: str, kind: str) -> Field | None:
    """The field that a head names: by its symbol, by all of it, or by the longest trade word in it."""
    bare = re.sub(r"[\[(].*?[\])]", "", head).strip()
    words = plain(head)
    for field in list_fields().values():
        if (kind, bare) in field.symbols:
            return field
    exact = _exact().get(words)
    if exact is not None or len(head) > MOST_LENGTH:
        return exact
    found = [(len(word), field) for word, field in _exact().items()
             if len(word) >= LEAST_PART and f" {word} " in f" {words} "]
    return max(found, key=lambda one: one[0])[1] if found else None


@functools.lru_cache(maxsize=4096)
def kind_of(text: str) -> str:
    """The kind that a word names, or the longest such word in a text; "" for none."""
    words = plain(text)
    found = [(len(word), name) for word, name in _kind_words().items() if f" {word} " in f" {words} "]
    return max(found)[1] if found else ""


@functools.cache
def _exact() -> dict[str, Field]:
    found: dict[str, Field] = {}
    for field in list_fields().values():
        for word in (field.name, *field.words):
            found.setdefault(word, field)
    return found


@functools.cache
def _kind_words() -> dict[str, str]:
    found: dict[str, str] = {}
    for kind in part_kinds().values():
        for word in (plain(kind.name), *kind.words):
            found.setdefault(word, kind.name)
    return found


def _field(row: Row) -> Field:
    least = row.text("least")
    symbols = tuple(tuple(s.split(":", 1)) for s in _parted(row.text("symbols")))
    return Field(row.name, row.text("dimension"), float(least[1:]) if least else float("-inf"), least.startswith(">"),
                 symbols, _words(row))  # type: ignore[arg-type]


def _words(row: Row) -> tuple[str, ...]:
    return tuple(word for language in LANGUAGES for word in _parted(row.text(language)))


def _parted(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split("|") if part.strip())


_PER_RUN = re.compile(r"\b(?:per|je|pro|par|au|le|price|preis|prix) (metre|meter|m|lfm|foot|ft)\b")


def run_of_price(head: str) -> float:
    """Metres that a price is for, where its head says that it is one by length; NaN where it is one of a piece."""
    found = _PER_RUN.search(plain(head))
    return math.nan if found is None else FOOT if found.group(1) in ("foot", "ft") else 1.0
