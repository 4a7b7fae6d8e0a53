"""The room of one part: its verdicts, givens, neighbouring sizes, life against speed, sheets, plain words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from html import escape

from layshaft.faces.pages.given_forms import Sending, given_forms, things_at
from layshaft.faces.pages.sheets import bound_of, sheet_page
from layshaft.faces.pages.sizes import sizes
from layshaft.faces.pages.sources import sourced
from layshaft.faces.pages.speeds import speeds
from layshaft.faces.pages.verdict_table import key, verdict_tables
from layshaft.faces.pages.walk import walk_pages
from layshaft.faces.pages.words import in_words, part_words, verdict_words
from layshaft.machine.model import Machine
from layshaft.trace.findings import Finding
from layshaft.trace.sheet import source_text
from layshaft.verdict.ladder import Ladder, ladder
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import Tried
from layshaft.verdict.sweeps import speed_sweeps
from layshaft.verdict.teaching import walks

Link = Callable[[str], str]
Choose = Callable[[str, Tried], str]
SIZED = ("stages", "shafts", "drives", "loads", "springs", "fixings", "frames")
"""What has sizes at all; a module, a want or a venue has none."""

ON_A_SEAT = ("bearing", "key", "hub", "bush")


@dataclass(frozen=True, slots=True)
class Shown:
    """How much of a part is worked out: all of its sheets or the worst one, the plain words or the way to them."""

    every_sheet: bool = True
    words: bool = True
    guesses: bool = True
    """Whether the sheets name the guesses further up that move their inputs: the machine is solved again for them."""

    more: str = ""
    """Address of the same page, to which `&sheets=1` or `&words=1` is added."""

    beside: str = ""
    """More to say of its sizes."""

    rungs: tuple[Ladder, ...] | None = None
    """The sizes about its own, where they are worked out already."""

    paper: str = ""
    """The way to the sheets on paper."""

    save: Callable[[int], str] = lambda _: ""
    """Markup that saves the chart of a number."""


def part_page(verdict: Verdict, path: str, link: Link, choose: Choose, way: Sending) -> str:
    """Everything about one part. `link` gives the address of another, `choose` the markup that takes a size.

    An HTML fragment.
    """
    return part_head(verdict, path) + part_body(verdict, path, link, choose, way, Shown())


def part_head(verdict: Verdict, path: str) -> str:
    """Its name and its verdicts."""
    found = verdict.of(path)
    tables = verdict_tables(found) if found else "<p>Nothing is rated here.</p>"
    return (f'<section class="part-head"><h1>{escape(part_words(path))}</h1><p class="note">In the machine file: '
            f"<code>{escape(path)}</code></p>{tables}</section>")


def part_body(verdict: Verdict, path: str, link: Link, choose: Choose, way: Sending, shown: Shown) -> str:
    """Its givens, sizes, speeds, plain words and sheets."""
    machine = verdict.solved.machine
    rungs = shown.rungs if shown.rungs is not None else tuple(ladders(verdict, path))
    return "".join([
        mend(rungs, choose),
        _section("givens", "What is given", _givens(machine, path, link, way)),
        _section("sizes", "One size up or down", _sizes(verdict, path, rungs, choose) + shown.beside),
        _section("speeds", "Against its speed", speeds(speed_sweeps(verdict, path), shown.save)),
        _section("plain", "What the numbers mean", _words(verdict, path, shown)),
        _section("sheets", "Calculation sheets", sourced(_sheets(verdict, path, shown), machine, path, link)),
    ])


def _words(verdict: Verdict, path: str, shown: Shown) -> str:
    if shown.words:
        return walk_pages(walks(verdict, path))
    return (f'<p><a href="{escape(shown.more)}&amp;words=1#plain">Walk through it in plain words</a>: what it is for, '
            "what each step does, what moves the answer, and how to check it with a pencil.</p>"
            if {key(f) for f in verdict.of(path)} - {key(f) for f in verdict.whole} else "")


def _sheets(verdict: Verdict, path: str, shown: Shown) -> str:
    """All sheets, or the worst one and the way to the others."""
    whole = {key(f) for f in verdict.whole}
    found = verdict.of(path)
    aside = measured([f for f in found if key(f) in whole])
    count = len({(f.part, f.place, f.title) for f in found if key(f) not in whole})
    every = shown.every_sheet or count == 1
    bound = bound_of(verdict, path, most=0 if every else 1, guesses=shown.guesses)
    more = ("" if every or not bound else
            f'<p><a href="{escape(shown.more)}&amp;sheets=1#sheets">All its sheets</a>, not only the worst one</p>')
    later = ("" if shown.guesses or not bound else
             f'<p class="case">Guesses further up that move these inputs stand here when the machine has been run '
             f'again, or <a href="{escape(shown.more)}&amp;guesses=1#sheets">at once</a>.</p>')
    return (shown.paper if bound else "") + "".join(sheet_page(b) for b in bound) + later + more + aside


def measured(found: Sequence[Finding]) -> str:
    """What is seen on the machine as a whole and has no sheet: what is asked, what there is, and whence. A fragment."""
    items = "".join(
        f"<li><b>{escape(f.mode)}</b>{f', {escape(f.place)}' if f.place else ''}: {_seen(f)} "
        f'<span class="case">{escape(_sentence(f.note))} Source: {escape(source_text(f.source))}.</span></li>'
        for f in found)
    return (f'<div class="measured"><p>Seen on the machine as a whole (its places, a run, what a loss leaves), not '
            f"worked out by a formula of this part:</p><ul>{items}</ul></div>") if items else ""


def _seen(f: Finding) -> str:
    if f.verdict == "unknown":
        return f"unknown, {escape(f.reason.replace('`layshaft run`', 'run the machine first'))}."
    if f.one_at_least:
        return f"{verdict_words(f.verdict)}. {escape(in_words(replace(f, note='')))}"
    return (f"{escape(f.demand_text)} is asked, {escape(f.rating_text)} is there: {verdict_words(f.verdict)} with "
            f"{escape(f.margin_text)} of {f.required:.3g} ({escape(f.title)}).")


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") or not text else ".")


def _section(name: str, title: str, body: str) -> str:
    return f'<section class="part-{name}" id="{name}"><h2>{escape(title)}</h2>{body}</section>' if body else ""


def _givens(machine: Machine, path: str, link: Link, way: Sending) -> str:
    blocks = ['<p class="note">Write a value with its unit, such as 12.7 mm or 1/2 in, and press <i>Try it</i>: the '
              "whole machine is worked out again. Under each value stands where it comes from and how far it may be "
              "off; <i>change</i> opens both. A cleared field takes its line out of the file.</p>"]
    for i, thing in enumerate(things_at(machine, path)):
        title = f"<h3>{escape(part_words(thing.path))}, as the file lists it</h3>" if i else ""
        blocks.append(title + given_forms(machine, thing, way))
    return ("".join(blocks) if len(blocks) > 1 else "") + _beside(machine, path, link)


def _beside(machine: Machine, path: str, link: Link) -> str:
    """The way to what sits on a shaft, and from a seat back to its shaft."""
    words = path.split(".")
    shaft = machine.shafts.get(words[1]) if words[0] == "shafts" and len(words) > 1 else None
    if shaft is None:
        return ""
    others = [seat.path for seat in shaft.seats.values() if not f"{path}.".startswith(f"{seat.path}.")]
    others = others if path == shaft.path else [shaft.path, *others]
    items = "".join(f'<li><a href="{escape(link(p))}">{escape(part_words(p))}</a></li>' for p in others)
    return f'<nav class="beside" aria-label="On the same shaft"><h3>On the same shaft</h3><ul>{items}</ul></nav>'


def mend(rungs: Sequence[Ladder], choose: Choose) -> str:
    """The nearest size that holds, where the one there is does not. An HTML fragment; blank where there is none."""
    for one in rungs:
        if one.now < 0 or one.tried[one.now].holds:
            continue
        holding = [i for i, t in enumerate(one.tried) if t.holds and t.answers]
        if holding:
            found = one.tried[min(holding, key=lambda i, now=one.now: (abs(i - now), i < now))]  # type: ignore[misc]
            return (f'<div class="next"><p><b>One change that mends it.</b> {escape(part_words(one.path))} as '
                    f"<b>{escape(found.candidate.name)}</b> holds in all that its size decides, with the loads as they "
                    f"are. Taken, it is a draft: what else it moves is told then.</p>{choose(one.path, found)}</div>")
    return ""


def _sizes(verdict: Verdict, path: str, there: Sequence[Ladder], choose: Choose) -> str:
    """The ladders of a part and of what sits on its seat; those that have no series are named once."""
    words = path.split(".")
    seat = words[0] == "shafts" and len(words) == 4
    if not there:
        return "" if seat or words[0] not in SIZED else sizes(ladder(verdict, path))
    titles = [f"<h3>{escape(part_words(one.path))}</h3>" if seat else "" for one in there]
    return "".join(title + sizes(one, lambda t, p=one.path: choose(p, t))  # type: ignore[misc]
                   for title, one in zip(titles, there, strict=True))


def ladders(verdict: Verdict, path: str) -> list[Ladder]:
    """The sizes about that of a part; of a seat, those of everything that sits on it."""
    words = path.split(".")
    seat = words[0] == "shafts" and len(words) == 4
    found = [ladder(verdict, p) for p in ([f"{path}.{what}" for what in ON_A_SEAT] if seat else [path])]
    return [one for one in found if one.tried]
