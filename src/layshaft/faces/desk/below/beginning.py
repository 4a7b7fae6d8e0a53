"""The first machine of an empty folder or an empty file, from the questions of `layshaft new`."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.project.answers import EXTRAS, QUESTIONS
from layshaft.project.new import answers
from layshaft.trace.errors import BadInput

router = APIRouter()
KEYS = tuple(q.key for q in (*QUESTIONS, *EXTRAS))


@router.post("/begin")
async def begin(request: Request) -> Response:
    """Write the first machine; an answer that cannot be used is said, and nothing is written."""
    desk = desk_of(request)
    form = await request.form(max_files=0, max_fields=20)
    told = {key: str(form[key]).strip() for key in KEYS if str(form.get(key, "")).strip()}
    try:
        desk.draft.begin(answers(told))
    except BadInput as why:
        return desk.refused(request, why, "/", form=told)
    return back_to("/")
