"""Every given of the machine file: value, spread, where it came from; guesses marked."""

from __future__ import annotations

from html import escape

from layshaft.faces.pages.words import cell, part_words, short, table
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice, Given

HEADS = ("Given", "Value", "Spread", "Source", "Note")
GUESS = '<span class="guess">guess</span>'


def givens(machine: Machine) -> str:
    """All that is given or open, by the thing it belongs to. An HTML fragment."""
    groups: dict[str, list[tuple[str, Given | Choice]]] = {}
    for thing in machine.leaves:
        if thing.state != "missing":
            owner, name = _in_two(thing.path)
            groups.setdefault(owner, []).append((name, thing))
    bodies = "".join(
        f'<tbody><tr class="band"><th scope="rowgroup" colspan="{len(HEADS)}">{escape(owner or "machine")}</th></tr>'
        f"{''.join(_row(name, thing) for name, thing in things)}</tbody>"
        for owner, things in groups.items())
    return table("ledger givens", "Givens, as the machine file states them", HEADS, bodies, (1,))


def _in_two(path: str) -> tuple[str, str]:
    """The thing a given belongs to, and what it is called there."""
    words = path.split(".")
    owner = ".".join(words[:2 if len(words) > 2 else 1])
    said = part_words(path)
    return (part_words(owner), said.partition(", ")[2] or said) if len(words) > 1 else ("", said)


def _row(name: str, thing: Given | Choice) -> str:
    if isinstance(thing, Choice):
        value = escape(thing.name) if thing.known else '<span class="openly">not chosen</span>'
        return (f'<tr><th scope="row">{escape(name)}</th>{cell("Value", value, "num")}{cell("Spread", "")}'
                f'{cell("Source", "chosen size" if thing.known else "")}{cell("Note", "")}</tr>')
    value = escape(thing.written or _nominal(thing)) if thing.known else '<span class="openly">not chosen</span>'
    spread = spread_words(thing)
    mark = f" {GUESS}" if thing.is_guess else ""
    shared = f"same as {part_words(thing.cause)}" if thing.cause and thing.cause != thing.path else ""
    said = ", ".join(part for part in (thing.note, shared, thing.who, thing.when) if part)
    css = ' class="is-guess"' if thing.is_guess else ""
    return (f'<tr{css}><th scope="row">{escape(name)}</th>{cell("Value", value, "num")}{cell("Spread", escape(spread))}'
            f'{cell("Source", escape(thing.source if thing.known else "") + mark)}{cell("Note", escape(said))}</tr>')


def spread_words(given: Given, unit: str | None = None) -> str:
    """The two ends of a spread, the unit once where both share it; in `unit`, or in what suits each."""
    if not given.doubtful or given.low is None or given.high is None:
        return ""
    low, high = (short(end, given.dimension, unit=unit) for end in (given.low, given.high))
    both = high.partition(" ")[2]
    return f"{low.removesuffix(both).strip() if both and low.endswith(f' {both}') else low} to {high}"


def _nominal(given: Given) -> str:
    return short(given.nominal, given.dimension)
