"""The room of one part: its verdicts, givens, next sizes, life against speed, sheets and plain words."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import RedirectResponse
from markupsafe import Markup

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import address, back_to, desk_of, part_link
from layshaft.faces.desk.rooms import Room
from layshaft.faces.pages.given_forms import Sending, things_at
from layshaft.faces.pages.part import Shown, ladders, part_body
from layshaft.faces.pages.sizes import would
from layshaft.faces.pages.words import part_words
from layshaft.machine.options import apply
from layshaft.study.compare import AS_IT_STANDS, beside
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.units import printing_in
from layshaft.verdict.ladder import Ladder
from layshaft.verdict.measured import AGAINST
from layshaft.verdict.search import Tried

ROOM = Room("/part", "Part", "One part: its givens, sheets and next sizes")
POSTS = ('method="post" action="{0}" hx-post="{0}" hx-select="#sheet" hx-target="#sheet" '
         'hx-swap="morph:outerHTML"')
Field = Annotated[str, Form()]
router = APIRouter()


@router.get("/part")
def part(request: Request, path: str = "", would: bool = False, sheets: bool = False, words: bool = False,
         guesses: bool = False) -> Response:
    """One part; without a path all of them, to choose from.

    `would` asks what its next sizes do to the whole machine, `sheets` for all of its sheets, `words` for plain words:
    each costs a moment, so a page that follows every edit has them on asking. `guesses` that move the inputs of a sheet
    wait for the run of a new state, unless they are asked for.
    """
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "part.html", state)
    if not path:
        return desk.page(request, "parts.html", state, groups=groups(state))
    found = state.verdict.of(path)
    if not found and not things_at(state.machine, path):
        return _gone(request, state, path)
    here = address(request)
    before = state.before.solved.machine if state.before is not None else None
    way = Sending(here, POSTS.format("/edit"), before, desk.said(request))
    with printing_in(state.machine.units):
        rungs = tuple(ladders(state.verdict, path))
        shown = Shown(sheets, words, guesses or not desk.runs.under_way(state), part_link(path),
                      _would(state, path, rungs, asked=would), rungs,
                      _paper(path) if found else "", lambda n: _save(path, n))
        body = part_body(state.verdict, path, part_link, lambda p, t: choose(p, t, here), way, shown)
        return desk.page(request, "part.html", state, path=path, found=alike(found), against=AGAINST, body=Markup(body),
                         whole=next((t.path for t in things_at(state.machine, path)), path))


def _gone(request: Request, state: State, path: str) -> Response:
    """The page of a part under its new name, or what became of it."""
    desk = desk_of(request)
    gone = desk.gone.of(state, path)
    if gone.now:
        return RedirectResponse(part_link(gone.now), 303)
    page = desk.page(request, "gone.html", state, path=path, gone=gone)
    page.status_code = 404
    return page


@router.post("/part/size")
def size(request: Request, path: Field, name: Field, back: Field = "/") -> Response:
    """Take another size of the series into the draft."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        raise BadInput("There is no machine yet.")
    rung = next((t for one in ladders(state.verdict, path) for t in one.tried if t.candidate.name == name), None)
    if rung is None:
        raise BadInput(f"'{name}' is not among the next sizes of {path} any more. Look at the list again.")
    desk.draft.edit(rung.option, f"{part_words(path)}: {name}")
    return back_to(back)


def choose(path: str, rung: Tried, back: str) -> str:
    """The form that takes a size."""
    name = escape(rung.candidate.name)
    return (f'<form {POSTS.format("/part/size")}><input type="hidden" name="path" value="{escape(path)}"><input '
            f'type="hidden" name="back" value="{escape(back)}"><button class="plain" name="name" value="{name}" '
            f'aria-label="Take {name}">Take</button></form>')


def _paper(path: str) -> str:
    """The way to the sheets as files."""
    where = quote(path)
    return (f'<p class="note">On paper: <a href="/take-away/sheet.pdf?path={where}" download>PDF</a>, '
            f'<a href="/take-away/sheet.html?path={where}" download>HTML</a></p>')


def _save(path: str, number: int) -> str:
    """The way to a chart as a file."""
    where = f"/take-away/chart/{number}.{{}}?path={quote(path)}"
    links = ", ".join(
        f'<a href="{where.format(kind.lower())}" download aria-label="{kind} of chart {number}">{kind}</a>'
        for kind in ("SVG", "PNG"))
    return f' <span class="save">Chart {number} as {links}.</span>'


def _would(state: State, path: str, there: Sequence[Ladder], *, asked: bool) -> str:
    """What the next sizes down and up would do, solved on asking; else the link that asks."""
    rungs = [t for one in there for t in (one.down, one.up) if t is not None]
    if not rungs:
        return ""
    if not asked:
        return (f'<p><a href="{escape(part_link(path))}&amp;would=1#sizes">What would the next sizes do to the whole '
                "machine?</a></p>")
    labels, machines, refused = [AS_IT_STANDS], [state.machine], ""
    for rung in rungs:
        try:
            machines.append(apply(state.machine, rung.option))
            labels.append(rung.candidate.name)
        except BadInput as why:
            refused += f"<li><b>{escape(rung.candidate.name)}</b> does not fit as it is: {escape(str(why))}</li>"
    told = would(beside(labels, machines)) if len(machines) > 1 else ""
    return f"<h3>What they would do to the whole machine</h3>{told}" + (f"<ul>{refused}</ul>" if refused else "")


def alike(found: Sequence[Finding]) -> list[tuple[Finding, str]]:
    """Findings, each with what it checks; those unknown for the same reason at the same place are one."""
    together: dict[tuple[str, ...], list[Finding]] = {}
    for f in found:
        same = f.reason or f.mode if f.verdict == "unknown" else f.mode
        together.setdefault((f.part, f.place, f.verdict, same), []).append(f)
    return [(group[0], ", ".join(f.mode for f in group)) for group in together.values()]


def groups(state: State) -> list[tuple[str, list[Finding]]]:
    """The worst finding of every rated part, by what it belongs to, in the order of the file."""
    assert state.verdict is not None
    titles = {"drives": "Drives", "shafts": "Shafts and what sits on them", "stages": "Stages", "loads": "Loads",
              "fixings": "Fixings", "springs": "Springs", "frames": "Frames", "modules": "Modules", "wants": "Wants"}
    worst: dict[str, Finding] = {}
    for f in state.verdict.findings:
        worst.setdefault(f.part, f)
    found = {title: [f for p, f in worst.items() if p.split(".")[0] == word] for word, title in titles.items()}
    return [(title, fs) for title, fs in found.items() if fs]
