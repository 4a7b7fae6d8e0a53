"""The room of the formulary: every published method with a form made from its signature, and the solids."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request, Response
from markupsafe import Markup, escape

from layshaft.faces import formulary as book
from layshaft.faces import formulary_index as index
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.shown.used_here import used_here
from layshaft.trace.errors import BadInput
from layshaft.trace.formula import FormulaInfo
from layshaft.trace.mathml import formula_mathml, symbol_mathml
from layshaft.trace.registry import load_choices, meaning_of, room_of, used_by
from layshaft.trace.sheet import source_text
from layshaft.trace.units import Dimension, printing_in, shown

ROOM = Room("/formulary", "Formulary", "Every formula of the house, usable alone", any_machine=True)
NAME, UNIT = "name", "in"
MOST_UNITS = 7
SIGNS = {"+": "", "-": "\N{MINUS SIGN}"}
router = APIRouter()


@dataclass(frozen=True)
class Blank:
    """One input of a formula's form, and what is wrong with what stands in it."""

    name: str
    symbol: Markup
    meaning: str
    units: str
    example: str
    value: str
    why: str = ""


@router.get("/formulary")
def formulary(request: Request, name: str = "", find: str = "", room: str = "") -> Response:
    """The rooms of formulas; those that speak of some words; one room; or one formula with its form."""
    desk = desk_of(request)
    state = desk.draft.look()
    with printing_in(state.machine.units if state.verdict is not None else ""):
        if name:
            return _one(request, state, name)
        there = index.room_named(room) if room else None
        if room and there is None:
            raise BadInput(f"There is no room '{room}' of formulas.")
        found = index.search(find) if find.strip() else []
        decisions = [t for t in load_choices() if not find or _speaks(t, find)]
        return desk.page(request, "formulary.html", state, find=find, found=found, there=there, groups=index.groups(),
                         about=index.rooms_about(find), inside=index.formulas_of(room) if there else [],
                         often=index.asked_often(),
                         decisions=decisions, called=lambda i: index.about_name(room_of(i)), symbol=symbol_of,
                         idea=_idea)


def _idea(info: FormulaInfo) -> str:
    """The first sentence a formula says of itself."""
    return " ".join(info.explanation.split("\n\n")[0].split())


def _speaks(title: str, find: str) -> bool:
    return any(len(word) > 2 and word in title.casefold() for word in find.casefold().split())


def _one(request: Request, state: State, name: str) -> Response:
    desk = desk_of(request)
    decision = load_choices().get(name)
    if decision is not None:
        return desk.page(request, "decision.html", state, name=name, text=book.side_by_side(decision))
    info = book.find(name)
    unit = request.query_params.get(UNIT, "")
    asked = {p: request.query_params.get(p, "").strip() for p in info.parameters}
    wrong = book.wrong_inputs(info, asked) if any(asked.values()) else {}
    here, many = used_here(state.verdict, info) if state.verdict is not None else ([], 0)
    room = room_of(info)
    return desk.page(
        request, "formula.html", state, info=info, formula=Markup(formula_mathml(info)), unit=unit,
        blanks=[_blank(info, p, d, asked[p], wrong.get(p) or book.unusual(info, p, asked[p]))
                for p, d in info.dimensions.items()],
        source=source_text(info.source), trust=info.source, users=used_by(info), units=_units(info.dimension),
        here_used=[(u, _powers(u.value)) for u in here], many=many, **_checks(info),
        inside=index.room_named(room), sheet=symbol_of(info), **_answer(info, asked, unit, wrong))


def _checks(info: FormulaInfo) -> dict[str, Any]:
    """How many checks against something outside cover a formula, in words."""
    found = book.checks_of(info.name)
    kinds = ("published value", "value from memory"), ("published values", "values from memory")
    if found is None:
        return {"checks": False, "told_checks": ""}
    said = [f"{n} against {kinds[n != 1][i]}" for i, n in enumerate(found[:2]) if n]
    said += [f"{found[2]} against closed forms and general libraries"] if found[2] else []
    return {"checks": True, "told_checks": f"{', '.join(said)}." if said else "None yet."}


def symbol_of(info: FormulaInfo) -> Markup:
    """The symbol of the result, set."""
    return Markup(f"<math>{symbol_mathml(info.symbol)}</math>")


def _answer(info: FormulaInfo, asked: dict[str, str], unit: str, wrong: dict[str, str]) -> dict[str, Any]:
    """The result, or one sentence on why there is none."""
    if not any(asked.values()):
        return {"answer": "", "why": ""}
    if wrong:
        many = len(wrong)
        return {"answer": "", "why": "One input is missing or cannot be so: see beside it." if many == 1 else
                f"{many} inputs are missing or cannot be so: see beside them."}
    try:
        found = book.compute(info.name, [f"{p}={text}" for p, text in asked.items()], unit or None)
    except BadInput as error:
        return {"answer": "", "why": str(error)}
    if not math.isfinite(found.value):
        return {"answer": "", "why": f"Unknown with these inputs: "
                f"{info.outside or 'they lead to no finite number'}."}
    said = _powers(shown(found.value, info.dimension, unit or None, digits=6))
    return {"answer": said, "why": "", "stock": _stock(found, unit) if info.stock is not None else ""}


def _stock(found: book.Computed, unit: str) -> str:
    size = found.stock_size
    return "none is large enough" if size is None else shown(size, found.info.dimension, unit or None)


def _powers(text: str) -> Markup:
    """A number with its power of ten as it is written by hand."""
    return Markup(re.sub(r"e([+-])0*(\d+)", lambda m: f" · 10<sup>{SIGNS[m[1]]}{m[2]}</sup>", str(escape(text))))


def _blank(info: FormulaInfo, parameter: str, dimension: Dimension, value: str, why: str) -> Blank:
    example = f"1 {dimension.printed[0]}".rstrip()
    meaning = meaning_of(info, parameter) or parameter
    units = ", ".join(_units(dimension)[:MOST_UNITS])
    if "" in dimension.units:
        units = "a plain number" + (" or %" if "%" in dimension.units else "")
    return Blank(parameter, Markup(f"<math>{symbol_mathml(parameter)}</math>"), meaning, units, example, value, why)


def _units(dimension: Dimension) -> list[str]:
    """Units the door takes, the printed one first."""
    return [u for u in dict.fromkeys((*dimension.printed, *dimension.units)) if u not in ("", "1", '"')]
