"""How a shaft comes to its size: torque, pulls, reactions, moment, a first diameter, a bar from stock.

The walk is for the place of the shaft whose fatigue margin is smallest, in its worst case, with every
push on a handle straight down, so that the forces on the sheet add up. Strength at notches, slopes and
twist have sheets of their own; they come after it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.elements.shaft import sizing
from layshaft.mechanics import beam
from layshaft.trace.formula import Trace, given, governs, group, named, tracing
from layshaft.trace.source import Source
from layshaft.trace.units import ANGLE, COUNT, FORCE, LENGTH, RATIO, STRESS, TORQUE
from layshaft.train.forces import ShaftLoads, shaft_loads
from layshaft.train.stiffness import SHEAR_MODULUS
from layshaft.verdict.rows import Part

if TYPE_CHECKING:
    from layshaft.verdict.rate import Verdict

SHOCK = 1.5
SHOCKS = Source("ASME code for transmission shafting, 1927 to 1954", "1.5 for gradually applied loads", "from memory")
HANDBOOK = Source("shear modulus of steel", obtained="common practice")
PLACES = Source("places along the shaft", obtained="given")
PLANES = ("across", "up")
LETTERS = "ABCDEFGH"
SAME = 1e-9


@dataclass(frozen=True, slots=True)
class ShaftWalk:
    """The part whose section leads, and every step up to the first bar."""

    part: Part
    trace: Trace


@dataclass(frozen=True, slots=True)
class _Here:
    """The place and the case a walk is for."""

    loads: ShaftLoads
    at: int
    case: int
    title: str

    @property
    def x(self) -> float:
        return self.loads.stations[self.at]

    def first(self, values: Any) -> float:
        """The first sample of this case."""
        return float(values[self.case][0])

    def source(self, what: str) -> Source:
        """Where a number of this case comes from."""
        return Source(f"{what}, {self.title}: from the solved train", obtained="derived")


def shaft_walk(verdict: Verdict, name: str) -> ShaftWalk | None:
    """Steps up to the first diameter of one shaft; None where its places or its loads are not known."""
    path = verdict.solved.machine.shafts[name].path
    found = next((f for f in verdict.findings if f.part == path and f.mode == "fatigue"), None)
    rated = next((r for r in verdict.rated if r.mode == "fatigue"), None)
    if found is None or rated is None:
        return None
    part = next((p for p in rated.block.parts if p.path == path and p.place == found.place), None)
    case = next((i for i, c in enumerate(verdict.solved.columns) if c.title == found.title), None)
    loads = shaft_loads(verdict.solved, name, in_balance=True)
    if part is None or case is None or len(loads.moment_left) != len(loads.stations):
        return None
    at = next(i for i in range(len(loads.stations)) if place_words(loads, i) == found.place)
    here = _Here(loads, at, case, found.title)
    with np.errstate(all="ignore"), tracing() as trace:
        T = _torque(here)
        moments = [_in_plane(here, plane) for plane in (0, 1)]
        with group(f"At {found.place}"):
            M = beam.resultant_moment(*moments)
        _first_bar(verdict, part, name, M, T)
    return ShaftWalk(part, trace)


def place_words(loads: ShaftLoads, i: int) -> str:
    """A station in words: its seat or shoulder, else where the middle of its step is."""
    return loads.names[i] or f"step at {loads.stations[i] * 1e3:.0f} mm"


def _torque(here: _Here) -> Any:
    left, right = (here.first(side[here.at]) for side in (here.loads.torque_left, here.loads.torque_right))
    return given("T", "torque in the shaft here", TORQUE, max(abs(left), abs(right)),
                 here.source("torque along the shaft"))


def _in_plane(here: _Here, plane: int) -> Any:
    """Bending moment at the place in one plane, from the pulls and the reactions to its left."""
    mark, loads = "yz"[plane], here.loads
    direction, about = loads.frame[1 + plane], (loads.frame[2], -loads.frame[1])[plane]
    forces: dict[str, tuple[Any, float, Any]] = {}
    couples: dict[str, tuple[Any, float]] = {}
    with group(f"Plane {plane + 1}: what pulls {PLANES[plane]}"):
        for i, name in _loaded(here, direction, about):
            x = loads.stations[i]
            place = given(f"x_{i}", f"place of {name}", LENGTH, x, PLACES)
            push = float(direction @ loads.force[i, :, here.case, 0])
            couple = float(about @ loads.couple[i, :, here.case, 0])
            if push:
                forces[name] = given(f"F_{i}{mark}", f"force at {name}", FORCE, push, here.source("pull")), x, place
            if couple:
                couples[name] = given(f"C_{i}{mark}", f"bending couple at {name}", TORQUE, couple,
                                      here.source("couple")), x
        forces |= _reactions(here, plane, forces, couples)
        left = {n: (F, place) for n, (F, x, place) in forces.items() if x < here.x - SAME}
        turns = {n: C for n, (C, x) in couples.items() if x < here.x - SAME}
        asked = given("x", "place asked about", LENGTH, here.x, PLACES)
        return named(f"M_{mark}", beam.moment_at(asked, left, turns), f"bending moment, plane {plane + 1}")


def _loaded(here: _Here, direction: Any, about: Any) -> Iterator[tuple[int, str]]:
    """Stations that something acts on in this plane: number and name."""
    for i in range(len(here.loads.stations)):
        force, couple = here.loads.force[i, :, here.case, 0], here.loads.couple[i, :, here.case, 0]
        if abs(direction @ force) > 0 or abs(about @ couple) > 0:
            yield i, place_words(here.loads, i)


def _reactions(here: _Here, plane: int, forces: dict[str, tuple[Any, float, Any]],
               couples: dict[str, tuple[Any, float]]) -> dict[str, tuple[Any, float, Any]]:
    """What the bearings push back with: by statics on two of them, from the bent beam on more."""
    loads, mark = here.loads, "yz"[plane]
    xs, seats = zip(*sorted(zip(loads.centres, loads.supports, strict=True)), strict=True)
    places = [given(f"x_{letter}", f"place of {seat}", LENGTH, x, PLACES)
              for letter, seat, x in zip(LETTERS, seats, xs, strict=False)]
    if len(seats) == 2:
        R_A, R_B = beam.reactions_of_two({n: (F, place) for n, (F, _, place) in forces.items()},
                                         {n: C for n, (C, _) in couples.items()}, *places)
        found = [named(f"R_A{mark}", R_A, f"reaction of {seats[0]}"), named(f"R_B{mark}", R_B,
                                                                            f"reaction of {seats[1]}")]
    else:
        why = here.source(f"bent beam on {len(seats)} bearings, statics alone cannot share the load out")
        found = [given(f"R_{letter}{mark}", f"reaction of {seat}", FORCE,
                       float(loads.reaction[loads.supports.index(seat), plane, here.case, 0]), why)
                 for letter, seat in zip(LETTERS, seats, strict=False)]
    return {f"reaction of {seat}": (R, x, place)
            for seat, R, x, place in zip(seats, found, xs, places, strict=False)}


def _first_bar(verdict: Verdict, part: Part, name: str, M: Any, T: Any) -> None:
    """A diameter by strength, one by twist, and the smallest bar of stock that is thick enough for both."""
    shaft = verdict.solved.machine.shafts[name]
    seat = shaft.seats.get(part.place)
    with group("First diameter"):
        R_e = given("R_e", "yield strength of the shaft", STRESS, float(part.inputs["R_e"]), part.origins["R_e"])
        R_m = given("R_m", "tensile strength of the shaft", STRESS, float(part.inputs["R_m"]), part.origins["R_m"])
        keyway = seat is not None and seat.key_size.state != "missing"
        keyed = given("keyed", "keyway here: 1 if there is one, else 0", COUNT, float(keyway),
                      Source(shaft.path, obtained="given"))
        k = given("k", "shock factor", RATIO, SHOCK, SHOCKS)
        tau = sizing.allowed_shear(R_e, R_m, keyed)
        M_s = named("M_s", sizing.raised_for_shock(M, k), "moment raised for shock")
        T_s = named("T_s", sizing.raised_for_shock(T, k), "torque raised for shock")
        candidates = {"strength": named("d_s", sizing.first_diameter(M_s, T_s, tau), "diameter by strength")}
        if shaft.wind_up.known:
            L = given("L", "length of the shaft", LENGTH, sum(step.nominal for _, step in shaft.sections),
                      Source(f"{shaft.path}.sections", obtained="given"))
            G = given("G", "shear modulus of steel", STRESS, SHEAR_MODULUS, HANDBOOK)
            phi = given("phi", "twist allowed from end to end", ANGLE, shaft.wind_up.nominal, shaft.wind_up.origin)
            candidates["twist"] = named("d_t", sizing.twist_diameter(T, L, G, phi), "diameter by twist")
        needed = governs("d_n", "diameter needed at first", LENGTH, candidates, sizing.ASME, pick="largest")
        named("d_bar", sizing.smallest_bar(needed), "bar to begin with; bearing bores follow its steps")
