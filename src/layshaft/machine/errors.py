"""Every sentence the machine file can be refused with: what is wrong, where, what to write instead."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from layshaft.machine.schema import Mark


class Problem(NamedTuple):
    """One thing wrong, and its place. A mark without a line prints no place."""

    mark: Mark
    sentence: str

    def __str__(self) -> str:
        return f"{self.mark}: {self.sentence}" if self.mark.line else self.sentence


class MachineErrors(ValueError):
    """All problems one pass found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(str(self))

    def __str__(self) -> str:
        return "\n".join(map(str, self.problems))


# Pieces of sentences.


def near(word: str, known: Iterable[str]) -> str:
    """The known word closest to `word`, or nothing."""
    by_folded = {name.casefold(): name for name in known}
    found = difflib.get_close_matches(word.casefold(), by_folded, n=1, cutoff=0.6)
    return by_folded[found[0]] if found else ""


def did_you_mean(word: str, known: Sequence[str], many: str) -> str:
    """`Did you mean 'x'?` for a near miss, else what there is to choose from."""
    if hit := near(word, known):
        return f"Did you mean '{hit}'?"
    return f"{many}: {listed(known)}." if known else f"{many}: none yet."


def listed(words: Sequence[str], most: int = 24) -> str:
    """Words in a row, cut where they would fill a page."""
    return ", ".join(words[:most]) + (", ..." if len(words) > most else "")


def clipped(text: str, most: int = 60) -> str:
    """What was written, short enough to stand in a sentence, without line breaks."""
    text = " ".join(text.split())
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= most else text[: most - 3] + "..."


def a(word: str) -> str:
    """The word with its article."""
    return f"{'an' if word[:1].lower() in 'aeiou' else 'a'} {word}"


def example(text: str) -> str:
    """What to write instead, taken from the key's own example."""
    return f" Write for instance: {text}." if text else ""


# Text pass.


def no_file(path: str) -> str:
    """Nothing there."""
    return f"There is no file {path}. Give the machine file, or the folder that holds machine.yaml."


def no_machine_in_folder(path: str) -> str:
    """A folder without a machine file."""
    return f"The folder {path} holds no machine.yaml. Give the machine file itself, or another folder."


def not_a_file(path: str) -> str:
    """A device, a pipe."""
    return f"{path} is not a file of text. Give the machine file, or the folder that holds machine.yaml."


def unreadable(path: str, why: str) -> str:
    """The system refused."""
    return f"{path} cannot be read ({why}). Check its permissions."


def too_big(path: str, size: int, most: int) -> str:
    """Over the size limit."""
    return (f"{path} has {size / 1e6:.1f} MB; a machine file may have {most / 1e6:.0f} MB. "
            "Move what is not the machine to other files.")


def not_utf8(byte: int) -> str:
    """Bytes that are no text."""
    return f"The file is not UTF-8 text (byte {byte}). Save it again as UTF-8."


def empty() -> str:
    """Nothing in it."""
    return "The file is empty. Begin with 'layshaft: 1'."


def top_is_not_a_map() -> str:
    """The file is a list or one text."""
    return "The file must be keys with values at the top level. Begin with 'layshaft: 1'."


def second_document() -> str:
    """`---` a second time."""
    return "A second document begins here. Keep one machine a file: remove the '---' and what follows."


def too_deep(most: int) -> str:
    """Nesting."""
    return f"More than {most} levels stand inside one another. A machine file needs far fewer: check brackets and indentation."


def anchor(name: str) -> str:
    """`&name`."""
    return f"'&{name}' marks a value to be repeated, which a machine file does not use. Remove it, or put the text in quotes."


def alias(name: str) -> str:
    """`*name`."""
    return (f"'*{name}' repeats a value, which a machine file does not use. Write the value out, "
            "'same as PATH' for a quantity, or put the text in quotes.")


def tag(name: str) -> str:
    """`!name`."""
    return f"'{clipped(name)}' is a type mark, which a machine file does not use. Remove it, or put the text in quotes."


def merge_key() -> str:
    """`<<`."""
    return "'<<' merges another map, which a machine file does not use. Write the keys out."


def key_is_not_text() -> str:
    """A list or map used as a key."""
    return "A key must be plain text, not a list or a map. Write 'name: value'."


def key_is_empty() -> str:
    """Nothing before the colon."""
    return "There is no key before ':'. Write 'name: value'."


def key_twice(key: str, first: str, line: int) -> str:
    """Duplicate keys, also when they differ in case only."""
    if key == first:
        return f"'{clipped(key)}' is written twice, first in line {line}. Remove one of the two, or rename it."
    return (f"'{clipped(key)}' and '{clipped(first)}' in line {line} differ in capitals only. "
            "Remove one of the two, or rename it.")


_YAML = (
    ("\\t", "A tab stands where blanks belong. Indent with blanks."),
    ("'\t'", "A tab stands where blanks belong. Indent with blanks."),
    ("violate indentation", "A tab stands where blanks belong. Indent with blanks."),
    ("mapping values are not allowed", "A ':' too many, or a wrong indentation. Put a text that holds ': ' in quotes, and line keys up."),
    ("block sequence entries are not allowed", "A '- ' begins a list where none can stand. Put the list on lines of its own, or in [ ]."),
    ("unexpected end of stream", "A quote is opened and never closed. Close it with the same sign."),
    ("could not find expected ':'", "A line here has no ':'. Write 'key: value', and put a text that goes over lines in quotes."),
    ("expected ',' or '}'", "A '{' is opened and not closed, or a ',' is missing. Write {key: value, key: value}."),
    ("expected ',' or ']'", "A '[' is opened and not closed, or a ',' is missing. Write [value, value]."),
    ("did not find expected key", "The indentation does not fit, or text follows a value that has ended. Line keys up under one another."),
    ("did not find expected '-' indicator", "The lines of this list do not line up. Begin each with '- ' at the same column."),
    ("expected <document start>", "Text follows where the file had ended. Line keys up under one another, and close brackets once."),
    ("node content", "A value is missing, or a bracket is closed that was not opened. Write 'key: value'."),
    ("alphabetic or numeric character", "A text cannot begin with '&' or '*'. Put it in quotes."),
    ("cannot start any token", "A text cannot begin with this sign. Put it in quotes."),
    ("unknown escape", "A backslash stands in double quotes. Use single quotes, or write it twice."),
    ("escape", "A backslash stands in double quotes. Use single quotes, or write it twice."),
    ("control characters", "A control character stands here. Remove it."),
    ("exceeded maximum nesting", "Too many brackets stand inside one another. Check brackets."),
    ("document indicator", "A quote is opened and never closed. Close it with the same sign."),
)


def not_yaml(problem: str) -> str:
    """What the parser of the text stumbled over, in the builder's words."""
    for sign, sentence in _YAML:
        if sign in problem:
            return sentence
    return f"The text cannot be read from here on ({clipped(problem)}). Check quotes, brackets and indentation."


# Shape pass.


def unknown_key(path: str, key: str, kind: str, known: Sequence[str], value_empty: bool) -> str:
    """A key this kind does not have."""
    where = f"{path}: " if path else ""
    if ":" in key:
        before, after = (clipped(part.strip(), 40) for part in key.split(":", 1))
        return f"{where}'{clipped(key)}' has no blank after its colon. Write '{before}: {after}'."
    if value_empty and key[:1].isdigit():
        return (f"{where}'{clipped(key)}' stands alone after a comma. Write a number with a point, not a comma, "
                "and put a text that holds a comma in quotes.")
    return f"{where}'{clipped(key)}' is not a key of {kind}. {did_you_mean(key, known, 'Its keys')}"


def key_needed(path: str, key: str, kind: str, meaning: str, text: str) -> str:
    """A required key is not there."""
    where = f"{path}: " if path else ""
    return f"{where}{kind} needs the key '{key}' ({meaning}).{example(f'{key}: {text}' if text else '')}"


def nothing_written(path: str, text: str) -> str:
    """A key with no value."""
    return f"{path}: nothing is written here.{example(text)} Or remove the key."


def wants_a_map(path: str, kind: str) -> str:
    """A text or list where keys belong."""
    return f"{path}: keys with values belong here ({kind}). Write them on lines of their own, indented."


def wants_names(path: str, meaning: str) -> str:
    """A text or list where a collection belongs."""
    return f"{path}: names belong here ({meaning}), each with its keys. Write 'name:' and its keys below it, indented."


def wants_a_list(path: str, count: int | None, text: str) -> str:
    """A text or map where a list belongs."""
    many = f"a list of {count}" if count else "a list"
    return f"{path}: {many} belongs here.{example(text)}"


def wrong_count(path: str, found: int, count: int, text: str) -> str:
    """A list too long or too short."""
    return f"{path}: the list has {found} values; it needs {count}.{example(text)}"


def too_few(path: str, found: int, least: int, text: str) -> str:
    """A list too short."""
    return f"{path}: the list has {found} values; it needs at least {least}.{example(text)}"


def wants_text(path: str, text: str) -> str:
    """A list or map where text belongs."""
    return f"{path}: one text belongs here, not a list or keys.{example(text)}"


def wants_quantity(path: str, dimension: str, text: str) -> str:
    """A list where a quantity belongs."""
    return f"{path}: one {dimension} belongs here, not a list.{example(text)}"


def not_open(path: str, text: str) -> str:
    """`open` where it cannot be."""
    return f"{path}: this cannot be left open.{example(text)} Or remove the key if it is not known."


def quantity(path: str, sentence: str) -> str:
    """What the door for quantities said."""
    return f"{path}: {clipped(sentence, 300)}"


def quantity_key(path: str, key: str, known: Sequence[str]) -> str:
    """A key a written-out quantity does not have."""
    return f"{path}: '{clipped(key)}' is not a key of a quantity. {did_you_mean(key, known, 'Its keys')}"


def quantity_without_value(path: str, text: str) -> str:
    """{source: ...} without a value."""
    return f"{path}: the quantity has no 'value'. Write for instance: {{value: {text or '1'}, source: assumed}}."


def between_pair(path: str) -> str:
    """`between` is not a pair."""
    return f"{path}: 'between' takes two values. Write for instance: between: [0.90, 0.97]."


def between_order(path: str) -> str:
    """The value is not between its ends."""
    return f"{path}: the value must lie between the two ends of 'between', the smaller one first."


def spread_twice(path: str) -> str:
    """± and between."""
    return f"{path}: the spread is given twice. Keep the one in 'value' or 'between', and remove the other."


def same_as_with(path: str, keys: Sequence[str]) -> str:
    """`same as` with a spread or source of its own."""
    return f"{path}: 'same as' takes value, spread and source from the other place. Remove {listed(keys)}."


def outside(path: str, shown: str, rule: str, limit: str, end: bool) -> str:
    """A quantity outside its limits."""
    what = f"{shown} at the end of its spread" if end else shown
    return f"{path} is {what}; it must be {rule}{' ' + limit if limit else ''}."


def word(path: str, text: str, known: Sequence[str]) -> str:
    """Not one of the words."""
    return f"{path}: '{clipped(text)}' is not one of the words here. {did_you_mean(text, known, 'Write one of')}"


def yes_no(path: str, text: str) -> str:
    """Not yes or no."""
    return f"{path}: '{clipped(text)}' is neither 'yes' nor 'no'. Write one of the two."


def direction(path: str) -> str:
    """Not a direction."""
    return f"{path}: a direction belongs here. Write x, -x, y, -y, z, -z or three numbers such as [0, 1, 1]."


def bad_name(path: str, name: str) -> str:
    """A name with signs that paths use."""
    where = f"{path}: " if path else ""
    return f"{where}'{clipped(name)}' cannot be a name. Names hold letters, digits, blanks and hyphens, and begin with a letter or digit."


def name_is_taken(path: str, name: str) -> str:
    """`frame` as the name of a shaft."""
    return f"{path}: '{clipped(name)}' has a meaning of its own in this file. Choose another name."


def kind_needed(path: str, known: Sequence[str]) -> str:
    """No kind."""
    return f"{path}: the key 'kind' is needed. Write one of: {listed(known)}."


def unknown_kind(path: str, text: str, known: Sequence[str]) -> str:
    """No such kind."""
    return f"{path}: '{clipped(text)}' is not a kind known here. {did_you_mean(text, known, 'Kinds')}"


def not_a_quantity(path: str, text: str, dimension: str, instead: str) -> str:
    """Text the door could not take at all."""
    return f"{path}: '{clipped(text)}' is not {a(dimension)}.{example(instead)}"


# Parts list.


def part_twice(name: str, place: str) -> str:
    """One name in the file and in the list, or twice in the list."""
    return f"The part '{clipped(name)}' stands already at {place}. Remove one of the two, or rename it."


def not_csv(why: str) -> str:
    """The list is no table."""
    return f"This line is not a line of a table ({clipped(why)}). Save the list again as CSV text with UTF-8."


def unknown_column(column: str, known: Sequence[str]) -> str:
    """A column no part has."""
    return f"'{clipped(column)}' is not a column of the parts list. {did_you_mean(column, known, 'Its columns')}"


def column_twice(column: str) -> str:
    """One column two times."""
    return f"The column '{clipped(column)}' stands twice. Remove one of the two."


def column_needed(column: str) -> str:
    """No name or no kind."""
    return f"The parts list needs the column '{column}'. Write its first line as: name,kind,source,read in,..."


def too_many_cells(found: int, columns: int) -> str:
    """A line longer than the header."""
    return f"This line has {found} cells under {columns} columns. Put a cell that holds a comma in double quotes."


def part_without_name() -> str:
    """No name."""
    return "This line has no name. Write one in the column 'name', or remove the line."
