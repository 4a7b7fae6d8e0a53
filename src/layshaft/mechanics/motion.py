"""A turning machine over one stretch in which the torque that drives it does not change.

The whole machine is seen from one shaft: a moment of inertia J, a steady torque T left over for
turning faster, and a brake that grows with the square of the speed, k omega squared. Over the angle
the kinetic energy then follows a straight line or an exponential, so a stretch of any length is one
step without error. Brakes that grow with the speed itself are not in these forms.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Angle, Damping, Energy, Inertia, Ratio, Speed, Time, Torque, TorquePerSpeedSquared

WORK = Source("work and kinetic energy over an angle", "dE = (T - k omega^2) d phi", "derived")
TIME = Source("work and kinetic energy over an angle", "J d omega = (T - k omega^2) dt", "derived")
BALANCE = Source("balance of drive and brake", obtained="derived")

MEANING = {
    "omega_0": "speed at the start", "omega_1": "speed at the end",
    "omega_e": "speed at which drive and brakes are equal",
    "omega_b": "speed at which the brake is as strong as what else holds back",
    "T": "torque left over for turning faster", "k": "brake torque over speed squared", "c": "brake torque over speed",
    "J": "moment of inertia", "phi": "angle turned", "x": "brake exponent of the stretch",
    "m": "share of the work that is kept", "E_0": "kinetic energy at the start", "E": "kinetic energy",
    "E_c": "kinetic energy after one cycle begun from rest", "X": "brake exponent of the whole cycle",
}


@formula("x", "brake exponent of a stretch", WORK, where=MEANING)
def brake_exponent(k: TorquePerSpeedSquared, phi: Angle, J: Inertia) -> Ratio:
    """How many times over the brake would use up the kinetic energy."""
    return 2 * k * phi / J


@formula("m", "share of the work that is kept", WORK, where=MEANING)
def kept_share(x: Ratio) -> Ratio:
    """All of it without a brake; with one, what was gained early has been braked for longest."""
    return np.where(x == 0, 1.0, -np.expm1(-x) / np.where(x == 0, np.inf, x))


@formula("E_1", "kinetic energy after a stretch", WORK, where=MEANING)
def energy_after(E_0: Energy, x: Ratio, T: Torque, phi: Angle, m: Ratio) -> Energy:
    """What the brake leaves of the energy at the start, and of the work; below zero it has stopped before."""
    return E_0 * np.exp(-x) + T * phi * m


@formula("omega_1", "speed of a kinetic energy", WORK, where=MEANING, outside="the machine has stopped before")
def speed_of(E: Energy, J: Inertia) -> Speed:
    """The energy of a turning mass, turned round."""
    return np.sqrt(2 * np.where(E >= 0, E, np.nan) / J)


@formula("t", "time through a stretch without a brake", TIME, where=MEANING)
def time_evenly(phi: Angle, omega_0: Speed, omega_1: Speed) -> Time:
    """The speed changes evenly: its mean is half of both ends."""
    return 2 * phi / (omega_0 + omega_1)


@formula("t", "time through a stretch that is driven and braked", TIME, where=MEANING)
def time_driven(phi: Angle, omega_e: Speed, J: Inertia, k: TorquePerSpeedSquared, omega_0: Speed,
                omega_1: Speed) -> Time:
    """As at the speed of equal drive and brake, and what it takes to come nearer to that speed."""
    return phi / omega_e + J / (k * omega_e) * np.log1p((omega_1 - omega_0) / (omega_e + omega_0))


@formula("t", "time through a stretch that slows the machine down", TIME, where=MEANING)
def time_slowing(J: Inertia, k: TorquePerSpeedSquared, omega_b: Speed, omega_0: Speed, omega_1: Speed) -> Time:
    """Nothing drives: a steady torque and the brake hold back together."""
    return J / (k * omega_b) * np.arctan2((omega_0 - omega_1) * omega_b, omega_b**2 + omega_0 * omega_1)


@formula("omega_e", "speed at which drive and brakes are equal", BALANCE, where=MEANING,
         outside="nothing drives, or nothing brakes")
def terminal_speed(T: Torque, k: TorquePerSpeedSquared, c: Damping) -> Speed:
    """Where fan and eddy brake together take all of the torque."""
    return 2 * T / np.where((T > 0) & ((k > 0) | (c > 0)), c + np.sqrt(np.abs(c**2 + 4 * k * T)), np.nan)


@formula("E_s", "kinetic energy at the start of the repeating cycle", WORK, where=MEANING,
         outside="without a brake that grows with speed no cycle repeats")
def cycle_energy(E_c: Energy, X: Ratio) -> Energy:
    """The start to which one whole cycle comes back: what is lost of it is what the cycle gains."""
    return E_c / -np.expm1(-np.where(X > 0, X, np.nan))


@formula("t_J", "time in which a governed machine forgets a disturbance", BALANCE, where=MEANING)
def settling_time(J: Inertia, k: TorquePerSpeedSquared, c: Damping, omega_e: Speed) -> Time:
    """A small difference of speed falls to 37 % in this time: inertia over the slope of the brakes."""
    return J / (2 * k * omega_e + c)
