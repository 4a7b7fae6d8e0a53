"""Load factors of ISO 6336-1: how much more than the mean the hardest-loaded tooth feels.

Dynamic factor by method C, load over the face by the linear model of method C on the slopes the
shafts really have, load over the path of contact by method B. Accuracy is the flank tolerance class.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula, looked_up, plain
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    COUNT,
    RATIO,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
    Slope,
    Speed,
    Stiffness,
    Stress,
    Time,
    Torque,
    Velocity,
)

ISO_6336_1 = Source("ISO 6336-1:2006, load capacity of spur and helical gears", "factors of influence",
                    "from memory")
ISO_1328 = Source("ISO 1328-1:1995, accuracy of flanks", "deviation of pitch and of slope", "from memory")
FLOATING = Source("double helical gears", "the halves share what pushes the floating shaft", "derived")

KILO = 1e3
MEGA = 1e6
GIGA = 1e9
MILLI = 1e-3
MINUTE = 60.0
"""Seconds."""

DEGREE = np.pi / 180

MEANING = {
    "F_h": "tangential force on one helix",
    "F_t": "tangential force",
    "F_f": "thrust that sliding keys or couplings put into the floating shaft",
    "halves": "helices side by side on each gear",
    "K_A": "application factor",
    "K_V": "dynamic factor",
    "K_Hbeta": "load over the face, flank",
    "b": "face width, of one half where the helix is double",
    "w_t": "load on a length of the tooth",
    "w_m": "load on a length of the tooth, dynamic factor counted",
    "v": "pitch line speed",
    "X": "speed number",
    "K_1": "constant of the dynamic factor",
    "K_1h": "the same, of helical gears",
    "z_1": "teeth of the pinion",
    "z_2": "teeth of the wheel, negative for a ring",
    "Q": "flank tolerance class",
    "d_2": "reference diameter of the wheel",
    "m_n": "normal module",
    "alpha_t": "transverse pressure angle",
    "alpha_n": "normal pressure angle",
    "beta": "helix angle",
    "beta_b": "helix angle at the base cylinder",
    "eps_alpha": "contact ratio",
    "eps_beta": "overlap ratio",
    "theta": "slope of the two shafts against each other, in the plane of action",
    "f_sh": "opening of the mesh over the face by the slopes",
    "f_ma": "opening of the mesh over the face by how it is made",
    "F_bx": "opening of the mesh before running in",
    "F_by": "opening of the mesh after running in",
    "sigma_H1": "endurance limit of the flank, pinion",
    "sigma_H2": "endurance limit of the flank, wheel",
    "sigma": "endurance limit of the flank of this gear",
    "soft": "1 where the teeth of this gear run in, else 0",
    "y_1": "worn away on the pinion",
    "y_2": "worn away on the wheel",
    "c": "stiffness of one pair of teeth",
    "c_a": "mean stiffness of the mesh",
    "c_b": "stiffness of the mesh against an opening",
    "f_pb": "deviation of the base pitch",
    "y_a": "base pitch worn to fit",
    "x_1": "profile shift coefficient of the pinion",
    "x_2": "profile shift coefficient of the wheel",
    "z_n1": "teeth of the pinion seen across the helix",
    "z_n2": "teeth of the wheel seen across the helix",
    "Z_eps": "contact ratio factor of the flank",
    "least": "least load over the face where frames are set up anew",
    "given": "factor given in the machine file, 0 where none is",
    "reckoned": "factor as reckoned",
    "omega_1": "turning speed of the pinion",
    "z": "teeth of this gear",
    "t_life": "running time wanted",
    "N_F": "exponent from flank to root",
    "mu": "friction of what slides",
    "T": "torque through what slides",
    "d": "diameter of the shaft under the key",
}


@formula("K", "factor that stands", ISO_6336_1, where=MEANING)
def standing(given: Ratio, reckoned: Ratio) -> Ratio:
    """What the machine file gives replaces what the method reckons."""
    return np.where(given == 0, reckoned, given)


@formula("F_f", "thrust of friction on the floating shaft", STATICS, where=MEANING)
def sliding_thrust(mu: Ratio, T: Torque, d: Length) -> Force:
    """A key or clutch under torque holds the shaft back until this force moves it."""
    return 2 * mu * T / d


@formula("F_h", "tangential force on the harder loaded helix", FLOATING, where=MEANING)
def half_force(F_t: Force, halves: Count, F_f: Force, beta: Angle) -> Force:
    """A half that carries the thrust of friction on top carries so much more of the torque too.

    No half carries more than all of it: then the other runs empty.
    """
    return np.where(
        halves < 2, F_t,
        np.minimum(F_t / 2 + F_f / (2 * np.maximum(np.tan(beta), 1e-9)), F_t))


@formula("w_t", "load on a length of the tooth", ISO_6336_1, where=MEANING)
def line_load(F_h: Force, K_A: Ratio, b: Length) -> Stiffness:
    """Tangential force over the face, with the application factor; where nothing is carried, next to nothing."""
    return np.maximum(F_h * K_A / b, 1e-9 * KILO / MILLI)


# Dynamic factor --------------------------------------------------------------------------------


@formula("X", "speed number", ISO_6336_1, where=MEANING,
         outside="the speed number is above 10: method C is for slower gears")
def speed_number(v: Velocity, z_1: Count, z_2: Count) -> Ratio:
    """Pitch line speed in m/s, times a hundredth of the teeth, less for small ratios."""
    return np.where(
        v * MINUTE * z_1 <= 60 * KILO * KILO * MILLI,
        v * MINUTE / (60 * KILO * MILLI) * z_1 / 100 * np.sqrt(z_2**2 / (z_1**2 + z_2**2)), np.nan)


@formula("K_Vs", "dynamic factor of spur gears", ISO_6336_1, where=MEANING)
def spur_dynamic(X: Ratio, K_1: Ratio, w_t: Stiffness) -> Ratio:
    """Teeth strike each other the harder, the faster and less loaded they run; a light load counts as 100 N/mm."""
    return 1 + (
        (K_1 / np.maximum(w_t * MILLI / KILO * 1000, 100.0) + 0.0193)
        * X * np.where(X <= 0.2, 2.0, 2.071 - 0.357 * X)
    )


@formula("K_Vh", "dynamic factor of helical gears", ISO_6336_1, where=MEANING)
def helical_dynamic(X: Ratio, K_1h: Ratio, w_t: Stiffness) -> Ratio:
    """The same for teeth that enter gradually, overlap ratio at least 1."""
    return 1 + (
        (K_1h / np.maximum(w_t * MILLI / KILO * 1000, 100.0) + 0.0087)
        * X * np.where(X <= 0.2, 2.0, 2.071 - 0.357 * X)
    )


@formula("K_Vr", "dynamic factor as reckoned", ISO_6336_1, where=MEANING | {
    "K_Vs": "dynamic factor of spur gears", "K_Vh": "dynamic factor of helical gears"})
def dynamic_factor(K_Vs: Ratio, K_Vh: Ratio, eps_beta: Ratio) -> Ratio:
    """Between the two by the overlap ratio."""
    return K_Vs - np.minimum(eps_beta, 1.0) * (K_Vs - K_Vh)


def constant(Q: Any, kind: str, symbol: str) -> Any:
    """K_1 of `spur` or `helical` gears of one flank tolerance class; unknown outside classes 3 to 12."""
    rows = table("gear_dynamic").rows
    asked = plain(Q)
    value = np.interp(asked, [r.number("accuracy") for r in rows], [r.number(kind) for r in rows],
                      left=np.nan, right=np.nan)
    value = np.where(np.mod(asked, 1) == 0, value, np.nan)[()]
    return looked_up(symbol, f"constant of the dynamic factor, {kind} gears", RATIO, value, table="gear_dynamic",
                     row="of the flank tolerance class", source=rows[0].source, of={"Q": Q})


# Accuracy and stiffness --------------------------------------------------------------------------


@formula("f_pt", "deviation of a single pitch", ISO_1328, where=MEANING)
def pitch_deviation(m_n: Length, d_2: Length, Q: Count) -> Length:
    """Of the larger gear; a class more is the root of two times as much."""
    return (
        (0.3 * (m_n / MILLI + 0.4 * np.sqrt(np.abs(d_2) / MILLI)) + 4)
        * 2 ** (0.5 * (Q - 5)) * MILLI / 1000
    )


@formula("f_ma", "opening of the mesh over the face by how it is made", ISO_1328, where=MEANING)
def slope_deviation(d_2: Length, b: Length, Q: Count) -> Length:
    """The permitted slope of the flank of the larger gear; gears mounted without lining up."""
    return (
        (0.07 * np.sqrt(np.abs(d_2) / MILLI) + 0.45 * np.sqrt(b / MILLI) + 3)
        * 2 ** (0.5 * (Q - 5)) * MILLI / 1000
    )


@formula("z_n", "teeth seen across the helix", ISO_6336_1, where=MEANING)
def virtual_teeth(z: Count, beta_b: Angle, beta: Angle) -> Count:
    """Those of the spur gear that has the same curve where the tooth is cut across."""
    return z / (np.cos(beta_b) ** 2 * np.cos(beta))


@formula("c", "stiffness of one pair of teeth", ISO_6336_1, where=MEANING)
def tooth_stiffness(z_n1: Count, z_n2: Count, x_1: Ratio, x_2: Ratio, beta: Angle, alpha_n: Angle,
                    w_t: Stiffness) -> Stress:
    """Steel discs and the rack of ISO 53; less in step with the load below 100 N/mm; a ring counts as a rack."""
    return (
        0.8 * (1 + 0.5 * (1.2 - 1.25)) * (1 - 0.02 * (20 - alpha_n / DEGREE)) * np.cos(beta) * GIGA
        * np.minimum(w_t * MILLI / KILO * 10, 1.0)
        / (0.04723 + 0.15551 / z_n1 + np.where(z_n2 < 0, 0.0, 0.25791 / z_n2) - 0.00635 * x_1
           - 0.11654 * x_1 / z_n1 - np.where(z_n2 < 0, 0.0, 0.00193 * x_2 + 0.24188 * x_2 / z_n2)
           + 0.00529 * x_1**2 + np.where(z_n2 < 0, 0.0, 0.00182 * x_2**2))
    )


@formula("c_a", "mean stiffness of the mesh", ISO_6336_1, where=MEANING)
def mesh_stiffness(c: Stress, eps_alpha: Ratio) -> Stress:
    """More pairs in contact stand beside each other."""
    return c * (0.75 * eps_alpha + 0.25)


@formula("c_b", "stiffness of the mesh against an opening", ISO_6336_1, where=MEANING)
def opening_stiffness(c_a: Stress) -> Stress:
    """Somewhat less than the mean: the load is bunched at one end."""
    return 0.85 * c_a


# Load over the face ----------------------------------------------------------------------------


@formula("f_sh", "opening of the mesh over the face by the slopes", ISO_6336_1, where=MEANING)
def slope_opening(theta: Slope, b: Length) -> Length:
    """Both shafts' slopes against each other over the face; the other ways of counting errors take the same side."""
    return np.abs(theta) * b


@formula("F_bx", "opening of the mesh before running in", ISO_6336_1, where=MEANING)
def opening(f_sh: Length, f_ma: Length) -> Length:
    """Slopes and manufacture at their worst together."""
    return 1.33 * f_sh + f_ma


@formula("y_b", "opening worn away by running in", ISO_6336_1, where=MEANING)
def worn_opening(F_bx: Length, sigma: Stress, soft: Ratio, v: Velocity) -> Length:
    """Soft teeth wear to fit, the faster the softer; hard ones by a seventh, six micrometres at most."""
    return np.where(
        soft > 0,
        np.minimum(np.minimum(320 * MEGA / sigma, 1.0) * F_bx,
                   np.where(v * MINUTE <= 300 * KILO * MILLI, F_bx,
                            np.where(v * MINUTE <= 600 * KILO * MILLI, 25600 * MEGA / sigma * MILLI / 1000,
                                     12800 * MEGA / sigma * MILLI / 1000))),
        np.minimum(0.15 * F_bx, 6 * MILLI / 1000))


@formula("F_by", "opening of the mesh after running in", ISO_6336_1, where=MEANING)
def opening_left(F_bx: Length, y_1: Length, y_2: Length) -> Length:
    """Less the mean of what the two wear away."""
    return F_bx - (y_1 + y_2) / 2


@formula("w_m", "load on a length of the tooth, dynamic factor counted", ISO_6336_1, where=MEANING)
def dynamic_line_load(w_t: Stiffness, K_V: Ratio) -> Stiffness:
    """What the teeth close the opening with."""
    return w_t * K_V


@formula("K_b", "load over the face by the opening", ISO_6336_1, where=MEANING)
def opened_face(F_by: Length, c_b: Stress, w_m: Stiffness) -> Ratio:
    """Largest over mean load: the teeth touch over the whole face, or over a part of it only."""
    return np.where(F_by * c_b <= 2 * w_m, 1 + F_by * c_b / (2 * w_m), np.sqrt(2 * F_by * c_b / w_m))


@formula("N_F", "exponent from flank to root", ISO_6336_1, where=MEANING)
def root_exponent(b: Length, m_n: Length) -> Ratio:
    """A wide face evens out at the root; 2.25 modules of height, no more than a third of the face."""
    return 1 / (1 + np.minimum(2.25 * m_n / b, 1 / 3) + np.minimum(2.25 * m_n / b, 1 / 3) ** 2)


@formula("K_Fbr", "load over the face of the root as reckoned", ISO_6336_1, where=MEANING)
def root_face(K_Hbeta: Ratio, N_F: Ratio) -> Ratio:
    """That of the flank, evened out."""
    return K_Hbeta**N_F


# Load over the path of contact ------------------------------------------------------------------


@formula("f_pb", "deviation of the base pitch", ISO_1328, where=MEANING | {"f_pt": "deviation of a single pitch"})
def base_pitch_deviation(f_pt: Length, alpha_t: Angle) -> Length:
    """That of the pitch, along the line of action."""
    return f_pt * np.cos(alpha_t)


@formula("y_p", "base pitch worn to fit on this gear", ISO_6336_1, where=MEANING, version=2)
def worn_pitch(f_pb: Length, sigma: Stress, soft: Ratio, v: Velocity) -> Length:
    """Soft teeth wear to fit, fast ones less of it; hard ones by a thirteenth, three micrometres at most."""
    return np.where(
        soft > 0,
        np.minimum(np.minimum(160 * MEGA / sigma, 1.0) * f_pb,
                   np.where(v * MINUTE <= 300 * KILO * MILLI, f_pb,
                            np.where(v * MINUTE <= 600 * KILO * MILLI, 12800 * MEGA / sigma * MILLI / 1000,
                                     6400 * MEGA / sigma * MILLI / 1000))),
        np.minimum(0.075 * f_pb, 3 * MILLI / 1000))


@formula("y_a", "base pitch worn to fit", ISO_6336_1, where=MEANING)
def worn_pitch_of_both(y_1: Length, y_2: Length) -> Length:
    """The mean of both gears."""
    return (y_1 + y_2) / 2


@formula("K_a", "load over the path of contact", ISO_6336_1, where=MEANING)
def path_load(eps_alpha: Ratio, eps_beta: Ratio, c_a: Stress, f_pb: Length, y_a: Length, w_m: Stiffness,
              K_Hbeta: Ratio) -> Ratio:
    """Of several pairs in contact the one a pitch error ahead carries more."""
    return np.where(
        eps_alpha + eps_beta <= 2,
        (eps_alpha + eps_beta) / 2 * (0.9 + 0.4 * c_a * (f_pb - y_a) / (w_m * K_Hbeta)),
        0.9 + 0.4 * np.sqrt(np.maximum(2 * (eps_alpha + eps_beta - 1) / (eps_alpha + eps_beta), 0.0))
        * c_a * (f_pb - y_a) / (w_m * K_Hbeta))


@formula("K_Har", "load over the path of contact as reckoned, flank", ISO_6336_1, where=MEANING | {
    "K_a": "load over the path of contact"})
def flank_path(K_a: Ratio, eps_alpha: Ratio, eps_beta: Ratio, Z_eps: Ratio) -> Ratio:
    """No less than even, no more than all on one pair."""
    return np.minimum(np.maximum(K_a, 1.0), np.maximum(
        (eps_alpha + eps_beta) / (eps_alpha * Z_eps**2), 1.0))


@formula("K_Far", "load over the path of contact as reckoned, root", ISO_6336_1, where=MEANING | {
    "K_a": "load over the path of contact"})
def root_path(K_a: Ratio, eps_alpha: Ratio, eps_beta: Ratio) -> Ratio:
    """No less than even, no more than all on one pair."""
    return np.minimum(np.maximum(K_a, 1.0), np.maximum(
        (eps_alpha + eps_beta) / (0.25 * eps_alpha + 0.75), 1.0))


# Cycles ----------------------------------------------------------------------------------------


@formula("N_L", "cycles of the pinion in its life", KINEMATICS, where=MEANING)
def cycles(omega_1: Speed, t_life: Time) -> Count:
    """Every tooth meets once in a turn."""
    return omega_1 * t_life / (2 * np.pi)


@formula("N_L2", "cycles of the wheel in its life", KINEMATICS, where=MEANING | {
    "N_L": "cycles of the pinion in its life"})
def wheel_cycles(N_L: Count, z_1: Count, z_2: Count) -> Count:
    """Fewer, by the ratio of teeth."""
    return N_L * z_1 / np.abs(z_2)


def material(line: Any, column: str, symbol: str, meaning: str) -> Any:
    """One cell of a line of the table of gear materials, told by its number; unknown for any other number."""
    values, source = _materials(column)
    number = np.asarray(plain(line), dtype=float)
    at = np.where((number >= 1) & (number < len(values)) & (np.mod(number, 1) == 0), number, 0).astype(int)
    where = f"line {at}, {column}" if at.size == 1 else column  # of many rows each takes its own line
    return looked_up(symbol, meaning, COUNT if column in ("least", "most") else RATIO, values[at][()],
                     table="gear_materials", row=where, source=source, of={"line": line})


@cache
def _materials(column: str) -> tuple[Any, Source]:
    """A column of the table behind a NaN for no line at all, and where it was read."""
    rows = table("gear_materials").rows
    return np.array([np.nan, *(r.number(column) for r in rows)]), rows[0].source
