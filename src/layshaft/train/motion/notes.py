"""Where a run goes beyond what it was reckoned with: said beside its numbers."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.kinds import EddyBrake
from layshaft.mechanics import friction
from layshaft.trace.units import ENERGY, SPEED, TORQUE, shown
from layshaft.train.limits import limit, one_way
from layshaft.train.motion.course import Course
from layshaft.train.motion.peaks import joints_of, link_torques, over
from layshaft.train.motion.reduced import Setting

MOST_NAMED = 3
NOTHING = 1e-9
"""Share of the largest torque of a link below which it passes nothing."""


def notes(c: Course) -> list[str]:
    """All of them, in whole sentences."""
    return [*_never_came(c), *_fast_discs(c), *_lets_go(c), *_brakes(c), *_weights(c), *_ungoverned(c), *_pieces(c)]


def _never_came(c: Course) -> Iterator[str]:
    p, came = c.programme, {(mark.kind, mark.name) for mark in c.marks}
    missed = [change.name for change in p.changes if ("change", change.name) not in came]
    missed += [bout.name for bout in p.bouts if ("wind", bout.name) not in came]
    missed += [hold.name for hold in p.holds if ("brake", hold.brake) not in came]
    if missed:
        named = f"{len(missed)} items" if len(missed) > MOST_NAMED else " and ".join(missed)
        yield f"The run was over before {named} of the programme came."


def _fast_discs(c: Course) -> Iterator[str]:
    for load in c.solved.machine.loads.values():
        if isinstance(load, EddyBrake) and load.shaft in c.ratio and load.critical_speed.known:
            most = float(c.motion.omega.max()) * abs(c.ratio[load.shaft])
            if most > load.critical_speed.nominal:
                highest = shown(load.critical_speed.nominal, SPEED)
                yield (f"{load.path} turns at up to {shown(most, SPEED)}, beyond its critical speed of {highest}: "
                       "there it brakes less than is reckoned here.")


def _lets_go(c: Course) -> Iterator[str]:
    """Stages that part or slip in the run, where the run counts them as joined."""
    torques, m = link_torques(c), c.motion
    for i, joint in enumerate(joints_of(c)):
        stage = c.solved.machine.stages[joint.stages[0]]
        passed = torques[:, 0, i]
        if one_way(stage):
            drives = passed * joint.child_turns * (1.0 if stage.from_ == joint.parent else -1.0)
            back = np.flatnonzero(drives < -NOTHING * np.abs(drives).max())
            if len(back):
                yield (f"{_at(c, int(back[0]))} what {stage.name} drives runs ahead and turns on by itself: the run "
                       "counts it as joined from there on.")
            continue
        most = limit(stage)
        if most is None or len(joint.stages) > 1:
            continue
        at = int(np.argmax(np.abs(passed)))
        first = abs(float(passed[at])) * (over(m.parts[int(m.part[at])], i) if stage.from_ == joint.parent else 1.0)
        if first > float(np.max(most[0])):
            yield (f"{_at(c, at)} {stage.name} would have to pass {shown(first, TORQUE)}; it lets go at "
                   f"{shown(float(np.max(most[0])), TORQUE)}, and the run counts it as holding.")


def _at(c: Course, edge: int) -> str:
    return f"{c.motion.time[edge]:.1f} s after the start"


def _brakes(c: Course) -> Iterator[str]:
    for name in dict.fromkeys(hold.brake for hold in c.programme.holds):
        load = c.solved.machine.loads[name]
        if load.scatter.known and load.scatter.nominal:
            least, most = (float(friction.latest(1.0, s)) for s in (-load.scatter.nominal, load.scatter.nominal))
            yield (f"{name} rubs with its stated friction; oil, rain and wear make it {least:.2g} to {most:.2g} times "
                   "that.")


def _weights(c: Course) -> Iterator[str]:
    if any(mark.kind == "landed" for mark in c.marks):
        yield "A weight that lands stops pulling at once; rope or chain then hangs slack and may jump off."
    if any(bout.unevenness == 0 for bout in c.programme.bouts):
        yield "The handle is taken to turn evenly where its bout states no 'unevenness'."


def _ungoverned(c: Course) -> Iterator[str]:
    bands = [bands[-1] for bands in c.at(Setting()).bands.values()]
    if not any(band.a[k] for band in bands for k in (1, 2)):
        yield "Nothing on this train brakes harder the faster it turns: it gains speed until a weight lands."


def _pieces(c: Course) -> Iterator[str]:
    """What a torque by angle loses where it is taken as constant pieces."""
    for lift in c.motion.lifts:
        if lift.missed:
            yield (f"{lift.load} is taken as {len(lift.torques)} pieces of constant torque a repeat, each with its "
                   f"whole work: within a piece its energy is off by {shown(lift.missed, ENERGY, digits=2)} at most.")
