"""Angular contact and tapered roller bearings of a shaft: the pair, how it faces, where its load centres lie.

The back of the outer ring takes the axial load. Back to back the backs look at each other, so the left
bearing holds the shaft from going right and the load centres lie farther apart than the bearings; face
to face it is the other way round. Left is nearer to the start of the shaft.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine import listings
from layshaft.machine.kinds import AngularContactPart
from layshaft.machine.model import Machine, Seat, Shaft
from layshaft.machine.once import once

BACK_TO_BACK = "back to back"
FACE_TO_FACE = "face to face"
PAIR = 2


@dataclass(frozen=True, slots=True)
class Pair:
    """The two seats by name, left first, and the word of the file for their facing; blank if not given."""

    left: str
    right: str
    facing: str

    def other(self, seat: str) -> str:
        """The seat against which one is mounted."""
        return self.right if seat == self.left else self.left

    def holds(self, seat: str) -> float:
        """1 where the bearing holds a push towards the end of the shaft, -1 towards its start, NaN if not known."""
        if not self.facing:
            return float("nan")
        return 1.0 if (seat == self.left) == (self.facing == BACK_TO_BACK) else -1.0


def part_on(machine: Machine, seat: Seat) -> AngularContactPart | None:
    """The angular contact or tapered roller bearing on a seat, or None."""
    if not machine.parts or not seat.bearing.known:
        return None
    size = listings.resolve(machine, "bearing", seat.bearing.name)
    return size.part if size is not None and isinstance(size.part, AngularContactPart) else None


@once
def thrust_seats(machine: Machine, shaft: Shaft) -> tuple[str, ...]:
    """Seats with such a bearing, in order along the shaft."""
    found = [seat for seat in shaft.seats.values() if part_on(machine, seat) is not None]
    return tuple(seat.name for seat in sorted(found, key=lambda s: s.at.nominal))


@once
def pair_of(machine: Machine, shaft: Shaft) -> Pair | None:
    """The pair of a shaft; None where it has no such bearing, one alone, or more than two."""
    found = thrust_seats(machine, shaft)
    if len(found) != PAIR:
        return None
    left, right = found
    return Pair(left, right, shaft.seats[left].facing or shaft.seats[right].facing or "")


@once
def shifts(machine: Machine, shaft: Shaft) -> frozenset[tuple[str, float]]:
    """How far the load centre of each bearing of the pair lies towards the end of the shaft from its middle."""
    pair = pair_of(machine, shaft)
    if pair is None or not pair.facing:
        return frozenset()
    found = set()
    for seat in (pair.left, pair.right):
        part = part_on(machine, shaft.seats[seat])
        if part is not None and centre_known(part):
            found.add((seat, -pair.holds(seat) * (part.load_centre.nominal - part.width.nominal / 2)))
    return frozenset(found)


def centre_known(part: AngularContactPart) -> bool:
    """True where the list says how far the load centre lies from the middle of the width."""
    return part.load_centre.known and part.width.known
