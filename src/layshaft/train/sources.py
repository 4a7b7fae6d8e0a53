"""What the solver asks of a drive or a load, whatever its kind.

A drive answers with pushes on seats (a torque about the axis and a force); a load with the torque it
resists in a given state, and with its inertia. Told apart by kind here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from layshaft.elements.roller_chain import pitch_diameter
from layshaft.machine.kinds import (
    PERIODIC,
    Allowance,
    Brake,
    Crank,
    EddyBrake,
    EndlessLoop,
    FallingWeight,
    FanBrake,
    Flywheel,
    Load,
    Motor,
    Pull,
    Pulses,
    RollerChain,
    Steady,
    Suspended,
    Turntable,
)
from layshaft.machine.model import Machine
from layshaft.mechanics import drives, loads
from layshaft.train.bodies import drawn
from layshaft.train.by_angle import curve_of
from layshaft.train.sizes import chain_pitch

LoadState = Literal["mean", "lifts", "drops", "still", "at rest", "none"]
"""What loads do: on the mean, at their largest, at their smallest, at their smallest with nothing that follows the
angle, breaking away, nothing."""

SIDE = {"+x": (1.0, 0, 0), "-x": (-1.0, 0, 0), "+y": (0, 1.0, 0), "-y": (0, -1.0, 0)}


@dataclass(frozen=True, slots=True)
class Push:
    """Torque about the axis and force on one seat, each a number or an array over samples."""

    shaft: str
    seat: str
    torque: Any
    force: tuple[Any, Any, Any]


# Hanging weights ------------------------------------------------------------------------------


def wheel_diameter(machine: Machine, drive: Suspended) -> float:
    """Effective diameter of the drum or sprocket the weight hangs on; NaN while open."""
    if isinstance(drive, FallingWeight) and drive.diameter.known:
        return drive.diameter.nominal
    pitch = chain_pitch(machine, drive.chain)  # type: ignore[attr-defined]
    return float(pitch_diameter(pitch, drive.teeth.nominal))  # type: ignore[attr-defined]


def sprocket_radius(machine: Machine, stage: RollerChain, wheel: int) -> float:
    """Pitch radius of the first (0) or second (1) sprocket; NaN while open."""
    return float(pitch_diameter(chain_pitch(machine, stage.chain), stage.teeth[wheel].nominal)) / 2


def falls(drive: Suspended) -> float:
    """Parts of chain or rope that share the weight: two in a loop, one without a purchase."""
    if isinstance(drive, EndlessLoop):
        return 2.0
    assert isinstance(drive, FallingWeight)
    return drive.falls.nominal if drive.falls.known else 1.0


def wound_from(drive: Suspended) -> str:
    """Shaft from which the weight is wound up: in a loop that of the winding wheel."""
    return drive.rewound_from if isinstance(drive, EndlessLoop) else drive.shaft


def turning_sense(machine: Machine, drive: Suspended, shaft: str) -> float:
    """1 where the weight turns the shaft forward about its axis, -1 where backward, 0 if it cannot."""
    along, side = machine.shafts[shaft].axis, SIDE[drive.hangs_on]
    # axis . (side x down), with down = -z written out: this is asked once a case
    turn = along[1] * side[0] - along[0] * side[1]
    return float(turn > 0) - float(turn < 0)


@dataclass(frozen=True, slots=True)
class Strands:
    """Tensions of a hanging weight's strands: on the driving wheel and, in a loop, on the winding one."""

    drive: Any
    drive_return: Any
    winding: Any
    winding_return: Any


def strands(machine: Machine, drive: Suspended) -> Strands:
    """Static tensions while the machine runs or stands; multiply for an arrest."""
    g, e, mass = machine.gravity.value, drive.pulley_loss.value, drive.mass.value
    if isinstance(drive, EndlessLoop):
        m = drive.counterweight.value
        returning = drives.counterweight_return_strand(m, g, e)
        return Strands(
            drives.loop_drive_strand(mass, g, e), drives.counterweight_drive_strand(m, g, e),
            drives.loop_winding_strand(mass, g, e), drives.idler_slack_side(returning, e),
        )
    k = falls(drive)
    if k == 1:
        e = 0.0  # a plain drum has no pulley
    pull = drives.rope_force_running(mass, g, k, e)
    return Strands(pull, 0.0, drives.rope_force_winding(pull, k, e), 0.0)


def weight_pushes(machine: Machine, drive: Suspended, *, lifted: bool = False) -> list[Push]:
    """Pushes of a hanging weight on its wheel, and in a loop on the winding wheel too.

    `lifted`: the wheel winds the weight up, so the pulleys' loss is on the other side.
    """
    s = strands(machine, drive)
    d = wheel_diameter(machine, drive)
    sense = turning_sense(machine, drive, drive.shaft)
    if not isinstance(drive, EndlessLoop):
        pull = s.winding if lifted else s.drive
        return [Push(drive.shaft, drive.seat, sense * drives.weight_torque(pull, d), (0.0, 0.0, -pull))]
    on_winding = -turning_sense(machine, drive, drive.rewound_from)
    return [
        Push(drive.shaft, drive.seat, sense * drives.loop_torque(s.drive, s.drive_return, d),
             (0.0, 0.0, -(s.drive + s.drive_return))),
        Push(drive.rewound_from, drive.winding_seat,
             on_winding * drives.winding_torque(s.winding, s.winding_return, d),
             _winding_force(drive, s, d)),
    ]


def _winding_force(drive: EndlessLoop, s: Strands, d: float) -> tuple[Any, Any, Any]:
    """The winding strand hangs down; the return strand runs to the idler beyond the drive wheel.

    Drive and winding wheel stand two pitch diameters apart, the idler one beyond the drive wheel,
    so that weight and counterweight hang side by side and can pass.
    """
    side, rise = SIDE[drive.hangs_on], drive.idler_over.nominal
    run = 3 * d
    length = np.hypot(run, rise)
    back = s.winding_return / length
    return (-back * run * side[0], -back * run * side[1], back * rise - s.winding)


def weight_speed(machine: Machine, drive: Suspended, omega: Any) -> Any:
    """Speed of the falling weight when its wheel turns at `omega`."""
    d = wheel_diameter(machine, drive)
    if isinstance(drive, EndlessLoop):
        return drives.loop_weight_speed(np.abs(omega), d)
    return drives.drum_weight_speed(np.abs(omega), d, falls(drive))


def weight_inertia(machine: Machine, drive: Suspended) -> Any:
    """Moment of inertia of the hanging masses at their wheel: mass times (speed over omega) squared."""
    arm = weight_speed(machine, drive, 1.0)
    mass = drive.mass.value + (drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0)
    return drives.gyration_inertia(mass, arm)


# Drives that are told their speed --------------------------------------------------------------


def is_led(drive: Any) -> bool:
    """True for a drive whose speed is decided (crank, pedals, motor) and whose torque follows."""
    return isinstance(drive, (Crank, Motor))


def full_push(drive: Any) -> Any:
    """Largest torque the drive can put on a shaft held fast."""
    if isinstance(drive, Motor):
        return drive.peak_torque.value
    return drives.crank_torque(drive.worst_push.value, drive.radius.value)


def ripple(drive: Any) -> Any:
    """Largest torque in a turn over the mean."""
    return drive.ripple.value if isinstance(drive, Crank) else 1.0


# Loads -----------------------------------------------------------------------------------------


def resisting_torque(machine: Machine, load: Load, state: LoadState) -> Any:
    """Torque a load resists with, apart from what depends on speed."""
    if state == "none" or isinstance(load, (FanBrake, EddyBrake, Flywheel, Brake)):
        return 0.0
    if isinstance(load, Steady):
        return load.torque.value * _rest_factor(load.break_away.value, state)
    if isinstance(load, Turntable):
        torque = loads.rolling_torque(load.mass.value, machine.gravity.value,
                                      load.rolling_coefficient.value, load.track_radius.value)
        return torque * _rest_factor(load.break_away.value, state)
    if isinstance(load, PERIODIC):
        return _periodic_torque(machine, load, state)
    if isinstance(load, Pull):
        return load.torque.value if load.torque.known else 0.0  # a plain force turns nothing
    assert isinstance(load, Allowance)
    return load.torque.value if state in ("mean", "drops", "still") else load.peak_torque.value


def _rest_factor(break_away: Any, state: LoadState) -> Any:
    return break_away if state == "at rest" else 1.0


def _periodic_torque(machine: Machine, load: Any, state: LoadState) -> Any:
    if isinstance(load, Pulses):
        return _pulse_torque(load, "drops" if state == "still" else state)
    if state == "still":
        return 0.0
    curve = curve_of(machine, load)
    if state == "at rest":
        return np.maximum(curve.largest, 0.0) * load.break_away.value
    return curve.mean if state == "mean" else curve.smallest if state == "drops" else curve.largest


def _pulse_torque(load: Pulses, state: LoadState) -> Any:
    if state == "mean":
        return loads.pulse_mean_torque(load.energy.value, load.per_turn.value)
    if state == "drops":
        return 0.0 * load.energy.value
    lift = loads.pulse_lift_torque(load.energy.value, load.over.value)
    return lift * _rest_factor(load.break_away.value, state)


def brake_constants(machine: Machine, load: Load) -> tuple[Any, Any, Any]:
    """Torque = a omega |omega| + b omega, the second up to a critical speed."""
    if isinstance(load, FanBrake):
        return fan_constant(machine, load), 0.0, np.inf
    if isinstance(load, EddyBrake):
        return 0.0, load.constant.value, load.critical_speed.value
    return 0.0, 0.0, np.inf


def fan_constant(machine: Machine, load: FanBrake) -> Any:
    """Torque over speed squared: stated, or from the vanes; times the share left uncovered."""
    trim = load.trim.value if load.trim.known else 1.0
    if load.constant.known:
        return load.constant.value * trim
    air = load.air_density if load.air_density.known else machine.venue.air_density
    area = loads.vane_area(load.area[0].value, load.area[1].value)
    return trim * loads.fan_constant(load.vanes.value, air.value, load.drag_coefficient.value, area,
                                     load.at_radius.value)


def inertia(load: Load) -> Any:
    """Moment of inertia of a load about its shaft."""
    if isinstance(load, Turntable):
        return drives.gyration_inertia(load.mass.value, load.radius_of_gyration.value)
    if isinstance(load, (Allowance, *PERIODIC)) or (isinstance(load, Pull) and not load.inertia.known):
        return 0.0
    if isinstance(load, Flywheel) and load.made_of and not load.inertia.known:
        return drawn(load)[1]
    return load.inertia.value  # type: ignore[attr-defined]


def load_mass(load: Load) -> Any:
    """Mass that hangs on the load's seat; a turntable stands on its own track."""
    if isinstance(load, Flywheel) and load.made_of and not load.mass.known:
        return drawn(load)[0]
    if isinstance(load, (Flywheel, Allowance)):
        return load.mass.value
    return 0.0
