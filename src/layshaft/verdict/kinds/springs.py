"""Springs: the stated load of each to its room. Nothing of the train acts on them, so no case is asked."""

from __future__ import annotations

import functools
from typing import Any

from layshaft.elements import spiral_spring, torsion_spring
from layshaft.elements.helical_spring import CompressionInputs, ExtensionInputs, compression, extension
from layshaft.machine.kinds import CoilSpring, CompressionSpring, ExtensionSpring, SpiralSpring, Spring, TorsionSpring
from layshaft.mechanics.spring_wire import SpringWire, practice, spring_wire
from layshaft.trace.source import Source
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

MODES: dict[type, tuple[str, ...]] = {
    CompressionSpring: ("spring set", "set when solid", "coil clash", "spring buckling", "spring fatigue",
                        "spring surge"),
    ExtensionSpring: ("spring set", "hook bending", "hook torsion", "spring fatigue", "hook fatigue",
                      "hook torsion fatigue"),
    TorsionSpring: ("spring set", "pin clearance", "spring fatigue"),
    SpiralSpring: ("spring set", "torque at the end", "room in the drum"),
}
ROOMS: dict[type, tuple[str, Any, Any]] = {
    CompressionSpring: ("compression spring", compression.rate, CompressionInputs),
    ExtensionSpring: ("extension spring", extension.rate, ExtensionInputs),
    TorsionSpring: ("torsion spring", torsion_spring.rate, torsion_spring.TorsionSpringInputs),
    SpiralSpring: ("spiral spring", spiral_spring.rate, spiral_spring.SpiralSpringInputs),
}
HELD = {"flat and parallel": "ends flat and parallel", "one flat one pivoted": "one end flat one pivoted",
        "both pivoted": "both ends pivoted", "one free": "one end free"}
OUTER = {"clamped": 1.0, "on a pin": 2.0}
SOMEBODY = "people near the machine, as the file says of this spring"
STEEL = Source("density of spring steel, handbooks", "", "from memory")
DENSITY = 7850.0
Numbers = tuple[dict[str, Any], dict[str, Source]]


def blocks(c: Context) -> list[Block]:
    """One block a kind of spring that the machine has."""
    found: list[Block] = []
    for kind, (word, room, inputs) in ROOMS.items():
        springs: dict[str, Any] = c.machine.springs or {}
        held: list[Any] = [s for s in springs.values() if type(s) is kind]
        if held:
            names = dict.fromkeys(MODES[kind], "S_required")
            block = Block(word, room, inputs, dict.fromkeys(names, ()), required=names)
            block.parts = [_part(c, s) for s in held]
            worked = frozenset(s.path for s in held if "spring surge" in modes_of(s))
            block.applies = {"spring surge": functools.partial(_worked, worked)}
            found.append(block)
    return found


def modes_of(spring: Spring) -> tuple[str, ...]:
    """Failure modes of one spring: a wave in the coil is asked of one that is worked on and on."""
    modes = MODES[type(spring)]
    still = isinstance(spring, CompressionSpring) and not spring.rate_of_use.known
    return tuple(mode for mode in modes if not (still and mode == "spring surge"))


def _worked(paths: frozenset[str], part: Part) -> bool:
    return part.path in paths


def _part(c: Context, s: Spring) -> Part:
    values: dict[str, Any] = {}
    origins: dict[str, Source] = {}
    content: tuple[str, ...] = ()
    chosen = True
    if isinstance(s, CoilSpring):
        wire = spring_wire(s.wire.name, s.wire_diameter.nominal) if s.wire.known else None
        content, chosen = (wire.row_content if wire else ()), wire is not None
        for more, said in (_coil(s, wire), _FIELDS[type(s)](s, wire)):
            values |= more
            origins |= said
    elif isinstance(s, SpiralSpring):
        values, origins = _spiral(s)
    part = Part(s.path, "", values, origins, SOMEBODY if s.can_hurt else "", not_chosen=not chosen, content=content)
    return with_required(part, c.machine.margins or {}, dict.fromkeys(MODES[type(s)], "S_required"))


def _numbers(**given: Any) -> Numbers:
    """Values and origins of givens of the file."""
    return {k: g.value for k, g in given.items()}, {k: g.origin for k, g in given.items()}


def _coil(s: CoilSpring, wire: SpringWire | None) -> Numbers:
    """Wire and coil; strengths as its table has them."""
    values, origins = _numbers(d=s.wire_diameter, D=s.mean_diameter)
    listed = wire.source if wire else Source(f"{s.wire.path}: not chosen yet", obtained="given")
    return values | {"A": wire.A if wire else NAN, "m": wire.m if wire else NAN}, origins | {"A": listed, "m": listed}


def _of_wire(wire: SpringWire | None, **fields: str) -> Numbers:
    listed = wire.source if wire else Source("wire not chosen yet", obtained="given")
    return ({k: getattr(wire, f) if wire else NAN for k, f in fields.items()}, dict.fromkeys(fields, listed))


def _tests(s: CoilSpring) -> Numbers:
    """Strengths of the fatigue tests, peened or not."""
    peened = " peened" if s.peened else ""
    (S_a, source), (S_m, _) = practice(f"alternating strength{peened}"), practice(f"mean strength{peened}")
    return {"S_a": S_a, "S_m": S_m}, {"S_a": source, "S_m": source}


def _joined(*numbers: Numbers) -> Numbers:
    values: dict[str, Any] = {}
    origins: dict[str, Source] = {}
    for more, said in numbers:
        values |= more
        origins |= said
    return values, origins


def _compression(s: CompressionSpring, wire: SpringWire | None) -> Numbers:
    alpha, ends = practice(HELD[s.ends]) if s.ends else (NAN, Source(f"{s.path}.ends: not given", obtained="given"))
    return _joined(
        _numbers(F=s.force, F_least=s.least_force, N_a=s.active_turns, N_t=s.turns, L_0=s.free_length,
                 omega=s.rate_of_use),
        _of_wire(wire, G="G", share="torsion"), _tests(s),
        ({"alpha": alpha, "rho": DENSITY}, {"alpha": ends, "rho": STEEL}))


def _extension(s: ExtensionSpring, wire: SpringWire | None) -> Numbers:
    return _joined(
        _numbers(F=s.force, F_least=s.least_force, F_i=s.initial_tension, N_b=s.turns, r_1=s.hook_radius,
                 r_2=s.bend_radius),
        _of_wire(wire, E="E", G="G", share="torsion", share_hook="hook_bending", share_bend="hook_torsion"), _tests(s))


def _torsion(s: TorsionSpring, wire: SpringWire | None) -> Numbers:
    share, source = practice(f"bending fatigue{' peened' if s.peened else ''}")
    return _joined(
        _numbers(M=s.torque, M_least=s.least_torque, N_b=s.turns, l_1=s.legs[0], l_2=s.legs[1], D_p=s.pin),
        _of_wire(wire, E="E", share="bending"), ({"share_f": share}, {"share_f": source}))


def _spiral(s: SpiralSpring) -> Numbers:
    end = Source(f"{s.path}.outer end: {s.outer_end or 'not given'}", obtained="given")
    return _joined(
        _numbers(N=s.wound, N_run=s.given_back, M_least=s.torque_at_the_end, b=s.strip[0], t=s.strip[1], l=s.length,
                 E=s.modulus, S_y=s.yield_strength, D_d=s.drum, D_a=s.arbor, fill=s.fill),
        ({"c_e": OUTER.get(s.outer_end, NAN)}, {"c_e": end}))


_FIELDS: dict[type, Any] = {CompressionSpring: _compression, ExtensionSpring: _extension, TorsionSpring: _torsion}
