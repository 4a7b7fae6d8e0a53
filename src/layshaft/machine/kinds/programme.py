"""The programme of a run: what is engaged when, when someone winds, when a brake is put on."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import Given, ListOf, MapOf, Quantity, Ref, Text, Thing, key
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, SPEED, TIME


@dataclass(frozen=True, kw_only=True)
class Act(Thing):
    """A part of the run, from its beginning to that of the next."""

    at: Given = key(Quantity(TIME, at_least=0), "time at which it begins", "5 min")
    after: Given = key(Quantity(COUNT, above=0), "turns of a shaft after which it begins, instead of a time", "12")
    turns_of: str = key(Ref("shafts"), "shaft whose turns are counted", "spindle")
    without: tuple[str, ...] = key(ListOf(Ref("loads")), "loads that are not engaged in it", "[hammer cam]")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class WindingBout(Thing):
    """Someone takes up a weight that hangs in a loop, while the machine runs on."""

    at: Given = key(Quantity(TIME, at_least=0), "time at which it begins", "4 min", required=True)
    crank: str = key(Ref("drives"), "crank it is wound with", "crank", required=True)
    lasts: Given = key(
        Quantity(TIME, above=0), "how long it lasts; where absent, as long as one person turns without a rest", "40 s")
    speed: Given = key(Quantity(SPEED, above=0), "speed of the handle, if not that of the crank", "30 rpm")
    force: Given = key(
        Quantity(FORCE, above=0),
        "mean push on the handle while it is brought up to speed; where absent, it takes the crank's run up", "90 N")
    unevenness: Given = key(
        Quantity(RATIO, at_least=0, at_most=2), "(largest - smallest) / mean speed of the handle within a turn", "20 %")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Braking(Thing):
    """A brake is put on: for a pause if it is let go again, else to end the run."""

    at: Given = key(Quantity(TIME, at_least=0), "time at which it is put on", "44 min", required=True)
    brake: str = key(Ref("loads"), "brake that is put on", "brake disc", required=True)
    lasts: Given = key(Quantity(TIME, above=0), "how long it stays on; where absent, to the end", "2 min")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Programme(Thing):
    """One run, from rest to the end of its time or of the drop. Without it everything is engaged."""

    shaft: str = key(Ref("shafts"), "a shaft of the train to look at, where weights drive more than one", "main")
    time: Given = key(
        Quantity(TIME, above=0), "how long it runs; where absent, until a weight is down and all is still", "45 min")
    height: Given = key(
        Quantity(LENGTH, at_least=0), "height of the weights above the end of their drop at the start; "
        "where absent, they are wound up", "1.4 m")
    acts: dict[str, Act] = key(MapOf(Act), "which loads are engaged when")
    winding: dict[str, WindingBout] = key(MapOf(WindingBout), "when someone winds")
    brakes: dict[str, Braking] = key(MapOf(Braking), "when a brake is put on")
