"""What is said about parts.csv."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import clipped, did_you_mean


def part_twice(name: str, place: str) -> str:
    """One name in the file and in the list, or twice in the list."""
    return f"The part '{clipped(name)}' stands already at {place}. Remove one of the two, or rename it."


def not_csv(why: str) -> str:
    """The list is no table."""
    return f"This line is not a line of a table ({clipped(why)}). Save the list again as CSV text with UTF-8."


def unknown_column(column: str, known: Sequence[str]) -> str:
    """A column no part has."""
    hint = did_you_mean(column, known, "Its columns")
    return f"'{clipped(column)}' is not a column of the parts list. {hint}"


def column_twice(column: str) -> str:
    """One column two times."""
    return f"The column '{clipped(column)}' stands twice. Remove one of the two."


def column_needed(column: str) -> str:
    """No name or no kind."""
    return (f"The parts list needs the column '{column}'. "
            "Write its first line as: name,kind,source,read in,...")


def too_many_cells(found: int, columns: int) -> str:
    """A line longer than the header."""
    return (f"This line has {found} cells under {columns} columns. "
            "Put a cell that holds a comma in double quotes.")


def part_without_name() -> str:
    """No name."""
    return "This line has no name. Write one in the column 'name', or remove the line."
