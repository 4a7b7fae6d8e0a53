"""The day something is made, in words."""

from __future__ import annotations

from datetime import date

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")


def day_words(day: date | None = None) -> str:
    """`27 November 2026`, today's where none is told, whatever language the system speaks."""
    day = day or date.today()
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"
