"""What a brake does to the train: cases in which one holds the weights, or stops the running machine.

Told apart by kind in `torques` and nowhere else.
"""

from __future__ import annotations

from typing import Any

from layshaft.machine.kinds import BandBrake, BlockBrake, Brake, DiscBrake
from layshaft.machine.model import Machine
from layshaft.mechanics import brakes, friction
from layshaft.train.balance import ACCELERATION, TORQUE
from layshaft.train.cases import AT_REST, BRAKED, Column, Plan, held_by, lowers, resting, running_plan, weightless
from layshaft.train.limits import runs_on
from layshaft.train.roles import Role


def torques(load: Brake) -> tuple[Any, Any]:
    """Friction torque at its stated friction: the way the shaft turns forward, and backward; NaN where not known."""
    mu, F = load.friction.value, load.force.value
    if isinstance(load, DiscBrake):
        r = friction.pressure_radius(load.outer_diameter.value, load.inner_diameter.value)
        T = friction.friction_torque(mu, F, r, load.pads.value)
        return T, T
    if isinstance(load, BlockBrake):
        mu_e = brakes.long_shoe(mu, load.covers.value)
        lever = load.lever.value, load.shoe_arm.value, load.pivot_offset.value, mu_e
        ways = [brakes.shoe_torque(mu_e, press(F, *lever), load.drum_diameter.value, load.shoes.value)
                for press in (brakes.block_strong, brakes.block_weak)]
    else:
        assert isinstance(load, BandBrake)
        k_b = friction.tension_ratio(mu, load.covers.value)
        lever = load.lever.value, load.slack_arm.value, load.tight_arm.value, k_b
        ways = [brakes.band_torque(pull(F, *lever), k_b, load.drum_diameter.value)
                for pull in (brakes.band_strong, brakes.band_weak)]
    return (ways[1], ways[0]) if load.strong_way == "backward" else (ways[0], ways[1])


def stated(load: Brake, sense: float) -> Any:
    """Torque at its stated friction, turning in `sense`: what a run over time reckons with."""
    return torques(load)[0 if sense > 0 else 1]


def most(load: Brake, sense: float) -> Any:
    """Largest torque it can stop its shaft with, the upper end of its scatter, turning in `sense`."""
    return friction.latest(stated(load, sense), load.scatter.value)


def brake_columns(machine: Machine, roles: dict[str, Role]) -> list[Column]:
    """For each brake: the weights held by it at rest, and a stop from the running machine."""
    found = []
    for name, load in machine.loads.items():
        if isinstance(load, Brake):
            root, r = next((root, r) for root, r in roles.items() if load.shaft in r.set.ratio)
            if r.weights or r.winds:
                plans = {o: resting(machine, q) for o, q in roles.items()}
                plans[root] = Plan(TORQUE, load.shaft, load.seat, loads="none", losses=False, at_rest=True,
                                   turning=False)
                found.append(Column(AT_REST, held_by(name), plans))
            if not r.winds and (r.weights or r.led_by) and not weightless(machine, r):
                running = {o: running_plan(machine, q) for o, q in roles.items()}
                title = f"stopped by {name}{' on the way down' if lowers(r) else ''}"
                found.append(Column(BRAKED, title, running | {root: _stop(machine, r, load)}))
    return found


def _stop(machine: Machine, r: Role, load: Brake) -> Plan:
    """The drive lets go, weights hang on, and what runs on behind a one-way stage is parted from the rest.

    Where a drive winds weights up, it is their way down that is stopped: on the way up a rope would only go slack.
    """
    after = runs_on(machine, r.set, load.shaft)
    parted = frozenset() if r.set.root in after else frozenset(after.values())
    return Plan(ACCELERATION, loads="none", losses=False, out=parted, brake=load.name)
