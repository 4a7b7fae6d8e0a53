"""Names and states of parts, and what to ask a supplier for where no list ships with the house."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.machine.kinds import DRIVES, FIXINGS, FRAMES, LOADS, SPRINGS, STAGES, EndlessLoop, Suspended
from layshaft.machine.model import Machine
from layshaft.trace.units import LENGTH, MASS, TORQUE, Dimension, shown
from layshaft.train.sources import wheel_diameter
from layshaft.train.wanted import diameter_for, open_pull
from layshaft.verdict.rate import Verdict

BRAKE = ("Its torque in the case at rest, times the margin on holding, is what to ask for; the force follows from it, "
         "the friction and the sizes.")
ADVICE = {
    **dict.fromkeys(("disc brake", "block brake", "band brake"), BRAKE),
    "flywheel": "No list of wheels ships with Layshaft: write diameter, bore, mass and material of the one you find.",
    "module": "Weigh it, or write what you expect with its range.",
    "turntable": "Weigh it, or write what you expect with its range: its drag decides the drive.",
}
KINDS = {kind: name for kinds in (DRIVES, LOADS, STAGES, FIXINGS, SPRINGS, FRAMES) for name, kind in kinds.items()}
SIZED_BY = ("chain", "listing", "thread", "wire", "pin", "section")


def what_of(machine: Machine, path: str) -> str:
    """What a part is, in a word or two."""
    words = path.split(".")
    if words[0] == "shafts":
        on_seats = {"bearing": "bearing", "bush": "bush", "key": "key", "hub": "hub"}
        return {2: "shaft"}.get(len(words), on_seats.get(words[-1], "seat"))
    if words[0] == "modules":
        return "module"
    things: Any = {"stages": machine.stages, "drives": machine.drives, "loads": machine.loads,
                   "fixings": machine.fixings, "springs": machine.springs,
                   "frames": machine.frames}.get(words[0], {})
    return KINDS.get(type(things.get(words[1])), "part")


def state_of(machine: Machine, path: str) -> str:
    """How far the part is, as the file says; open where it says nothing."""
    words = path.split(".")
    things: Any = getattr(machine, words[0], {})
    thing = things.get(words[1]) if isinstance(things, dict) else None
    if words[0] == "shafts" and len(words) > 3 and thing is not None:
        thing = thing.seats[words[3]]
    return getattr(thing, "state", None) or "open"


def states(machine: Machine) -> Iterator[tuple[str, str, str]]:
    """Path, state and size in a few words of every part that states how far it is."""
    for shaft in machine.shafts.values():
        if shaft.state:
            yield shaft.path, shaft.state, ", ".join(str(d) for d, _ in shaft.sections)
        for seat in shaft.seats.values():
            if seat.state:
                sizes = (seat.bearing, seat.bush.material, seat.key_size)
                yield seat.path, seat.state, ", ".join(k.name for k in sizes if k.known)
    for things in (machine.stages, machine.drives, machine.loads or {}, machine.fixings or {},
                   machine.springs or {}, machine.frames or {}):
        for thing in things.values():
            if thing.state:
                size = next((getattr(thing, k) for k in SIZED_BY if hasattr(thing, k)), None)
                yield thing.path, thing.state, getattr(size, "name", "") or KINDS[type(thing)]


def ratings(verdict: Verdict, path: str) -> list[tuple[str, float, Dimension]]:
    """The largest demand of each mode times its required margin: what a listing must say at least."""
    found = []
    for r in verdict.rated:
        for p, part in enumerate(r.block.parts):
            if part.path != path or not r.asked[p].any() or r.mode in NOT_A_RATING:
                continue
            demand = np.broadcast_to(np.asarray(r.check.demand, dtype=float), r.codes.shape)[p].mean(axis=1)[r.asked[p]]
            known = demand[np.isfinite(demand)]
            if len(known):
                found.append((RATING.get(r.mode, r.mode), float(known.max()) * part.required[r.mode][0],
                              r.check.dimension))
    return found


NOT_A_RATING = frozenset({"misalignment", "drum bending ratio", "pulley bending ratio", "dead wraps", "rope anchor",
                          "drum width", "fleet angle", "drum wall", "rope pressure", "sense of drive",
                          "grip when caught"})
RATING = {"grip in running": "torque it passes without letting go", "held torque": "largest torque",
          "static strength of the suspension": "breaking load", "arrested strength of the suspension":
          "breaking load when caught", "rope strength with bending": "breaking load less what bending takes",
          "termination strength": "strength of its end"}


def weight_notes(verdict: Verdict, drive: Suspended) -> list[str]:
    """The torque a weight must give, and the mass or the wheel that gives it."""
    solved = verdict.solved
    root = solved.set_of(drive.shaft).root
    role = solved.roles[root]
    own = [t for t in solved.taken.values() if t.path.startswith(f"{drive.path}.")]
    torque = float(np.abs(solved.seat_torque[drive.shaft][drive.seat][0]).mean())
    notes = [f"{shown(torque, TORQUE)} at its wheel give the wanted speed."] if np.isfinite(torque) and (
        own or role.free) else []
    if own:
        given = own[0].given
        word = "mass" if given.dimension is MASS else "diameter"
        other = shown(wheel_diameter(solved.machine, drive), LENGTH) if word == "mass" else str(drive.mass)
        notes.append(f"The {word} that gives it, with {other}: {shown(given.nominal, given.dimension)}.")
    elif role.free and drive.mass.known and np.isfinite(torque):
        d = diameter_for(solved.machine, drive, torque)
        notes.append(f"With {drive.mass} the wheel it hangs on must have a pitch diameter of {shown(d, LENGTH)}.")
    if not notes and open_pull(drive):
        why = "counterweight" if isinstance(drive, EndlessLoop) and not drive.counterweight.known else "wanted speed"
        notes.append(f"The torque it must give is not known yet: a {why}, a load or a ratio is missing.")
    return notes
