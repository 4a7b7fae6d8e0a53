"""Sizes of all other parts: by the series their room of the house goes by, small to large.

They are made in steps of preferred numbers, cut from stock or listed; what they weigh is reckoned from their sizes.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.machine.kinds import HUBS, Brake, DogClutch, Flywheel, Ratchet
from layshaft.machine.kinds.brakes import DrumBrake
from layshaft.machine.model import Machine
from layshaft.study.choosing.joining import Axis
from layshaft.study.choosing.space import Chosen, Space
from layshaft.trace.errors import BadInput
from layshaft.verdict import asked
from layshaft.verdict.ladder import series

NAN = float("nan")
ALONE = ("springs",)
"""Kinds that are worked with a stated load: nothing of the machine acts on them, and they on nothing."""

UNFELT = ("springs", "fixings", "frames", "hub")
UNFELT_SIZES = (Ratchet, DogClutch, DrumBrake)
"""Kinds of which what is tried here, faces and outside diameters, moves no torque and no force on a shaft."""

WEIGHED = ("mass", "width", "across")
SEAT_STEPS = 5


def there(machine: Machine, path: str) -> bool:
    """Whether the machine has such a part."""
    words = path.split(".")
    if words[0] == "shafts" and len(words) == SEAT_STEPS and words[1] in machine.shafts:
        seat = machine.shafts[words[1]].seats.get(words[3])
        return seat is not None and ((words[4] == "bush" and seat.rubs) or (
            words[4] == "hub" and type(seat.hub) in HUBS.values()))
    things: Any = getattr(machine, words[0], None) if words[0] in (
        "stages", "drives", "loads", "springs", "fixings", "frames") else None
    return len(words) == 2 and words[1] in (things or {})


def felt(machine: Machine, path: str) -> bool:
    """Whether another size of it may change how other parts are rated."""
    words = path.split(".")
    if len(words) == 1 or words[0] in UNFELT or words[-1] in UNFELT:
        return False
    thing: Any = {"stages": machine.stages, "loads": machine.loads}.get(words[0], {}).get(words[1])
    by_force = isinstance(thing, Brake) and thing.force.state == "open"
    return by_force or not isinstance(thing, UNFELT_SIZES)


def sized(space: Space, path: str) -> None:
    """All sizes of its series as one axis. Raises `BadInput` where there are none."""
    search = series(space.verdict.context, path, wide=True)
    what = asked.what_of(space.machine, path)
    if search.cannot or not search.candidates:
        raise BadInput(f"No sizes of '{path}' ({what}) can be tried: {search.cannot or 'no series of it is known'}.")
    known: dict[str, np.ndarray[Any, Any]] = {
        f"{path}|{wish}": np.array([float(k.worth.get(wish, NAN)) for k in search.candidates]) for wish in WEIGHED}
    known[f"{path}|cad"] = np.zeros(len(search.candidates))
    axis = Axis(path, path, [k.name for k in search.candidates], [k.sets for k in search.candidates], known)
    space.add(axis)
    if space.wish.require_cad:
        space.ask(f"{what}: a CAD file is listed", [f"{path}|cad"], lambda cad: cad)
    for wish in WEIGHED:
        if np.isfinite(known[f"{path}|{wish}"]).any():
            space.adds(wish, path, what, f"{path}|{wish}")
    if felt(space.machine, path):
        space.trains.add(axis.name)
    wheel = space.machine.loads.get(path.partition(".")[2])
    if isinstance(wheel, Flywheel):
        _unasked(space, wheel)
    elif search.note:
        space.notes.append(f"{_called(path)}: {search.note[0].lower()}{search.note[1:].rstrip('.')}")
    alone = path.split(".")[0] in ALONE
    space.parts[path] = Chosen(
        path, what, [axis.name], search.gather, search.inside,
        lambda other: other == path or other.startswith(f"{path}."), _shafts(space.machine, path), feels=not alone,
        alone=alone, felt=felt(space.machine, path))


def _unasked(space: Space, wheel: Flywheel) -> None:
    """Says so where nothing is wanted of the swing of a flywheel's shafts: the lightest would be the best."""
    shafts = space.verdict.solved.set_of(wheel.shaft).ratio
    wants = (space.machine.wants or {}).values()
    if not any(want.within_a_turn.known and want.shaft in shafts for want in wants):
        space.notes.append(f"{wheel.name}: nothing is wanted of how evenly its shafts turn, so nothing asks for a "
                           "heavier wheel: write a want with `within a turn`")


def _called(path: str) -> str:
    words = path.split(".")
    return words[1] if len(words) == 2 else f"{words[-1]} on {words[3]} of {words[1]}"


def _shafts(machine: Machine, path: str) -> tuple[str, ...]:
    words = path.split(".")
    if words[0] == "shafts":
        return (words[1],)
    if words[0] == "stages":
        stage = machine.stages[words[1]]
        return stage.from_, stage.to
    shaft = machine.shaft_of(path)
    return (shaft,) if shaft else ()
