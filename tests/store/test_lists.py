"""Lists in the store: searched as a plain loop would search, whole after a kill, quick at any size."""

import math
import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layshaft.store import database
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

ROWS = st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100) | st.just(math.nan), st.booleans()), min_size=1,
                max_size=60)


def filled(db, rows, supplier="Muster", kind="bearing"):
    with database.writing(db):
        number = store.begin_block(db, store.begin_list(db, supplier, "list.csv", "2026-11-27"), kind)
        store.add_texts(db, number, 0, ((f"P{i}", f"P{i}", "6205" if i == 3 else "", "x.step" if cad else "", str(i))
                                        for i, (_, _, cad) in enumerate(rows)))
        block = store.Block(kind, len(rows), {
            "bore": np.array([r[0] for r in rows]), "price": np.array([r[1] for r in rows]),
            store.HAS_CAD: np.array([float(r[2]) for r in rows])})
        store.end_block(db, number, block)
    return number


@given(ROWS, st.floats(0, 100), st.floats(0, 100), st.booleans())
def test_a_search_finds_what_a_loop_finds(tmp_path_factory, rows, low, high, cad):
    with store.lists(tmp_path_factory.mktemp("lists")) as db:
        filled(db, rows)
        found = store.search(db, "bearing", {"bore": (low, high), "price": (0, 50)}, {}, require_cad=cad, order="bore")
    wanted = [f"P{i}" for i, (bore, price, has) in enumerate(rows) if low <= bore <= high and 0 <= price <= 50
              and (has or not cad)]
    assert found.count == len(wanted) and sorted(h.texts["part"] for h in found.hits) == sorted(wanted)
    assert [h.numbers["bore"] for h in found.hits] == sorted(h.numbers["bore"] for h in found.hits)


def test_the_least_of_many_come_first_and_unknown_last(tmp_path):
    rows = [(1.0, price, False) for price in (5.0, math.nan, 3.0, 4.0, 9.0)]
    with store.lists(tmp_path) as db:
        filled(db, rows)
        few = store.search(db, "bearing", {}, {}, order="price", most=2)
        every = store.search(db, "bearing", {}, {}, order="price")
    assert [h.texts["part"] for h in few.hits] == ["P2", "P3"] and few.count == 5
    assert every.hits[-1].texts["part"] == "P1"


def test_by_part_and_by_standard(tmp_path):
    with store.lists(tmp_path) as db:
        filled(db, [(float(i), 1.0, False) for i in range(10)])
        assert store.named(db, "P7")[0].numbers["bore"] == 7.0
        assert store.named(db, "6205", standard=True)[0].texts["part"] == "P3"
        assert store.named(db, "P7", supplier="another") == []
        assert store.named(db, "", standard=True) == []


def test_taken_out_without_a_trace(tmp_path):
    with store.lists(tmp_path) as db:
        number = filled(db, [(1.0, 1.0, False)])
        with database.writing(db):
            store.drop_blocks(db, [number])
        assert [db.execute(f"SELECT count(*) FROM {t}").fetchone()[0]
                for t in ("lists", "blocks", "columns", "offers")] == [0, 0, 0, 0]


def test_what_is_no_store_is_refused_in_a_sentence(tmp_path):
    (tmp_path / store.FILE).write_bytes(b"no database at all, but some text that is long enough" * 50)
    with pytest.raises(BadInput, match="no database of lists"), store.lists(tmp_path):
        pass
    other = tmp_path / "other"
    other.mkdir()
    with sqlite3.connect(other / store.FILE) as db:
        db.execute("CREATE TABLE birds(name)")
    with pytest.raises(BadInput, match="something else"), store.lists(other):
        pass


KILLED = """
import sys
from pathlib import Path
from layshaft.listings.imports import importing
from layshaft.store import lists as store
seen = []
def slow(rows):
    seen.append(rows)
    if len(seen) == 2:
        print("half", flush=True)
        import time; time.sleep(60)
folder = Path(sys.argv[1])
with store.lists(folder) as db:
    importing.import_list(db, folder / "new.csv", importing.Asked(supplier="Muster", kind="bearing"), "2026-11-28", slow)
"""


def test_a_kill_in_the_middle_leaves_the_old_list(tmp_path):
    from layshaft.listings.imports.importing import Asked, import_list

    (tmp_path / "old.csv").write_text("Part no;Bore [mm]\nK1;20\n", encoding="utf-8")
    with store.lists(tmp_path) as db:
        assert import_list(db, tmp_path / "old.csv", Asked(supplier="Muster", kind="bearing"), "2026-11-27").written
    rows = "".join(f"N{i};25\n" for i in range(250_000))
    (tmp_path / "new.csv").write_text(f"Part no;Bore [mm]\n{rows}", encoding="utf-8")
    src = str(Path(store.__file__).parents[2])
    child = subprocess.Popen([sys.executable, "-c", KILLED, str(tmp_path)], stdout=subprocess.PIPE, text=True,
                             env=os.environ | {"PYTHONPATH": src})
    assert child.stdout.readline().strip() == "half"
    child.send_signal(signal.SIGKILL)
    child.wait()
    child.stdout.close()
    with store.lists(tmp_path) as db:
        found = store.search(db, "bearing", {}, {})
        assert [h.texts["part"] for h in found.hits] == ["K1"]
        assert db.execute("SELECT count(*) FROM offers").fetchone()[0] == 1
        assert import_list(db, tmp_path / "new.csv", Asked(supplier="Muster", kind="bearing"), "2026-11-28").written


def test_two_writers_wait_for_each_other_or_say_so(tmp_path, monkeypatch):
    monkeypatch.setattr(database, "WAIT", 0.05)
    with store.lists(tmp_path) as db, database.writing(db):
        store.begin_list(db, "Muster", "a.csv", "2026-11-27")
        with pytest.raises(BadInput, match="written by another process"), store.lists(tmp_path) as second, \
                database.writing(second):
            pass


def test_a_search_among_a_hundred_thousand_is_quick(tmp_path):
    # a tenth of what the benchmark measures, and ten times its limit: noise of a busy machine must not fail it
    rng = np.random.default_rng(1)
    rows = [(float(b), float(p), False) for b, p in rng.uniform(0, 100, (100_000, 2))]
    with store.lists(tmp_path) as db:
        filled(db, rows)
        start = time.perf_counter()
        assert store.search(db, "bearing", {"bore": (20, 30), "price": (0, 9)}, {}, order="price").count > 500
        assert time.perf_counter() - start < 1.0
