"""A record tells which line of a sheet moved, and by how much."""

import json
import math
import time
from dataclasses import replace

import numpy as np
import pytest

from layshaft.elements import parallel_key as key
from layshaft.trace.formula import looked_up, tracing
from layshaft.trace.records import Record, compare, fingerprint_of
from layshaft.trace.source import Source
from layshaft.trace.units import LENGTH

DEMO = {"T": 60.0, "d": 0.025, "b": 0.008, "h": 0.007, "t_1": 0.004, "l": 0.04, "i": 1.0,
        "R_e_shaft": 355e6, "R_e_key": 300e6, "R_e_hub": 275e6, "S_required": 1.5}


def record(row="8x7|t1=4.0", **changes):
    values = DEMO | changes
    with tracing() as trace:
        key.rate(key.KeyInputs(**values, origins={k: Source("invented", obtained="given") for k in values}))
        looked_up("t_1", "keyway depth", LENGTH, 0.004, table="keys", row="row 8x7", source=key.METHOD_C)
    return Record.of(trace, {"T"}, lambda table, name: f"key={row}")


def test_the_same_sheet_has_the_same_record():
    assert compare(record(), record()) == []
    assert record().fingerprint == record().fingerprint
    assert len(record().fingerprint) == 10


def test_a_given_that_moved_is_named_with_its_amount():
    assert compare(record(), record(l=0.05)) == ["given Parallel key: l: was 40.00 mm, now 50.00 mm (+25 %)"]
    assert record().fingerprint != record(l=0.05).fingerprint


def test_the_smallest_possible_move_of_a_given_is_seen():
    [line] = compare(record(), record(l=math.nextafter(0.04, 1)))
    assert line.startswith("given Parallel key: l: was 40.0000000000000")


def test_a_demand_is_stale_beyond_a_millionth_only_and_not_in_the_fingerprint():
    assert compare(record(), record(T=60 * (1 + 9e-7))) == []
    [line] = compare(record(), record(T=60 * (1 + 2e-6)))
    assert line.startswith("demand Parallel key: T: was 60.0000000000000 N m, now 60.00012")
    assert record().fingerprint == record(T=70.0).fingerprint
    assert compare(record(), record(T=math.nan)) == ["demand Parallel key: T: was 60.00 N m, now unknown"]


def test_a_corrected_table_row_names_the_cell():
    lines = compare(record(), record(row="8x7|t1=4.1"))
    assert lines == ["table row keys, row 8x7, t_1: t1 was 4.0, now 4.1"]


def test_a_raised_version_of_a_method():
    old = record()
    new = replace(old, methods=old.methods | {"parallel_key.flank_pressure": 3})
    assert compare(old, new) == ["method parallel_key.flank_pressure: version 2, now version 3"]


def test_a_method_that_left_and_one_that_came():
    old = record()
    new = replace(old, methods={k: v for k, v in old.methods.items() if k != "margin.margin"})
    assert compare(old, new) == ["method margin.margin: no longer used"]
    assert compare(new, old) == ["method margin.margin: new"]


def test_a_record_survives_json():
    old = record(T=math.nan)
    assert compare(old, Record.from_dict(json.loads(json.dumps(old.to_dict(), allow_nan=False)))) == []


def test_samples_have_no_record():
    with pytest.raises(ValueError, match="d \\(shaft diameter\\) holds samples"):
        record(d=np.array([0.02, 0.03]))


def test_300_fingerprints_take_less_than_3_ms():
    items = record().items
    times = []
    for _ in range(7):
        start = time.perf_counter()
        for _ in range(300):
            fingerprint_of(items)
        times.append(time.perf_counter() - start)
    assert min(times) < 3e-3
