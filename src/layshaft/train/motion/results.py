"""What a run says: steadiness, timing, droop, winding, peaks, books. The faces print it, a rating may take it up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from layshaft.machine.kinds import PERIODIC, FanBrake
from layshaft.machine.sampling import at_nominal
from layshaft.machine.sentences import programme as say
from layshaft.mechanics import steadiness
from layshaft.trace.errors import BadInput
from layshaft.trace.units import ENERGY, SPEED, TIME, TORQUE, shown
from layshaft.train.by_angle import curve_of
from layshaft.train.motion.books import Books, books_of, stores
from layshaft.train.motion.changes import WITHIN, Changed, Combination, changed, combinations, settled_after
from layshaft.train.motion.course import BROKEN_OFF, PIECES, STUCK, Course, follow
from layshaft.train.motion.notes import notes
from layshaft.train.motion.peaks import Peak, peaks
from layshaft.train.motion.programme import Programme, programme_of
from layshaft.train.motion.run import REPEATS, STANDING
from layshaft.train.motion.steady import Timing, swing_within, timing
from layshaft.train.motion.wound import Wound, wound
from layshaft.train.trim import spare_at

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


EVEN_WITHIN = 1e-5
"""Share of the level within which the mean speed must stay for swing and timing to be those of even running."""


@dataclass(frozen=True, slots=True)
class ShaftRun:
    """How one shaft turned: its mean from when the run had settled to its end, swing and timing in the even part."""

    shaft: str
    wanted: float
    """Speed that is wanted; NaN where none is."""

    mean: float
    error: float
    swing: float
    swing_at: float
    event: str
    timing: Timing | None


@dataclass(slots=True)
class Results:
    """Everything one run says. Times in s from the start, speeds in rad/s."""

    course: Course
    settled: float
    """Time by which the mean speed stays within 1 % of the speed it comes back to; NaN: never."""

    ends: float
    """Time at which the steady running ended: a weight landed, a brake was put on for good, or the run was over."""

    even: tuple[float, float]
    """The longest part of the run in which nothing is engaged or let go, settled: swing and timing are of it."""

    shafts: list[ShaftRun]
    changes: list[Changed]
    combinations: list[Combination]
    wound: list[Wound]
    peaks: list[Peak]
    books: Books
    method: str
    error: float
    """Estimate of the relative error of the angle turned."""

    notes: list[str]
    stopped: str
    """Why it stopped before the programme was over; blank if it did not."""

    @property
    def broken_off(self) -> bool:
        """Whether it was interrupted; what was done until then is here."""
        return self.course.ended == BROKEN_OFF

    @property
    def inertias(self) -> dict[str, float]:
        """Moment of inertia of everything that moves, seen from the root."""
        return stores(self.course)


def motion_of(solved: Solved, programme: Programme | None = None,
              told: Callable[[float], None] | None = None) -> Results:
    """Run a programme, that of the file where none is given, and say how it went. Raises `BadInput`."""
    with np.errstate(all="ignore"):
        programme = programme or programme_of(solved)
        _governed(solved, programme)
        c = follow(solved, programme, told)
        books = books_of(c)
        settled, ends = settled_after(c, 0.0), _ends(c)
        whole = (settled if np.isfinite(settled) else 0.0, ends)
        even = _longest(c, ends)
        return Results(c, settled, ends, even, [_shaft(c, shaft, whole, even) for shaft in _of_interest(c)],
                       changed(c), combinations(c), wound(c, whole), peaks(c), books, _method(c), _error(c, books),
                       notes(c), _stopped(c))


def _governed(solved: Solved, programme: Programme) -> None:
    """A fan that is to hold a speed the drive does not reach."""
    s = solved.sets[programme.root]
    for load in solved.machine.loads.values():
        if (isinstance(load, FanBrake) and load.shaft in s.ratio and load.governs
                and load.trim.known and not np.isfinite(load.trim.nominal)):
            short = -spare_at(at_nominal(solved.machine), s, load)
            if short > 0:
                raise BadInput(say.cannot_govern(load.path, load.governs, shown(load.governed_speed.nominal, SPEED),
                                                 shown(short, TORQUE)))


def _ends(c: Course) -> float:
    last = [m.time for m in c.marks if m.kind in ("landed", "stuck")]
    last += [m.time for m in c.marks if m.kind == "brake" and not any(
        n.kind == "freed" and n.time > m.time for n in c.marks)]
    return min([*last, float(c.motion.time[-1])])


def _longest(c: Course, ends: float) -> tuple[float, float]:
    """The longest time between two changes of the loads, without what it takes to settle in it."""
    edges = sorted({0.0, ends, *(m.time for m in c.marks if m.kind in ("change", "brake", "freed") and m.time < ends)})
    begin, end = max(pairwise(edges), key=lambda span: span[1] - span[0], default=(0.0, ends))
    settled = [t for within in (EVEN_WITHIN, WITHIN) if np.isfinite(t := settled_after(c, begin, within))]
    return (settled[0] if settled else begin, end)


def _of_interest(c: Course) -> list[str]:
    """Shafts something is wanted of, and those whose events are heard; else the root."""
    ratio = c.ratio
    asked = [w.shaft for w in c.solved.machine.wants.values() if w.shaft]
    asked += [load.shaft for load in c.solved.machine.loads.values() if isinstance(load, PERIODIC)]
    return [shaft for shaft in dict.fromkeys(asked) if shaft in ratio] or [c.programme.root]


def _shaft(c: Course, shaft: str, whole: tuple[float, float], even: tuple[float, float]) -> ShaftRun:
    turns = abs(c.ratio[shaft])
    wanted = next((w.speed.nominal for w in c.solved.machine.wants.values() if w.shaft == shaft and w.speed.known),
                  float("nan"))
    mean = c.mean(*whole) * turns
    swing, when = swing_within(c.motion, 2 * np.pi / turns, *even)
    (begin, end), _ = c.motion.at_time(np.array(even))
    name, pitch, one = _events(c, shaft, turns)
    marks = one + pitch * np.arange(np.ceil((begin - one) / pitch), np.floor((end - one) / pitch) + 1)
    times = c.motion.at_angle(marks)[0] if np.isfinite(marks).all() else marks[:0]
    return ShaftRun(shaft, wanted, mean, float(steadiness.rate_error(mean, wanted)), swing, when, name,
                    timing(times, pitch * turns / wanted))


def _events(c: Course, shaft: str, turns: float) -> tuple[str, float, float]:
    """What is heard or seen of a shaft, the root angle from one to the next, and of the first."""
    for lift in c.motion.lifts:
        if lift.shaft == shaft and lift.drops:
            return f"drops of {lift.load}", lift.pitch, lift.over
    return f"turns of {shaft}", 2 * np.pi / turns, 0.0


def _method(c: Course) -> str:
    stretches = int(np.sum(np.diff(c.motion.angle) > 0))
    bands = len({id(p.band) for p in c.motion.parts if p is not STANDING})
    linear = any(p.band.a[1] for p in c.motion.parts)
    how = "closed form in time" if linear else "squared speed over the angle, in closed form"
    return f"rigid train, {how} from edge to edge of every lift: {stretches} stretches, {bands} torque laws"


def _error(c: Course, books: Books) -> float:
    """What the books leave open, or by how much a cycle may differ that is taken to repeat.

    Where a handle turns unevenly, also what finer pieces of its turn would change.
    """
    known = max(books.open, REPEATS)
    if not any(b.unevenness for b in c.programme.bouts) or not c.motion.angle[-1] or c.ended == BROKEN_OFF:
        return known
    finer = follow(c.solved, c.programme, pieces=2 * PIECES)
    return known if finer.ended == BROKEN_OFF else max(
        known, abs(float(finer.motion.angle[-1] / c.motion.angle[-1] - 1)))


def _stopped(c: Course) -> str:
    """What it could not get over."""
    if c.ended != STUCK:
        return ""
    m, at = c.motion, shown(float(c.motion.time[-1]), TIME)
    running = np.flatnonzero(np.diff(m.angle) > 0)
    part = m.parts[int(m.part[running[-1]])] if len(running) else STANDING
    lift = next((n for n in m.lifts if part.acts(n)), None)
    if lift is None:
        return say.runs_down(at)
    begun = int(np.searchsorted(m.angle, np.floor(m.angle[-1] / lift.pitch) * lift.pitch * (1 + 1e-12)))
    begun = min(begun, int(running[-1]))
    held = sum(stores(c).values()) * float(m.omega[begun]) ** 2 / 2
    asked = float(np.mean(curve_of(c.solved.machine, c.solved.machine.loads[lift.load]).taken))
    return say.stuck_in_a_lift(at, lift.load, shown(asked, ENERGY), shown(held, ENERGY))
