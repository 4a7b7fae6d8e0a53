"""What is said about readings that cannot be used."""

from __future__ import annotations


def no_file(path: str, template: str) -> str:
    """No such file."""
    return f"There is no file {path}. Write an empty table with --template {template}, fill it in, and give it here."


def not_a_unit(unit: str, column: str, example: str) -> str:
    """A column in a unit that is none of its own."""
    return f"'{unit}' is no unit for '{column}'. Write '{column} in {example}', and the readings in that unit."


def too_low(column: str, value: str, least: str, *, zero: bool) -> str:
    """Below what it can be."""
    return (f"'{column}' is {value} here; it must be {'at least' if zero else 'more than'} {least}. Correct the line, "
            "or take it out and say so in a note.")


def no_value(why: str) -> str:
    """Readings that give nothing."""
    return f"These readings give no value: {why}. Look at this line again."


def too_few(count: int) -> str:
    """One repeat."""
    return (f"{count} reading{' tells' if count == 1 else 's tell'} nothing of the scatter. Take two repeats at least, "
            "better five.")


def too_few_lines(by: str, name: str) -> str:
    """A turn of one line."""
    return f"{by} {name} has one line only. Give a line for each angle of the {by}."


def goes_back(column: str, this: str, before: str) -> str:
    """Angles that go back."""
    return f"'{column}' is {this} after {before} on the line before. Write the lines of one lift by rising {column}."


def bad_step(key: str, text: str, why: str) -> str:
    """A remark on the instrument that cannot be read."""
    return f"'# {key}: {text}' cannot be read: {why} Write for instance '# {key}: 0.1 N'."


def unknown_step(key: str, columns: str) -> str:
    """A remark on a column that is not there."""
    return f"'# {key}' names no column of this table. It has: {columns}."


def below_limit(value: str, spread: str) -> str:
    """A spread that makes no sense."""
    return (f"The readings give {value} ± {spread}, which reaches to zero or below: they scatter too much to be kept. "
            "Take more repeats, or a finer instrument.")


def no_prediction(path: str) -> str:
    """Readings of a rig without a prediction."""
    return (f"There is no {path}: readings of a rig are laid beside what was predicted before them. Draft the rig with "
            "--rig first; for a guess of this machine name it, as in: layshaft find-out MACHINE GIVEN --readings FILE.")


def bad_prediction() -> str:
    """A prediction that was changed by hand."""
    return ("This prediction cannot be read any more: its lines are quantity, unit, predicted, lowest, highest. Put "
            "back the file as it was written.")
