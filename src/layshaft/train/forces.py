"""Forces on every seat in space, the torque along every shaft, and what its bearings carry.

Each shaft has two transverse planes, 0 = (along, side) and 1 = (along, other), right-handed with its
axis. The shaft's own weight sits at the middle of each step. The push on a hand crank goes round with
it, so every place of its shaft is asked with the push where it is hardest on that place; so is it with
what a coupling pushes back with, whose direction nobody knows.
"""

from __future__ import annotations

import weakref
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.bearing_pairs import shifts
from layshaft.machine.kinds import Crank, FallingWeight, Pedals, Pull, Suspended
from layshaft.machine.model import Shaft
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.mechanics.beam import Beam, BeamResult
from layshaft.train import sources
from layshaft.train.beams import Shape, beam_like, centres, shape_of
from layshaft.train.cases import BRAKED, LEANING, TRANSIT
from layshaft.train.known import factors
from layshaft.train.place import length, seat_point
from layshaft.train.reactions import PushedBack, pushed_back
from layshaft.train.sense import lifted, motion
from layshaft.train.stages import UP, SeatLoad, Vector, axis, cross, frame, seat_loads, spread

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
Shifts = frozenset[tuple[str, float]]
STEEL_DENSITY = 7850.0
"""kg/m3, common value of handbooks."""


@dataclass(slots=True)
class ShaftLoads:
    """Loads and answers of one shaft. Forces (stations, 3, cases, samples); planes first where named.

    `stations` are places along the shaft, `names` the seat at each (blank between seats). `force` is
    what acts on the shaft at each station besides its bearings, a push on a handle straight down;
    `reaction` what each bearing gives. `torque_left` and `torque_right` are the torque in the shaft
    just before and after each station. On the shaft of a hand crank (`goes_round`), and beside a
    coupling that pushes back (`leaned_on`), reactions, moments and bending are those of the hardest push
    for each place by itself, so they do not add up.
    """

    shaft: str
    stations: list[float]
    names: list[str]
    supports: list[str]
    frame: tuple[Vector, Vector, Vector]
    force: Array
    couple: Array
    torque_left: Array
    torque_right: Array
    reaction: Array
    thrust: Array
    moment_left: Array
    moment_right: Array
    slope: Array
    deflection: Array
    goes_round: bool = False
    leaned_on: bool = False
    centres: list[float] = field(default_factory=list)
    """Place along the shaft where the reaction of each support acts: the load centre of its bearing."""

    settled: Array = field(default_factory=lambda: np.zeros((0, 0)))
    either_way: Array = field(default_factory=lambda: np.zeros((0, 0)))
    """Axial reaction of what has a settled sense, and of what may push either way; `thrust` is both at their worst."""

    @property
    def hand(self) -> str:
        """How pushes of no settled direction count here, for the origin of a demand; blank without any."""
        pushes = [words for words, there in (("the push on the handle", self.goes_round),
                                             ("what a coupling pushes back with", self.leaned_on)) if there]
        return f", {' and '.join(pushes)} where it is hardest on this place" if pushes else ""

    def at(self, seat: str) -> int:
        """Station of a seat."""
        return self.names.index(seat)


class Loads(dict[str, ShaftLoads]):
    """Loads of shafts by name; one that nobody asked for at first is worked out when somebody does."""

    def __init__(self, solved: Solved, names: Collection[str]) -> None:
        on_seats, g = _seat_loads(solved, list(names)), _gravity(solved)
        super().__init__({name: _loads_of(solved, name, on_seats[name], g) for name in names})
        self.solved = weakref.ref(solved)  # no circle: megabytes of draws are to go as soon as nobody needs them

    def __missing__(self, name: str) -> ShaftLoads:
        solved = self.solved()
        if solved is None:
            raise KeyError(name)
        self[name] = shaft_loads(solved, name)
        return self[name]


def all_loads(solved: Solved) -> Loads:
    """What acts on every shaft that is asked for, and what its bearings carry."""
    return Loads(solved, solved.shafts)


def shaft_loads(solved: Solved, name: str, *, in_balance: bool = False) -> ShaftLoads:
    """The same for one shaft; `in_balance`: with every push on a handle straight down, so that all adds up."""
    on_seats, g = _seat_loads(solved, [name])[name], _gravity(solved)
    return _loads_of(solved, name, on_seats, g, in_balance=in_balance)


def _loads_of(solved: Solved, name: str, on_seats: list[SeatLoad], g: _Gravity, *,
              in_balance: bool = False) -> ShaftLoads:
    """Collect what acts on one shaft and solve it as a beam on its bearings."""
    shaft = solved.machine.shafts[name]
    shape = (len(solved.columns), solved.samples)
    supports, moved = supports_of(shaft), shifts(solved.machine, shaft)
    stations, names = _stations(shaft)
    force = np.zeros((len(stations), 3, *shape))
    couple = np.zeros_like(force)
    for load in on_seats:
        at = names.index(load.seat)
        force[at] += load.force
        couple[at] += load.couple
    pull = _pull_on(shaft, g)
    for station, mass in _masses(solved, shaft, stations, names):
        force[station] += mass * pull
    torque = np.zeros((len(stations), *shape))
    for seat, value in solved.seat_torque[name].items():
        torque[names.index(seat)] += value
    before = -np.cumsum(torque, axis=0)
    hand, back = _handles(solved, shaft, names, force), pushed_back(solved, shaft, names, force)
    found = _bent(shaft, moved, force, couple, hand, back, hardest=not in_balance)
    if hand is not None:
        force, couple = force + hand.force, couple + hand.couple
    thrust = -(axis(shaft) @ force.sum(axis=0).reshape(3, -1)).reshape(shape)
    settled, either_way = thrust, np.zeros(shape)
    for push in back:
        either_way = either_way + np.abs(push.along)
        force, couple = force + push.force, couple + push.couple
        thrust = thrust + np.where((thrust > 0) & (not in_balance), push.along, -push.along)
    reaction, moment_left, moment_right, slope, deflection = _shaped(found, shape, len(supports), len(stations))
    return ShaftLoads(
        name, stations, names, supports, frame(shaft), force, couple,
        np.concatenate([np.zeros((1, *shape)), before[:-1]]), before, reaction, thrust, moment_left, moment_right,
        slope, deflection, hand is not None and bool(hand.goes_round.any()), bool(back),
        centres(shaft, supports, moved), settled, either_way,
    )


# Pushes on handles -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Hand:
    """Pushes on the handles of one shaft, across it and down, and the cases in which they go round."""

    force: Array
    couple: Array
    goes_round: npt.NDArray[np.bool_]


def _handles(solved: Solved, shaft: Shaft, names: list[str], like: Array) -> _Hand | None:
    """Feet push down, and so does somebody who leans on a crank; a hand that winds also pulls up and across."""
    cranks = [d for d in solved.machine.drives.values() if isinstance(d, Crank) and d.shaft == shaft.name]
    if not cranks:
        return None
    force, couple = np.zeros_like(like), np.zeros_like(like)
    by_hand = any(not isinstance(d, Pedals) for d in cranks)
    for drive in cranks:
        torque = solved.seat_torque[drive.shaft].get(drive.seat)
        if torque is not None:
            push = spread(-frame(shaft)[2], np.abs(torque) / drive.radius.value)
            arm = np.broadcast_to(axis(shaft)[:, None, None] * drive.handle_overhang.value, push.shape)
            force[names.index(drive.seat)] += push
            couple[names.index(drive.seat)] += cross(arm, push)
    goes_round = np.array([by_hand and not column.title.startswith(LEANING) for column in solved.columns])
    return _Hand(force, couple, goes_round)


def _bent(shaft: Shaft, moved: Shifts, force: Array, couple: Array, hand: _Hand | None,
          back: Sequence[PushedBack], *, hardest: bool) -> BeamResult | None:
    """What the beam answers; a push without a settled direction as it is hardest on each place by itself."""
    found = _bend(shaft, moved, force, couple)
    every = np.ones(len(force[0, 0]), bool)
    pushes: list[tuple[_Hand | PushedBack, npt.NDArray[np.bool_]]] = [(push, every) for push in back]
    for push, free in [(hand, hand.goes_round), *pushes] if hand else pushes:
        more = _bend(shaft, moved, push.force, push.couple) if found is not None else None
        if found is not None and more is not None:
            any_way = np.repeat(free & hardest, force.shape[-1])
            both = [(getattr(found, f.name), getattr(more, f.name)) for f in fields(found)]
            found = BeamResult(*(np.where(any_way, _hardest(own, add), own + add) for own, add in both))
    return found


def _hardest(others: Array, push: Array) -> Array:
    """Two planes of what a push of any direction adds at its worst: the same way as all the others.

    A round shaft on round bearings answers alike in every direction across it, so turning the push turns
    what it adds. Both have the planes second, (places, 2, columns).
    """
    own, more = np.hypot(others[:, 0], others[:, 1])[:, None], np.hypot(push[:, 0], push[:, 1])[:, None]
    return np.where(own == 0, push, others * (1 + more / np.where(own == 0, 1.0, own)))


@once
def _stations(shaft: Shaft) -> tuple[list[float], list[str]]:
    """Seats, notches and middles of steps, in order along the shaft; seats and cuts alone while a length is open."""
    marks = [(seat.at.nominal, name) for name, seat in shaft.seats.items()]
    at = 0.0
    for i, (_, step) in enumerate(_steps(shaft)):
        marks.append((at + step.nominal / 2, ""))
        at += step.nominal
        if i < len(shaft.sections) - 1:
            marks.append((at, f"{SHOULDER}{i + 1}"))
    for word, cuts in ((GROOVE, shaft.grooves), (CROSS_HOLE, shaft.cross_holes)):
        marks += [(cut[0].nominal, f"{word}{i}") for i, cut in enumerate(cuts, start=1)]
    marks.sort(key=lambda m: m[0])
    return [m[0] for m in marks], [m[1] for m in marks]


def _steps(shaft: Shaft) -> tuple[tuple[Given, ...], ...]:
    """The steps of a shaft, none while one of their lengths is open: nothing behind it has a place."""
    return shaft.sections if np.isfinite(length(shaft)) else ()


SHOULDER = "shoulder "
GROOVE = "groove "
CROSS_HOLE = "cross hole "


def _seat_loads(solved: Solved, names: list[str]) -> dict[str, list[SeatLoad]]:
    """What stages, drives and loads put on the seats of these shafts."""
    machine = solved.machine
    found: dict[str, list[SeatLoad]] = {name: [] for name in names}
    for stage_name, stage in machine.stages.items():
        if stage_name in solved.stage_torque and (stage.from_ in found or stage.to in found):
            between = (seat_point(machine, solved.place[stage.to], stage.to, stage.seats[1])
                       - seat_point(machine, solved.place[stage.from_], stage.from_, stage.seats[0]))
            for load in seat_loads(machine, stage, between, *solved.stage_torque[stage_name]):
                if load.shaft in found:
                    found[load.shaft].append(load)
    for load in (*_weight_loads(solved), *_pulls(solved)):
        if load.shaft in found:
            found[load.shaft].append(load)
    return found


def _pulls(solved: Solved) -> list[SeatLoad]:
    """Forces stated outright; on the road nothing pulls, nor does what is not engaged."""
    shape, found = (len(solved.columns), solved.samples), []
    for name, load in solved.machine.loads.items():
        if isinstance(load, Pull):
            here = np.array([[0.0 if c.case == TRANSIT or name in c.off else 1.0] for c in solved.columns])
            force = np.stack([np.broadcast_to(part.value * here, shape) for part in load.force])
            found.append(SeatLoad(load.shaft, load.seat, force, np.zeros_like(force)))
    return found


def _weight_loads(solved: Solved) -> list[SeatLoad]:
    machine, found = solved.machine, []
    for name, drive in machine.drives.items():
        if not isinstance(drive, Suspended):
            continue
        rises = rising(solved, name)
        sinking = sources.weight_pushes(machine, drive)
        for down, up in zip(sinking, sources.weight_pushes(machine, drive, lifted=True), strict=True):
            factor = factors(solved.columns, name, solved.samples, winding=down.shaft != drive.shaft)
            factor = np.broadcast_to(factor, (len(solved.columns), solved.samples))
            force = np.stack([np.where(rises, b, a) * factor
                              for a, b in zip(down.force, up.force, strict=True)])
            force[2] -= _stopped_pull(solved, drive)
            found.append(SeatLoad(down.shaft, down.seat, force, np.zeros_like(force)))
    return found


def _stopped_pull(solved: Solved, drive: Suspended) -> Array:
    """What a weight on a drum pulls more while a brake stops it on its way down, (cases, samples)."""
    pull = np.zeros((len(solved.columns), solved.samples))
    stops = [i for i, column in enumerate(solved.columns) if column.case == BRAKED]
    if stops and isinstance(drive, FallingWeight):
        sense = sources.turning_sense(solved.machine, drive, drive.shaft)
        arm = sources.wheel_diameter(solved.machine, drive) / 2
        J = sources.weight_inertia(solved.machine, drive)
        pull[stops] = -J * solved.acceleration[drive.shaft][stops] * sense / arm
    return pull


def rising(solved: Solved, drive: str) -> npt.NDArray[np.bool_]:
    """Cases in which a hanging weight goes up, shape (cases, 1)."""
    root = solved.set_of(solved.machine.drives[drive].shaft).root
    role = solved.roles[root]
    sense = motion(solved.machine, role)
    return np.array([[lifted(solved.machine, role, sense, c.plans[root], drive)] for c in solved.columns])


@dataclass(frozen=True, slots=True)
class _Gravity:
    """Acceleration every mass pulls with, (cases, samples), and the cases in which that is a shock of the road."""

    size: Array
    road: npt.NDArray[np.bool_]


def _gravity(solved: Solved) -> _Gravity:
    size = np.empty((len(solved.columns), solved.samples))
    for i, column in enumerate(solved.columns):
        size[i] = solved.machine.gravity.value if column.shock is None else column.shock
    return _Gravity(size, np.array([[column.shock is not None] for column in solved.columns]))


def _pull_on(shaft: Shaft, g: _Gravity) -> Array:
    """Pull of one kilogram on a shaft, (3, cases, samples): down, and on the road across it, where it bends most."""
    up = frame(shaft)[2]
    return np.stack([np.where(g.road, -across, -plain) * g.size for across, plain in zip(up, UP, strict=True)])


def _masses(solved: Solved, shaft: Shaft, stations: list[float], names: list[str]) -> Iterator[tuple[int, Any]]:
    """Station and mass of the shaft's own steps, and of what sits on its seats."""
    at = 0.0
    for diameter, step in _steps(shaft):
        place = at + step.nominal / 2
        yield _station(stations, names, place), STEEL_DENSITY * np.pi / 4 * diameter.nominal**2 * step.nominal
        at += step.nominal
    for name, seat in shaft.seats.items():
        if seat.mass.known:
            yield names.index(name), seat.mass.value
    for load in solved.machine.loads.values():
        if load.shaft == shaft.name and not _is_number(sources.load_mass(load), 0.0):
            yield names.index(load.seat), sources.load_mass(load)


def _is_number(value: Any, number: float) -> bool:
    return np.ndim(value) == 0 and float(value) == number


def _station(stations: list[float], names: list[str], place: float) -> int:
    return next(i for i, (x, n) in enumerate(zip(stations, names, strict=True)) if n == "" and x == place)


def _bend(shaft: Shaft, moved: Shifts, force: Array, couple: Array) -> BeamResult | None:
    supports = supports_of(shaft)
    if not np.isfinite(length(shaft)) or len(supports) < 2:
        return None
    beam = beam_of(shaft, moved)
    _, side, other = frame(shaft)
    across, bending = np.array([side, other]), np.array([other, -side])
    # A couple that turns the axis towards `side` acts about a x side = other; towards `other`, about -side.
    columns = force.shape[2] * force.shape[3]
    size = (len(force), 3, columns)
    found = beam.solve(across @ force.reshape(size), bending @ couple.reshape(size))
    return _stiffness_unknown(found, len(supports)) if _open(shaft) else found


@once
def _open(shaft: Shaft) -> bool:
    return any(np.isnan(d.nominal) for d, _ in shaft.sections)


@once
def beam_of(shaft: Shaft, moved: Shifts) -> Beam:
    """A shaft on the load centres of its bearings, a diameter that is open replaced by a stand-in."""
    return beam_like(bending_shape(shaft, moved))


def bending_shape(shaft: Shaft, moved: Shifts) -> Shape:
    """What its beam is made of: steps, bearings, and the stations that loads and answers have."""
    return shape_of(shaft, supports_of(shaft), _stations(shaft)[0], moved)


def supports_of(shaft: Shaft) -> list[str]:
    """Seats with a bearing, chosen or open."""
    return [name for name, seat in shaft.seats.items() if seat.carries_shaft]


def _stiffness_unknown(found: BeamResult, supports: int) -> BeamResult:
    """Two bearings share by statics alone; slope, deflection and a third bearing ask for the diameter."""
    bent = replace(found, slope=np.nan * found.slope, deflection=np.nan * found.deflection)
    if supports == 2:
        return bent
    return replace(bent, **{f.name: np.nan * getattr(found, f.name) for f in fields(found)})


def _shaped(found: BeamResult | None, shape: tuple[int, int], supports: int, stations: int) -> list[Array]:
    """Reactions, moments left and right, slope and deflection, (places, 2, cases, samples)."""
    if found is None:
        return [np.full((n, 2, *shape), np.nan) for n in (supports, *[stations] * 4)]
    parts = (found.reactions, found.moment_left, found.moment_right, found.slope, found.deflection)
    return [p.reshape(p.shape[0], 2, *shape) for p in parts]
