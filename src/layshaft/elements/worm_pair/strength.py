"""What the wheel of a worm pair carries, how far the worm may bend, and how warm a closed case gets.

The wheel is the weaker partner: soft bronze on a hard thread. Its root counts as the beam of Lewis with the
form of a worm wheel's tooth; its flank is rated twice, by Buckingham's wear load and by the tangential force of
AGMA, which is made for an endless life under oil.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import (
    FOOT,
    INCH,
    POUND_FORCE,
    REV_PER_MIN,
    Area,
    Count,
    Force,
    Length,
    Power,
    Ratio,
    Speed,
    Stress,
    Temperature,
    Torque,
    Velocity,
)

ROOT = Source("Lewis equation of a worm wheel, in Mott, Machine Elements in Mechanical Design, 4th ed.",
              "ex. 10-8, p. 437", "second text")
WEAR = Source("Buckingham wear load, in Shigley's Mechanical Engineering Design", "eq. 15-64", "from memory")
DURABILITY = Source("ANSI/AGMA 6034, in Mott, Machine Elements in Mechanical Design, and Shigley's Mechanical "
                    "Engineering Design", "tangential force of a bronze wheel on a hard worm", "second text")
BENDING = Source("DIN 3996, worm gears", "deflection of the worm", "from memory")
HEAT = Source("ANSI/AGMA 6034, in Shigley's Mechanical Engineering Design", "eq. 15-49 to 15-51, no fan", "from memory")
YIELD = Source("Lewis equation of a worm wheel against yield", "held fast, no velocity factor", "derived")

MM = 1e-3
FEET_PER_MINUTE = FOOT / 60
"""Metres a second."""

BARTH_SPEED = 1200 * FEET_PER_MINUTE
"""Speed of the velocity factor of worm wheels, m/s: 1200 ft/min."""

FILM = FOOT * POUND_FORCE / 60 / INCH**2 * 9 / 5
"""Heat given off by an area a degree, one foot-pound a minute, square inch and degree Fahrenheit."""

MEANING = {
    "F_t2": "tangential force on the wheel", "v_2": "pitch line speed of the wheel", "K_v": "velocity factor",
    "sigma": "stress allowed at the root", "b_e": "face width that carries", "p_n": "normal pitch",
    "y": "form factor of a worm wheel's tooth", "d_2": "pitch diameter of the wheel", "K_w": "wear factor",
    "a": "centre distance", "z_1": "starts of the worm", "z_2": "teeth of the wheel", "v_s": "sliding speed",
    "D_c": "diameter up to which castings of its kind are alike", "c_0": "strength of the casting, constant part",
    "c_1": "strength of the casting lost per tenfold diameter", "C_s": "material factor", "C_m": "ratio factor",
    "C_v": "speed factor", "m": "axial module", "y_y": "deflection in one plane", "y_z": "deflection in the other",
    "T_1": "torque on the worm", "T_2": "torque on the wheel", "omega_1": "turning speed of the worm",
    "P_l": "power lost in the mesh", "A_h": "outside of the case", "t_lim": "highest temperature of the oil",
    "t_a": "warmest air around it", "H_w": "Brinell hardness of the worm's threads",
}


@formula("K_v", "velocity factor", ROOT, where=MEANING)
def velocity_factor(v_2: Velocity) -> Ratio:
    """Doubled at 1200 ft/min: worm wheels run smoother than spur gears."""
    return (BARTH_SPEED + v_2) / BARTH_SPEED


@formula("F_d", "dynamic tooth load", ROOT, where=MEANING)
def dynamic_load(F_t2: Force, K_v: Ratio) -> Force:
    """Tangential force times velocity factor."""
    return F_t2 * K_v


@formula("F_b", "tooth load the root of the wheel carries", ROOT, where=MEANING)
def root_capacity(sigma: Stress, b_e: Length, p_n: Length, y: Ratio) -> Force:
    """The tooth as a beam of even strength, all load on one tooth."""
    return sigma * b_e * p_n * y


@formula("F_w", "tooth load the flank of the wheel carries", WEAR, where=MEANING)
def wear_capacity(d_2: Length, b_e: Length, K_w: Stress) -> Force:
    """The largest dynamic load that running flanks bear without wearing away."""
    return d_2 * b_e * K_w


@formula("C_s", "material factor", DURABILITY, where=MEANING,
         outside="the method is made for a worm of 500 Brinell or more")
def material_factor(d_2: Length, a: Length, D_c: Length, c_0: Ratio, c_1: Ratio, H_w: Ratio) -> Ratio:
    """A large casting cools slowly and is weaker.

    Below 3 in between centres 720 stands: it meets the 1000 of larger pairs there. Some prints have 270.
    """
    return np.where(
        np.isnan(H_w) | (H_w < 500), np.nan, np.where(
            a <= 3 * INCH, 720 + 10.37 * (a / INCH) ** 3,
            np.where(d_2 <= D_c, 1000.0, c_0 - c_1 * np.log10(d_2 / INCH))))


@formula("C_m", "ratio factor", DURABILITY, where=MEANING, outside="the ratio must lie between 3 and 100")
def ratio_factor(z_1: Count, z_2: Count) -> Ratio:
    """Of ratios between 20 and 76 a little more is borne than of others."""
    return np.where(
        (z_2 < 3 * z_1) | (z_2 > 100 * z_1), np.nan, np.where(
            z_2 <= 20 * z_1, 0.0200 * np.sqrt(np.maximum(-((z_2 / z_1) ** 2) + 40 * z_2 / z_1 - 76, 0.0)) + 0.46,
            np.where(z_2 <= 76 * z_1,
                     0.0107 * np.sqrt(np.maximum(-((z_2 / z_1) ** 2) + 56 * z_2 / z_1 + 5145, 0.0)),
                     1.1483 - 0.00658 * z_2 / z_1)))


@formula("C_v", "speed factor", DURABILITY, where=MEANING)
def speed_factor(v_s: Velocity) -> Ratio:
    """The faster the flanks slide, the less they bear."""
    return np.where(
        v_s < 700 * FEET_PER_MINUTE, 0.659 * np.exp(-0.0011 * v_s / FEET_PER_MINUTE),
        np.where(v_s < 3000 * FEET_PER_MINUTE, 13.31 * (np.maximum(v_s, FEET_PER_MINUTE) / FEET_PER_MINUTE) ** -0.571,
                 65.52 * (np.maximum(v_s, FEET_PER_MINUTE) / FEET_PER_MINUTE) ** -0.774))


@formula("F_c", "tangential force the flank of the wheel bears for ever", DURABILITY, where=MEANING)
def durable_force(C_s: Ratio, d_2: Length, b_e: Length, C_m: Ratio, C_v: Ratio) -> Force:
    """In pounds of inches, as the standard has it."""
    return C_s * (d_2 / INCH) ** 0.8 * (b_e / INCH) * C_m * C_v * POUND_FORCE


@formula("y_b", "deflection of the worm at the mesh", MECHANICS_OF_MATERIALS, where=MEANING)
def deflection(y_y: Length, y_z: Length) -> Length:
    """Both planes together."""
    return np.hypot(y_y, y_z)


@formula("y_lim", "deflection a worm may have at the mesh", BENDING, where=MEANING)
def deflection_limit(m: Length) -> Length:
    """Larger threads stay in mesh through a larger deflection."""
    return 0.04 * np.sqrt(m / MM) * MM


@formula("P_l", "power lost in the mesh", KINEMATICS, where=MEANING)
def lost_power(T_1: Torque, T_2: Torque, omega_1: Speed, z_1: Count, z_2: Count) -> Power:
    """What goes in on one side and does not come out on the other."""
    return np.abs(np.abs(T_1) - np.abs(T_2) * z_1 / z_2) * np.abs(omega_1)


@formula("d_t", "rise of the oil above the air", HEAT, where=MEANING)
def temperature_rise(P_l: Power, A_h: Area, omega_1: Speed) -> Temperature:
    """A case sheds the more heat the faster its worm stirs the oil; without a fan."""
    return P_l / (A_h * (np.abs(omega_1) / REV_PER_MIN / 6494 + 0.13) * FILM)


@formula("d_lim", "rise of the oil that is left on the warmest day", STATICS, where=MEANING)
def allowed_rise(t_lim: Temperature, t_a: Temperature) -> Temperature:
    """Highest temperature of the oil less that of the air."""
    return t_lim - t_a
