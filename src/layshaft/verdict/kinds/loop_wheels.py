"""Wheels of an endless loop: the drive wheel and the winding wheel, each wrapped by the loop chain."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.roller_chain import wheel
from layshaft.machine.kinds import EndlessLoop
from layshaft.trace.source import Source
from layshaft.train.cases import ARRESTED, AT_REST, RUNNING, WINDING
from layshaft.train.known import factors
from layshaft.train.sources import Strands, strands, wheel_diameter
from layshaft.verdict.context import Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"wrap": (), "tooth jump": (RUNNING, WINDING, AT_REST, ARRESTED)}
REQUIRED = dict.fromkeys(MODES, "S_required")
LAYOUT = Source("layout of the loop: drive and winding wheel two pitch diameters apart, idler beyond", "", "derived")
HALF_TURN = np.pi


def blocks(c: Context) -> list[Block]:
    """Both wheels of every endless loop."""
    found = Block("wheel of the loop", wheel.rate, wheel.WheelInputs, MODES, required=REQUIRED)
    for name, drive in c.machine.drives.items():
        if isinstance(drive, EndlessLoop):
            s = strands(c.machine, drive)
            found.parts.append(_part(c, name, drive, "drive wheel", HALF_TURN, s))
            found.parts.append(_part(c, name, drive, "winding wheel", winding_wrap(c, drive), s))
    return [found]


def winding_wrap(c: Context, drive: EndlessLoop) -> float:
    """From the strand that hangs plumb to the one that leaves for the idler."""
    rise, run = drive.idler_over.nominal, 3 * wheel_diameter(c.machine, drive)
    return float(HALF_TURN / 2 + np.arctan2(rise, run))


def _part(c: Context, name: str, drive: EndlessLoop, place: str, theta: float, s: Strands) -> Part:
    winding = place == "winding wheel"
    tight, slack = (s.winding, s.winding_return) if winding else (s.drive, s.drive_return)
    factor = factors(c.solved.columns, name, c.solved.samples, winding=winding)
    values: dict[str, Any] = {
        "z": drive.teeth.nominal, "theta": theta, "F_1": tight * factor, "F_2": slack + 0 * factor, "hoisting": 1.0,
    }
    tension = Source("tensions of the loop's strands", drive.path, "derived")
    origins = {"z": drive.teeth.origin, "theta": LAYOUT, "F_1": tension, "F_2": tension, "hoisting": LAYOUT}
    part = Part(f"{drive.path}.{place}", "", values, origins, c.hurts(drive.path), frozenset({"F_1", "F_2"}),
                not_chosen=not drive.teeth.known)
    return with_required(part, c.machine.margins or {}, REQUIRED)

