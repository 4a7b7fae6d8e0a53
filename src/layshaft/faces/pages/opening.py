"""What a reader must know first: the next step, what is still needed, what everything rests on."""

from __future__ import annotations

from html import escape

from layshaft.faces.pages.givens import spread_words
from layshaft.faces.pages.verdict_table import reasons
from layshaft.faces.pages.words import cell, part_words, table
from layshaft.trace.findings import margin_text
from layshaft.trace.units import figure, parse_quantity, shown
from layshaft.verdict.guesses import Guess, guesses
from layshaft.verdict.needs import Need, needs, waiting
from layshaft.verdict.next_step import next_step
from layshaft.verdict.rate import Verdict


def step_first(verdict: Verdict) -> str:
    """The one next step."""
    return f'<p class="next"><b>Next step.</b> {escape(next_step(verdict, part_words))}</p>'


def needed(verdict: Verdict) -> str:
    """Parts to be found, with the smallest size that would hold; parts on their way. An HTML fragment."""
    found, coming = needs(verdict), waiting(verdict.solved.machine)
    blocks = []
    if found:
        rows = "".join(_need(n) for n in found)
        heads = "Part", "What it must do", "A size to start from"
        blocks.append(table("ledger needs", "Parts still to be found", heads, f"<tbody>{rows}</tbody>"))
    else:
        blocks.append("<p>Nothing is open: every part is chosen.</p>")
    if coming:
        rows = "".join(f'<tr><th scope="row">{escape(part_words(w.path))}</th>{cell("Size", escape(w.size))}'
                       f'{cell("State", escape(w.state))}</tr>' for w in coming)
        heads = "Part", "Size", "State"
        blocks.append(table("ledger coming", "Chosen, not here yet", heads, f"<tbody>{rows}</tbody>"))
    why = reasons(verdict.findings)
    if why:
        blocks.append(f"<h3>What is missing for a verdict</h3>{why}")
    return "".join(blocks)


def _need(n: Need) -> str:
    asked = ", ".join(f"{name} at least {shown(value, d)}" for name, value, d in n.ask_for)
    notes = " ".join([*([f"Ask for: {asked}."] if asked else []), *n.notes])
    what = f"{n.what}{f'; {n.sentence}' if n.sentence else ''}"
    return (f'<tr><th scope="row">{escape(part_words(n.path))}</th>{cell("What it must do", escape(what))}'
            f'{cell("A size to start from", escape(" ".join(p for p in (_size(n), notes) if p)))}</tr>')


def _size(n: Need) -> str:
    if n.smallest is not None:
        judged = " as far as it can be judged" if n.unjudged else ""
        return f"{n.smallest.candidate.name} is the smallest that holds{judged}."
    if n.nearest is not None and n.nearest.worst is not None:
        worst = n.nearest.worst
        return (f"No shipped size holds; nearest is {n.nearest.candidate.name}: {worst.mode} has margin "
                f"{margin_text(worst.margin)} where {figure(worst.required, 3)} is required.")
    return ""


def doubtful(verdict: Verdict) -> str:
    """Guesses among the givens one by one; weak sources of ratings by kind and part. An HTML fragment."""
    found = guesses(verdict)
    own = [g for g in found if g.path in verdict.solved.machine.givens]
    weak = [g for g in found if g.path not in verdict.solved.machine.givens]
    blocks = []
    if own:
        rows = "".join(f'<tr><th scope="row">{escape(part_words(g.path))}</th>'
                       f'{cell("Value and spread", escape(_value(verdict, g)))}'
                       f'{cell("Why", escape(_why(g)))}</tr>' for g in own)
        blocks.append(table("ledger guesses", "Assumed givens", ("Given", "Value and spread", "Why"),
                            f"<tbody>{rows}</tbody>"))
    else:
        blocks.append("<p>No given is assumed.</p>")
    if weak:
        blocks.append(_weak(weak))
    return "".join(blocks)


def _value(verdict: Verdict, g: Guess) -> str:
    """A guess as the builder wrote it, with the ends of its spread in the unit it was written in."""
    given = verdict.solved.machine.givens[g.path]
    unit = parse_quantity(given.written, given.dimension).unit if given.written and given.doubtful else ""
    spread = spread_words(given, unit or None)
    return (given.written or g.value) + (f", {spread}" if spread else "")


def _why(g: Guess) -> str:
    return g.why + (f"; stands in {g.shared_by} places" if g.shared_by > 1 else "")


def _count(n: int) -> str:
    return f"{n} verdicts that hold" if n > 1 else "1 verdict that holds"


def _weak(weak: list[Guess]) -> str:
    by_why: dict[str, dict[str, int]] = {}
    for g in weak:
        modes = by_why.setdefault(g.why, {})
        modes[g.value] = modes.get(g.value, 0) + 1
    items = "".join(
        f"<li><b>{escape(why[:1].upper() + why[1:])}.</b> {_count(sum(modes.values()))}: "
        f"{escape(', '.join(f'{mode} ({n})' for mode, n in modes.items()))}.</li>"
        for why, modes in by_why.items())
    return f'<p>Verdicts that hold on a source nobody has seen on a page:</p><ul class="weak">{items}</ul>'
