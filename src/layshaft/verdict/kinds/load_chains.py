"""Roller chains that weights hang on: what lifting asks of the chain itself."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.roller_chain import hoist as room
from layshaft.machine.kinds import EndlessLoop, FallingWeight, Suspended
from layshaft.trace.source import Source
from layshaft.train.cases import AT_REST, RUNNING, WINDING
from layshaft.train.known import factors
from layshaft.train.sizes import chain_size
from layshaft.train.sources import strands
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.chains import OFFSET, PRESS_FIT
from layshaft.verdict.provenance import strands as told
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"slow hoisting duty": (RUNNING, WINDING, AT_REST), "no offset link": ()}
REQUIRED = dict.fromkeys(MODES, "S_required")
LAYOUT = Source("the drive is a hanging weight", obtained="derived")


def hangs_on_chain(drive: object) -> bool:
    """True where a weight hangs on a roller chain, chosen or open."""
    return isinstance(drive, Suspended) and drive.chain.state != "missing"  # type: ignore[attr-defined]


def block(c: Context) -> Block:
    """The chain of every weight that hangs on one."""
    found = Block("load chain", room.rate, room.HoistInputs, MODES, required=REQUIRED)
    for name, drive in c.machine.drives.items():
        if isinstance(drive, Suspended) and hangs_on_chain(drive):
            found.parts.append(_part(c, name, drive))
    return found


def _part(c: Context, name: str, drive: Suspended) -> Part:
    choice, teeth = drive.chain, drive.teeth  # type: ignore[attr-defined]
    size = chain_size(c.machine, choice)
    tension = Source("tensions of the weight's strands", drive.path, "derived")
    values: dict[str, Any] = {
        "p": size.pitch if size else NAN, "z": teeth.nominal, "omega": _speed(c, drive),
        "F": _pull(c, name, drive), "F_u": size.breaking_load if size else NAN,
        "press_fit": PRESS_FIT.get(drive.connecting_link, NAN),
        "n_o": 1.0 if drive.connecting_link == OFFSET else 0.0 if drive.connecting_link else NAN, "hoisting": 1.0,
    }
    listed = size.source if size else Source(f"{choice.path}: not chosen yet", obtained="given")
    link = Source(f"{drive.path}.connecting link: {drive.connecting_link or 'not given'}", obtained="given")
    origins = {"p": listed, "z": teeth.origin, "omega": c.from_train(drive.shaft, "speed"), "F": tension,
               "F_u": listed, "press_fit": link, "n_o": link, "hoisting": LAYOUT}
    part = Part(drive.path, "", values, origins, c.hurts(drive.path), frozenset({"F", "omega"}),
                not_chosen=not choice.known or not teeth.known, content=(size.row_content,) if size else (),
                over_people=drive.over_people, follows={"F": _follow(c, name, drive)})
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _follow(c: Context, name: str, drive: Suspended) -> told.Follow:
    if isinstance(drive, EndlessLoop):
        return told.stronger_of_loop(c, name, drive, "F", "pull of the chain")
    assert isinstance(drive, FallingWeight)
    return told.stronger_of_drum(c, name, drive, "F", "pull of the chain")


def _speed(c: Context, drive: Suspended) -> Any:
    """Turning speed of the wheel the chain runs over; in a loop the faster of its two."""
    speed = np.abs(c.solved.speed[drive.shaft])
    return np.maximum(speed, np.abs(c.solved.speed[drive.rewound_from])) if isinstance(drive, EndlessLoop) else speed


def _pull(c: Context, name: str, drive: Suspended) -> Any:
    """The stronger strand in every case."""
    s = strands(c.machine, drive)
    return np.maximum(s.drive * factors(c.solved.columns, name, c.solved.samples, winding=False),
                      s.winding * factors(c.solved.columns, name, c.solved.samples, winding=True))
