"""Sizes in steps for what is made and not bought: bevel pairs, worms, ratchets and brakes, in the steps one writes.

Modules are those of the preferred series; widths and diameters go by preferred numbers, or by sixteenths of an inch.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from layshaft.listings.tables import table
from layshaft.machine.kinds import BevelPair, Ratchet, Stage, Worm
from layshaft.machine.kinds.brakes import Brake, DiscBrake
from layshaft.machine.schema import Given
from layshaft.trace.units import INCH
from layshaft.train.forces import shaft_loads
from layshaft.train.place import places
from layshaft.verdict.candidates import Search, only_stage
from layshaft.verdict.context import Context
from layshaft.verdict.kinds import bevel_pairs, brakes, ratchets, worms
from layshaft.verdict.rows import Part
from layshaft.verdict.search import Candidate

MILLI = 1e-3
SIXTEENTH = INCH / 16
R20 = (1.0, 1.12, 1.25, 1.4, 1.6, 1.8, 2.0, 2.24, 2.5, 2.8, 3.15, 3.55, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0, 9.0)
"""Preferred numbers R20 (ISO 3, values from memory)."""

ROOM = 1.05
"""Times the inner diameter from which on a ring has a face worth the name."""

SERIES = "Sizes are those of the preferred numbers; any other can be made."


def of_stage(c: Context, stage: Any) -> Search | None:
    """The sizes of a stage that is made: the module of bevels and worms, the face of ratchets."""
    if isinstance(stage, BevelPair):
        found = Search(gather=lambda k: bevel_pairs.blocks(_bent_anew(k, stage)), keep=_only(stage.path))
        return _modules(stage.normal_module, found, "face and teeth stay")
    if isinstance(stage, Worm):
        found = Search(gather=lambda k: [worms.block(_bent_anew(k, stage))], keep=_only(stage.path))
        if stage.axial_module.known and not stage.centres.known:
            return _modules(stage.axial_module, found, "starts and teeth stay")
        return _lengths(c, stage.face, found, "The centres are given, so module and diameters stay. ")
    if isinstance(stage, Ratchet):
        return _lengths(c, stage.face, Search(gather=ratchets.blocks, inside=only_stage(stage.name)),
                        "Wheel, tooth and pin keep their other sizes. ")
    return None


def of_brake(c: Context, load: Brake) -> Search:
    """The sizes of a brake: how far its pads reach, or how wide its lining is."""
    found = Search(gather=brakes.blocks, keep=_only(load.path))
    if isinstance(load, DiscBrake):
        return _lengths(c, load.outer_diameter, found, "The pads keep their inner diameter and the force on them. ",
                        load.inner_diameter.nominal)
    return _lengths(c, getattr(load, "width"), found, "Drum, lever and force stay. ")  # noqa: B009 - of drum brakes alone


def _only(path: str) -> Callable[[Part], bool]:
    return lambda part: part.path == path


def _bent_anew(c: Context, stage: Stage) -> Context:
    """The context with the two shafts of a stage bent by the forces of its new size; torques are as they were."""
    solved = replace(c.solved)
    solved.place = places(solved.machine)
    solved.loads = c.solved.loads | {name: shaft_loads(solved, name) for name in (stage.from_, stage.to)}
    return replace(c, solved=solved)


def _modules(there: Given, found: Search, stays: str) -> Search:
    """Preferred modules, and the one there is."""
    if not there.known:
        return Search(cannot=f"its {_name(there)} is not given, so there is none to step from")
    values = {row.number("m_mm", MILLI) for row in table("modules_preferred").rows} | {there.nominal}
    found.candidates = [Candidate(f"module {v / MILLI:g} mm", {there.path: v}) for v in sorted(values)]
    found.note = f"Preferred modules (ISO 54); {stays}, so the distance or the place of the wheels changes."
    return found


def _lengths(c: Context, there: Given, found: Search, stays: str, above: float = 0.0) -> Search:
    """Preferred numbers about the size there is, or sixteenths of an inch; only those above another size."""
    if not there.known or not there.nominal > 0:
        return Search(cannot=f"its {_name(there)} is not given, so there is none to step from")
    inch = c.machine.units == "inch"
    values = sorted({*(_sixteenths(there.nominal) if inch else _preferred(there.nominal)), there.nominal})
    values = [v for v in values if v >= above * ROOM or v == there.nominal]
    unit, size = ("in", INCH) if inch else ("mm", MILLI)
    found.candidates = [Candidate(f"{_name(there)} {v / size:g} {unit}", {there.path: v}) for v in values]
    found.note = stays + ("" if inch else SERIES)
    return found


def _preferred(was: float) -> list[float]:
    power = math.floor(math.log10(was))
    values = [n * 10.0**k for k in (power - 1, power, power + 1) for n in R20]
    return [v for v in values if abs(v / was - 1) > 0.02]


def _sixteenths(was: float) -> list[float]:
    middle = round(was / SIXTEENTH)
    return [n * SIXTEENTH for n in range(max(1, middle - 8), middle + 9) if abs(n * SIXTEENTH / was - 1) > 0.02]


def _name(there: Given) -> str:
    return there.path.rpartition(".")[2]
