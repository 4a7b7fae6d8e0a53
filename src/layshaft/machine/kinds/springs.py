"""Kinds of spring: each with the load it is worked with."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import STATES, Choice, Given, Listing, ListOf, Quantity, Text, Thing, Word, YesNo, key
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, SPEED, STRESS, TORQUE


@dataclass(frozen=True, kw_only=True)
class Spring(Thing):
    """A spring with its stated load; the train does not reckon with it."""

    can_hurt: bool = key(YesNo(), "whether someone can be hurt if it breaks or flies off", "no", required=True)
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class CoilSpring(Spring):
    """A spring coiled from round wire."""

    wire: Choice = key(Listing("spring wire"), "wire it is wound from", "music wire", may_be_open=True)
    wire_diameter: Given = key(Quantity(LENGTH, above=0), "thickness of the wire", "2 mm")
    mean_diameter: Given = key(Quantity(LENGTH, above=0), "diameter of the coil to the middle of the wire", "16 mm")
    peened: bool = key(YesNo(), "whether it was shot-peened", "no", required=True)


@dataclass(frozen=True, kw_only=True)
class CompressionSpring(CoilSpring):
    """A spring that is pushed, with squared and ground ends."""

    force: Given = key(Quantity(FORCE, above=0), "largest force", "80 N")
    least_force: Given = key(Quantity(FORCE, at_least=0), "least force it comes back to", "20 N")
    active_turns: Given = key(Quantity(COUNT, above=0), "turns that spring", "8")
    turns: Given = key(Quantity(COUNT, above=0), "all turns, ends counted", "10")
    free_length: Given = key(Quantity(LENGTH, above=0), "length when nothing pushes", "48 mm")
    ends: str = key(
        Word(("flat and parallel", "one flat one pivoted", "both pivoted", "one free")), "how its ends are held",
        "flat and parallel")
    rate_of_use: Given = key(Quantity(SPEED, above=0), "strokes in a time, if it is worked on and on", "60 rpm")


@dataclass(frozen=True, kw_only=True)
class ExtensionSpring(CoilSpring):
    """A spring that is pulled by its hooks."""

    force: Given = key(Quantity(FORCE, above=0), "largest force", "25 N")
    least_force: Given = key(Quantity(FORCE, at_least=0), "least force it comes back to", "8 N")
    initial_tension: Given = key(Quantity(FORCE, at_least=0), "force at which its turns begin to part", "5 N")
    turns: Given = key(Quantity(COUNT, above=0), "turns of the body", "14")
    hook_radius: Given = key(Quantity(LENGTH, above=0), "radius of a hook to the middle of the wire", "5 mm")
    bend_radius: Given = key(
        Quantity(LENGTH, above=0), "radius of the bend from body to hook, to the middle of the wire", "3 mm")


@dataclass(frozen=True, kw_only=True)
class TorsionSpring(CoilSpring):
    """A coil on a pin that is wound up by its legs."""

    torque: Given = key(Quantity(TORQUE, above=0), "largest torque", "0.5 N m")
    least_torque: Given = key(Quantity(TORQUE, at_least=0), "least torque it comes back to", "0.1 N m")
    turns: Given = key(Quantity(COUNT, above=0), "turns of the body", "5")
    legs: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, at_least=0), 2), "lengths of the two straight legs", "[25 mm, 25 mm]")
    pin: Given = key(Quantity(LENGTH, above=0), "diameter of the pin inside", "10 mm")


@dataclass(frozen=True, kw_only=True)
class SpiralSpring(Spring):
    """A flat strip wound from an arbor into a drum."""

    wound: Given = key(Quantity(COUNT, above=0), "turns it is wound up", "6")
    given_back: Given = key(Quantity(COUNT, at_least=0), "turns it gives back in one run", "4")
    torque_at_the_end: Given = key(
        Quantity(TORQUE, at_least=0), "torque that is asked of it at the end of the run", "0.5 N m")
    strip: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2), "width and thickness of the strip", "[20 mm, 0.8 mm]")
    length: Given = key(Quantity(LENGTH, above=0), "length of the strip", "4 m")
    modulus: Given = key(Quantity(STRESS, above=0), "modulus of elasticity of the strip", "207 GPa")
    yield_strength: Given = key(Quantity(STRESS, above=0), "yield strength of the strip", "1200 MPa")
    outer_end: str = key(Word(("clamped", "on a pin")), "how the outer end is held", "clamped")
    drum: Given = key(Quantity(LENGTH, above=0), "inside diameter of the drum", "120 mm")
    arbor: Given = key(Quantity(LENGTH, above=0), "diameter of the arbor", "25 mm")
    fill: Given = key(Quantity(RATIO, above=0, at_most=1), "share of the space the strip may fill", "50 %")


SPRINGS: dict[str, type] = {
    "compression spring": CompressionSpring,
    "extension spring": ExtensionSpring,
    "torsion spring": TorsionSpring,
    "spiral spring": SpiralSpring,
}
