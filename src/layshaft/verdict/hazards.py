"""Who is at risk if a part lets go: under a weight, at a crank, beside a running machine."""

from __future__ import annotations

from typing import Any

from layshaft.machine.kinds import (
    Brake,
    Crank,
    EddyBrake,
    EndlessLoop,
    FanBrake,
    Flywheel,
    OneWayHub,
    Ratchet,
    Suspended,
)
from layshaft.train.graph import ShaftSet
from layshaft.train.limits import runs_on
from layshaft.train.solve import Solved

HOLDERS = (Ratchet, OneWayHub)


def hazards(solved: Solved) -> dict[str, str]:
    """By path of shaft, seat, stage or drive: who is at risk if it lets go."""
    found: dict[str, str] = {}
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Suspended):
            _weight(solved, found, name, drive)
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Crank):
            _crank(solved, found, name, drive)
    after = _run_on(solved)
    for load in solved.machine.loads.values():
        if isinstance(load, Flywheel):
            behind = after.get(load.shaft)
            found.setdefault(load.path, "people beside the wheel" + (f": it runs on behind {behind}" if behind else ""))
    return found


UNDER, RUNS_AWAY = "whoever stands under or beside", "people near the machine"


def frees_a_weight(who: str) -> bool:
    """True where the one at risk is at risk from a weight that falls or runs away."""
    return who.startswith((UNDER, RUNS_AWAY))


def _weight(solved: Solved, found: dict[str, str], name: str, drive: Suspended) -> None:
    people = f"{UNDER} {name}"
    found[drive.path] = people
    start = (drive.rewound_from, drive.winding_seat) if isinstance(drive, EndlessLoop) else (
        drive.shaft, drive.seat)
    s = solved.set_of(start[0])
    for end in _held_by(solved, s) or [start]:
        _mark(solved, found, s, start, end, people)
    for load in solved.machine.loads.values():
        if isinstance(load, Brake) and load.shaft in s.ratio:
            _mark(solved, found, s, start, (load.shaft, load.seat), people)
            found.setdefault(load.path, people)
    driven = solved.set_of(drive.shaft)
    for load in solved.machine.loads.values():
        if load.shaft in driven.ratio and isinstance(load, (FanBrake, EddyBrake)):
            _mark(solved, found, driven, (drive.shaft, drive.seat), (load.shaft, load.seat),
                  f"{RUNS_AWAY}: {name} runs away")


def _run_on(solved: Solved) -> dict[str, str]:
    """Of every shaft that turns on when its drive stops: the one-way stage it runs on behind."""
    found: dict[str, str] = {}
    for role in solved.roles.values():
        name = role.led_by or next(iter(role.weights), "")
        if name:
            found |= runs_on(solved.machine, role.set, solved.machine.drives[name].shaft)
    return found


def _held_by(solved: Solved, s: ShaftSet) -> list[tuple[str, str]]:
    """Seats of all that holds a set against the frame: each must hold alone. Without any, the handle of a crank."""
    held = [(stage.from_, stage.seats[0]) for stage in solved.machine.stages.values()
            if isinstance(stage, HOLDERS) and stage.to == "frame" and stage.from_ in s.ratio]
    return held or [(drive.shaft, drive.seat) for drive in solved.machine.drives.values()
                    if isinstance(drive, Crank) and drive.shaft in s.ratio][:1]


def _crank(solved: Solved, found: dict[str, str], name: str, drive: Crank) -> None:
    s = solved.set_of(drive.shaft)
    for end in _held_by(solved, s):
        _mark(solved, found, s, (drive.shaft, drive.seat), end, f"whoever holds {name}")
    found.setdefault(drive.path, f"whoever holds {name}")


def _mark(solved: Solved, found: dict[str, str], s: ShaftSet, start: tuple[str, str], end: tuple[str, str],
          who: str) -> None:
    """Everything on the way between two seats; what is marked already keeps its first reason."""
    shafts: Any = solved.machine.shafts
    at, seat = start
    for link in s.path(start[0], end[0]):
        stage = solved.machine.stages[link.stages[0]]
        ours, theirs = stage.seats if stage.from_ == at else stage.seats[::-1]
        for marked in (shafts[at].path, shafts[at].seats[seat].path, shafts[at].seats[ours].path):
            found.setdefault(marked, who)
        for strand in link.stages:
            found.setdefault(solved.machine.stages[strand].path, who)
        at, seat = (link.child if link.parent == at else link.parent), theirs
    for marked in (shafts[at].path, shafts[at].seats[seat].path, shafts[at].seats[end[1]].path):
        found.setdefault(marked, who)
    for stage in solved.machine.stages.values():
        if isinstance(stage, HOLDERS) and stage.from_ == end[0] and stage.seats[0] == end[1]:
            found.setdefault(stage.path, who)
