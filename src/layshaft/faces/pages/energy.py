"""Where the power goes: bands as wide as the power they carry, and the books that add up."""

from __future__ import annotations

from html import escape
from typing import Any

import numpy as np

from layshaft.faces.pages.flow import Node, known, trees
from layshaft.faces.pages.svg import figure, group, line, number, path, text
from layshaft.faces.pages.words import cell, mean, table
from layshaft.trace.units import ENERGY, FORCE, POWER, TIME, shown
from layshaft.trace.units import figure as digits
from layshaft.train.energy import Winding
from layshaft.train.solve import Solved

WIDTH, ROW, TOP, WORDS, LEFT = 720.0, 17.0, 26.0, 214.0, 4.0
THICK = 150.0
"""Width of the band that carries all the power."""

POST = 5.0
"""Width of the post that stands for a shaft."""


def energy(solved: Solved) -> str:
    """The band drawing, the books as a table, and what one winding gives. An HTML fragment."""
    budget = solved.budget
    if budget is None or not budget.entries:
        return '<p class="nothing">No drive puts power in while the machine runs: there are no books to keep.</p>'
    return bands(solved) + books(solved) + "".join(_winding(w) for w in budget.windings) + _start(solved)


def bands(solved: Solved) -> str:
    """The flow from drives to loads as one figure; in words where a power is unknown."""
    found = trees(solved)
    if not known(solved):
        return ('<p class="nothing">The flow is not drawn: some powers are unknown. The books below name them.</p>')
    if not found:
        return '<p class="nothing">Nothing flows while the machine runs.</p>'
    total = sum(n.power for n in found)
    drawn = Bands(total, max(n.depth for n in found), _time(solved))
    y = TOP
    for tree in found:
        y = drawn.tree(tree, y) + 14
    title = f"Power of {solved.machine.title} while it runs"
    words = "; ".join(_told(n) for n in found)
    markup = figure("energy-flow", title, words, (WIDTH, y), drawn.parts, "drawing flow")
    return (f'<figure class="plate"><div class="scroll">{markup}</div><figcaption><b>Where the power goes</b> in the '
            "running mean. Each band is as wide as its power; plain bands work, hatched ones are lost to friction. "
            f"{_per_drop(solved)}</figcaption></figure>")


def _per_drop(solved: Solved) -> str:
    return "The energy is that of one full drop." if np.isfinite(_time(solved)) else ""


def _time(solved: Solved) -> float:
    """Running time of one drop, where there is exactly one weight."""
    assert solved.budget is not None
    windings = solved.budget.windings
    return mean(windings[0].time) if len(windings) == 1 else float("nan")


def _told(node: Node) -> str:
    """The tree in words for those who do not see it."""
    own = f"{node.name} {shown(node.power, POWER)}"
    return own + (f" to ({', '.join(_told(o) for o in node.outlets)})" if node.outlets else "")


class Bands:
    """Draws trees from left to right; every leaf has a row of its own, so bands never cross."""

    def __init__(self, total: float, depth: int, time: float) -> None:
        self.scale = THICK / total
        self.step = (WIDTH - WORDS - LEFT - POST) / max(depth - 1, 1)
        self.time = time
        self.parts: list[str] = [
            '<defs><pattern id="lost" width="5" height="5" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><line class="f-hatch" x1="0" y1="0" x2="0" y2="5"/></pattern></defs>']

    def tree(self, root: Node, top: float) -> float:
        """Draw one drive and all it feeds; returns where the next may start."""
        low = self._place(root, top)
        spread = (top + low) / 2 - root.power * self.scale / 2
        self._node(root, LEFT, spread, top)
        return low

    def _place(self, node: Node, top: float) -> float:
        """Height a node takes with all its leaves."""
        return top + self._tall(node)

    def _tall(self, node: Node) -> float:
        if not node.outlets:
            return max(node.power * self.scale + 5, ROW)
        return max(sum(self._tall(o) for o in node.outlets), node.power * self.scale + 5)

    def _node(self, node: Node, x: float, y: float, top: float) -> None:
        """Post and name at (x, y), then a band to each outlet in the rows from `top` on."""
        thick = node.power * self.scale
        if not node.outlets:
            self._leaf(node, y + thick / 2)
            return
        self.parts.append(path(f"M{number(x)} {number(y)}h{number(POST)}v{number(max(thick, 0.8))}h{number(-POST)}z",
                               "f-post"))
        css = "d-name" if node.kind == "drive" else "d-text d-strong"
        words = node.name if node.kind == "shaft" else f"{node.name} {shown(node.power, POWER)}"
        self.parts.append(text((x, y - 5), words, css))
        at, row = y, top
        for outlet in node.outlets:
            tall, width = self._tall(outlet), outlet.power * self.scale
            middle = row + tall / 2 - width / 2
            end = x + self.step if outlet.outlets else WIDTH - WORDS
            self.parts.append(self._band((x + POST, at), (end, middle), width, outlet.kind))
            self._node(outlet, end, middle, row)
            at, row = at + width, row + tall

    def _band(self, a: tuple[float, float], b: tuple[float, float], width: float, kind: str) -> str:
        bend = min((b[0] - a[0]) / 2, self.step / 2)
        c, d = a[0] + bend, a[0] + 2 * bend
        n = number
        upper = f"M{n(a[0])} {n(a[1])}C{n(c)} {n(a[1])} {n(c)} {n(b[1])} {n(d)} {n(b[1])}H{n(b[0])}"
        lower = f"v{n(width)}H{n(d)}C{n(c)} {n(b[1] + width)} {n(c)} {n(a[1] + width)} {n(a[0])} {n(a[1] + width)}z"
        return path(upper + lower, f"f-band f-{'lost' if kind == 'lost' else 'works'}")

    def _leaf(self, node: Node, y: float) -> None:
        x = WIDTH - WORDS
        energy = shown(node.power * self.time, ENERGY, digits=3) if np.isfinite(self.time) else ""
        css = "d-text" if node.kind == "lost" else "d-text d-strong"
        self.parts.append(group([line((x, y), (x + 6, y), "d-leader"), text((x + 10, y + 3.5), node.name, css),
                                 text((WIDTH - 62, y + 3.5), _watts(node.power), css, "end"),
                                 text((WIDTH - 2, y + 3.5), energy, css, "end")], "f-leaf"))


def books(solved: Solved) -> str:
    """Every line of the books with sums: what goes in is what is used and lost."""
    assert solved.budget is not None
    time = _time(solved)
    drop = np.isfinite(time)
    places = _places(max((mean(solved.budget.total("in")), 1e-3)))
    heads = ("What", "Power, W", *(("Energy of a drop, J",) if drop else ()))
    bodies = []
    for kind, head in (("in", "Goes in"), ("used", "Does work"), ("lost", "Lost to friction")):
        entries = [e for e in solved.budget.entries if e.kind == kind]
        rows = "".join(_line(e.name, mean(e.power), time, places) for e in entries)
        total = mean(solved.budget.total(kind))  # type: ignore[arg-type]
        bodies.append(f'<tbody><tr class="band"><th colspan="{len(heads)}" scope="rowgroup">{head}</th></tr>{rows}'
                      f"{_line('Sum', total, time, places, 'sum')}</tbody>")
    left = mean(solved.budget.total("in") - solved.budget.total("used") - solved.budget.total("lost"))
    bodies.append(f"<tbody>{_line('In, less work, less losses', left, time, places, 'sum')}</tbody>")
    return table("ledger books", "The books of the running mean", heads, "".join(bodies),
                 (1, 2))


def _places(total: float) -> int:
    """Decimals that show the total with five digits."""
    return int(np.clip(4 - np.floor(np.log10(total)), 0, 7)) if np.isfinite(total) else 4


def _line(name: str, power: float, time: float, places: int, css: str = "") -> str:
    cells = [cell("Power, W", _plain(power, places), "num")]
    if np.isfinite(time):
        cells.append(cell("Energy of a drop, J", _plain(power * time, max(places - 2, 0)), "num"))
    return f'<tr class="{css}"><th scope="row">{escape(name)}</th>{"".join(cells)}</tr>'


def _plain(value: float, places: int) -> str:
    return f"{value + 0.0:.{places}f}".replace("-0." + "0" * places, "0." + "0" * places) if np.isfinite(value) \
        else "unknown"


def _winding(w: Winding) -> str:
    """What one full drop gives and what rewinding it asks of a person, as a list of facts."""
    facts: list[tuple[str, Any, Any]] = [
        ("stored in one full drop", w.stored, ENERGY), ("takes to lift" if w.lifted else "lasts", w.time, TIME),
    ]
    if w.crank:
        facts += [(f"force on the handle of {w.crank}", w.handle_force, FORCE),
                  ("power of the person", w.person_power, POWER),
                  *([] if w.lifted else [("rewinding takes", w.winding_time, TIME)]),
                  ("and gives the person's work", w.person_energy, ENERGY)]
    items = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(shown(mean(value), dimension))}</dd></div>"
                    for name, value, dimension in facts)
    turns = f"<div><dt>turns of the wheel in a drop</dt><dd>{digits(mean(w.turns), 3)}</dd></div>"
    if w.crank:
        turns += f"<div><dt>turns of {escape(w.crank)}</dt><dd>{digits(mean(w.crank_turns), 3)}</dd></div>"
    return f'<h3>One drop of {escape(w.drive)}</h3><dl class="facts">{items}{turns}</dl>'


def _start(solved: Solved) -> str:
    assert solved.budget is not None
    return "".join(
        f"<p>At rest {escape(name)} gives {digits(mean(ratio), 3)} times the torque that breaks everything away in "
        "the worst position. Below 1 the machine stands still; 1.5 is usually wanted.</p>"
        for name, ratio in solved.budget.start_ratio.items())


def _watts(power: float) -> str:
    """Three digits, and no more than three decimals: a hair of a band needs no more."""
    return shown(power, POWER, digits=3 if power >= 0.1 else 2 if power >= 0.01 else 1)
