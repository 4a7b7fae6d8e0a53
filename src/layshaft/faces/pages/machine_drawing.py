"""The drawing of a machine for a page, or as one picture by itself."""

from __future__ import annotations

import re
from collections.abc import Callable

from layshaft.faces.pages.drawing import VIEWS, drawings, plane_of, scene_of, view
from layshaft.faces.pages.look import look
from layshaft.faces.pages.style import style
from layshaft.trace.errors import BadInput
from layshaft.verdict.rate import Verdict

OURS = (".d-", ".t-", ".drawing", "svg.drawing", "path.d-", "polygon.d-")
"""How the rules of a drawing begin in the style sheet of all pages."""

SANS = "'Noto Sans','Liberation Sans','DejaVu Sans',sans-serif"


def machine_drawing(verdict: Verdict, *, case: str = "", quantity: str = "", held: str = "",
                    moved: frozenset[str] = frozenset(), link: Callable[[str], str] | None = None) -> str:
    """Both views, each shaft by itself, and what has no place: an HTML fragment.

    `case` is the title of a case, `quantity` what is drawn along shafts and stages, `held` a shaft held fast, `moved`
    paths that an edit has changed. With `link` every part is a link to the address it gives for its path.
    """
    return drawings(verdict.solved, look(verdict, case=case, quantity=quantity, held=held, moved=moved, link=link))


def picture(verdict: Verdict, name: str, *, case: str = "", quantity: str = "", held: str = "") -> str:
    """One view as an SVG file that needs nothing else: its style stands in it."""
    if name not in VIEWS:
        raise BadInput(f"There is no view '{name}'. Choose {' or '.join(VIEWS)}.")
    scene = scene_of(verdict.solved, look(verdict, case=case, quantity=quantity, held=held))
    if not scene.shown.bars:
        raise BadInput("No shaft has a place yet, so there is nothing to draw. Give `at` of one shaft, and `line` and "
                       "distance of the stages that lead on.")
    plane, title = plane_of(scene, name)
    markup, _ = view(scene, name, plane, f"{verdict.solved.machine.title}. {title}")
    head, rest = markup.split(">", 1)
    size = re.search(r'viewBox="0 0 (\S+) (\S+)"', head)
    assert size is not None
    width, height = size.groups()
    return (f'<?xml version="1.0" encoding="UTF-8"?>\n{head} width="{width}" height="{height}"><style>{own_style()}'
            f'</style><rect width="{width}" height="{height}" fill="#fff"/>{rest}\n')


def own_style() -> str:
    """Rules of a drawing alone, with colours and letters put in: other programs know no variables."""
    sheet = style()
    colours = dict(re.findall(r"--([a-z]+):(#[0-9a-f]+)", sheet))
    rules = []
    for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", sheet):
        names = [s.strip() for s in selector.split(",")]
        if all(n.startswith(OURS) and ":" not in n for n in names) and not selector.strip().startswith("@"):
            rules.append(f"{','.join(names)}{{{re.sub('var.--([a-z]+).', lambda m: _value(m[1], colours), body)}}}")
    return "".join(rules)


def _value(name: str, colours: dict[str, str]) -> str:
    return SANS if name in ("sans", "serif") else colours[name]
