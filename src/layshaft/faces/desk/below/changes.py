"""Everything the draft moved, on a page of its own: every figure as it was and as it is."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from layshaft.faces.desk.rendering import desk_of
from layshaft.trace.units import printing_in

router = APIRouter()


@router.get("/moved-figures")
def moved_figures(request: Request) -> Response:
    """The verdicts that turned first, then every other figure that reads otherwise than before."""
    desk = desk_of(request)
    state = desk.draft.look()
    with printing_in(state.machine.units):
        return desk.page(request, "moved.html", state)
