"""Which parts of a machine are to be chosen, and the space of sizes that opens."""

from __future__ import annotations

import re
from collections.abc import Sequence

from layshaft.machine.kinds import Coupling, GearPair, RollerChain, SynchronousBelt, VBelt
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.choosing import in_series, seats, stages
from layshaft.study.choosing.space import Chosen, Offers, Space, Wish
from layshaft.study.choosing.wheels import ratio_asked
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

NATIVE = (RollerChain, GearPair, Coupling, SynchronousBelt, VBelt)
SEAT_STEPS = 5
STEP = re.compile(r"(shafts\.[^.\[\]]+)(?:\.sections)?(?:\[(\d+)\])?(?:\[0\])?")
CAN = ("a stage ('stages.lens chain'), the bar of a shaft ('shafts.main'), what sits on a seat "
       "('shafts.main.seats.left bearing.bearing', or its key, hub or bush), a weight for its rope or chain "
       "('drives.weight'), a brake or flywheel, a spring, a fixing or a frame")


def space_of(machine: Machine, parts: Sequence[str], wish: Wish, offers: Offers) -> Space:
    """The space of a choice. Raises `BadInput` where a part cannot be chosen or nothing is open in it."""
    paths = list(dict.fromkeys(parts))
    space = Space(machine, rate(solve(machine)), wish, offers, tuple(paths))
    space.shifts = any(in_series.felt(machine, path) and not _native(machine, path) for path in paths)
    for path in sorted(paths, key=_order):
        _open(space, path)
    ratio_asked(space)
    for part in space.parts.values():
        part.rests_on = tuple(_rests_on(space, part))
    if any(len(axis) == 0 for axis in space.grid.axes):
        empty = next(axis for axis in space.grid.axes if len(axis) == 0)
        raise BadInput(f"Nothing on any list can be tried for {empty.name}: no standard series of it ships with "
                       "Layshaft. Import a supplier's list, or write sizes of your own under `parts`.")
    for kind, count in getattr(offers, "left_out", {}).items():
        space.notes.append(f"{count} more {kind}s of imported lists were not tried: narrow the lists")
    if space.additions:
        space.machine = apply(machine, {"add": {f"parts.{name}": dict(said) for name, said in space.additions.items()}})
        space.verdict = rate(solve(space.machine))
    return space


def _order(path: str) -> int:
    """Bars first: what sits on them looks at their columns."""
    return 2 if path.startswith("stages.") else 1 if ".seats." in path else 0


def _native(machine: Machine, path: str) -> bool:
    """Whether the kind of a part is searched by its own conditions; else by its series."""
    words = path.split(".")
    if words[0] == "stages" or len(words) == 1:
        return isinstance(machine.stages.get(words[1] if len(words) > 1 else ""), NATIVE)
    return words[0] == "shafts" and (len(words) < SEAT_STEPS or words[-1] in ("bearing", "key"))


def _open(space: Space, path: str) -> None:
    words = path.split(".")
    machine = space.machine
    if words[0] == "stages" and len(words) == 2 and words[1] in machine.stages:
        return _stage(space, path, words[1])
    if words[0] == "shafts" and len(words) == SEAT_STEPS and words[1] in machine.shafts and words[2] == "seats":
        shaft = machine.shafts[words[1]]
        seat = shaft.seats.get(words[3])
        if seat is not None and words[4] == "bearing" and seat.bearing.state != "missing":
            return seats.bearing(space, shaft, seat)
        if seat is not None and words[4] == "key" and seat.key_size.state != "missing":
            return seats.key(space, shaft, seat)
    step = STEP.fullmatch(path)
    if step and step.group(1).split(".")[1] in machine.shafts:
        shaft = machine.shafts[step.group(1).split(".")[1]]
        return seats.bar(space, shaft, int(step.group(2)) if step.group(2) else None)
    if in_series.there(machine, path):
        return in_series.sized(space, path)
    raise BadInput(f"'{path}' is no part that can be chosen. Name {CAN}.")


def _stage(space: Space, path: str, name: str) -> None:
    stage = space.machine.stages[name]
    if isinstance(stage, RollerChain):
        stages.chain(space, stage)
    elif isinstance(stage, GearPair):
        stages.gears(space, stage)
    elif isinstance(stage, Coupling):
        stages.coupling(space, stage)
    elif isinstance(stage, SynchronousBelt | VBelt):
        stages.belt(space, stage)
    else:
        in_series.sized(space, path)


def _rests_on(space: Space, part: Chosen) -> list[str]:
    """Axes that can change the rating of a part.

    A stage rests on its own sizes and on all teeth, which the whole train feels. What is on a shaft rests on
    the stages besides, which load it, and on the bar. What goes by a series may feel all of these, and what changes the
    train by more than its ratio is felt by every part.
    """
    own = set(part.axes) | set(space.teeth)
    for other in space.parts.values():
        loads = other.what == "bar" or (other.path.startswith("stages.") and not other.feels)
        if other.felt or (part.feels and loads):
            own |= set(other.axes)
    if part.alone:
        own = set(part.axes)
    if part.path.startswith("shafts."):
        for other in space.parts.values():
            if other.path.startswith("stages.") or (other.what == "bar" and set(other.shafts) & set(part.shafts)):
                own |= set(other.axes)
    return [axis.name for axis in space.grid.axes if axis.name in own]


