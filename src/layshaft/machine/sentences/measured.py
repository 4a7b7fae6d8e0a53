"""What is said about measured tables: a file beside the machine file, its header, its lines, and points by angle."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import clipped, listed


def not_beside(path: str, name: str) -> str:
    """A path where a plain file name belongs."""
    return (f"{path}: '{clipped(name)}' is not the name of a file beside the machine file. Put the table into the same "
            "folder and write its name alone, such as treadle.csv.")


def no_table(path: str, name: str) -> str:
    """The file is not there."""
    return f"{path}: there is no file '{clipped(name)}' beside the machine file. Put it there, or correct the name."


def both_ways(path: str, key: str) -> str:
    """Points in the file and from a table."""
    return f"{path} gives '{key}' and 'from'. Keep one of the two."


def empty_table(columns: Sequence[str]) -> str:
    """Nothing in it."""
    return f"This table has no lines of numbers. Its first line names the columns: {listed(columns)}; numbers follow."


def header(found: str, columns: Sequence[str]) -> str:
    """The first line does not name what is needed."""
    return (f"The first line should name the columns, each with its unit: {listed(columns)}. "
            f"It reads: {clipped(found) or 'nothing'}.")


def no_number(text: str, column: str) -> str:
    """A cell that is no number."""
    return (f"'{clipped(text)}' under '{column}' is no number. "
            "Write it like 12.5, without a unit; units stand in the header.")


def no_cell(column: str) -> str:
    """A line that ends too early, or an empty cell."""
    return f"This line has nothing under '{column}'. Complete it, or remove the line."


def too_few_lines(count: int, least: int) -> str:
    """Not enough to be a table."""
    return f"This table has {count} line{'' if count == 1 else 's'} of numbers; it needs {least} at least."


def back(path: str, this: str, before: str) -> str:
    """Angles that go back."""
    return f"{path}: {this} comes after {before}. Write the points by rising angle."


def too_long(path: str, span: str, room: str) -> str:
    """More than a repeat."""
    return (f"{path} go over {span}, but come again after {room}. Leave out what is beyond, or lower 'per turn'.")


def one_angle(path: str) -> str:
    """All at one place."""
    return f"{path} all stand at one angle. Give points at two angles at least."


def jumps(path: str, angle: str, *, down: bool) -> str:
    """A lift that changes in no angle."""
    if down:
        return (f"{path} drops at {angle} at once, but the follower is not said to fall by itself. "
                "Write 'falls free: yes', or give the drop an angle.")
    return f"{path} rises at {angle} at once, which no cam can do. Give the rise an angle."
