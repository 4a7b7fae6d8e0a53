"""Pieces of sentences: near misses, lists, clipping."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence

SHORTEST_HINT = 3


def near(word: str, known: Iterable[str]) -> str:
    """The known word closest to `word`, or nothing."""
    by_folded = {name.casefold(): name for name in known}
    folded = word.casefold()[:100]
    found = difflib.get_close_matches(folded, by_folded, n=8, cutoff=0.6)
    bare = folded.lstrip("0")  # of two near sizes the one that only lacks its nought: 8B-1 means 08B-1
    return by_folded[min(found, key=lambda hit: (_slips(folded, hit), hit.lstrip("0") != bare))] if found else ""


def _slips(one: str, other: str) -> int:
    """Letters changed, added, left out or swapped with a neighbour, at least."""
    above: list[int] = []
    row = list(range(len(other) + 1))
    for i, a_letter in enumerate(one, 1):
        older, above, row = above, row, [i]
        for j, b_letter in enumerate(other, 1):
            best = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (a_letter != b_letter))
            if i > 1 and j > 1 and a_letter == other[j - 2] and one[i - 2] == b_letter:
                best = min(best, older[j - 2] + 1)
            row.append(best)
    return row[-1]


def did_you_mean(word: str, known: Sequence[str], many: str) -> str:
    """`Did you mean 'x'?` for a near miss, else what there is to choose from."""
    if len(word) >= SHORTEST_HINT and (hit := near(word, known)):
        return f"Did you mean '{hit}'?"
    return f"{many}: {listed(known)}." if known else f"{many}: none yet."


def listed(words: Sequence[str], most: int = 24) -> str:
    """Words in a row, cut where they would fill a page."""
    return ", ".join(words[:most]) + (" and more" if len(words) > most else "")


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
