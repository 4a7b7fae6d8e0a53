"""The load cases: events, not factors.

A case is a column of the solution. For each set of shafts it says what is unknown, what the loads do,
whether losses count, what is taken out, and how hard the hanging weights pull.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

import numpy as np

from layshaft.machine.kinds import Crank, Suspended
from layshaft.machine.model import Machine
from layshaft.train.arrest import arrest_factor
from layshaft.train.balance import ACCELERATION, SPEED, TORQUE
from layshaft.train.roles import Role, goes_on_without
from layshaft.train.sources import LoadState, inertia, weight_speed

RUNNING = "running mean"
PEAK = "running peak"
WINDING = "winding while running"
MEAN_WINDING = f"{WINDING}, mean"
HARDEST_PUSH = "hardest push of a turn"
AT_REST = "at rest and break-away"
HELD = "held fast"
STOPPED = "stopped dead"
ARRESTED = "weight arrested"
CRANK_LOADS = "leaning or kicking crank"
LEANING = "leaning on"
KICK_BACK = "kick-back of"
BRAKED = "stopped by a brake"
FAILED = "one element failed"
MODULE_OFF = "one module off"
TRANSIT = "in transit"
CASES = (RUNNING, PEAK, WINDING, AT_REST, HELD, STOPPED, ARRESTED, CRANK_LOADS, BRAKED, FAILED, MODULE_OFF, TRANSIT)

ONCE_IN_A_WHILE = frozenset({AT_REST, HELD, STOPPED, ARRESTED, CRANK_LOADS, BRAKED, FAILED, TRANSIT})
"""Cases that decide yield, not fatigue."""

SNATCH = 2.0
"""Load taken up suddenly by the strand that is left: common practice, no single source."""

DriveState = Literal["mean", "ripple", "full", "back", "none"]


@dataclass(frozen=True, slots=True)
class Plan:
    """What one set of shafts does in one case."""

    unknown: int
    at: str = ""
    seat: str = ""
    loads: LoadState = "mean"
    drive: DriveState = "none"
    losses: bool = True
    at_rest: bool = False
    turning: bool = True
    blow: str = ""
    """Shaft held fast, if the turning masses run into it."""

    out: frozenset[str] = frozenset()
    """Stages taken out."""

    idle: bool = False
    """Nothing acts: the set is out of the case."""

    free: bool = False
    """The weight's own torque is the unknown: its mass or wheel is not chosen yet."""

    off: frozenset[str] = frozenset()
    """Loads that are not engaged."""

    brake: str = ""
    """Brake that is put on while the set turns."""

    slips: bool = False
    """What can let go does so at its limit, and nothing drives or is driven through it harder than that."""

    lifting: tuple[tuple[str, float], ...] | None = None
    """Torque of each load that follows an angle, at a moment of a run; None: all do as `loads` says."""

    speed: float | None = None
    """Speed of the root, where it is not that of the running case."""

    def state_of(self, load: str) -> LoadState | float:
        """What a load does in this case, or the torque it lifts with just then."""
        return dict(self.lifting or ()).get(load, self.loads)


@dataclass(frozen=True, slots=True)
class Column:
    """One case of the whole machine."""

    case: str
    title: str
    plans: dict[str, Plan]
    pull: dict[str, Any] = field(default_factory=dict)
    """Factor on the strands of each hanging weight, by drive; 1 where not named."""

    winding_pull: dict[str, Any] = field(default_factory=dict)
    """The same for the winding side of a loop, where it differs."""

    snatch: dict[str, float] = field(default_factory=dict)
    shock: Any = None
    """Acceleration the masses feel, where it is not that of free fall."""

    module_off: str = ""
    off: tuple[str, ...] = ()
    """Loads and drives that are not engaged: another part of the run."""


def lowers(r: Role) -> bool:
    """True where a set winds weights up: what a brake stops there is their way down."""
    return bool(r.led_by and r.weights)


def held_by(brake: str) -> str:
    """Title of the case in which a brake holds the weights."""
    return f"at rest, weights held by {brake}"


def columns(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    """Every case this machine can meet, in the order of `CASES`."""
    found = [Column(RUNNING, RUNNING, {root: running_plan(machine, r) for root, r in roles.items()})]
    found += _disengaged(machine, roles)
    found += _peaks(machine, roles)
    found += _winding(machine, roles)
    found += _at_rest(machine, roles)
    found += _held(machine, roles)
    found += _arrested(machine, roles)
    found += _crank(machine, roles)
    found += _failed(machine, roles)
    found += _modules_off(machine, roles)
    found += _transit(machine, roles)
    return found


def running_plan(machine: Machine, r: Role) -> Plan:
    """What a set does while the machine runs."""
    if r.winds:
        return resting(machine, r)
    if r.led_by:
        drive = machine.drives[r.led_by]
        return Plan(TORQUE, drive.shaft, drive.seat)
    if r.free:
        drive = machine.drives[r.free]
        return Plan(TORQUE, drive.shaft, drive.seat, free=True)
    if r.weights:
        return Plan(SPEED, drive="mean")
    return Plan(TORQUE, r.set.root, idle=True)


def _going_on(machine: Machine, r: Role) -> Plan:
    """The running state changed by something else: an open weight keeps the torque it runs with."""
    return Plan(SPEED, drive="mean") if r.free else running_plan(machine, r)


def resting(machine: Machine, r: Role) -> Plan:
    """At rest with the weights hanging: the ratchet holds, else whoever holds the crank."""
    still = Plan(TORQUE, loads="none", losses=False, at_rest=True, turning=False)
    if r.ratchet:
        stage = machine.stages[r.ratchet]
        return replace(still, at=stage.from_, seat=stage.seats[0])
    if r.led_by:
        drive = machine.drives[r.led_by]
        return replace(still, at=drive.shaft, seat=drive.seat)
    if r.weights:
        drive = machine.drives[r.weights[0]]
        return replace(still, at=drive.shaft, seat=drive.seat)
    return replace(still, at=r.set.root, idle=True)


def _others(machine: Machine, roles: dict[str, Role], plans: dict[str, Plan]) -> dict[str, Plan]:
    return {root: plans.get(root) or running_plan(machine, r) for root, r in roles.items()}


def _disengaged(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    """The parts of a run without what is engaged for a share of it: each thing by itself, then all loads."""
    loads = [n for n, load in machine.loads.items() if partly_engaged(load)]
    found = []
    for names in [*((n,) for n in loads), *([tuple(loads)] if len(loads) > 1 else [])]:
        plans = {}
        for root, r in roles.items():
            off = frozenset(n for n in names if machine.loads[n].shaft in r.set.ratio)
            if off and not r.winds:
                plans[root] = replace(_going_on(machine, r), off=off)
        found.append(Column(RUNNING, _without(names), _others(machine, roles, plans), off=names))
    for r in roles.values():
        for name in r.weights:
            if partly_engaged(machine.drives[name]) and goes_on_without(r, name):
                found.append(Column(RUNNING, _without((name,)), _others(machine, roles, {}), pull={name: 0.0},
                                    off=(name,)))
    return found


def partly_engaged(thing: Any) -> bool:
    """True for a drive or load that is engaged for less than the whole run."""
    return bool(thing.engaged.known and thing.engaged.nominal < 1)


def _without(names: tuple[str, ...]) -> str:
    return f"{RUNNING}, {' and '.join(names)} not engaged"


def _peaks(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    states: list[tuple[LoadState, str]] = [("lifts", "all lifts together"), ("drops", "all drops together")]
    for state, words in states:
        plans = {root: _peak(machine, r, state) for root, r in roles.items() if r.pulses and not r.winds}
        if plans:
            found.append(Column(PEAK, f"{PEAK}, {words}", _others(machine, roles, plans)))
    pushed = {
        root: replace(running_plan(machine, r), unknown=ACCELERATION, drive="ripple")
        for root, r in roles.items()
        if r.led_by and not r.winds and isinstance(machine.drives[r.led_by], Crank) and not weightless(machine, r)
    }
    if pushed:
        found.append(Column(PEAK, f"{PEAK}, {HARDEST_PUSH}", _others(machine, roles, pushed)))
    return found


def _peak(machine: Machine, r: Role, state: LoadState) -> Plan:
    """Turning masses take up the difference; without any, whoever drives must give it at once."""
    plan = running_plan(machine, r)
    if r.led_by and weightless(machine, r):
        return replace(plan, loads=state)
    return replace(plan, unknown=ACCELERATION, loads=state, drive="mean")


def weightless(machine: Machine, r: Role) -> bool:
    """True where nothing on a set of shafts has a moment of inertia, and none is missing."""
    masses = [inertia(load) for load in machine.loads.values() if load.shaft in r.set.ratio]
    return not r.weights and all(np.ndim(J) == 0 and float(J) == 0.0 for J in masses)


def _winding(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    for root, r in roles.items():
        if not r.winds or not r.led_by:
            continue
        crank, loop = machine.drives[r.led_by], machine.drives[r.winds]
        plan = {root: Plan(TORQUE, crank.shaft, crank.seat, loads="none")}
        ratio = r.set.ratio[loop.rewound_from] / r.set.ratio[crank.shaft]
        lift = weight_speed(machine, loop, crank.speed.value * ratio)
        jerk = 1 + lift / crank.run_up.value / machine.gravity.value
        found.append(Column(WINDING, MEAN_WINDING, _others(machine, roles, plan)))
        found.append(Column(WINDING, f"{WINDING}, {HARDEST_PUSH}", _others(machine, roles, plan),
                            winding_pull={r.winds: crank.ripple.value}))
        found.append(Column(WINDING, f"{WINDING}, weight brought up to speed", _others(machine, roles, plan),
                            pull={r.winds: jerk}))
    return found


def _at_rest(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    hanging = {root: resting(machine, r) for root, r in roles.items()}
    breaking = {}
    for root, r in roles.items():
        if r.winds or not (r.weights or r.led_by):
            continue
        drive = machine.drives[r.led_by or r.weights[0]]
        breaking[root] = Plan(TORQUE, drive.shaft, drive.seat, loads="at rest", at_rest=True, turning=False)
    found = [Column(AT_REST, "at rest, weights hanging", hanging)]
    if breaking:
        found.append(Column(AT_REST, "starting from rest, worst position of every cam",
                            {root: breaking.get(root, plan) for root, plan in hanging.items()}))
    return found


def _held(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    for root, r in roles.items():
        if not (r.weights or r.led_by):
            continue
        others = {o: resting(machine, q) for o, q in roles.items()}
        for shaft in r.set.shafts:
            plan = Plan(TORQUE, shaft, held_seat(machine, r, shaft), loads="none", drive="full", losses=False,
                        turning=False, slips=True)
            found.append(Column(HELD, f"{HELD} at {shaft}", others | {root: plan}))
            if not r.winds:
                hit = replace(plan, blow=shaft)
                found.append(Column(STOPPED, f"{STOPPED} at {shaft}", others | {root: hit}))
    return sorted(found, key=lambda c: c.case == STOPPED)


def held_seat(machine: Machine, r: Role, shaft: str) -> str:
    """Where a jam holds a shaft: at its load, else at the seat furthest from where it is driven."""
    for load in machine.loads.values():
        if load.shaft == shaft:
            return str(load.seat)
    drive = machine.drives[r.led_by or r.weights[0]]
    s = machine.shafts[shaft]
    path = r.set.path(drive.shaft, shaft)
    if path:
        stage = machine.stages[path[-1].stages[0]]
        entry = stage.seats[1] if stage.to == shaft else stage.seats[0]
    else:
        entry = drive.seat
    place = s.seats[entry].at.nominal
    free = [n for n, seat in s.seats.items() if not seat.carries_shaft] or list(s.seats)
    return max(free, key=lambda n: abs(s.seats[n].at.nominal - place))


def _arrested(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    for name, drive in machine.drives.items():
        if not isinstance(drive, Suspended):
            continue
        factor = arrest_factor(machine, drive)
        if factor is None:
            continue
        plans = {}
        for root, r in roles.items():
            plans[root] = resting(machine, r)
            if name in r.weights and not r.led_by and not r.ratchet:
                plans[root] = replace(running_plan(machine, r), unknown=ACCELERATION, losses=False,
                                      loads="none", drive="mean")
        found.append(Column(ARRESTED, f"caught after a fall: {name}", plans, pull={name: factor}))
    return found


def _crank(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    for root, r in roles.items():
        if not r.led_by or not isinstance(machine.drives[r.led_by], Crank):
            continue
        crank = machine.drives[r.led_by]
        others = {o: resting(machine, q) for o, q in roles.items()}
        at, seat = _lock(machine, r)
        back: DriveState = "back" if r.ratchet else "full"  # the other way a pawl only clicks
        lean = Plan(TORQUE, at, seat, loads="none", drive=back, losses=False, turning=False, slips=True)
        found.append(Column(CRANK_LOADS, f"{LEANING} {r.led_by}", others | {root: lean}))
        if r.winds or r.weights:
            kick = Plan(TORQUE, crank.shaft, crank.seat, loads="none", losses=False, turning=False)
            found.append(Column(CRANK_LOADS, f"{KICK_BACK} {r.led_by}", others | {root: kick}))
    return found


def _lock(machine: Machine, r: Role) -> tuple[str, str]:
    """What a person leaning on the crank pushes against: the ratchet, with the weight; else the last shaft."""
    if r.ratchet:
        stage = machine.stages[r.ratchet]
        return stage.from_, stage.seats[0]
    shaft = r.set.shafts[-1]
    return shaft, held_seat(machine, r, shaft)


def _failed(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    """For strands side by side, one gone after the other; the rest take it up with a snatch."""
    found = []
    for root, r in roles.items():
        for link in r.set.links:
            for gone in link.stages if len(link.stages) > 1 else ():
                left = [n for n in link.stages if n != gone]
                base = _going_on(machine, r)
                worst: LoadState = "lifts" if r.pulses else "mean"
                unknown = ACCELERATION if r.pulses else base.unknown
                plan = replace(base, unknown=unknown, loads=worst, drive="mean", out=frozenset({gone}))
                found.append(Column(FAILED, f"{FAILED}: {gone}", _others(machine, roles, {root: plan}),
                                    snatch=dict.fromkeys(left, SNATCH)))
        for loop in r.set.loops:
            for gone in loop:
                found.append(_loop_opened(machine, roles, root, r, gone))
    return found


def _loop_opened(machine: Machine, roles: dict[str, Role], root: str, r: Role, gone: str) -> Column:
    """Without stiffness nothing says how a loop shares: each way round must carry everything."""
    plan = replace(_going_on(machine, r), out=frozenset({gone}))
    return Column(RUNNING, f"{RUNNING}, loop opened at {gone}", _others(machine, roles, {root: plan}))


def _modules_off(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    found = []
    driving = {machine.shafts[d.shaft].module for d in machine.drives.values()}
    for module in machine.modules:
        if module in driving:
            continue
        plans = {}
        for root, r in roles.items():
            cut = frozenset(n for n, t in machine.stages.items() if t.to in machine.shafts and module in (
                machine.shafts[t.from_].module, machine.shafts[t.to].module) and t.from_ in r.set.shafts)
            if cut and not r.winds:
                plans[root] = replace(_going_on(machine, r), out=cut)
        if plans:
            found.append(Column(MODULE_OFF, f"{module} taken off", _others(machine, roles, plans),
                                module_off=module))
    return found


def _transit(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    plans = {root: replace(resting(machine, r), idle=True) for root, r in roles.items()}
    no_pull = {n: 0.0 for n, d in machine.drives.items() if isinstance(d, Suspended)}
    shock = machine.transit.shock.value if machine.transit else float("nan")
    return [Column(TRANSIT, TRANSIT, plans, pull=no_pull, shock=shock)]
