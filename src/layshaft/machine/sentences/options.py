"""What is said about options: changes that cannot be made."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import clipped, did_you_mean, listed


def no_option(name: str, known: Sequence[str]) -> str:
    """No option of that name in the file."""
    return f"There is no option '{clipped(name)}'. {did_you_mean(name, known, 'The file has')}"


def unknown_change(word: str, known: Sequence[str]) -> str:
    """Not one of set, add, remove, rename."""
    return f"'{clipped(word)}' is not a change. {did_you_mean(word, known, 'An option has')}"


def changes_are_paths(word: str) -> str:
    """`set` holds no map of paths."""
    return f"'{word}' takes paths with values. Write {word}: {{drives.weight.mass: 90 kg}}."


def removals_are_paths() -> str:
    """`remove` holds no list."""
    return "'remove' takes a list of paths. Write remove: [loads.bell]."


def not_a_path(path: str) -> str:
    """Text that is no path."""
    return (f"'{clipped(path)}' is not a path. "
            "Write for instance drives.weight.mass or stages.lens chain.teeth[1].")


def leads_nowhere(path: str, before: str, step: str, known: Sequence[str]) -> str:
    """A step that is not there."""
    where = f"'{before}' has" if before else "the file has"
    return (f"'{clipped(path)}' leads nowhere: {where} no '{clipped(step)}'. "
            f"{did_you_mean(step, known, 'It has')}")


def not_in_file(path: str) -> str:
    """To be removed, but not written."""
    return f"'{clipped(path)}' is not written in the file, so it cannot be removed. Leave it out of 'remove'."


def there_already(path: str) -> str:
    """To be added, but there."""
    return f"'{clipped(path)}' is there already. Use 'set' to change it, or add it under another name."


def not_a_name(path: str) -> str:
    """To be renamed, but a key of the format."""
    return (f"'{clipped(path)}' has no name of its own. "
            "Only things with names can be renamed, such as shafts.main.")


def name_taken(path: str, name: str) -> str:
    """The new name is in use."""
    return f"'{clipped(path)}' cannot be renamed to '{clipped(name)}': that name is taken. Choose another."


def value_wanted(path: str) -> str:
    """A value of a kind a file cannot hold."""
    return f"'{clipped(path)}' needs a text, a list or keys with values."


def list_too_short(path: str) -> str:
    """One element of a list that is not written."""
    return f"'{clipped(path)}' is one place of a list that is not in the file. Set the whole list."


def no_equals(text: str) -> str:
    """`--set` without `=`."""
    return f"'{clipped(text)}' has no '='. Write PATH=VALUE, for instance drives.weight.mass=90 kg."


def set_twice(path: str, words: Sequence[str]) -> str:
    """One path in two changes."""
    return f"'{clipped(path)}' stands in {listed(words)}. Change it once."
