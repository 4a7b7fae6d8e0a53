"""The needs list as text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.trace.findings import margin_text
from layshaft.trace.units import SPEED, Dimension, figure, shown
from layshaft.verdict.demands import Demand
from layshaft.verdict.needs import Need, needs, waiting
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import Tried
from layshaft.verdict.too_weak import too_weak

MOST_MODES = 4


def needs_text(verdict: Verdict) -> str:
    """The whole answer of `layshaft needs`."""
    machine = verdict.solved.machine
    found, coming, weak = needs(verdict), waiting(machine), too_weak(verdict)
    lines = [machine.title + (f", with {machine.label}" if machine.label else "")]
    if not found:
        lines.append("Nothing is open: every part is chosen.")
    else:
        lines += [f"{len(found)} part{'s' if len(found) > 1 else ''} still to be found.",
                  wrapped("The sizes are the smallest shipped ones that hold in every check a method can answer, with "
                          "the rest of the machine as it stands. They are a place to start from, not an order.")]
    for need in found:
        lines += ["", *_need(need)]
    if weak:
        lines += ["", "CHOSEN, BUT TOO WEAK"]
        for need in weak:
            lines += ["", *_weak(need)]
    if coming:
        lines += ["", "CHOSEN, NOT HERE YET"]
        lines += [wrapped(f"{w.path}: {w.size or 'size not told'}, {w.state}", "    ", "  ") for w in coming]
    return "\n".join(lines)


def _need(need: Need) -> Iterator[str]:
    yield wrapped(f"{need.path}: {need.what}" + (f"; {need.sentence}" if need.sentence else ""), "    ", "")
    if len(need.opens) > 1 or need.opens[0] != need.path:
        yield wrapped(f"open: {', '.join(p.removeprefix(need.path + '.') for p in need.opens)}", "      ", "    ")
    yield from _table(need.demands)
    yield from _sizes(need)


def _sizes(need: Need) -> Iterator[str]:
    """The smallest size that holds, or the nearest; what to ask for; what could not be judged."""
    if need.smallest is not None:
        words = "smallest that holds, as far as it can be judged" if need.unjudged else "smallest that holds"
        yield wrapped(f"{words}: {need.smallest.candidate.name}{_margins(need.smallest)}", "      ", "    ")
        if need.next_smaller is not None and need.next_smaller.worst is not None:
            worst = need.next_smaller.worst
            yield wrapped(f"one smaller, {need.next_smaller.candidate.name}, does not: {worst.mode}, {worst.title}, "
                          f"margin {margin_text(worst.margin)}, required {figure(worst.required, 3)}", "      ", "    ")
    elif need.nearest is not None and need.nearest.worst is not None:
        worst = need.nearest.worst
        yield wrapped(f"no shipped size holds; nearest is {need.nearest.candidate.name}: {worst.mode}, {worst.title}, "
                      f"margin {margin_text(worst.margin)}, required {figure(worst.required, 3)}", "      ", "    ")
    if need.ask_for:
        asked = ", ".join(f"{name} at least {shown(value, d)}" for name, value, d in need.ask_for)
        yield wrapped(f"ask for: {asked}", "      ", "    ")
    by_reason: dict[str, list[str]] = {}
    for mode, why in need.unjudged.items():
        by_reason.setdefault(why, []).append(mode)
    for why, modes in by_reason.items():
        yield wrapped(f"not judged: {', '.join(modes)}: {why}", "      ", "    ")
    for note in need.notes:
        yield wrapped(note, "      ", "    ")


def _weak(need: Need) -> Iterator[str]:
    """A part that is chosen: what it has, what it does not hold with it, and what would."""
    yield wrapped(f"{need.path}: {need.what}" + (f"; {need.sentence}" if need.sentence else ""), "    ", "")
    short = ", ".join(f"{f.mode} cannot be said" if f.verdict == "unknown" else
                      f"{f.mode} {f.margin_text} of {figure(f.required, 3)}" for f in need.short)
    hurts = next((f"; at risk: {f.hurts}" for f in need.short if f.hurts), "")
    yield wrapped(f"it has {need.size}: {short}{hurts}", "      ", "    ")
    yield from _sizes(need)


def _margins(t: Tried) -> str:
    """The modes nearest to their required margin."""
    nearest = sorted(t.answers, key=lambda a: a.share)[:MOST_MODES]
    texts = [f"{a.mode} {margin_text(a.margin)} of {figure(a.required, 3)}" for a in nearest]
    return f" (margin of required: {', '.join(texts)})" if texts else ""


def _table(demands: list[Demand]) -> Iterator[str]:
    """One line a case."""
    if not any(np.isfinite(v) for d in demands for v, dim in d.values.values() if dim is not SPEED):
        return
    names = [SHORT.get(name, name) for name in demands[0].values]
    yield f"    {'case':<32}" + "".join(f"{name:>{COLUMN}}" for name in names)
    for d in demands:
        title = d.title if len(d.title) <= 31 else f"{d.title[:30]}…"
        yield f"    {title:<32}" + "".join(f"{_value(v, dim):>{COLUMN}}" for v, dim in d.values.values())


def _value(value: float, dimension: Dimension) -> str:
    return shown(value, dimension, digits=3) if np.isfinite(value) else "unknown"


COLUMN = 14
SHORT = {"torque at the first shaft": "torque, 1st", "torque at the second": "torque, 2nd", "bending moment": "bending",
         "its speed": "speed, 2nd", "pull on the wheel": "pull"}


def needs_json(verdict: Verdict) -> list[dict[str, Any]]:
    """The needs as plain data, numbers in SI; parts on their way follow, told apart by `state`."""
    coming = [{"part": w.path, "state": w.state, "size": w.size} for w in waiting(verdict.solved.machine)]
    weak = [_as_dict(need) | {"size": need.size, "too weak": [
        {"checked": f.mode, "title": f.title, "verdict": f.verdict, "margin": number(f.margin),
         "required margin": f.required} for f in need.short]} for need in too_weak(verdict)]
    return [*(_as_dict(need) for need in needs(verdict)), *weak, *coming]


def _as_dict(need: Need) -> dict[str, Any]:
    return {
        "part": need.path, "what": need.what, "state": need.state, "open": need.opens, "sentence": need.sentence,
        "demands": [{"case": d.case, "title": d.title,
                     **{name: {"value": number(v), "unit": dim.si} for name, (v, dim) in d.values.items()}}
                    for d in need.demands],
        "smallest": _tried(need.smallest), "one smaller": _tried(need.next_smaller), "nearest": _tried(need.nearest),
        "ask for": [{"rating": name, "at least": number(v), "unit": dim.si} for name, v, dim in need.ask_for],
        "not judged": need.unjudged, "notes": need.notes,
    }


def _tried(t: Tried | None) -> dict[str, Any] | None:
    if t is None:
        return None
    return {"size": t.candidate.name, "option": t.option, "margins": [
        {"checked": a.mode, "place": a.place, "title": a.title, "margin": number(a.margin),
         "required margin": a.required} for a in t.answers]}
