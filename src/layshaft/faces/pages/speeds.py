"""Life and margin of a part over its speed, drawn from the rating itself."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from html import escape

import numpy as np

from layshaft.faces.pages.chart import Axis, Drawn, Values, line_chart
from layshaft.faces.pages.words import anchor, part_words
from layshaft.trace.units import SPEED, TIME, shown
from layshaft.verdict.sweeps import Line, Sweep, at_now

HOUR = 3600.0
AMPLE = 100.0
"""Margin over required beyond which nobody needs to see how much more it is."""


def speeds(sweeps: Sequence[Sweep], save: Callable[[int], str] = lambda _: "") -> str:
    """The charts of every sweep. An HTML fragment; blank where no rating knows a speed.

    `save` gives the markup that saves the chart of a number, counted from 1 through all of them.
    """
    figures, count = [], 0
    for i, sweep in enumerate(sweeps):
        drawn = _figure(sweep, i)
        many = drawn.count("<svg")
        links = "".join(save(count + n) for n in range(1, many + 1))
        figures.append(drawn.replace("</figcaption>", f"{links}</figcaption>"))
        count += many
    return "".join(figures)


def _figure(sweep: Sweep, i: int) -> str:
    sweep, ample = _near(_trimmed(sweep))
    lives = [k for k in sweep.lines if k.life is not None and np.isfinite(k.life).any()]
    charts = (_life(sweep, lives, i) if lives else "") + _margin(sweep, i)
    if not charts and not ample:
        return ""
    now = shown(sweep.now, SPEED)
    circle = "which the open circle marks" if "c-now" in charts else "at which nothing of this is known"
    ends = shown(float(sweep.speed[0]), SPEED), shown(float(sweep.speed[-1]), SPEED)
    words = (f"{part_words(sweep.part)}, {sweep.title}. The load stays that of this case; only its speed "
             f"({sweep.meaning}) goes from {ends[0]} to {ends[1]}. Its own is {now}, {circle}. How the machine itself "
             f"would load it at another speed, a change of the machine says.{_besides(sweep, ample)}")
    return f'<figure class="plate sweep">{charts}<figcaption>{escape(words)}</figcaption></figure>'


def _trimmed(sweep: Sweep) -> Sweep:
    """Only speeds at which anything is known, and its own."""
    known = np.any([np.isfinite(k.share) for k in sweep.lines], axis=0)
    at = [*np.flatnonzero(known), int(np.argmin(np.abs(sweep.speed - sweep.now)))]
    keep = slice(int(min(at)), int(max(at)) + 1)
    lines = tuple(replace(k, share=k.share[keep], life=None if k.life is None else k.life[keep]) for k in sweep.lines)
    return replace(sweep, speed=sweep.speed[keep], lines=lines)


def _near(sweep: Sweep) -> tuple[Sweep, list[str]]:
    """Without margins that are ample at every speed, which are named; what is beyond is drawn at the upper end."""
    far = [k.mode for k in sweep.lines if k.life is None and np.isfinite(k.share).any() and np.nanmin(k.share) >= AMPLE]
    lines = tuple(k if k.life is not None else replace(k, share=np.minimum(k.share, AMPLE))
                  for k in sweep.lines if k.mode not in far)
    return replace(sweep, lines=lines), far


def _besides(sweep: Sweep, ample: list[str]) -> str:
    """What the drawing does not say."""
    beyond = f"more than {AMPLE:g} times what is required at every speed"
    said = f" Not drawn: {', '.join(ample)}, {beyond}." if ample else ""
    if any(k.life is None and np.isfinite(k.share).any() and np.nanmax(k.share) >= AMPLE for k in sweep.lines):
        said += f" What is above {AMPLE:g} is drawn there."
    return said


def _axis(sweep: Sweep) -> Axis:
    unit = SPEED.best_unit(sweep.now)
    return Axis(f"{sweep.meaning}, {unit}", sweep.speed / SPEED.units[unit])


def _life(sweep: Sweep, lives: list[Line], i: int) -> str:
    x = _axis(sweep)
    drawn = [Drawn(k.mode, k.life / HOUR, _now(sweep, x, k.life / HOUR)) for k in lives if k.life is not None]
    post = (sweep.wanted / HOUR, f"wanted: {shown(sweep.wanted, TIME)}") if sweep.wanted > 0 else None
    said = "; ".join(f"{k.mode} {shown(at_now(sweep, k.life), TIME)}" for k in lives if k.life is not None)
    return line_chart(anchor(f"life-{i}", sweep.part), f"Life of {part_words(sweep.part)} against speed",
                      f"At its own speed: {said}.", x, "life, h", drawn, post)


def _margin(sweep: Sweep, i: int) -> str:
    x = _axis(sweep)
    drawn = [Drawn(k.mode, k.share, _now(sweep, x, k.share)) for k in sweep.lines if k.life is None]
    said = "; ".join(f"{k.mode} {at_now(sweep, k.share):.3g}" for k in sweep.lines if k.life is None)
    return line_chart(anchor(f"margin-{i}", sweep.part), f"Margin of {part_words(sweep.part)} against speed",
                      f"Margin over what is required; at its own speed: {said}.", x, "margin over required", drawn,
                      (1.0, "required"))


def _now(sweep: Sweep, x: Axis, values: Values) -> tuple[float, float]:
    at = int(np.argmin(np.abs(sweep.speed - sweep.now)))
    return float(x.values[at]), float(values[at])
