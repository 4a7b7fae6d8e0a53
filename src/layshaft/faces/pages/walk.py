"""The plain-words layer of a part: what it is for, what each step does, what moves the answer, the pencil check."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from layshaft.faces.pages.words import cell, part_words, table
from layshaft.faces.teach import about_step, effect_words, worth_a_word
from layshaft.trace.mathml import symbol_mathml
from layshaft.trace.sheet import unique_givens, value_text, working_steps
from layshaft.verdict.teaching import Walk, standing

STILL = 5e-4


def walk_pages(walks: Sequence[Walk]) -> str:
    """Every walk, folded until it is wanted. An HTML fragment."""
    return "".join(f'<details class="walk"><summary>In plain words: {escape(_title(w))}</summary>{walk_page(w)}'
                   "</details>" for w in walks)


def _title(walk: Walk) -> str:
    path, colon, kind = walk.title.partition(": ")
    return f"{part_words(path)}{colon}{kind}"


def walk_page(walk: Walk) -> str:
    """One walk."""
    lesson = walk.lesson
    opening = (f'<p>{escape(lesson.purpose)}</p><pre class="sketch" role="img" aria-label="Where the symbols sit">'
               f"{escape(lesson.drawing)}</pre>") if lesson else ""
    came = f'<p class="note">Its demand comes this way: {escape(walk.came_from)}.</p>'
    closing = (_list("The mistakes made most often", lesson.mistakes)
               + f"<h4>With a pencil</h4><p>{escape(lesson.pencil)}</p>") if lesson else ""
    return opening + came + _givens(walk) + _steps(walk) + _effects(walk) + closing


def _symbol(symbol: str) -> str:
    return f"<math>{symbol_mathml(symbol)}</math>"


def _givens(walk: Walk) -> str:
    said = walk.lesson.symbols if walk.lesson else {}
    rows = "".join(
        f'<tr><th scope="row">{_symbol(s.symbol)}</th>{cell("What and where", escape(said.get(s.symbol, s.meaning)))}'
        f'{cell("Value", escape(value_text(s.value, s.dimension)), "num")}{cell("Stands on", escape(standing(s)))}</tr>'
        for s in unique_givens(walk.trace))
    heads = "Symbol", "What and where", "Value", "Stands on"
    return table("ledger walk-givens", "What goes in", heads, f"<tbody>{rows}</tbody>", (2,)) if rows else ""


def _steps(walk: Walk) -> str:
    items = "".join(f"<li>{_symbol(s.symbol)}, {escape(s.meaning)}: <b>{escape(value_text(s.value, s.dimension))}</b>. "
                    f"{escape(' '.join(about_step(s, walk)))}</li>"
                    for s in filter(worth_a_word, working_steps(walk.trace)))
    return f'<h4>Step by step</h4><ol class="walk-steps">{items}</ol>'


def _effects(walk: Walk) -> str:
    """The inputs that move the margin when they are doubled, and those that do not."""
    moving = [e for e in walk.effects if not abs(e.factor - 1) <= STILL]
    if not moving or not walk.findings:
        return ""
    items = "".join(f"<li>{_symbol(e.symbol)}, {escape(e.meaning)}: it {escape(effect_words(e.factor))}</li>"
                    for e in moving)
    return (f"<h4>What moves the margin on {escape(walk.findings[0].mode)}: each input doubled alone</h4>"
            f"<ul>{items}</ul>")


def _list(title: str, texts: Sequence[str]) -> str:
    return f"<h4>{escape(title)}</h4><ul>{''.join(f'<li>{escape(t)}</li>' for t in texts)}</ul>"
