"""Hubs held without a key or beside one: set screws, clamps, cross pins, press fits, taper clamps.

Each kind is rated alone. A key on the same seat is rated alone too: the torques of two joints never add, since
the stiffer one takes all until it slips.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np

from layshaft.elements import clamp_hub, cross_pin, press_fit, set_screws, taper_clamp
from layshaft.listings.tables import table
from layshaft.machine.kinds import (
    BevelPair,
    Clamp,
    CrossPin,
    GearPair,
    HeldHub,
    PressFit,
    Pull,
    SetScrews,
    TaperClamp,
    TaperClampPart,
    Worm,
)
from layshaft.machine.listings import resolve
from layshaft.machine.model import Seat, Shaft
from layshaft.machine.schema import Given
from layshaft.mechanics import fits, threads
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, POUND_FORCE
from layshaft.train.cases import CASES, TRANSIT
from layshaft.train.place import diameters_at
from layshaft.train.sizes import own_part
from layshaft.train.stages import UP, axis
from layshaft.verdict.context import NAN, Context, none_given
from layshaft.verdict.kinds.keys import NOTHING
from layshaft.verdict.rows import Block, Part, with_required

ASKED = tuple(case for case in CASES if case != TRANSIT)
MM, GPA, MPA, MICRO = 1e-3, 1e9, 1e6, 1e-6
ROOM = Source("ISO 1, temperature that sizes hold at", "20 degC", "second text")
STEEL = "steel"
LEVEL = 1e-9
"""Share of a weight that lies along a shaft below which it counts as level."""

SET_SCREWS = {"set screw slip": "S_required"}
CLAMP = {"clamp slip": "S_slip", "clamp screw load": "S_screw", "clamp pressure": "S_crush"}
CROSS_PIN = {"cross pin shear": "S_shear", "cross pin in hub": "S_crush", "cross pin in shaft": "S_crush"}
PRESS_FIT = {"press fit slip": "S_slip", "press fit hub yield": "S_yield", "press fit shaft yield": "S_yield"}
TAPER_CLAMP = {"taper clamp slip": "S_slip", "taper clamp hub yield": "S_yield"}
ALWAYS = frozenset({"clamp screw load", "clamp pressure", "taper clamp hub yield"})
"""Modes that do not depend on the case."""

Found = dict[str, tuple[Any, Source]]


class Kind(NamedTuple):
    """Room, inputs, modes with the input that carries their required margin, and what gathers the inputs."""

    words: str
    rate: Any
    inputs: Any
    required: Mapping[str, str]
    gather: Any


def blocks(c: Context) -> list[Block]:
    """One block a kind of hub that the machine has."""
    held: dict[type, Block] = {}
    for shaft in c.shafts:
        for name, seat in shaft.seats.items():
            if isinstance(seat.hub, HeldHub):
                kind = KINDS[type(seat.hub)]
                block = held.setdefault(type(seat.hub), _block(kind))
                block.parts.append(_part(c, shaft, name, seat, kind))
    return list(held.values())


def modes_of(hub: Any) -> tuple[str, ...]:
    """Failure modes of a hub, whether or not its size is chosen."""
    return tuple(KINDS[type(hub)].required)


def _block(kind: Kind) -> Block:
    modes = {mode: () if mode in ALWAYS else ASKED for mode in kind.required}
    return Block(kind.words, kind.rate, kind.inputs, modes, required=kind.required)


def _part(c: Context, shaft: Shaft, name: str, seat: Seat, kind: Kind) -> Part:
    d, bar = diameters_at(shaft, seat.at.nominal)
    torque = c.solved.seat_torque[shaft.name].get(name)
    demand = c.from_train(shaft.name, f"torque at {name}") if torque is not None else NOTHING
    hub: Any = seat.hub
    along = _along(c, shaft, name) if hub.axial_force.state == "missing" else _given(hub.axial_force)
    found: Found = {"T": (np.abs(torque) if torque is not None else NAN, demand), "F_a": along}
    content: list[str] = []
    if kind.inputs is not taper_clamp.TaperClampInputs:
        found["d"] = d, Source(f"{shaft.path}.sections", obtained="given")
    found |= kind.gather(c, shaft, seat, (d, bar), content)
    not_chosen = not np.isfinite(d) or any(leaf.state == "open" for leaf in hub.leaves)
    values, origins = {k: v for k, (v, _) in found.items()}, {k: s for k, (_, s) in found.items()}
    demands = ({"T"} if torque is not None else set()) | ({"F_a"} if hub.axial_force.state == "missing" else set())
    part = Part(seat.hub.path, "", values, origins, c.hurts(seat.path), frozenset(demands | ({"omega"} & set(values))),
                not_chosen=not_chosen, content=tuple(content))
    return with_required(part, c.machine.margins or {}, kind.required)


def _along(c: Context, shaft: Shaft, name: str) -> tuple[Any, Source]:
    """What the train pushes along the shaft at this seat: thrust of teeth, stated pulls, weight on a leaning shaft.

    Chains, belts and spur teeth pull square to it, also while nobody knows in which direction.
    """
    loads = c.solved.loads[shaft.name]
    push = np.abs(np.tensordot(axis(shaft), loads.force[loads.at(name)], axes=1))
    square = abs(axis(shaft) @ UP) < LEVEL and not _thrusts(c, shaft, name)
    return (np.where(np.isnan(push) & square, 0.0, push),
            c.from_train(shaft.name, f"force along the shaft at {name}, {shaft.path}.seats.{name}.hub states none"))


def _thrusts(c: Context, shaft: Shaft, name: str) -> bool:
    """True where something on this seat can push along the shaft."""
    on_it = [s for s in c.machine.stages.values() if (shaft.name, name) in zip((s.from_, s.to), s.seats, strict=True)]
    pulled = any(isinstance(p, Pull) and (p.shaft, p.seat) == (shaft.name, name) for p in c.machine.loads.values())
    return pulled or any(isinstance(s, BevelPair | Worm) or (
        isinstance(s, GearPair) and not s.double and s.helix.known and s.helix.nominal != 0) for s in on_it)


def _given(given: Given) -> tuple[Any, Source]:
    return given.value, given.origin


def _none(given: Given, what: str) -> tuple[Any, Source]:
    """A given that counts as none where the file has none."""
    return _given(given) if given.state != "missing" else (0.0, none_given(given.path, what))


def _steel(c: Context, choice: Any, size: float, content: list[str]) -> tuple[Any, Source]:
    found = c.steel(choice, size)
    content += found.content
    return found.R_e, found.source


def _hub_steel(c: Context, seat: Seat, d: float, content: list[str]) -> tuple[Any, Source]:
    """Yield strength of the hub's steel, in a blank of its own size."""
    outside = getattr(seat.hub, "hub_diameter", None)
    size = outside.nominal if outside is not None and outside.known else 2 * d
    return _steel(c, seat.hub_steel, size, content)


def _set_screws(c: Context, _shaft: Shaft, seat: Seat, _d: tuple[float, float], content: list[str]) -> Found:
    hub: Any = seat.hub
    size = resolve(c.machine, "set screw", hub.size.name) if hub.size.known else None
    row = size.row if size else None
    point = table("set_screw_points").get(hub.point) if hub.point else None
    nothing = Source(f"{hub.size.path}: not chosen yet" if hub.size.state == "open" else f"{hub.size.path}: not given",
                     obtained="given")
    listed = row.source if row else nothing
    content += [r.content for r in (row, point) if r]
    return {
        "d_s": (row.number("d_mm", MM) if row else NAN, listed),
        "F_h": (row.number("holding_lbf", POUND_FORCE) if row else NAN, listed),
        "T_s": (row.number("seating_lbf_in", POUND_FORCE * INCH) if row else NAN, listed),
        "T_A": _given(hub.seating_torque), "i": _given(hub.screws),
        "c_p": (point.number("factor") if point else NAN, point.source if point else Source(
            f"{hub.path}.point: not given", obtained="given")),
    }


def _clamp(c: Context, shaft: Shaft, seat: Seat, d: tuple[float, float], content: list[str]) -> Found:
    hub: Any = seat.hub
    row = threads.thread(hub.screw.name) if hub.screw.known else None
    none = Source(f"{hub.screw.path}: not given", obtained="given")
    size = row.number("d_mm", MM) if row else NAN
    strength = threads.property_class(hub.property_class, size) if hub.property_class else None
    content += [r.content for r in (row, strength) if r]
    even, spread = _spread(seat, d[0])
    found: Found = {
        "L": _given(hub.length), "mu": _given(hub.friction), "z": _given(hub.screws), "T_A": _given(
            hub.tightening_torque), "K": _given(hub.nut_factor), "s": _given(hub.scatter),
        "c": (math.pi / 2 if even else 1.0, spread),
        "d_b": (size, row.source if row else none), "P": (row.number("P_mm", MM) if row else NAN,
                                                           row.source if row else none),
        "S_p": (strength.number("proof_MPa", MPA) if strength else NAN, strength.source if strength else Source(
            f"{hub.path}.property class: {hub.property_class or 'not given'}", obtained="given")),
        "R_e_shaft": _steel(c, shaft.material, d[1], content), "R_e_hub": _hub_steel(c, seat, d[0], content),
    }
    halves = 1.0, Source("two halves: no hinge, a lever of one", obtained="derived")
    slit = hub.form == "slit"
    return found | {"l_s": _given(hub.hinge_to_screws) if slit else halves,
                    "l_d": _given(hub.hinge_to_shaft) if slit else halves}


def _spread(seat: Seat, d: float) -> tuple[bool, Source]:
    """Whether a clamp presses evenly: only where the file says so, and its fit leaves no play all the same."""
    hub: Any = seat.hub
    words = hub.pressure or "not given, two lines count: the least it can be"
    even = hub.pressure == "even"
    if even and seat.fit and np.isfinite(d) and fits.fit_of(round(d, 7), seat.fit).kind == "clearance":
        even, words = False, f"even, but {seat.fit} leaves play: two lines count"
    return even, Source(f"{hub.path}.pressure: {words}", obtained="given")


def _cross_pin(c: Context, shaft: Shaft, seat: Seat, d: tuple[float, float], content: list[str]) -> Found:
    hub: Any = seat.hub
    return {
        "d_p": _given(hub.diameter), "D": _given(hub.hub_diameter),
        "R_e_pin": _steel(c, hub.pin_steel, hub.diameter.nominal, content),
        "R_e_shaft": _steel(c, shaft.material, d[1], content), "R_e_hub": _hub_steel(c, seat, d[0], content),
    }


def _press_fit(c: Context, shaft: Shaft, seat: Seat, d: tuple[float, float], content: list[str]) -> Found:
    hub: Any = seat.hub
    venue = c.machine.venue
    warm, cold = (own if own.known else venue_s for own, venue_s in (
        (hub.warmest, venue.warmest), (hub.coldest, venue.coldest)))
    R_e_h = _given(hub.hub_yield_strength) if hub.hub_yield_strength.known else _hub_steel(c, seat, d[0], content)
    return _deviations(seat, d[0]) | _constants("s", STEEL, content) | _constants(
        "h", hub.hub_material or (STEEL if seat.hub_steel.known else ""), content) | {
        "omega": (c.solved.speed[shaft.name], c.from_train(shaft.name, "speed of the shaft")),
        "D": _given(hub.hub_diameter), "L": _given(hub.length), "d_i": _none(hub.bore, "bore"),
        "Rz_s": _given(hub.roughness[0]), "Rz_h": _given(hub.roughness[1]), "mu": _given(hub.friction),
        "theta_h": _given(warm), "theta_c": _given(cold), "theta_0": (20.0, ROOM),
        "R_e_s": _steel(c, shaft.material, d[1], content), "R_e_h": R_e_h,
    }


def _deviations(seat: Seat, d: float) -> Found:
    """Of bore and shaft: by the seat's fit, or by a measured interference on a bore that counts as nominal."""
    hub: Any = seat.hub
    if hub.interference.state != "missing":
        u = hub.interference
        least, most = (u.low, u.high) if u.doubtful else (u.value, u.value)
        zero = Source("measured: counted from the hole as it is", obtained="derived")
        return {"ES": (0.0, zero), "EI": (0.0, zero), "es": (most, u.origin), "ei": (least, u.origin)}
    if not seat.fit or not np.isfinite(d):
        none = Source(f"{seat.path}.fit: {'not given' if not seat.fit else 'no diameter yet'}", obtained="given")
        return dict.fromkeys(("ES", "EI", "es", "ei"), (NAN, none))
    fit = fits.fit_of(round(d, 7), seat.fit)
    return {"ES": (fit.hole.upper, fit.hole.source), "EI": (fit.hole.lower, fit.hole.source),
            "es": (fit.shaft.upper, fit.shaft.source), "ei": (fit.shaft.lower, fit.shaft.source)}


def _constants(which: str, material: str, content: list[str]) -> Found:
    row = table("hub_materials").get(material) if material else None
    content += [row.content] if row else []
    source = row.source if row else Source("what the hub is made of is not given", obtained="given")
    columns = {"E": ("E_GPa", GPA), "nu": ("nu", 1.0), "rho": ("rho_kg_m3", 1.0), "alpha": ("alpha_um_m_K", MICRO)}
    return {f"{name}_{which}": (row.number(*column) if row else NAN, source) for name, column in columns.items()}


def _taper_clamp(c: Context, _shaft: Shaft, seat: Seat, d: tuple[float, float], content: list[str]) -> Found:
    hub: Any = seat.hub
    part = own_part(c.machine, hub.listing)
    found: Found = {"D": _given(hub.hub_diameter), "R_e_hub": _hub_steel(c, seat, d[0], content)}
    if isinstance(part, TaperClampPart):
        content.append(f"{part.path}|{part.read_in}")
        return found | {"T_l": _given(part.torque), "F_l": _given(part.axial_force), "p": _given(part.hub_pressure),
                        "d_o": _given(part.outside)}
    none = Source(f"{hub.listing.path}: {'not chosen yet' if hub.listing.state == 'open' else 'not given'}",
                  obtained="given")
    return found | dict.fromkeys(("T_l", "F_l", "p", "d_o"), (NAN, none))


KINDS: dict[type, Kind] = {
    SetScrews: Kind("set screws", set_screws.rate, set_screws.SetScrewInputs, SET_SCREWS, _set_screws),
    Clamp: Kind("clamp hub", clamp_hub.rate, clamp_hub.ClampHubInputs, CLAMP, _clamp),
    CrossPin: Kind("cross pin", cross_pin.rate, cross_pin.CrossPinInputs, CROSS_PIN, _cross_pin),
    PressFit: Kind("press fit", press_fit.rate, press_fit.PressFitInputs, PRESS_FIT, _press_fit),
    TaperClamp: Kind("taper clamp", taper_clamp.rate, taper_clamp.TaperClampInputs, TAPER_CLAMP, _taper_clamp),
}
