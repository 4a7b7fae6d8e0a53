"""One quantity of the file: a plain text, or value, spread, source, note, who and when written out."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from layshaft.machine.document import ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import Problem
from layshaft.machine.schema import NOWHERE, SOURCE_WORDS, Given, Key, Mark, Quantity, SourceWord, Trim
from layshaft.machine.sentences import shape as say
from layshaft.trace.units import COUNT, RATIO, Dimension, UnitError, parse_quantity, shown
from layshaft.trace.units import Quantity as Read

KEYS = ("value", "between", "even", "trim", "source", "note", "who", "when", "guessed")
TRIM_KEYS = ("to", "between")
SAME_AS = "same as "
YES_NO = ("yes", "no")
_BARE_NUMBER = re.compile(r"\s*[+-]?[\d.]+(?:[eE][+-]?\d+)?\s*")


class Pending(NamedTuple):
    """A quantity that says ``same as PATH``, and the limits its value must keep."""

    path: str
    target: str
    mark: Mark
    reads: Quantity


class _Refused(Exception):
    """Carries a problem out of the middle of a quantity."""

    def __init__(self, mark: Mark, sentence: str) -> None:
        self.problem = Problem(mark, sentence)


_Outcome = tuple[Given | None, list[Problem], Pending | None]


def read(reads: Quantity, node: Node, path: str, k: Key) -> _Outcome:
    """The given at `path`, the problems found, and the reference it waits for."""
    if isinstance(node, ListNode):
        return None, [Problem(node.mark, say.wants_quantity(path, reads.dimension.name, k.example))], None
    try:
        if isinstance(node, TextNode):
            return _plain(reads, node, path, k)
        return _written_out(reads, node, path, k)
    except _Refused as refused:
        return None, [refused.problem], None


def _plain(reads: Quantity, node: TextNode, path: str, k: Key) -> _Outcome:
    if node.text.startswith(SAME_AS):
        return _waiting(reads, node, path, "")
    found = _parsed(reads.dimension, node, path, k)
    given = Given(path, reads.dimension, found.value, "given", "decided", found.low, found.high,
                  written=node.text, mark=node.mark, cause=path)
    return given, limits(given, reads), None


def _waiting(reads: Quantity, node: TextNode, path: str, note: str) -> _Outcome:
    target = node.text[len(SAME_AS):].strip()
    given = Given(path, reads.dimension, math.nan, "open", note=note, written=node.text, mark=node.mark,
                  cause=target)
    return given, [], Pending(path, target, node.mark, reads)


def _parsed(dimension: Dimension, node: TextNode, path: str, k: Key) -> Read:
    if not node.text.strip():
        raise _Refused(node.mark, say.nothing_written(path, k.example))
    if node.text.strip() == "open":
        raise _Refused(node.mark, say.not_open(path, k.example))
    try:
        return parse_quantity(node.text, dimension)
    except UnitError as why:
        raise _Refused(node.mark, say.quantity(path, str(why))) from None
    except (ValueError, OverflowError, ZeroDivisionError):
        raise _Refused(node.mark, say.not_a_quantity(path, node.text, dimension.name, k.example)) from None


def _written_out(reads: Quantity, node: MapNode, path: str, k: Key) -> _Outcome:
    problems: list[Problem] = []
    about = _texts(node, path, problems)
    value = node.get("value")
    if not isinstance(value, TextNode):
        mark = node.mark if value is None else value.mark
        return None, [*problems, Problem(mark, say.quantity_without_value(path, k.example))], None
    if value.text.startswith(SAME_AS):
        own = [e.key for e in node.entries if e.key in ("between", "even", "trim", "source", "who", "when", "guessed")]
        if own:
            problems.append(Problem(node.mark, say.same_as_with(path, own)))
        given, _, pending = _waiting(reads, value, path, about["note"])
        return given, problems, pending
    source = _source(node, path, problems)
    if k.may_be_open and value.text == "open":
        if node.get("trim") is not None:
            problems.append(Problem(node.mark, say.trim_of_open(path)))
        given = Given(path, reads.dimension, math.nan, "open", source, written="open", mark=value.mark,
                      cause=path, note=about["note"], who=about["who"], when=about["when"])
        return given, problems, None
    found = _spread(node, _parsed(reads.dimension, value, path, k), reads.dimension, path, k)
    even = _even(node, found, path, problems)
    given = Given(path, reads.dimension, found.value, "given", source, found.low, found.high,
                  written=value.text, mark=value.mark, cause=path,
                  note=about["note"], who=about["who"], when=about["when"], even=even,
                  trim=_trim(reads, node, found, path, k), guessed=_guessed(node, reads.dimension, path, k))
    return given, problems + limits(given, reads), None


def _guessed(node: MapNode, dimension: Dimension, path: str, k: Key) -> tuple[float, float, float] | None:
    """What was guessed before it was measured: value and both ends, alike where it had none."""
    written = node.get("guessed")
    if written is None:
        return None
    if not isinstance(written, TextNode):
        raise _Refused(written.mark, say.wants_text(f"{path}, guessed", "0.95 between [0.90, 0.97]"))
    found = _parsed(dimension, written, f"{path}, guessed", k)
    return (found.value, found.value if found.low is None else found.low,
            found.value if found.high is None else found.high)


def _texts(node: MapNode, path: str, problems: list[Problem]) -> dict[str, str]:
    """Note, who and when; a key that is none of a quantity's is a problem."""
    found = dict.fromkeys(("note", "who", "when"), "")
    for entry in node.entries:
        if entry.key not in KEYS:
            problems.append(Problem(entry.mark, say.quantity_key(path, entry.key, KEYS)))
        elif entry.key in ("source", *found):
            if not isinstance(entry.value, TextNode):
                problems.append(Problem(entry.value.mark, say.wants_text(f"{path}, {entry.key}", "")))
            elif entry.key != "source":
                found[entry.key] = entry.value.text
    return found


def _source(node: MapNode, path: str, problems: list[Problem]) -> SourceWord:
    written = node.get("source")
    if isinstance(written, TextNode):
        for known in SOURCE_WORDS:
            if written.text == known:
                return known
        problems.append(Problem(written.mark, say.word(f"{path}, source", written.text, SOURCE_WORDS)))
    return "decided"


def _even(node: MapNode, found: Read, path: str, problems: list[Problem]) -> bool:
    """Whether every value of the spread is as likely as another."""
    written = node.get("even")
    if written is None:
        return False
    if not isinstance(written, TextNode) or written.text not in YES_NO:
        text = written.text if isinstance(written, TextNode) else ""
        problems.append(Problem(written.mark, say.yes_no(f"{path}, even", text)))
    elif found.low is None:
        problems.append(Problem(written.mark, say.even_without_spread(path)))
    return isinstance(written, TextNode) and written.text == "yes"


def _spread(node: MapNode, found: Read, dimension: Dimension, path: str, k: Key) -> Read:
    between = node.get("between")
    if between is None:
        return found
    if found.low is not None:
        raise _Refused(between.mark, say.spread_twice(path))
    low, high = _ends(between, found, dimension, path, k)
    return Read(found.value, low, high, found.unit)


def _ends(between: Node | None, found: Read, dimension: Dimension, path: str, k: Key) -> tuple[float, float]:
    """Two ends around a value; a bare number has the unit of the value."""
    if not isinstance(between, ListNode) or len(between.items) != 2:
        raise _Refused(NOWHERE if between is None else between.mark, say.between_pair(path))
    ends = []
    for item in between.items:
        if not isinstance(item, TextNode):
            raise _Refused(item.mark, say.between_pair(path))
        if _BARE_NUMBER.fullmatch(item.text) and found.unit:
            item = item._replace(text=f"{item.text} {found.unit}")
        ends.append(_parsed(dimension, item, f"{path}, between", k).value)
    if not ends[0] <= found.value <= ends[1]:
        raise _Refused(between.mark, say.between_order(path))
    return ends[0], ends[1]


def _trim(reads: Quantity, node: MapNode, found: Read, path: str, k: Key) -> Trim | None:
    """The adjustment of a value; it takes the place of a spread."""
    trim = node.get("trim")
    if trim is None:
        return None
    if not isinstance(trim, MapNode) or {e.key for e in trim.entries} != set(TRIM_KEYS):
        raise _Refused(trim.mark, say.trim_keys(path))
    to, between = trim.get("to"), trim.get("between")
    if not isinstance(to, TextNode) or not to.text.strip():
        raise _Refused(trim.mark, say.trim_keys(path))
    if reads.whole:
        raise _Refused(trim.mark, say.trim_of_whole(path))
    if found.low is not None:
        raise _Refused(trim.mark, say.trim_and_spread(path))
    if not isinstance(between, ListNode) or len(between.items) != 2:
        raise _Refused(trim.mark, say.trim_keys(path))
    low, high = _ends(between, found, reads.dimension, f"{path}, trim", k)
    if not low < high:
        raise _Refused(trim.mark, say.trim_without_travel(path))
    stops = Given(f"{path}, trim", reads.dimension, found.value, low=low, high=high, mark=between.mark)
    if problems := limits(stops, reads):
        raise _Refused(problems[0].mark, problems[0].sentence)
    return Trim(to.text.strip(), low, high)


def limits(given: Given, reads: Quantity) -> list[Problem]:
    """Problems of a value, and of both ends of its spread, with the limits of its key."""
    for value, end in ((given.nominal, False), (given.low, True), (given.high, True)):
        if value is None or math.isnan(value):
            continue
        rule, limit = _broken(value, reads)
        if rule:
            text = say.outside(given.path, _as_text(value, reads), rule, limit, end)
            return [Problem(given.mark, text)]
    return []


def _broken(value: float, reads: Quantity) -> tuple[str, str]:
    if value <= reads.above:
        return "more than", _as_text(reads.above, reads)
    if value < reads.at_least:
        return "at least", _as_text(reads.at_least, reads)
    if value > reads.at_most:
        return "at most", _as_text(reads.at_most, reads)
    if reads.whole and not float(value).is_integer():
        return "a whole number", ""
    return "", ""


def _as_text(value: float, reads: Quantity) -> str:
    if reads.dimension in (COUNT, RATIO):
        return f"{value:g}"
    return shown(value, reads.dimension)
