"""The room of the formulary: every published method with a form made from its signature, and the solids."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from layshaft.faces import formulary as book
from layshaft.faces.desk.rendering import desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.trace.errors import BadInput
from layshaft.trace.formula import FormulaInfo
from layshaft.trace.mathml import formula_mathml, symbol_mathml
from layshaft.trace.registry import load_all, load_choices, meaning_of, room_of, used_by
from layshaft.trace.sheet import source_text
from layshaft.trace.units import Dimension, printing_in

ROOM = Room("/formulary", "Formulary", "Every formula of the house, usable alone", any_machine=True)
NAME, UNIT = "name", "in"
router = APIRouter()


@dataclass(frozen=True)
class Blank:
    """One input of a formula's form."""

    name: str
    symbol: Markup
    meaning: str
    units: str
    example: str
    value: str


@router.get("/formulary")
def formulary(request: Request, name: str = "", find: str = "") -> Response:
    """The list, narrowed by words; or one formula with its form, worked out where its inputs are all there."""
    desk = desk_of(request)
    state = desk.draft.look()
    units = state.machine.units if state.verdict is not None else ""
    with printing_in(units):
        if name:
            return _one(request, name)
        return desk.page(request, "formulary.html", state, groups=groups(find), find=find,
                         decisions=[t for t in load_choices() if find.casefold() in t.casefold()])


def groups(find: str) -> list[tuple[str, list[FormulaInfo]]]:
    """Formulas by room whose name, symbol, meaning or source hold every word asked for."""
    words = find.casefold().split()
    kept = [i for i in load_all().values()
            if all(w in f"{i.name} {i.symbol} {i.meaning} {i.source.work}".casefold() for w in words)]
    return [(room.split(".", 1)[1].replace("_", " "), list(ours))
            for room, ours in groupby(sorted(kept, key=lambda i: (room_of(i), i.name)), room_of)]


def _one(request: Request, name: str) -> Response:
    desk = desk_of(request)
    state = desk.draft.look()
    decision = load_choices().get(name)
    if decision is not None:
        return desk.page(request, "decision.html", state, name=name, text=book.side_by_side(decision))
    info = book.find(name)
    asked = {p: request.query_params.get(p, "").strip() for p in info.parameters}
    answer, why = "", ""
    if any(asked.values()):
        try:
            given = [f"{p}={text}" for p, text in asked.items() if text]
            answer = book.compute(info.name, given, request.query_params.get(UNIT) or None).text
        except BadInput as error:
            why = str(error)
    return desk.page(request, "formula.html", state, info=info, math=Markup(formula_mathml(info)),
                     blanks=[_blank(info, p, d, asked[p]) for p, d in info.dimensions.items()], answer=answer, why=why,
                     source=source_text(info.source), users=used_by(info), units=_units(info.dimension),
                     unit=request.query_params.get(UNIT, ""))


def _blank(info: FormulaInfo, parameter: str, dimension: Dimension, value: str) -> Blank:
    example = f"1 {dimension.shown[0]}".rstrip()
    meaning = meaning_of(info, parameter) or parameter
    return Blank(parameter, Markup(f"<math>{symbol_mathml(parameter)}</math>"), meaning,
                 ", ".join(_units(dimension)) or "a plain number", example, value)


def _units(dimension: Dimension) -> list[str]:
    """Units the door takes, the printed one first."""
    return [u for u in dict.fromkeys((*dimension.printed, *dimension.units)) if u not in ("", "1", '"')]
