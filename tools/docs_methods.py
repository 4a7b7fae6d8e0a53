"""docs/methods.md and docs/glossary.md: every formula and every symbol, from the registry."""

import inspect
from collections import Counter, defaultdict
from itertools import groupby

import lock_checks
from docs_text import code, page, table

from layshaft.listings import tables
from layshaft.trace.registry import inputs_in, load_all, meaning_of, modules_of_room, room_of
from layshaft.trace.source import WEAK
from layshaft.trace.text import info_text

TRUST = {
    "read": "read on the page", "second text": "read in a second text",
    "from memory": "from memory: a guess until read", "typical": "a typical value: a guess",
    "derived": "derived here", "common practice": "common practice, no single source",
    "given": "given in the machine file",
}


def room_title(room):
    floor, name = room.split(".")
    return f"{name.replace('_', ' ').capitalize()} ({floor})"


def unit(dimension):
    return dimension.shown[0]


def about(room):
    """First sentence of the room's own text."""
    head = next((m for m in modules_of_room(room) if m.__name__ == f"layshaft.{room}"), None)
    return ((head.__doc__ or "").strip().splitlines() or [""])[0] if head else ""


def source(info):
    work = ", ".join(p for p in (info.source.work, info.source.place) if p)
    return work, info.source.obtained


def covered(cover):
    """Checks by what they stand on, and the share of planted slips they notice."""
    if cover is None:
        return "not yet counted", ""
    said = [f"{n} {kind}" for n, kind in zip(cover[:3], ("published", "from memory", "closed form"), strict=True) if n]
    return ", ".join(said) or "none", f"{cover.share:.0%}" if cover.planted else ""


def left_out(room):
    """What the methods of a room leave out: the rest of the room's own text."""
    head = next((m for m in modules_of_room(room) if m.__name__ == f"layshaft.{room}"), None)
    said = inspect.cleandoc(head.__doc__ or "").split("\n\n", 1) if head else []
    return " ".join(said[1].split()) if len(said) > 1 else ""


def methods():
    cover = lock_checks.locked()
    formulas = sorted(load_all().values(), key=lambda i: (room_of(i), i.name))
    counted = Counter(i.source.obtained for i in formulas)
    parts = [
        f"{len(formulas)} formulas, each a pure function; the text of a formula is read from its own code. "
        "Where a formula does not hold the result is unknown, never a guess. A rating that rests on a method or "
        "value marked 'from memory' or 'typical' says so beside its verdict.",
        "Checks are tests against something outside the house: values published in print or read in a second text, "
        "values from memory (they pin consistency, not truth), closed forms and general libraries. Slips are faults "
        "planted one at a time; the share the checks notice says how much they prove. Where no share stands they have "
        "not been planted since the last change.",
        weakest(cover),
        table(["Trust", "Means", "Formulas"], [[t, TRUST[t], counted[t]] for t in TRUST if counted[t]]),
    ]
    for room, infos in groupby(formulas, room_of):
        parts += [f"## {room_title(room)}", about(room), left_out(room), table(
            ["Formula", "Meaning", "Unit", "Source", "Trust", "Unknown where", "Checks", "Slips noticed", "Version"],
            [[code(f"{i.symbol} = {info_text(i)}"), f"{i.meaning} (`{i.name}`)", unit(i.dimension), *source(i),
              i.outside, *covered(cover.get(i.name)), i.version] for i in infos])]
    return page("Methods", *parts, "## Tables", tables_part())


def weakest(cover):
    """Formulas of whose slips the checks notice less than nine in ten, by name."""
    low = sorted((c.share, name) for name, c in cover.items() if c.planted and c.share < 0.9)
    return "Below nine in ten: " + ", ".join(f"`{n}` {s:.0%}" for s, n in low) + "." if low else ""


def tables_part():
    rows = []
    for name in tables.table_names():
        t = tables.table(name)
        kinds = Counter(r.source.obtained for r in t.rows)
        trust = ", ".join(f"{kind} ({n})" for kind, n in kinds.most_common())
        rows.append([code(name), t.title, t.source.work, trust, "yes" if set(kinds) & WEAK else ""])
    return table(["Table", "Holds", "Source", "Trust of its rows", "Guesses in it"], rows)


def glossary():
    """One line for each meaning of a symbol, with the rooms that use it so."""
    used = defaultdict(set)
    for info in load_all().values():
        room = room_of(info)
        used[info.symbol, info.meaning, unit(info.dimension)].add(room)
        for name, dimension in info.dimensions.items():
            used[name, meaning_of(info, name), unit(dimension)].add(room)
        for module in modules_of_room(room):
            for cls in inputs_in(module):
                for f in cls.quantities():
                    used[f.name, f.metadata["meaning"], unit(f.metadata["dimension"])].add(room)
    in_order = sorted(used.items(), key=lambda u: (u[0][0].casefold(), *map(str, u[0])))
    rows = [[code(symbol), meaning, shown, ", ".join(sorted(r.split(".")[1].replace("_", " ") for r in rooms))]
            for (symbol, meaning, shown), rooms in in_order]
    return page("Glossary",
                "Every symbol of the formulas with its meanings. Within a room a symbol has one meaning. "
                "Inside the house every number is in SI; the unit is the one it is printed in. Index 1 is "
                "the driving or small side.",
                table(["Symbol", "Meaning", "Unit", "Used in"], rows))
