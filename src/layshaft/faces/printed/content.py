"""What stands in a printed sheet and in the book, as plain data: blocks of text, tables, steps and pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from html import unescape
from typing import Any

from layshaft.faces.pages.day import day_words
from layshaft.faces.pages.keys import page_in_words, text_in_words
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.faces.pages.sheets import Bound, bound_of, bound_sheets, joined
from layshaft.faces.pages.words import name_words, part_words, verdicts_mean
from layshaft.faces.printed import tables
from layshaft.faces.printed.alone import SERIF, alone, pictures, title_of
from layshaft.machine.model import Machine
from layshaft.trace.constants import constants_in
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.formula import Step, Trace
from layshaft.trace.sheet import (
    CONSTANTS,
    WORDS,
    how,
    remark_text,
    unique_givens,
    value_text,
    weak_symbols,
    whence,
    why_unknown,
    working_steps,
)
from layshaft.trace.text import formula_text, with_numbers
from layshaft.trace.typst_math import formula_typst, symbol_typst
from layshaft.trace.units import figure, printing_in
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.next_step import next_step, seen_to_first
from layshaft.verdict.rate import Verdict

Block = dict[str, Any]
COUNTERSIGNED = ("Whoever countersigns a sheet has checked its givens, its method and its result, as they stand under "
                 "this fingerprint; a sheet with another fingerprint is another sheet.")
AS_IT_IS = ("kind", "role", "m")
"""Of a block: what is for the typesetter, and mathematics."""

MANY = {"fails": "fail", "unknown": "are unknown", "thin": "are thin", "holds": "hold"}
TITLES = {"fails": "What fails", "unknown": "What is unknown", "thin": "What is thin", "holds": "What holds"}


def heading(text: str, level: int = 1) -> Block:
    """A heading."""
    return {"kind": "heading", "level": level, "text": text}


def text(words: str, role: str = "") -> Block:
    """A paragraph; `role` may be note, caution or next."""
    return {"kind": "text", "role": role, "text": words}


def table(caption: str, heads: Sequence[str], rows: Sequence[Sequence[Any]], widths: Sequence[float],
          numeric: Sequence[int] = ()) -> Block:
    """A table; a width of 0 is as wide as its content."""
    return {"kind": "table", "caption": caption, "heads": list(heads), "rows": [list(r) for r in rows],
            "widths": list(widths), "numeric": list(numeric)}


def sheet_data(verdict: Verdict, path: str, day: date | None = None) -> dict[str, Any]:
    """The sheets of one part, printed on a day; without one, today."""
    machine = verdict.solved.machine
    with printing_in(machine.units):
        bound = bound_of(verdict, path)
        about = f"{title(verdict)}; in the machine file `{path}`"
        blocks: list[Block] = [{"kind": "title", "text": part_words(path), "about": [about]}]
        blocks += [b for one in bound for b in _sheet(one)]
        blocks += [text(COUNTERSIGNED, "note"), *_cautions(verdict)]
    return {"title": f"{title(verdict)}: {part_words(path)}", "day": day_words(day),
            "blocks": _in_words(blocks, machine)}


def book_data(verdict: Verdict, *, every_sheet: bool = True, day: date | None = None) -> dict[str, Any]:
    """The whole book: what to do next, verdicts, drawings, guesses, cautions, parts, every sheet."""
    with printing_in(verdict.solved.machine.units):
        blocks = [*_cover(verdict), *_cautions(verdict), *_drawings(verdict), *_verdicts(verdict), *_guesses(verdict),
                  *_lists(verdict), heading("Calculation sheets"), text(COUNTERSIGNED, "note")]
        for one in bound_sheets(verdict, every=every_sheet):
            blocks += _sheet(one)
    return {"title": title(verdict), "day": day_words(day), "blocks": _in_words(blocks, verdict.solved.machine)}


def _in_words(block: Any, machine: Machine) -> Any:
    """The same with every key of the machine file said in words, but where it is shown as the file writes it."""
    if isinstance(block, str):
        return text_in_words(block, machine)
    if isinstance(block, list):
        return [_in_words(b, machine) for b in block]
    if isinstance(block, dict):
        return {k: page_in_words(v, machine) if k == "svg" else v if k in AS_IT_IS else _in_words(v, machine)
                for k, v in block.items()}
    return block


def title(verdict: Verdict) -> str:
    """The machine, with the option it is shown with."""
    machine = verdict.solved.machine
    return machine.title + (f", with {machine.label}" if machine.label else "")


def _cover(verdict: Verdict) -> Iterator[Block]:
    machine = verdict.solved.machine
    yield {"kind": "title", "text": title(verdict), "about": [machine.about] if machine.about else []}
    yield text(next_step(verdict, part_words), "next")
    counts = ", ".join(f"{sum(f.verdict == w for f in verdict.findings)} {MANY[w]}" for w in WORST_FIRST)
    yield text(f"{len(verdict.findings)} findings: {counts}.")
    yield text(verdicts_mean(), "note")
    yield text("Every number shows its formula, inputs, source and trust; what is missing gives unknown. This book "
               "computes; it does not permit: local codes and licensed practice decide.", "note")


def _cautions(verdict: Verdict) -> Iterator[Block]:
    found = cautions(verdict)
    if found:
        yield heading("Cautions", 2)
        yield from (text(c.text, "caution") for c in found)


def _drawings(verdict: Verdict) -> Iterator[Block]:
    yield heading("The machine to scale")
    for svg in pictures(machine_drawing(verdict)):
        yield {"kind": "picture", "svg": alone(svg, SERIF), "width": 100, "alt": unescape(title_of(svg)),
               "words": unescape(title_of(svg))}


def _verdicts(verdict: Verdict) -> Iterator[Block]:
    yield heading("The verdict")
    for word in WORST_FIRST:
        found = [f for f in seen_to_first(verdict.findings) if f.verdict == word]
        if found:
            yield table(f"{TITLES[word]}: {len(found)}", ("Part", "Checked", "Case", "Demand", "Rating", "Margin",
                                                          "Required", "Why, or what it rests on"),
                        [_verdict_row(f) for f in found], (2, 1.4, 1.6, 0, 0, 0, 0, 2.4), (3, 4, 5, 6))


def _verdict_row(f: Finding) -> list[Any]:
    risk = [{"t": f"At risk: {f.hurts}. {f.reason or f.note or f.trust}".rstrip(), "role": "risk"}] if (
        f.hurts and f.verdict != "holds") else [f.reason or f.trust or f.source.work]
    return [name_words(f), f.mode, f.title, f.demand_text, f.rating_text, f.margin_text, figure(f.required, 3), *risk]


def _guesses(verdict: Verdict) -> Iterator[Block]:
    found = guesses(verdict)
    if found:
        yield heading("What it rests on that is a guess")
        yield table("", ("Given", "Value", "Why it is a guess"),
                    [(part_words(g.path), g.value, g.why) for g in found], (2, 1.4, 3))


def _lists(verdict: Verdict) -> Iterator[Block]:
    for name in ("parts", "givens"):
        found = tables.table_of(verdict, name)
        yield heading(found.title)
        keep = [i for i, h in enumerate(found.heads) if h != tables.KEY]
        yield table("", [found.heads[i] for i in keep],
                    [[tables.cell_text(row[i]) for i in keep] for row in found.rows],
                    [found.widths[i] for i in keep], found.numeric)


# Sheets ------------------------------------------------------------------------------------------


def _sheet(bound: Bound) -> Iterator[Block]:
    first = bound.sheets[0]
    yield heading(f"Sheet {bound.number}: {bound.name}, {bound.modes}", 2)
    yield text(f"In the machine file: `{first.finding.part}`. Case: {first.finding.title}. Where the demand comes "
               f"from: {first.came_from}.", "note")
    for s in bound.sheets:
        f = s.finding
        risk = f"; at risk: {f.hurts}" if f.hurts and f.verdict != "holds" else ""
        why = f" ({f.reason})" if f.verdict == "unknown" and f.reason else ""
        yield text(f"{f.mode}: {f.verdict}{why}. Demand {f.demand_text}, rating {f.rating_text}, margin "
                   f"{f.margin_text}, required {figure(f.required, 3)}{risk}.")
    yield from steps_of(joined(bound.sheets))
    yield {"kind": "countersign", "text": first.fingerprint}


def steps_of(trace: Trace) -> Iterator[Block]:
    """Givens, steps, remarks and what counts as a guess."""
    givens = [({"m": symbol_typst(s.symbol)}, s.meaning, value_text(s.value, s.dimension), _source(s))
              for s in unique_givens(trace)]
    if givens:
        yield table("Given", ("Symbol", "Meaning", "Value", "Source"), givens, (0, 2, 0, 2.4), (2,))
    groups: dict[str, list[dict[str, Any]]] = {}
    for number, step in enumerate(working_steps(trace), 1):
        groups.setdefault(step.group or "Calculation", []).append(_step(number, step))
    yield from ({"kind": "steps", "caption": caption, "rows": rows} for caption, rows in groups.items())
    for caption, notes in ((CONSTANTS, [[c] for c in constants_in(trace, typeset=True)]),
                           ("Remarks", [[remark_text(r)] for r in trace.remarks]),
                           ("Counts as a guess", [_weak(*weak) for weak in weak_symbols(trace)])):
        if notes:
            yield heading(caption, 3)
            yield {"kind": "list", "items": notes}


def _weak(symbols: list[str], words: str) -> list[Any]:
    """Symbols, set, and where they come from."""
    found: list[Any] = [{"m": symbol_typst(symbols[0])}]
    for symbol in symbols[1:]:
        found += [", ", {"m": symbol_typst(symbol)}]
    return [*found, f": {words}"]


def _source(step: Step) -> dict[str, str]:
    return {"t": whence(step), "role": "weak" if step.source.weak else ""}


def _step(number: int, step: Step) -> dict[str, Any]:
    words = " ".join(part for part in (WORDS[step.kind], how(step)) if part)
    lines: list[Any] = [words] if words else []
    if step.formula is not None:
        lines.append({"m": formula_typst(step)})
    elif terms := formula_text(step):
        lines.append(f"= {terms}")
    lines += [f"= {numbers}"] if (numbers := with_numbers(step)) else []
    lines += [{"t": unknown, "role": "risk"}] if (unknown := why_unknown(step)) else []
    return {"number": str(number), "symbol": {"m": symbol_typst(step.symbol)}, "meaning": step.meaning, "how": lines,
            "value": value_text(step.value, step.dimension), "source": whence(step),
            "weak": step.source.weak}
