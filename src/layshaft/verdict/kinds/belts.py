"""Belts: from the train to the rooms of V belts and synchronous belts."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import belt
from layshaft.elements.belt import synchronous, v
from layshaft.machine.kinds import SynchronousBelt, VBelt
from layshaft.trace.source import Source
from layshaft.train.cases import ARRESTED, AT_REST, BRAKED, FAILED, HELD, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.sizes import belt_diameters, synchronous_belt_size, v_belt_size
from layshaft.train.stages import centre_distance
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

PULLED = (RUNNING, PEAK, WINDING, AT_REST, ARRESTED, BRAKED, FAILED, MODULE_OFF)
V_MODES = {"grip": PULLED, "belt life": (RUNNING, WINDING), "pulley size": ()}
TOOTHED_MODES = {"tooth pull": PULLED, "tooth jump": (*PULLED, HELD), "pulley size": ()}
V_REQUIRED = dict.fromkeys(V_MODES, "S_required")
TOOTHED_REQUIRED = dict.fromkeys(TOOTHED_MODES, "S_required")
FRICTION = Source("Shigley's Mechanical Engineering Design, 9th ed.", "sec. 17-3, 0.5123 as felt in the groove",
                  "from memory")


def blocks(c: Context) -> list[Block]:
    """All belt stages."""
    ribbed = Block("V belt", v.rate, belt.VBeltInputs, V_MODES, required=V_REQUIRED)
    toothed = Block("synchronous belt", synchronous.rate, belt.SynchronousBeltInputs, TOOTHED_MODES,
                    required=TOOTHED_REQUIRED)
    for name, stage in c.stages:
        if isinstance(stage, VBelt):
            ribbed.parts.append(_v(c, name, stage))
        elif isinstance(stage, SynchronousBelt):
            toothed.parts.append(_toothed(c, name, stage))
    return [ribbed, toothed]


def _common(c: Context, name: str, stage: Any, small: int) -> tuple[dict[str, Any], dict[str, Source], str]:
    """Torque and speed at the small pulley, distance and tension at rest."""
    shaft = (stage.from_, stage.to)[small]
    d = belt_diameters(c.machine, stage)
    carried = c.solved.carried.get(name)
    values: dict[str, Any] = {
        "T": NAN if carried is None else np.abs(carried) * d[small] / d[0], "omega": np.abs(c.solved.speed[shaft]),
        "a": centre_distance(c.machine, stage), "F_0": stage.pretension.value,
    }
    apart = stage.centres.origin if stage.centres.known else Source("centre distance of the belt's length", stage.path,
                                                                    "derived")
    origins = {"T": c.from_train(shaft, "torque"), "omega": c.from_train(shaft, "speed"), "a": apart,
               "F_0": stage.pretension.origin}
    return values, origins, shaft


def _v(c: Context, name: str, stage: VBelt) -> Part:
    size = v_belt_size(stage.belt)
    d = belt_diameters(c.machine, stage)
    small = 0 if not d[0] > d[1] else 1
    values, origins, shaft = _common(c, name, stage, small)
    listed = size.source if size else Source(f"{stage.belt.path}: not chosen yet", obtained="given")
    fields = {"q": "mass_per_metre", "beta": "groove", "K_b": "bending", "K": "strength", "b": "exponent",
              "d_least": "least_diameter"}
    values |= {symbol: getattr(size, field) if size else NAN for symbol, field in fields.items()}
    felt = belt.EFFECTIVE_FRICTION * np.sin(values["beta"] / 2)
    values |= {"d": d[small], "D": d[1 - small], "i": stage.belts.value, "t_life": c.life,
               "mu": stage.friction.value if stage.friction.known else felt}
    origins |= dict.fromkeys(fields, listed) | {
        "d": stage.diameters[small].origin, "D": stage.diameters[1 - small].origin, "i": stage.belts.origin,
        "t_life": c.life_source, "mu": stage.friction.origin if stage.friction.known else FRICTION}
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T", "omega"}),
                not_chosen=size is None or not all(x.known for x in stage.diameters),
                content=(size.row_content,) if size else (), shaft=shaft)
    return with_required(part, c.machine.margins or {}, V_REQUIRED)


def _toothed(c: Context, name: str, stage: SynchronousBelt) -> Part:
    size = synchronous_belt_size(c.machine, stage.belt)
    z = [t.nominal for t in stage.teeth]
    small = 0 if not z[0] > z[1] else 1
    values, origins, shaft = _common(c, name, stage, small)
    listed = size.source if size else Source(f"{stage.belt.path}: not chosen yet", obtained="given")
    fields = {"p": "pitch", "w_0": "base_width", "T_a": "tension", "z_least": "least_teeth"}
    values |= {symbol: getattr(size, field) if size else NAN for symbol, field in fields.items()}
    values |= {"z_1": z[small], "z_2": z[1 - small], "w": stage.width.value,
               "q": size.mass_per_metre * stage.width.value / size.base_width if size else NAN}
    origins |= dict.fromkeys((*fields, "q"), listed) | {
        "z_1": stage.teeth[small].origin, "z_2": stage.teeth[1 - small].origin, "w": stage.width.origin}
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T", "omega"}),
                not_chosen=size is None or not all(t.known for t in stage.teeth) or not stage.width.known,
                content=(size.row_content,) if size else (), shaft=shaft)
    return with_required(part, c.machine.margins or {}, TOOTHED_REQUIRED)
