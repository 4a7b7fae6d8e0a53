"""Idlers and tensioners of roller chains: from the train to their room."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import roller_chain
from layshaft.elements.roller_chain import idler as room
from layshaft.machine.kinds import Idler, RollerChain
from layshaft.trace.source import Source
from layshaft.train.cases import AT_REST, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.idlers import INSIDE, round_idlers, side
from layshaft.train.sizes import chain_size
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import chain_links
from layshaft.train.vectors import seen_along
from layshaft.verdict.context import Context, none_given
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"idler engagement": (), "idler on the slack strand": (RUNNING, PEAK, WINDING, AT_REST, MODULE_OFF),
         "tensioner travel": ()}
REQUIRED = dict.fromkeys(MODES, "S_required")


def block(c: Context) -> Block:
    """Every idler of every roller chain."""
    found = Block("idler", room.rate, room.IdlerInputs, MODES, required=REQUIRED,
                  applies={"tensioner travel": lambda part: part.inputs["s_t"] > 0})
    for name, stage in c.machine.stages.items():
        if isinstance(stage, RollerChain):
            for idler in stage.idlers.values() if stage.idlers else ():
                found.parts.append(_part(c, name, stage, idler))
    return found


def _part(c: Context, name: str, stage: RollerChain, idler: Idler) -> Part:
    size = chain_size(c.machine, stage.chain)
    tight = _tight(c, name, stage, idler)
    values: dict[str, Any] = {
        "p": size.pitch if size else np.nan, "z_n": stage.teeth[0].nominal, "z_f": stage.teeth[1].nominal,
        "z_i": idler.teeth.nominal, "a": stage.centres.nominal, "x": idler.along.nominal,
        "y": abs(idler.off.nominal), "inside": 1.0 if idler.runs == INSIDE else 0.0,
        "s_t": idler.travel.nominal if idler.travel.known else 0.0, "L_n": _growth(c, stage),
        "F": _pull(c, name, stage, tight), "tight": tight,
    }
    listed = size.source if size else Source(f"{stage.chain.path}: not chosen yet", obtained="given")
    train = c.from_train(stage.from_, "pull of the strand")
    origins = {
        "p": listed, "z_n": stage.teeth[0].origin, "z_f": stage.teeth[1].origin, "z_i": idler.teeth.origin,
        "a": stage.centres.origin, "x": idler.along.origin, "y": idler.off.origin,
        "inside": Source(f"{idler.path}.runs: {idler.runs}", obtained="given"),
        "s_t": idler.travel.origin if idler.travel.known else none_given(idler.path, "travel"),
        "L_n": Source("growth of the chain over its life, and what the new one is too long by", stage.path, "derived"),
        "F": train, "tight": train,
    }
    part = Part(idler.path, "", values, origins, c.hurts(stage.path), frozenset({"F", "tight"}),
                not_chosen=not idler.teeth.known or not stage.chain.known,
                content=(size.row_content,) if size else (), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _tight(c: Context, name: str, stage: RollerChain, idler: Idler) -> Any:
    """1 in the cases in which the strand of the idler is the tight one, (cases, samples)."""
    if name not in c.solved.stage_torque:
        return np.nan
    torque = c.solved.stage_torque[name][0]
    back = side(idler) * seen_along(c.machine.shafts[stage.from_])  # the strand that turns the first sprocket backwards
    return np.where(np.isnan(torque), np.nan, np.where(torque * back < 0, 1.0, 0.0))


def _pull(c: Context, name: str, stage: RollerChain, tight: Any) -> Any:
    """Pull of the strand the idler stands on: that of the chain where it is tight, else what is left slack."""
    slack = stage.slack_force.value if stage.slack_force.known else 0.0
    if name not in c.solved.carried:
        return np.nan
    return np.where(tight > 0, c.solved.carried[name] / sprocket_radius(c.machine, stage, 0), 0.0) + slack


def _growth(c: Context, stage: RollerChain) -> float:
    """Length a tensioner has to take up: wear to its limit and what is left over, less what the axes take up."""
    z = [t.nominal for t in stage.teeth]
    limits = [roller_chain.practice(f"wear elongation{tail}").number("value", 0.01)
              for tail in ("", " times teeth", " fixed")]
    size = chain_size(c.machine, stage.chain)
    if size is None:
        return float("nan")
    e_zul = roller_chain.permitted_elongation(max(z), 0.0, *limits)
    L_e = roller_chain.elongation(e_zul, chain_links(c.machine, stage), size.pitch)
    d = sorted(roller_chain.pitch_diameter(size.pitch, n) for n in z)
    beta = roller_chain.lean(d[0], d[1], stage.centres.nominal)
    by_axes = 2 * stage.take_up.nominal * float(np.cos(beta)) if stage.take_up.known else 0.0
    return max(float(L_e) + round_idlers(c.machine, stage, 0)["L_0"] - by_axes, 0.0)
