"""Days a builder writes: read as ISO 8601 and the Gregorian calendar have them (the standard library's own calendar)."""

import datetime

import pytest

from layshaft.faces.pages.here_by import DAY, WEEK, arrival, here_by
from layshaft.trace.errors import BadInput

TODAY = datetime.date(2026, 11, 27)


@pytest.mark.parametrize(("text", "day"), [
    ("May", "2027-05-01"), ("by May", "2027-05-01"), ("sept", "2027-09-01"), ("November", "2027-11-01"),
    ("1 May 2027", "2027-05-01"), ("May 3", "2027-05-03"), ("3rd May", "2027-05-03"), ("May 2028", "2028-05-01"),
    ("2027-05-01", "2027-05-01"), ("1.5.2027", "2027-05-01"), ("1.5.", "2027-05-01"), ("27 November", "2026-11-27"),
    ("29 February", "2028-02-29"), ("6 weeks", "2027-01-08"), ("within 10 days", "2026-12-07")])
def test_a_day_a_month_and_a_time_are_understood(text, day):
    assert here_by(text, TODAY).day == datetime.date.fromisoformat(day)


@pytest.mark.parametrize(("text", "said"), [
    ("1 May 2026", "'1 May 2026' is past: today is 27 November 2026"), ("May 2026", "which means 1 May 2026, is past"),
    ("2026-11-26", "is past"), ("30 February", "There is no day '30 February'"), ("2027-13-01", "There is no day"),
    ("01/05/2027", "can be read in two ways"), ("soon", "is no day and no time"), ("6", "is no day and no time"),
    ("-2 weeks", "is past"), ("1 May 3027", "more than ten years"), ("100000 weeks", "more than ten years")])
def test_what_is_no_day_to_come_is_refused_in_words(text, said):
    with pytest.raises(BadInput) as why:
        here_by(text, TODAY)
    assert said in str(why.value)


def test_weeks_are_those_between_the_days():
    by = here_by("May", TODAY)
    assert by.seconds == (datetime.date(2027, 5, 1) - TODAY).days * DAY
    assert str(by) == "1 May 2027, 22 weeks from today, 27 November 2026"


def test_a_part_of_a_day_arrives_on_the_next():
    assert arrival(2 * WEEK, TODAY) == datetime.date(2026, 12, 11)
    assert arrival(2 * WEEK + 1, TODAY) == datetime.date(2026, 12, 12)
