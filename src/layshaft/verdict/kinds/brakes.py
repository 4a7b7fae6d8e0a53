"""Brakes: what they must hold when the weights hang on them, and a stop from the running machine."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.brake import band, block, disc
from layshaft.machine.kinds import BandBrake, BlockBrake, Brake, DiscBrake
from layshaft.mechanics.drives import turning_energy
from layshaft.trace.source import Source
from layshaft.train.cases import AT_REST, held_by, lowers
from layshaft.train.limits import runs_on
from layshaft.train.masses import seen
from layshaft.verdict.context import Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"holding torque": (AT_REST,), "lining pressure": (), "rubbing power": (), "stopping time": (),
         "heat of a stop": (), "reach": ()}
REQUIRED = dict.fromkeys(MODES, "S_p_required") | {"holding torque": "S_required"}
COMMON = {"mu": "friction", "s": "scatter", "F": "force", "theta": "covers", "p_lim": "lining_pressure",
          "q_lim": "rubbing_power", "m": "heated_mass", "c": "specific_heat", "d_lim": "temperature_rise",
          "t_lim": "stop_within"}
DRUM = {"l": "lever", "d": "drum_diameter", "w": "width"}
KEYS = {
    DiscBrake: COMMON | {"i": "pads", "d_o": "outer_diameter", "d_i": "inner_diameter"},
    BlockBrake: COMMON | DRUM | {"b": "shoe_arm", "e": "pivot_offset", "i_s": "shoes"},
    BandBrake: COMMON | DRUM | {"a_s": "slack_arm", "a_t": "tight_arm"},
}
ROOMS: dict[type, Any] = {
    DiscBrake: (disc.rate, disc.DiscBrakeInputs), BlockBrake: (block.rate, block.BlockBrakeInputs),
    BandBrake: (band.rate, band.BandBrakeInputs),
}
STOPPED = Source("turning masses the brake reaches, hanging weights included, seen at its shaft", obtained="derived")
ALL = Source("all that turns with its set of shafts, at running speed", obtained="derived")


def blocks(c: Context) -> list[Block]:
    """Disc, block and band brakes."""
    timed = {load.path for load in c.machine.loads.values() if isinstance(load, Brake) and load.stop_within.known}
    found = []
    for kind, (rate, inputs) in ROOMS.items():
        made = Block(f"{kind.__name__.removesuffix('Brake').lower()} brake", rate, inputs, MODES, [],
                     {"stopping time": lambda part: part.path in timed}, REQUIRED)
        made.parts += [_part(c, load) for load in c.machine.loads.values()
                       if isinstance(load, Brake) and type(load) is kind]
        found.append(made)
    return found


def _part(c: Context, load: Brake) -> Part:
    solved, shaft = c.solved, load.shaft
    strong = -1.0 if getattr(load, "strong_way", "forward") == "backward" else 1.0
    given = {symbol: getattr(load, key) for symbol, key in KEYS[type(load)].items()}
    # What the brake puts on its shaft is against the way the shaft would turn.
    held = -solved.seat_torque[shaft].get(load.seat, np.zeros((len(solved.columns), 1)))
    s, role = solved.set_of(shaft), solved.roles[solved.set_of(shaft).root]
    running = solved.speed[shaft][0] * (-1.0 if lowers(role) else 1.0)
    after = runs_on(c.machine, s, shaft)
    J, J_all = seen(solved, shaft, [n for n in s.shafts if n not in after]), seen(solved, shaft, s.shafts)
    values: dict[str, Any] = {symbol: g.value for symbol, g in given.items()}
    values |= {"T_h": held * strong, "J": J, "omega": running * strong,
               "T_w": _drives_on(c, load, held, running), "E_a": turning_energy(J_all, running)}
    torque = c.from_train(shaft, "torque of the weights that hang on it")
    speed = c.from_train(shaft, "speed of lowering, as fast as it is wound" if lowers(role) else "running speed")
    origins = {symbol: g.origin for symbol, g in given.items()}
    origins |= {"T_h": torque, "J": STOPPED, "omega": speed, "T_w": torque, "E_a": ALL}
    part = Part(load.path, "", values, origins, c.hurts(load.path), frozenset({"T_h", "J", "omega", "T_w", "E_a"}),
                not_chosen=load.force.state == "open", shaft=shaft if role.driven else "")
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _drives_on(c: Context, load: Brake, held: Any, running: Any) -> Any:
    """Torque with which the hanging weights go on driving its shaft the way it runs."""
    i = next((i for i, column in enumerate(c.solved.columns) if column.title == held_by(load.name)), None)
    return 0.0 if i is None else held[i] * np.where(running < 0, -1.0, 1.0)
