"""What a wanted swing is made of: pulses, links, teeth and runout, and what of these nobody stated."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.machine.kinds import UniversalJoint
from layshaft.mechanics import universal_joint
from layshaft.trace.formula import Remark
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import RATIO, TORQUE, shown
from layshaft.train.kinematic.answer import Uneven, uneven
from layshaft.train.kinematic.errors import KINDS
from layshaft.verdict.context import Context

PRACTICE = Source("chains and teeth do not turn evenly", obtained="common practice")
FELT = 0.05
"""Share of a swing from which on a remembered limit is told beside its verdict."""


def swing_note(pulses: Any, shape: Uneven) -> str:
    """Which part is pulses and which is the shape of the train, for the line below a verdict."""
    parts = [f"{kind} {_percent(shape.swing(kind))}" for kind in KINDS if np.mean(shape.swing(kind)) > 0]
    if not parts and not shape.lacking:
        return ""
    first = f"pulses {_percent(pulses)} (all that a run over time shows of it)"
    told = [f"Of it, all phases at their worst: {', '.join([first, *parts])}"]
    if parts:
        how = "from half the lowest natural frequency on by the elastic train" if shape.elastic else "as a rigid train"
        told.append(f"as a rule chains, teeth and runout together make {_percent(shape.usual())}; found {how}")
    if shape.twisting and parts:
        told.append(f"the elastic train is not known ({shape.twisting[0]})")
    if shape.lacking:
        stages = dict.fromkeys(x.stage for x in shape.lacking)
        told.append(f"not counted, as it is not stated: something of {', '.join(stages)} (see the remarks)")
    return "; ".join(told) + "."


def swing_trust(shape: Uneven, demand: float) -> str:
    """Words for a verdict that a limit from memory bears on, or that something not stated may overturn."""
    if shape.lacking:
        return "what is stated of wheels and teeth alone"
    weak = sum(float(np.mean(o.swing)) for o in shape.orders if o.error.source.weak)
    return "a remembered limit of runout or teeth: have it checked" if weak > FELT * demand else ""


def remarks(c: Context) -> Iterator[tuple[str, Remark]]:
    """What no wanted swing counts, because the file does not state it; and the couple of bent joints."""
    yield from _bent(c)
    asked = [w for w in (c.machine.wants or {}).values() if w.within_a_turn.known and w.shaft]
    for want, shape in zip(asked, uneven(c.solved, [w.shaft for w in asked]), strict=True):
        for lacks in shape.lacking:
            yield f"stages.{lacks.stage}", Remark(
                f"The swing of {want.shaft} is told without {lacks.words}.", PRACTICE, True)


def _bent(c: Context) -> Iterator[tuple[str, Remark]]:
    for stage in c.machine.stages.values():
        if isinstance(stage, UniversalJoint):
            torque = float(np.abs(c.solved.stage_torque[stage.name][0]).mean(axis=1).max())
            couple = float(universal_joint.bending_couple(torque, stage.angle.nominal))
            size = f", up to {shown(couple, TORQUE)}" if np.isfinite(couple) else ""
            yield stage.path, Remark(
                f"A bent joint bends both of its shafts twice a turn{size}. No shaft or bearing here counts it: hold "
                "it against their margins. A pair of joints does not undo it.", STATICS, True)


def _percent(share: Any) -> str:
    return shown(float(np.mean(share)), RATIO, "%", 3)
