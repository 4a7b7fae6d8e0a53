"""The usual cautions, said where the danger is computed. They replace no code and no licensed person."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.hanging_load import fall_speed
from layshaft.elements.rope import INSPECT
from layshaft.elements.worm_pair import NO_BRAKE
from layshaft.machine.kinds import Brake, Crank, EndlessLoop, Flywheel, FrictionClutch, ShearPin, SlipClutch, Suspended
from layshaft.mechanics.drives import turning_energy
from layshaft.trace.units import ENERGY, LENGTH, VELOCITY, shown
from layshaft.train.runaway.freed import Freed
from layshaft.train.sources import inertia, wheel_diameter, wound_from
from layshaft.verdict.clearances import Fingers, narrow, perhaps_narrow
from layshaft.verdict.driving import listed, to_drive
from layshaft.verdict.hazards import frees_a_weight
from layshaft.verdict.kicks import falls_with, holders_of, locking_worms, under_a_weight
from layshaft.verdict.kinds.ropes import on_rope
from layshaft.verdict.one_way import RunOn, run_on
from layshaft.verdict.rate import Verdict
from layshaft.verdict.runaways import handles, told
from layshaft.verdict.standing import out_of_grip

DEFER = ("Layshaft computes; it does not permit. Hanging anything over or beside people is for local codes and a "
         "licensed person to decide, on the real machine.")


@dataclass(frozen=True, slots=True)
class Caution:
    """One danger with its size, and what is usually done about it."""

    path: str
    text: str


def cautions(verdict: Verdict) -> list[Caution]:
    """Dangers this machine has, in the order weights, cranks, wheels, modules."""
    machine, found = verdict.solved.machine, []
    for name, drive in machine.drives.items():
        if isinstance(drive, Suspended):
            found.append(_weight(verdict, name, drive))
            if on_rope(machine, drive):
                found.append(Caution(drive.path, f"{name}: {INSPECT}"))
            if isinstance(drive, EndlessLoop):
                found.append(Caution(
                    drive.path, f"{name}: after the weight is lifted off, the loop hangs slack; pin the wheels before "
                    "anyone reaches in. Keep fingers out of every place where chain meets wheel."))
                found.append(_landing(verdict, name, drive))
    for name, drive in machine.drives.items():
        if isinstance(drive, Crank):
            found.append(_crank(verdict, name, drive))
    found += [Caution(*one) for one in out_of_grip(verdict.context)]
    found += _whirls(verdict)
    found += _worms(verdict)
    for name, load in machine.loads.items():
        if isinstance(load, Flywheel):
            found.append(_wheel(verdict, name, load))
    found += [_runs_on(*one) for one in _behind_hubs(verdict)]
    hurts = verdict.context.hurts
    found += [_lets_go(name, stage.path, hurts(stage.path)) for name, stage in machine.stages.items()
              if isinstance(stage, (SlipClutch, ShearPin, FrictionClutch)) and frees_a_weight(hurts(stage.path))]
    found += [_let_go_by_hand(verdict, load) for load in machine.loads.values() if isinstance(load, Brake)
              and load.put_on_by in ("hand", "foot") and frees_a_weight(hurts(load.path))]
    for name, module in machine.modules.items():
        if module.mass.known and module.mass.nominal > LIFTED_BY_ONE:
            found.append(Caution(
                module.path, f"{name} weighs {module.mass}: more than one person may lift. Plan the lift and the "
                "handles; weight on the floor before any parting or coupling is opened."))
    fingers = Fingers(narrow(verdict.context), perhaps_narrow(verdict.context))
    if fingers.text:
        found.append(Caution("", fingers.text))
    found.append(Caution("", DEFER))
    return found


HURTS_A_FINGER = 5.0
"""J; what runs on with less is not worth a line: common practice, no single source."""

LIFTED_BY_ONE = 25.0
"""kg; common practice for one person under good conditions, no single source."""


def _weight(verdict: Verdict, name: str, drive: Suspended) -> Caution:
    energy = drive.mass.nominal * verdict.solved.machine.gravity.nominal * drive.drop.nominal
    speed = float(fall_speed(drive.drop.nominal, verdict.solved.machine.gravity.nominal))
    over = "People can stand under or beside it: fence the fall zone, or give it a second suspension or a shaft." \
        if drive.over_people else "Keep the fall zone closed."
    return Caution(drive.path, f"{name}: {shown(energy, ENERGY)} hang on a chain or rope; if it lets go the weight "
                   f"lands at {shown(speed, VELOCITY)}. {over} Never let it go slack. Lower it before anyone works "
                   "on the machine.")


def _landing(verdict: Verdict, name: str, drive: EndlessLoop) -> Caution:
    apart = 2 * wheel_diameter(verdict.solved.machine, drive)
    return Caution(drive.path, f"{name}: when the weight lands the machine runs down and the loop goes slack below "
                   "the drive wheel; when it is wound too far the counterweight lands and the crank pulls the chain "
                   "off the winding wheel. Give both ends a stop that is felt. Weight and counterweight hang "
                   f"{shown(apart, LENGTH)} apart: half of both widths together must stay below that for them to pass.")


def _crank(verdict: Verdict, name: str, drive: Crank) -> Caution:
    kick = next((i for i, c in enumerate(verdict.solved.columns) if c.title == f"kick-back of {name}"), None)
    if kick is None:
        return Caution(drive.path, f"{name}: keep clear of it when the machine is stopped suddenly; turning masses "
                       "drive it back unless a freewheel lets them run on.")
    torque = float(np.abs(verdict.solved.seat_torque[drive.shaft][drive.seat][kick]).max())
    force = torque / drive.radius.nominal
    machine = verdict.solved.machine
    s = verdict.solved.set_of(drive.shaft)
    weights = under_a_weight(machine, s, drive)
    energy = sum(falls_with(machine, w) for w in weights)
    held = min((holders_of(machine, s, w)[0] for w in weights), key=len, default=[])
    driving = any(w.name in to_drive(verdict.solved) for w in weights)
    return Caution(drive.path, f"{name} can kick back with {force:.0f} N at the handle, and {shown(energy, ENERGY)} "
                   f"behind it, {_when_it_kicks(held)}. Hold it so that it can leave the hand; "
                   f"{'fit a second pawl or a freewheel; ' if len(held) == 1 and not driving else ''}take the "
                   "handle off when the weight is up.")


def _when_it_kicks(held: list[str]) -> str:
    """What must fail before a handle kicks back."""
    if not held:
        return "as soon as the hand lets go: nothing holds"
    fail = "fails" if len(held) == 1 else "both fail" if len(held) == 2 else "all fail"
    return f"if {listed(held)} {fail} while winding"


def _whirls(verdict: Verdict) -> list[Caution]:
    """For each weight, the loss that lets a handle whirl fastest before the floor ends it."""
    c = verdict.context
    worst: dict[str, Freed] = {}
    for f in c.freed:
        if not f.holders and handles(c, f) and np.isfinite(np.mean(f.fastest)):
            before = worst.get(f.weight)
            if before is None or np.mean(f.fastest) > np.mean(before.fastest):
                worst[f.weight] = f
    return [Caution(f.loss.path, f"If {f.loss.name} is lost, {told(c, f)}. Take the handle off while the weight is up"
                    f"{'' if f.weight in to_drive(c.solved) else '; a second holder, such as a second pawl, ends it'}.")
            for f in worst.values()]


def _worms(verdict: Verdict) -> list[Caution]:
    """A worm that seems to hold a weight."""
    machine, found = verdict.solved.machine, {}
    for name, drive in machine.drives.items():
        s = verdict.solved.set_of(wound_from(drive)) if isinstance(drive, Suspended) else None
        for worm, how in locking_worms(machine, s, drive) if s is not None and isinstance(drive, Suspended) else ():
            when = "at rest and running" if how == "running" else "at rest alone: once it moves it runs back"
            found[worm.path] = Caution(worm.path, f"{worm.name} locks against {name} {when}. {NO_BRAKE}")
    return list(found.values())


def _behind_hubs(verdict: Verdict) -> list[tuple[str, RunOn]]:
    loads = verdict.solved.machine.loads
    return [(loads[one.load].path, one) for one in run_on(verdict.solved)
            if isinstance(loads[one.load], Flywheel) or one.energy > HURTS_A_FINGER]


def _runs_on(path: str, one: RunOn) -> Caution:
    return Caution(path, f"{one.load} runs on behind {one.behind} when the train stops, with "
                   f"{shown(one.energy, ENERGY)} at running speed. No brake, ratchet or jam on the driving side stops "
                   "what turns there: give it a brake of its own or a closed guard, and wait until it stands.")


def _let_go_by_hand(verdict: Verdict, load: Brake) -> Caution:
    return Caution(load.path, f"{load.name} holds only while a {load.put_on_by} presses it; at risk when it lets go: "
                   f"{verdict.context.hurts(load.path)}. It may stop the machine, but what holds must hold when nobody "
                   "touches it: a ratchet, or a brake that a spring or its own weight puts on.")


def _lets_go(name: str, path: str, who: str) -> Caution:
    return Caution(path, f"{name} can let go; at risk: {who}. What slips or shears may protect a machine, but it may "
                   "not stand between a weight and what holds or governs that weight. Move it behind the governor, or "
                   "hold and govern the weight by what cannot let go.")


def _wheel(verdict: Verdict, name: str, load: Flywheel) -> Caution:
    omega = float(np.abs(verdict.solved.speed[load.shaft][0]).mean())
    energy = float(np.mean(turning_energy(inertia(load), omega)))
    return Caution(load.path, f"{name} stores {shown(energy, ENERGY)} at running speed: guard it, and wait until it "
                   "stands before reaching in.")
