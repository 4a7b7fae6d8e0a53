"""The checks `slips.py` runs: collected once by pytest, each called again without its machinery."""

import contextlib
import io
import os
import signal
import sys
import time
import warnings
from collections import Counter, defaultdict
from pathlib import Path

import hypothesis
import pytest
import slip_faults

from layshaft.listings import tables
from layshaft.trace.registry import load_all

ROOT = Path(__file__).parents[1]
FOLDERS = ("tests/published", "tests/closed_form")
LOOKED_AT = 20
SCAN = 8
"""A check that reads more rows of a column looks through the table and uses none of these cells."""
SECONDS = 5
QUICK = 0.25
"""Seconds of work, watched, beyond which a check is looked at last."""

hypothesis.settings.register_profile(
    "slips", max_examples=15, derandomize=True, deadline=None, database=None,
    phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate],
)


KINDS = ("published", "from memory", "closed form")


def _kind(item):
    """What a check stands on."""
    if item.get_closest_marker("from_memory"):
        return "from memory"
    return "closed form" if "closed_form" in item.nodeid else "published"


class TooLong(Exception):
    """A check that no longer ends has noticed the slip."""


class Checks:
    """Which check calls which formula and reads which table cell."""

    def __init__(self, items):
        self.by_formula, self.by_cell = defaultdict(list), defaultdict(list)
        self.broken, self.reach, self.takes, self.used_cells = [], {}, {}, set()
        hypothesis.settings.load_profile("slips")
        callable_alone = [i for i in items if set(i.fixturenames) <= {"request", *_values(i)}]
        self.left_out = [i.nodeid for i in items if i not in callable_alone]
        self._learn(callable_alone)

    def _learn(self, items):
        codes = {info.function.__code__: name for name, info in load_all().items()}
        for item in items:
            called, cells = set(), set()
            began = time.process_time()
            with _watched(codes, called, cells):
                failed = self.fails(item)
            self.takes[item] = time.process_time() - began
            if failed:
                self.broken.append(item.nodeid)
                continue
            self.reach[item] = len(called) + len(cells) / 10
            for name in called:
                self.by_formula[name].append(item)
            rows = Counter((table, column) for table, _, column in cells)
            for cell in cells:
                self.by_cell[cell].append(item)
            self.used_cells |= {c for c in cells if rows[c[0], c[2]] <= SCAN}

    def trust(self, formula):
        """How many checks call a formula: values published, values from memory, closed forms and libraries."""
        found = Counter(_kind(item) for item in self.by_formula[formula])
        return tuple(found[kind] for kind in KINDS)

    @property
    def only_scanned(self):
        """How many cells are looked through by checks and used by none."""
        return len(self.by_cell.keys() - self.used_cells)

    @property
    def unread_tables(self):
        """Tables of which no check reads a number."""
        return sorted(set(tables.table_names()) - {cell[0] for cell in self.by_cell})

    def near(self, items):
        """The most direct checks of a formula or cell: quick ones first, of these those that touch least else."""
        return sorted(items, key=lambda i: (self.takes[i] > QUICK, self.reach[i], i.nodeid))[:LOOKED_AT]

    @staticmethod
    def fails(item):
        """True where the check fails, warns, or does not end."""
        signal.setitimer(signal.ITIMER_REAL, SECONDS)
        try:
            with warnings.catch_warnings(), contextlib.redirect_stdout(io.StringIO()):
                warnings.simplefilter("error")
                item.obj(**_values(item))
        except (Exception, pytest.fail.Exception):
            return True
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)
        return False


def _values(item):
    return dict(item.callspec.params) if hasattr(item, "callspec") else {}


@contextlib.contextmanager
def _watched(codes, called, cells):
    """Notes formulas called and numbers read from tables."""
    number = tables.Row.number

    def read(self, column, factor=1.0):
        if self.cells[column]:
            cells.add((self.table, self.name, column))
        return number(self, column, factor)

    def notice(frame, event, _):
        if event == "call" and frame.f_code in codes:
            called.add(codes[frame.f_code])

    tables.Row.number = read
    slip_faults.forget()
    sys.setprofile(notice)
    try:
        yield
    finally:
        sys.setprofile(None)
        tables.Row.number = number


class _Collector:
    """A pytest plugin that keeps the collected checks and runs none."""

    items = ()

    def pytest_collection_finish(self, session):
        self.items = list(session.items)

    def pytest_runtestloop(self):
        return True


def collect():
    """All checks that count, and what each of them touches."""
    signal.signal(signal.SIGALRM, _stop)
    collector = _Collector()
    before = os.getcwd()
    os.chdir(ROOT)
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            pytest.main(
                [*FOLDERS, "-q", "--continue-on-collection-errors", "-p", "no:cacheprovider",
                 "-p", "no:warnings"], plugins=[collector])
    finally:
        os.chdir(before)
    return Checks(collector.items)


def _stop(*_):
    raise TooLong
