"""What the text pass says: files, text, and what YAML may hold."""

from __future__ import annotations

from layshaft.machine.sentences.wording import clipped


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
    return (f"More than {most} levels stand inside one another. A machine file needs far fewer: "
            "check brackets and indentation.")


def anchor(name: str) -> str:
    """`&name`."""
    return (f"'&{name}' marks a value to be repeated, which a machine file does not use. "
            "Remove it, or put the text in quotes.")


def alias(name: str) -> str:
    """`*name`."""
    return (f"'*{name}' repeats a value, which a machine file does not use. Write the value out, "
            "'same as PATH' for a quantity, or put the text in quotes.")


def tag(name: str) -> str:
    """`!name`."""
    name = clipped(name.replace("tag:yaml.org,2002:", "!!"))
    return (f"'{name}' is a type mark, which a machine file does not use. "
            "Remove it, or put the text in quotes.")


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
        return f"'{clipped(key)}' is written twice, first in line {line}. Remove one, or rename it."
    return (f"'{clipped(key)}' and '{clipped(first)}' in line {line} differ in capitals only. "
            "Remove one of the two, or rename it.")


_TAB = "A tab stands where blanks belong. Indent with blanks."
_BRACKET = "A bracket is closed that was not opened. Remove it."
_QUOTE = "A quote is opened here and not closed. Close it with the same sign on its line."
_ESCAPE = "A backslash stands in double quotes. Use single quotes, or write it twice."
_BY_SIGN = {"\t": _TAB, "]": _BRACKET, "}": _BRACKET, ":": "There is no key before ':'. Write 'name: value'."}
_EARLIER = ("could not find expected ':'", "expected ',' or '}'", "expected ',' or ']'",
            "unexpected end of stream", "document indicator")
_BY_PROBLEM = (
    ("violate indentation", _TAB),
    ("mapping values are not allowed",
     "A ':' too many, or a wrong indentation. Put a text that holds ': ' in quotes, and line keys up."),
    ("block sequence entries are not allowed",
     "A '- ' begins a list where none can stand. Put the list on lines of its own, or in [ ]."),
    ("unexpected end of stream", _QUOTE),
    ("document indicator", _QUOTE),
    ("could not find expected ':'",
     "A line here has no ':'. Write 'key: value', and put a text that goes over lines in quotes."),
    ("expected ',' or '}'",
     "A '{' is opened here and not closed, or a ',' is missing. Write {key: value, key: value}."),
    ("expected ',' or ']'",
     "A '[' is opened here and not closed, or a ',' is missing. Write [value, value]."),
    ("did not find expected key",
     "The indentation does not fit, or text follows a value that has ended. Line keys up under one another."),
    ("did not find expected '-' indicator",
     "The lines of this list do not line up. Begin each with '- ' at the same column."),
    ("expected <document start>",
     "Text follows where the file had ended. Line keys up under one another, and close brackets once."),
    ("node content", "A value is missing. Write 'key: value'."),
    ("alphabetic or numeric character", "A text cannot begin with '&' or '*'. Put it in quotes."),
    ("cannot start any token", "A text cannot begin with this sign. Put it in quotes."),
    ("escape", _ESCAPE),
    ("hexdecimal", _ESCAPE),
    ("control characters", "A control character stands in this line. Remove it."),
    ("exceeded maximum nesting", "Too many brackets stand inside one another. Check brackets."),
)


def begins_earlier(problem: str) -> bool:
    """True where the parser notices late what began at its context mark."""
    return any(sign in problem for sign in _EARLIER)


def open_quote() -> str:
    """A quote that swallowed lines."""
    return _QUOTE


def not_yaml(problem: str, at: str) -> str:
    """What the parser of the text stumbled over, in the builder's words; `at` is the sign there."""
    if not begins_earlier(problem) and at in _BY_SIGN and "mapping values" not in problem:
        return _BY_SIGN[at]
    for sign, sentence in _BY_PROBLEM:
        if sign in problem:
            return sentence
    return (f"The text cannot be read from here on ({clipped(problem)}). "
            "Check quotes, brackets and indentation.")
