"""Rows gathered from standards, textbooks and makers' tables, each with source, trust and tolerance.

`reference/checks_drives.csv` and `reference/checks_shafts.csv` hold the rows; title, example and page
stand in `source`, how the value was come by in `obtained`, and the tolerance is that of the row. Every
row is either run through a formula or a table of the house, or left out with a reason; docs/
reference-rows.md lists both.
"""

import pytest

from published.reference import rows

RUN = [r for r in rows.ALL if r.way == "formula"]
REPEATED = [r for r in rows.ALL if r.way == "table"]


def marked(chosen):
    return [pytest.param(r, id=r.id, marks=[pytest.mark.from_memory] if r.from_memory else []) for r in chosen]


@pytest.mark.parametrize("row", marked(RUN))
def test_row_by_formula(row):
    assert row.value() == row.expected, f"{row.quantity}: {row.source}"


@pytest.fixture
def proves_no_method():
    """Keeps these checks out of the count of planted slips: a table cannot prove itself."""


@pytest.mark.parametrize("row", marked(REPEATED))
@pytest.mark.usefixtures("proves_no_method")
def test_row_in_a_table(row):
    assert row.value() == row.expected, f"{row.quantity}: {row.source}"


def test_every_row_is_run_or_left_out_with_a_reason():
    left = [r for r in rows.ALL if r.way == "left out"]
    assert len(RUN) + len(REPEATED) + len(left) == len(rows.ALL) == 513
    assert [r.id for r in left if not r.reason] == []
    assert len({r.id for r in rows.ALL}) == len(rows.ALL)
    assert len(RUN) + len(REPEATED) >= 250
