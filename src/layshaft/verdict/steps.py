"""Sizes in steps for what is made and not bought: bevel pairs, worms, ratchets, brakes and clutches.

Modules are those of the preferred series; widths and diameters go by preferred numbers, or by sixteenths of an inch.
A force or a torque that is open goes over the preferred numbers from end to end.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.machine.kinds import BevelPair, DogClutch, FrictionClutch, Ratchet, ShearPin, SlipClutch, Stage, Worm
from layshaft.machine.kinds.brakes import Brake, DiscBrake
from layshaft.train.forces import shaft_loads
from layshaft.train.place import places
from layshaft.verdict.candidates import FACES, Search, only_stage
from layshaft.verdict.context import Context
from layshaft.verdict.kinds import bevel_pairs, brakes, engaged, ratchets, slip_clutches, worms
from layshaft.verdict.opened import of_open
from layshaft.verdict.preferred import MILLI, by_module, decades, lengths, modules, numbers
from layshaft.verdict.rows import Part
from layshaft.verdict.search import Candidate

FORCES, TORQUES = (0, 5), (-2, 4)
"""Powers of ten between which an open force, N, or torque, N m, is tried."""

LINING = "Lining, faces and friction stay. "
LEAST_FACE, MOST_FACE = 3.0, 12.0
"""Face over module of what is tried together: common practice."""


def of_stage(c: Context, stage: Any, *, wide: bool = False) -> Search | None:
    """The sizes of a stage that is made: modules, faces, diameters; of what lets go, the torque it is set to.

    Where `wide`, every preferred module with every usual face.
    """
    found = Search(keep=only(stage.path))
    made = _STAGES.get(type(stage))
    if made is None:
        return None
    gather, size = made
    found.gather = lambda k: gather(k, stage)
    opened = of_open(c, stage, found)
    if opened is not None:
        return opened
    both = _modules_and_faces(stage) if wide else []
    if both:
        found.candidates, found.note = both, "Preferred modules (ISO 54) and usual faces; teeth stay."
        return found
    return size(c, stage, found)


def _modules_and_faces(stage: Any) -> list[Candidate]:
    """Sizes of toothed wheels by module and face, the one there is among them; none where a size does not step."""
    module = {BevelPair: "normal_module", Worm: "axial_module"}.get(type(stage), "")
    if isinstance(stage, Worm) and stage.centres.known:
        return []
    if isinstance(stage, Ratchet):
        return _ratchet_wheels(stage)
    there = getattr(stage, module, None)
    if there is None or not (there.known and stage.face.known):
        return []
    sizes = {(m, b * MILLI) for m in modules() for b in FACES if LEAST_FACE * m <= b * MILLI <= MOST_FACE * m}
    return [Candidate(f"module {m / MILLI:.10g} mm, face {b / MILLI:.10g} mm", {there.path: m, stage.face.path: b},
                      {"width": b, "across": m * _most_teeth(stage)})
            for m, b in sorted({*sizes, (there.nominal, stage.face.nominal)})]


def _most_teeth(stage: Any) -> float:
    teeth = [stage.wheel_teeth] if isinstance(stage, Worm) else stage.teeth
    return float(max(t.nominal for t in teeth))


def _ratchet_wheels(stage: Ratchet) -> list[Candidate]:
    """Wheels of preferred modules: module times teeth across, each tooth no thicker at its root than its pitch."""
    z, D, b = stage.teeth.nominal, stage.diameter.nominal, stage.face.nominal
    if not np.isfinite(z * D * b):
        return []
    thick = stage.root_thickness.nominal if stage.root_thickness.known else 0.0
    wide = [m for m in modules() if np.pi * m >= thick]
    sizes = {(m * z, face * MILLI) for m in wide for face in FACES if face * MILLI <= MOST_FACE * m}
    return [Candidate(f"{d / MILLI:.10g} mm across (module {d / z / MILLI:.4g} mm), face {face / MILLI:.10g} mm",
                      {stage.diameter.path: d, stage.face.path: face}, {"across": d, "width": face})
            for d, face in sorted({*sizes, (D, b)})]


def of_brake(c: Context, load: Brake) -> Search:
    """The sizes of a brake: the force where that is open, else how far its pads reach, or how wide its lining is."""
    found = Search(gather=brakes.blocks, keep=only(load.path))
    if load.force.state == "open":
        return numbers(load.force, found, *FORCES)
    if isinstance(load, DiscBrake):
        return lengths(c, load.outer_diameter, found, "The pads keep their inner diameter and the force on them. ",
                       load.inner_diameter.nominal)
    return lengths(c, getattr(load, "width"), found, "Drum, lever and force stay. ")  # noqa: B009 - of drum brakes alone


def only(path: str) -> Callable[[Part], bool]:
    """Rows of one part alone."""
    return lambda part: part.path == path


# Each kind ---------------------------------------------------------------------------------------


def _bevel(_: Context, stage: BevelPair, found: Search) -> Search:
    return by_module(stage.normal_module, found, "face and teeth stay")


def _worm(c: Context, stage: Worm, found: Search) -> Search:
    if stage.axial_module.known and not stage.centres.known:
        return by_module(stage.axial_module, found, "starts and teeth stay")
    return lengths(c, stage.face, found, "The centres are given, so module and diameters stay. ")


def _ratchet(c: Context, stage: Ratchet, found: Search) -> Search:
    found.inside = only_stage(stage.name)
    return lengths(c, stage.face, found, "Wheel, tooth and pin keep their other sizes. ")


def _slip(c: Context, stage: SlipClutch, found: Search) -> Search:
    if slip_clutches.by_springs(stage):
        return lengths(c, stage.outer_diameter, found, "Springs, inner diameter and friction stay. ",
                       stage.inner_diameter.nominal)
    return numbers(stage.slip_torque, found, *TORQUES)


def _pin(_: Context, stage: ShearPin, found: Search) -> Search:
    there = {stage.diameter.nominal} if stage.diameter.known else set()
    listed = {row.number("d_mm", MILLI) for row in table("pin_diameters").rows}
    found.candidates = [Candidate(f"pin {d / MILLI:.10g} mm", {stage.diameter.path: d})
                        for d in sorted(listed | there)]
    found.note = "Diameters of parallel pins (ISO 2338); number, radius and strength stay."
    return found


def _friction(c: Context, stage: FrictionClutch, found: Search) -> Search:
    if stage.closing_force.state == "open":
        return numbers(stage.closing_force, found, *FORCES, LINING)
    return lengths(c, stage.outer_diameter, found, LINING, stage.inner_diameter.nominal)


def _dogs(c: Context, stage: DogClutch, found: Search) -> Search:
    if stage.outer_diameter.state == "open":
        least = max(stage.inner_diameter.nominal, MILLI) if stage.inner_diameter.known else MILLI
        found.candidates = [Candidate(f"outer diameter {d / MILLI:g} mm", {stage.outer_diameter.path: d})
                            for d in decades(-2, 0) if d > least]
        found.note = "Preferred numbers (ISO 3)."
        return found
    return lengths(c, stage.outer_diameter, found, "Number, depth and root of the teeth stay. ",
                   stage.inner_diameter.nominal)


def _bent_anew(c: Context, stage: Stage) -> Context:
    """The context with the two shafts of a stage bent by the forces of its new size; torques are as they were."""
    solved = replace(c.solved)
    solved.place = places(solved.machine)
    solved.loads = c.solved.loads | {name: shaft_loads(solved, name) for name in (stage.from_, stage.to)}
    return replace(c, solved=solved)


_STAGES: dict[type, tuple[Callable[[Context, Any], Any], Callable[[Context, Any, Search], Search]]] = {
    BevelPair: (lambda k, s: bevel_pairs.blocks(_bent_anew(k, s)), _bevel),
    Worm: (lambda k, s: [worms.block(_bent_anew(k, s))], _worm),
    Ratchet: (lambda k, _: ratchets.blocks(k), _ratchet),
    SlipClutch: (lambda k, _: slip_clutches.blocks(k), _slip),
    ShearPin: (lambda k, _: slip_clutches.blocks(k), _pin),
    FrictionClutch: (lambda k, _: engaged.blocks(k), _friction),
    DogClutch: (lambda k, _: engaged.blocks(k), _dogs),
}
