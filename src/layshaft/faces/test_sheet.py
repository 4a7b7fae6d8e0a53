"""A test sheet as text and plain data, an empty table for its readings, and the list of what is worth finding out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from layshaft.faces.pages.words import part_words, short
from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.study.doubt import Doubt, Flip
from layshaft.study.find_out.model import Column, Test
from layshaft.study.find_out.plan import MOST, Plan, Settled
from layshaft.study.find_out.readings import ERROR_OF, STEP_OF

MOST_FLIPS, LINES = 6, 8
WORTH = 0.02
MOST_LISTED = 10


def sheet_text(p: Plan) -> str:
    """The whole sheet."""
    return "\n".join([p.machine.title, *_head(p), *_settles(p), *_how(p), *_often(p), *_write_down(p), *_danger(p)])


def _head(p: Plan) -> Iterator[str]:
    yield ""
    yield wrapped(f"TEST SHEET: {part_words(p.given.path)}", "    ", "")
    yield wrapped(f"now {given_words(p.given)}", "    ", "  ")
    yield wrapped(f"in the machine file: {p.given.path}", "    ", "  ")
    if len(p.shared) > 1:
        yield wrapped(shared_words(p), "    ", "  ")


def given_words(given: Given) -> str:
    """Value, spread, source and note of a given."""
    value = short(given.nominal, given.dimension)
    spread = ""
    if given.low is not None and given.high is not None and given.high > given.low:
        spread = f", between {short(given.low, given.dimension)} and {short(given.high, given.dimension)}"
    return f"{value}{spread}, {given.source}" + (f" ({given.note})" if given.note else "")


def shared_words(p: Plan) -> str:
    """What shares its value, and what follows."""
    return (f"{len(p.shared)} places share this value, by `same as` in the machine file. Take the readings on three of "
            "them at least, by turns: what is kept then stands for all"
            + ("; --here keeps it for this place alone." if p.given.path != p.given.cause else "."))


def _settles(p: Plan) -> Iterator[str]:
    yield from ("", "WHAT IT WOULD SETTLE")
    for line in settle_lines(p):
        yield wrapped(line, "      ", "  ")


def settle_lines(p: Plan) -> list[str]:
    """Each verdict that flips, and how often to repeat for it."""
    if not p.given.doubtful:
        return ["The file gives no spread for it, so nothing says which verdicts it decides. Write a `between` first."]
    if not p.settled:
        return ["No verdict flips between its ends with all else as it is. It is worth a third of its guess's spread, "
                "for what it does together with others."]
    lines = [f"{part_words(s.flip.key[0])}: {s.flip.key[1]} {flip_words(s.flip, p.given)}; {repeat_words(s)}"
             for s in p.settled[:MOST_FLIPS]]
    more = len(p.settled) - MOST_FLIPS
    return [*lines, f"and {more} more, farther from the value it has"] if more > 0 else lines


def flip_words(flip: Flip, given: Given) -> str:
    """`holds below 552 N`."""
    return f"holds {'below' if flip.holds_below else 'above'} {short(flip.value, given.dimension)}"


def repeat_words(s: Settled) -> str:
    """How many repeats settle one verdict, if the guess is right."""
    if s.repeats is None:
        return "no number of repeats tells: usual instruments, or what else is taken as known, are too rough"
    if s.repeats > MOST:
        return "the value lies too near: no number of repeats anybody takes would tell"
    return f"{s.repeats} repeats"


def _how(p: Plan) -> Iterator[str]:
    test = p.test.procedure
    yield from ("", f"TEST: {test.name}")
    yield wrapped(f"Rig: {test.rig}", "    ", "  ")
    yield wrapped(f"Instruments: {sentence('; '.join(test.instruments))}", "    ", "  ")
    if expect := expect_words(p):
        yield wrapped(expect, "    ", "  ")
    for i, step in enumerate(test.steps, 1):
        yield wrapped(f"{i}. {step}", "     ", "  ")
    if test.note:
        yield wrapped(test.note, "    ", "  ")


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    return f"{text[0].upper()}{text[1:]}."


def expect_words(p: Plan) -> str:
    """What the main instrument should read if the guess is right, and how fine it must be."""
    if not math.isfinite(p.expected):
        return ""
    d = p.main.dimension
    others = ", ".join(f"{c.name} {c.usual:g} {c.unit}".rstrip() for c in p.test.columns
                       if c.name != p.main.name and c.usual and c.name not in ("lift", "angle"))
    with_ = f", with {others}" if others else ""
    low, high = sorted(p.expected_ends)
    ends = f" ({short(low, d, 2)} to {short(high, d, 2)} over its spread)" if math.isfinite(low + high) else ""
    fine = (f" A step of {short(p.coarsest, d, 1)} is fine enough." if math.isfinite(p.coarsest) else "")
    return f"Expect about {short(p.expected, d, 2)} as the {p.main.name}{ends}{with_}.{fine}"


def _often(p: Plan) -> Iterator[str]:
    yield from ("", "HOW OFTEN")
    yield wrapped(often_words(p), "  ")


def often_words(p: Plan) -> str:
    """The repeats to take, why, and by which method."""
    d, scatter = p.given.dimension, f"{100 * p.test.way.scatter:.2g} %"
    method = (f"Single values of such a test scatter by some {scatter} (common practice); the spread of their mean is "
              "Student's t at 95.45 % times the standard uncertainty, of scatter (type A: seen in the repeats) and "
              "instrument (type B: known of it beforehand) together, ISO/IEC Guide 98-3.")
    if p.first is not None:
        return (f"Take {p.take} repeats, for a spread of ± {short(p.first.distance, d, 2)}: as far as the guess "
                f"lies from the nearest value it can settle. {method} The readings say how many more it takes.")
    if p.repeats is not None and p.repeats <= MOST:
        return f"Take {p.take} repeats, for a spread of ± {short(p.wanted, d, 2)}. {method}"
    if p.wanted > 0 and p.repeats is None:
        return (f"Usual instruments, or what else is taken as known, are too rough for ± {short(p.wanted, d, 2)}: no "
                f"number of repeats makes up for that. Take finer ones, then {p.take} repeats, and see. {method}")
    return f"Take {p.take} repeats and see: the readings then say how many more it takes. {method}"


def _write_down(p: Plan) -> Iterator[str]:
    yield from ("", "WRITE DOWN")
    heads = [head(c) for c in p.test.columns]
    yield wrapped(f"On each line: {'; '.join(heads)}.", "    ", "  ")
    yield wrapped("Besides: who, when, warmth, which part, how long it ran before, which instrument and its smallest "
                  "step, and every reading that was thrown away, with the reason.", "    ", "  ")
    yield wrapped(f"An empty table: --template FILE.csv. Filled in: layshaft find-out {place(p)} '{p.given.path}' "
                  "--readings FILE.csv", "    ", "  ")


def place(p: Plan) -> str:
    """The machine file as the command line takes it."""
    return str(p.machine.file) if p.machine.file else "MACHINE"


def head(column: Column) -> str:
    """A column with its unit."""
    return f"{column.name} in {column.unit}" if column.unit not in ("", "1") else column.name


def _danger(p: Plan) -> Iterator[str]:
    yield from ("", "CAUTIONS")
    for caution in p.test.procedure.cautions:
        yield wrapped(caution, "    ", "  - ")


def template(p: Plan) -> str:
    """An empty table: remarks first, the columns, no numbers that could be taken for readings."""
    steps = [f"# {STEP_OF}{c.name}: {c.step:g} {c.unit}".rstrip() for c in p.test.columns if c.step > 0]
    return "\n".join([
        f"# {part_words(p.given.path)}: {p.test.procedure.name}", f"# in the machine file: {p.given.path}",
        "# who: ", "# when: ", "# note: ", *steps,
        f"# {ERROR_OF}{p.main.name}: 0 {p.main.unit}".rstrip(),
        ",".join(head(c) for c in p.test.columns), ""])


# What is worth it --------------------------------------------------------------------------------


def list_text(machine: Machine, found: Doubt, tests: Sequence[tuple[Given, Test | None]]) -> str:
    """Guesses by how much of the doubt they own, each with its test."""
    lines = [machine.title, "", "WORTH FINDING OUT, by the share of all doubt about verdicts that would go"]
    known = {g.cause: t for g, t in tests}
    some = [w for w in found.owners if w.owns >= WORTH][:MOST_LISTED]
    if not some:
        lines.append("  Nothing: no single guess settles anything.")
    for w in some:
        test = known.get(w.cause)
        flips = [f for f in found.flips if f.cause == w.cause]
        lines.append(wrapped(f"{100 * w.owns:4.0f} %  {w.cause}: {given_words(w.given)}", " " * 10, "  "))
        lines.append(wrapped(f"by {test.procedure.name}" if test else "no ready test: ask somebody who knows",
                             " " * 12, " " * 10))
        if flips:
            lines.append(wrapped(f"decides {len(flips)} verdict{'' if len(flips) == 1 else 's'}, such as "
                                 f"{part_words(flips[0].key[0])}: {flips[0].key[1]} {flip_words(flips[0], w.given)}",
                                 " " * 12, " " * 10))
    file = machine.file or "MACHINE"
    return "\n".join([*lines, "", wrapped(f"A test sheet for one of them: layshaft find-out {file} "
                                          f"'{some[0].cause if some else 'GIVEN'}'", "  ")])


def list_dict(found: Doubt, tests: Sequence[tuple[Given, Test | None]]) -> list[dict[str, Any]]:
    """The same as data, every guess."""
    known = {g.cause: t for g, t in tests}
    return [{"given": w.cause, "owns": number(w.owns), "value": number(w.given.nominal), "low": w.given.low,
             "high": w.given.high, "test": t.procedure.name if (t := known.get(w.cause)) else None}
            for w in found.owners]


def plan_dict(p: Plan) -> dict[str, Any]:
    """A sheet as data; numbers in SI."""
    test = p.test.procedure
    return {
        "given": p.given.path, "value": number(p.given.nominal), "low": p.given.low, "high": p.given.high,
        "shared by": list(p.shared), "test": test.name, "rig": test.rig, "instruments": list(test.instruments),
        "steps": list(test.steps), "cautions": list(test.cautions),
        "columns": [{"name": c.name, "unit": c.unit, "smallest step": c.step} for c in p.test.columns],
        "take": p.take, "repeats": p.repeats, "wanted spread": number(p.wanted), "expected reading": number(p.expected),
        "settles": [{"part": s.flip.key[0], "mode": s.flip.key[1], "value": number(s.flip.value),
                     "holds": "below" if s.flip.holds_below else "above", "repeats": s.repeats} for s in p.settled],
    }
