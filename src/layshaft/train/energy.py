"""The energy books of the running machine: what is stored, used, lost, and what winding asks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from layshaft.machine.kinds import Brake, Crank, EndlessLoop, FallingWeight, Flywheel, Suspended
from layshaft.mechanics import drives, energy
from layshaft.train import sources
from layshaft.train.cases import MEAN_WINDING
from layshaft.train.forces import rising
from layshaft.train.shares import link_shares
from layshaft.train.stages import shares

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Kind = Literal["in", "used", "lost"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the books in the running state. Power in W, positive, scalar or (samples,)."""

    kind: Kind
    name: str
    what: str
    power: Any


@dataclass(frozen=True, slots=True)
class Winding:
    """What one full drop gives and what rewinding it asks. SI; arrays over samples."""

    drive: str
    stored: Any
    running_time: Any
    chain_speed: Any
    turns: Any
    crank: str = ""
    handle_force: Any = np.nan
    person_power: Any = np.nan
    winding_time: Any = np.nan
    crank_turns: Any = np.nan
    person_energy: Any = np.nan
    lifted: bool = False
    """The run itself winds the weight up: nothing runs down, and no running time can be told."""

    @property
    def time(self) -> Any:
        """How long one full drop takes in the run, sinking or lifted."""
        return self.winding_time if self.lifted else self.running_time


@dataclass(slots=True)
class Budget:
    """All lines of the books, one winding for each hanging weight, and the start ratio by drive."""

    entries: list[Entry] = field(default_factory=list)
    windings: list[Winding] = field(default_factory=list)
    start_ratio: dict[str, Any] = field(default_factory=dict)

    def total(self, kind: Kind) -> Any:
        """Sum of one kind."""
        return sum((e.power for e in self.entries if e.kind == kind), np.zeros(1))


def budget(solved: Solved) -> Budget:
    """Books of the running case."""
    b = Budget()
    for name, drive in solved.machine.drives.items():
        _drive_entries(solved, b, name, drive)
    for name, load in solved.machine.loads.items():
        omega = solved.speed[load.shaft][0]
        torque = sources.resisting_torque(solved.machine, load, "mean")
        square, linear, _ = sources.brake_constants(solved.machine, load)
        torque = torque + square * omega**2 + linear * np.abs(omega)
        if not isinstance(load, (Flywheel, Brake)):
            b.entries.append(Entry("used", name, load.path, energy.shaft_power(torque, np.abs(omega))))
    _stage_entries(solved, b)
    _drag_entries(solved, b)
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Suspended):
            b.windings.append(_winding(solved, name, drive))
    _start_ratios(solved, b)
    return b


def _drive_entries(solved: Solved, b: Budget, name: str, drive: Any) -> None:
    machine = solved.machine
    omega = np.abs(solved.speed[drive.shaft][0])
    root = solved.set_of(drive.shaft).root
    if not isinstance(drive, Suspended):
        if solved.roles[root].winds:
            return  # the crank of a loop is at rest while the machine runs
        torque = np.abs(solved.seat_torque[drive.shaft][drive.seat][0])
        b.entries.append(Entry("in", name, drive.path, energy.shaft_power(torque, omega)))
        return
    up = bool(rising(solved, name)[0, 0])
    g, v = machine.gravity.value, sources.weight_speed(machine, drive, omega)
    counter = drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0
    b.entries.append(Entry("used" if up else "in", name, drive.path,
                           energy.net_drop_energy(drive.mass.value, counter, g, v)))
    if isinstance(drive, EndlessLoop):
        s = sources.strands(machine, drive)
        chain = 2 * v
        b.entries.append(Entry("lost", f"{name}, pulley of the weight", drive.path,
                               energy.pulley_loss(s.winding, s.drive, chain)))
        returning = drives.counterweight_return_strand(counter, g, drive.pulley_loss.value)
        b.entries.append(Entry("lost", f"{name}, pulley of the counterweight", drive.path,
                               energy.pulley_loss(s.drive_return, returning, chain)))
    elif isinstance(drive, FallingWeight) and drive.falls.known and drive.falls.nominal > 1:
        s, e, falls = sources.strands(machine, drive), drive.pulley_loss.value, drive.falls.nominal
        lost = (energy.purchase_loss_rising(s.winding, e, falls, v) if up
                else energy.purchase_loss_sinking(s.drive, e, falls, v))
        b.entries.append(Entry("lost", f"{name}, pulleys", drive.path, lost))


def _stage_entries(solved: Solved, b: Budget) -> None:
    for name, stage in solved.machine.stages.items():
        if stage.drag.known and not _without_losses(solved, stage.from_):
            b.entries.append(Entry("lost", f"{name}, drag", stage.path,
                                   energy.drag_loss(stage.drag.value, solved.speed[stage.from_][0])))
        if name not in solved.stage_torque:
            continue
        first, second = (t[0] for t in solved.stage_torque[name])
        into = -first * solved.speed[stage.from_][0]
        from_second = -second * solved.speed[stage.to][0]
        forward, back = _shares(solved, name)
        entering = np.where(into > 0, into, np.maximum(from_second, 0.0))
        b.entries.append(Entry("lost", name, stage.path,
                               energy.stage_loss(entering, np.where(into > 0, forward, back))))


def _shares(solved: Solved, name: str) -> tuple[Any, Any]:
    """Share of power a stage passes from first to second shaft and back, as the balance took it."""
    stage = solved.machine.stages[name]
    for link in solved.set_of(stage.from_).links:
        if name in link.stages:
            there, again = link_shares(solved.machine, link)
            return (there, again) if stage.from_ == link.parent else (again, there)
    return shares(stage)


def _without_losses(solved: Solved, shaft: str) -> bool:
    """True where the running state of a set is one of rest."""
    plan = solved.columns[0].plans[solved.set_of(shaft).root]
    return plan.idle or not plan.losses


def _drag_entries(solved: Solved, b: Budget) -> None:
    for name, shaft in solved.machine.shafts.items():
        if _without_losses(solved, name):
            continue
        for seat_name, seat in shaft.seats.items():
            if seat.carries_shaft:
                b.entries.append(Entry("lost", f"{name}, {seat_name}", seat.path,
                                       energy.drag_loss(seat.drag.value, solved.speed[name][0])))


def _winding(solved: Solved, name: str, drive: Suspended) -> Winding:
    machine = solved.machine
    omega = np.abs(solved.speed[drive.shaft][0])
    v = sources.weight_speed(machine, drive, omega)
    d = sources.wheel_diameter(machine, drive)
    counter = drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0
    falls = sources.falls(drive)
    run = drives.chain_travel(drive.drop.value, falls)
    stored = energy.net_drop_energy(drive.mass.value, counter, machine.gravity.value, drive.drop.value)
    base = Winding(name, stored, drives.running_time(run, v * falls), v * falls, drives.wheel_turns(run, d))
    if rising(solved, name)[0, 0]:
        lifted = replace(base, running_time=np.nan * base.running_time, winding_time=base.running_time, lifted=True)
        leader = solved.roles[solved.set_of(drive.shaft).root].led_by
        by_hand = leader and isinstance(machine.drives[leader], Crank)
        return _by_hand(solved, lifted, leader, 0) if by_hand else lifted
    if not isinstance(drive, EndlessLoop):
        return base
    role = solved.roles[solved.set_of(drive.rewound_from).root]
    return _rewound(solved, base, drive, role.led_by, d) if role.led_by else base


def running_time(solved: Solved, name: str, column: int) -> Any:
    """How long one full drop of a weight lasts in a running case; endless while it stands, NaN where it goes up."""
    drive = solved.machine.drives[name]
    if rising(solved, name)[column, 0]:
        return np.full(solved.samples, np.nan)
    speed = sources.weight_speed(solved.machine, drive, np.abs(solved.speed[drive.shaft][column]))
    return drives.running_time(drive.drop.value, speed)


def _rewound(solved: Solved, base: Winding, drive: EndlessLoop, crank_name: str, d: float) -> Winding:
    """The weight goes on sinking while the crank takes it up."""
    crank = solved.machine.drives[crank_name]
    column = next((i for i, c in enumerate(solved.columns) if c.title == MEAN_WINDING), None)
    if column is None:  # nothing turns while it is wound: no case winds
        return base
    s = solved.set_of(crank.shaft)
    chain = crank.speed.value * abs(s.ratio[drive.rewound_from] / s.ratio[crank.shaft]) * d / 2
    time = energy.rewinding_time(2.0, drive.drop.value, chain, base.chain_speed)
    return _by_hand(solved, replace(base, winding_time=time), crank_name, column)


def _by_hand(solved: Solved, w: Winding, crank_name: str, column: int) -> Winding:
    """What a person gives at the crank in a case that winds, for the time it takes."""
    crank = solved.machine.drives[crank_name]
    torque = np.abs(solved.seat_torque[crank.shaft][crank.seat][column])
    power = drives.handle_power(torque, crank.speed.value)
    return replace(w, crank=crank_name, handle_force=drives.handle_force(torque, crank.radius.value),
                   person_power=power, crank_turns=crank.speed.value * w.winding_time / (2 * np.pi),
                   person_energy=energy.energy_over(power, w.winding_time))


def _start_ratios(solved: Solved, b: Budget) -> None:
    """Torque the weight gives at rest over the torque that breaks everything away."""
    column = next((i for i, c in enumerate(solved.columns) if c.title.startswith("starting from rest")), None)
    if column is None:
        return
    for root, role in solved.roles.items():
        if role.weights and not role.led_by:
            drive = solved.machine.drives[role.weights[0]]
            gives = np.abs(sources.weight_pushes(solved.machine, drive)[0].torque)
            spare = -solved.required[root][column]
            b.start_ratio[role.weights[0]] = drives.start_ratio(gives, gives - spare)
