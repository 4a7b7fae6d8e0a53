"""Sizes tried for bevel pairs, worms and ratchets of which something is open: preferred modules, usual teeth and faces.

What the file says stays; of the rest each has the proportions that handbooks begin with.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import numpy as np

from layshaft.machine.kinds import BevelPair, Ratchet, Worm
from layshaft.verdict.candidates import FACES, LEAST_PINION, Search, teeth_pairs, weakest
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.preferred import MILLI, modules
from layshaft.verdict.search import Candidate

PINIONS = range(LEAST_PINION, LEAST_PINION + 8)
"""Teeth of a bevel pinion that is open."""

THIRD, TEN = 1 / 3, 10.0
"""A bevel gear is no wider than a third of the cone distance and ten modules: gear handbooks."""

QUOTIENT = 10.0
"""Diameter of an open worm over its module: usual, 7 to 20. Common practice, no single source."""

NARROW, STOUT = 6.0, 25.0
"""Quotients between which a worm is tried where a distance of the axes decides it."""

OVER_WORM = 0.67
"""Face of the wheel over the diameter of the worm: what stands out beyond carries nothing."""

STARTS = (1, 2, 3, 4, 6)
WORM_WHEEL = range(28, 81)
"""Teeth of a worm wheel: usual, of an open one."""

CLICKS = (12, 15, 16, 18, 20, 24, 30, 36)
"""Teeth of an open ratchet wheel: common practice, no single source."""

Sets = dict[str, float | str]


def of_open(c: Context, stage: Any, found: Search) -> Search | None:
    """The search of a stage with something open; None where nothing is, or its kind has no such search."""
    made = _KINDS.get(type(stage))
    if made is None or not any(leaf.state == "open" for leaf in stage.leaves):
        return None
    return made(c, stage, found)


def _fill(sets: Sets, given: Any, value: float) -> float:
    """A size as the file says it, else as tried, put among what is set."""
    if given.known:
        return float(given.nominal)
    sets[given.path] = value
    return value


def _face_under(most: float) -> float:
    """The widest usual face no wider than that; that itself where all are wider."""
    usual = [b * MILLI for b in FACES if b * MILLI <= most * (1 + 1e-9)]
    return usual[-1] if usual else most


def _modules(given: Any) -> Iterable[float]:
    return [given.nominal] if given.known else modules()


def _bevel(c: Context, stage: BevelPair, found: Search) -> Search:
    """Modules from small to large, each with the widest face it bears; pinions that come near the ratio."""
    pairs, found.cannot = teeth_pairs(c.machine, stage, PINIONS)
    steel: Sets = {}
    for choice in stage.materials:
        steel |= weakest(choice)
    for m in _modules(stage.normal_module):
        for z_1, z_2 in pairs[:1]:
            sets: Sets = dict(steel)
            _fill(sets, stage.normal_module, m)
            for given, z in zip(stage.teeth, (z_1, z_2), strict=True):
                _fill(sets, given, float(z))
            cone = m * float(np.hypot(z_1, z_2)) / 2
            b = _fill(sets, stage.face, _face_under(min(THIRD * cone, TEN * m)))
            found.candidates.append(Candidate(
                f"module {m / MILLI:.10g} mm, {z_1} and {z_2} teeth, face {b / MILLI:.4g} mm", sets,
                {"width": b, "across": m * max(z_1, z_2)}))
    return found


def _worm(_: Context, stage: Worm, found: Search) -> Search:
    """Modules from small to large with the starts and teeth of the ratio; ten across, or what the axes leave."""
    z = _worm_teeth(stage)
    if z is None:
        found.cannot = ("no usual number of teeth and starts comes near the ratio" if _turns(stage) > 0 else
                        "the ratio is not known: give `ratio`, or the starts and the teeth")
        return found
    z_1, z_2 = z
    for m in _modules(stage.axial_module):
        sets: Sets = {}
        _fill(sets, stage.axial_module, m)
        _fill(sets, stage.starts, float(z_1))
        _fill(sets, stage.wheel_teeth, float(z_2))
        d = _across(stage, m, z_1, z_2)
        if stage.worm_diameter.state == "open":
            sets[stage.worm_diameter.path] = d
        if NARROW * m <= d <= STOUT * m:
            b = _fill(sets, stage.face, _face_under(OVER_WORM * d))
            found.candidates.append(Candidate(
                f"module {m / MILLI:.10g} mm, {z_1} start{'s' if z_1 > 1 else ''}, {z_2} teeth, "
                f"worm {d / MILLI:.4g} mm, face {b / MILLI:.4g} mm", sets, {"width": b, "across": m * z_2}))
    found.cannot = "" if found.candidates else "no preferred module leaves a worm of usual thickness at that distance"
    return found


def _across(stage: Worm, m: float, z_1: int, z_2: int) -> float:
    """Diameter of the worm: as told in one way or another, else ten modules."""
    if stage.worm_diameter.known:
        return stage.worm_diameter.nominal
    if stage.quotient.known:
        return stage.quotient.nominal * m
    if stage.lead_angle.known:
        return float(m * z_1 / np.tan(stage.lead_angle.nominal))
    return 2 * stage.centres.nominal - m * z_2 if stage.centres.known else QUOTIENT * m


def _turns(stage: Worm) -> float:
    """Turns of the worm for one of its wheel, as far as the file says it."""
    return float(stage.ratio.nominal) if stage.ratio.known else NAN


def _worm_teeth(stage: Worm) -> tuple[int, int] | None:
    """Starts and teeth as given, or the fewest starts with which the wheel has a usual number."""
    z_1, z_2 = stage.starts.nominal, stage.wheel_teeth.nominal
    if np.isfinite(z_1 * z_2):
        return int(z_1), int(z_2)
    turns = _turns(stage)
    if not turns > 0:
        return None
    if np.isfinite(z_2):
        return max(1, round(z_2 / turns)), int(z_2)
    for starts in (int(z_1),) if np.isfinite(z_1) else STARTS:
        if np.isfinite(z_1) or round(starts * turns) in WORM_WHEEL:
            return starts, round(starts * turns)
    return None


def _ratchet(_: Context, stage: Ratchet, found: Search) -> Search:
    """Wheels of preferred modules: module times teeth across, each tooth no thicker at its root than its pitch."""
    thick = stage.root_thickness.nominal if stage.root_thickness.known else 0.0
    for z in [int(stage.teeth.nominal)] if stage.teeth.known else CLICKS:
        for m in [stage.diameter.nominal / z] if stage.diameter.known else modules():
            if np.pi * m >= thick:
                sets: Sets = {}
                _fill(sets, stage.teeth, float(z))
                d = _fill(sets, stage.diameter, m * z)
                found.candidates.append(Candidate(f"{z} teeth, {d / MILLI:.10g} mm across (module {m / MILLI:.4g} mm)",
                                                  sets, {"across": d}))
    found.candidates.sort(key=lambda k: (k.worth["across"], k.name))
    found.note = "Modules are those of ISO 54, taken over the outside of the wheel; face, tooth and pin stay."
    found.cannot = "" if found.candidates else "its teeth are thicker at the root than any of these wheels has room for"
    return found


_KINDS: dict[type, Callable[[Context, Any, Search], Search]] = {BevelPair: _bevel, Worm: _worm, Ratchet: _ratchet}
