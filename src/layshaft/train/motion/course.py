"""A whole run: the programme followed leg by leg, from rest until its time is over or all is still.

A leg is a stretch of the run in which the same loads are engaged, the same brakes are on and nobody changes how
hard the weights pull. Winding pulls on the drive of a loop by what the weight is accelerated with, as in the solved
winding case; the ripple of the push stays on the winding side. A handle turned unevenly is taken piece by piece.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from layshaft.machine.sentences import programme as say
from layshaft.trace.errors import BadInput
from layshaft.trace.units import TORQUE, shown
from layshaft.train import sources
from layshaft.train.forces import rising
from layshaft.train.motion import reduced as seen
from layshaft.train.motion.programme import Bout, Change, Hold, Programme
from layshaft.train.motion.reduced import Reduced, Setting, reduce
from layshaft.train.motion.run import STANDING, STOPS, TIME, Log, Motion, Now, advance
from layshaft.train.motion.steady import Steady, settled_speed
from layshaft.train.motion.way import BOTTOM, TOP, TURNED, Hoist, Way

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

PIECES = 12
"""Pieces of a turn of a handle that is turned unevenly."""

STILL = "all is still"
STUCK = "it stops"
TOPPED = "a weight that the run winds up was at its top"
BROKEN_OFF = "stopped by hand"
EPS = 1e-12


@dataclass(frozen=True, slots=True)
class Leg:
    """From an edge on: the setting, and the weights that hang."""

    first: int
    setting: Setting
    hoists: tuple[Hoist, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """What happened when; `kind` is one of change, wind, wound, brake, freed, landed, still, stuck."""

    time: float
    kind: str
    name: str
    speed: float = 0.0
    """Speed of the root then."""


@dataclass(slots=True)
class Course:
    """A run and what happened in it."""

    solved: Solved
    programme: Programme
    motion: Motion
    legs: list[Leg]
    marks: list[Mark]
    reduced: dict[Setting, Reduced]
    ended: str
    levels: dict[Setting, Steady] = field(default_factory=dict)

    def at(self, setting: Setting) -> Reduced:
        """The train seen from its root in a setting."""
        if setting not in self.reduced:
            self.reduced[setting] = reduce(self.solved, self.programme.root, setting)
        return self.reduced[setting]

    def level(self, setting: Setting) -> Steady:
        """The speed a setting comes back to."""
        if setting not in self.levels:
            self.levels[setting] = settled_speed(self.at(setting))
        return self.levels[setting]

    def mean(self, begin: float, end: float) -> float:
        """Mean speed of the root between two times, without the pauses under a brake."""
        edges = [begin, end]
        for mark in self.marks:
            if mark.kind in ("brake", "freed") and begin < mark.time < end:
                edges.append(mark.time)
        times = np.array(sorted(edges))
        angles = self.motion.at_time(times)[0]
        on = np.array([self._braked(float(t)) for t in (times[1:] + times[:-1]) / 2])
        spent = float(np.diff(times)[~on].sum())
        return float(np.diff(angles)[~on].sum()) / spent if spent > 0 else float("nan")

    def _braked(self, time: float) -> bool:
        last = [mark.kind for mark in self.marks if mark.kind in ("brake", "freed") and mark.time <= time]
        return bool(last) and last[-1] == "brake"

    @property
    def ratio(self) -> dict[str, float]:
        """Speed of every shaft of the train over that of its root."""
        return self.solved.sets[self.programme.root].ratio


@dataclass(slots=True)
class _Piece:
    """A piece of a bout: the weight is lifted with a speed that grows evenly from `first` to `last`."""

    ends: float
    first: float
    last: float


def follow(solved: Solved, programme: Programme, told: Callable[[float], None] | None = None,
           pieces: int = PIECES) -> Course:
    """Run a programme on the nominal machine; `told` hears how far it has come, an interrupt keeps what is done.

    Raises `BadInput` where nothing would turn at all.
    """
    run = _Run(solved, programme, Log(told), pieces)
    run.start()
    try:
        while not run.ended:
            run.leg()
    except KeyboardInterrupt:
        run.broken_off()
    motion = run.log.motion(run.now, programme.root, run.at(Setting()).lifts, [leg.first for leg in run.legs],
                            run.ended)
    return Course(solved, programme, motion, run.legs, run.marks, run.reduced, run.ended)


@dataclass(slots=True)
class _Run:
    solved: Solved
    programme: Programme
    log: Log
    cut: int
    now: Now = field(default_factory=lambda: Now(0.0, 0.0, 0.0))
    setting: Setting = field(default_factory=Setting)
    hoists: dict[str, Hoist] = field(default_factory=dict)
    bout: Bout | None = None
    pieces: list[_Piece] = field(default_factory=list)
    release: float = np.inf
    waits: list[Change | Bout | Hold] = field(default_factory=list)
    legs: list[Leg] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    reduced: dict[Setting, Reduced] = field(default_factory=dict)
    stays: Setting | None = None
    ended: str = ""

    def at(self, setting: Setting) -> Reduced:
        """The set seen from its root in a setting."""
        if setting not in self.reduced:
            self.reduced[setting] = reduce(self.solved, self.programme.root, setting)
        return self.reduced[setting]

    def start(self) -> None:
        """Hang the weights up, and refuse what would never move."""
        p, machine = self.programme, self.solved.machine
        self.waits = [*p.changes, *p.bouts, *p.holds]
        s = self.solved.sets[p.root]
        for name in self.solved.roles[p.root].weights:
            drive = machine.drives[name]
            arm = float(np.mean(sources.weight_speed(machine, drive, abs(s.ratio[drive.shaft]))))
            top = drive.drop.nominal
            begins = min(p.height, top) if np.isfinite(p.height) else top
            up = rises(self.solved, name)
            self.hoists[name] = Hoist(name, -arm if up else arm, 0.0 if up else begins, top)
        self._due()
        r = self.at(self.setting)
        if not np.isfinite([x for bands in r.bands.values() for band in bands for x in band.a]).all():
            raise BadInput(say.not_known(self._unknown()))
        if not np.isfinite(p.time) and not all(np.isfinite(h.start) for h in self.hoists.values()):
            raise BadInput(say.when_does_it_end())
        if r.at_rest <= 0 and not self.setting.brake:
            gives, needs = seen.at_rest(self.solved, p.root, self.setting)
            name = self.solved.roles[p.root].weights[0]
            raise BadInput(say.will_not_start(name, *(shown(v, TORQUE) for v in (gives, needs, needs - gives))))

    def _unknown(self) -> str:
        """What keeps the train from being reckoned: the masses that are not known, if it is these."""
        loads, ratio = self.solved.machine.loads, self.solved.sets[self.programme.root].ratio
        masses = [name for name, load in loads.items() if load.shaft in ratio and name not in self.setting.off
                  and not np.isfinite(np.mean(sources.inertia(load)))]
        if masses:
            return f"the moment of inertia of {' and '.join(masses)}"
        return f"a torque, a loss or a ratio of the train with '{self.programme.root}'"

    def leg(self) -> None:
        """One leg, or the time that is spent standing."""
        self._due()
        until = self._until()
        hanging = tuple(h for name, h in self.hoists.items() if name not in self.setting.landed)
        r = self.at(self.setting)
        self.legs.append(Leg(self.log.edges, self.setting, hanging))
        if self.now.time >= self.programme.time:
            self.ended = TIME
        elif self.now.y <= 0 and (self.stays == self.setting or not r.at_rest > 0):
            self._stand(until, hanging)
        else:
            far = min((w.angle for w in self.waits if isinstance(w, Change)), default=np.inf)
            self._react(advance(r, self.log, self.now, until, Way(far, hanging)))

    def broken_off(self) -> None:
        """Stand where the last edge was put down."""
        last = next((piece for piece in reversed(self.log.pieces) if len(piece[0])), None)
        if last is not None:
            time, angle, y, _ = last
            self.now = Now(float(time[-1]), float(angle[-1]), float(y[-1]))
        self.ended = BROKEN_OFF

    # What comes next.

    def _until(self) -> float:
        times = [w.time for w in self.waits if w.time > self.now.time]
        return min([*times, self.release, self.programme.time, *(p.ends for p in self.pieces[:1])])

    def _due(self) -> None:
        """Everything whose time or angle has come."""
        now, angle = self.now.time * (1 + EPS), self.now.angle * (1 + EPS)
        if now >= self.release:
            self._mark("freed", self.setting.brake)
            self.setting, self.release = replace(self.setting, brake=""), np.inf
        if self.pieces and now >= self.pieces[0].ends:
            self._next_piece()
        for w in sorted((w for w in self.waits if _begins(w, now, angle)), key=lambda w: w.time):
            if isinstance(w, Bout) and self.bout is not None:
                continue  # one person after the other
            self.waits.remove(w)
            if isinstance(w, Change):
                self._mark("change", w.name)
                self.setting = replace(self.setting, off=w.off)
            elif isinstance(w, Hold):
                self._mark("brake", w.brake)
                self.setting, self.release = replace(self.setting, brake=w.brake), w.time + w.lasts
            else:
                self._wind(w)

    def _mark(self, kind: str, name: str) -> None:
        self.marks.append(Mark(self.now.time, kind, name, float(np.sqrt(max(self.now.y, 0.0)))))

    # Winding.

    def _wind(self, bout: Bout) -> None:
        self._mark("wind", bout.name)
        if bout.weight in self.setting.landed:
            self.setting = replace(self.setting, landed=self.setting.landed - {bout.weight})
            h = self.hoists[bout.weight]
            self.hoists[bout.weight] = replace(h, start=h.arm * self.now.angle - h.up)
        self.bout, self.pieces = bout, _pieces(bout, self.now.time, self.cut)
        self._pull()

    def _next_piece(self) -> None:
        assert self.bout is not None
        h = self.hoists[self.bout.weight]
        h = replace(h, up=h.lifted(self.now.time), since=self.now.time, speed=0.0, gain=0.0)
        self.pieces.pop(0)
        if not self.pieces:
            self._mark("wound", self.bout.name)
            h, self.bout = replace(h, top=self.solved.machine.drives[h.weight].drop.nominal), None
        self.hoists[h.weight] = h
        self._pull()

    def _pull(self) -> None:
        """The weight is lifted as the first piece says, and pulls by as much harder as it is accelerated."""
        pull: tuple[tuple[str, float], ...] = ()
        if self.bout is not None:
            piece, h = self.pieces[0], self.hoists[self.bout.weight]
            gain = (piece.last - piece.first) / (piece.ends - self.now.time)
            self.hoists[self.bout.weight] = replace(h, up=h.lifted(self.now.time), since=self.now.time,
                                                    speed=piece.first, gain=gain)
            if gain:
                pull = ((self.bout.weight, round(1 + gain / self.solved.machine.gravity.nominal, 12)),)
        self.setting = replace(self.setting, pull=pull)

    def _ease_off(self) -> None:
        """The weight is up: the handle is let come to rest."""
        assert self.bout is not None
        h = self.hoists[self.bout.weight]
        speed = h.speed + h.gain * (self.now.time - h.since)
        self.hoists[h.weight] = replace(h, up=h.lifted(self.now.time), since=self.now.time, speed=0.0, gain=0.0,
                                        top=np.inf)
        self.pieces = [_Piece(self.now.time + max(self.bout.ramp, EPS), speed, 0.0)]
        self._pull()

    # What ends a leg.

    def _react(self, why: str) -> None:
        if why == BOTTOM:
            down = min(self.hoists.values(), key=lambda h: (
                h.weight in self.setting.landed, h.height(self.now.time, self.now.angle))).weight
            self._mark("landed", down)
            self.setting = replace(self.setting, landed=self.setting.landed | {down})
            if not np.isfinite(next(iter(self.at(self.setting).bands.values()))[0].a).all():
                self._stop()  # nothing is left that could run on
        elif why == TOP and self.bout is None:
            self.ended = TOPPED
        elif why == TOP:
            self._ease_off()
        elif why == STOPS:
            self._stop()
        elif why not in (TIME, TURNED):
            self.ended = why

    def _stop(self) -> None:
        self.now.y, self.stays = 0.0, self.setting
        known = self.setting.brake or self.setting.landed
        self._mark("still" if known else "stuck", self.setting.brake or ", ".join(sorted(self.setting.landed)))
        if not known:
            self.ended = STUCK

    def _stand(self, until: float, hanging: tuple[Hoist, ...]) -> None:
        self.log.one(self.now, STANDING)
        rising = next((h for h in hanging if h.speed or h.gain), None)
        if rising is not None and rising.height(until, self.now.angle) > rising.top:
            self.now.time = rising.reaches_top(until, self.now.angle)
            self._ease_off()
        elif np.isfinite(until):
            self.now.time = until
        else:
            self.ended = STILL


def rises(solved: Solved, name: str) -> bool:
    """Whether a weight goes up while the train runs: another one winds it."""
    return bool(rising(solved, name)[0, 0])


def _begins(w: Change | Bout | Hold, now: float, angle: float) -> bool:
    return w.time <= now or (isinstance(w, Change) and w.angle <= angle)


def _pieces(bout: Bout, start: float, cut: int) -> list[_Piece]:
    """Up to speed, turn by turn, and down again."""
    ramp, ends = bout.ramp, start + bout.lasts
    found = [_Piece(start + ramp, 0.0, bout.rises)] if ramp else []
    if bout.unevenness:
        step = 2 * np.pi / bout.speed / cut
        edges = np.append(np.arange(start + ramp, ends - ramp, step), ends - ramp)
        edges = edges[np.append(np.diff(edges) > EPS * ends, True)]
        speeds = bout.rises * (1 + bout.unevenness / 2 * np.sin(bout.speed * (edges - edges[0])))
        found += [_Piece(float(b), float(v), float(w)) for b, v, w in
                  zip(edges[1:], speeds[:-1], speeds[1:], strict=True)]
        last = float(speeds[-1])
    else:
        found, last = [*found, _Piece(ends - ramp, bout.rises, bout.rises)], bout.rises
    return [*found, *([_Piece(ends, last, 0.0)] if ramp else [])]
