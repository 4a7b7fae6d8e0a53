"""Kinds of load: what takes power out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layshaft.machine.kinds.bodies import BODIES
from layshaft.machine.schema import (
    STATES,
    Given,
    KindMap,
    ListOf,
    Quantity,
    Ref,
    Row,
    SeatOn,
    Text,
    Thing,
    YesNo,
    key,
)
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DAMPING,
    DENSITY,
    ENERGY,
    FORCE,
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    STIFFNESS,
    STRESS,
    TORQUE,
    TORQUE_PER_SPEED_SQUARED,
)

INERTIA_MEANS = "moment of inertia: mass times radius squared, summed over all of it"


@dataclass(frozen=True, kw_only=True)
class Load(Thing):
    """What takes power out."""

    shaft: str = key(Ref("shafts"), "shaft it sits on", "spindle", required=True)
    seat: str = key(SeatOn(("shaft",)), "seat on that shaft", "lens table")
    engaged: Given = key(
        Quantity(RATIO, above=0, at_most=1), "share of the run it is engaged; the rest is a case of its own", "100 %")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Bodied(Load):
    """A load whose room is told by no other key of it."""

    outside_diameter: Given = key(
        Quantity(LENGTH, at_least=0), "greatest diameter of what turns with the shaft, for what it may run into; 0 mm "
        "where it has no body of its own", "240 mm")
    width: Given = key(Quantity(LENGTH, above=0), "width of what turns, along the shaft", "40 mm")
    middle: Given = key(
        Quantity(LENGTH), "from its seat to its middle, along the axis; at the seat where absent", "0 mm")


@dataclass(frozen=True, kw_only=True)
class Steady(Bodied):
    """A torque that does not depend on speed."""

    torque: Given = key(Quantity(TORQUE, at_least=0), "resisting torque", "2 N m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1.5")
    inertia: Given = key(Quantity(INERTIA, at_least=0), INERTIA_MEANS, "0.5 kg m2")


@dataclass(frozen=True, kw_only=True)
class Turntable(Bodied):
    """A heavy body that rolls on a track or on wheels."""

    mass: Given = key(Quantity(MASS, above=0), "turning mass", "110 kg", may_be_open=True)
    radius_of_gyration: Given = key(
        Quantity(LENGTH, above=0),
        "radius at which all its mass would be as hard to turn up; of an even disc 0.71 of its own", "0.42 m")
    rolling_coefficient: Given = key(Quantity(RATIO, above=0), "force over weight at the track", "0.015")
    track_radius: Given = key(Quantity(LENGTH, above=0), "from the middle of the table to where it rolls", "0.40 m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "rolling resistance at rest over running", "2.0")


@dataclass(frozen=True, kw_only=True)
class Pulses(Bodied):
    """A hammer, cam or plunger that is lifted and let go."""

    per_turn: Given = key(Quantity(COUNT, at_least=1, whole=True), "lifts a turn", "4")
    energy: Given = key(Quantity(ENERGY, above=0), "energy of a lift at the cam", "6 J")
    over: Given = key(Quantity(ANGLE, above=0), "angle of a lift", "80 deg")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1")


@dataclass(frozen=True, kw_only=True)
class TorqueByAngle(Bodied):
    """Any mechanism whose torque follows the angle of its shaft, counted the way the shaft turns."""

    points: tuple[tuple[Given, Given], ...] = key(
        ListOf(Row((Quantity(ANGLE, at_least=0), Quantity(TORQUE))), at_least=2),
        "angle and torque, straight in between, the last on to the first; two at one angle are a step; below zero "
        "it drives", "[[0 deg, 1 N m], [90 deg, 6 N m], [180 deg, 1 N m]]")
    from_: str = key(Text(), "CSV file beside the machine file with the points, instead", "treadle.csv")
    per_turn: Given = key(
        Quantity(COUNT, at_least=1, whole=True), "times a turn that the points come; once if not stated", "2")
    scale: Given = key(
        Quantity(RATIO, above=0), "factor on the torques, where they were measured at another load", "1.0")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1.5")


@dataclass(frozen=True, kw_only=True)
class Cam(Bodied):
    """A cam that lifts a mass or bends a spring; its follower's own acceleration is left out."""

    lift: tuple[tuple[Given, Given], ...] = key(
        ListOf(Row((Quantity(ANGLE, at_least=0), Quantity(LENGTH))), at_least=2),
        "angle and lift, straight in between, the last on to the first",
        "[[0 deg, 0 mm], [90 deg, 40 mm], [120 deg, 0 mm]]")
    from_: str = key(Text(), "CSV file beside the machine file with the lift, instead", "stamper.csv")
    per_turn: Given = key(
        Quantity(COUNT, at_least=1, whole=True), "times a turn that the lift comes; once if not stated", "3")
    mass: Given = key(Quantity(MASS, above=0), "mass that is lifted straight up", "8 kg")
    force: Given = key(Quantity(FORCE, above=0), "force on the follower at no lift, besides the mass", "40 N")
    spring_rate: Given = key(Quantity(STIFFNESS, above=0), "force of the spring over lift", "2 N/mm")
    falls_free: bool = key(YesNo(), "the follower falls by itself, without pushing the cam on", "yes")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1.5")


PERIODIC = (Pulses, TorqueByAngle, Cam)
"""Loads whose torque comes again with the angle of their shaft."""


@dataclass(frozen=True, kw_only=True)
class FanBrake(Bodied):
    """Flat vanes turning in air: torque grows with the square of the speed."""

    vanes: Given = key(Quantity(COUNT, at_least=1, whole=True), "number of vanes", "2")
    area: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2), "height and width of a vane", "[150 mm, 170 mm]")
    at_radius: Given = key(Quantity(LENGTH, above=0), "radius of the middle of a vane", "260 mm")
    drag_coefficient: Given = key(
        Quantity(RATIO, above=0), "how hard its shape pushes the air; about 1.2 for a flat vane", "1.20")
    air_density: Given = key(Quantity(DENSITY, above=0), "density of the air, if not that of the venue", "1.20 kg/m3")
    constant: Given = key(
        Quantity(TORQUE_PER_SPEED_SQUARED, above=0), "torque over speed squared, instead of vanes", "0.0006 N m s2")
    trim: Given = key(Quantity(RATIO, above=0), "share of the vane left uncovered", "100 %")
    governs: str = key(Ref("shafts"), "shaft whose speed the builder trims for, once, if no trim is stated", "spindle")
    governed_speed: Given = key(Quantity(SPEED, above=0), "speed it is trimmed for", "1 rpm")
    inertia: Given = key(Quantity(INERTIA, at_least=0), INERTIA_MEANS, "0.025 kg m2")


@dataclass(frozen=True, kw_only=True)
class EddyBrake(Bodied):
    """A disc between magnets: torque grows with speed up to a critical speed."""

    constant: Given = key(
        Quantity(DAMPING, above=0), "torque over speed, well below the critical speed", "0.05 N m s/rad")
    critical_speed: Given = key(Quantity(SPEED, above=0), "speed of the largest torque", "600 rpm")
    inertia: Given = key(Quantity(INERTIA, at_least=0), INERTIA_MEANS, "0.02 kg m2")


@dataclass(frozen=True, kw_only=True)
class Flywheel(Load):
    """A wheel that stores energy of motion."""

    inertia: Given = key(Quantity(INERTIA, above=0), INERTIA_MEANS, "0.087 kg m2")
    mass: Given = key(Quantity(MASS, above=0), "mass of the whole wheel", "7.8 kg")
    diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter", "300 mm", may_be_open=True)
    bore: Given = key(
        Quantity(LENGTH, at_least=0), "hole of the disc, or inside diameter of the rim; 0 mm if solid", "15 mm")
    density: Given = key(Quantity(DENSITY, above=0), "density of its material", "7850 kg/m3")
    yield_strength: Given = key(Quantity(STRESS, above=0), "yield strength of its material", "235 MPa")
    tensile_strength: Given = key(Quantity(STRESS, above=0), "tensile strength of its material", "360 MPa")
    run_away_speed: Given = key(
        Quantity(SPEED, above=0), "greatest speed without load or governor, where more than weights turn it", "200 rpm")
    made_of: dict[str, Any] = key(
        KindMap(BODIES), "pieces of its drawing; mass and inertia follow where they are not given")


@dataclass(frozen=True, kw_only=True)
class Pull(Bodied):
    """A force stated outright on a seat, such as that of a belt, with the torque it resists with."""

    force: tuple[Given, ...] = key(ListOf(Quantity(FORCE), 3), "force on the shaft, x, y, z", "[0 N, 400 N, -900 N]")
    torque: Given = key(Quantity(TORQUE), "torque it resists with; below zero it drives", "12 N m")
    inertia: Given = key(Quantity(INERTIA, at_least=0), INERTIA_MEANS, "0.1 kg m2")


@dataclass(frozen=True, kw_only=True)
class Allowance(Bodied):
    """Stands in for a module not designed yet."""

    torque: Given = key(Quantity(TORQUE, at_least=0), "mean torque set aside", "3 N m")
    peak_torque: Given = key(Quantity(TORQUE, at_least=0), "peak torque set aside", "6 N m")
    speed: Given = key(Quantity(SPEED, above=0), "speed it will want", "12 rpm")
    mass: Given = key(Quantity(MASS, at_least=0), "mass set aside", "20 kg")
    place: str = key(Text(), "where it will stand")
