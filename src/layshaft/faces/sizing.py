"""Sizing answers as text, as sheets and as plain data."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any

from layshaft.faces.plain import number
from layshaft.faces.text import NO_BREAK, width, wrapped
from layshaft.machine.model import Machine
from layshaft.study.governors import FAN, Governor
from layshaft.study.least_weight import LeastWeight
from layshaft.study.spread import Spread
from layshaft.study.steady import Sized
from layshaft.study.wheels import Wheel, Wheels
from layshaft.trace.errors import BadInput
from layshaft.trace.formula import Trace
from layshaft.trace.sheet import as_dict, as_text
from layshaft.trace.units import (
    ANGLE,
    AREA,
    DAMPING,
    ENERGY,
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    TIME,
    TORQUE,
    TORQUE_PER_SPEED_SQUARED,
    VELOCITY,
    UnitError,
    figure,
    parse_quantity,
    shown,
)

LISTED = 6
"""Places for a flywheel that are printed; --json has them all."""


def share_of(text: str | None) -> float:
    """A swing from the command line; NaN for none. Raises `BadInput`."""
    if text is None:
        return math.nan
    value = float(parse_quantity(text, RATIO).value)
    if not 0 < value < 2:
        raise BadInput(f"--swing {text} is no swing: write a share of the mean speed above 0, such as '5 %'.")
    return value


def thickness_of(text: str) -> float:
    """The thickness of a disc from the command line. Raises `UnitError`."""
    value = float(parse_quantity(text, LENGTH).value)
    if not value > 0:
        raise UnitError(f"'{text}' is no thickness; write a length above 0, for instance --thickness '20 mm'.")
    return value


def sizing_text(machine: Machine, found: list[Sized], *, sheets: bool) -> str:
    """All of `layshaft steady`."""
    lines = [machine.title + (f", with {machine.label}" if machine.label else "")]
    if not found:
        lines.append("Nothing on it pulses and no weight drives it: there is nothing to size here.")
    for one in found:
        lines += ["", *_train(one)]
        if sheets:
            lines += [line for title, sheet in _sheets(one) for line in ("", "=" * width(), title, "", as_text(
                sheet, width()))]
    return "\n".join([*lines, "", *_end(found)])


def _train(one: Sized) -> Iterator[str]:
    t = one.train
    yield f"THE TRAIN OF {t.root.upper()}"
    for note in one.notes:
        yield wrapped(note, "  ")
    if t.uneven and t.speed > 0:
        wanted = (f"{percent(t.wanted)} is wanted ({t.swing_source.work})" if t.swing > 0 else
                  "no swing is wanted: state 'within a turn' in a want, or --swing '5 %'")
        yield wrapped(f"Swing within a turn, by the pulses: {_swing(one.swing)} now; {wanted}.", "  ")
        yield from _shape(one)
        if not t.balanced:
            yield wrapped("A crank or motor decides its speed: the swing is that of the torque it gives evenly.", "  ")
    for spread in one.spreads:
        yield from ("", f"  SPREAD THE LIFT OF {spread.load.upper()}", *_spread(spread))
    drawn = [load.name for load in t.uneven if load not in t.pulses]
    if drawn and one.wheels is not None:
        yield from ("", wrapped(f"The torque of {' and '.join(drawn)} is drawn point by point in the file: how far it "
                                "can be spread is a matter of its points, and is not sized here.", "  "))
    if one.wheels is not None and t.swing > 0:
        yield from ("", "  SMALLEST FLYWHEEL", *_wheels(one, one.wheels))
    if one.governors:
        yield from ("", "  GOVERNOR", *(line for g in one.governors for line in _governor(g)))
    if one.weight is not None:
        yield from ("", "  LEAST WEIGHT", *_weight(one.weight))


def _shape(one: Sized) -> Iterator[str]:
    """What the train's own shape takes of the swing that is wanted."""
    t = one.train
    if not t.swing > 0:
        return
    if not t.shaft:
        yield wrapped("It is asked of the pulses alone: links, teeth and runout come on top.", "  ")
    elif one.shape >= t.wanted:
        yield wrapped(f"Links, teeth and runout alone make {percent(one.shape)} of {t.shaft}, with all phases at their "
                      f"worst: no lift and no wheel mends the {percent(one.shape - t.wanted)} that are too much. Finer "
                      "teeth and truer wheels come first. The answers below are for pulses alone.", "  ")
    elif one.shape > 0:
        yield wrapped(f"Of that, links, teeth and runout take {percent(one.shape)} of {t.shaft} with all phases at "
                      f"their worst; {percent(t.swing)} is left for the pulses. --swing sizes for pulses alone.", "  ")


def _swing(value: float) -> str:
    return "unknown" if math.isnan(value) else "endless, it stops in a lift," if math.isinf(value) else percent(value)


def percent(value: float) -> str:
    """A share in per cent."""
    return f"{figure(100 * value, 3)}{NO_BREAK}%"


def _spread(s: Spread) -> Iterator[str]:
    yield wrapped(f"{shown(s.energy, ENERGY)} a lift over {shown(s.over, ANGLE)} of a pitch of "
                  f"{shown(s.pitch, ANGLE)}: swing {_swing(s.swing)}. Over the whole pitch it would be "
                  f"{_swing(round(s.whole, 6))}; what falls needs the rest of the pitch to fall in.",
                  "    ")
    if s.short:
        yield wrapped(s.short, "    ")
    elif s.angle == 0:
        yield "    Any angle meets what is wanted."
    elif s.option:
        start = (f"; the start ratio then is {figure(s.start_then, 3)}, now {figure(s.start, 3)}"
                 if math.isfinite(s.start_then) else "")
        yield wrapped(f"From {shown(s.angle, ANGLE)} on the swing is as wanted{start}.", "    ")
        yield from _option(s.option, f"{s.load} spread")


def _wheels(one: Sized, w: Wheels) -> Iterator[str]:
    taken = f"Without {' and '.join(w.removed)} the" if w.removed else "Without a flywheel the"
    settles = f", and a disturbance settles to 37 % in {shown(w.settling, TIME)}" if math.isfinite(w.settling) else ""
    if math.isinf(w.without) and not one.train.balanced:
        yield wrapped(f"{taken} lifts are evened out by nothing: whoever drives must give each at once.", "    ")
    else:
        yield wrapped(f"{taken} swing is {_swing(w.without)}{settles}.", "    ")
    if not w.needed:
        yield wrapped("No flywheel is needed for what is wanted." if math.isfinite(w.without) else
                      "So no wheel can be sized.", "    ")
        yield from _option(w.option, "no flywheel") if w.option else ()
        return
    yield (f"    {'on':<20}{'ratio²':>9}{'inertia':>15}{'disc':>21}{'to guard':>11}{'settles':>10}   "
           "stopped dead with it, without")
    for wheel in w.found[:LISTED]:
        yield from _wheel(wheel)
    if not w.found[0].why_not:
        yield from _best(one, w.found[0])


def _best(one: Sized, best: Wheel) -> Iterator[str]:
    ratios = [one.train.ratio(shaft) for shaft in one.train.role.set.shafts]
    fastest = ("no shaft turns faster" if best.ratio >= max(r for r in ratios if r > 0) * (1 - 1e-9)
               else "of the shafts that are left, the wheel is lightest there")
    yield wrapped(f"Best on {best.shaft}: {fastest}, and each part of a wheel there counts {figure(best.ratio**2, 3)} "
                  f"times as seen from {one.train.root}. Discs are of steel, {shown(best.thickness, LENGTH)} thick; "
                  f"the rim of this one runs at {shown(best.rim_speed, VELOCITY)}. A slow heavy wheel "
                  "that evens out as much holds as much energy as a fast light one. `layshaft check` rates "
                  f"the wheel that is chosen. Half as large, the pulses would make {_swing(best.half)}.", "    ")
    if best.reverses:
        yield wrapped(f"With it the torque turns round at every lift in {', '.join(best.reverses)}: what has backlash "
                      "is heard there. A wheel on the shaft of the pulse itself would spare them.", "    ")
    yield from _option(best.option, f"wheel on {best.shaft}")


def _wheel(w: Wheel) -> Iterator[str]:
    if w.why_not:
        yield wrapped(f"{w.shaft}: {w.why_not}", "        ", "    ")
        return
    disc = f"{shown(w.diameter, LENGTH)}, {shown(w.mass, MASS)}"
    settles = shown(w.settling, TIME) if math.isfinite(w.settling) else "-"
    blow = (f"{w.blow.stage} {shown(w.blow.then, TORQUE)}, {shown(w.blow.without, TORQUE)}" if w.blow
            else "unknown")
    yield (f"    {w.shaft:<20}{figure(w.ratio**2, 3):>9}{shown(w.inertia, INERTIA):>15}{disc:>21}"
           f"{shown(w.energy, ENERGY):>11}{settles:>10}   {blow}")


def _governor(g: Governor) -> Iterator[str]:
    if g.short:
        yield wrapped(g.short, "    ")
        return
    assert g.option is not None
    dimension = TORQUE_PER_SPEED_SQUARED if g.kind == FAN else DAMPING
    vanes = (f" (vanes of {shown(g.area, AREA)} at the radius they have, or their radius {shown(g.radius, LENGTH)})"
             if math.isfinite(g.area) else "")
    yield wrapped(f"{g.kind} on {g.shaft}: {shown(g.spare, TORQUE)} are left over for it when {g.held} turns at "
                  f"{shown(g.wanted, SPEED)} (now {shown(g.now, SPEED)}); constant {shown(g.constant, dimension)}"
                  f"{vanes}. It then holds {shown(g.then, SPEED)}; a tenth more drive torque makes that "
                  f"{_change(g.more_torque)}, air a tenth denser {_change(g.denser)}.", "      ", "    ")
    yield from _option(g.option, f"{g.kind} on {g.shaft}")


def _change(value: float) -> str:
    return f"{100 * value:+.1f} %" if math.isfinite(value) else "unknown"


def _weight(w: LeastWeight) -> Iterator[str]:
    if w.short:
        yield wrapped(w.short, "    ")
        return
    by = f"{w.decides} decides" if w.decides else "the wants would allow less still, but no smaller one was tried"
    yield wrapped(f"{w.weight}: {shown(w.mass, MASS)}, now {shown(w.now, MASS)}; {by}.", "    ")
    if w.too_fast:
        yield wrapped(w.too_fast, "    ")
    if math.isfinite(w.drop):
        yield wrapped(f"For the running time that is wanted it needs a drop of {shown(w.drop, LENGTH)}; there are "
                      f"{shown(w.drop_now, LENGTH)}.", "    ")
    yield from _option(w.option, f"least {w.weight}")


# Options ---------------------------------------------------------------------------------------


def _option(option: Mapping[str, Any], name: str) -> Iterator[str]:
    """What to write: --set where that will do, else an entry for `options:` of the file."""
    if list(option) == ["set"]:
        yield "    " + " ".join(f"--set '{path}={value}'" for path, value in option["set"].items())
        return
    yield f"    in `options:` of the file, then --option '{name}':"
    yield f"      {name}:"
    for word, changes in option.items():
        if isinstance(changes, list):
            yield f"        {word}: [{', '.join(map(_quoted, changes))}]"
        else:
            yield f"        {word}:"
            yield from (f"          {_quoted(path)}: {flow(value)}" for path, value in changes.items())


def flow(value: Any) -> str:
    """Plain data in one line of the machine file."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {flow(v)}" for key, v in value.items()) + "}"
    return _quoted(str(value))


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False) if any(sign in text for sign in "[]{}:,#'\"") else text


def _end(found: list[Sized]) -> Iterator[str]:
    if any(one.wheels or one.weight for one in found):
        yield wrapped("A wheel that turns and a weight that hangs hold energy: guard the one, keep people from under "
                      "the other, and let out both before a hand reaches in. Discs are told by size only; hubs, keys "
                      "and guards come on top. Local codes and licensed practice decide.")
    yield wrapped("Every figure is for the rigid train at its stated values: stiffness, backlash and doubt are not in "
                  "it. `--sheets` prints the calculations.")


# Sheets and data -------------------------------------------------------------------------------


def _sheets(one: Sized) -> Iterator[tuple[str, Trace]]:
    for s in one.spreads:
        yield f"Lift of {s.load}", s.sheet
    for wheel in (one.wheels.found if one.wheels else ())[:1]:
        if not wheel.why_not:
            yield f"Flywheel on {wheel.shaft}", wheel.sheet
    for g in one.governors:
        if g.sheet is not None:
            yield f"{g.kind} on {g.shaft}", g.sheet
    if one.weight is not None and one.weight.sheet is not None:
        yield f"Least mass of {one.weight.weight}", one.weight.sheet


def sizing_dict(found: list[Sized]) -> list[dict[str, Any]]:
    """Plain data, numbers in SI."""
    return [{
        "train": one.train.root, "swing": number(one.swing), "swing wanted": number(one.train.wanted),
        "swing left for the pulses": number(one.train.swing), "swing by links, teeth and runout": number(one.shape),
        "notes": list(one.notes), "lifts": [_plain(s) for s in one.spreads],
        "flywheel": {"swing without": number(one.wheels.without), "settling without": number(one.wheels.settling),
                     "taken off": list(one.wheels.removed), "needed": one.wheels.needed, "option": one.wheels.option,
                     "places": [_plain(w) for w in one.wheels.found]} if one.wheels else None,
        "governors": [_plain(g) for g in one.governors],
        "weight": _plain(one.weight) if one.weight else None,
    } for one in found]


def _plain(thing: Any) -> Any:
    if isinstance(thing, Trace):
        return as_dict(thing)
    if isinstance(thing, float):
        return number(thing)
    if hasattr(thing, "__dataclass_fields__"):
        return {f.name.replace("_", " "): _plain(getattr(thing, f.name)) for f in fields(thing)}
    return thing
