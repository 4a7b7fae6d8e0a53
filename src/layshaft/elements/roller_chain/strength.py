"""Roller chain: pulls, safeties, joint pressure, capacity formulas, hoisting duty, tooth jump.

Governing for slow drives: strength and joint pressure. The American capacity formulas stand beside
them as a second opinion; they hold for running drives and mean nothing towards standstill.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    DEGREE,
    HORSEPOWER,
    INCH,
    REV_PER_MIN,
    Angle,
    Area,
    Count,
    Force,
    Length,
    MassPerLength,
    Power,
    Ratio,
    Speed,
    Stress,
    Time,
    Torque,
    Velocity,
)

STRENGTH = Source("strength method of German design handbooks", "after DIN 8195", "from memory")
PRESSURE = Source("chain makers' design guides", "joint pressure p_r = F / A", "from memory")
JOINT = Source("ISO 606:2015, short-pitch roller chains", "pin diameter times bush length", "from memory")
CAPACITY = Source("Shigley's Mechanical Engineering Design", "eq. 17-32 and 17-33", "second text")
TEETH_17 = Source("Shigley's Mechanical Engineering Design", "Table 17-22, eq. 17-37", "second text")
TEETH_19 = Source("ISO 10823:2004, selection of roller chain drives", "factor f2", "second text")
HOISTING = Source("a chain maker's published guide", "slow drives and hanging loads", "read")
WEAKEST = Source("strength of an offset link", "chain makers' practice", "typical")
JUMP = Source("a chain maker's published page on lifting with roller chain", "back tension", "read")

HOUR = 3600.0
CHART_LIFE = 15000.0
"""Hours for which the capacity formulas are written."""
CHART_LINKS = 100.0
"""Links of the chain the charts were made for."""

SLOWEST_CHART = 10.0
"""Rev/min. The permitted pull of eq. 17-32 grows without end as the speed falls: no use below."""


@formula("F_t", "chain pull from the torque", STATICS, where={"d_1": "pitch diameter, small sprocket"})
def pull_from_torque(T_1: Torque, d_1: Length) -> Force:
    """Torque over the pitch radius; the true arm is up to 1 - cos(180 deg/z) shorter for a moment."""
    return 2 * T_1 / d_1


@formula("F_P", "chain pull from the power", STATICS, where={"H": "power"})
def pull_from_power(H: Power, v: Velocity) -> Force:
    """Mean pull over a tooth: power over chain speed."""
    return H / v


@formula("F_c", "centrifugal pull", STATICS)
def centrifugal_pull(q: MassPerLength, v: Velocity) -> Force:
    """The bent chain presses outwards and tightens both strands."""
    return q * v**2


@formula("F_w", "pull while running", STATICS, outside="the case does not run on and on",
         where={"F": "tight strand pull"})
def running_pull(F: Force, running: Count) -> Force:
    """Wear and fatigue count only what lasts."""
    return np.where(running > 0, F, np.nan)


@formula("F_D", "running pull with application factor", STRENGTH)
def dynamic_pull(F_w: Force, f_1: Ratio) -> Force:
    """The factor stands for the shocks a mean pull does not show."""
    return F_w * f_1


@formula("A_j", "bearing area of a joint", JOINT,
         where={"d_pin": "pin diameter", "b_bush": "bush length over the inner link"})
def joint_area(d_pin: Length, b_bush: Length, strands: Count) -> Area:
    """Projected area of the pin in its bush, all strands."""
    return d_pin * b_bush * strands


@formula("p_r", "joint pressure", PRESSURE)
def joint_pressure(F_w: Force, A: Area) -> Stress:
    """Pull over the projected area of pin in bush: what wears the chain."""
    return F_w / A


@formula(
    "p_zul", "permissible joint pressure", PRESSURE,
    where={"p_0": "joint pressure for a long life, slow drive", "v_0": "chain speed up to which it holds",
           "z_0": "least teeth for which it holds"},
    outside="known only for slow chains on sprockets of enough teeth",
)
def permissible_joint_pressure(p_0: Stress, v: Velocity, v_0: Velocity, z_1: Count, z_0: Count) -> Stress:
    """One remembered value for slow drives; the makers' curves fall with speed and with fewer teeth."""
    return np.where((v < v_0) & (z_1 >= z_0), p_0, np.nan)


@formula("H_D", "power to be carried, with application factor", KINEMATICS,
         outside="the case does not run on and on")
def design_power(T_1: Torque, omega_1: Speed, f_1: Ratio, running: Count) -> Power:
    """Torque times speed times the factor for shocks."""
    return np.where(running > 0, T_1 * omega_1 * f_1, np.nan)


@formula(
    "H_1", "capacity of the link plates, one strand", CAPACITY, where={"k_H": "coefficient of the plates"},
    outside="this formula was made for chains that run at 10 rev/min or faster",
)
def plate_power(k_H: Ratio, z_1: Count, omega_1: Speed, p: Length) -> Power:
    """Fatigue of the link plates; pitch in inch, speed in rev/min, result in horsepower."""
    return np.where(
        omega_1 / REV_PER_MIN >= SLOWEST_CHART,
        HORSEPOWER * k_H * z_1**1.08 * (omega_1 / REV_PER_MIN) ** 0.9 * (p / INCH) ** (3 - 0.07 * (p / INCH)),
        np.nan,
    )


@formula(
    "k", "coefficient of the series", CAPACITY,
    where={"k_std": "coefficient of the standard series", "k_light": "coefficient of the light chain"},
    outside="no capacity is published for this light chain",
)
def by_series(k_std: Ratio, k_light: Ratio, light: Count) -> Ratio:
    """Thin plates and a narrow roller carry about half of what the standard chain of the same pitch does."""
    return k_std + light * (k_light - k_std)


@formula(
    "K_std", "coefficient of the rollers, standard series", CAPACITY,
    where={"K_bush": "coefficient of rollerless chains below half an inch",
           "K_roll": "coefficient of roller chains from half an inch"},
)
def roller_coefficient(p: Length, K_bush: Ratio, K_roll: Ratio) -> Ratio:
    """Chains below half an inch pitch have no rollers of their own in the American series."""
    return np.where(p / INCH < 0.499, K_bush, np.where(p / INCH >= 0.499, K_roll, np.nan))


@formula(
    "H_2", "capacity of the rollers, one strand", CAPACITY,
    outside="this formula was made for chains that run at 10 rev/min or faster",
)
def roller_power(K_r: Ratio, z_1: Count, omega_1: Speed, p: Length, X: Count, t_life: Time) -> Power:
    """Impact of rollers on teeth: a longer chain and a shorter life allow more."""
    return np.where(
        omega_1 / REV_PER_MIN >= SLOWEST_CHART,
        HORSEPOWER * 1000 * K_r * z_1**1.5 * (p / INCH) ** 0.8
        / np.maximum(omega_1 / REV_PER_MIN, SLOWEST_CHART) ** 1.5
        * (X / CHART_LINKS) ** 0.4 * (CHART_LIFE * HOUR / t_life) ** 0.4,
        np.nan,
    )


@formula("H_zul", "capacity of all strands", CAPACITY,
         where={"H": "capacity of one strand", "K_2": "strand factor"})
def strands_power(H: Power, K_2: Ratio) -> Power:
    """Strands of one chain share unevenly: the factor is less than their number."""
    return H * K_2


@formula("K_1", "tooth factor, plates, 17 teeth = 1", TEETH_17, where={"z": "teeth of the small sprocket"})
def tooth_factor_plates(z: Count) -> Ratio:
    """Multiplies a tabulated capacity where the plates limit it."""
    return (z / 17) ** 1.08


@formula("K_1r", "tooth factor, rollers, 17 teeth = 1", TEETH_17, where={"z": "teeth of the small sprocket"})
def tooth_factor_rollers(z: Count) -> Ratio:
    """Multiplies a tabulated capacity where the rollers limit it."""
    return (z / 17) ** 1.5


@formula("f_2", "tooth factor, 19 teeth = 1", TEETH_19)
def tooth_factor_demand(z_1: Count) -> Ratio:
    """Multiplies the power to be carried, not the capacity; never together with K_1."""
    return (19 / z_1) ** 1.08


@formula("H_tab", "capacity to look for in a table", TEETH_17,
         where={"H": "power to be carried", "n_d": "design factor", "K_2": "strand factor"})
def table_power(H: Power, f_1: Ratio, n_d: Ratio, K_1: Ratio, K_2: Ratio) -> Power:
    """What one strand on a 17-tooth sprocket must be listed for."""
    return H * f_1 * n_d / (K_1 * K_2)


@formula("P_c", "corrected power for the capacity charts", TEETH_19, where={"H": "power to be carried"})
def chart_power(H: Power, f_1: Ratio, f_2: Ratio) -> Power:
    """What a chart for 19 teeth must carry; the strand factor is already in the chart."""
    return H * f_1 * f_2


@formula(
    "u_zul", "permitted working pull over breaking load, slow hoisting", HOISTING,
    where={"u_press": "share with press-fit links", "u_slip": "share with a slip-fit or offset link",
           "v_h": "largest chain speed with a hanging load"},
    outside="not in the load path of a hanging weight, or the chain runs too fast for one",
)
def hoisting_share(u_press: Ratio, u_slip: Ratio, press_fit: Count, v: Velocity, v_h: Velocity,
                   hoisting: Count) -> Ratio:
    """A slip-fit connecting link fits looser and tires sooner than the rest of the chain."""
    return np.where(
        (hoisting > 0) & (v <= v_h),
        np.where(press_fit > 0, u_press, np.where(press_fit <= 0, u_slip, np.nan)), np.nan,
    )


@formula("F_h", "permitted working pull, slow hoisting", HOISTING)
def hoisting_pull(u_zul: Ratio, F_u: Force) -> Force:
    """Share of the breaking load."""
    return u_zul * F_u


@formula("n_o", "offset links", KINEMATICS)
def offset_links(X: Count, offset: Count) -> Count:
    """Inner and outer links alternate: an odd number closes only with a cranked one."""
    return np.maximum(np.mod(X, 2), offset)


@formula("F_v", "breaking load with its weakest link", WEAKEST,
         where={"u_o": "strength of an offset link over that of the chain"})
def weakest_link(F_u: Force, u_o: Ratio, n_o: Count) -> Force:
    """The cranked plates of an offset link bend before the straight ones tear."""
    return np.where(n_o > 0, u_o * F_u, np.where(n_o <= 0, F_u, np.nan))


@formula("S_n", "margin where a number is allowed at most", STATICS,
         where={"n": "how many there are", "n_zul": "how many are allowed"})
def at_most(n: Count, n_zul: Count) -> Ratio:
    """1 where there are not too many, else 0: there is no half of a link."""
    return np.where(n <= n_zul, 1.0, np.where(n > n_zul, 0.0, np.nan))


@formula("phi", "pressure angle of a sprocket tooth", JUMP, where={"z": "teeth of the sprocket"})
def tooth_angle(z: Count) -> Angle:
    """Angle under which the roller leans on the tooth of a new chain."""
    return (17 - 64 / z) * DEGREE


@formula("F_k", "back pull that keeps the chain from jumping teeth", JUMP,
         where={"F": "tight strand pull"},
         outside="not in the load path of a hanging weight")
def back_pull(F: Force, phi: Angle, z_1: Count, K: Count, hoisting: Count) -> Force:
    """Each engaged tooth takes its share of the pull; what the last one leaves must be held back."""
    return np.where(
        hoisting > 0, F * (np.sin(phi) / np.sin(phi + 2 * np.pi / z_1)) ** (K - 1), np.nan
    )
