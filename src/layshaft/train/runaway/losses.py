"""What can be lost, one thing at a time, and what stays together with a weight after that.

Strands side by side and stages that lie in a loop are left out: the others go on. A part that is lost takes
what it does with it: a stage what it passes on, a load its torque, its brake and its moment of inertia.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import Brake, Flywheel, OneWayHub, Ratchet, Suspended
from layshaft.machine.model import Machine
from layshaft.trace.errors import BadInput
from layshaft.train import sources
from layshaft.train.graph import Link, ShaftSet
from layshaft.train.limits import one_way
from layshaft.train.roles import Role
from layshaft.train.sense import motion
from layshaft.train.shares import link_shares

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

BY_ITSELF = ("spring", "weight")
"""What puts a brake on without a hand."""


@dataclass(frozen=True, slots=True)
class Loss:
    """One element that is lost: by its path, with the stages and loads that do nothing any more."""

    path: str
    name: str
    root: str
    out: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    weight: str = ""
    """The weight that comes off what it hangs on."""


@dataclass(frozen=True, slots=True)
class Reached:
    """A shaft seen from another: its speed over that of the other, and the share of power that gets out to it."""

    turns: float
    out: Any
    back: Any
    way: frozenset[str] = frozenset()
    """Stages on the way that have no others beside them."""


def runs_down(role: Role) -> bool:
    """True where weights alone drive a set: they sink while it runs."""
    return bool(role.weights and not role.led_by and not role.winds)


def losses(solved: Solved) -> Iterator[Loss]:
    """Everything in the sets that weights hang on whose loss frees a shaft, set by set."""
    for root, role in solved.roles.items():
        if role.weights or role.winds:
            yield from _stages(solved, root, role)
            yield from _loads(solved, root, role)
            if role.led_by:
                drive = solved.machine.drives[role.led_by]
                yield Loss(drive.path, drive.name, root)


def _stages(solved: Solved, root: str, role: Role) -> Iterator[Loss]:
    looped = {name for loop in role.set.loops for name in loop}
    alone = {link.stages[0] for link in role.set.links if len(link.stages) == 1} - looped
    for name, stage in solved.machine.stages.items():
        if name in alone or (holds(stage) and stage.from_ in role.set.ratio):
            yield Loss(stage.path, name, root, frozenset({name}))


def _loads(solved: Solved, root: str, role: Role) -> Iterator[Loss]:
    """Loads hold back what runs down; of what is wound up only a brake that is on by itself does."""
    for name, load in solved.machine.loads.items():
        brake = isinstance(load, Brake)
        if load.shaft in role.set.ratio and (
                load.put_on_by in BY_ITSELF if brake else runs_down(role) and not isinstance(load, Flywheel)):
            yield Loss(load.path, name, root, off=frozenset({name}))


def holds(stage: Any) -> bool:
    """True for what holds a shaft against the frame."""
    return isinstance(stage, (Ratchet, OneWayHub)) and stage.to == "frame"


def hangs_on(role: Role) -> tuple[str, ...]:
    """Weights whose pull is felt on a set: those on its shafts, or the one it winds."""
    return role.weights or ((role.winds,) if role.winds else ())


def start_of(role: Role, drive: Any) -> str:
    """The shaft on which a weight pulls in a set: that of its wheel, or in a winding set of the winding wheel."""
    return str(drive.rewound_from if drive.name == role.winds else drive.shaft)


def joined(machine: Machine, s: ShaftSet, start: str, out: frozenset[str], *, forward: bool) -> dict[str, Reached]:
    """What turns with a shaft, stages in `out` being lost; `forward` says whether it turns as in the run.

    A one-way stage drives its second shaft from the first alone; the other way round, backwards alone.
    """
    near: dict[str, list[Link]] = {}
    for link in s.links:
        if not out.issuperset(link.stages):
            near.setdefault(link.parent, []).append(link)
            near.setdefault(link.child, []).append(link)
    found = {start: Reached(1.0, 1.0, 1.0)}
    for here in list_growing(found):
        for link in near.get(here, ()):
            far = link.child if link.parent == here else link.parent
            if far in found or _runs_free(machine, link, here, forward=forward):
                continue
            away, home = link_shares(machine, link) if link.parent == here else link_shares(machine, link)[::-1]
            ratio = abs(s.ratio[far] / s.ratio[here])
            alone = link.stages if len(link.stages) == 1 else ()
            found[far] = Reached(found[here].turns * ratio, found[here].out * away, found[here].back * home,
                                 found[here].way.union(alone))
    return found


def list_growing(found: dict[str, Reached]) -> Iterator[str]:
    """Keys of a mapping that grows while it is walked."""
    done = 0
    while done < len(found):
        yield from list(found)[done:(done := len(found))]


def _runs_free(machine: Machine, link: Link, here: str, *, forward: bool) -> bool:
    stage = machine.stages[link.stages[0]]
    return len(link.stages) == 1 and one_way(stage) and (stage.from_ == here) != forward


def rests(solved: Solved) -> frozenset[str]:
    """Loads that are not engaged all the time: what is lost is lost while they rest."""
    machine = solved.machine
    found = {n for n, load in machine.loads.items() if load.engaged.known and load.engaged.nominal < 1}
    if machine.programme is not None:
        found.update(name for act in machine.programme.acts.values() for name in act.without)
    return frozenset(found)


def sinks(solved: Solved, name: str) -> bool:
    """Whether a weight sinks while its set runs; also where it stands, of which no speed could tell the sense."""
    drive, s = solved.machine.drives[name], solved.set_of(solved.machine.drives[name].shaft)
    assert isinstance(drive, Suspended)
    down = sources.turning_sense(solved.machine, drive, drive.shaft)
    turns = motion(solved.machine, solved.roles[s.root]) * np.sign(s.ratio[drive.shaft])
    return bool(down * turns > 0)


def nothing_lost(solved: Solved) -> Iterator[Loss]:
    """For every set that weights drive: its run as it is, down to the floor."""
    for root, role in solved.roles.items():
        if runs_down(role):
            yield Loss("", "", root)


def loss_named(solved: Solved, text: str) -> Loss:
    """What is meant by a path or a name: a stage, load, drive, key seat or shaft. Raises `BadInput`."""
    machine, asked = solved.machine, text.strip().casefold()
    things = {t.path: t for t in (*machine.stages.values(), *machine.loads.values(), *machine.drives.values(),
                                  *machine.shafts.values())}
    things |= {seat.path: seat for shaft in machine.shafts.values() for seat in shaft.seats.values()}
    hit = [p for p in things if p.casefold() == asked] or [p for p in things if asked == p.rpartition(".")[2].casefold()
                                                           and ".seats." not in p]
    hit = [p for p in hit if not p.startswith("shafts.")] or hit
    if len(hit) > 1:
        raise BadInput(f"'{text}' could be {' or '.join(repr(p) for p in hit)}; write one of these.")
    if not hit:
        names = dict.fromkeys([*things, *(p.rpartition(".")[2] for p in things)])
        near = difflib.get_close_matches(text, list(names), 3, 0.5)
        hint = f" Did you mean {' or '.join(repr(n) for n in near)}?" if near else " `layshaft run` lists what can be."
        raise BadInput(f"There is no stage, load, drive, seat or shaft '{text}' to lose.{hint}")
    found = _of_thing(solved, hit[0])
    role = solved.roles[found.root]
    if not (role.weights or role.winds):
        raise BadInput(f"No weight hangs on the shafts with {hit[0]}: when it is lost nothing runs away.")
    return found


def _of_thing(solved: Solved, path: str) -> Loss:
    """One thing, or all that a seat or a shaft carries and passes on: a shaft is broken beside what drives it."""
    machine, words = solved.machine, path.split(".")
    kind, name = words[0], words[1]
    if kind == "shafts":
        on = {(name, words[3])} if len(words) > 3 else {(name, seat) for seat in machine.shafts[name].seats}
        out = frozenset(n for n, t in machine.stages.items() if on & set(zip((t.from_, t.to), t.seats, strict=False)))
        off = frozenset(n for n, load in machine.loads.items() if (load.shaft, load.seat) in on)
        hung = next((n for n, d in machine.drives.items() if len(words) > 3 and (d.shaft, d.seat) in on
                     and isinstance(d, Suspended)), "")
        if not (out or off or hung):
            raise BadInput(f"Nothing that passes a torque sits at {path}: name a stage, a load, a drive or its seat.")
        return Loss(path, words[-1] if len(words) == 2 else f"{words[3]} on {name}", solved.set_of(name).root, out, off,
                    hung)
    if kind == "stages":
        return Loss(path, name, solved.set_of(machine.stages[name].from_).root, frozenset({name}))
    if kind == "loads":
        return Loss(path, name, solved.set_of(machine.loads[name].shaft).root, off=frozenset({name}))
    drive = machine.drives[name]
    return Loss(path, name, solved.set_of(drive.shaft).root, weight=name if isinstance(drive, Suspended) else "")
