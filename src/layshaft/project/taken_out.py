"""Lists that were taken out or replaced: kept in the folder beside the others, with a way back.

A copy is made aside and finished before anything is taken out, so a kill between the two leaves the list in both
places, and never in none. What stands among the lists again is not told as taken out.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path

from layshaft.listings import imported
from layshaft.project.keeping import FOLDER
from layshaft.store import database
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

ASIDE = "lists-taken-out"
MOST_ASIDE = 3
"""Lists of one supplier and kind that are kept aside; the oldest goes first."""

Listed = store.Listed


def setter_aside(folder: Path, wanted: Listed | None = None) -> Callable[[sqlite3.Connection, Sequence[int]], None]:
    """What copies blocks of a folder's lists aside, before they are dropped; one that is `wanted` stays there."""
    def set_aside(db: sqlite3.Connection, blocks: Sequence[int]) -> None:
        there = {one.block: one for one in store.contents(db)}
        with store.lists(_aside(folder)) as aside, database.writing(aside):
            for block in blocks:
                _drop(aside, [one for one in store.contents(aside) if _same(one, there[block])])
                store.copy_block(db, block, aside)
                store.copy_maps(db, there[block].supplier, aside)
                _drop(aside, [one for one in _older(store.contents(aside), there[block]) if one != wanted])
    return set_aside


def taken_out(project: Path | None, folder: Path | None = None) -> list[tuple[Path, Listed]]:
    """Lists that can be put back, by the folder they belong to, the last taken out first."""
    wanted = [folder] if folder is not None else [f for f in (project, imported.user_folder()) if f is not None]
    found: list[tuple[Path, Listed]] = []
    for one in dict.fromkeys(wanted):
        if (_aside(one) / store.FILE).is_file():
            with store.lists(_aside(one)) as aside:
                kept = sorted(store.contents(aside), key=lambda listed: -listed.block)
            there = _standing(one)
            found += [(one, listed) for listed in kept if (listed.number, listed.kind) not in there]
    return found


def put_back(folder: Path, supplier: str, kind: str | None = None, number: int | None = None) -> list[Listed]:
    """Put a supplier's lists back that were taken out last; what took their place is set aside. Raises `BadInput`."""
    wanted: dict[str, Listed] = {}
    for _, one in taken_out(None, folder):
        if one.supplier.casefold() == supplier.casefold() and kind in (None, one.kind) and number in (None, one.number):
            wanted.setdefault(one.kind, one)
    if not wanted:
        of_kind = f" of kind {kind}" if kind else ""
        raise BadInput(f"No list{of_kind} of '{supplier}' was taken out of {folder}, so there is none to put back.")
    with store.lists(_aside(folder)) as aside, store.lists(folder) as db:
        for one in wanted.values():
            _swap(aside, db, one, folder)
    return list(wanted.values())


def _swap(aside: sqlite3.Connection, db: sqlite3.Connection, wanted: Listed, folder: Path) -> None:
    now = store.blocks_of(db, supplier=wanted.supplier, kind=wanted.kind)
    if now:
        setter_aside(folder, wanted)(db, now)
    there = next((one for one in store.contents(aside) if _same(one, wanted)), None)
    if there is None:  # another process has put it back meanwhile
        raise BadInput(f"The list of {wanted.supplier} is not kept any more. Take its file in again.")
    with database.writing(db):
        store.drop_blocks(db, now)
        store.copy_block(aside, there.block, db)
        store.copy_maps(aside, wanted.supplier, db)
    with database.writing(aside):
        store.drop_blocks(aside, [there.block])


def _aside(folder: Path) -> Path:
    return folder / FOLDER / ASIDE


def _standing(folder: Path) -> set[tuple[int, str]]:
    if not (folder / store.FILE).is_file():
        return set()
    with store.lists(folder) as db:
        return {(one.number, one.kind) for one in store.contents(db)}


def _same(one: Listed, other: Listed) -> bool:
    return (one.number, one.kind) == (other.number, other.kind)


def _older(kept: Sequence[Listed], of: Listed) -> list[Listed]:
    """Of a supplier's lists of one kind those that are too many, the first set aside first."""
    alike = sorted((one for one in kept if one.supplier.casefold() == of.supplier.casefold() and one.kind == of.kind),
                   key=lambda one: one.block)
    return alike[:-MOST_ASIDE]


def _drop(db: sqlite3.Connection, listed: Sequence[Listed]) -> None:
    store.drop_blocks(db, [one.block for one in listed])
