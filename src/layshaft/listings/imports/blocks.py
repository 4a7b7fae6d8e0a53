"""Rows that were taken, gathered into one block of the store for each supplier and kind."""

from __future__ import annotations

import functools
import sqlite3
from collections.abc import Sequence
from typing import Protocol

import numpy as np
import numpy.typing as npt

from layshaft.listings.offers import standard_offers
from layshaft.store import lists as store

Floats = npt.NDArray[np.float64]


class Taken(Protocol):
    """Rows as the import hands them over."""

    count: int
    texts: dict[str, list[str]]
    numbers: dict[str, Floats]
    currencies: list[str] | None


class Group:
    """One block while it grows: texts go to the store piece by piece, columns at the end."""

    def __init__(self, kind: str, number: int) -> None:
        self.kind, self.number, self.count = kind, number, 0
        self._numbers: dict[str, list[tuple[int, Floats]]] = {}
        self._codes: dict[str, list[tuple[int, npt.NDArray[np.int32]]]] = {}
        self._words: dict[str, dict[str, int]] = {}

    def add(self, db: sqlite3.Connection, piece: Taken, rows: list[int] | None) -> None:
        """Some rows of a piece, or all of them."""
        texts = piece.texts if rows is None else {k: [v[i] for i in rows] for k, v in piece.texts.items()}
        store.add_texts(db, self.number, self.count, zip(*(texts[k] for k in store.TEXTS), strict=True))
        for key, values in piece.numbers.items():
            self._numbers.setdefault(key, []).append((self.count, values if rows is None else values[rows]))
        has_cad = np.fromiter((bool(t) for t in texts["cad"]), np.float64, len(texts["cad"]))
        self._numbers.setdefault(store.HAS_CAD, []).append((self.count, has_cad))
        for key, said in texts.items():
            if key not in store.TEXTS:
                self._add_words(key, said)
        if piece.currencies is not None:
            self._add_words("currency", piece.currencies if rows is None else [piece.currencies[i] for i in rows])
        self.count += piece.count if rows is None else len(rows)

    def _add_words(self, key: str, said: Sequence[str]) -> None:
        known = self._words.setdefault(key, {})
        for text in dict.fromkeys(said):
            if text and text not in known:
                known[text] = len(known)
        codes = np.fromiter((known.get(t, -1) for t in said), np.int32, len(said))
        self._codes.setdefault(key, []).append((self.count, codes))

    def block(self) -> store.Block:
        """All columns, each as long as the block; what a piece did not say is unknown."""
        found = store.Block(self.kind, self.count)
        for key, pieces in self._numbers.items():
            column = np.full(self.count, np.nan)
            for first, values in pieces:
                column[first: first + len(values)] = values
            if np.isfinite(column).any():
                found.numbers[key] = column
        for key, coded in self._codes.items():
            codes = np.full(self.count, -1, np.int32)
            for first, some in coded:
                codes[first: first + len(some)] = some
            found.words[key] = codes, list(self._words[key])
        return found


def standard_names(kinds: Sequence[str] | str, parts: Sequence[str], names: Sequence[str]) -> list[str]:
    """The standard designation that a part number or a name is one of, each; "" where it is none."""
    if isinstance(kinds, str):
        known = _known(kinds)
        if not known:
            return [""] * len(parts)
        found = [_standard(known, part) for part in parts]
        return found if names is parts else [f or _standard(known, n) for f, n in zip(found, names, strict=True)]
    return [_standard(_known(k), p) or _standard(_known(k), n) for k, p, n in zip(kinds, parts, names, strict=True)]


def _standard(known: dict[str, str], text: str) -> str:
    """By the whole text, or by a word of it up to its first dash: `Ball bearing 6205-2RS` is a 6205."""
    folded = text.casefold()
    if folded in known:
        return known[folded]
    for word in folded.split():
        found = known.get(word) or known.get(word.partition("-")[0])
        if found:
            return found
    return ""


@functools.cache
def _known(kind: str) -> dict[str, str]:
    return {offer.name.casefold(): offer.name for offer in standard_offers(kind)}
