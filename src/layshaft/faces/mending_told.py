"""What would mend a finding, in words for who builds it, and as plain data; for the command line and the desk."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict
from textwrap import wrap
from typing import Any

from layshaft.faces.pages.words import WHOLE, part_words
from layshaft.study.changes import Change, Mending, Step
from layshaft.study.harms import Harm
from layshaft.study.mending import as_plain
from layshaft.trace.findings import Finding
from layshaft.verdict.runaways import MODE as RUN_AWAY

WIDE = 100
MOST_HARMS = 4
"""Harms that are told of a change that is not offered, what can hurt people first."""

HARMLESS = "Nothing else begins to fail, and nothing that fails or is thin gets worse."
REFUSED = "Each of these makes worse what can hurt somebody and does not hold."
SAFE = "What mends a number does not make it safe: local codes and a licensed person decide."


def mending_text(found: Mending) -> str:
    """The answer as sentences."""
    lines = _filled(f"{state_of(found.finding)}.", "")
    if found.finding.hurts:
        lines += _filled(f"At risk: {found.finding.hurts}. {SAFE}", "")
    lines.append("")
    if found.changes:
        lines += _filled(lead_words(found), "")
        for n, c in enumerate(found.changes, 1):
            lines += [*_filled(f"{change_words(c)}. {then_words(c)}", f"  {n}. "), *_filled(by_command(c), "     ")]
            spare = found.spare.get(c.what)
            lines += _filled(spare_words(spare), "     ") if spare is not None else []
    else:
        lines += _filled(none_words(found), "")
    if found.but:
        lines += ["", "These would mend it, at a cost:"]
        for c in found.but:
            lines += _filled(f"{change_words(c)}. {but_words(c)}", "  - ")
    if found.refused:
        lines += ["", *_filled(f"Not offered, because of people. {REFUSED}", "")]
        for c in found.refused:
            lines += _filled(f"{change_words(c)}. {but_words(c)}", "  - ")
    if found.opens:
        lines += ["", "With these it no longer fails, but is not known either:"]
        for c in found.opens:
            lines += _filled(f"{change_words(c)}.", "  - ")
    lines += ["", *_filled(counted(found), "")]
    return "\n".join(lines)


def _filled(text: str, head: str) -> list[str]:
    """Lines no longer than the page, the first with a head."""
    return wrap(text, WIDE, initial_indent=head, subsequent_indent=" " * len(head), break_long_words=False)


def state_of(f: Finding) -> str:
    """What the finding says now."""
    place = f", {f.place}" if f.place else ""
    return (f"{f.part}{place}: {f.mode} {'is thin' if f.verdict == 'thin' else 'fails'} with margin {f.margin_text} "
            f"where {_three(f.required)} is required ({f.title})")


def lead_words(found: Mending) -> str:
    """What the answers have in common."""
    if found.pairs and not (found.options or found.values):
        return "No single change mends it. Each of these pairs would, the least change first:"
    return "Each of these alone would mend it, the file's own options first, then the least change:"


def change_words(c: Change) -> str:
    """What to do, and what the finding says then, as one would say it to who builds it."""
    do = " and ".join(step_words(step) for step in c.steps)
    do = do[:1].upper() + do[1:]
    f = c.found
    if f.verdict == "unknown":
        return f"{do}: then {f.mode} is unknown, {f.reason or 'something is missing'}"
    says = "it holds" if f.verdict == "holds" else "it comes"
    return f"{do}: {says} {'with' if f.verdict == 'holds' else 'to'} {f.margin_text} of {_three(f.required)}"


def step_words(step: Step) -> str:
    """One value or size to be changed."""
    head, _, key = step.what.rpartition(".")
    if not step.then:
        return f"take the {step.what}"
    if step.listed:
        return f"take {step.then} instead of {step.was} for {part_words(step.what)}"
    if key == "at":
        return f"move {part_words(head)} to {step.then} on its shaft, now {step.was}"
    if key.startswith("at["):
        return f"move {part_words(head)} to {'xyz'[int(key[3])]} = {step.then}, now {step.was}"
    return f"make {part_words(step.what)} {step.then} instead of {step.was}"


def by_command(c: Change) -> str:
    """How the same is tried on the command line."""
    first = c.steps[0]
    if not first.then:
        return f"--option '{first.what.removeprefix('option ')}'"
    return " ".join(f"--set '{path}={value}'" for path, value in c.option.get("set", {}).items())


def then_words(c: Change) -> str:
    """What else it changes."""
    said = [f"Also mended: {_named(c.better)}."] if c.better else []
    said += [f"Weaker, but not failing: {_named(c.worse)}."] if c.worse else []
    return " ".join([HARMLESS, *said])


def spare_words(c: Change) -> str:
    """The same value moved further."""
    return f"With something to spare: {c.steps[0].then} holds with {c.found.margin_text} of {_three(c.found.required)}."


def but_words(c: Change) -> str:
    """What it costs."""
    return f"But then: {_harmed(c)}."


def _harmed(c: Change) -> str:
    """What it makes worse, in a row."""
    said = [not_run_words(c), *(harm_words(h) for h in told_harms(c)), more_words(c)]
    return "; ".join(words for words in said if words)


def not_run_words(c: Change) -> str:
    """That nothing a run says is known with it, where it was without; blank where it can be run."""
    return f"it cannot be run over time, so what a run says is not known: {why_not(c.not_run)}" if c.not_run else ""


def why_not(not_run: str) -> str:
    """Why a machine cannot be run, without the command that is named beside it, and no stop."""
    return not_run.partition(" `layshaft")[0].rstrip(".")


def told_harms(c: Change) -> list[Harm]:
    """What is told of what it makes worse, what can hurt people first."""
    return list(c.harms[:_most(c)])


def _most(c: Change) -> int:
    """Of what can be taken everything but the longest lists; of what cannot, enough to say why."""
    return MOST_HARMS if c.refused else 3 * MOST_HARMS


def more_words(c: Change) -> str:
    """How many of them are not told, and how many of these can hurt somebody; blank where all are."""
    return left_words(c.harms[_most(c):])


def left_words(rest: Sequence[Harm]) -> str:
    """How many harms are not told one by one, and how many of these can hurt somebody; blank where there are none."""
    hurting = sum(bool(h.now.hurts) for h in rest)
    who = f", {hurting} of them can hurt somebody" if hurting else ""
    return f"and {len(rest)} more{who}" if rest else ""


def harm_words(harm: Harm) -> str:
    """One finding a change makes worse, by name: what it was, what it is then, what is required, who is at risk."""
    return f"{part_words(harm.now.part)}, {worse_words(harm)}"


def worse_words(harm: Harm) -> str:
    """The same without the part."""
    f = harm.now
    known = f.mode != RUN_AWAY and math.isfinite(f.required)
    required = f" where {_three(f.required)} is required" if known else ""
    return f"{f.mode}{_at(harm)} {_moves(harm)}{required}" + (f" (at risk: {f.hurts})" if f.hurts else "")


def _at(harm: Harm) -> str:
    """At which of its places a part gets worse, where it has several."""
    place = "" if harm.now.place == WHOLE else harm.now.place
    more = f"{harm.more} more place{'s' if harm.more > 1 else ''}" if harm.more else ""
    return f" at {' and '.join(words for words in (place, more) if words)}" if place or more else ""


def _moves(harm: Harm) -> str:
    """From what to what it goes; a run-away has no figures."""
    f, was = harm.now, harm.was
    word = was.verdict if was is not None else ""
    before = was.margin_text if was is not None and word != "unknown" and math.isfinite(was.margin) else ""
    if was is not None and before and _three(was.required) != _three(f.required):
        before += f" of {_three(was.required)}"
    figures = f" {f'from {before} to' if before else 'with'} {f.margin_text}" if f.mode != RUN_AWAY else ""
    if f.verdict == "unknown":
        return f"is not known{' any more' if before else ''}" + (f", {before} before" if figures and before else "")
    if word == f.verdict:
        return f"{'fails' if word == 'fails' else 'is thin'} already and falls{figures}"
    if word == "unknown":
        return f"was not known and fails{figures and ','}{figures}"
    if f.verdict == "fails":
        return f"begins to fail{figures and ','}{figures}"
    return f"is thin and falls{figures}"  # it failed: nearer to one now, and yet further from what is required there


def none_words(found: Mending) -> str:
    """That nothing mends it, what comes nearest, and what stands in the way."""
    if not found.sizes:
        note = found.finding.note.strip()
        return ("No size mends this: whatever its size, it can be lost, and something else must hold then. "
                f"{note[:1].upper()}{note[1:]}").strip()
    came = "So far no" if found.stopped else "No"
    two = found.paired > 0
    tried = f"{came} single change{' and no two together' if two else ''} mend{'' if two else 's'} it without harm"
    near, way = found.nearest, found.in_the_way
    said = [f"{tried}."]
    if near is not None:
        said.append(f"The nearest: {change_words(near)}.")
    if way is not None and not found.but:
        lead = "Nearer still, at a cost" if near is not None else "What brings it nearer costs another"
        said.append(f"{lead}: {change_words(way)}. {but_words(way)}")
    if near is None and (way is None or found.but):
        said.append("None that was tried brings it nearer without harm.")
    said.append(pairs_words(found))
    return " ".join(said)


def pairs_words(found: Mending) -> str:
    """Whether two together were tried, and how the best of them came out."""
    best = found.best_pair
    if not found.paired:
        return "" if found.stopped else "No two together were tried: of single changes too few bring it nearer."
    if best is None:
        return f"Two together were tried as well, {found.paired} times: none does more than one of the two alone."
    lead = f"Two together were tried as well, {found.paired} times. The best of them"
    if best is found.nearest:
        return f"{lead} is the nearest told above."
    if best in found.but:
        return f"{lead} holds, with {best.found.margin_text} of {_three(best.found.required)}, at a cost told below."
    if best in found.refused:
        what = " and ".join(step_words(step) for step in best.steps)
        says = f"{'holds with' if best.found.verdict == 'holds' else 'comes to'} {best.found.margin_text}"
        return (f"{lead}, {what}, {says} of {_three(best.found.required)}, but is not offered, because of people: "
                "below is why.")
    return f"{lead}: {change_words(best)}. {HARMLESS if best.harmless else but_words(best)}"


def counted(found: Mending) -> str:
    """How much was tried, and what was not."""
    end = " It was stopped before all were tried." if found.stopped else ""
    two = f", {found.paired} of them two together" if found.paired else ""
    what = "the file's options"
    if found.sizes:
        what += ", the next sizes, and sizes and places of the part, its shafts and the stages beside them"
    return (f"{found.tried} changes were tried{two}, each with the whole machine solved and rated again: {what}."
            f"{end} {run_words(found)}".rstrip())


def run_words(found: Mending) -> str:
    """Whether what is offered was run over time; if not, why."""
    if found.not_run:
        return f"None of it was run over time. {why_not(found.not_run)}."
    said = "All that is offered was run over time as well, and is judged by what the run says too."
    return said if found.shown else ""


def _named(findings: tuple[Finding, ...], most: int = 3) -> str:
    words = [f"{part_words(f.part)}, {f.mode} ({f.verdict})" for f in findings[:most]]
    more = len(findings) - most
    return "; ".join(words) + (f"; and {more} more" if more > 0 else "")


def mending_dict(found: Mending) -> dict[str, Any]:
    """The answer as plain data, numbers in SI."""
    f = found.finding
    return {"part": f.part, "mode": f.mode, "margin": f.margin, "required": f.required,
            "mends": [_change(c) for c in found.changes], "costs another": [_change(c) for c in found.but],
            "leaves unknown": [_change(c) for c in found.opens],
            "not offered": [_change(c) for c in found.refused],
            "best of two together": _change(found.best_pair) if found.best_pair else None,
            "nearest": _change(found.nearest) if found.nearest else None,
            "nearer at a cost": _change(found.in_the_way) if found.in_the_way else None,
            "tried": found.tried, "tried two together": found.paired, "stopped": found.stopped,
            "not run over time": found.not_run}


def _change(c: Change) -> dict[str, Any]:
    def named(findings: tuple[Finding, ...]) -> list[dict[str, str]]:
        return [{"part": f.part, "mode": f.mode, "verdict": f.verdict} for f in findings]

    return {"what": c.what, "steps": [asdict(step) for step in c.steps], "option": as_plain(c.option),
            "margin": c.found.margin, "better": named(c.better), "worse": named(c.worse), "breaks": named(c.breaks),
            "harms": [_harm(h) for h in c.harms], "run over time": c.ran, "cannot be run": c.not_run}


def _harm(h: Harm) -> dict[str, Any]:
    f = h.now
    return {"part": f.part, "place": f.place, "mode": f.mode, "verdict": f.verdict,
            "was": h.was.margin if h.was is not None else None, "then": f.margin, "required": f.required,
            "at risk": f.hurts, "more places": h.more}


def _three(value: float) -> str:
    return f"{value:.3g}"
