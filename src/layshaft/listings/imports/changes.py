"""What a list changed of what its supplier offered before."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from layshaft.listings.imports.blocks import Group
from layshaft.store import lists as store

MOST_NAMED = 1000
SAME = 1e-9
"""Values that differ by less than this share are the same: a list may round its units."""


@dataclass(slots=True)
class Changes:
    """Counts, and the first part numbers of each sort with the numbers before and after."""

    supplier: str
    kind: str
    count: int
    new: list[str] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)
    prices: list[tuple[str, float, float]] = field(default_factory=list)
    others: list[tuple[str, str, float, float]] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)
    first_time: bool = False


def settle(db: sqlite3.Connection, supplier: str, kind: str, group: Group,
           set_aside: Callable[[sqlite3.Connection, Sequence[int]], None] | None) -> Changes:
    """Write the new block's columns, compare it with the supplier's older ones of the kind, and replace those.

    Those are handed to `set_aside` before, where the new block is to stay.
    """
    block = group.block()
    store.end_block(db, group.number, block)
    older = [n for n in store.blocks_of(db, supplier=supplier, kind=kind) if n != group.number]
    found = Changes(supplier, kind, block.count, first_time=not older)
    parts = store.parts_of(db, group.number) if older else []
    old_parts: list[str] = []
    for number in older:
        theirs = store.parts_of(db, number)
        _compare(db, number, theirs, block, parts, found)
        old_parts += theirs
    now = set(parts)
    found.gone = [part for part in old_parts if part not in now]
    if older:
        before = set(old_parts)
        found.new = [part for part in parts if part not in before]
    found.counts |= {"new": len(found.new), "gone": len(found.gone)}
    del found.new[MOST_NAMED:], found.gone[MOST_NAMED:]
    if older and set_aside is not None:
        set_aside(db, older)
    store.drop_blocks(db, older)
    return found


def _compare(db: sqlite3.Connection, number: int, theirs: list[str], block: store.Block, parts: list[str],
             found: Changes) -> None:
    """Note every number of a part in both that differs."""
    if theirs == parts:
        mine = yours = np.arange(len(parts))
    else:
        at = {part: i for i, part in enumerate(parts)}
        pairs = [(at[part], i) for i, part in enumerate(theirs) if part in at]
        mine, yours = (np.array(side, np.int64) for side in zip(*pairs, strict=True)) if pairs else (
            np.zeros(0, np.int64), np.zeros(0, np.int64))
    old = store.numbers_of(db, number)
    for key in dict.fromkeys((*old, *block.numbers)):
        if key == store.HAS_CAD:
            continue
        was = old[key][yours] if key in old else np.full(len(yours), np.nan)
        now = block.numbers[key][mine] if key in block.numbers else np.full(len(mine), np.nan)
        scale = SAME * np.maximum(np.abs(np.nan_to_num(was)), np.abs(np.nan_to_num(now)))
        differs = np.flatnonzero((np.abs(now - was) > scale) | (np.isnan(now) != np.isnan(was)))
        if key == "price":
            up = int(np.sum(now[differs] > was[differs]))
            down = int(np.sum(now[differs] < was[differs]))
            _count(found, "price up", up)
            _count(found, "price down", down)
            _count(found, "price new or gone", len(differs) - up - down)
            found.prices += [(parts[mine[i]], float(was[i]), float(now[i])) for i in differs[:MOST_NAMED]]
        else:
            _count(found, key, len(differs))
            found.others += [(parts[mine[i]], key, float(was[i]), float(now[i])) for i in differs[:MOST_NAMED]]


def _count(found: Changes, word: str, n: int) -> None:
    if n:
        found.counts[word] = found.counts.get(word, 0) + n
