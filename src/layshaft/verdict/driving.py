"""Whether a weight that is to drive can come down at all: not while something holds it against the frame.

A ratchet or one-way hub to the frame holds the way the weight falls: that is what it is for on a hoist. Where the same
weight is to drive a machine, it holds it in the run as well. A weight is to drive where it hangs on a train that no
crank leads; on one that a crank leads, where that train has work to do besides the weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.machine.kinds import Brake, Crank, EddyBrake, FanBrake, Ratchet
from layshaft.machine.once import once
from layshaft.trace.findings import Finding
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT
from layshaft.train import sources
from layshaft.train.holders import holders
from layshaft.train.roles import Role
from layshaft.train.runaway.losses import BY_ITSELF, joined, runs_down, sinks
from layshaft.train.solve import Solved
from layshaft.verdict.context import Context

MODE = "free to drive"
HELD = Source("what holds the weight in the run as well", obtained="derived")
FREE = Source("a weight that drives must come down", obtained="derived")


@dataclass(frozen=True, slots=True)
class ToDrive:
    """A weight that is to drive: what it drives, what holds it the way it falls, and the crank on its train."""

    weight: str
    drives: tuple[str, ...]
    governed: bool
    """Whether a fan or an eddy brake is there to hold it back."""

    crank: str
    held_by: tuple[str, ...]


@once
def to_drive(solved: Solved) -> dict[str, ToDrive]:
    """By name: every weight that is to drive in the running case."""
    found = {}
    for role in solved.roles.values():
        led = solved.machine.drives[role.led_by] if role.led_by else None
        work = _work(solved, role)
        if role.winds or not (runs_down(role) or (isinstance(led, Crank) and work)):
            continue
        for name in role.weights:
            if len(role.weights) == 1 or sinks(solved, name) == runs_down(role):
                brakes = any(isinstance(solved.machine.loads[n], (FanBrake, EddyBrake)) for n in work)
                found[name] = ToDrive(name, work, brakes, role.led_by, tuple(_held_by(solved, role, name)))
    return found


def _work(solved: Solved, role: Role) -> tuple[str, ...]:
    """Loads of a set that take power out of it while it runs."""
    machine = solved.machine
    return tuple(name for name, load in machine.loads.items() if load.shaft in role.set.ratio and (
        isinstance(load, (FanBrake, EddyBrake)) or np.any(sources.resisting_torque(machine, load, "mean") != 0)))


def _held_by(solved: Solved, role: Role, weight: str) -> Iterator[str]:
    """What the falling weight takes hold of and cannot turn.

    A brake that is on by itself is held off in a run that weights lead, and nothing is counted from it; on a train
    that a crank leads it is counted as a holder, and so it holds here too.
    """
    machine = solved.machine
    start = machine.drives[weight].shaft
    with_it = joined(machine, role.set, start, frozenset(), forward=runs_down(role))
    yield from (stage.name for stage in holders(machine, role) if stage.from_ in with_it)
    if not runs_down(role):
        yield from (name for name, load in machine.loads.items()
                    if isinstance(load, Brake) and load.put_on_by in BY_ITSELF and load.shaft in with_it)


def kept_from_driving(c: Context) -> Iterator[Finding]:
    """One finding for each weight that is to drive and is held against the frame, at the first that holds it."""
    for one in to_drive(c.solved).values():
        if one.held_by:
            machine, first = c.machine, one.held_by[0]
            part = machine.stages[first].path if first in machine.stages else machine.loads[first].path
            yield Finding(part, one.weight, MODE, "any", f"{one.weight} is to drive", COUNT, 1.0, 0.0, 0.0, 1.0,
                          "fails", HELD, FREE, note=_note(c, one))


def _note(c: Context, one: ToDrive) -> str:
    held, many = listed(one.held_by), len(one.held_by) > 1
    return (f"{held} {'hold' if many else 'holds'} {one.weight} the way it falls, so {what_it_drives(one)} "
            f"never {'turn' if len(one.drives) > 1 else 'turns'}: {ways_out(one)}{_let_off(c, one)}{_only_lifted(one)}")


def _let_off(c: Context, one: ToDrive) -> str:
    """What holds is let go in the run alone, never as the only hold."""
    pawls = [n for n in one.held_by if isinstance(c.machine.stages.get(n), Ratchet) or n in c.machine.loads]
    return f", and lift {listed(pawls)} for the run only while something else holds {one.weight}" if pawls else ""


def _only_lifted(one: ToDrive) -> str:
    """A hoist that is taken for a drive."""
    return "" if one.governed or not one.crank else (
        f" (if {one.weight} is only lifted and let down, give what resists as `drag` of a bearing or stage)")


def what_it_drives(one: ToDrive) -> str:
    """The loads of its train by name."""
    return listed(one.drives) or "what it is to drive"


def ways_out(one: ToDrive) -> str:
    """How a weight is wound and still drives; the first words of a sentence or its end."""
    crank = one.crank or "a crank"
    off = f" and take {one.crank} off for the run" if one.crank else ""
    return (f"hang it in an endless loop, which {crank} winds while it drives, or put a ratchet between the shaft it "
            f"is wound on and the driven one{off}")


def not_seen(solved: Solved, weight: str) -> str:
    """Why nothing is known of the run of a weight, though it is to drive; blank where its run is solved."""
    one = to_drive(solved).get(weight)
    if one is None or not one.crank:
        return ""
    held = f"{listed(one.held_by)} to hold it" if one.held_by else "nothing to hold it"
    return (f"its run is not solved: {weight} is to drive {what_it_drives(one)}, and the file has {one.crank} on its "
            f"train and {held}")


def listed(names: tuple[str, ...] | list[str]) -> str:
    """Names in a row."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else "".join(names)

