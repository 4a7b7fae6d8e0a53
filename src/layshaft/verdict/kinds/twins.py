"""Roller chains side by side between the same two shafts."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.roller_chain import twins as room
from layshaft.machine.kinds import RollerChain
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, FAILED, PEAK, RUNNING, SNATCH, TRANSIT, WINDING
from layshaft.train.graph import Link
from layshaft.train.sizes import chain_size
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import centre_distance, turn_ratio
from layshaft.train.stiffness import alike, strand_stiffness
from layshaft.verdict.context import NAN, Context, seats_in_use
from layshaft.verdict.rows import Block, Part, with_required

WHOLE = tuple(case for case in CASES if case not in (TRANSIT, FAILED))
MODES = {"one chain alone": WHOLE, "twin parts": WHOLE, "tighter of two": (RUNNING, PEAK, WINDING)}
REQUIRED = {"one chain alone": "S_B_required", "twin parts": "S_x_required", "tighter of two": "S_B_required"}
SUDDENLY = Source("load taken up suddenly", "twice the pull", "common practice")


def pairs(c: Context) -> list[tuple[RollerChain, Link]]:
    """Every roller chain that has others beside it, with the link of shafts they make."""
    return [(stage, link) for s in c.solved.sets.values() for link in s.links if len(link.stages) > 1
            for name in link.stages if isinstance(stage := c.machine.stages[name], RollerChain)]


def block(c: Context) -> Block:
    """Every chain that has a twin."""
    found = Block("chains side by side", room.rate, room.TwinInputs, MODES, required=REQUIRED)
    for stage, link in pairs(c):
        found.parts.append(_part(c, stage, link))
    return found


def _part(c: Context, stage: RollerChain, link: Link) -> Part:
    machine, size = c.machine, chain_size(c.machine, stage.chain)
    values: dict[str, Any] = {
        "n": float(len(link.stages)), "F_a": _pull(c, stage, link),
        "F_u": size.breaking_load if size else NAN,
        "k_s": strand_stiffness(machine, stage) if alike(machine, link) else NAN,
        "l": centre_distance(machine, stage), "u_l": stage.length_tolerance.value,
        "r": sprocket_radius(machine, stage, 0), "delta_theta": stage.index_error.value, "S_x": SNATCH,
    }
    listed = size.source if size else Source(f"{stage.chain.path}: not chosen yet", obtained="given")
    derived = Source("layout of the chain", stage.path, "derived")
    once = f"not doubled: {', '.join(not_doubled(c, stage))}"
    origins = {
        "n": Source("stages between the same two shafts", ", ".join(link.stages), "derived"),
        "F_a": Source(f"pull of all chains, {once}", c.from_train(stage.from_, "torque").place, "derived"),
        "F_u": listed, "l": derived, "r": derived, "S_x": SUDDENLY,
        "k_s": _stiffness_origin(c, stage, link),
        "u_l": stage.length_tolerance.origin, "delta_theta": stage.index_error.origin,
    }
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"F_a"}),
                not_chosen=not stage.chain.known or not all(t.known for t in stage.teeth),
                content=(size.row_content,) if size else (), shaft=stage.from_)
    return with_required(part, machine.margins or {}, REQUIRED)


def _stiffness_origin(c: Context, stage: RollerChain, link: Link) -> Source:
    if not alike(c.machine, link):
        return Source(f"{' and '.join(link.stages)} differ in chain, teeth or stiffness", obtained="given")
    if stage.stiffness.known:
        return stage.stiffness.origin
    return Source("usual stretch of a chain at an eighth of the breaking load", "0.15 %", "typical")


def _pull(c: Context, stage: RollerChain, link: Link) -> Any:
    """Pull of all chains of the link at the pitch circle, the larger of its two sides, (cases, samples)."""
    torques = [c.solved.stage_torque[name] for name in link.stages if name in c.solved.stage_torque]
    if len(torques) < len(link.stages):
        return NAN
    ratio = turn_ratio(c.machine, stage)
    driving = sum(np.maximum(np.abs(first), np.abs(second * ratio)) for first, second in torques)
    return driving / sprocket_radius(c.machine, stage, 0)


def not_doubled(c: Context, stage: RollerChain) -> list[str]:
    """Both shafts, and the keys with their hubs at which what all chains carry comes on and goes off."""
    link = next(link for found, link in pairs(c) if found is stage)
    own = {(shaft, seat) for name in link.stages for shaft, seat in zip(
        (c.machine.stages[name].from_, c.machine.stages[name].to), c.machine.stages[name].seats, strict=True)}
    shafts = [f"shaft {stage.from_}", f"shaft {stage.to}"]
    return shafts + [f"key and hub of {c.machine.shafts[shaft].seats[seat].path}"
                     for shaft, seat in sorted(seats_in_use(c.machine) - own) if shaft in (stage.from_, stage.to)]
