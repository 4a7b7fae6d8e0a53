"""What draws make of demand against rating: one silhouette a verdict, the line it must not pass, where it stands now.

Left of the line demand stays below the rating over its required margin. Told apart by shape and word, not by colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from layshaft.faces.pages import svg
from layshaft.faces.pages.style import style
from layshaft.faces.pages.words import MARKS, name_words, odds_words
from layshaft.study.doubt import Doubt, Odds
from layshaft.trace.findings import Finding
from layshaft.trace.units import figure

MOST = 16
WIDTH, LEFT, RIGHT, ROW, HEAD, FOOT = 900.0, 290.0, 196.0, 40.0, 46.0, 74.0
BINS = 48
WIDEST = 4.0
"""Doublings from the line to either end of the axis, at most."""

Draws = npt.NDArray[np.float64]


def doubt_bands(found: Doubt) -> str:
    """The picture of the verdicts least sure; empty where nothing is drawn."""
    odds = shown_odds(found)
    if not odds or found.outcomes is None:
        return ""
    rows = [_loads(found, o) for o in odds]
    axis = _Axis(rows)
    height = HEAD + ROW * len(odds) + FOOT
    parts = [*axis.drawn(HEAD + ROW * len(odds))]
    for i, (o, row) in enumerate(zip(odds, rows, strict=True)):
        parts += _row(axis, o, row, HEAD + ROW * i + ROW / 2)
    parts += _legend(height - 18)
    return svg.figure("doubt", "Demand against rating in all draws", _in_words(odds), (WIDTH, height), parts)


def doubt_svg(found: Doubt) -> str:
    """The picture as a file of its own; empty where nothing is drawn."""
    whole = doubt_bands(found)
    if not whole:
        return ""
    head, rest = whole.split("<title", 1)
    return f"{head}<style>{style()}</style><title{rest}\n"


def shown_odds(found: Doubt) -> list[Odds]:
    """Verdicts in doubt, least sure first; with none of them, those nearest to failing."""
    known = [o for o in found.odds if o.finding.verdict != "unknown" and o.share[2] > 0]
    doubtful = [o for o in known if o.in_doubt]
    return (doubtful or sorted(known, key=lambda o: o.finding.rank))[:MOST]


def _loads(found: Doubt, o: Odds) -> Draws:
    """Demand over what is allowed in every draw that is known, as doublings of the line."""
    assert found.outcomes is not None
    share = found.outcomes.share[found.outcomes.row((o.finding.part, o.finding.mode))].astype(float)
    loads: Draws = -np.log2(share[(share > 0) & np.isfinite(share)])
    return loads


class _Axis:
    """Doublings across the page; the line that must not be passed is nought."""

    def __init__(self, rows: Sequence[Draws]) -> None:
        ends = [np.quantile(row, (0.005, 0.995)) for row in rows if len(row)]
        low, high = min((e[0] for e in ends), default=-1.0), max((e[1] for e in ends), default=1.0)
        self.low, self.high = max(math.floor(min(low, -0.5)), -WIDEST), min(math.ceil(max(high, 0.5)), WIDEST)

    def at(self, doublings: float) -> float:
        """Place on the page; beyond the ends it is at the end."""
        inside = min(max(doublings, self.low), self.high)
        return LEFT + (inside - self.low) / (self.high - self.low) * (WIDTH - LEFT - RIGHT)

    def drawn(self, bottom: float) -> list[str]:
        """Rules, numbers, and the line."""
        parts = [svg.rect(self.at(0), HEAD - 8, self.at(self.high) - self.at(0), bottom - HEAD + 8, "b-beyond")]
        for k in range(math.ceil(self.low), math.floor(self.high) + 1):
            x = self.at(k)
            parts.append(svg.line((x, HEAD - 8), (x, bottom), "b-line" if k == 0 else "b-rule"))
            parts.append(svg.text((x, bottom + 14), f"{figure(100 * 2.0**k, 3)} %", anchor="middle"))
        middle = (LEFT + WIDTH - RIGHT) / 2
        parts.append(svg.text((middle, bottom + 30), "demand, as a share of the rating over its required margin",
                              anchor="middle"))
        parts.append(svg.text((self.at(0) - 6, HEAD - 14), "holds", "d-text d-strong", "end"))
        parts.append(svg.text((self.at(0) + 6, HEAD - 14), "does not", "d-text d-strong"))
        return parts


def _row(axis: _Axis, o: Odds, draws: Draws, y: float) -> list[str]:
    f = o.finding
    parts = [svg.text((0, y - 3), _clipped(name_words(f)), "d-name"), svg.text((0, y + 10), _clipped(f.mode))]
    parts.append(svg.line((LEFT, y), (WIDTH - RIGHT, y), "b-rule"))
    if len(draws):
        parts.append(svg.polygon(_silhouette(axis, draws, y), "b-band"))
        low, middle, high = (axis.at(float(v)) for v in np.quantile(draws, (0.05, 0.5, 0.95)))
        parts += [svg.line((x, y - 5), (x, y + 5), "b-tick") for x in (low, high)]
        parts.append(svg.line((middle, y - 11), (middle, y + 11), "b-middle"))
    if f.margin > 0 and math.isfinite(f.margin):
        parts.append(_diamond(axis.at(-math.log2(f.margin / f.required)), y))
    if o.at_worst > 0:
        parts.append(_corner(axis.at(-math.log2(o.at_worst)), y))
    x = WIDTH - RIGHT + 14
    unknown = f", unknown in {odds_words(o.unknown)}" if o.unknown else ""
    parts.append(svg.text((x, y - 3), f"holds in {odds_words(o.holds)}{unknown}", "d-text d-strong"))
    parts.append(f'<g class="mark mark-{f.verdict}" transform="translate({svg.number(x)} {svg.number(y + 2)})">'
                 f"{MARKS[f.verdict]}</g>")
    parts.append(svg.text((x + 32, y + 12), f"as it stands: {f.verdict}"))
    return parts


def _silhouette(axis: _Axis, draws: Draws, y: float) -> list[svg.Point]:
    """How many draws lie where, as a shape that is as high above as below."""
    inside = np.clip(draws, axis.low, axis.high)
    low, high = float(inside.min()), float(inside.max())
    if high - low < 1e-3:
        low, high = low - 0.01, high + 0.01
    edges = np.linspace(low, high, BINS + 1)
    many = np.convolve(np.histogram(inside, edges)[0], (0.25, 0.5, 0.25), mode="same")
    tall = 14 * many / max(float(many.max()), 1.0)
    middles = (edges[1:] + edges[:-1]) / 2
    above = [(axis.at(float(x)), y - float(h)) for x, h in zip(middles, tall, strict=True)]
    below = [(x, 2 * y - top) for x, top in reversed(above)]
    return [(axis.at(low), y), *above, (axis.at(high), y), *below]


def _diamond(x: float, y: float) -> str:
    """Where it stands now."""
    return svg.polygon([(x - 5, y), (x, y - 5), (x + 5, y), (x, y + 5)], "b-now")


def _corner(x: float, y: float) -> str:
    """All guesses at their bad ends."""
    return svg.polyline([(x - 5, y - 7), (x, y), (x - 5, y + 7)], "b-worst")


def _legend(y: float) -> list[str]:
    """What each shape is, in one line."""
    return [_diamond(LEFT + 5, y - 3), svg.text((LEFT + 16, y), "as it stands"),
            svg.line((LEFT + 96, y - 10), (LEFT + 96, y + 4), "b-middle"), svg.text((LEFT + 104, y), "middle draw"),
            svg.line((LEFT + 180, y - 8), (LEFT + 180, y + 2), "b-tick"),
            svg.text((LEFT + 188, y), "5 % and 95 % of the draws"),
            _corner(LEFT + 360, y - 3), svg.text((LEFT + 370, y), "all guesses at their bad ends")]


def _in_words(odds: Sequence[Odds]) -> str:
    return "; ".join(f"{name_words(o.finding)}, {o.finding.mode}: holds in {odds_words(o.holds)}, {_now(o.finding)}"
                     for o in odds) + "."


def _now(f: Finding) -> str:
    return f"as it stands {f.verdict}"


def _clipped(words: str, most: int = 46) -> str:
    return words if len(words) <= most else f"{words[: most - 1]}…"
