"""Pieces of sentences: near misses, lists, clipping."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence


def near(word: str, known: Iterable[str]) -> str:
    """The known word closest to `word`, or nothing."""
    by_folded = {name.casefold(): name for name in known}
    found = difflib.get_close_matches(word.casefold(), by_folded, n=1, cutoff=0.6)
    return by_folded[found[0]] if found else ""


def did_you_mean(word: str, known: Sequence[str], many: str) -> str:
    """`Did you mean 'x'?` for a near miss, else what there is to choose from."""
    if hit := near(word, known):
        return f"Did you mean '{hit}'?"
    return f"{many}: {listed(known)}." if known else f"{many}: none yet."


def listed(words: Sequence[str], most: int = 24) -> str:
    """Words in a row, cut where they would fill a page."""
    return ", ".join(words[:most]) + (", ..." if len(words) > most else "")


def clipped(text: str, most: int = 60) -> str:
    """What was written, short enough to stand in a sentence, without line breaks."""
    text = " ".join(text.split())
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= most else text[: most - 3] + "..."


def a(word: str) -> str:
    """The word with its article."""
    return f"{'an' if word[:1].lower() in 'aeiou' else 'a'} {word}"


def example(text: str) -> str:
    """What to write instead, taken from the key's own example."""
    return f" Write for instance: {text}." if text else ""
