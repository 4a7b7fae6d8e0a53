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


def no_log(path: str) -> str:
    """A log that is not there."""
    return f"There is no file {path}. Give the table of the measured log: time and pulses, a line for each reading."


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


# A log of pulses over time


def time_goes_back(this: str, before: str) -> str:
    """Reversed time, or none."""
    return (f"The time here is {this}, no later than {before} on the line before. "
            "Put the lines in order, each time once.")


def gap(span: str, usual: str) -> str:
    """Lines are missing."""
    return (f"{span} lie between this line and the one before, where lines are {usual} apart. Lines are missing: cut "
            "the log here and take the longer part.")


def falls() -> str:
    """A total that goes down."""
    return ("The count here is lower than on the line before. 'count' is the total so far; if each line holds the "
            "pulses since the line before, name the column 'pulses'.")


def below_zero() -> str:
    """Less than no pulse."""
    return "There are fewer than no pulses on this line. Correct it."


def no_pulses() -> str:
    """Nothing turned."""
    return "This log counts no pulse at all: its shaft stood, or the sensor saw nothing. Take another log."


def which_shaft(shafts: Sequence[str]) -> str:
    """Whose pulses."""
    return ("The log does not say whose pulses it counts. Write '# shaft: NAME' on its first line, or give "
            f"--log-shaft. This train has: {listed(shafts)}.")


def not_on_train(shaft: str, shafts: Sequence[str]) -> str:
    """A shaft that does not turn with this train."""
    return f"The log counts pulses of '{clipped(shaft)}', which is no shaft of this train. It has: {listed(shafts)}."


def how_many(written: str) -> str:
    """Pulses a turn."""
    found = f"'{clipped(written)}' is no number of pulses a turn. " if written else ""
    return (f"{found}The log does not say how many pulses a turn has. Write '# pulses per turn: 4' above its "
            "columns, or give --log-pulses.")


def no_unit_of_time(unit: str) -> str:
    """A unit that is none."""
    return f"'{clipped(unit)}' is no unit of time. Write 'time in s', 'time in ms' or 'time in min'."
