"""Sizes of stages: chains with their sprockets, gear pairs, belts and couplings."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import roller_chain
from layshaft.listings.offers import Offer
from layshaft.listings.tables import table
from layshaft.machine.kinds import ChainPart, Coupling, CouplingPart, GearPair, RollerChain, SynchronousBelt, VBelt
from layshaft.mechanics import inertia
from layshaft.study.choosing.joining import Axis, Values
from layshaft.study.choosing.owned import named_offers
from layshaft.study.choosing.space import (
    Chosen,
    Space,
    bores_of,
    larger_than,
    offer_axis,
    priced,
    room_across,
)
from layshaft.study.choosing.wheels import by_train, open_teeth
from layshaft.train.cases import STOPPED
from layshaft.train.forces import STEEL_DENSITY
from layshaft.verdict.candidates import CENTRES_WITHIN, FACE_OVER_MODULE, FACES, gear_blocks, only_stage
from layshaft.verdict.context import Context
from layshaft.verdict.kinds import belts, chains, couplings
from layshaft.verdict.rows import Block

NAN = float("nan")
MM = 1e-3
STEPS = 10
"""Wanted distances of the axes tried between the two ends of a range."""

TOOTH_WIDTH = 0.93
"""Width of a sprocket's teeth over the inner width of its chain: ISO 606, from memory."""

TIP, ROOT = 2.0, 2.5
"""Tip circle beyond, and root circle within, the pitch circle, in modules of the diameter: ISO 53."""

SHIFTED = (-2.5, 4.0)
"""Modules by which shifted teeth may bring axes together or apart: beyond what a file may state."""


# Roller chains ----------------------------------------------------------------------------------


def chain(space: Space, stage: RollerChain) -> None:
    """The chain, its strands, the teeth that are open, and the distance of the axes where the file leaves a range."""
    part = stage.path
    teeth = open_teeth(space, stage)
    z = [f"{t.path}|z" for t in stage.teeth]
    for t, name in zip(stage.teeth, z, strict=True):
        if t.path not in teeth:
            space.reckon(name, [f"{part}|p"], lambda p, n=t.nominal: np.full(np.shape(p), n))
    offers = _chain_offers(space, stage)
    axis = offer_axis(space, stage.chain.path, part, f"chain {stage.name}", offers,
                      [{stage.chain.path: space.named(o, "chain")} for o in offers], {
        "p": "pitch", "strands": "strands", "F_u": "breaking load", "q": "mass per metre", "roller": "roller diameter",
        "inner": "inner width", "across strands": "transverse pitch", "piece": "length"})
    axes = [*teeth, axis.name, *_distances(space, stage)]
    space.trains.update(axes)
    _chain_columns(space, stage, z)
    _chain_conditions(space, stage, z)
    width = space.reckon(f"{part}|width", [f"{part}|inner", f"{part}|across strands", f"{part}|strands"], _rim_width)
    across = space.reckon(f"{part}|across", [f"{part}|d_1", f"{part}|d_2", f"{part}|roller"],
                          lambda d_1, d_2, roller: np.maximum(d_1, d_2) + roller)
    mass = space.reckon(f"{part}|mass", [f"{part}|X", f"{part}|p", f"{part}|q", f"{part}|d_1", f"{part}|d_2",
                                         f"{part}|width"], _chain_mass)
    for wish, column in {"mass": mass, "width": width, "across": across}.items():
        space.adds(wish, part, "chain and sprockets", column)
    for wish in ("lead time", "distance"):
        space.adds(wish, part, "chain", f"{part}|offered {wish}")
    priced(space, part, "chain", [f"{part}|X", f"{part}|p"], lambda X, p: X * p)
    space.notes.append(f"{stage.name}: sprockets are weighed as plain steel discs at the pitch circle, without hub and "
                       "bore; what a stock wheel weighs its list says")
    space.parts[part] = Chosen(part, "chain", axes, lambda k: [chains.block(k)], only_stage(stage.name),
                               lambda path: path == part, (stage.from_, stage.to))


def _chain_offers(space: Space, stage: RollerChain) -> list[Offer]:
    """Roller chains of the standard series and of lists; bush and light chains only where the file names one."""
    kinds = {row.name: row.text("kind") for row in table("chain_series").rows}
    found = [o for o in space.offers("roller chain") if kinds.get(o.standard.rpartition("-")[0], "roller") == "roller"
             or o.standard == stage.chain.name]
    found += named_offers(space.machine, ChainPart, "chain")
    return sorted(found, key=lambda o: (float(o.values.get("breaking load", NAN)), float(o.values.get("pitch", NAN))))


def _distances(space: Space, stage: RollerChain) -> list[str]:
    """An axis of wanted distances where the file gives a range of them."""
    part, given = stage.path, stage.centres
    if given.doubtful and not stage.links.known and not stage.idlers:
        assert given.low is not None and given.high is not None
        tried = [round(float(a), 4) for a in np.linspace(given.low, given.high, STEPS)]
        space.add(Axis(given.path, part, [f"about {a / MM:.4g} mm apart" for a in tried],
                       [{given.path: a} for a in tried], {f"{part}|wanted": np.array(tried)}))
        return [given.path]
    space.reckon(f"{part}|wanted", [f"{part}|p"], lambda p: np.full(np.shape(p), given.nominal))
    return []


def _chain_columns(space: Space, stage: RollerChain, z: list[str]) -> None:
    part = stage.path
    for i, name in enumerate(z, 1):
        space.reckon(f"{part}|d_{i}", [f"{part}|p", name], roller_chain.pitch_diameter)
    if stage.links.known:
        space.reckon(f"{part}|X", [f"{part}|p"], lambda p: np.full(np.shape(p), stage.links.nominal))
    else:
        space.reckon(f"{part}|X", [f"{part}|wanted", f"{part}|p", *z], lambda a, p, z_1, z_2: roller_chain.links_even(
            roller_chain.links_exact(a, p, np.minimum(z_1, z_2), np.maximum(z_1, z_2))))
    space.reckon(f"{part}|a", [f"{part}|X", f"{part}|p", *z], lambda X, p, z_1, z_2: roller_chain.centre_distance_exact(
        X, np.minimum(z_1, z_2), np.maximum(z_1, z_2), p))
    torque = _pulling(space, stage)
    if space.teeth and not space.shifts:
        space.reckon(f"{part}|T", [f"{name}|z" for name in space.teeth], by_train(space, torque))


def _pulling(space: Space, stage: RollerChain) -> Any:
    """The largest torque at the first sprocket in a case that asks for static strength."""
    asked = [i for i, case in enumerate(space.verdict.solved.cases) if case in chains.PULLED and case != STOPPED]

    def of(solved: Any) -> float:
        carried = np.asarray(solved.carried.get(stage.name, np.full((1, 1), NAN)))
        pulling = np.abs(np.broadcast_to(carried, (len(solved.cases), carried.shape[1])))[asked]
        known = pulling[np.isfinite(pulling)]
        return float(known.max()) if len(known) else NAN

    return of


def _chain_conditions(space: Space, stage: RollerChain, z: list[str]) -> None:
    part, d = stage.path, [f"{stage.path}|d_1", f"{stage.path}|d_2"]
    if not stage.idlers:
        space.ask(f"wheels of {stage.name} stand clear of each other", [f"{part}|wanted", *d, f"{part}|roller"],
                  lambda a, d_1, d_2, roller: a / ((d_1 + d_2) / 2 + roller))
    for shaft, seat, wheel in zip((stage.from_, stage.to), stage.seats, d, strict=True):
        on = space.machine.shafts[shaft]
        known, columns = bores_of(space, on, on.seats[seat].at.nominal)
        if known or columns:
            space.ask(f"sprocket of {stage.name} is larger than its shaft {shaft}", [wheel, f"{part}|roller", *columns],
                      lambda wide, roller, *bars, known=known: larger_than(known)(wide - roller, *bars))
        room = room_across(space.machine, on)
        if np.isfinite(room):
            space.ask(f"sprocket of {stage.name} stays inside the module of {shaft}", [wheel, f"{part}|roller"],
                      lambda wide, roller, room=room: room / (wide + roller))
    required = required_strength(space, part)
    needs = [f"{part}|F_u", *d, *z]
    alone = NAN if space.shifts else _pulling(space, stage)(space.verdict.solved)
    by_teeth = bool(space.teeth) and not space.shifts

    def strong(F_u: Values, d_1: Values, d_2: Values, z_1: Values, z_2: Values, T: Values | float = alone) -> Values:
        small = T * np.minimum(z_1, z_2) / z_1  # the rating takes the pull at the small wheel
        return np.asarray(F_u / roller_chain.pull_from_torque(small, np.minimum(d_1, d_2)) / required)

    space.ask(f"static strength of {stage.name}: pull of the torque alone",
              [*needs, f"{part}|T"] if by_teeth else needs, strong, dear=by_teeth)
    if not stage.links.known and not stage.idlers:
        space.ask(f"even links bring {stage.name} within {CENTRES_WITHIN:.0%} of the distance wanted",
                  [f"{part}|a", f"{part}|wanted"],
                  lambda a, wanted: CENTRES_WITHIN / np.maximum(np.abs(a / wanted - 1), 1e-9))


def required_strength(space: Space, path: str) -> float:
    """Required margin of static strength, as the rating takes it."""
    return next((part.required[r.mode][0] for r in space.verdict.rated if r.mode == "static strength"
                 for part in r.block.parts if part.path == path), 1.0)


def _rim_width(inner: Values, across: Values, strands: Values) -> Values:
    return np.asarray(TOOTH_WIDTH * inner + np.where(strands > 1, (strands - 1) * across, 0.0))


def _chain_mass(X: Values, p: Values, q: Values, d_1: Values, d_2: Values, width: Values) -> Values:
    return np.asarray(X * p * q + _discs(d_1, d_2, width))


# Gears ------------------------------------------------------------------------------------------


def gears(space: Space, stage: GearPair) -> None:
    """Preferred modules, usual faces, and the teeth that are open."""
    part = stage.path
    axes = open_teeth(space, stage)
    modules = [row.number("m_mm", MM) for row in table("modules_preferred").rows]
    if stage.normal_module.known and stage.face.known and not axes:
        faces: list[float] = [f * MM for f in FACES]
    else:
        modules = [stage.normal_module.nominal] if stage.normal_module.known and axes else modules
        faces = [stage.face.nominal] if stage.face.known and axes else [f * MM for f in FACES]
    sizes = sorted((m, b) for m in modules for b in faces if b <= 2 * FACE_OVER_MODULE * m and b >= 4 * m)
    name = f"{part}.module and face"
    space.add(Axis(name, part, [f"module {m / MM:g} mm, face {b / MM:g} mm" for m, b in sizes],
                   [{stage.normal_module.path: m, stage.face.path: b} for m, b in sizes],
                   {f"{part}|m": np.array([m for m, _ in sizes]), f"{part}|b": np.array([b for _, b in sizes])}))
    axes.append(name)
    space.trains.update(axes)
    z = [f"{t.path}|z" for t in stage.teeth]
    for t, column in zip(stage.teeth, z, strict=True):
        if t.path not in space.teeth:
            space.reckon(column, [f"{part}|m"], lambda m, n=t.nominal: np.full(np.shape(m), n))
    lean = float(np.cos(stage.helix.nominal)) if stage.helix.known else 1.0
    for i, column in enumerate(z, 1):
        space.reckon(f"{part}|d_{i}", [f"{part}|m", column], lambda m, n: m * n / lean)
    _gear_conditions(space, stage)
    mass = space.reckon(f"{part}|mass", [f"{part}|d_1", f"{part}|d_2", f"{part}|b"], _discs)
    across = space.reckon(f"{part}|across", [f"{part}|d_1", f"{part}|d_2", f"{part}|m"],
                          lambda d_1, d_2, m: np.maximum(d_1, d_2) + TIP * m)
    for wish, column in {"mass": mass, "width": f"{part}|b", "across": across}.items():
        space.adds(wish, part, "gears", column)
    space.notes.append(f"{stage.name}: gears are weighed as full steel discs at the pitch circle, an upper bound")
    space.parts[part] = Chosen(part, "gears", axes, lambda k: gear_blocks(k, stage), only_stage(stage.name),
                               lambda path: path == part, (stage.from_, stage.to))


def _discs(d_1: Values, d_2: Values, b: Values) -> Values:
    return np.asarray(STEEL_DENSITY * (inertia.ring_volume(d_1, 0.0, b) + inertia.ring_volume(d_2, 0.0, b)))


def _gear_conditions(space: Space, stage: GearPair) -> None:
    part, d = stage.path, [f"{stage.path}|d_1", f"{stage.path}|d_2"]
    if stage.centres.known and not stage.internal:
        a, (least, most) = stage.centres.nominal, SHIFTED

        def reached(d_1: Values, d_2: Values, m: Values) -> Values:
            off = a - (d_1 + d_2) / 2
            return np.asarray(np.where(off >= 0, most * m, -least * m) / np.maximum(np.abs(off), 1e-9))

        space.ask(f"teeth of {stage.name} reach the distance of the axes", [*d, f"{part}|m"], reached)
    for shaft, seat, wheel in zip((stage.from_, stage.to), stage.seats, d, strict=True):
        on = space.machine.shafts[shaft]
        known, columns = bores_of(space, on, on.seats[seat].at.nominal)
        if (known or columns) and not stage.internal:
            space.ask(f"gear of {stage.name} is larger than its shaft {shaft}", [wheel, f"{part}|m", *columns],
                      lambda wide, m, *bars, known=known: larger_than(known)(wide - ROOT * m, *bars))
        room = room_across(space.machine, on)
        if np.isfinite(room):
            space.ask(f"gear of {stage.name} stays inside the module of {shaft}", [wheel, f"{part}|m"],
                      lambda wide, m, room=room: room / (wide + TIP * m))


# Couplings and belts ----------------------------------------------------------------------------


def coupling(space: Space, stage: Coupling) -> None:
    """A coupling of the file's own parts or of lists, with bores that fit where a list tells them."""
    part = stage.path
    offers = [*space.offers("coupling"), *named_offers(space.machine, CouplingPart, "coupling")]
    offers.sort(key=lambda o: float(o.values.get("steady torque", NAN)))
    axis = offer_axis(space, stage.listing.path, part, f"coupling {stage.name}", offers,
                      [{stage.listing.path: space.named(o, "coupling")} for o in offers],
                      {"least bore": "least bore", "most bore": "greatest bore", "outside": "outside",
                       "width": "width"})
    for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=True):
        on = space.machine.shafts[shaft]
        known, columns = bores_of(space, on, on.seats[seat].at.nominal)
        if known or columns:
            space.ask(f"coupling {stage.name} can be bored for {shaft}", [f"{part}|least bore", f"{part}|most bore",
                                                                        *columns], _bored(known))
    space.trains.add(axis.name)
    for wish in ("mass", "price", "lead time", "distance"):
        space.adds(wish, part, "coupling", f"{part}|offered {wish}")
    for wish, column in {"width": "width", "across": "outside"}.items():
        space.adds(wish, part, "coupling", f"{part}|{column}")
    space.parts[part] = Chosen(part, "coupling", [axis.name], lambda k: [couplings.block(k)], only_stage(stage.name),
                               lambda path: path == part, (stage.from_, stage.to))


def _bored(known: list[float]) -> Any:
    def share(least: Values, most: Values, *bars: Values) -> Values:
        found: Any = np.inf
        for d in (*known, *bars):
            found = np.fmin(found, np.fmin(most / d, d / least))
        return np.where(np.isinf(found), NAN, np.minimum(found, np.where(found >= 1, found, 0.999)))

    return share


def belt(space: Space, stage: SynchronousBelt | VBelt) -> None:
    """The profiles or sections of the list, with pulleys and width as given."""
    part = stage.path
    listed = table("v_belts" if isinstance(stage, VBelt) else "synchronous_belts").names
    space.add(Axis(stage.belt.path, part, listed, [{stage.belt.path: name} for name in listed], {
        f"{part}|place": np.arange(len(listed), dtype=float)}))
    space.trains.add(stage.belt.path)
    for wish in ("mass", "price", "width"):
        space.adds(wish, part, "belt", space.reckon(f"{part}|{wish}", [f"{part}|place"],
                                                    lambda at: np.full(np.shape(at), NAN)))
    space.adds("size", part, "belt", f"{part}|place")

    def gathered(k: Context) -> list[Block]:
        return list(belts.blocks(k))

    space.parts[part] = Chosen(part, "belt", [stage.belt.path], gathered, only_stage(stage.name),
                               lambda path: path == part, (stage.from_, stage.to))

