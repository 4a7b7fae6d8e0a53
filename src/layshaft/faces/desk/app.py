"""The desk's server: rooms, the draft's own requests, and files that never change. Loopback only."""

from __future__ import annotations

from importlib.resources import files
from typing import Annotated

from fastapi import Depends, FastAPI, Form, Request, Response
from fastapi.responses import PlainTextResponse
from starlette.types import ASGIApp

from layshaft.faces.desk import asking
from layshaft.faces.desk.below import beginning, changes, finishing, lists, mending, naming, readings, removing, whole
from layshaft.faces.desk.drafting.draft import Draft
from layshaft.faces.desk.drafting.moved import in_words
from layshaft.faces.desk.drafting.runs import Runs
from layshaft.faces.desk.guard import Guard
from layshaft.faces.desk.rendering import TOUR, TOUR_STEPS, Desk, back_to
from layshaft.faces.desk.rooms import rooms
from layshaft.faces.pages.keys import key_meant
from layshaft.faces.pages.style import style
from layshaft.faces.pages.words import part_words
from layshaft.trace.errors import BadInput

SCRIPTS = ("htmx.min.js", "idiomorph-ext.min.js", "uPlot.iife.min.js", "uPlot.min.css")
KINDS = {"js": "text/javascript", "css": "text/css"}
FOR_A_WHILE = {"cache-control": "private, max-age=3600"}
A_YEAR = 31_536_000
MOVED = '{"desk-moved": {"number": %d}}'
FAULT = ("The desk could not work this out ({}): a fault of the program, not of yours. What is changed and not kept "
         "stands at the foot of the page. Please report it, with what is written where the desk was started.")
Field = Annotated[str, Form()]


def desk_app(draft: Draft) -> FastAPI:
    """The application for one machine file, without its guard."""
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    found = rooms()
    desk = app.state.desk = Desk(draft, [room for room, _ in found], Runs(draft))
    for room, router in found:
        app.include_router(router, dependencies=[] if room.any_machine else [Depends(_machine_is_there)])
    app.include_router(beginning.router)
    for below in (changes, finishing, lists, mending, naming, readings, removing, whole):
        app.include_router(below.router, dependencies=[Depends(_machine_is_there)])
    _add_files(app)
    _add_draft(app, desk)
    _add_taking_back(app, desk)
    _add_way_back(app, draft)
    _add_looking(app, draft)

    @app.exception_handler(NoMachineError)
    def begins(request: Request, why: NoMachineError) -> Response:
        del why
        return desk.page(request, "no-machine.html")

    @app.exception_handler(BadInput)
    def refused(request: Request, why: BadInput) -> Response:
        return desk.refused(request, why)

    @app.exception_handler(Exception)
    def faulty(request: Request, why: Exception) -> Response:
        """A fault of ours is said on the page; it is told in the terminal too."""
        page = desk.page(request, "refused.html", why=FAULT.format(type(why).__name__))
        page.status_code = 500
        return page

    return app


class NoMachineError(Exception):
    """A room was asked for and there is nothing to show in it yet."""


def _machine_is_there(request: Request) -> None:
    """Rooms are only asked where there is a machine with something that turns; else one page says how to get it."""
    state = request.app.state.desk.draft.look()
    if state.verdict is None or state.empty:
        raise NoMachineError


def guarded(draft: Draft, port: int) -> Guard:
    """The application behind its guard."""
    app: ASGIApp = desk_app(draft)
    return Guard(app, (f"127.0.0.1:{port}", f"localhost:{port}"), {lists.SENT: lists.MOST_SENT})


def _add_files(app: FastAPI) -> None:
    """Style and scripts, by name: no path is ever put together from what is asked for."""
    home = files("layshaft.faces.desk")
    texts = {place.name: place for place in home.joinpath("static").iterdir() if place.name.endswith(tuple(KINDS))}
    texts |= {name: home.joinpath("assets", name) for name in SCRIPTS}

    @app.get("/files/{name}")
    def file(name: str) -> Response:
        kind = KINDS.get(name.rpartition(".")[2], "")
        if name == "pages.css":
            return Response(style(), media_type=KINDS["css"], headers=FOR_A_WHILE)
        if name not in texts or not texts[name].is_file():
            return PlainTextResponse(f"There is no file {name} here.\n", 404)
        return Response(texts[name].read_bytes(), media_type=kind, headers=FOR_A_WHILE)


def _add_draft(app: FastAPI, desk: Desk) -> None:
    """Edit, keep, drop, undo: each answers with the page it was asked from."""
    draft = desk.draft

    @app.post("/edit")
    def edit(request: Request, path: Field, value: Field = "", low: Field = "", high: Field = "", source: Field = "",
             note: Field = "", back: Field = "/") -> Response:
        state, typed = draft.look(), path
        try:
            path = key_meant(state.machine, typed)
            asked = asking.option_of(state, path, asking.Asked(value, low, high, source, note))
            draft.edit(asked, f"{part_words(path)}: {value.strip()}" if value.lstrip()[:1] in ("[", "{") else "")
            if state.says(asked):  # not what the draft is now: another window may have kept or dropped it meanwhile
                raise BadInput(f"{part_words(path)} is {value.strip() or 'left out'} already.")
        except BadInput as why:
            return desk.refused(request, why, back, typed, value)
        return back_to(back)

    @app.post("/keep")
    def keep(back: Field = "/") -> Response:
        was = draft.look()
        desk.gone.note(was, draft.keep(in_words(was)), "It was taken out, and that was kept in the file.")
        return back_to(back)

    @app.post("/drop")
    def drop(number: Annotated[int | None, Form()] = None, back: Field = "/") -> Response:
        was = draft.look()
        desk.undone = False
        desk.gone.note(was, draft.drop(number), "It had come with a change that was dropped.")
        return back_to(back)

    @app.post("/dismiss")
    def dismiss(back: Field = "/") -> Response:
        draft.dismiss()
        return back_to(back)


def _add_taking_back(app: FastAPI, desk: Desk) -> None:
    """Undo and redo what was kept, and the line that says so."""
    draft = desk.draft

    @app.post("/undo")
    def undo(back: Field = "/") -> Response:
        was = draft.look()
        desk.gone.note(was, draft.undo(), "It had come with a change that was undone.")
        desk.undone, desk.closed = True, None
        return back_to(back)

    @app.post("/redo")
    def redo(back: Field = "/") -> Response:
        was = draft.look()
        desk.undone = False
        desk.gone.note(was, draft.redo(), "It was taken out by a change that was made again.")
        return back_to(back)

    @app.post("/close")
    def close(back: Field = "/") -> Response:
        desk.close()
        return back_to(back)


def _add_way_back(app: FastAPI, draft: Draft) -> None:
    """What brings a broken or missing file back."""

    @app.post("/put-back")
    def put_back(back: Field = "/") -> Response:
        draft.put_back()
        return back_to(back)


def _add_looking(app: FastAPI, draft: Draft) -> None:
    """What the windows ask for by themselves, and the tour."""

    @app.get("/moved")
    def moved(seen: int) -> Response:
        newest = draft.look().number
        return Response(status_code=204, headers={"hx-trigger": MOVED % newest} if newest != seen else {})

    @app.post("/tour")
    def tour(step: Annotated[int, Form(ge=0, le=TOUR_STEPS)] = 0, back: Field = "/") -> Response:
        answer = back_to(back)
        answer.set_cookie(TOUR, str(step), max_age=A_YEAR, httponly=True, samesite="strict")
        return answer


