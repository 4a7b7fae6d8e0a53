"""Keys of the machine file in words, and words back to the key they mean: said the same on every page.

`part_words` says a key that stands alone, `page_in_words` every key on a finished page, `text_in_words` every key in
plain text, `key_meant` finds the key of what somebody typed. What is shown to be copied into the file (in backticks, or
as code) stays as the file writes it; so do names of files and addresses, which look like keys (`parts.csv`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from layshaft.faces.pages.words import part_words
from layshaft.machine.model import Machine
from layshaft.machine.paths import NotThereError, in_model, split
from layshaft.machine.schema import Choice, Given, Thing, keys
from layshaft.trace.errors import BadInput

TOPS = ("drives", "fixings", "frames", "loads", "margins", "modules", "partings", "parts", "programme", "runs",
        "shafts", "springs", "stages", "transit", "venue", "wants")
"""Keys of the file under which everything else stands."""

SOLE = ("programme", "transit", "venue")
"""Those that hold no names but their keys at once."""

CODE = ("code", "pre", "script", "style", "textarea")
"""Elements of a page that show what is written in the file, or are no words."""

FILES = "csv|html?|json|pdf|png|svg|txt|xlsx|ya?ml"
"""Endings of files: `parts.csv` is none of the listed parts."""

NONE = "(?!)"
"""What fits no text."""

_READ_OUT = re.compile(r'(\saria-label=")([^"]*)')

MOST_MEANT = 6
"""Keys that are named where words fit more than one."""

Names = tuple[str, ...]


def page_in_words(page: str, *machines: Machine) -> str:
    """A page of HTML in which every key that is read, by eye or by ear, is said in words.

    Fields, addresses and code keep the key: they are for the desk and for the machine file.
    """
    names = _names(machines)
    kept = ""
    pieces = page.split("<")
    for i, piece in enumerate(pieces[1:], 1):
        tag, end, text = piece.partition(">")
        if kept and tag.strip() != f"/{kept}":
            continue
        kept = _kept(tag)
        if "aria-label=" in tag and _holds_one(tag):
            tag = _READ_OUT.sub(lambda m: m[1] + _said(m[2], names), tag)
        if not kept and _holds_one(text):
            text = _said(text, names)
        pieces[i] = tag + end + text
    return "<".join(pieces)


def text_in_words(text: str, *machines: Machine) -> str:
    """Plain text in which every key is said in words, but for what stands in backticks."""
    return _said(text, _names(machines)) if _holds_one(text) else text


def key_pattern(machine: Machine) -> re.Pattern[str]:
    """What finds the keys of a machine inside a sentence: the group `whole` where one stands without quotes."""
    return _pattern(_names((machine,)))


def _kept(tag: str) -> str:
    """The element of a tag, where what it holds stays as it is: code, scripts, and choices that are sent as they read.
    """
    name = re.split(r"\s", tag, maxsplit=1)[0]
    return name if name in CODE or (name == "option" and not re.search(r"\svalue=", tag)) else ""


def _holds_one(text: str) -> bool:
    return "." in text and any(f"{top}." in text for top in TOPS)


def _said(text: str, names: Names) -> str:
    return _pattern(names).sub(lambda m: m[0] if m["told"] else part_words(m["whole"] or m["quoted"]), text)


def key_meant(machine: Machine, typed: str) -> str:
    """The key that words mean: a key as it is written, its words, or some of its words that no other key has.

    Raises `BadInput` where words fit none, or several.
    """
    typed = typed.strip()
    if _stands(machine, typed):
        return typed
    asked = set(_plain(typed).split())
    words = keys_in_words(machine)
    plain = {path: _plain(said) for path, said in words.items()}
    found = ([path for path, said in words.items() if said.casefold() == typed.casefold()]
             or [path for path, said in plain.items() if said == _plain(typed)]
             or [path for path, said in plain.items() if asked and asked <= set(said.split())])
    found = [path for path in found if _stated(machine, path)] or found
    if len(found) == 1:
        return found[0]
    if not found:
        return typed  # as it is: what takes it in says best why it cannot be
    named = "; ".join(part_words(path) for path in found[:MOST_MEANT])
    more = f"; and {len(found) - MOST_MEANT} more" if len(found) > MOST_MEANT else ""
    raise BadInput(f"'{typed}' fits {len(found)} givens: {named}{more}. Say which.")


def keys_in_words(machine: Machine) -> dict[str, str]:
    """Every value of the machine that one line can change, by its key: what it is called."""
    return {given.path: part_words(given.path) for given in machine.leaves if given.path}


def _stated(machine: Machine, path: str) -> bool:
    """Whether the file says anything there."""
    there = in_model(machine, split(path) or ())
    return isinstance(there, Given | Choice) and there.state != "missing"


def _stands(machine: Machine, path: str) -> bool:
    steps = split(path)
    try:
        return bool(steps) and in_model(machine, steps or ()) is not None
    except NotThereError:
        return False


def _plain(words: str) -> str:
    """Words without what parts them."""
    return " ".join(re.sub(r"[.,:;\[\]]", " ", words).casefold().split())


def _names(machines: Iterable[Machine]) -> Names:
    """What the builder named: everything that can stand second or fourth in a key."""
    found: set[str] = set()
    for machine in machines:
        found.update(name for top in TOPS if top not in SOLE for name in getattr(machine, top) or {})
        found.update(name for shaft in machine.shafts.values() for name in shaft.seats)
        found.update(name for stage in machine.stages.values() for name in getattr(stage, "idlers", None) or {})
    return tuple(sorted(found))


@lru_cache(8)
def _pattern(names: Names) -> re.Pattern[str]:
    """A key inside a sentence. Names and keys hold blanks, so only those that are known tell where it ends; a name
    nobody knows is one where a key follows that a thing can have.
    """
    known = _any(names) if names else NONE
    named = _any((*names, r"[\w-]+"))
    inner = _any(_inner_keys())
    tops = "|".join(top for top in TOPS if top not in SOLE)
    sole = "|".join(SOLE)
    quote = "(?:'|&#39;|&#x27;)"
    within = rf"(?:\.(?:seats|idlers)\.{named})"
    counted = r"(?:\[\d+\])*"
    return re.compile(
        rf"(?P<told>`[^`]*`)|{quote}(?P<quoted>(?:{tops}|{sole})(?:\.(?!(?:{FILES}){quote})[^'.&]+)+){quote}|"
        rf"(?<![\w.`/@])(?P<whole>(?:{tops})\.(?:{known}{within}?(?:\.{inner})*|[\w-]+(?:{within}|\.{inner})"
        rf"(?:\.{inner})*){counted}|(?:{sole})(?:\.{inner})+{counted})")


def _any(words: Iterable[str]) -> str:
    """One of these words, the longest that fits, and no part of a longer one."""
    by_length = sorted(words, key=len, reverse=True)
    return f"(?:{'|'.join(w if w.startswith('[') else re.escape(w) for w in by_length)})(?![\\w-])"


@lru_cache(1)
def _inner_keys() -> Names:
    """Every key a thing of the machine file can have."""
    found: set[str] = set()
    waiting = [Thing]
    while waiting:
        kind = waiting.pop()
        waiting += kind.__subclasses__()
        if kind is not Thing and kind is not Machine:
            found.update(keys(kind))
    return tuple(sorted(found))
