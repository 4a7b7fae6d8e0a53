"""A drawing that stands alone: the rules it needs are put into it, so that any program shows it as the page does."""

from __future__ import annotations

import functools
import re
from html import escape
from importlib.resources import files

from layshaft.faces.pages.style import style

_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_VARIABLE = re.compile(r"(--[a-z]+):([^;}]+)")
OURS = re.compile(r"\.(?:[dfcrt]-|drawing|chart|reach)")
SERIF = "Libertinus Serif"
WIDE = 180.0
"""Millimetres a drawing is wide on paper; its scale holds there."""

HEAD = 24.0
"""Height of the line with the title of a drawing, in the units of its view."""



def pictures(html: str) -> list[str]:
    """Every drawing of a fragment, in order."""
    return re.findall(r"<svg.*?</svg>", html, re.DOTALL)


def alone(svg: str, font: str = "sans-serif") -> str:
    """The drawing with its style inside and its size as that of its view."""
    box = re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', svg)
    size = f' width="{box.group(1)}" height="{box.group(2)}"' if box else ""
    head, _, rest = svg.partition(">")
    return f"{head}{size}><style>{_rules()}svg{{font-family:{font}}}</style>{rest}"


def titled(svg: str, words: str) -> str:
    """A drawing that stands alone with what it shows written above it, at its size on paper."""
    box = re.search(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"', svg)
    if box is None:
        return svg
    wide, high = float(box.group(1)), float(box.group(2))
    size = f' width="{WIDE:g}mm" height="{(high + HEAD) * WIDE / wide:.5g}mm"'
    framed = re.sub(r' width="[0-9.]+" height="[0-9.]+"', size,
                    svg.replace(box.group(0), f'viewBox="0 {-HEAD:g} {wide:g} {high + HEAD:g}"', 1), count=1)
    head, _, rest = framed.partition("</style>")
    return f'{head}</style><text x="0" y="{14 - HEAD:g}" font-size="11" fill="#1d2530">{escape(words)}</text>{rest}'


def ratio_after(html: str, svg: str) -> str:
    """The scale a page tells of a drawing, in the line below it: `1 : 15 when printed 180 mm wide`; else blank."""
    found = re.search(r'class="ratio">(1 : [0-9.]+ when printed 180 mm wide)', html[html.find(svg) + len(svg):])
    return found.group(1) if found else ""


def title_of(svg: str) -> str:
    """What a drawing shows, in the words it carries for those who do not see it."""
    found = re.search(r"<title[^>]*>(.*?)</title>", svg, re.DOTALL)
    return found.group(1) if found else "drawing"


@functools.cache
def _rules() -> str:
    """The rules for drawings of the pages, with every named colour put in."""
    text = style() + files("layshaft.faces.desk").joinpath("static", "rooms.css").read_text(encoding="utf-8")
    named = dict(_VARIABLE.findall(text[text.index(":root"):text.index("}")]))
    plain = re.sub(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*\s*\}", "", re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL))
    kept = [f"{selector.strip()}{{{_without_font(body)}}}" for selector, body in _RULE.findall(plain)
            if OURS.search(selector) and not selector.strip().startswith("@")]
    return re.sub(r"var\((--[a-z]+)\)", lambda m: named.get(m.group(1), "#000"), "".join(kept)).replace("\n", " ")


def _without_font(body: str) -> str:
    return ";".join(part for part in body.split(";") if not part.startswith(("font-family", "display", "width", "min-",
                                                                             "max-", "height", "margin", "break")))
