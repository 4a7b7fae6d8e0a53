"""Wheels of an endless loop: the drive wheel and the winding wheel, each wrapped by the loop chain."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.roller_chain import wheel
from layshaft.machine.kinds import EndlessLoop
from layshaft.mechanics import drives
from layshaft.trace.source import Source
from layshaft.train.cases import ARRESTED, AT_REST, RUNNING, WINDING
from layshaft.train.known import factors
from layshaft.train.sources import Strands, strands, wheel_diameter
from layshaft.verdict.context import Context
from layshaft.verdict.provenance import strands as strands_told
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"wrap": (), "tooth jump": (RUNNING, WINDING, AT_REST, ARRESTED)}
REQUIRED = dict.fromkeys(MODES, "S_required")
LAYOUT = Source("layout of the loop: drive and winding wheel two pitch diameters apart, idler beyond", "", "derived")
PLUMB = Source("both strands hang plumb: half a turn", "", "derived")
HOISTING = Source("the drive is a hanging weight", "", "derived")
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
    return float(drives.winding_wrap(drive.idler_over.nominal, wheel_diameter(c.machine, drive)))


def _part(c: Context, name: str, drive: EndlessLoop, place: str, theta: float, s: Strands) -> Part:
    winding = place == "winding wheel"
    tight, slack = (s.winding, s.winding_return) if winding else (s.drive, s.drive_return)
    factor = factors(c.solved.columns, name, c.solved.samples, winding=winding)
    values: dict[str, Any] = {
        "z": drive.teeth.nominal, "theta": theta, "F_1": tight * factor, "F_2": slack + 0 * factor, "hoisting": 1.0,
    }
    tension = Source("tensions of the loop's strands", drive.path, "derived")
    origins = {"z": drive.teeth.origin, "theta": LAYOUT if winding else PLUMB, "F_1": tension, "F_2": tension,
               "hoisting": HOISTING}
    part = Part(f"{drive.path}.{place}", "", values, origins, c.hurts(drive.path), frozenset({"F_1", "F_2"}),
                not_chosen=not drive.teeth.known, follows=_follows(c, name, drive, winding=winding),
                came_from=f"{name} → {drive.rewound_from if winding else drive.shaft}")
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _follows(c: Context, name: str, drive: EndlessLoop, *, winding: bool) -> dict[str, strands_told.Follow]:
    """Both strands, and the wrap where it is not half a turn."""
    tight: strands_told.Strand = "winding" if winding else "drive"
    slack: strands_told.Strand = "winding_return" if winding else "drive_return"
    found = {"F_1": strands_told.of_loop(c, name, drive, "F_1", "tension of the tight side", tight),
             "F_2": strands_told.of_loop(c, name, drive, "F_2", "tension of the slack side", slack)}
    return found | {"theta": strands_told.winding_wrap(c, drive)} if winding else found

