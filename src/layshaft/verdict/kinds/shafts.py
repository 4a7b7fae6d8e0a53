"""Shafts: strength at every section, slope at every part that minds it, twist from end to end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements import shaft as room
from layshaft.listings.tables import table
from layshaft.machine.bearing_pairs import pair_of, part_on
from layshaft.machine.kinds import GearPair, RollerChain, TaperedRollerPart
from layshaft.machine.model import Shaft
from layshaft.machine.once import once
from layshaft.mechanics import endurance
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.forces import GROOVE, ShaftLoads
from layshaft.train.place import diameters_at
from layshaft.train.steady import steady_of
from layshaft.train.stiffness import SHEAR_MODULUS, shaft_flexibility
from layshaft.verdict.context import NAN, Context, Steel, magnitude, seats_in_use
from layshaft.verdict.kinds.bearing_pairs import axial_on
from layshaft.verdict.kinds.notches import notch_of
from layshaft.verdict.rows import Block, Part, with_required

RUNS = (RUNNING, PEAK, WINDING, MODULE_OFF)
STRENGTH = {"fatigue": RUNS, "yield": CASES}
REQUIRED = {"fatigue": "S_D_required", "yield": "S_F_required"}
SLOPE_REQUIRED = {"slope at bearing": "S_required"}
MESH_REQUIRED = {"slope at mesh": "S_required"}
TWIST_REQUIRED = {"twist": "S_required"}
STEADY = (RUNNING, PEAK, WINDING, MODULE_OFF)
DEMANDS = frozenset({"M", "T_m", "T_a", "F_a"})
FROM_TRAIN = ("M", "M_m", "T_m", "T_a", "F_a")

def sections(c: Context) -> Block:
    """Every seat, shoulder and step of every shaft."""
    found = Block("shaft section", room.rate, room.SectionInputs, STRENGTH, required=REQUIRED)
    reference = steady_of(c.solved.columns)
    for shaft in c.shafts:
        loads = c.solved.loads[shaft.name]
        demands = _Demands(_moment(loads), *_torques(loads, reference), _along(c, shaft, loads))
        found.parts += [_section(c, shaft, loads, i, demands) for i in range(len(loads.stations))]
    return found


@dataclass(frozen=True, slots=True)
class _Demands:
    """Moment, mean torque and its swing at all stations of a shaft; axial force anywhere in it."""

    moment: Any
    torque: Any
    swing: Any
    along: Any


def _moment(loads: ShaftLoads) -> Any:
    """Bending moment, the larger of both sides of every station."""
    left, right = loads.moment_left, loads.moment_right
    return np.maximum(magnitude(left[:, 0], left[:, 1]), magnitude(right[:, 0], right[:, 1]))


def _torques(loads: ShaftLoads, reference: Any) -> tuple[Any, Any]:
    """Mean torque and its swing, on the worse side of every station."""
    left, right = loads.torque_left[:, reference], loads.torque_right[:, reference]
    swing_left, swing_right = np.abs(loads.torque_left - left), np.abs(loads.torque_right - right)
    worse = np.abs(left) + swing_left > np.abs(right) + swing_right
    return np.where(worse, left, right), np.where(worse, swing_left, swing_right)


def _along(c: Context, shaft: Shaft, loads: ShaftLoads) -> Any:
    """Axial force in the shaft; between the bearings of a pair it is what the heavier loaded of them holds."""
    pair = pair_of(c.machine, shaft)
    both = [found[0] for seat in (pair.left, pair.right) if (found := axial_on(c, shaft, seat))] if pair else []
    return np.maximum(np.abs(loads.thrust), np.maximum(*both)) if both else loads.thrust


def _section(c: Context, shaft: Shaft, loads: ShaftLoads, i: int, demands: _Demands) -> Part:
    place, x = loads.names[i], loads.stations[i]
    d, largest = diameters_at(shaft, x)
    d = _bottom(shaft, place, d)
    steel = c.steel(shaft.material, largest)
    words = place or f"step at {x * 1e3:.0f} mm"
    fixed, origins = _fixed(shaft, place, (shaft.name, place) in seats_in_use(c.machine), d, steel)
    values = fixed | {
        "M": demands.moment[i] if len(demands.moment) > i else NAN, "T_m": demands.torque[i],
        "T_a": demands.swing[i], "F_a": demands.along,
    }
    demand = c.from_train(shaft.name, f"beam on its bearings, {words}{loads.hand}")
    hurts = c.hurts(f"{shaft.path}.seats.{place}") or c.hurts(shaft.path)
    part = Part(shaft.path, words, values, origins | dict.fromkeys(FROM_TRAIN, demand), hurts, DEMANDS,
                not_chosen=not np.isfinite(d), content=steel.content, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, REQUIRED)


@once
def _fixed(shaft: Shaft, place: str, used: bool, d: float, steel: Steel) -> tuple[dict[str, Any], dict[str, Source]]:
    """What the shaft alone says about a section, whatever it carries."""
    notched, surface, z_a = notch_of(shaft, place, used, d, steel), _surface(shaft), _deviations(shaft)
    roughness = _roughness(shaft)
    values = {
        "d": d, "M_m": 0.0, "R_m": steel.R_m, "R_e": steel.R_e, "a_s": surface[0], "b_s": surface[1],
        "z_a": z_a[0], "R_z": roughness[0], "counted": 1.0 if shaft.notch_in_yield == "counted" else 0.0,
    } | notched[0]
    origins = {
        "d": Source(f"{shaft.path}.sections", obtained="given"), "R_m": steel.source, "R_e": steel.source,
        "a_s": surface[2], "b_s": surface[2], "z_a": z_a[1], "R_z": roughness[1],
        "counted": Source(
            f"{shaft.path}.notch in yield: {shaft.notch_in_yield or 'not counted'}", obtained="given"),
    } | notched[1]
    return values, origins


def _bottom(shaft: Shaft, place: str, d: float) -> float:
    """Diameter that carries: at a groove that of its bottom."""
    return shaft.grooves[int(place.removeprefix(GROOVE)) - 1][1].nominal if place.startswith(GROOVE) else d


def _surface(shaft: Shaft) -> tuple[float, float, Source]:
    found = endurance.surface_constants(shaft.finish) if shaft.finish else None
    if found is None:
        return NAN, NAN, Source(f"{shaft.path}.finish: not given", obtained="given")
    row = table("surface_factors")[shaft.finish]
    return float(found[0]), float(found[1]), row.source


def _roughness(shaft: Shaft) -> tuple[float, Source]:
    row = table("roughness").get(shaft.finish) if shaft.finish else None
    if row is None:
        return NAN, Source(f"{shaft.path}.finish: not given", obtained="given")
    return row.number("Rz_um", 1e-6), row.source


def _deviations(shaft: Shaft) -> tuple[float, Source]:
    if not shaft.reliability.known:
        return NAN, shaft.reliability.origin
    words = f"{shaft.reliability.nominal * 100:.6g} %"
    found = endurance.deviations_below_mean(words)
    if found is None:
        return NAN, Source(f"{shaft.path}.reliability: {words} is not in the table of reliability factors",
                           obtained="given")
    return float(found), table("reliability_factors")[words].source


# Slope and twist -------------------------------------------------------------------------------


def bearing_slopes(c: Context) -> Block:
    """Slope at every bearing."""
    found = Block("slope", room.rate_slope, room.SlopeInputs, {"slope at bearing": STEADY},
                  required=SLOPE_REQUIRED)
    for shaft in c.shafts:
        for seat in (s for s in c.solved.loads[shaft.name].supports if not shaft.seats[s].rubs):
            rollers = isinstance(part_on(c.machine, shaft.seats[seat]), TaperedRollerPart)
            row = table("slope_limits")["tapered roller bearing" if rollers else "deep-groove ball bearing"]
            found.parts.append(slope_part(c, shaft, seat, row.number("high_rad"), row.source, SLOPE_REQUIRED))
    return found


def mesh_slopes(c: Context) -> Block:
    """Slope at every gear and sprocket."""
    found = Block("slope", _at_mesh, room.SlopeInputs, {"slope at mesh": STEADY}, required=MESH_REQUIRED)
    for shaft_name, seat, kind in _meshes(c):
        row = table("slope_limits")[kind]
        shaft = c.machine.shafts[shaft_name]
        found.parts.append(slope_part(c, shaft, seat, row.number("high_rad"), row.source, MESH_REQUIRED))
    return found


def _at_mesh(s: room.SlopeInputs) -> room.SlopeRating:
    return room.rate_slope(s, at="mesh")


def _meshes(c: Context) -> Iterator[tuple[str, str, str]]:
    asked = set(c.solved.shafts)
    for stage in c.machine.stages.values():
        kind = {GearPair: "uncrowned spur gear", RollerChain: "chain sprocket"}.get(type(stage), "")
        for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=True):
            if kind and shaft in asked:
                yield shaft, seat, kind


def slope_part(c: Context, shaft: Shaft, seat: str, limit: float, source: Source, names: dict[str, str]) -> Part:
    """Slope of a shaft at one seat, against what sits there bears."""
    loads = c.solved.loads[shaft.name]
    known = len(loads.slope) == len(loads.stations)
    i = loads.at(seat)
    values = {"theta_y": loads.slope[i, 0] if known else NAN, "theta_z": loads.slope[i, 1] if known else NAN,
              "theta_limit": limit}
    demand = c.from_train(shaft.name, f"slope of the beam at {seat}{loads.hand}")
    origins = {"theta_y": demand, "theta_z": demand, "theta_limit": source}
    part = Part(f"{shaft.path}.seats.{seat}", "", values, origins, "", frozenset({"theta_y", "theta_z"}),
                not_chosen=not known, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, names)


def wind_up(c: Context) -> Block:
    """Twist between the first and the last seat that carries torque."""
    found = Block("twist", room.rate_wind_up, room.WindUpInputs, {"twist": STEADY}, required=TWIST_REQUIRED)
    for shaft in c.shafts:
        loads = c.solved.loads[shaft.name]
        twist: Any = 0.0
        for i in range(len(loads.stations) - 1):
            flexibility = shaft_flexibility(shaft, loads.stations[i], loads.stations[i + 1])
            twist = twist + loads.torque_right[i] * flexibility
        length = sum(step.nominal for _, step in shaft.sections)
        demand = c.from_train(shaft.name, f"torque along the shaft, G = {SHEAR_MODULUS / 1e9:g} GPa")
        steps = Source(f"{shaft.path}.sections", obtained="given")
        part = Part(shaft.path, "end to end",
                    {"phi": twist, "L": length, "twist_limit": shaft.wind_up.value / length},
                    {"phi": demand, "L": steps, "twist_limit": shaft.wind_up.origin}, "", frozenset({"phi"}),
                    not_chosen=not np.isfinite(length), shaft=shaft.name)
        found.parts.append(with_required(part, c.machine.margins or {}, TWIST_REQUIRED))
    return found
