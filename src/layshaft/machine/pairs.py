"""Pairs of values the wrong way about: an inside beyond its outside, a least force above the largest."""

from __future__ import annotations

from layshaft.machine.errors import Problem
from layshaft.machine.kinds import (
    CompressionSpring,
    DiscBrake,
    DogClutch,
    ExtensionSpring,
    FrictionClutch,
    SlipClutch,
    SpiralSpring,
    TorsionSpring,
)
from layshaft.machine.schema import Thing
from layshaft.machine.sentences import references as say
from layshaft.trace.units import shown

RINGS = (("inner_diameter", "outer_diameter"),)
COIL = (("wire_diameter", "mean_diameter"),)
SMALLER: dict[type, tuple[tuple[str, str], ...]] = {
    SlipClutch: RINGS, FrictionClutch: RINGS, DogClutch: RINGS, DiscBrake: RINGS,
    CompressionSpring: COIL, ExtensionSpring: COIL, TorsionSpring: COIL, SpiralSpring: (("arbor", "drum"),),
}
"""The first must be smaller than the second."""

NO_LARGER: dict[type, tuple[tuple[str, str], ...]] = {
    CompressionSpring: (("least_force", "force"), ("active_turns", "turns")),
    ExtensionSpring: (("least_force", "force"),), TorsionSpring: (("least_torque", "torque"),),
    SpiralSpring: (("given_back", "wound"),),
}
"""The first may be as large as the second, no larger."""


def wrong_way_about(thing: Thing, problems: list[Problem]) -> None:
    """Both values are known and their nominals cannot be; a pair that is not known is said where it is asked for."""
    for table, clash, words in ((SMALLER, float.__ge__, say.not_smaller), (NO_LARGER, float.__gt__, say.larger)):
        for low, high in table.get(type(thing), ()):
            small, large = getattr(thing, low), getattr(thing, high)
            if clash(small.nominal, large.nominal):
                problems.append(Problem(small.mark, words(
                    small.path, shown(small.nominal, small.dimension), large.path,
                    shown(large.nominal, large.dimension))))
