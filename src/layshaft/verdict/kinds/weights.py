"""Hanging weights: what they hang on, at rest and when they are caught."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import hanging_load
from layshaft.machine.kinds import EndlessLoop, FallingWeight, Suspended
from layshaft.machine.schema import Choice
from layshaft.trace.source import Source
from layshaft.train.arrest import arrest_drop
from layshaft.train.cases import ARRESTED, AT_REST
from layshaft.train.sizes import chain_size, rope_size
from layshaft.train.stiffness import suspension_stiffness
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.provenance import strands
from layshaft.verdict.rows import Block, Part, textile_over_people, with_required

MODES = {"static strength of the suspension": (AT_REST,), "arrested strength of the suspension": (ARRESTED,)}
REQUIRED = {"static strength of the suspension": "S_required",
            "arrested strength of the suspension": "S_arrest_required"}
PLUMB = Source("all parts hang plumb", obtained="derived")
ROPE_WEIGHT = Source("own weight of a rope, next to what hangs on it", obtained="common practice")


def block(c: Context) -> Block:
    """Every hanging weight."""
    found = Block("hanging weight", hanging_load.rate, hanging_load.HangingInputs, MODES, required=REQUIRED)
    for drive in c.machine.drives.values():
        if isinstance(drive, Suspended):
            found.parts.append(_part(c, drive))
    return found


def _part(c: Context, drive: Suspended) -> Part:
    F_u, q, listed, content = _suspension(c, drive)
    parts, parts_source = _parts(drive)
    drop = arrest_drop(c.machine, drive)
    values: dict[str, Any] = {
        "m": drive.mass.value, "g": c.machine.gravity.value, "i": parts, "gamma": 0.0, "q": q,
        "l": drive.drop.value + drive.strand_length.value,
        "F_u": F_u, "k": suspension_stiffness(c.machine, drive), "h": NAN if drop is None else drop,
        "H": drive.drop.value,
    }
    frame = "rigid frame: an upper bound" if not drive.frame_stiffness.known else "in line with the frame"
    origins = {
        "m": drive.mass.origin, "g": c.machine.gravity.origin,
        "i": parts_source, "gamma": PLUMB, "q": _own_weight(c, drive, listed),
        "l": drive.drop.origin if drive.strand_length.known else drive.strand_length.origin,
        "F_u": listed, "k": Source("stretch of the strands at an eighth of the breaking load", frame, "from memory"),
        "h": Source("step of the ratchet and slack", drive.path, "derived"), "H": drive.drop.origin,
    }
    people = c.hurts(drive.path) if drive.over_people else ""
    part = Part(drive.path, "", values, origins, people or c.hurts(drive.path), frozenset({"h", "k"}),
                not_chosen=not np.all(np.isfinite(np.asarray(F_u))) and content == (), content=content,
                over_people=drive.over_people, follows={
                    "k": strands.stiffness(c, drive, "k", "stiffness of the whole suspension, felt at the weight"),
                    "h": strands.drop(c, drive, "h", "drop before the weight is caught")})
    margins = c.machine.margins or {}
    part = with_required(part, margins, REQUIRED)
    return textile_over_people(part, margins, REQUIRED) if _on_textile(c, drive) else part


def _on_textile(c: Context, drive: Suspended) -> bool:
    rope = rope_size(c.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    return rope is not None and bool(np.all(rope.fibre))


def _own_weight(c: Context, drive: Suspended, listed: Source) -> Source:
    """A rope of the file that states no mass per length counts as nothing next to what hangs on it."""
    rope = rope_size(c.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    light = chain_size(c.machine, drive.chain) is None and rope is not None  # type: ignore[attr-defined]
    return ROPE_WEIGHT if light and not np.all(rope.mass_per_metre > 0) else listed  # type: ignore[union-attr]


def _parts(drive: Suspended) -> tuple[Any, Source]:
    """Parts that share the weight; in a loop the pulley's loss makes one of two the tighter one."""
    if isinstance(drive, EndlessLoop):
        e = drive.pulley_loss.value
        return (2 + e) / (1 + e), Source("two strands; the tighter one carries W (1 + e)/(2 + e)",
                                         drive.pulley_loss.path, "derived")
    assert isinstance(drive, FallingWeight)
    if not drive.falls.known:
        return 1.0, Source(f"{drive.path}: no purchase stated, one part", obtained="given")
    return drive.falls.value, drive.falls.origin


def _suspension(c: Context, drive: Suspended) -> tuple[Any, Any, Source, tuple[str, ...]]:
    choice: Choice = drive.chain  # type: ignore[attr-defined]
    size = chain_size(c.machine, choice)
    if size is not None:
        return size.breaking_load, size.mass_per_metre, size.source, (size.row_content,)
    rope = rope_size(c.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    if rope is not None:
        own = rope.mass_per_metre if np.all(rope.mass_per_metre > 0) else 0.0
        return rope.breaking_load, own, rope.source, rope.row_content
    own_weight = 0.0 if isinstance(drive, FallingWeight) and drive.suspension.state == "open" else NAN
    return NAN, own_weight, Source(f"{drive.path}: chain or rope not chosen yet", obtained="given"), ()
