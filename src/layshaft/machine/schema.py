"""How a machine file is described: one `Key` a line of the file, one dataclass a kind of thing.

The reader, the error sentences, `layshaft new`, forms and the schema for editors all come from
these descriptions, so a key is named, explained and limited in one place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from functools import cache, cached_property
from typing import Any, Literal, NamedTuple

import numpy as np

from layshaft.trace.source import Source
from layshaft.trace.units import Dimension, shown

SourceWord = Literal["decided", "measured", "listed", "advised", "assumed"]
SOURCE_WORDS: tuple[SourceWord, ...] = ("decided", "measured", "listed", "advised", "assumed")


class Mark(NamedTuple):
    """A place in a file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Mark("", 0, 0)


class Trim(NamedTuple):
    """What a given is adjusted for: the name of a want, and both stops of the adjustment."""

    to: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Given:
    """An input value: nominal in SI (or samples), spread, source, note, who and when.

    `state` is `given`, `open` (not chosen yet) or `missing` (not in the file); in the last two the
    value is NaN and everything that needs it becomes unknown. `cause` is the path whose draw this
    value shares: its own path, unless the file says ``same as PATH``. `middle` is the nominal value
    where `value` holds samples. `even`: between its ends no value is more likely than another. What
    has a `trim` is adjusted on the machine, and never in doubt.
    """

    path: str
    dimension: Dimension
    value: Any
    state: Literal["given", "open", "missing"] = "given"
    source: SourceWord = "decided"
    low: float | None = None
    high: float | None = None
    note: str = ""
    who: str = ""
    when: str = ""
    written: str = ""
    mark: Mark = NOWHERE
    cause: str = ""
    middle: float = math.nan
    even: bool = False
    trim: Trim | None = None
    guessed: tuple[float, float, float] | None = None
    """What it was thought to be before it was measured: value and both ends."""

    @property
    def nominal(self) -> float:
        """The nominal value; where `value` holds samples, the one they were drawn around."""
        return self.middle if isinstance(self.value, np.ndarray) and self.value.ndim else float(self.value)

    @property
    def known(self) -> bool:
        """False where the file has no value here."""
        return self.state == "given"

    @property
    def is_guess(self) -> bool:
        """Assumed and not settled: shown as a guess everywhere."""
        return self.known and self.source == "assumed"

    @property
    def doubtful(self) -> bool:
        """True where the value has a spread that sampling draws from."""
        return self.known and self.low is not None and self.high is not None and self.high > self.low

    @property
    def origin(self) -> Source:
        """Where the value comes from, for a sheet."""
        if not self.known:
            return Source(f"{self.path}: {'not chosen yet' if self.state == 'open' else 'not given'}",
                          obtained="given")
        where = f", line {self.mark.line}" if self.mark.line else ""
        note = f" ({self.note})" if self.note else ""
        return Source(f"{self.path}{where}: {self.source}{note}", obtained="given")

    def __str__(self) -> str:
        if not self.known:
            return self.state
        text = shown(self.nominal, self.dimension)
        if self.doubtful:
            assert self.low is not None and self.high is not None
            text += f" [{shown(self.low, self.dimension)}, {shown(self.high, self.dimension)}]"
        return text


def missing(path: str, dimension: Dimension) -> Given:
    """The given that is not there."""
    return Given(path, dimension, math.nan, "missing")


@dataclass(frozen=True, slots=True)
class Choice:
    """A named size (`08B-1`, `6205`, `C45+N`), `open`, or missing."""

    path: str
    name: str
    state: Literal["given", "open", "missing"] = "given"
    mark: Mark = NOWHERE

    @property
    def known(self) -> bool:
        """False where nothing is chosen."""
        return self.state == "given"


@dataclass(frozen=True, slots=True)
class Price:
    """What one piece costs; NaN, without a currency, where the file does not say."""

    value: float = math.nan
    currency: str = ""
    written: str = ""

    @property
    def known(self) -> bool:
        """False where the file has no price here."""
        return math.isfinite(self.value)

    def __str__(self) -> str:
        return self.written or "unknown"


# What a key reads. Each is a small description; the reader turns text into the model with it.


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit; becomes a `Given`."""

    dimension: Dimension
    above: float = -math.inf
    at_least: float = -math.inf
    at_most: float = math.inf
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Listing:
    """A named size from shipped tables or from `parts`; becomes a `Choice`.

    `what` names the kind: chain, bearing, steel, key, coupling, motor, suspension.
    """

    what: str


@dataclass(frozen=True, slots=True)
class Text:
    """Free text."""


@dataclass(frozen=True, slots=True)
class Money:
    """A price with the three letters of its currency, such as `12.50 EUR`; becomes a `Price`."""


@dataclass(frozen=True, slots=True)
class YesNo:
    """`yes` or `no`; becomes a bool."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a few."""

    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ref:
    """The name of another thing in the file, in the collection named (`shafts`, `modules`, ...)."""

    collection: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SeatOn:
    """The name of a seat on the shaft (or pair of names on the two shafts) these fields name.

    Where the file says nothing, the seat with the thing's own name is meant.
    """

    shafts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Direction:
    """`x`, `-x`, `y`, ... or three numbers; becomes a unit vector (three floats)."""


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of `item`; `count` exactly where given, else at least `at_least`. Becomes a tuple."""

    item: Any
    count: int | None = None
    at_least: int = 0


@dataclass(frozen=True, slots=True)
class Row:
    """A list of as many values as there are items, each read as its own. Becomes a tuple."""

    items: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True)
class MapOf:
    """A map from names to things of dataclass `item`; becomes a dict in file order."""

    item: type


@dataclass(frozen=True, slots=True)
class QuantityMap:
    """A map from free names to quantities of one dimension; becomes a dict of `Given`."""

    dimension: Dimension


@dataclass(frozen=True, slots=True)
class KindMap:
    """A map from names to things told apart by their key `kind`."""

    kinds: dict[str, type]


@dataclass(frozen=True, slots=True)
class KindOf:
    """One thing told apart by its key `kind`; becomes an empty `base` where the file has none."""

    kinds: dict[str, type]
    base: type


@dataclass(frozen=True, slots=True)
class Raw:
    """A part of the file kept as written (options), read when it is applied."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of the file: what it reads, what it means, an example, whether it must be there.

    `may_be_open` keys accept the word `open`. A key that is not required and is a quantity or a
    listing is `missing` when absent: never a silent default. An `idle` key is read and kept for work
    that is not built yet: nothing reckons with it, and `check` says so of every file that gives it.
    """

    reads: Any
    meaning: str
    example: str = ""
    required: bool = False
    may_be_open: bool = False
    name: str = ""
    idle: bool = False


def key(reads: Any, meaning: str, example: str = "", *, required: bool = False,
        may_be_open: bool = False, name: str = "", idle: bool = False) -> Any:
    """A dataclass field that is a key of the file; `name` where it differs from the field's."""
    return field(default=None, metadata={"key": Key(reads, meaning, example, required, may_be_open, name, idle)})


@cache
def _keys(kind: Any) -> dict[str, tuple[str, Key]]:
    found = {}
    for f in fields(kind):
        if "key" in f.metadata:
            k: Key = f.metadata["key"]
            found[k.name or f.name.strip("_").replace("_", " ")] = (f.name, k)
    return found


def keys(kind: type) -> dict[str, tuple[str, Key]]:
    """File key -> (field name, Key) of a kind, in order; the file writes blanks for underscores."""
    return _keys(kind)


STATES = Word(("open", "chosen", "ordered", "here", "fitted"))
"""How far a part is."""


@dataclass(frozen=True, kw_only=True)
class Thing:
    """Anything in the file that has a path and a place."""

    path: str = ""
    name: str = ""
    mark: Mark = NOWHERE

    @cached_property
    def worked_out(self) -> dict[tuple[Any, ...], Any]:
        """What was worked out from this thing; see `layshaft.machine.once`."""
        return {}

    @cached_property
    def leaves(self) -> tuple[Given | Choice, ...]:
        """Every number and choice in it, in file order. Gathered once: a thing never changes."""
        found: list[Given | Choice] = []
        for name, _ in keys(type(self)).values():
            _add_leaves(getattr(self, name), found)
        return tuple(found)


def _add_leaves(value: Any, found: list[Given | Choice]) -> None:
    if isinstance(value, Given | Choice):
        found.append(value)
    elif isinstance(value, Thing):
        found += value.leaves
    elif isinstance(value, tuple | dict):
        for item in value.values() if isinstance(value, dict) else value:
            _add_leaves(item, found)
