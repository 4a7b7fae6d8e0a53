"""Small words for writing SVG: numbers with two decimals, everything escaped, classes instead of colours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate: two decimals, no trailing zeros, no minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def points(path: Iterable[Point]) -> str:
    """Coordinates of a polyline."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in path)


def line(a: Point, b: Point, css: str, more: str = "") -> str:
    """A straight line; `more` is what else its tag says."""
    return (f'<line class="{css}" x1="{number(a[0])}" y1="{number(a[1])}" '
            f'x2="{number(b[0])}" y2="{number(b[1])}"{more}/>')


def polyline(path: Iterable[Point], css: str) -> str:
    """An open line of several pieces."""
    return f'<polyline class="{css}" points="{points(path)}"/>'


def polygon(path: Iterable[Point], css: str) -> str:
    """A closed shape."""
    return f'<polygon class="{css}" points="{points(path)}"/>'


def circle(centre: Point, radius: float, css: str) -> str:
    """A circle."""
    return f'<circle class="{css}" cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius)}"/>'


def rect(x: float, y: float, width: float, height: float, css: str) -> str:
    """A rectangle; negative sizes count from the other side."""
    x, width = (x + width, -width) if width < 0 else (x, width)
    y, height = (y + height, -height) if height < 0 else (y, height)
    return (f'<rect class="{css}" x="{number(x)}" y="{number(y)}" '
            f'width="{number(width)}" height="{number(height)}"/>')


def path(commands: str, css: str, more: str = "") -> str:
    """A path in SVG's own commands; `more` is what else its tag says."""
    return f'<path class="{css}" d="{commands}"{more}/>'


def text(at: Point, words: str, css: str = "d-text", anchor: str = "start") -> str:
    """One line of text."""
    where = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text class="{css}" x="{number(at[0])}" y="{number(at[1])}"{where}>{escape(words)}</text>'


def group(parts: Iterable[str], css: str) -> str:
    """Things that belong together."""
    inside = "".join(parts)
    return f'<g class="{css}">{inside}</g>' if inside else ""


def arrow_head(tip: Point, direction: Point, css: str, size: float = 5.0) -> str:
    """A slim filled head at the end of a line that runs in `direction`."""
    length = (direction[0] ** 2 + direction[1] ** 2) ** 0.5 or 1.0
    u, v = direction[0] / length, direction[1] / length
    back = tip[0] - u * size, tip[1] - v * size
    half = size * 0.36
    return polygon([tip, (back[0] - v * half, back[1] + u * half), (back[0] + v * half, back[1] - u * half)], css)


def figure(name: str, title: str, description: str, size: tuple[float, float], parts: Sequence[str],
           css: str = "drawing", role: str = "img") -> str:
    """A whole picture with a title and a description for those who do not see it.

    `name` makes the ids of title and description, so it must be unique on a page. `role` is `group` where parts of
    the picture can be opened.
    """
    width, height = size
    return (
        f'<svg class="{css}" xmlns="http://www.w3.org/2000/svg" role="{role}" '
        f'aria-labelledby="{escape(name)}-title {escape(name)}-desc" '
        f'viewBox="0 0 {number(width)} {number(height)}" data-size="{number(width)} {number(height)}">'
        f'<title id="{escape(name)}-title">{escape(title)}</title>'
        f'<desc id="{escape(name)}-desc">{escape(description)}</desc>'
        f'{"".join(parts)}</svg>'
    )
