"""A SQLite file of the house: opened with the same settings everywhere, made where there is none.

Readers never wait for a writer (write-ahead log); a writer's transaction is there as a whole or not
at all, whenever the process is killed.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from layshaft.trace.errors import BadInput

WAIT = 5.0
"""Seconds to wait for another writer."""


@contextmanager
def opened(place: Path, layout: Sequence[str], version: int) -> Iterator[sqlite3.Connection]:
    """A connection to the file; makes it with `layout` where it is new. Raises `BadInput`."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        connection = sqlite3.connect(place, timeout=WAIT, isolation_level=None)
    except (OSError, sqlite3.Error) as why:
        raise BadInput(f"{place} cannot be opened ({why}). Name a folder that can be written to.") from None
    with closing(connection):
        try:
            _settle(connection, place, layout, version)
            yield connection
        except sqlite3.OperationalError as why:
            raise BadInput(_sentence(place, str(why))) from None
        except sqlite3.DatabaseError as why:
            raise BadInput(f"{place} is no database of lists, or is damaged ({why}). Move it away and import the "
                           "lists again.") from None


def _settle(connection: sqlite3.Connection, place: Path, layout: Sequence[str], version: int) -> None:
    for pragma in ("journal_mode=wal", "synchronous=normal", "foreign_keys=on", "temp_store=memory",
                   "cache_size=-65536"):
        connection.execute(f"PRAGMA {pragma}")
    found = connection.execute("PRAGMA user_version").fetchone()[0]
    if found > version:
        raise BadInput(f"{place} was written by a newer Layshaft. Use that one, or import the lists elsewhere.")
    if found < version:
        with writing(connection):
            if connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                raise BadInput(f"{place} is a database of something else. Name another folder.")
            for statement in layout:
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version={version}")


@contextmanager
def writing(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction: all of it, or none of it where the block raises or the process dies."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _sentence(place: Path, why: str) -> str:
    if "locked" in why:
        return f"{place} is being written by another process. Wait for it, or end it, and try again."
    if "disk is full" in why or "full" in why:
        return f"There is no room left for {place}. Nothing was changed."
    return f"{place} cannot be used ({why}). Nothing was changed."
