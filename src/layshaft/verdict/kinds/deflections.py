"""How far a shaft gives way under its wheels, and what bending leaves a coupling."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.elements import shaft as room
from layshaft.listings.tables import Row, table
from layshaft.machine.kinds import Coupling, CouplingPart, GearPair, RollerChain
from layshaft.machine.model import Shaft
from layshaft.machine.schema import Given
from layshaft.trace.source import Source
from layshaft.train.forces import ShaftLoads
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.shafts import STEADY, slope_part
from layshaft.verdict.rows import Block, Part, with_required

MESH_REQUIRED = {"deflection at mesh": "S_required"}
BEND_REQUIRED = {"slope at coupling": "S_required"}
GIVE_REQUIRED = {"deflection at coupling": "S_required"}
LEAST_SHARE = 1e-6
"""Share of a listed misalignment that still counts as left where lining up takes it all."""

MILLI = 1e-3


# Wheels ----------------------------------------------------------------------------------------


def mesh_deflections(c: Context) -> Block:
    """Deflection at every spur gear and sprocket."""
    found = Block("deflection", room.rate_deflection, room.DeflectionInputs, {"deflection at mesh": STEADY},
                  required=MESH_REQUIRED)
    for stage in c.machine.stages.values():
        if isinstance(stage, (GearPair, RollerChain)):
            for name, seat in _ends(c, stage):
                shaft = c.machine.shafts[name]
                limit, source = _gear_limit(stage) if isinstance(stage, GearPair) else _sprocket_limit(
                    shaft, c.solved.loads[name], seat)
                found.parts.append(_part(c, shaft, seat, limit, source, MESH_REQUIRED))
    return found


def _gear_limit(stage: GearPair) -> tuple[float, Source]:
    """Larger teeth stay in mesh through a larger deflection."""
    m = stage.normal_module.nominal
    for row in table("deflection_limits").rows:
        if row.text("wheel") == "spur gear" and m > row.number("module_over_mm", MILLI):
            return row.number("limit_mm", MILLI), row.source
    if not np.isfinite(m):
        return NAN, stage.normal_module.origin
    return NAN, Source(f"a module of {m / MILLI:g} mm is finer than the table deflection_limits goes", obtained="given")


def _sprocket_limit(shaft: Shaft, loads: ShaftLoads, seat: str) -> tuple[float, Source]:
    """A share of the distance of the two bearings beside the sprocket, or nearest to an overhung one."""
    row: Row = table("deflection_limits")["chain sprocket"]
    at, places = shaft.seats[seat].at.nominal, sorted(shaft.seats[name].at.nominal for name in loads.supports)
    right = min(max(int(np.searchsorted(places, at)), 1), len(places) - 1)
    span = places[right] - places[right - 1] if len(places) > 1 else NAN
    words = f"{row.number('share_of_span'):.2g} of the {span / MILLI:g} mm between its bearings"
    return row.number("share_of_span") * span, Source(f"usual stiffness of shafts, {words}",
                                                      "table deflection_limits", row.source.obtained)


def _part(c: Context, shaft: Shaft, seat: str, limit: float, source: Source, names: dict[str, str]) -> Part:
    loads = c.solved.loads[shaft.name]
    known = len(loads.deflection) == len(loads.stations)
    i = loads.at(seat)
    values: dict[str, Any] = {"y_y": loads.deflection[i, 0] if known else NAN,
                              "y_z": loads.deflection[i, 1] if known else NAN, "y_limit": limit}
    demand = c.from_train(shaft.name, f"deflection of the beam at {seat}{loads.hand}")
    part = Part(f"{shaft.path}.seats.{seat}", "", values, {"y_y": demand, "y_z": demand, "y_limit": source}, "",
                frozenset({"y_y", "y_z"}), not_chosen=not known, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, names)


# Couplings -------------------------------------------------------------------------------------


def coupling_slopes(c: Context) -> Block:
    """Slope of both shafts at every coupling."""
    found = Block("slope", _at_coupling, room.SlopeInputs, {"slope at coupling": STEADY}, required=BEND_REQUIRED)
    for stage, name, seat in _halves(c):
        limit, source = _half_left(c, stage, "angle")
        found.parts.append(slope_part(c, c.machine.shafts[name], seat, limit, source, BEND_REQUIRED))
    return found


def coupling_deflections(c: Context) -> Block:
    """Deflection of both shafts at every coupling."""
    found = Block("deflection", _give_at_coupling, room.DeflectionInputs, {"deflection at coupling": STEADY},
                  required=GIVE_REQUIRED)
    for stage, name, seat in _halves(c):
        limit, source = _half_left(c, stage, "offset")
        found.parts.append(_part(c, c.machine.shafts[name], seat, limit, source, GIVE_REQUIRED))
    return found


def _at_coupling(s: room.SlopeInputs) -> room.SlopeRating:
    return room.rate_slope(s, at="coupling")


def _give_at_coupling(s: room.DeflectionInputs) -> room.DeflectionRating:
    return room.rate_deflection(s, at="coupling")


def _halves(c: Context) -> Iterator[tuple[Coupling, str, str]]:
    for stage in c.machine.stages.values():
        if isinstance(stage, Coupling):
            yield from ((stage, shaft, seat) for shaft, seat in _ends(c, stage))


def _ends(c: Context, stage: Any) -> list[tuple[str, str]]:
    """Shafts and seats of a stage; a shaft that is looked at alone stands alone in its machine."""
    ends = zip((stage.from_, stage.to), stage.seats, strict=True)
    return [(shaft, seat) for shaft, seat in ends if shaft in c.solved.shafts]


def _half_left(c: Context, stage: Coupling, word: str) -> tuple[float, Source]:
    """Half of what lining up leaves of a listed misalignment: the other shaft bends into the other half."""
    own = own_part(c.machine, stage.listing)
    expected: Given = getattr(stage, word)
    if not isinstance(own, CouplingPart):
        return NAN, Source(f"{stage.listing.path}: not chosen yet", obtained="given")
    listed: Given = getattr(own, word)
    for given in (listed, expected):
        if not given.known:
            return NAN, given.origin
    left = max(listed.nominal - expected.nominal, LEAST_SHARE * listed.nominal)
    return left / 2, Source(f"half of the listed {word} less that of lining up", f"{listed.path}, {expected.path}",
                            "derived")
