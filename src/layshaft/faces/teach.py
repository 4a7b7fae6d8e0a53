"""A walk through one part as plain text: purpose, drawing, steps, what moves the answer, mistakes, pencil."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from layshaft.trace.formula import Step
from layshaft.trace.sheet import (
    as_dict,
    remark_text,
    source_text,
    unique_givens,
    value_text,
    weak_points,
    why_unknown,
    working_steps,
)
from layshaft.trace.text import formula_text, with_numbers
from layshaft.trace.units import figure
from layshaft.verdict.rate import Verdict
from layshaft.verdict.teaching import Effect, Walk, doubled, standing

WIDTH = 100
WORDS = {1: "stays as it is", 2: "doubles", 0.5: "halves", 4: "becomes four times", 0.25: "falls to a quarter",
         8: "becomes eight times", 0.125: "falls to an eighth", 16: "becomes sixteen times"}
NEAR = 5e-4


def walks_text(verdict: Verdict, path: str, found: list[Walk]) -> str:
    """Every walk of one part, one under the other; the steps of a whole shaft at the end."""
    parts = [walk_text(w) for w in found]
    parts += _finished(verdict, path)
    return "\n\n".join(parts)


def walk_text(walk: Walk) -> str:
    """One walk."""
    lines = [walk.title, "=" * len(walk.title), *_wrapped(f"Its demand comes this way: {walk.came_from}.", 0)]
    if walk.lesson:
        lines += ["", *_wrapped(walk.lesson.purpose, 0), "", *walk.lesson.drawing.splitlines()]
    lines += _givens(walk)
    heading = None
    for number, step in enumerate(filter(worth_a_word, working_steps(walk.trace)), 1):
        if step.group != heading:
            heading = step.group
            lines += _heading(heading or "Step by step")
        lines += _step(number, step, walk)
    lines += _answers(walk) + _effects(walk)
    if walk.lesson:
        lines += _notes("The mistakes made most often", list(walk.lesson.mistakes))
        lines += _heading("With a pencil") + _wrapped(walk.lesson.pencil, 0)
    lines += _notes("Remarks", [remark_text(r) for r in walk.trace.remarks])
    return "\n".join(lines + _notes("Counts as a guess", weak_points(walk.trace)))


def _givens(walk: Walk) -> list[str]:
    lines = _heading("What goes in, and where it is on the part")
    symbols = walk.lesson.symbols if walk.lesson else {}
    for step in unique_givens(walk.trace):
        value = f"{value_text(step.value, step.dimension)}, {standing(step)}"
        lines += _wrapped(f"{step.symbol:<10} {symbols.get(step.symbol, step.meaning)}: {value}", 0, " " * 11)
        lines += _wrapped(source_text(step.source), 11)
    return lines


def worth_a_word(step: Step) -> bool:
    """Steps that only switch a remark on teach nothing: the remark itself is printed."""
    return step.formula is None or "remark applies" not in step.formula.explanation


def _step(number: int, step: Step, walk: Walk) -> list[str]:
    lines = [f"{number:>3} {step.symbol}, {step.meaning}: {value_text(step.value, step.dimension)}"]
    for text in (formula_text(step), with_numbers(step)):
        lines += _wrapped(f"= {text}", 6, " " * 8) if text else []
    if unknown := why_unknown(step):
        lines += _wrapped(unknown, 6)
    for text in about_step(step, walk):
        lines += _wrapped(text, 6)
    return lines


def about_step(step: Step, walk: Walk) -> list[str]:
    """What the step is for, what it stands on, what doubling does."""
    said = [step.formula.explanation] if step.formula else []
    if walk.lesson and step.symbol in walk.lesson.steps:
        said.append(walk.lesson.steps[step.symbol])
    if step.kind == "governs":
        said.append(f"The {step.detail['pick']} of these decides.")
    if step.kind == "chosen":
        said.append(f"Chosen: {step.detail['why']}.")
    moves = "; ".join(f"double {e.symbol}: {effect_words(e.factor)}" for e in doubled(step))
    return [*said, f"It {standing(step)}. {source_text(step.source)}" if step.kind in ("formula", "total", "governs")
            else f"{standing(step).capitalize()}. {source_text(step.source)}", *([f"If you {moves}."] if moves else [])]


def effect_words(factor: float) -> str:
    """A factor in words: `doubles`, `becomes 2.29 times`."""
    if not math.isfinite(factor) or factor < 0:
        return "cannot be, or leaves the method"
    for exact, words in WORDS.items():
        if abs(factor - exact) <= NEAR * exact:
            return words
    return f"becomes {figure(factor, 3)} times"


def _answers(walk: Walk) -> list[str]:
    if not walk.findings:
        return []
    lines = _heading("The answer")
    for f in walk.findings:
        line = (f"{f.mode}, {f.title}: demand {f.demand_text}, rating {f.rating_text}, margin {f.margin_text}, "
                f"required {figure(f.required, 3)}: {f.verdict}.")
        risk = f" At risk: {f.hurts}." if f.hurts and f.verdict != "holds" else ""
        lines += _wrapped(line + risk + (f" {f.note}" if f.note else ""), 0, "  ")
    return lines


def _effects(walk: Walk) -> list[str]:
    """The inputs that move the margin, the strongest first."""
    moving = [e for e in walk.effects if not abs(e.factor - 1) <= NEAR]
    if not moving:
        return []
    moving.sort(key=lambda e: -abs(math.log(e.factor)) if e.factor > 0 else -math.inf)
    still = [e.symbol for e in walk.effects if e not in moving]
    lines = _heading(f"What moves the margin on {walk.findings[0].mode}: each input doubled alone")
    lines += [f"  {e.symbol:<10} {e.meaning}: it {effect_words(e.factor)}" for e in moving]
    return lines + (_wrapped(f"Nothing here: {', '.join(still)}.", 2) if still else [])


def _finished(verdict: Verdict, path: str) -> list[str]:
    """The steps of a whole shaft and what sits on them, as the file has them."""
    machine = verdict.solved.machine
    shaft = next((s for s in machine.shafts.values() if s.path.casefold() == path.casefold()), None)
    if shaft is None:
        return []
    title = f"{shaft.path}: the finished steps"
    lines, at = [title, "=" * len(title)], 0.0
    for diameter, step in shaft.sections:
        lines.append(f"  {at * 1e3:7.1f} to {(at + step.nominal) * 1e3:7.1f} mm: diameter {diameter}")
        at += step.nominal
    for name, seat in sorted(shaft.seats.items(), key=lambda item: item[1].at.nominal):
        held = seat.bearing.name or (f"key {seat.key_size.name}" if seat.key_size.name else "")
        lines.append(f"  at {seat.at.nominal * 1e3:7.1f} mm: {name}{f', {held}' if held else ''}")
    return ["\n".join([*lines, *_wrapped("Keys and bearings have walks of their own: name their seat.", 0)])]


def walk_dict(walk: Walk) -> dict[str, Any]:
    """A walk as plain data for JSON; an unknown number is None."""
    steps = [{"symbol": s.symbol, "standing": standing(s), "doubled": [_effect_dict(e) for e in doubled(s)]}
             for s in working_steps(walk.trace)]
    lesson = walk.lesson and {"purpose": walk.lesson.purpose, "drawing": walk.lesson.drawing,
                              "symbols": walk.lesson.symbols, "mistakes": list(walk.lesson.mistakes),
                              "pencil": walk.lesson.pencil, "steps": walk.lesson.steps}
    return {"title": walk.title, "came from": walk.came_from, "lesson": lesson, "sheet": as_dict(walk.trace),
            "beside": steps, "effects on the margin": [_effect_dict(e) for e in walk.effects],
            "findings": [{"mode": f.mode, "case": f.title, "margin": f.margin if math.isfinite(f.margin) else None,
                          "required": f.required if math.isfinite(f.required) else None, "verdict": f.verdict}
                         for f in walk.findings]}


def _effect_dict(e: Effect) -> dict[str, Any]:
    return {"symbol": e.symbol, "meaning": e.meaning, "factor": e.factor if math.isfinite(e.factor) else None}


def _heading(title: str) -> list[str]:
    return ["", title, "-" * len(title)]


def _wrapped(text: str, indent: int, then: str | None = None) -> list[str]:
    return textwrap.wrap(" ".join(text.split()), WIDTH, initial_indent=" " * indent,
                         subsequent_indent=" " * indent if then is None else then, break_long_words=False,
                         break_on_hyphens=False)


def _notes(title: str, texts: list[str]) -> list[str]:
    return _heading(title) + [line for t in texts for line in _wrapped(f"- {t}", 0, "  ")] if texts else []
