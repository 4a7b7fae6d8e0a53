"""What takes power out: fan and eddy brakes, rolling, pulses, and the losses of stages.

A fan gives no torque at rest and an eddy brake holds nothing: neither is a holding brake. A load
that hangs needs a ratchet or a catch of its own.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    Acceleration,
    Angle,
    Area,
    Count,
    Damping,
    Density,
    Energy,
    Force,
    Length,
    Mass,
    Ratio,
    Speed,
    Temperature,
    Torque,
    TorquePerSpeedSquared,
)

DRAG = Source("drag of flat plates turning in still air", "pressure at the mean radius", "derived")
EDDY = Source("eddy-current brake below its critical speed", "torque in step with speed",
              "common practice")
GAS = Source("ideal gas law, dry air", "101 325 Pa, 287.05 J/(kg K)", "from memory")
WORM = Source("screw statics, one friction angle both ways", "small lead angle", "derived")
MESH = Source("Niemann and Winter, Maschinenelemente 2; ISO/TR 14179-2", "tooth loss factor",
              "from memory")
BEARING = Source("bearing handbooks", "constant coefficient of friction at half the bore",
                 "from memory")

STANDARD_PRESSURE = 101325.0
"""Pressure of the standard atmosphere at sea level, Pa."""

GAS_CONSTANT_OF_AIR = 287.05
"""J/(kg K), of dry air."""

ZERO_CELSIUS = 273.15
"""Kelvin."""

MEANING = {
    "n_v": "vanes",
    "rho": "density of the air",
    "C_d": "drag coefficient of a vane",
    "A": "area of one vane",
    "r": "radius to the centre of a vane",
    "a": "first side of a vane",
    "b": "second side of a vane",
    "k": "fan constant",
    "omega": "turning speed",
    "c": "torque of the eddy brake per turning speed",
    "omega_k": "critical speed of the eddy brake, where its torque is largest",
    "m": "mass carried or lifted",
    "g": "acceleration of free fall",
    "mu": "coefficient of friction",
    "r_t": "radius of the track",
    "h": "lift",
    "E": "energy of one pulse",
    "n": "pulses per turn",
    "phi": "angle over which one pulse is lifted",
    "theta": "temperature of the air",
    "eta": "efficiency with the worm driving",
    "z_1": "teeth of the pinion",
    "z_2": "teeth of the wheel",
    "beta_b": "helix angle at the base cylinder",
    "eps_1": "contact ratio of the pinion's tip",
    "eps_2": "contact ratio of the wheel's tip",
    "H_V": "tooth loss factor",
    "F": "load of the bearing",
    "d": "bore of the bearing",
}


@formula("A", "area of one vane", DRAG, where=MEANING)
def vane_area(a: Length, b: Length) -> Area:
    """Rectangle, square to the air."""
    return a * b


@formula("k", "fan constant", DRAG, where=MEANING)
def fan_constant(n_v: Count, rho: Density, C_d: Ratio, A: Area, r: Length) -> TorquePerSpeedSquared:
    """Drag of each vane at its own speed; wake makes the real torque lower, so measure it."""
    return n_v * rho / 2 * C_d * A * r**3


@formula("T_f", "torque of a fan brake", DRAG, where=MEANING)
def fan_torque(k: TorquePerSpeedSquared, omega: Speed) -> Torque:
    """Grows with the square of speed and opposes either sense of turning."""
    return k * omega * np.abs(omega)


@formula("T_e", "torque of an eddy brake", EDDY, where=MEANING,
         outside="above the critical speed the torque falls again")
def eddy_torque(c: Damping, omega: Speed, omega_k: Speed) -> Torque:
    """In step with speed; unknown above the critical speed, nothing at rest."""
    return np.where(np.abs(omega) <= omega_k, c * omega, np.nan)


@formula("T_r", "torque to roll a mass on a track", STATICS, where=MEANING)
def rolling_torque(m: Mass, g: Acceleration, mu: Ratio, r_t: Length) -> Torque:
    """Rolling or sliding resistance at the radius of the track."""
    return mu * m * g * r_t


@formula("E", "energy of one pulse", STATICS, where=MEANING)
def pulse_energy(m: Mass, g: Acceleration, h: Length) -> Energy:
    """A mass lifted and let go."""
    return m * g * h


@formula("T_p", "mean torque of pulses", STATICS, where=MEANING)
def pulse_mean_torque(E: Energy, n: Count) -> Torque:
    """Energy of a turn over the angle of a turn."""
    return E * n / (2 * np.pi)


@formula("T_l", "torque while a pulse is lifted", STATICS, where=MEANING)
def pulse_lift_torque(E: Energy, phi: Angle) -> Torque:
    """Energy over the lifting angle: the mean over the lift; a cam of steep flank asks more."""
    return E / phi


@formula("rho", "density of the air", GAS, where=MEANING)
def air_density(theta: Temperature) -> Density:
    """Ideal gas at standard pressure; some 12 % less at 1000 m height."""
    return STANDARD_PRESSURE / (GAS_CONSTANT_OF_AIR * (theta + ZERO_CELSIUS))


@formula("eta_r", "efficiency of a worm driven backwards", WORM, where=MEANING)
def worm_reverse_efficiency(eta: Ratio) -> Ratio:
    """Zero or less: the wheel cannot turn the worm, and gravity cannot drive it."""
    return 2 - 1 / eta


@formula("H_V", "tooth loss factor", MESH, where=MEANING)
def mesh_loss_factor(z_1: Count, z_2: Count, beta_b: Angle, eps_1: Ratio, eps_2: Ratio) -> Ratio:
    """Mean sliding along the path of contact; the two tip shares add to the contact ratio."""
    return (
        np.pi * (1 / z_1 + 1 / z_2) / np.cos(beta_b) * (1 - eps_1 - eps_2 + eps_1**2 + eps_2**2)
    )


@formula("eta_z", "efficiency of a mesh", MESH, where=MEANING)
def mesh_efficiency(mu: Ratio, H_V: Ratio) -> Ratio:
    """Sliding between the teeth takes its share; slow greased teeth have mu near 0.1."""
    return 1 - mu * H_V


@formula("T_b", "friction torque of a bearing", BEARING, where=MEANING)
def bearing_friction_torque(mu: Ratio, F: Force, d: Length) -> Torque:
    """Friction at half the bore; contact seals add their own torque on top."""
    return 0.5 * mu * F * d
