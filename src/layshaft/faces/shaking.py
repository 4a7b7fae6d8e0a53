"""What shakes a train and how it answers, as `layshaft torsion` prints it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.trace.units import INERTIA, SPEED, TIME, TORQUE, TORSIONAL_STIFFNESS, figure, shown
from layshaft.train.torsion.answer import SetTorsion
from layshaft.train.torsion.from_rest import FromRest
from layshaft.train.torsion.orders import Meeting, Shaking, heard
from layshaft.train.torsion.response import Swing
from layshaft.train.torsion.stick_slip import Dragged

SHARP = ("Lifts begin and end at once here: a cam that takes up and lets go of its load gently shakes the quick modes "
         "less. Losses of the stages are in the mean, not in the swing. Once backlash opens the blow of its closing "
         "comes on top.")
SMALL = 0.05
"""Share of the mean below which a swing is not worth a line."""


def hertz(omega: float) -> str:
    """A frequency as people say it."""
    return f"{figure(omega / (2 * np.pi), 3)} Hz"


def said(one: SetTorsion) -> Iterator[str]:
    """Everything beyond the natural frequencies; nothing for a set that stands."""
    if one.shakings:
        yield from ("", "  WHAT SHAKES IT")
        for s in one.shakings:
            yield _line(hertz(s.omega), _often(s))
        yield from ("", "  NEAR MISSES", *_near(one))
    if one.swings:
        yield from ("", "  WHAT THE PULSES DO, torque at each part's own shaft", *_swings(one))
    if one.from_rest is not None:
        yield from ("", f"  FROM REST, {shown(one.from_rest.time, TIME)}", *_from_rest(one.from_rest))
    if one.dragged:
        yield from ("", "  STICK-SLIP")
        for d in one.dragged:
            yield wrapped(stick_slip(d), "      ", "    ")
    loud = heard(one.shakings)
    if loud:
        yield from ("", "  SOUND, within 20 Hz to 20 kHz")
        for s in loud:
            yield _line(hertz(s.omega), s.name)


def _line(frequency: str, text: str) -> str:
    return wrapped(text, " " * 17, f"    {frequency:>10}   ")


def _often(s: Shaking) -> str:
    return s.name if s.order == 1 else f"{s.name}, {s.order:g} in a turn of {s.shaft}"


def _near(one: SetTorsion) -> Iterator[str]:
    assert one.modes is not None
    for m in one.near:
        yield wrapped(meeting(one, m), "      ", "    ")
    left = len(one.meetings) - len(one.near)
    if not one.near:
        yield "    none" + (f"; {left} hardly reach the mode they meet" if left else "")
    elif left:
        yield f"    and {left} that hardly reach the mode they meet"


def meeting(one: SetTorsion, m: Meeting) -> str:
    """One near miss in a sentence."""
    assert one.modes is not None
    often = f", its {m.harmonic}-fold," if m.harmonic > 1 else ""
    return (f"{m.shaking.name}{often} at {hertz(m.harmonic * m.shaking.omega)} is {figure(m.ratio, 3)} of "
            f"{hertz(one.modes.omega[m.mode])}: a swing there grows {figure(m.gain, 2)} times. They meet when "
            f"{m.shaking.shaft} turns at {shown(m.critical, SPEED)}.")


def _swings(one: SetTorsion) -> Iterator[str]:
    yield f"    {'':<44}{'mean':>12}{'below it':>12}{'above it':>12}"
    for s in one.swings:
        if s.opens or np.isnan(s.mean) or s.reach > SMALL * abs(s.mean):
            yield swing(s)
    small = sum(not (s.opens or np.isnan(s.mean) or s.reach > SMALL * abs(s.mean)) for s in one.swings)
    if small:
        yield f"    and {small} that swing by less than {SMALL:.0%} of their mean"
    yield wrapped(SHARP, "    ")


def swing(s: Swing) -> str:
    """One part's line."""
    name = s.part.split(".", 1)[-1]
    opens = "   backlash opens" if s.opens else "" if np.isfinite(s.mean) else "   whether backlash opens is unknown"
    return (f"    {name[:43]:<44}{shown(s.mean, TORQUE):>12}{shown(s.below, TORQUE, digits=3):>12}"
            f"{shown(s.above, TORQUE, digits=3):>12}{opens}")


def _from_rest(run: FromRest) -> Iterator[str]:
    if run.why:
        yield wrapped(run.why, "      ", "    ")
        return
    yield f"    {'largest swing about the mean':<44}{'below it':>12}{'at':>11}{'above it':>12}{'at':>11}"
    for p in run.peaks:
        yield (f"    {p.part.split('.', 1)[-1][:43]:<44}{shown(p.below, TORQUE, digits=3):>12}"
               f"{shown(p.below_at, TIME):>11}{shown(p.above, TORQUE, digits=3):>12}{shown(p.above_at, TIME):>11}")


def stick_slip(d: Dragged) -> str:
    """One heavy mass in a few sentences, with what would cure it."""
    if d.limit != d.limit:
        return f"{d.load}: unknown, its friction at rest and in motion are not both stated."
    base = (f"{d.load} turns at {shown(d.omega, SPEED)} behind {shown(d.stiffness, TORSIONAL_STIFFNESS)} (held at "
            f"{d.held_at}), with {shown(d.inertia, INERTIA)} and {shown(d.friction, TORQUE)} more friction at rest "
            f"than in motion; below {shown(d.limit, SPEED)} it sticks and slips")
    if not d.sticks:
        return f"{base}: it does not."
    square = d.share**-2
    return (f"{base}: it may. Cures: a drive {figure(square, 3)} times as stiff (the last stage counts most), no more "
            f"than {shown(d.friction * d.share, TORQUE)} between friction at rest and in motion, or a damping ratio of "
            f"{figure(d.zeta * square, 2)} instead of {figure(d.zeta, 2)}.")


def answers_dict(one: SetTorsion) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "damping": [] if one.damped is None else [number(z) for z in one.damped.zeta],
        "shakings": [{"name": s.name, "kind": s.kind, "shaft": s.shaft, "order": s.order, "frequency": s.omega}
                     for s in one.shakings],
        "near misses": [{"shaking": m.shaking.name, "harmonic": m.harmonic, "mode": m.mode, "ratio": m.ratio,
                         "gain": number(m.gain), "critical speed": m.critical, "reach": m.reach}
                        for m in one.meetings],
        "swings": [{"part": s.part, "mean": number(s.mean), "below": number(s.below), "above": number(s.above),
                    "backlash opens": s.opens} for s in one.swings],
        "stick-slip": [{"load": d.load, "speed": number(d.omega), "limit": number(d.limit),
                        "friction": number(d.friction), "stiffness": number(d.stiffness),
                        "inertia": number(d.inertia), "damping": number(d.zeta), "sticks": d.sticks}
                       for d in one.dragged],
        "from rest": None if one.from_rest is None else asdict(one.from_rest),
        "heard": [s.name for s in heard(one.shakings)],
    }
