"""First sizes of a train from six answers: stages, total ratio, weight and fan, the energy budget.

This is the balance a builder does on paper, backwards from the load: each stage and bearing adds what
it loses. `layshaft check` solves the drafted machine on its own; the tests hold one against the other.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from layshaft.mechanics import drives, loads
from layshaft.project.answers import AnswerError, Answers
from layshaft.trace.units import LENGTH, MASS, REV_PER_MIN, shown

GRAVITY = 9.81
MOST_PER_STAGE = 6.0
"""Largest step of one chain stage: common practice, no single source."""

EFFICIENCY, EFFICIENCY_RANGE = 0.95, (0.90, 0.97)
STAGE_AT_REST, BEARING_AT_REST, LOAD_AT_REST = 1.5, 2.0, 1.5
START_RATIO = 1.5
"""Torque of the weight over what breaks the train away: common practice, no single source."""

PULLEY_LOSS = 0.04
SEALED, SHIELDED = 0.03, 0.003
"""Drag of one ball bearing with contact seals, and with metal shields, N m: typical."""

SEALS_ABOVE = 3.0
"""Torque in a shaft, N m, from which contact seals cost little."""

SLAB = 25.0
"""Mass one person lifts without help: common practice, no single source."""

HEAVY = 200.0
"""Hung mass above which a hand-built frame is better spared, kg: common practice, no single source."""

SLOWEST_FAN, FASTEST_FAN = 60 * REV_PER_MIN, 1500 * REV_PER_MIN
AIR, VANE_DRAG, VANES = 1.20, 1.20, 2.0
HEADROOM = 0.7
"""Share of the room's height the weight can fall: the rest is hanger, weight and drum."""

LED_SPEED = {"crank": 30 * REV_PER_MIN, "pedals": 60 * REV_PER_MIN, "motor": 60 * REV_PER_MIN}
A_LITTLE_LONGER = 1.005
"""So that rounded ratios do not make a winding shorter than asked."""

ROUNDS = 200
SETTLED_AFTER = 4
SHORTEST_RUN = 1.0


@dataclass(frozen=True, slots=True)
class ShaftSize:
    """One shaft of the draft: turning speed and the drag of each of its two bearings."""

    speed: float
    drag: float


@dataclass(frozen=True, slots=True)
class Branch:
    """A row of stages. `turns[i]` are turns of the first shaft for one of the second, as written."""

    turns: tuple[float, ...] = ()
    shafts: tuple[ShaftSize, ...] = ()
    """The shaft behind each stage."""

    @property
    def ratio(self) -> float:
        """Speed of the last shaft over that before the first stage."""
        return 1 / math.prod(self.turns)

    def asks(self, torque: float, *, at_rest: bool = False) -> float:
        """Torque the shaft before the branch must give for a torque on its last shaft."""
        drag, passed = (
            (BEARING_AT_REST, 1 - (1 - EFFICIENCY) * STAGE_AT_REST) if at_rest else (1.0, EFFICIENCY)
        )
        for turns, shaft in zip(reversed(self.turns), reversed(self.shafts), strict=True):
            torque = (torque + 2 * shaft.drag * drag) / turns / passed
        return torque

    def gives(self, torque: float) -> float:
        """Torque left at the last shaft of what enters the first stage."""
        for turns, shaft in zip(self.turns, self.shafts, strict=True):
            torque = torque * turns * EFFICIENCY - 2 * shaft.drag
        return torque

    def stage_losses(self, torque: float) -> float:
        """Power lost in the stages when the last shaft needs `torque`."""
        lost = 0.0
        for turns, shaft in zip(reversed(self.turns), reversed(self.shafts), strict=True):
            torque += 2 * shaft.drag
            lost += torque * shaft.speed * (1 / EFFICIENCY - 1)
            torque = torque / turns / EFFICIENCY
        return lost

    def bearing_losses(self) -> float:
        """Power lost in the bearings behind the stages."""
        return sum(2 * s.drag * s.speed for s in self.shafts)


@dataclass(slots=True)
class Weight:
    """The falling weight, its drum and its fan."""

    mass: float
    drop: float
    diameter: float
    falls: int
    fan_from_load: bool = True
    fan: Branch = field(default_factory=Branch)
    fan_speed: float = math.nan
    fan_torque: float = math.nan
    fan_power: float = math.nan
    """What the fan is laid out for; its torque is trimmed at the end."""

    start_ratio: float = math.nan

    @property
    def loss(self) -> float:
        """Loss of one pulley; a plain drum has none."""
        return PULLEY_LOSS if self.falls > 1 else 0.0

    @property
    def torque(self) -> float:
        """Torque on the drum while the weight sinks."""
        rope = drives.rope_force_running(self.mass, GRAVITY, float(self.falls), self.loss)
        return float(drives.weight_torque(rope, self.diameter))


@dataclass(slots=True)
class Sizing:
    """The sized train: the drive's shaft, the stages to the load, and the weight where there is one."""

    drive: ShaftSize
    torque: float
    """Torque of the drive on its shaft, running."""

    main: Branch
    load_speed: float
    load_torque: float
    weight: Weight | None = None

    @property
    def at_load_shaft(self) -> float:
        """Torque wanted on the load's shaft, with what the fan's stages ask of it."""
        fan = self.weight
        more = fan.fan.asks(fan.fan_torque) if fan and fan.fan_from_load else 0.0
        return self.load_torque + more

    def budget(self) -> dict[str, float]:
        """Power in W by line; what the drive gives is the sum of the others."""
        w = self.weight
        lines = {
            "load": self.load_torque * self.load_speed,
            "stages": self.main.stage_losses(self.at_load_shaft),
            "bearings": 2 * self.drive.drag * self.drive.speed + self.main.bearing_losses(),
            "drive": self.torque * self.drive.speed,
        }
        if w:
            lines["fan"] = w.fan_torque * w.fan_speed
            lines["stages"] += w.fan.stage_losses(w.fan_torque)
            lines["bearings"] += w.fan.bearing_losses()
            lines["drive"] = w.mass * GRAVITY * self.weight_speed
            lines["pulleys"] = lines["drive"] - self.torque * self.drive.speed
        return lines

    @property
    def weight_speed(self) -> float:
        """Speed at which the weight sinks."""
        assert self.weight is not None
        return float(
            drives.drum_weight_speed(self.drive.speed, self.weight.diameter, float(self.weight.falls))
        )

    @property
    def run(self) -> float:
        """Running time of one winding."""
        assert self.weight is not None
        return self.weight.drop / self.weight_speed


def written(value: float, digits: int = 4) -> float:
    """A number as the file writes it."""
    return float(f"{value:.{digits}g}")


def size(a: Answers) -> Sizing:
    """Size the train. Raises `AnswerError` where a given weight cannot do it at all."""
    return _weight_driven(a) if a.driver.kind == "weight" else _led(a)


def stages_for(ratio: float) -> int:
    """Chain stages a total ratio needs; none where the two shafts turn alike."""
    log = abs(math.log(ratio))
    return 0 if log < 0.005 else max(1, math.ceil(log / math.log(MOST_PER_STAGE) - 1e-9))


def _branch(first: float, last: float, count: int, power: float, *, light: bool = False) -> Branch:
    """`count` near-equal stages between two speeds; `light` keeps seals off the last shaft."""
    if count == 0:
        return Branch()
    each = written((first / last) ** (1 / count))
    turns = [each] * (count - 1)
    turns.append(written(first / last / math.prod(turns)))
    shafts, speed = [], last * math.prod(turns)
    for i, t in enumerate(turns):
        speed /= t
        shafts.append(ShaftSize(speed, SHIELDED if light and i == count - 1 else _drag(power, speed)))
    return Branch(tuple(turns), tuple(shafts))


def _drag(power: float, speed: float) -> float:
    return SEALED if power / speed > SEALS_ABOVE else SHIELDED


def _led(a: Answers) -> Sizing:
    speed = a.drive_speed.value if a.drive_speed else LED_SPEED[a.driver.kind]
    power = a.torque.value * a.speed.value
    wanted = a.speed.value
    main = _branch(speed, wanted, stages_for(wanted / speed), power)
    end = speed * main.ratio
    main = _branch(speed, end, len(main.turns), power)
    shaft = ShaftSize(speed, _drag(power, speed))
    torque = main.asks(a.torque.value) + 2 * shaft.drag
    return Sizing(shaft, torque, main, end, a.torque.value)


# Weight ----------------------------------------------------------------------------------------


def _weight_driven(a: Answers) -> Sizing:
    w = _first_weight(a)
    # About a third of the power is left for the fan when the weight starts the train with 1.5 in hand.
    w.fan_power = START_RATIO * a.torque.value * a.speed.value / 2
    given = a.driver.mass is not None
    sinking = w.drop / a.run.value / A_LITTLE_LONGER
    counts: tuple[int, int] | None = None
    s = _laid_out(a, w, sinking, counts)
    for turn in range(ROUNDS):
        needed = _needed(s, w) * s.drive.speed / sinking / _through_pulleys(w) / GRAVITY
        if given:
            sinking *= (needed / w.mass) ** (1.0 if turn < SETTLED_AFTER else 0.5)
        else:
            w.mass = needed
        if turn < SETTLED_AFTER:
            w.falls = 1 if w.mass <= HEAVY / 2 else 2 if w.mass <= 2 * HEAVY else 4
            w.fan_power = max(_left_for_fan(s, w, _needed(s, w)) * w.fan_speed, w.fan_power / 10)
        if w.drop / sinking < SHORTEST_RUN:
            raise AnswerError(
                f"A weight of {shown(w.mass, MASS)} with a drop of {shown(w.drop, LENGTH)} cannot turn "
                "this for even a second. Give a heavier weight, a longer drop or a lighter load."
            )
        s = _laid_out(a, w, sinking, counts)
        if turn == SETTLED_AFTER:
            counts = len(s.main.turns), len(w.fan.turns)
    if not given:
        w.mass = _rounded_up(w.mass)
    return _trimmed(s, w)


def _first_weight(a: Answers) -> Weight:
    drop = a.drop.value if a.drop else written(HEADROOM * a.room.height.value, 2)
    diameter = min(max(written(a.room.width.value / 4, 2), 0.010), 0.250)
    mass = a.driver.mass.value if a.driver.mass else 0.0
    return Weight(mass, drop, diameter, 1)


def _through_pulleys(w: Weight) -> float:
    """Share of the weight's power that reaches the drum."""
    return w.torque * 2 * w.falls / w.diameter / (w.mass * GRAVITY) if w.mass else 1.0


def _rounded_up(value: float) -> float:
    """Three digits, never less."""
    unit = 10.0 ** (math.floor(math.log10(value)) - 2)
    return written(math.ceil(value / unit - 1e-9) * unit, 3)


def _laid_out(a: Answers, w: Weight, sinking: float, counts: tuple[int, int] | None) -> Sizing:
    """Stages for a sinking speed; the drum's speed is what the written ratios make of the load's."""
    power, wanted = a.torque.value * a.speed.value, a.speed.value
    drum = 2 * w.falls * sinking / w.diameter
    count = counts[0] if counts else stages_for(wanted / drum)
    main = _branch(drum, wanted, count, power)
    drum = wanted / main.ratio
    s = Sizing(ShaftSize(drum, _drag(power, drum)), math.nan, main, wanted, a.torque.value, w)
    _place_fan(a, s, w, counts[1] if counts else None, power)
    return s


def _place_fan(a: Answers, s: Sizing, w: Weight, count: int | None, power: float) -> None:
    """The fan goes on the fastest shaft, behind stages of its own where that is too slow for it."""
    w.fan_from_load = s.load_speed >= s.drive.speed
    start = max(s.load_speed, s.drive.speed)
    reach = a.room.width.value / 3
    most = float(loads.fan_constant(VANES, AIR, VANE_DRAG, (reach / 1.5) ** 2, reach))
    speed = min(max((w.fan_power / most) ** (1 / 3), SLOWEST_FAN), FASTEST_FAN)
    if count is None:
        count = 0 if start >= 0.8 * speed else stages_for(speed / start)
    w.fan = _branch(start, speed, count, power, light=True)
    w.fan_speed = start * w.fan.ratio
    w.fan = _branch(start, w.fan_speed, count, power, light=True)


def _drum_torque(s: Sizing, w: Weight, load: float, fan: float, *, at_rest: bool) -> float:
    """Torque the drum must give for a torque at the load and one at the fan."""
    behind = w.fan.asks(fan, at_rest=at_rest) if w.fan.turns else fan
    own = 2 * s.drive.drag * (BEARING_AT_REST if at_rest else 1.0)
    at_load = s.main.asks(load + (behind if w.fan_from_load else 0.0), at_rest=at_rest)
    return at_load + own + (0.0 if w.fan_from_load else behind)


def _needed(s: Sizing, w: Weight) -> float:
    """Torque of the weight that starts the train with the start ratio in hand."""
    return START_RATIO * _drum_torque(s, w, s.load_torque * LOAD_AT_REST, 0.0, at_rest=True)


def _left_for_fan(s: Sizing, w: Weight, torque: float) -> float:
    """Torque that reaches the fan when the drum gets `torque`."""
    left = torque - 2 * s.drive.drag
    if w.fan_from_load:
        return w.fan.gives(s.main.gives(left) - s.load_torque)
    return w.fan.gives(left - s.main.asks(s.load_torque))


def _trimmed(s: Sizing, w: Weight) -> Sizing:
    """Give the fan what is left, so that the wanted speed results."""
    s.torque = w.torque
    w.fan_torque = _left_for_fan(s, w, s.torque)
    w.start_ratio = s.torque / _drum_torque(s, w, s.load_torque * LOAD_AT_REST, 0.0, at_rest=True)
    if not w.fan_torque > 0:
        raise AnswerError(
            f"A weight of {shown(w.mass, MASS)} is too light for this. Give a heavier one, or none "
            "and let the draft choose it."
        )
    return s
