"""Which shipped sizes are tried for an open part, from small to large, and which rows judge them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing, roller_chain
from layshaft.elements.shaft.sizing import (
    diameter_by_torque_and_span,
    first_diameter,
    smallest_bar,
    torsion_diameter,
)
from layshaft.listings.offers import key_lengths
from layshaft.listings.tables import table
from layshaft.machine.fitting import misfits
from layshaft.machine.kinds import (
    EndlessLoop,
    GearPair,
    RollerChain,
    SetScrews,
    Suspended,
    SynchronousBelt,
    VBelt,
)
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.schema import Choice
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, POUND_FORCE
from layshaft.train.place import diameter_at
from layshaft.train.stages import centre_distance, turn_ratio
from layshaft.train.stiffness import SHEAR_MODULUS
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds import (
    bearings,
    belts,
    chains,
    critical_speeds,
    deflections,
    gear_fit,
    gears,
    hubs,
    iso_gears,
    keys,
    loop_wheels,
    shafts,
    weights,
)
from layshaft.verdict.rows import Block, Part
from layshaft.verdict.search import Candidate, Gather, put

MILLI = 1e-3
SMALL_WHEELS = (17, 19, 21)
"""Teeth of a small sprocket that runs smoothly: common practice, no single source."""

LEAST_PINION = 17
"""Least teeth of a pinion without undercut or shift, 20 degrees: common practice."""

FACE_OVER_MODULE = 10.0
"""Face width over module of a plain spur gear: common practice, 8 to 12."""

FACES = (6, 8, 10, 12, 15, 18, 20, 25, 30, 35, 40, 50, 60, 80)
NEAR_ENOUGH = 0.005
CENTRES_WITHIN = 0.05
MOST_TEETH = 40
LOW_SHEAR_KEYED = 41.4e6
"""Pa, 6000 psi: allowed shear of shafting of no stated strength at a keyway."""

LOW_STRESS = Source("ASME code for transmission shafting, 1927 to 1954", "6000 psi at a keyway, no stated strength",
                    "from memory")


@dataclass(slots=True)
class Search:
    """What to try for one part, and which rows judge it."""

    candidates: list[Candidate] = field(default_factory=list)
    gather: Gather = tuple  # type: ignore[assignment]
    keep: Callable[[Part], bool] = bool
    inside: Callable[[Machine], Machine] = lambda machine: machine
    cannot: str = ""
    """Why nothing can be tried."""

    note: str = ""


# Teeth -----------------------------------------------------------------------------------------


def teeth_pairs(machine: Machine, stage: Any, wanted: Sequence[int]) -> tuple[list[tuple[int, int]], str]:
    """Teeth of the first and second wheel: as given, or small wheels of `wanted` with the ratio's large one."""
    z = [t.nominal for t in stage.teeth]
    if np.isfinite(z[0] * z[1]):
        return [(int(z[0]), int(z[1]))], ""
    turns = 1 / abs(turn_ratio(machine, stage))
    if not np.isfinite(turns):
        return [], "the ratio is not known: give `ratio`, or the speeds on both sides"
    if np.isfinite(z[0]):
        return [(int(z[0]), round(z[0] * turns))], ""
    if np.isfinite(z[1]):
        return [(round(z[1] / turns), int(z[1]))], ""
    large_over_small = max(turns, 1 / turns)
    small = _small_teeth(large_over_small, wanted)
    pairs = [(s, round(s * large_over_small)) for s in small]
    return [pair if turns >= 1 else pair[::-1] for pair in pairs], ""


def _small_teeth(ratio: float, wanted: Sequence[int]) -> list[int]:
    """Those of `wanted` that come near the ratio; else the one of more that comes nearest."""
    near = [z for z in wanted if _off(z, ratio) <= NEAR_ENOUGH]
    return near or [min(range(wanted[0], MOST_TEETH), key=lambda z: (_off(z, ratio), z))]


def _off(z: int, ratio: float) -> float:
    return abs(round(z * ratio) / z / ratio - 1)


def ratio_error(machine: Machine, stage: Any, pair: tuple[int, int]) -> float:
    """How far a pair of whole teeth is from the ratio asked for."""
    return pair[1] / pair[0] * abs(turn_ratio(machine, stage)) - 1


def _teeth_sets(stage: Any, pair: tuple[int, int]) -> dict[str, float | str]:
    return {t.path: float(z) for t, z in zip(stage.teeth, pair, strict=True) if not t.known}


# Chains and gears ------------------------------------------------------------------------------


def only_stage(name: str) -> Callable[[Machine], Machine]:
    """A machine with that stage alone."""
    return lambda machine: replace(machine, stages={name: machine.stages[name]})


def chain_search(c: Context, stage: RollerChain) -> Search:
    """Chains by pitch and strength, those of as many strands as there are first, with the small wheels to be tried."""
    pairs, cannot = teeth_pairs(c.machine, stage, SMALL_WHEELS)
    found = Search(gather=lambda k: [chains.block(k)], inside=only_stage(stage.name),
                   cannot=cannot or "no chain fits round such wheels at the centres wanted")
    for name in [stage.chain.name] if stage.chain.known else roller_chains(stage.chain):
        for pair in pairs:
            sets = _teeth_sets(stage, pair)
            if not stage.chain.known:
                sets[stage.chain.path] = name
            if _keeps_centres(c.machine, stage, sets):
                found.candidates.append(Candidate(f"{name}, {pair[0]} and {pair[1]} teeth", sets))
    found.cannot = cannot if found.candidates or cannot else found.cannot
    return found


def _keeps_centres(machine: Machine, stage: RollerChain, sets: dict[str, float | str]) -> bool:
    """False where its wheels would not stand as far apart as wanted, or not beside each other."""
    tried: Any = put(replace(machine, stages={stage.name: stage}), sets).stages[stage.name]
    wanted, there = stage.centres.nominal, centre_distance(machine, tried)
    return not np.isfinite(wanted) or stage.links.known or abs(there / wanted - 1) <= CENTRES_WITHIN


def roller_chains(like: Choice) -> list[str]:
    """Roller chains of the standard series by their ISO names, from small to large: those of one strand first, or of as
    many as the one there was, then those of more or fewer.

    Bush chains and light ones are left to those who ask for them by name; an American number is the same chain again.
    """
    first = int(like.name[-1]) if like.name[-2:] in ("-1", "-2", "-3") else 1
    rows = [row for row in table("chain_series").rows if row.text("kind") == "roller"]
    sizes = [(n, roller_chain.series(f"{row.name}-{n}")) for row in rows for n in (1, 2, 3) if row.text(f"Fu{n}_kN")]
    return [s.name for n, s in sorted(sizes, key=lambda one: (one[0] != first, one[0], one[1].pitch,
                                                              one[1].breaking_load))]


def gear_search(c: Context, stage: GearPair) -> Search:
    """Preferred modules with a face of ten modules; or the faces, where the module is given."""
    wanted = range(LEAST_PINION, MOST_TEETH) if stage.normal_module.known else range(LEAST_PINION, LEAST_PINION + 4)
    pairs, cannot = teeth_pairs(c.machine, stage, wanted)
    found = Search(gather=lambda k: gear_blocks(k, stage), inside=only_stage(stage.name), cannot=cannot)
    for m, b in _modules_and_faces(stage):
        for pair in pairs:
            sets: dict[str, float | str] = _teeth_sets(stage, pair)
            sets |= {} if stage.normal_module.known else {stage.normal_module.path: m}
            sets |= {} if stage.face.known else {stage.face.path: b}
            name = f"module {m / MILLI:g} mm, {pair[0]} and {pair[1]} teeth, face {b / MILLI:g} mm"
            found.candidates.append(Candidate(name, sets))
    return found


def gear_blocks(c: Context, stage: GearPair) -> list[Block]:
    """ISO 6336 judges once the accuracy is told; Lewis and Buckingham know spur gears alone, and need none."""
    spur = gear_fit.is_spur(stage)
    by_iso = [iso_gears.block(c)] if stage.accuracy.known or not spur else []
    return [gear_fit.block(c), *([gears.block(c)] if spur else []), *by_iso]


def _modules_and_faces(stage: GearPair) -> list[tuple[float, float]]:
    modules = [row.number("m_mm", MILLI) for row in table("modules_preferred").rows]
    if not stage.normal_module.known:
        return [(m, stage.face.nominal if stage.face.known else FACE_OVER_MODULE * m) for m in modules]
    m = stage.normal_module.nominal
    return [(m, stage.face.nominal)] if stage.face.known else [(m, face * MILLI) for face in FACES]


def belt_search(stage: SynchronousBelt | VBelt) -> Search:
    """The profiles or sections of the list, with pulleys and width as given."""
    others = [s for s in stage.leaves if s.state == "open" and s.path != stage.belt.path]
    if others:
        return Search(cannot=f"{others[0].path} is open: choose the pulleys first, by the room there is")
    found = Search(gather=belts.blocks, inside=only_stage(stage.name))
    listed = table("v_belts" if isinstance(stage, VBelt) else "synchronous_belts").names
    found.candidates = [Candidate(name, {stage.belt.path: name}) for name in listed]
    return found


# What sits on shafts ---------------------------------------------------------------------------


def only_shaft(name: str) -> Callable[[Machine], Machine]:
    """A machine with that shaft alone."""
    return lambda machine: replace(machine, shafts={name: machine.shafts[name]})


def bearing_search(shaft: Shaft, seat: str, bar: dict[str, float | str]) -> Search:
    """Bearings of the list with the bore of the shaft, or the next smaller one; all of them without a bar."""
    choice = shaft.seats[seat].bearing
    d = diameter(shaft, seat, bar)
    sizes = [ball_bearing.bearing(name) for name in table("bearings_deep_groove").names]
    ordered = sorted((s for s in sizes if s), key=lambda s: (s.outside, s.width, s.C))
    bores = [s.bore for s in ordered if s.bore <= d + 1e-9]
    note = ""
    if np.isfinite(d):
        bore = max(bores, default=NAN)
        ordered = [s for s in ordered if s.bore == bore]
        note = "" if abs(bore - d) < 1e-9 else f"needs a step of {bore / MILLI:g} mm: write it into the sections"
    found = Search([Candidate(s.name, bar | {choice.path: s.name}) for s in ordered], lambda k: [bearings.block(k)],
                   lambda part: part.path == choice.path, only_shaft(shaft.name), note=note)
    found.cannot = "" if ordered else f"no bearing of the list has a bore that fits a shaft of {d / MILLI:g} mm"
    return found


def key_search(shaft: Shaft, seat: str, bar: dict[str, float | str]) -> Search:
    """The section that belongs to the shaft's diameter in the lengths of the standard."""
    choice = shaft.seats[seat].key_size
    d = diameter(shaft, seat, bar)
    row = next((r for r in table("keys_metric").rows
                if r.number("shaft_over_mm", MILLI) < d <= r.number("shaft_to_mm", MILLI)), None)
    if row is None:
        return Search(cannot="the shaft's diameter is not known yet" if np.isnan(d) else
                      f"the table of keys has no section for a shaft of {d / MILLI:g} mm")
    lengths = [length / MILLI for length in key_lengths(row.name)]
    on = shaft.seats[seat]
    rest: dict[str, float | str] = bar | weakest(on.key_steel) | weakest(on.hub_steel)
    rest |= {} if on.keys.known else {on.keys.path: 1.0}
    return Search([Candidate(f"{row.name}x{length:g}", rest | {choice.path: f"{row.name}x{length:g}"})
                   for length in lengths if length >= 2 * row.number("b_mm")], lambda k: [keys.block(k)],
                  lambda part: part.path == choice.path, only_shaft(shaft.name))


def hub_search(shaft: Shaft, seat: str, bar: dict[str, float | str]) -> Search:
    """Metric set screws thinner than the shaft, seated with the torque of the list; nothing for other hubs."""
    hub = shaft.seats[seat].hub
    if not isinstance(hub, SetScrews):
        return Search(cannot="no list of taper clamps ships with Layshaft: the demand above is what to ask for")
    d = diameter(shaft, seat, bar)
    found = Search(gather=hubs.blocks, keep=lambda part: part.path == hub.path, inside=only_shaft(shaft.name),
                   cannot="no set screw of the list is thinner than the shaft")
    for row in table("set_screws").rows:
        if row.name.startswith("M") and not row.number("d_mm", MILLI) >= d:
            sets: dict[str, float | str] = bar | {hub.size.path: row.name}
            torque = row.number("seating_lbf_in", POUND_FORCE * INCH)
            sets |= {} if hub.seating_torque.known else {hub.seating_torque.path: torque}
            found.candidates.append(Candidate(row.name, sets | ({} if hub.screws.known else {hub.screws.path: 1.0})))
    found.cannot = "" if found.candidates else found.cannot
    return found


def diameter(shaft: Shaft, seat: str, bar: dict[str, float | str]) -> float:
    """Diameter at a seat: as given, or of the bar found for the shaft."""
    d = diameter_at(shaft, shaft.seats[seat].at.nominal)
    tried = [v for path, v in bar.items() if isinstance(v, float) and path.endswith("[0]")]
    return d if np.isfinite(d) else (tried[0] if tried else NAN)


WEAKEST = "S235JR"
"""Steel of the lowest strength in the table: what holds in it holds in any other."""


def weakest(choice: Choice) -> dict[str, float | str]:
    """The weakest steel where none is chosen, else nothing."""
    return {} if choice.known else {choice.path: WEAKEST}


# Shafts ----------------------------------------------------------------------------------------


def shaft_search(c: Context, shaft: Shaft) -> Search:
    """Bars in stock for every open step, of the weakest steel where none is chosen."""
    bars = [row.number("d_mm", MILLI) for row in table("bar_diameters").rows]
    open_ = [d.path for d, _ in shaft.sections if not d.known]
    lengths: dict[str, float | str] = {}
    note = ""
    for _, step in shaft.sections:
        if not step.known:
            lengths[step.path] = plain_length(shaft)
            note = f"as one plain bar of {plain_length(shaft) / MILLI:g} mm"
    if len(lengths) > 1:
        return Search(cannot="more than one length is open")
    found = Search(gather=of_shafts, inside=only_shaft(shaft.name), note=note)
    steel = weakest(shaft.material)
    for d in bars if open_ else ():
        sets: dict[str, float | str] = {**dict.fromkeys(open_, d), **lengths, **steel}
        if not misfits(c.machine, put(c.machine, sets).shafts[shaft.name]):
            found.candidates.append(Candidate(f"{d / MILLI:g} mm bar", sets))
    if open_ and not found.candidates:
        found.cannot = "what is chosen to sit on it fits no bar in stock; open its bearings and keys, or write steps"
    if not open_ and not shaft.material.known:
        found.candidates = [Candidate(name, {shaft.material.path: name}) for name in _steels(c, shaft)]
    return found


def of_shafts(c: Context) -> list[Block]:
    """Every kind of row that judges a shaft."""
    return [shafts.sections(c), shafts.bearing_slopes(c), shafts.mesh_slopes(c), deflections.mesh_deflections(c),
            deflections.coupling_slopes(c), deflections.coupling_deflections(c), shafts.wind_up(c),
            critical_speeds.block(c)]


def _steels(c: Context, shaft: Shaft) -> list[str]:
    """Steels of the table by yield strength at the shaft's size."""
    size = max((d.nominal for d, _ in shaft.sections), default=NAN)
    found = [(c.steel(replace(shaft.material, name=name, state="given"), size).R_e, name)
             for name in dict.fromkeys(table("shaft_steels").names)]
    return [name for strength, name in sorted(found) if np.isfinite(strength)]


def plain_length(shaft: Shaft) -> float:
    """Length of a bar that stands out behind its last seat as far as before its first."""
    at = sorted(seat.at.nominal for seat in shaft.seats.values())
    return at[-1] + at[0] if at else NAN


def first_pass(c: Context, shaft: Shaft) -> tuple[float, str]:
    """First bar from torque, and bending where it is known, with the low stress for steel of no stated strength."""
    loads = c.solved.loads[shaft.name]
    rated = np.array([case != "stopped dead" for case in c.solved.cases])
    torque = np.abs(np.stack([loads.torque_left, loads.torque_right])).max(axis=(0, 1, 3))
    bending = np.hypot(loads.moment_left[:, 0], loads.moment_left[:, 1]).max(axis=(0, 2))
    T, M = (_largest(v[rated]) for v in (torque, bending))
    if np.isfinite(M):
        return float(smallest_bar(first_diameter(M, T, LOW_SHEAR_KEYED))), "from torque and bending"
    L, phi = plain_length(shaft), shaft.wind_up.nominal
    if T > 0 and np.isfinite(L * phi):
        d = diameter_by_torque_and_span(T, LOW_SHEAR_KEYED, L, SHEAR_MODULUS, phi)
        return float(smallest_bar(d)), f"from torque and span, {L / MILLI:g} mm"
    if T > 0:
        return float(smallest_bar(torsion_diameter(T, LOW_SHEAR_KEYED))), "from torque alone"
    return NAN, "the torque is not known yet"


def _largest(values: Any) -> float:
    known = values[np.isfinite(values)]
    return float(known.max()) if len(known) else NAN


# Weights ---------------------------------------------------------------------------------------


def weight_search(drive: Suspended) -> Search:
    """Chains a weight may hang on, with the wheel's teeth as given."""
    choice = drive.chain  # type: ignore[attr-defined]
    teeth = drive.teeth  # type: ignore[attr-defined]
    if choice.state != "open":
        return Search(cannot="")
    if not teeth.known:
        return Search(cannot="the teeth of its wheel are open too")
    found = Search(gather=lambda k: [weights.block(k), *(loop_wheels.blocks(k) if isinstance(drive, EndlessLoop)
                                                         else [])],
                   inside=lambda m: replace(m, drives={drive.name: m.drives[drive.name]}))
    found.candidates = [Candidate(name, {choice.path: name}) for name in roller_chains(choice)]
    return found
