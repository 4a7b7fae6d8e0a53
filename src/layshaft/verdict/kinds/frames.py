"""Beams and posts of frames: what bearings press on them in every case, and the module's own weight.

Every load counts square to the beam, over the height of its section and in one sense, whatever side it comes from. That
is on the safe side but for one thing: a section laid upright that is pushed from the side bends over its width.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from layshaft.elements import frame_beam, frame_column
from layshaft.machine.kinds import BeamMember, ColumnMember, Member, SectionPart
from layshaft.machine.kinds.frames import Carried
from layshaft.machine.listings import resolve
from layshaft.machine.schema import Given
from layshaft.mechanics import spans
from layshaft.mechanics.profiles import Profile, profile
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.bearing_pairs import axial_on
from layshaft.verdict.rows import Block, Part, with_required

STEADY = (RUNNING, PEAK, WINDING, MODULE_OFF)
BEAM = {"frame bending": "S_required", "frame sag": "S_w_required", "frame slope": "S_t_required",
        "lifting": "S_L_required"}
BEAM_MODES = {"frame bending": CASES, "frame sag": STEADY, "frame slope": STEADY, "lifting": ()}
POST = {"crushing": "S_required", "buckling": "S_k_required"}
SOMEBODY = "people near the machine, as the file says of this member"
PLACES = np.linspace(0, 1, 41)
"""Places along a beam at which it is looked at, besides those of its loads; as shares of the span."""

UNKNOWN = Profile(NAN, NAN, NAN, NAN)


def modes_of(m: Member) -> Iterator[str]:
    """Ways in which a member can fail; slope only under bearings, lifting only where it is lifted by it."""
    if isinstance(m, ColumnMember):
        yield from POST
        return
    assert isinstance(m, BeamMember)
    yield from ("frame bending", "frame sag")
    if any(item.shaft for item in m.carries.values()):
        yield "frame slope"
    if m.lift_in.state != "missing" or m.lift_shock.state != "missing":
        yield "lifting"


def blocks(c: Context) -> list[Block]:
    """Beams, and posts."""
    members = c.machine.frames
    if not members:
        return []
    beams = Block("beam of a frame", frame_beam.rate, frame_beam.BeamInputs, BEAM_MODES, required=BEAM, applies={
        mode: _has(members, mode) for mode in ("frame slope", "lifting")})
    posts = Block("post of a frame", frame_column.rate, frame_column.ColumnInputs, dict.fromkeys(POST, CASES),
                  required=POST)
    for m in members.values():
        if isinstance(m, BeamMember):
            beams.parts.append(_beam(c, m))
        elif isinstance(m, ColumnMember):
            posts.parts.append(_post(c, m))
    return [beams, posts]


def _has(members: Any, mode: str) -> Callable[[Part], bool]:
    paths = {m.path for m in members.values() if mode in modes_of(m)}
    return lambda part: part.path in paths


# Loads -----------------------------------------------------------------------------------------


def _pull(c: Context) -> Any:
    """Pull of a kilogram in every case, (cases, samples): on the road the shock."""
    g = c.machine.gravity.value
    return np.stack([np.broadcast_to(g if column.shock is None else column.shock, (c.solved.samples,))
                     for column in c.solved.columns])


def _force(c: Context, item: Carried, count: Any) -> Any:
    """What one thing presses on one member, (cases, samples)."""
    if not item.shaft:
        return np.broadcast_to(item.force.value / count, (len(c.solved.columns), c.solved.samples))
    loads = c.solved.loads[item.shaft]
    if len(loads.reaction) != len(loads.supports):
        return np.full((len(c.solved.columns), c.solved.samples), NAN)
    r = loads.reaction[loads.supports.index(item.seat)]
    pair = axial_on(c, c.machine.shafts[item.shaft], item.seat)
    along = loads.thrust if pair is None else pair[0]
    return np.sqrt(r[0] ** 2 + r[1] ** 2 + along**2) / count


def _spread(c: Context, m: Member) -> Any:
    """Share of the module's mass on one member."""
    return m.share.value * c.machine.modules[m.module].mass.value / m.count.value


def _lacking(*givens: Given) -> Source | None:
    """The first of several values that the file lacks; None where it has them all."""
    return next((given.origin for given in givens if not given.known), None)


def _not_given(c: Context, m: Member, *needed: Given) -> Source | None:
    """What the loads of a member need and the file lacks."""
    places = (item.at for item in m.carries.values()) if isinstance(m, BeamMember) else ()
    stated = (item.force for item in m.carries.values() if not item.shaft)
    return _lacking(c.machine.modules[m.module].mass, m.share, m.count, *needed, *places, *stated)


def _hurts(c: Context, m: Member) -> str:
    at_risk = next((found for item in m.carries.values() if item.shaft
                    and (found := c.hurts(f"shafts.{item.shaft}.seats.{item.seat}"))), "")
    return at_risk or (SOMEBODY if m.can_hurt else "")


def _section(c: Context, m: Member, *, upright: bool | None) -> tuple[Profile, Source]:
    """The section as it is laid; not known where a section with a larger side is not told how it lies."""
    own = own_part(c.machine, m.section)
    if isinstance(own, SectionPart):
        return Profile(own.height.nominal, own.area.nominal, own.second_moment.nominal,
                       own.least_second_moment.nominal), own.second_moment.origin
    size = resolve(c.machine, "section", m.section.name) if m.section.known else None
    if size is None or size.row is None:
        return UNKNOWN, Source(f"{m.section.path}: not given", obtained="given")
    row = size.row
    if upright is None and row.text("h_mm") != row.text("b_mm"):
        return UNKNOWN, Source(f"{m.path}.laid: not given, and {row.name} is not square", obtained="given")
    source = Source(f"{row.source.work}", f"{row.name}, from its nominal sizes", row.source.obtained)
    return profile(row, upright=upright is not False), source


# Members ---------------------------------------------------------------------------------------


def _beam(c: Context, m: BeamMember) -> Part:
    p, listed = _section(c, m, upright={"upright": True, "flat": False}.get(m.laid))
    M, w, theta = _bent(c, m, p)
    gravity = c.machine.gravity.value
    own = m.density.value * p.A
    lifted = spans.lifting_moment(own, c.machine.modules[m.module].mass.value / m.count.value, m.span.value, gravity,
                                  m.lift_shock.value, m.lift_in.value)
    lack = _not_given(c, m, m.span, m.density) or (listed if p is UNKNOWN else None)
    demand = lack or Source("sum over bearings it carries, stated forces, own weight and its share of the module",
                            f"beam {m.held}", "derived")
    bent = lack or (demand if m.modulus.known else m.modulus.origin)
    hung = _lacking(c.machine.modules[m.module].mass, m.count, m.span, m.density, m.lift_in, m.lift_shock) or Source(
        "whole module on the members it is lifted by, where along them it bends most", "hung at two points", "derived")
    values: dict[str, Any] = {
        "M": M, "w": w, "theta": theta, "M_L": lifted, "I": p.I, "h": p.h, "R_e": m.yield_strength.value,
        "w_zul": m.allowed_sag.value, "theta_zul": m.allowed_slope.value,
    }
    origins = {
        "M": demand, "w": bent, "theta": bent, "M_L": hung, "I": listed, "h": listed,
        "R_e": m.yield_strength.origin, "w_zul": m.allowed_sag.origin, "theta_zul": m.allowed_slope.origin,
    }
    known = {symbol for symbol, source in (("M", demand), ("w", bent), ("theta", bent)) if source.obtained == "derived"}
    part = Part(m.path, "", values, origins, _hurts(c, m), frozenset(known), content=_content(c, m))
    return with_required(part, c.machine.margins or {}, BEAM)


def _content(c: Context, m: Member) -> tuple[str, ...]:
    size = resolve(c.machine, "section", m.section.name) if m.section.known else None
    return (size.row.content,) if size is not None and size.row is not None else ()


def _bent(c: Context, m: BeamMember, p: Profile) -> tuple[Any, Any, Any]:
    """Greatest moment and sag, and the greatest slope at a bearing, (cases, samples)."""
    L, E = m.span.nominal, m.modulus.value
    at = [item.at.nominal for item in m.carries.values()]
    x = np.concatenate([np.array(at, float), PLACES * L])[:, None, None]
    q = spans.even_load(m.density.value * p.A, _spread(c, m), m.span.value, _pull(c))
    forces = [_force(c, item, m.count.value) for item in m.carries.values()]
    M: Any
    w: Any
    theta: Any
    if m.held == "at one end":
        M, w, theta = (spans.even_moment_held(q, L, x), spans.even_sag_held(q, L, x, E, p.I),
                       spans.even_slope_held(q, L, x, E, p.I))
        for F, a in zip(forces, at, strict=True):
            M = M + spans.moment_held(F, a, x)
            w = w + spans.sag_held(F, a, x, E, p.I)
            theta = theta + spans.slope_held(F, a, x, E, p.I)
    else:
        M, w, theta = (spans.even_moment_between(q, L, x), spans.even_sag_between(q, L, x, E, p.I),
                       spans.even_slope_between(q, L, x, E, p.I))
        for F, a in zip(forces, at, strict=True):
            M = M + spans.moment_between(F, L, a, x)
            w = w + spans.sag_between(F, L, a, x, E, p.I)
            theta = theta + spans.slope_between(F, L, a, x, E, p.I)
    seats = [i for i, item in enumerate(m.carries.values()) if item.shaft]
    steepest = np.abs(theta[seats]).max(axis=0) if seats else np.zeros(theta.shape[1:])
    return M.max(axis=0), w.max(axis=0), steepest


def _post(c: Context, m: ColumnMember) -> Part:
    p, listed = _section(c, m, upright=True)
    N = _spread(c, m) * _pull(c)
    for item in m.carries.values():
        N = N + _force(c, item, m.count.value)
    values: dict[str, Any] = {
        "N": N, "L": m.length.value, "k": m.buckling_factor.value, "A": p.A, "I": p.I_least, "E": m.modulus.value,
        "R_e": m.yield_strength.value,
    }
    lack = _not_given(c, m)
    demand = lack or Source("sum over bearings it carries, stated forces and its share of the module", "", "derived")
    origins = {
        "N": demand, "L": m.length.origin, "k": m.buckling_factor.origin, "A": listed, "I": listed,
        "E": m.modulus.origin, "R_e": m.yield_strength.origin,
    }
    part = Part(m.path, "", values, origins, _hurts(c, m), frozenset() if lack else frozenset({"N"}),
                content=_content(c, m))
    return with_required(part, c.machine.margins or {}, POST)
