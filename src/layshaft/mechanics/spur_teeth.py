"""What spur teeth and the virtual spur teeth of bevel gears share: force, speed, form, wear.

The form factor and the wear factor are those of full-depth teeth with a pressure angle of 20 degrees.
"""

from __future__ import annotations

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula, looked_up, plain
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    DEGREE,
    RATIO,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
    Speed,
    Stress,
    Torque,
    Velocity,
)

BARTH = Source("Barth velocity factor, in Wentzell, Machine Design", "ex. 12.4, p. 262")
WEAR = Source("Buckingham wear load, in Jindal, Machine Design", "ex. 25-3, p. 670")
FORM = Source("Shigley's Mechanical Engineering Design", "table 14-2", "second text")
WEAR_LEADS = Source("practice of slow greased gears", "below 0.5 m/s no film forms",
                    "common practice")
SLOW_WORDS = ("The pitch line is slower than 0.5 m/s: no oil film forms and wear leads. "
              "Grease, a hard pinion, and a look at the flanks at every assembly.")
HEARD = Source("kinematics of gears", "every tooth is heard", "derived")

MEGA = 1e6
MINUTE = 60.0
"""Seconds."""

MILLI = 1e-3
TWENTY_DEGREES = 20 * DEGREE
"""The usual pressure angle, in radians."""


@formula("F_t", "tangential force of the mesh", STATICS,
         where={"T": "torque on the gear", "d": "diameter at which the force acts"})
def tangential_force(T: Torque, d: Length) -> Force:
    """Torque over the radius."""
    return 2 * T / d


@formula("v", "pitch line speed", KINEMATICS,
         where={"omega_1": "turning speed of the pinion", "d": "reference diameter"})
def pitch_line_speed(omega_1: Speed, d: Length) -> Velocity:
    """Speed of the pitch circle."""
    return omega_1 * d / 2


@formula("f_z", "teeth that meet in a second", HEARD,
         where={"omega_1": "turning speed of the pinion", "z_1": "teeth of the pinion"})
def meeting_frequency(omega_1: Speed, z_1: Count) -> Speed:
    """As an angle speed: 2 pi times the teeth that meet in a second; what is heard and felt as a tick."""
    return omega_1 * z_1


@formula("F_d", "dynamic tooth load", BARTH, where={"F_t": "tangential force", "K_v": "velocity factor"})
def dynamic_load(F_t: Force, K_v: Ratio) -> Force:
    """Tangential force times velocity factor."""
    return F_t * K_v


@formula("slow", "pitch line slower than 0.5 m/s", WEAR_LEADS, where={"v": "pitch line speed"})
def slow(v: Velocity) -> Count:
    """1 below 30 m in a minute, else 0."""
    return np.where(v * MINUTE < 30_000 * MILLI, 1.0, 0.0)


@formula("Q", "ratio factor", WEAR,
         where={"z_1": "teeth of the pinion", "z_2": "teeth of the wheel"})
def ratio_factor(z_1: Count, z_2: Count) -> Ratio:
    """A large wheel is a flatter mate."""
    return 2 * z_2 / (z_1 + z_2)


@formula("K", "wear factor", WEAR, where={"H_B": "Brinell hardness of the softer gear"})
def wear_factor(H_B: Ratio) -> Stress:
    """Steel on steel at 20 degrees, from the Brinell hardness of the softer gear."""
    return 0.16 * (H_B / 100) ** 2 * MEGA


def form_factor(z: Count, alpha: Angle, symbol: str = "Y_0") -> Ratio:
    """Lewis form factor of an unshifted tooth; unknown below 12, above 400 teeth, or off 20 deg."""
    rows = table("lewis_form_factor").rows
    value = np.interp(
        plain(z), [r.number("teeth") for r in rows], [r.number("Y") for r in rows],
        left=np.nan, right=np.nan,
    )
    value = np.where(np.abs(plain(alpha) - TWENTY_DEGREES) < 1e-6, value, np.nan)[()]
    return looked_up(
        symbol, "form factor of the unshifted tooth", RATIO, value, table="lewis_form_factor",
        row="between rows of teeth, 20 degrees full depth", source=FORM, of={"z": z, "alpha": alpha},
    )
