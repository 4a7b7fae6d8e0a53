"""The drawing of a machine for a page, or as one picture by itself."""

from __future__ import annotations

from collections.abc import Callable

from layshaft.faces.pages.drawing import VIEWS, drawings, plane_of, scene_of, view
from layshaft.faces.pages.format import Format
from layshaft.faces.pages.look import look
from layshaft.trace.errors import BadInput
from layshaft.verdict.rate import Verdict


def machine_drawing(verdict: Verdict, *, case: str = "", quantity: str = "", held: str = "",
                    moved: frozenset[str] = frozenset(), link: Callable[[str], str] | None = None, only: str = "",
                    form: Format | None = None) -> str:
    """Both views, each shaft by itself, and what has no place: an HTML fragment.

    `case` is the title of a case, `quantity` what is drawn along shafts and stages, `held` a shaft held fast, `moved`
    paths that an edit has changed. With `link` every part is a link to the address it gives for its path. `only` is
    the one view that is wanted (end, side or shafts), `form` the room it has; without, it is made for print.
    """
    return drawings(verdict.solved, look(verdict, case=case, quantity=quantity, held=held, moved=moved, link=link,
                                         only=only, form=form))


def picture(verdict: Verdict, name: str, *, case: str = "", quantity: str = "", held: str = "") -> str:
    """One view as SVG, with the title of the machine."""
    if name not in VIEWS:
        raise BadInput(f"There is no view '{name}'. Choose {' or '.join(VIEWS)}.")
    scene = scene_of(verdict.solved, look(verdict, case=case, quantity=quantity, held=held))
    if not scene.shown.bars:
        raise BadInput("No shaft has a place yet, so there is nothing to draw. Give `at` of one shaft, and `line` and "
                       "distance of the stages that lead on.")
    plane, title = plane_of(scene, name)
    return view(scene, name, plane, f"{verdict.solved.machine.title}. {title}")[0]
