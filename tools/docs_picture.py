"""The README's picture: the end view of the demo machine, drawn from its file, as one SVG."""

import re
from pathlib import Path

import layshaft
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.faces.pages.style import style

HARBOUR_LIGHT = Path(__file__).parents[1] / "examples" / "harbour-light"


def picture():
    """The first drawing of the report with its rules inside, so that it stands alone."""
    page = machine_drawing(layshaft.rate(layshaft.solve(layshaft.read(HARBOUR_LIGHT))))
    svg = re.search(r"<svg.*?</svg>", page, re.DOTALL).group(0)
    used = set(re.findall(r'class="([^"]+)"', svg))
    names = {name for group in used for name in group.split()}
    head = svg.index(">") + 1
    sheet = '<rect width="100%" height="100%" fill="#fff"/>'
    return svg[:head] + f"<style>{rules(names)}</style>{sheet}" + svg[head:] + "\n"


def rules(names):
    """Rules of the page's style that the drawing's own classes need."""
    css = re.sub(r"/\*.*?\*/", "", style(), flags=re.DOTALL)
    css = re.sub(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}|@page[^{]*\{[^{}]*(?:\{[^{}]*\}[^{}]*)*\}", "", css)
    found = []
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", css):
        wanted = [s.strip() for s in selectors.split(",")
                  if s.strip() == ":root" or set(re.findall(r"\.([a-z][\w-]*)", s)) & names]
        if wanted:
            found.append(f"{','.join(wanted)}{{{body.strip()}}}")
    return "".join(found)
