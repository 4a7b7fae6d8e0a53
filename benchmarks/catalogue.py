"""A supplier's list imported, and searched, beside plain loops and beside a dataframe in memory.

The own import reads units and decimal commas, checks every row, compares with the list before and keeps
the offers on disk, in one transaction; the loop only reads its numbers into dicts. `python
benchmarks/catalogue.py` imports a million rows once, three of them wrong, and says how long that took.
"""

from __future__ import annotations

import csv
import functools
import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import numpy as np
from harness import Pair

from layshaft.listings.imports.importing import Asked, Outcome, import_list
from layshaft.store import database
from layshaft.store import lists as store

LIST, MILLION = 50_000, 1_000_000
SAID = Asked(supplier="Invented", kind="bearing", skip_rejected=True)
KEEP = ExitStack()
WHERE = {"bore": (0.020, 0.030), "dynamic rating": (5e3, 50e3)}


@functools.cache
def folder() -> Path:
    """A place for all files of this benchmark; gone when it ends."""
    return Path(KEEP.enter_context(tempfile.TemporaryDirectory()))


def written(count: int, wrong: Sequence[int] = ()) -> Path:
    """A list of so many invented bearings, as a supplier writes one; bores of the wrong rows are below zero."""
    rng = random.Random(1)
    place = folder() / f"list-{count}.csv"
    with place.open("w", encoding="utf-8") as file:
        file.write("Artikelnummer;Bezeichnung;d [mm];D [mm];B [mm];C [kN];Preis [EUR];Lieferzeit\n")
        for i in range(count):
            d = -1 if i in wrong else rng.randrange(5, 200)
            numbers = f"{d};{abs(d) + 30};{rng.randrange(5, 60)};{abs(d) * 0.3:.2f};{rng.uniform(2, 200):.2f}"
            file.write(f"K{i:07d};Lager {d};{numbers.replace('.', ',')};{rng.randrange(1, 9)} Wochen\n")
    return place


@functools.cache
def small() -> Path:
    return written(LIST)


def imported(place: Path) -> Outcome:
    with tempfile.TemporaryDirectory() as fresh, store.lists(Path(fresh)) as db:
        return import_list(db, place, SAID, "2026-11-27")


def own_import() -> list[float]:
    return [float(imported(small()).taken)]


def looped(place: Path) -> list[dict[str, Any]]:
    """What a short script does: each row a dict, each number a float."""
    found = []
    with place.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter=";"):
            found.append({
                "part": row["Artikelnummer"], "name": row["Bezeichnung"],
                "bore": float(row["d [mm]"].replace(",", ".")) / 1000,
                "outside": float(row["D [mm]"].replace(",", ".")) / 1000,
                "width": float(row["B [mm]"].replace(",", ".")) / 1000,
                "dynamic rating": float(row["C [kN]"].replace(",", ".")) * 1000,
                "price": float(row["Preis [EUR]"].replace(",", ".")),
                "lead time": float(row["Lieferzeit"].split()[0]) * 604800,
            })
    return found


def peer_import() -> list[float]:
    return [float(len(looped(small())))]


@functools.cache
def columns(count: int) -> dict[str, Any]:
    rng = np.random.default_rng(1)
    bore = rng.integers(5, 200, count) / 1000.0
    return {"bore": bore, "dynamic rating": bore * 3e5, "price": rng.uniform(2, 200, count).round(2)}


@functools.cache
def filled(count: int) -> sqlite3.Connection:
    """A store with so many offers, opened once: a desk does not open it for every search either."""
    place = folder() / f"store-{count}"
    db = KEEP.enter_context(store.lists(place))
    with database.writing(db):
        number = store.begin_block(db, store.begin_list(db, "Invented", "list.csv", "2026-11-27"), "bearing")
        store.add_texts(db, number, 0, ((f"K{i}", f"K{i}", "", "", str(i)) for i in range(count)))
        store.end_block(db, number, store.Block("bearing", count, columns(count)))
    return db


def own_search(count: int) -> list[float]:
    found = store.search(filled(count), "bearing", WHERE, {}, order="price", most=40)
    return [float(found.count), *(hit.numbers["price"] for hit in found.hits)]


@functools.cache
def rows(count: int) -> list[dict[str, float]]:
    c = columns(count)
    return [dict(zip(c, values, strict=True)) for values in zip(*(c[k].tolist() for k in c), strict=True)]


def peer_loop(count: int) -> list[float]:
    fits = [r for r in rows(count) if all(low <= r[key] <= high for key, (low, high) in WHERE.items())]
    return [float(len(fits)), *(r["price"] for r in sorted(fits, key=lambda r: r["price"])[:40])]


@functools.cache
def frame(count: int) -> Any:
    import pandas

    return pandas.DataFrame(columns(count))


def peer_frame(count: int) -> list[float]:
    found = frame(count)
    for key, (low, high) in WHERE.items():
        found = found[found[key].between(low, high)]
    return [float(len(found)), *found["price"].nsmallest(40)]


def pairs() -> list[Pair]:
    """One import, and searches at two sizes."""
    return [
        Pair("list of 50,000 imported and kept", own_import, peer_import, "csv rows into dicts, not kept"),
        Pair("search among 50,000 offers on disk", lambda: own_search(LIST), lambda: peer_loop(LIST),
             "a loop over dicts in memory"),
        Pair("search among a million offers on disk", lambda: own_search(MILLION), lambda: peer_frame(MILLION),
             "a dataframe in memory"),
    ]


def million() -> None:
    """A million rows of which three are wrong, once."""
    place = written(MILLION, (77, 500_000, 999_999))
    start = time.perf_counter()
    found = imported(place)
    took = time.perf_counter() - start
    wrong = ", ".join(str(one.place) for one in found.rejected)
    print(f"{found.taken} offers imported in {took:.1f} s; refused rows {wrong}.")


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent))
    million()
