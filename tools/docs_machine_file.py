"""docs/machine-file.md: every key of every kind of thing, from the descriptions the reader uses."""

import inspect
import math

import docs_text
from docs_text import code, table

from layshaft.machine import kinds, model, schema
from layshaft.trace.units import shown

GROUPS = (("Drives", kinds.DRIVES, "drives"), ("Stages", kinds.STAGES, "stages"), ("Loads", kinds.LOADS, "loads"),
          ("Hubs", kinds.HUBS, "hubs"), ("Pieces of a wheel", kinds.BODIES, "pieces"),
          ("Fixings", kinds.FIXINGS, "fixings"), ("Springs", kinds.SPRINGS, "springs"),
          ("Frames", kinds.FRAMES, "frames"), ("Own listings", kinds.PARTS, "parts"))

ABOUT = """The machine file is YAML in UTF-8. Every value is kept as written and typed by its key. Names
hold letters, digits, blanks and hyphens, and are unique without regard to case; a path such as
`shafts.main.seats.left bearing.at` names one line. What a key may leave open takes the word `open`.
A quantity or listing that is not in the file is missing: what needs it is unknown, never a silent
default."""

QUANTITIES = """A quantity is a number with its unit: `25 mm`, `30 rpm`, `118 kg ± 2 kg`, `about 700 mm`. Or it is
written out: `{value: 118 kg, between: [115 kg, 121 kg], source: measured, note: two scales, who: the
builder, when: 2024-05-01}`. `source` is one of SOURCES; without one it is `decided`. Between its ends
a spread is drawn from a triangle with the value on top, evenly with `even: yes`, and from a normal
distribution where it is decided or measured. `same as PATH` takes
value and doubt from another line of the file, so both draw the same sample. `guessed` beside a
measured value is what it was thought to be before, such as `0.95 between 0.90 and 0.97`: `check` holds both against
each other.

What is adjusted on the machine is not in doubt: `{value: 80 %, trim: {to: lens speed, between: [20 %, 100 %]}}` says
the want it is there for and both its stops. Nothing moves it in a check, which tells where it is to stand; under doubt
it is set anew in every draw, so that the want comes out if it can. The want must ask a speed with its shaft, a time per
winding, a handle force or a start ratio; the first of them that it has counts.
""".strip().replace("SOURCES", ", ".join(f"`{w}`" for w in schema.SOURCE_WORDS))


def plain_kinds():
    """What is written out without a `kind`, in the order in which the file comes upon it."""
    found, waiting = [], [model.Machine, *(kind for _, group, _ in GROUPS for kind in group.values())]
    for kind in waiting:
        inside = [k.reads.item if isinstance(k.reads, schema.MapOf) else k.reads for _, k in schema.keys(kind).values()]
        for below in inside:
            if isinstance(below, type) and below not in found:
                found.append(below)
                waiting.append(below)
    return found


def page_of_kinds():
    parts = [ABOUT, QUANTITIES, "## The file", keys_table(model.Machine)]
    for kind in plain_kinds():
        parts += [f"## {kind.__name__}", meaning(kind), keys_table(kind)]
    for title, group, collection in GROUPS:
        parts.append(f"## {title}")
        shared = common(list(group.values()))
        if shared:
            parts += [f"All {collection} have these keys, besides `kind`:",
                      keys_table(next(iter(group.values())), only=shared)]
        for name, kind in group.items():
            parts += [f"### kind: {name}", meaning(kind), keys_table(kind, leave=shared) or "No further keys."]
    return parts


def page():
    return docs_text.page("The machine file", *page_of_kinds())


def meaning(kind):
    return inspect.cleandoc(kind.__doc__ or "").splitlines()[0]


def common(group):
    """Keys that every kind of a group has, described alike."""
    first, *others = [schema.keys(kind) for kind in group]
    return {name for name, (_, k) in first.items() if all(name in o and o[name][1] == k for o in others)}


def keys_table(kind, only=None, leave=()):
    rows = [[code(name), k.meaning, reads(k.reads), code(k.example), must(k)]
            for name, (_, k) in schema.keys(kind).items() if name not in leave and (only is None or name in only)]
    return table(["Key", "Meaning", "Holds", "Example", "Must it be there"], rows) if rows else None


def must(k):
    return ", ".join(w for w, yes in (
        ("required", k.required), ("may be open", k.may_be_open), ("kept, not reckoned with yet", k.idle)) if yes)


def reads(r):
    """What a key holds, in words."""
    if isinstance(r, type):
        return f"keys of {r.__name__}"
    say = SAY.get(type(r))
    return say(r) if say else ""


def quantity(r):
    """Dimension, unit and limits."""
    limits = [(r.above, "more than"), (r.at_least, "at least"), (r.at_most, "at most")]
    words = [f"{word} {shown(value, r.dimension)}".strip() for value, word in limits if math.isfinite(value)]
    kind = "whole number" if r.whole else r.dimension.name
    unit = "" if r.whole or not r.dimension.shown[0] else f" in {', '.join(usual(r.dimension))}"
    return ", ".join([f"{kind}{unit}", *words])


def usual(dimension):
    """The unit it is printed in first, then others; four in all."""
    return list(dict.fromkeys([dimension.shown[0], *(u for u in dimension.units if u.isascii() and u != '"')]))[:4]


def plain(words):
    """The same words for every key of this sort."""
    return lambda _: words


SAY = {
    schema.Quantity: quantity,
    schema.Listing: lambda r: f"size of a {r.what}, from the tables or from `parts`",
    schema.Text: plain("text"),
    schema.Money: plain("a price and its currency"),
    schema.YesNo: plain("`yes` or `no`"),
    schema.Word: lambda r: "one of " + ", ".join(code(c) for c in r.choices),
    schema.Ref: lambda r: f"name in `{r.collection}`" + "".join(f" or `{w}`" for w in r.also),
    schema.SeatOn: lambda r: "name of a seat" + (" on each of the two shafts, as a list" if len(r.shafts) == 2 else ""),
    schema.Direction: plain("`x`, `-x`, `y`, ... or three numbers"),
    schema.ListOf: lambda r: f"list of {r.count or 'any number'}: {reads(r.item)}",
    schema.Row: lambda r: "; ".join(reads(item) for item in r.items),
    schema.MapOf: lambda r: f"names, each with the keys of {r.item.__name__}",
    schema.QuantityMap: lambda r: f"names, each with a {r.dimension.name}",
    schema.KindMap: lambda r: "names, each with `kind`: " + ", ".join(code(k) for k in r.kinds),
    schema.KindOf: lambda r: "keys, with `kind`: " + ", ".join(code(k) for k in r.kinds),
    schema.Raw: plain("names, each with `set`, `add`, `remove`, `rename`"),
}
