"""Whether something ends it when one element between a weight and what holds it back is lost.

Ends count: a holder or a brake that is on by itself; what is left of the train, where it keeps the weight below
twice its speed; the floor, where nobody can be under the weight and no handle whirls. None counts where a wheel bursts
before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import Crank
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, ENERGY, SPEED, VELOCITY, shown
from layshaft.train.cases import FAILED
from layshaft.train.runaway.freed import Freed, hitting_energy, weight_speed, wheels
from layshaft.verdict.context import Context
from layshaft.verdict.driving import listed, not_seen, to_drive
from layshaft.verdict.hazards import RUNS_AWAY, UNDER
from layshaft.verdict.kinds.wheels import away
from layshaft.verdict.open import open_owners, taken_weights

if TYPE_CHECKING:
    from layshaft.verdict.rate import Rated

MODE = "run-away"
TWICE = 2.0
"""Times its speed up to which a train is taken to be kept: four times the energy. Common practice, no single source."""

AFTER = Source("what a loss leaves together with a weight", "kinetic energy over the drop, cams with their mean torque",
               "derived")
ONE_AT_LEAST = Source("the loss of one element", "something must end it before a wheel bursts or people are met",
                      "common practice")
CURE = "keep its fall zone closed and wheels guarded. Local codes and a licensed person decide."
WEAK = "it is not known at what speed a wheel that turns with it bursts"
STANDS = "it is not known how fast it runs before the loss"
Bursts = dict[str, Any]


def runaways(c: Context, rated: Iterable[Rated]) -> Iterator[Finding]:
    """One finding for each element whose loss frees a weight, the worst of the weights it frees."""
    bursts, weights, missing = _bursts(rated), taken_weights(c.solved), open_owners(c.solved)
    for path, group in groupby(c.freed, key=lambda f: f.loss.path):
        open_ = "not chosen" if path in missing else ""
        found = [_finding(c, f, bursts, open_ or weights.get(f.loss.root, "")) for f in group]
        yield min(found, key=lambda one: one.rank)


def ends(c: Context, f: Freed, bursts: Bursts) -> Any:
    """How many things end it; NaN where that is not known."""
    kept = f.fastest <= TWICE * f.begins if f.forward else False
    count = len(f.holders) + np.where(kept, 1.0, 0.0) + _floor(c, f)
    for name, (turns, _) in wheels(c.solved, f).items() if not f.holders else ():
        if name in bursts:
            most = bursts[name]
            count = np.where(np.isnan(most), np.nan, np.where(f.fastest * turns > most, 0.0, count))
    return np.where(np.isfinite(f.fastest), count, np.nan)


def _floor(c: Context, f: Freed) -> Any:
    """1 where the floor ends it, 0 where it does not: somebody can be under the weight, or a handle whirls until then.

    A handle may go back at twice the speed it is wound at; faster it can hit whoever stands beside it. NaN where that
    speed is not known.
    """
    if c.machine.drives[f.weight].over_people:
        return 0.0
    stands: Any = 1.0
    for name, turns in handles(c, f).items() if not f.holders else ():
        most = TWICE * _crank(c, name).speed.value
        stands = np.where(np.isfinite(most), stands * (f.fastest * turns <= most), np.nan)
    return stands


def _crank(c: Context, name: str) -> Crank:
    drive = c.machine.drives[name]
    assert isinstance(drive, Crank)
    return drive


@dataclass(frozen=True, slots=True)
class WheelStress:
    """Stress of a wheel over the square of its speed, its tensile strength, and the margin it needs on that."""

    per_square: float
    strength: float
    required: float


def wheel_stress(rated: Iterable[Rated]) -> dict[str, WheelStress]:
    """Of every wheel, as it is rated at its run-away speed."""
    found = {}
    for r in rated:
        if r.mode == "run-away burst":
            for p, part in enumerate(r.block.parts):
                sigma, strength = (float(np.broadcast_to(v, r.codes.shape)[p, 0, 0])
                                   for v in (r.check.demand, r.check.rating))
                square = _mean(away(part)) ** 2
                found[part.path.partition(".")[2]] = WheelStress(sigma / square, strength, part.required[r.mode][0])
    return found


def _bursts(rated: Iterable[Rated]) -> Bursts:
    """Of every wheel: the speed at which its margin on bursting is used up; NaN where that is not known."""
    found: Bursts = {}
    for r in rated:
        if r.mode == "run-away burst":
            for p, part in enumerate(r.block.parts):
                margin = np.broadcast_to(r.check.margin, r.codes.shape)[p, 0]
                found[part.path.partition(".")[2]] = away(part) * np.sqrt(margin / part.required[r.mode][0])
    return found


def _finding(c: Context, f: Freed, bursts: Bursts, rests_on: str) -> Finding:
    with np.errstate(all="ignore"):
        each = ends(c, f, bursts)
        count = float(np.mean(each))
        code = verdicts(1.0, count, count, 1.0, True)
        note = _note(c, f, bursts) if count < 1 else told(c, f)
    word = WORST_FIRST[int(code)]
    reason = f.lacking or (STANDS if np.isnan(np.mean(f.begins)) else WEAK)
    unseen = not_seen(c.solved, f.weight) if word == "holds" else ""
    if rests_on or unseen:
        word, reason = "unknown", rests_on or unseen
    title = f"{f.loss.name} is lost, {f.weight} wound up" + (" and nobody at the crank" if not f.forward else "")
    return Finding(f.loss.path, "", MODE, FAILED, title, COUNT, 1.0, count, count, 1.0, word, AFTER, ONE_AT_LEAST,
                   reason=reason if word == "unknown" else "", hurts=at_risk(c, f), note=note,
                   each=each if np.size(each) > 1 else None)


def at_risk(c: Context, f: Freed) -> str:
    """Who is hurt if nothing ends it."""
    drive: Any = c.machine.drives[f.weight]
    if drive.over_people:
        return f"{UNDER} {f.weight}"
    if whirl := handles(c, f):
        return f"whoever holds or stands beside {' or '.join(whirl)}"
    return f"{RUNS_AWAY}: {f.weight} runs away"


def told(c: Context, f: Freed) -> str:
    """What ends it, in words, with the speed it gets to."""
    if f.holders:
        return f"{' and '.join(f.holders)} {'hold' if len(f.holders) > 1 else 'holds'} {f.weight} at once"
    speed = shown(_mean(weight_speed(c.solved, f, f.fastest)), VELOCITY)
    if f.forward and np.mean(f.fastest <= TWICE * f.begins) > 1 / 2:
        by = " and ".join(f.brakes) if f.brakes else "what is left of its load"
        return f"{by} keeps {f.weight} below twice its speed: {speed} at most" if len(f.brakes) < 2 else (
            f"{by} keep {f.weight} below twice its speed: {speed} at most")
    hit = shown(_mean(hitting_energy(c.solved, f, f.fastest)), ENERGY)
    whirl = "".join(f"; the handle of {name} whirls at up to {shown(_mean(f.fastest * turns), SPEED)}"
                    for name, turns in handles(c, f).items())
    return f"only the floor ends it: {f.weight} comes down on it at {speed} with {hit} of its own{whirl}"


def handles(c: Context, f: Freed) -> dict[str, float]:
    """Cranks that turn with a weight that drives back what wound it up, and their turns for one of its shaft."""
    return {} if f.forward else {d.name: f.shafts[d.shaft].turns for d in c.machine.drives.values()
                                 if isinstance(d, Crank) and d.shaft in f.shafts}


def _note(c: Context, f: Freed, bursts: Bursts) -> str:
    """What is reached and what is allowed, why no end that was looked at counts, and what would end it."""
    governor = "a brake or governor nearer to it than what can be lost"
    if not f.forward and f.weight not in to_drive(c.solved):
        cure = ("Give the weight a second hold nearer to it than what can be lost: a pawl, or a brake that is on by "
                "itself")
    elif f.forward and f.brakes:
        cure = f"Let {listed(f.brakes)} hold back more, or give the weight {governor}"
    else:
        cure = f"Give the weight {governor}, or a second one on another branch"
    return f"{_reached(c, f)}. {_no_floor(c, f, bursts)}. {cure}; {CURE}"


def _reached(c: Context, f: Freed) -> str:
    speed = shown(_mean(weight_speed(c.solved, f, f.fastest)), VELOCITY)
    if not f.forward:
        return f"nothing is left that holds {f.weight}: it drives back what wound it up, at up to {speed}"
    runs = _mean(weight_speed(c.solved, f, f.begins))
    most = f"{shown(TWICE * runs, VELOCITY)} is allowed, twice the {shown(runs, VELOCITY)} it runs at"
    if not f.brakes:
        return f"nothing is left that governs {f.weight}: it reaches {speed}; {most}"
    return f"{listed(f.brakes)} {'let' if len(f.brakes) > 1 else 'lets'} {f.weight} reach {speed}; {most}"


def _no_floor(c: Context, f: Freed, bursts: Bursts) -> str:
    """Why not even the floor counts."""
    hit = shown(_mean(hitting_energy(c.solved, f, f.fastest)), ENERGY)
    why = ["people can be under it"] if c.machine.drives[f.weight].over_people else []
    for name, turns in handles(c, f).items():
        may = TWICE * _mean(_crank(c, name).speed.value)
        if _mean(f.fastest * turns) > may:
            why.append(f"the handle of {name} whirls at {shown(_mean(f.fastest * turns), SPEED)} "
                       f"({shown(may, SPEED)} allowed, twice what it is wound at)")
    for name, (turns, _) in wheels(c.solved, f).items():
        if name in bursts and _mean(f.fastest * turns) > _mean(bursts[name]):
            why.append(f"{name} turns at {shown(_mean(f.fastest * turns), SPEED)} before "
                       f"({shown(_mean(bursts[name]), SPEED)} allowed, or it is too near to bursting)")
    return (f"Only the floor ends it, hit with {hit}, and it does not count: "
            f"{', and '.join(why) or 'in some of the draws'}")


def _mean(value: Any) -> float:
    return float(np.mean(value))
