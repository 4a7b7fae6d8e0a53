"""Usual values to begin with: each is one the machine file takes, lies within its range, and is never taken silently."""

import pytest

from layshaft.listings.tables import table
from layshaft.machine import schema
from layshaft.machine.model import Machine, Seat
from layshaft.machine.reader import read_text
from layshaft.machine.schema import keys
from layshaft.project.answers import QUESTIONS
from layshaft.project.draft import draft
from layshaft.project.first_guesses import TABLE, first_guess, guesses_of
from layshaft.project.new import answers
from layshaft.trace.units import parse_quantity

ROWS = table(TABLE).rows


def kind_of(word):
    """The kind of a row, by the schema alone."""
    if word == "seat":
        return Seat
    every = {}
    for _, k in keys(Machine).values():
        every |= getattr(k.reads, "kinds", {})
    return every[word]


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r.name)
def test_every_value_is_one_its_key_takes_and_lies_in_its_range(row):
    kind, key = row.name.split(": ")
    reads = keys(kind_of(kind))[key][1].reads
    assert isinstance(reads, schema.Quantity)
    value, low, high = (parse_quantity(row.text(c), reads.dimension).value for c in ("value", "low", "high"))
    assert low <= value <= high
    for end in (value, low, high):
        assert reads.above is None or end > reads.above
        assert reads.at_least is None or end >= reads.at_least
        assert reads.at_most is None or end <= reads.at_most
    assert row.text("why") and row.text("obtained") in ("common practice", "from memory")


def test_a_guess_is_written_as_one_with_its_range_and_what_it_rests_on():
    text = draft(answers({q.key: q.default for q in QUESTIONS} | {"driver": "crank"}))
    machine = read_text(text)
    guess = first_guess(machine, "drives.crank.radius")
    assert guess.written == {"value": "300 mm", "between": ["200 mm", "400 mm"], "source": "assumed",
                             "note": "a usual handle: common practice"}
    assert first_guess(machine, "drives.crank.state") is None and first_guess(machine, "modules.frame.mass") is None
    assert first_guess(machine, "shafts.crank shaft.seats.left bearing.drag").low == "0.002 N m"
    assert guesses_of("ratchet")["efficiency"].written == {"value": "1", "source": "assumed",
                                                            "note": "nothing slides while it holds: common practice"}
    assert machine.drives["crank"].radius.low == pytest.approx(0.2)
