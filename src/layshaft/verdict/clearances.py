"""Whether parts run into one another, and where a finger or a hand can get between them.

A collision is a finding. A gap that lets a finger in is told as a caution, nearest first: teeth, chains and wheels
of every machine have them, and a guard closes them. Room for the hand on a crank is a finding of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.listings.tables import table
from layshaft.machine.kinds import BevelPair, Crank, GearPair, Pedals, Worm
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, LENGTH, shown
from layshaft.train.handles import HandRoom, hand_room
from layshaft.train.placed import BAR, BLOCK, NOWHERE, Placed
from layshaft.train.space import REACH, SAME, Near, Space
from layshaft.verdict.context import NAN, Context

MODE, HAND_MODE = "collision", "room for the hand"
AS_THEY_STAND = "as they stand"
PLACES = Source("places and sizes of the machine file", "distance of solid bodies", "derived")
BOUNDED = Source("places and sizes of the machine file; parts of no told size as large as such parts usually are",
                 "distance of solid bodies", "typical")
USUAL = "the usual size of parts that tell none: tell it"
CLEAR = Source("two bodies cannot be in one place", obtained="derived")
MESHING = (GearPair, BevelPair, Worm)
MOST_NAMED = 3
"""Parts or pairs called by name in one sentence."""


def clearances(c: Context) -> Iterator[Finding]:
    """One finding for each module on what of it runs into what, and one for each crank on the room of hands."""
    pairs = worst(c.space)
    waits, aside = _not_placed(c), _aside(c)
    for module in c.machine.modules:
        ours = [n for n in pairs if module in (c.machine.shafts[b.shaft].module for b in (n.a, n.b))]
        yield _of_module(c.machine.modules[module].path, ours, waits, aside)
    for drive in c.machine.drives.values():
        if isinstance(drive, Crank):
            yield _hand(c, drive, waits)


def worst(space: Space) -> list[Near]:
    """Of every two parts the places where they are nearest, least gap first; parts of one name stand for one."""
    found: dict[tuple[str, str], Near] = {}
    for near in space.near:
        key = (near.a.name, near.b.name)
        if key not in found or _worse(near) < _worse(found[key]):
            found[key] = near
    return sorted(found.values(), key=lambda n: _worse(n)[1])


def _worse(near: Near) -> tuple[bool, float]:
    """Sorts what meets for certain first, then by the least gap; one that cannot be told counts as none at all."""
    return not near.meet, -np.inf if np.isnan(near.least) else near.least


def finger_gap() -> tuple[float, float]:
    """Gaps that take a finger in: more than the first, less than the second, in m."""
    gaps = table("safety_gaps")
    return gaps["fingertip stays out"].number("gap_mm", 1e-3), gaps["finger"].number("gap_mm", 1e-3)


def narrow(c: Context) -> list[Near]:
    """Gaps between two parts that move against each other which take a finger in, nearest first."""
    over, under = finger_gap()
    return [n for n in worst(c.space) if n.sure and over < n.gap < under and _moves(c, n.a, n.b)]


def perhaps_narrow(c: Context) -> list[Near]:
    """Gaps of which it is not known whether a finger gets in, since a size is not told."""
    over, under = finger_gap()
    return [n for n in worst(c.space) if not n.sure and n.gap > over and n.least < under and _moves(c, n.a, n.b)]


def _moves(c: Context, a: Placed, b: Placed) -> bool:
    """False for two that stand, that turn together, or that belong together anyway, as teeth and mate do."""
    if (a.stands and b.stands) or (a.shaft == b.shaft and BLOCK not in (a.kind, b.kind)):
        return False
    for one, other in ((a, b), (b, a)):
        stage = next((s for s in c.machine.stages.values() if s.path == one.owner), None)
        if stage is not None and other.shaft in (stage.from_, stage.to) and (
                other.kind == BAR or isinstance(stage, MESHING)):
            return False
    return True


def _main(near: Near) -> tuple[Placed, Placed]:
    """The part a collision is told of, and the other: a wheel or chain before a bearing, a shaft last."""
    order = {"wheel": 0, "idler": 0, "strand": 1, BAR: 3}
    return (near.a, near.b) if order.get(near.a.kind, 2) <= order.get(near.b.kind, 2) else (near.b, near.a)


def _pair(near: Near) -> str:
    part, other = _main(near)
    return f"{part.name} beside {other.name}"


def _named(names: list[str]) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return f"{', '.join(names[:MOST_NAMED])}{more}"


def _aside(c: Context) -> str:
    """What is taken for as large as such parts usually are, and what is not looked at."""
    names = list(dict.fromkeys(b.name for b in c.space.bounded))
    told = f"taken for as large as such parts usually are, since no size is told: {_named(names)}; " if names else ""
    return f"{told}not looked at: {_unseen(c)}frames and guards"


def _unseen(c: Context) -> str:
    """Housings of no told size, since nothing bounds them."""
    seats = [seat for shaft in c.machine.shafts.values() for seat in shaft.seats.values()
             if seat.carries_shaft and not all(size.known for size in seat.housing_size)]
    count = f"housings of {len(seats)} bearings, " if len(seats) > 1 else "the housing of a bearing, "
    return count if seats else ""


def _of_module(path: str, pairs: list[Near], waits: str, aside: str) -> Finding:
    """Fails where two parts overlap; unknown while anything of the machine may still come to stand there."""
    met = [n for n in pairs if n.meet]
    if met:
        return _collision(path, met)
    unsure = [n for n in pairs if not n.least > 0]
    near = _nearest(pairs)
    if unsure or waits:
        why = _why(unsure) if unsure else waits
        return _unknown(path, MODE, f"{why}. Of what is told, {near}", place=_pair(unsure[0]) if unsure else "")
    method = PLACES if aside.startswith("not") else BOUNDED
    return Finding(path, "", MODE, "any", AS_THEY_STAND, COUNT, 1.0, 1.0, 1.0, 1.0, "holds", method, CLEAR,
                   trust="" if method is PLACES else USUAL,
                   note=f"what is looked at has a place of its own; {near}; {aside}")


def _nearest(pairs: list[Near]) -> str:
    """The least gap there is for certain; where it depends on a size that is not told, with that as large as usual."""
    gaps = sorted((n for n in pairs if 0 < n.least < REACH), key=lambda n: n.least)
    if not gaps:
        return f"nothing comes nearer than {shown(REACH, LENGTH, digits=2)}"
    return f"nearest: {_pair(gaps[0])}, {shown(gaps[0].least, LENGTH, digits=3)}{'' if gaps[0].sure else ' at least'}"


def _collision(path: str, met: list[Near]) -> Finding:
    first = min(met, key=lambda n: n.there / n.needed)
    there = first.there if first.there > SAME else 0.0  # one in the middle of the other, but for rounding
    margin = there / first.needed
    word = WORST_FIRST[int(verdicts(first.needed, there, margin, 1.0, False))]
    part, other = _main(first)
    others = [n for n in met if n is not first]
    also = "; also " + ", ".join(f"{_pair(n)} by {shown(-n.gap, LENGTH, digits=3)}" for n in others[:MOST_NAMED])
    more = f" and {len(others) - MOST_NAMED} more" if len(others) > MOST_NAMED else ""
    note = (f"{part.name} stands {shown(-first.gap, LENGTH, digits=3)} deep in {other.name}{also if others else ''}"
            f"{more}. Move one of the two, or take another line or distance for the stage that leads there")
    return Finding(path, _pair(first), MODE, "any", AS_THEY_STAND, LENGTH, first.needed, there, margin, 1.0,
                   word, PLACES, CLEAR, note=note)


def _why(unsure: list[Near]) -> str:
    """Why it is not known whether parts are clear: the first by its gap, the others by name."""
    near = unsure[0]
    if np.isnan(near.gap):
        ring = near.a if np.isfinite(near.a.hole) else near.b
        return f"whether it passes through the ring of {ring.name} depends on more than the file tells"
    others = [b.name for n in unsure[1:] for b in (n.a, n.b) if not b.told and b not in (near.a, near.b)]
    more = f". So may {_named(list(dict.fromkeys(others)))}" if others else ""
    part, other = (near.a, near.b) if not near.a.told else (near.b, near.a)
    if part.kind == BLOCK:
        lacks = "where it hangs is" if part.side != NOWHERE else "its size and where it hangs are"
        return f"{part.name} may come by {other.name} on its way down: {lacks} not told{more}"
    if part.radius == part.greatest[1] and other.told:
        return (f"the width of {part.name} is not known, and {other.name} passes it by "
                f"{shown(near.gap, LENGTH, digits=3)} at most{more}")
    whose = "no size is told of either" if not other.told else f"no size is told of {part.name}"
    if near.gap <= 0:
        return f"the middle of {part.name} lies in {other.name}: {whose}{more}"
    off = "the least it takes" if part.radius > 0 else "its middle"
    return f"{part.name} may reach {other.name}, {shown(near.gap, LENGTH, digits=3)} from {off}: {whose}{more}"


def _unknown(path: str, mode: str, reason: str, hurts: str = "", required: Source = CLEAR,
             title: str = AS_THEY_STAND, place: str = "") -> Finding:
    return Finding(path, place, mode, "any", title, LENGTH, NAN, NAN, NAN, 1.0, "unknown", PLACES, required,
                   reason=reason, hurts=hurts)


def _not_placed(c: Context) -> str:
    """What may stand in the way and is not known yet."""
    names = [f"the place of {name} is not known" for name in c.space.nowhere if len(c.machine.shafts) > 1]
    names += [f"the room that {_called(path)} takes is not known" for path in c.space.unsized]
    more = f", nor that of {len(names) - 1} more" if len(names) > 1 else ""
    return f"{names[0]}{more}" if names else ""


def _called(path: str) -> str:
    """A part as the findings name it."""
    words = path.split(".")
    if words[0] == "shafts":
        return f"{words[3]} of {words[1]}" if len(words) > 3 else f"shaft {words[1]}"
    return words[1]


def _hand(c: Context, drive: Crank, waits: str) -> Finding:
    """The way of the handle against everything else: a fist must fit, and a foot at a pedal."""
    row = table("safety_gaps")["foot" if isinstance(drive, Pedals) else "hand"]
    hurts = f"whoever {'treads' if isinstance(drive, Pedals) else 'turns'} {drive.name}"
    source = Source(f"{row.text('standard')}, least gap for a {row.name}", row.source.place, row.source.obtained)
    room = hand_room(c.solved, drive, c.space.bodies)
    why = room.why
    needed = row.number("gap_mm", 1e-3)
    if not why and room.gap >= needed:  # what is near already stays near, whatever is chosen
        why = waits or ("" if room.least >= needed else f"no size is told of {room.perhaps}, which may come that near")
    if why:
        return _unknown(drive.path, HAND_MODE, why, hurts, source, "once round")
    return _room(drive, room, needed, hurts, source)


def _room(drive: Crank, room: HandRoom, needed: float, hurts: str, source: Source) -> Finding:
    margin = room.gap / needed
    code = int(verdicts(needed, room.gap, margin, 1.0, True))
    note = (f"nearest to the way of its middle: {room.beside}" if room.beside else
            "nothing the file tells of stands near; walls, frames and guards are not in it")
    return Finding(drive.path, "", HAND_MODE, "any", "once round", LENGTH, needed, room.gap, margin, 1.0,
                   WORST_FIRST[code], PLACES, source, hurts=hurts, note=note)


def _of_standard(gap: float) -> str:
    """A length as the standard writes it, in mm, and in what is printed beside it where that is another unit."""
    millimetres = f"{gap * 1e3:.0f} mm"
    return millimetres if LENGTH.printed[0] == "mm" else f"{millimetres} ({shown(gap, LENGTH, digits=2)})"


@dataclass(frozen=True, slots=True)
class Fingers:
    """Where a finger gets in, in words."""

    places: list[Near]
    perhaps: list[Near]

    @property
    def text(self) -> str:
        """One caution for all places, the nearest six by name; blank where there is none."""
        if not self.places:
            return f"Fingers:{self.open} Tell it, or guard what turns." if self.open else ""
        over, under = finger_gap()
        named = "; ".join(f"{n.a.name} and {n.b.name}, {shown(n.gap, LENGTH, digits=2)}" for n in self.places[:6])
        more = f"; and {len(self.places) - 6} more" if len(self.places) > 6 else ""
        count = "a place" if len(self.places) == 1 else f"{len(self.places)} places"
        return (f"Fingers: at {count} what moves leaves a gap between {_of_standard(over)} and "
                f"{_of_standard(under)}, where a finger goes in and is caught (ISO 13854, ISO 13857): "
                f"{named}{more}. At risk: whoever reaches in while it turns. Guard them or move them apart; children "
                "need larger distances. Meshing teeth and chains that run on to wheels catch fingers besides, and "
                f"frames and housings of no told size are not looked at.{f' And{self.open}' if self.open else ''}")

    @property
    def open(self) -> str:
        """Parts whose size would have to be told before every gap is known."""
        names = list(dict.fromkeys(b.name for n in self.perhaps for b in (n.a, n.b) if not b.told))
        return f" whether one gets in beside {_named(names)} is not known, since no size is told." if names else ""
