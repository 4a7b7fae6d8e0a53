"""What follows when one element is lost: a table of all losses, one loss in full, and its drawing."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.running import clock
from layshaft.faces.terminal import ALL_HOLD, NOT_ALL, tell, tell_json
from layshaft.faces.text import wrapped
from layshaft.trace.units import (
    ENERGY,
    LENGTH,
    MASS,
    RATIO,
    REV_PER_MIN,
    SPEED,
    STRESS,
    VELOCITY,
    shown,
)
from layshaft.train.motion.runaway import HELD, STAYS, Part, RunAway, landing, run_away, wound_too_far
from layshaft.train.runaway.freed import weight_speed
from layshaft.train.runaway.losses import loss_named, losses, nothing_lost, rests
from layshaft.train.solve import Solved
from layshaft.verdict.cautions import DEFER
from layshaft.verdict.rate import Verdict
from layshaft.verdict.runaways import MODE as RUN_AWAY
from layshaft.verdict.runaways import at_risk, wheel_stress

NOBODY_NEAR = ("Keep everybody out of the fall zone and the plane of every wheel, and fingers out of every place "
               "where chain, rope, tooth or belt meets a wheel, whenever a weight is up. Never try a loss out on the "
               "machine.")
TIMES = 6
FINE = 400
LEAST_SHARE = 1e-6
"""Share of its largest speed below which a shaft is told to stand."""


# The table of all losses -----------------------------------------------------------------------


def losses_lines(solved: Solved) -> Iterator[str]:
    """One line for each thing that can be lost, and what the landing of a weight does by itself."""
    found = [run_away(solved, loss) for loss in (*nothing_lost(solved), *losses(solved))]
    if not found:
        return
    yield from ("", "IF ONE ELEMENT IS LOST, the weight wound up and nobody at the crank")
    yield (f"  {'lost':<18}{'what ends it':<26}{'after':>12}{'weight at':>12}{'its energy':>12}{'in motion':>11}   "
           "fastest shaft")
    for r in found:
        yield from _loss_line(r)
    for too_far in wound_too_far(solved):
        yield wrapped(f"Wound too far, the counterweight of {too_far.weight} comes down at "
                      f"{shown(too_far.speed, VELOCITY)} with {shown(too_far.energy, ENERGY)} at the usual speed of "
                      f"{too_far.crank}; its strand then hangs slack, and the crank pulls it off its wheel.", "  ")
    yield wrapped("weight at: its largest speed; its energy: of its own motion then; in motion: of all that turns. "
                  "`--lost NAME` shows every shaft over time. " + _resting(solved) + NOBODY_NEAR, "  ")


def _resting(solved: Solved) -> str:
    """Loads that may rest while something is lost."""
    found = sorted(rests(solved))
    return f"Counted at rest, since it may be: {', '.join(found)}. " if found else ""


def _loss_line(r: RunAway) -> Iterator[str]:
    name = r.loss.name or "nothing"
    if r.lacking:
        yield wrapped(f"{name}: unknown: {r.lacking}", "    ", "  ")
    for part in (p for p in r.parts if p.freed is not None):
        if part.ended in (HELD, STAYS):
            yield f"  {name:<18}{_ends(part):<26}"
            continue
        shaft = max(part.ratio, key=lambda n: part.ratio[n])
        v, hit = _of_weight(r, part)
        moving = shown(sum(part.stored(part.fastest).values()), ENERGY, digits=3)
        after = clock(part.landed if np.isfinite(part.landed) else part.lasts)
        yield (f"  {name:<18}{_ends(part):<26}{after:>12}{shown(v, VELOCITY, digits=3):>12}"
               f"{shown(hit, ENERGY, digits=3):>12}{moving:>11}   {shaft}, "
               f"{shown(part.fastest * part.ratio[shaft], SPEED)}")


def _of_weight(r: RunAway, part: Part) -> tuple[float, float]:
    """Largest speed of the weight, and the energy of its own motion then."""
    f: Any = part.freed
    v = float(np.mean(weight_speed(r.solved, f, part.fastest * part.ratio[f.start])))
    return v, float(r.solved.machine.drives[f.weight].mass.nominal) * v**2 / 2


def _ends(part: Part) -> str:
    f = part.freed
    if f is None:
        return part.ended
    if part.ended == HELD:
        return f"held by {f.holders[0]}"
    if part.ended == STAYS:
        return "friction: it stays"
    if not np.isfinite(part.landed):
        return part.ended
    return f"the floor, braked by {f.brakes[0]}" if f.brakes else "the floor alone"


# One loss in full ------------------------------------------------------------------------------


def lost_text(verdict: Verdict, r: RunAway) -> str:
    """All that follows from one loss."""
    machine = verdict.solved.machine
    head = machine.title + (f", with {machine.label}" if machine.label else "")
    if r.lacking:
        return f"{head}\n" + wrapped(f"What follows when {r.loss.name} is lost cannot be told: {r.lacking}.")
    lines = [head, wrapped(f"{r.loss.name} is lost ({r.loss.path}), the weight wound up."),
             *_what_happens(r), *_shafts(r), *_over_time(r), *_wheels(verdict, r), *_landings(r), *_risks(verdict, r)]
    return "\n".join(lines)


def _what_happens(r: RunAway) -> Iterator[str]:
    yield from ("", "WHAT HAPPENS")
    for part in r.parts:
        names = ", ".join(part.ratio)
        if part.freed is None:
            yield wrapped(f"{names}: parted from every weight, running down; {part.ended}"
                          + (f" after {clock(part.lasts)}." if part.lasts else "."), "    ", "  ")
            continue
        f, after = part.freed, clock(part.landed) if np.isfinite(part.landed) else clock(part.lasts)
        end = f"{' and '.join(f.holders)} holds it at once" if part.ended == HELD else (
            part.ended if part.ended == STAYS else f"{_ends(part)} ends it after {after}; {part.ended}"
            + (f" {clock(part.lasts - part.landed)} later" if np.isfinite(part.landed) else ""))
        yield wrapped(f"{names}: with {f.weight}; {end}.", "    ", "  ")
    speed, energy = r.falls
    if np.isfinite(speed):
        yield wrapped(f"{r.loss.weight} comes off what it hangs on and falls free: it lands at "
                      f"{shown(speed, VELOCITY)} with {shown(energy, ENERGY)}.", "    ", "  ")
    elif not r.parts:
        yield "  Nothing that hangs or turns is freed."


def _shafts(r: RunAway) -> Iterator[str]:
    if not r.parts:
        return
    yield from ("", "SPEED OF EVERY SHAFT")
    yield f"  {'':<20}{'before':>16}{'largest':>16}{'at':>14}{'weight down':>16}{'stands after':>16}"
    for part in r.parts:
        for name, turns in part.ratio.items():
            down = shown(part.hits * turns, SPEED) if np.isfinite(part.hits) else "-"
            yield (f"  {name:<20}{shown(part.begins * turns, SPEED):>16}{shown(part.fastest * turns, SPEED):>16}"
                   f"{clock(part.fastest_at):>14}{down:>16}{clock(part.lasts):>16}")


def _over_time(r: RunAway) -> Iterator[str]:
    last = _last(r)
    if not last > 0:
        return
    times = np.linspace(0.0, last, TIMES)
    yield from ("", "SPEED OVER TIME, rev/min")
    yield f"  {'':<20}" + "".join(f"{clock(float(t)):>13}" for t in times)
    for part in r.parts:
        speeds = part.speed(times)
        speeds = np.where(speeds > LEAST_SHARE * part.fastest, speeds, 0.0)
        for name, turns in part.ratio.items():
            yield f"  {name:<20}" + "".join(f"{w * turns / REV_PER_MIN:>13.4g}" for w in speeds)


def _last(r: RunAway) -> float:
    """Up to when it is worth telling: until the weight is down and a quarter more, else until all stands."""
    down = [p.landed * 1.25 for p in r.parts if np.isfinite(p.landed)]
    return max(down) if down else max((p.lasts for p in r.parts), default=0.0)


def _wheels(verdict: Verdict, r: RunAway) -> Iterator[str]:
    stress = wheel_stress(verdict.rated)
    rows = [(name, part, J) for part in r.parts for name, J in part.stored(part.fastest).items()]
    if not rows:
        return
    yield from ("", "STORED IN WHAT TURNS, at its largest speed")
    yield f"  {'':<20}{'speed':>16}{'energy':>14}{'rim stress':>14}{'margin':>10}{'required':>10}"
    for name, part, energy in rows:
        omega = part.fastest * part.ratio[part.stores[name][0]]
        told = f"{'-':>14}{'-':>10}{'-':>10}"
        if name in stress:
            sigma = stress[name].per_square * omega**2
            told = (f"{shown(sigma, STRESS):>14}{shown(stress[name].strength / sigma, RATIO, digits=3):>10}"
                    f"{shown(stress[name].required, RATIO, digits=3):>10}")
        yield f"  {name:<20}{shown(omega, SPEED):>16}{shown(energy, ENERGY):>14}{told}"
    yield wrapped("margin: tensile strength over rim stress, so that it does not burst.", "  ")


def _landings(r: RunAway) -> Iterator[str]:
    for part in r.parts:
        d = landing(r.solved, part)
        if d is None:
            continue
        yield from ("", f"WHEN {d.weight.upper()} LANDS")
        text = (f"It meets the floor at {shown(d.speed, VELOCITY)}, as after a free fall of "
                f"{shown(d.falls, LENGTH)}, with {shown(d.energy, ENERGY)} of its own. What turns runs on for "
                f"{clock(d.lasts)}; {shown(d.slack, LENGTH)} of chain or rope run off meanwhile, hang slack and may "
                "jump off.")
        if d.counterweight > 0:
            text += (f" The counterweight of {shown(d.counterweight, MASS)} goes on hanging in the loop and brakes; "
                     + ("once all stands it turns the train back until the slack is taken up."
                        if d.turns_back else "it does not turn the train back."))
        yield wrapped(text, "  ")


def _risks(verdict: Verdict, r: RunAway) -> Iterator[str]:
    yield from ("", "CAUTIONS")
    for who in dict.fromkeys(at_risk(verdict.context, p.freed) for p in r.parts
                             if p.freed is not None and p.ended not in (HELD, STAYS)):
        yield wrapped(f"At risk: {who}.", "    ", "  ")
    yield wrapped(NOBODY_NEAR, "    ", "  ")
    yield wrapped("Shafts and wheels that are no load count without inertia, teeth and chains hold at any speed: the "
                  "real machine breaks elsewhere first, or is slower.", "    ", "  ")
    yield wrapped(DEFER, "    ", "  ")


def show(verdict: Verdict, part: str, plot: Path | None, csv_: Path | None, *, as_json: bool) -> int:
    """Print what follows from one loss, and write it; ends 1 where something runs away or it is not known."""
    found = run_away(verdict.solved, loss_named(verdict.solved, part))
    if as_json:
        tell_json(lost_dict(verdict, found))
    else:
        tell(lost_text(verdict, found))
    for place, write in ((csv_, write_csv), (plot, write_plot)):
        if place is not None and found.parts:
            write(found, place)
            if not as_json:
                tell(f"\nThe loss is in {place}.")
    away = found.lacking or any(f.verdict != "holds" for f in verdict.of(found.loss.path) if f.mode == RUN_AWAY)
    return NOT_ALL if away else ALL_HOLD


# Data and drawing ------------------------------------------------------------------------------


def lost_dict(verdict: Verdict, r: RunAway) -> dict[str, Any]:
    """The same as data; numbers in SI."""
    return {"lost": r.loss.path, "unknown": r.lacking, "parts": [_part_dict(verdict, r, p) for p in r.parts]}


def as_dict(solved: Solved) -> dict[str, Any]:
    """The table of all losses as data; numbers in SI."""
    rows = [(r, p) for r in map(partial(run_away, solved), losses(solved)) for p in r.parts if p.freed is not None]
    return {"losses": [{
        "lost": r.loss.path, "weight": p.freed.weight, "ended": _ends(p),  # type: ignore[union-attr]
        "landed after": number(p.landed), "largest speed of the weight": number(_of_weight(r, p)[0]),
        "largest speed": {name: number(p.fastest * turns) for name, turns in p.ratio.items()},
        "stored": {name: number(E) for name, E in p.stored(p.fastest).items()}} for r, p in rows]}


def _part_dict(verdict: Verdict, r: RunAway, p: Part) -> dict[str, Any]:
    times = np.linspace(0.0, p.lasts, FINE)
    d = landing(r.solved, p)
    return {
        "weight": p.freed.weight if p.freed else None, "ended": p.ended, "landed after": number(p.landed),
        "stands after": number(p.lasts), "at risk": at_risk(verdict.context, p.freed) if p.freed else None,
        "weight lands at": None if d is None else number(d.speed),
        "energy of the weight": None if d is None else number(d.energy),
        "shafts": {name: {"before": number(p.begins * turns), "largest": number(p.fastest * turns)}
                   for name, turns in p.ratio.items()},
        "stored": {name: number(E) for name, E in p.stored(p.fastest).items()},
        "time": [number(float(t)) for t in times],
        "speed": {name: [number(float(w * turns)) for w in p.speed(times)] for name, turns in p.ratio.items()},
    }


def write_csv(r: RunAway, place: Path) -> None:
    """Speed of every shaft against time, in SI."""
    times = np.linspace(0.0, max((p.lasts for p in r.parts), default=0.0), FINE)
    columns = [(name, p.speed(times) * turns) for p in r.parts for name, turns in p.ratio.items()]
    with place.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(["time in s", *(f"speed of {name} in rad/s" for name, _ in columns)])
        out.writerows(np.column_stack([times, *(speed for _, speed in columns)]).tolist())


def write_plot(r: RunAway, place: Path) -> None:
    """Speed of every shaft against time."""
    from matplotlib.figure import Figure

    sheet = Figure(figsize=(10, 6), layout="constrained")
    axes = sheet.subplots()
    times = np.linspace(0.0, max((p.lasts for p in r.parts), default=0.0), 5 * FINE)
    for part in r.parts:
        speed = part.speed(times)
        for name, turns in part.ratio.items():
            axes.plot(times, speed * turns / REV_PER_MIN, lw=1, label=name)
        if np.isfinite(part.landed):
            axes.axvline(part.landed, color="0.4", lw=0.8, ls="--", label="weight down")
    axes.set_yscale("symlog", linthresh=1.0)
    axes.set_xlabel("time after the loss, s")
    axes.set_ylabel("speed, rev/min")
    axes.grid(visible=True, color="0.9")
    axes.legend(fontsize="small", loc="upper left", bbox_to_anchor=(1.0, 1.0))
    axes.set_title(f"{r.solved.machine.title}: {r.loss.name} is lost", loc="left")
    sheet.savefig(place)
