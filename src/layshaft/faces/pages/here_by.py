"""Until when something must be here, as a builder writes it: a day, a month or a time from today."""

from __future__ import annotations

import calendar
import datetime
import re
from dataclasses import dataclass

from layshaft.trace.errors import BadInput
from layshaft.trace.units import TIME, parse_quantity

DAY = 86400.0
WEEK = 7 * DAY
LONGEST = 3650
"""Days: nobody waits ten years, so a year beyond is a slip of the pen."""

SHORTEST_NAME = 3
MONTHS = [name.casefold() for name in calendar.month_name[1:]]
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DOTS = re.compile(r"(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})?")
_SLASHES = re.compile(r"\d{1,4}/\d{1,2}(/\d{1,4})?")
_DAY_FIRST = re.compile(r"(?:(\d{1,2})(?:st|nd|rd|th|\.)?\s+)?([a-z]+)\.?,?(?:\s+(\d{4}))?")
_MONTH_FIRST = re.compile(r"([a-z]+)\.?\s+(\d{1,2})(?:st|nd|rd|th)?(?:,?\s+(\d{4}))?")
EXAMPLES = "Write a month, a day or a time, such as May, 1 May 2027, 2027-05-01 or 6 weeks"


@dataclass(frozen=True, slots=True)
class HereBy:
    """The day something must be here, and today."""

    day: datetime.date
    today: datetime.date

    @property
    def seconds(self) -> float:
        """Time from today."""
        return (self.day - self.today).days * DAY

    def __str__(self) -> str:
        return f"{day_words(self.day)}, {span_words(self.seconds)} from today, {day_words(self.today)}"


def here_by(text: str, today: datetime.date) -> HereBy:
    """What a builder wrote, as a day; without a year the next such day. Raises `BadInput`."""
    words = " ".join(text.casefold().removeprefix("by ").removeprefix("within ").split())
    day = _day(words, text, today) or _time(text.strip().removeprefix("within "), today)
    if day < today:
        meant = "" if any(c.isdecimal() for c in text.split()[0]) else f", which means {day_words(day)},"
        raise BadInput(f"'{text}'{meant} is past: today is {day_words(today)}. Write a day to come.")
    if (day - today).days > LONGEST:
        raise BadInput(f"'{text}' is more than ten years from today, {day_words(today)}. Look at its year.")
    return HereBy(day, today)


def _day(words: str, text: str, today: datetime.date) -> datetime.date | None:
    """A date or a month; None for what looks like neither. Raises `BadInput` for a day that does not exist."""
    if found := _ISO.fullmatch(words):
        return _made(int(found[3]), int(found[2]), int(found[1]), text)
    if found := _DOTS.fullmatch(words):
        return _next(int(found[1]), int(found[2]), found[3], text, today)
    if _SLASHES.fullmatch(words):
        raise BadInput(f"'{text}' can be read in two ways. {EXAMPLES}.")
    if (found := _DAY_FIRST.fullmatch(words)) and (month := _month(found[2])):
        return _next(int(found[1] or 1), month, found[3], text, today)
    if (found := _MONTH_FIRST.fullmatch(words)) and (month := _month(found[1])):
        return _next(int(found[2]), month, found[3], text, today)
    return None


def _month(word: str) -> int:
    """The month of that name or the beginning of one; 0 for none."""
    there = [i for i, name in enumerate(MONTHS, 1) if len(word) >= SHORTEST_NAME and name.startswith(word)]
    return there[0] if len(there) == 1 else 9 if word == "sept" else 0


def _next(day: int, month: int, year: str | None, text: str, today: datetime.date) -> datetime.date:
    if year:
        return _made(day, month, int(year), text)
    for y in range(today.year, today.year + 9):  # a 29 February may be eight years away
        try:
            found = datetime.date(y, month, day)
        except ValueError:
            continue
        if found >= today:
            return found
    return _made(day, month, today.year, text)


def _made(day: int, month: int, year: int, text: str) -> datetime.date:
    try:
        return datetime.date(year, month, day)
    except ValueError:
        raise BadInput(f"There is no day '{text}'. {EXAMPLES}.") from None


def _time(text: str, today: datetime.date) -> datetime.date:
    try:
        days = parse_quantity(text, TIME).value / DAY
    except BadInput:
        raise BadInput(f"'{text}' is no day and no time. {EXAMPLES}.") from None
    if not 0 <= days <= LONGEST:
        raise BadInput(f"'{text}' is {'past' if days < 0 else 'more than ten years'}. {EXAMPLES}.")
    return today + datetime.timedelta(days=int(days))


def day_words(day: datetime.date) -> str:
    """`1 May 2027`."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def span_words(seconds: float) -> str:
    """Whole weeks where there are some, else days."""
    days = round(seconds / DAY)
    if days >= 14:
        return f"{days // 7} weeks"
    return f"{days} day{'' if days == 1 else 's'}"


def arrival(lead_time: float, today: datetime.date) -> datetime.date:
    """The day something comes that is ordered today, a part of a day counted as a whole one."""
    return today + datetime.timedelta(days=-int(-lead_time // DAY))
