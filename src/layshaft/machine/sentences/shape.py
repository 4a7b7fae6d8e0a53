"""What the shape pass says: keys, kinds, quantities, words."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import a, clipped, did_you_mean, example, listed


def unknown_key(path: str, key: str, kind: str, known: Sequence[str], value_empty: bool) -> str:
    """A key this kind does not have."""
    where = f"{path}: " if path else ""
    if ":" in key:
        before, after = (clipped(part.strip(), 40) for part in key.split(":", 1))
        return f"{where}'{clipped(key)}' has no blank after its colon. Write '{before}: {after}'."
    if value_empty and key[:1].isdigit():
        return (f"{where}'{clipped(key)}' stands alone after a comma. Write a number with a point, "
                "not a comma, and put a text that holds a comma in quotes.")
    return f"{where}'{clipped(key)}' is not a key of {kind}. {did_you_mean(key, known, 'Its keys')}"


def key_needed(path: str, key: str, kind: str, meaning: str, text: str) -> str:
    """A required key is not there."""
    who = f"{path}: {kind}" if path else kind[:1].upper() + kind[1:]
    return f"{who} needs the key '{key}' ({meaning}).{example(f'{key}: {text}' if text else '')}"


def nothing_written(path: str, text: str) -> str:
    """A key with no value."""
    return f"{path}: nothing is written here.{example(text)} Or remove the key."


def wants_a_map(path: str, kind: str) -> str:
    """A text or list where keys belong."""
    return f"{path}: keys with values belong here ({kind}). Write them on lines of their own, indented."


def wants_names(path: str, meaning: str) -> str:
    """A text or list where a collection belongs."""
    return (f"{path}: names belong here ({meaning}), each with its keys. "
            "Write 'name:' and its keys below it, indented.")


def wants_a_list(path: str, count: int | None, text: str) -> str:
    """A text or map where a list belongs."""
    many = f"a list of {count}" if count else "a list"
    return f"{path}: {many} belongs here.{example(text)}"


def values(count: int) -> str:
    """`1 value`, `3 values`."""
    return f"{count} value{'' if count == 1 else 's'}"


def wrong_count(path: str, found: int, count: int, text: str) -> str:
    """A list too long or too short."""
    return f"{path}: the list has {values(found)}; it needs {count}.{example(text)}"


def too_few(path: str, found: int, least: int, text: str) -> str:
    """A list too short."""
    return f"{path}: the list has {values(found)}; it needs at least {least}.{example(text)}"


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
    text = text or "1"
    return f"{path}: the quantity has no 'value'. Write for instance: {{value: {text}, source: assumed}}."


def between_pair(path: str) -> str:
    """`between` is not a pair."""
    return f"{path}: 'between' takes two values. Write for instance: between: [0.90, 0.97]."


def even_without_spread(path: str) -> str:
    """`even` where there is nothing to draw from."""
    return f"{path}: 'even' says how a spread is drawn, and there is none. Write 'between' too, or leave 'even' out."


def trim_keys(path: str) -> str:
    """A trim that does not say what for, or how far."""
    return (f"{path}: 'trim' says which want it is adjusted for, and both its stops. Write for instance: "
            "trim: {to: lens speed, between: [20 %, 100 %]}.")


def trim_of_whole(path: str) -> str:
    """Teeth cannot be adjusted."""
    return f"{path} is a whole number: it is chosen, not adjusted. Leave 'trim' out."


def trim_of_open(path: str) -> str:
    """Nothing to begin with."""
    return f"{path}: 'trim' needs a value to begin with. Write where it is set now instead of open."


def trim_and_spread(path: str) -> str:
    """What is adjusted is not in doubt."""
    return (f"{path}: what is adjusted is not in doubt, so it has no spread. Keep 'trim' with both its stops, or the "
            "spread, and remove the other.")


def trim_without_travel(path: str) -> str:
    """Both stops in one place."""
    return f"{path}: 'trim' has no travel: its two stops are the same. Write the smaller one first, then the larger."


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
    what, cure = (f"{shown} at the end of its spread", " Narrow the spread to what can be.") if end else (shown, "")
    return f"{path} is {what}; it must be {rule}{' ' + limit if limit else ''}.{cure}"


def word(path: str, text: str, known: Sequence[str]) -> str:
    """Not one of the words."""
    hint = did_you_mean(text, known, "Write one of")
    return f"{path}: '{clipped(text)}' is not one of the words here. {hint}"


def price(path: str, text: str, instead: str) -> str:
    """Not a price."""
    return (f"{path}: '{clipped(text)}' is not a price: a number with a point before its decimals, and the three "
            f"letters of its currency.{example(instead)}")


def yes_no(path: str, text: str) -> str:
    """Not yes or no."""
    return f"{path}: '{clipped(text)}' is neither 'yes' nor 'no'. Write one of the two."


def direction(path: str) -> str:
    """Not a direction."""
    return f"{path}: a direction belongs here. Write x, -x, y, -y, z, -z or three numbers such as [0, 1, 1]."


def bad_name(path: str, name: str) -> str:
    """A name with signs that paths use."""
    return (f"{path}: '{clipped(name)}' cannot be a name. Names hold letters, digits, single blanks and "
            "hyphens, and begin with a letter or digit.")


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
