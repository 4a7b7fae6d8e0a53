"""A sheet: the steps of one calculation as text, as an HTML fragment or as plain data.

Givens come first, each with its source; then the steps in the order they ran, numbered; then the
remarks and a list of everything that nobody has seen on a page. Knows nothing of any machine element.
"""

from __future__ import annotations

import math
import textwrap
from html import escape
from typing import Any

import numpy as np

from layshaft.trace.constants import constants_in
from layshaft.trace.formula import Remark, Step, Trace
from layshaft.trace.mathml import formula_mathml, symbol_mathml
from layshaft.trace.source import Source
from layshaft.trace.text import formula_text, nominal, quantity_text, with_numbers
from layshaft.trace.units import Dimension, shown
from layshaft.trace.whole import whole

__all__ = ["as_dict", "as_html", "as_text", "formula_mathml", "formula_text", "with_numbers"]

WEAK_WORDS = {"from memory": "from memory: not seen on a page", "typical": "typical value, not of this part"}
WORDS = {"formula": "", "equation": "solved", "total": "sum", "governs": "governs",
         "looked up": "looked up", "chosen": "chosen", "given": "given"}
CONSTANTS = "Named numbers in the formulas"


def value_text(value: Any, dimension: Dimension) -> str:
    """A result with its unit; for samples the middle and the range that holds nine in ten."""
    array = np.asarray(value, dtype=float)
    if array.ndim == 0:
        return "unknown" if np.isnan(array) else shown(float(array), dimension)
    known = array[np.isfinite(array)]
    if not known.size:
        return "unknown"
    low, middle, high = np.percentile(known, [5, 50, 95])
    unit = dimension.best_unit(float(middle))
    ends = [shown(float(v), dimension, unit).removesuffix(unit).strip() for v in (low, high)]
    lost = 1 - known.size / array.size
    tail = f", unknown in {lost:.1%}" if lost else ""
    return f"{shown(float(middle), dimension, unit)} ({ends[0]} to {ends[1]}{tail})"


def source_text(source: Source) -> str:
    """The source in words, with a mark where it counts as a guess."""
    place = ", ".join(part for part in (source.work, source.place) if part)
    return f"{place} [{WEAK_WORDS.get(source.obtained, source.obtained)}]"


def whence(step: Step) -> str:
    """The source of a step in words, and for a given of the solved machine what it follows from."""
    follows = step.detail.get("follows", "")
    return f"{source_text(step.source)}. {follows}" if follows else source_text(step.source)


def why_unknown(step: Step) -> str:
    """One sentence where a result is unknown: what is missing, or where the method ends."""
    if not math.isnan(nominal(step.value)):
        return ""
    if step.kind == "looked up":
        return "Unknown: the table has no entry here."
    missing = [origin.symbol if origin else name
               for name, value, origin in step.arguments
               if math.isnan(nominal(value)) and origin is not step]
    if missing:
        return f"Unknown because {', '.join(dict.fromkeys(missing))} is not known."
    if step.formula is not None and step.formula.outside:
        return f"Unknown: outside the method. {step.formula.outside}"
    return "Unknown."


def how(step: Step) -> str:
    """What a step of a kind without a formula did, in words."""
    detail = step.detail
    if step.kind == "looked up":
        return f"in the table of {detail['table'].replace('_', ' ')}: {detail['row']}"
    if step.kind == "chosen":
        others = ", ".join(detail["candidates"])
        return f"{detail['why']} (from: {others})" if others else str(detail["why"])
    if step.kind == "governs":
        return f"{step.detail['pick']}: {', '.join(decided_by(step)) or 'unknown'}"
    if step.kind == "formula":
        return str(whole(step) or "")
    if step.kind == "equation":
        return f"what is left: {float(np.max(np.abs(detail['residual']))):.1e}"
    return ""


def decided_by(step: Step) -> list[str]:
    """Which of the named candidates governs; none where the result is unknown."""
    value = nominal(step.value)
    return [name for name, v, _ in step.arguments if nominal(v) == value]


def unique_givens(trace: Trace) -> list[Step]:
    """The givens in order; one that is recorded twice with the same value stands once."""
    seen: dict[tuple[str, str, str, str], Step] = {}
    for step in trace.steps:
        if step.kind == "given":
            seen.setdefault((step.group, step.symbol, repr(step.value), str(step.source)), step)
    return list(seen.values())


def working_steps(trace: Trace) -> list[Step]:
    """The steps that are not givens, in order: their place in this list is their number."""
    return [step for step in trace.steps if step.kind != "given"]


def weak_points(trace: Trace) -> list[str]:
    """What counts as a guess on this sheet, by symbol and source, each once."""
    return [f"{', '.join(symbols)}: {text}" for symbols, text in weak_symbols(trace)]


def weak_symbols(trace: Trace) -> list[tuple[list[str], str]]:
    """Symbols that count as a guess, with their source; then the guesses further up, with the symbols they move."""
    steps = [*unique_givens(trace), *working_steps(trace)]
    by_source: dict[str, list[str]] = {}
    for step in steps:
        if step.source.weak:
            by_source.setdefault(source_text(step.source), []).append(step.symbol)
    found = [(list(dict.fromkeys(names)), text) for text, names in by_source.items()]
    return found + [(rest.symbols, str(rest)) for rest in trace.rests]


def remark_text(remark: Remark) -> str:
    """A remark with the share of the samples it applies to and its source."""
    applies = np.asarray(remark.applies, dtype=bool)
    share = "" if applies.ndim == 0 else f" (applies to {applies.mean():.0%})"
    return f"{remark.text}{share} Source: {source_text(remark.source)}"


def as_text(trace: Trace, width: int = 100) -> str:
    """The sheet as plain text, at most `width` characters wide."""
    lines: list[str] = []
    givens = unique_givens(trace)
    if givens:
        lines += _heading("Given")
        several = len({g.group for g in givens}) > 1
        group = None
        for step in givens:
            if several and step.group != group:
                lines.append(f"{step.group}:" if step.group else "")
            group = step.group
            lines += _row("   ", step, width)
            lines += _wrapped(whence(step), 16, width)
    heading = None
    for number, step in enumerate(working_steps(trace), 1):
        if step.group != heading:
            heading = step.group
            lines += ["", *_heading(heading or "Calculation")]
        lines += _step_lines(number, step, width)
    lines += _notes(CONSTANTS, constants_in(trace), width)
    lines += _notes("Remarks", [remark_text(r) for r in trace.remarks], width)
    lines += _notes("Counts as a guess", weak_points(trace), width)
    return "\n".join(lines).strip("\n") + "\n"


def _heading(title: str) -> list[str]:
    return [title, "=" * len(title)]


def _wrapped(text: str, indent: int, width: int, first: str = "") -> list[str]:
    return textwrap.wrap(
        text, max(width, indent + 30), initial_indent=" " * indent + first,
        subsequent_indent=" " * (indent + len(first)), break_long_words=False, break_on_hyphens=False,
    )


def _row(mark: str, step: Step, width: int) -> list[str]:
    result = value_text(step.value, step.dimension)
    left = f"{mark} {step.symbol:<11} {step.meaning}"
    if len(left) + 2 + len(result) <= width:
        return [left + result.rjust(width - len(left))]
    return [*_wrapped(f"{step.symbol:<11} {step.meaning}", 0, width, f"{mark} "), result.rjust(width)]


def _step_lines(number: int, step: Step, width: int) -> list[str]:
    lines = _row(f"{number:>3}", step, width)
    word = WORDS[step.kind]
    zero = "0 " if step.kind == "equation" else ""
    if words := ": ".join(w for w in (word, how(step)) if w):
        lines += _wrapped(words, 16, width)
    for text in (formula_text(step), with_numbers(step)):
        if text:
            lines += _wrapped(text, 16, width, f"{zero}= ")
    if unknown := why_unknown(step):
        lines += _wrapped(unknown, 16, width)
    return lines + _wrapped(source_text(step.source), 16, width)


def _notes(title: str, texts: list[str], width: int) -> list[str]:
    if not texts:
        return []
    lines = ["", *_heading(title)]
    for text in texts:
        lines += _wrapped(text, 0, width, "- ")
    return lines


def as_html(trace: Trace) -> str:
    """The sheet as an HTML fragment: tables and MathML, everything escaped, no script, no style."""
    parts = ['<section class="sheet" tabindex="0" aria-label="Calculation">']
    givens = "".join(_given_html(s) for s in unique_givens(trace))
    if givens:
        parts.append(_table("sheet-givens", "Given", ("Symbol", "Meaning", "Value", "Source"), givens))
    heads = ("", "Symbol", "Meaning", "How", "Result", "Source")
    blocks: dict[str, list[str]] = {}
    for number, step in enumerate(working_steps(trace), 1):
        blocks.setdefault(step.group, []).append(_step_html(number, step))
    for group, rows in blocks.items():
        parts.append(_table("sheet-steps", group or "Calculation", heads, "".join(rows)))
    parts.append(_list_html("sheet-remarks", CONSTANTS, [escape(c) for c in constants_in(trace, typeset=True)]))
    parts.append(_list_html("sheet-remarks", "Remarks", [escape(remark_text(r)) for r in trace.remarks]))
    guesses = [f"{', '.join(map(_symbol_html, symbols))}: {escape(text)}" for symbols, text in weak_symbols(trace)]
    parts.append(_list_html("sheet-guesses", "Counts as a guess", guesses))
    return "".join([*parts, "</section>"])


def _table(css: str, caption: str, heads: tuple[str, ...], rows: str) -> str:
    head = "".join(f'<th scope="col">{escape(h)}</th>' for h in heads)
    return (f'<table class="{css}"><caption>{escape(caption)}</caption>'
            f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>")


def _list_html(css: str, title: str, lines: list[str]) -> str:
    """A list of lines that are markup."""
    items = "".join(f"<li>{line}</li>" for line in lines)
    return f'<section class="{css}"><h3>{escape(title)}</h3><ul>{items}</ul></section>' if lines else ""


def _symbol_html(symbol: str) -> str:
    return f"<math>{symbol_mathml(symbol)}</math>"


def _source_html(step: Step) -> str:
    css = "source source-weak" if step.source.weak else "source"
    return f'<td class="{css}">{escape(whence(step))}</td>'


def _value_html(step: Step) -> str:
    css = "value value-unknown" if math.isnan(nominal(step.value)) else "value"
    return f'<td class="{css}">{escape(value_text(step.value, step.dimension))}</td>'


def _given_html(step: Step) -> str:
    return (f"<tr><td>{_symbol_html(step.symbol)}</td><td>{escape(step.meaning)}</td>"
            f"{_value_html(step)}{_source_html(step)}</tr>")


def _step_html(number: int, step: Step) -> str:
    words = " ".join(part for part in (WORDS[step.kind], how(step)) if part)
    lines = [f'<p class="step-kind">{escape(words)}</p>' if words else "", formula_mathml(step)]
    if step.formula is None and (terms := formula_text(step)):
        lines.append(f'<p class="step-terms">= {escape(terms)}</p>')
    if numbers := with_numbers(step):
        lines.append(f'<p class="step-numbers">= {escape(numbers)}</p>')
    if unknown := why_unknown(step):
        lines.append(f'<p class="step-unknown">{escape(unknown)}</p>')
    how_told = "".join(lines)
    wide = '<math display="block" class="wide">' in how_told
    row = (f'<tr class="step-{step.kind.replace(" ", "-")}"><th scope="row">{number}</th>'
           f"<td>{_symbol_html(step.symbol)}</td><td>{escape(step.meaning)}</td>"
           f"<td>{'' if wide else how_told}</td>{_value_html(step)}{_source_html(step)}</tr>")
    return f'{row}<tr class="step-wide"><td></td><td colspan="5">{how_told}</td></tr>' if wide else row


def as_dict(trace: Trace) -> dict[str, Any]:
    """The sheet as plain data for JSON; an unknown number is None."""
    return {
        "givens": [_step_dict(s) for s in unique_givens(trace)],
        "steps": [{"number": n} | _step_dict(s) for n, s in enumerate(working_steps(trace), 1)],
        "constants": constants_in(trace),
        "remarks": [{"text": r.text, "source": _source_dict(r.source)} for r in trace.remarks],
        "guesses": weak_points(trace),
    }


def _source_dict(source: Source) -> dict[str, Any]:
    return {"work": source.work, "place": source.place, "obtained": source.obtained, "weak": source.weak}


def _plain(value: Any) -> Any:
    array = np.asarray(value, dtype=float)
    if array.ndim:
        return [_plain(v) for v in array.ravel()]
    return float(array) if np.isfinite(array) else None


def _step_dict(step: Step) -> dict[str, Any]:
    arguments = [
        {"name": name, "value": _plain(value), "from": origin.symbol if origin else None,
         "shown": quantity_text(value, origin.dimension if origin else step.dimension)}
        for name, value, origin in step.arguments
    ]
    return {
        "kind": step.kind, "group": step.group, "symbol": step.symbol, "meaning": step.meaning,
        "value": _plain(step.value), "unit": step.dimension.si, "dimension": step.dimension.name,
        "shown": value_text(step.value, step.dimension),
        "method": step.formula.name if step.formula else None,
        "formula": formula_text(step), "numbers": with_numbers(step), "arguments": arguments,
        "how": how(step), "unknown": why_unknown(step), "source": _source_dict(step.source),
        "follows": str(step.detail.get("follows", "")),
    }
