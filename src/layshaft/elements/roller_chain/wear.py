"""Roller chain: how long it lasts until it is worn out or no longer fits, and the oil it asks for.

The life is an estimate, marked as such. Capacity charts are drawn for 15 000 h until the chain has
grown by 3 %, in a stated drive. Wear goes with the joint pressure and with how far the joints turn
in a given time; above the chart pressure the charts' own life factor, a cube, shortens it further.
"""

from __future__ import annotations

import numpy as np

from layshaft.elements.roller_chain.strength import HOUR, SLOWEST_CHART
from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import (
    REV_PER_MIN,
    Angle,
    Area,
    Count,
    Length,
    Power,
    Ratio,
    Speed,
    Stress,
    Time,
    Velocity,
)

CHARTS = Source("ISO 10823:2004, selection of roller chain drives",
                "charts: 15 000 h to 3 % elongation, 120 links, ratio 3 : 1", "from memory")
LINEAR = Source("linear wear law tied to the chart life; longer at less pressure in proportion only, "
                "shorter at more by the life factor f_5 = (15 000 h / L_h)^(1/3)",
                "a textbook's chain drives after DIN ISO 10823", "second text")
OIL = Source("chain makers' published tables", "lubrication by chain speed and pitch", "read")
TAKE_UP = Source("elementary geometry of a chain on two wheels", "length taken up", "derived")

CHART_HOURS = 15000.0
"""Hours the chart is made for."""

CHART_ELONGATION = 0.03
"""Elongation at which the chart takes a chain for worn."""

CHART_LINKS = 120.0
"""Links of the chain the chart is made for."""

CHART_RATIO = 3.0
"""Ratio of the drive the chart is made for."""


@formula("Phi", "turning of a joint in one round of the chain", KINEMATICS)
def joint_turning(z_1: Count, z_2: Count, s_i: Ratio) -> Angle:
    """Every wheel bends each joint by 360 deg/z as it runs on and straightens it as it runs off."""
    return 4 * np.pi * (1 / z_1 + 1 / z_2 + s_i)


@formula("psi_j", "turning of a joint in a given time", KINEMATICS)
def turning_rate(Phi: Angle, v: Velocity, X: Count, p: Length) -> Speed:
    """Turning in a round, times rounds: a long chain comes round seldom."""
    return Phi * v / (X * p)


@formula("psi_c", "the same in the drive of the charts", CHARTS)
def chart_rate(z_1: Count, v: Velocity, p: Length) -> Speed:
    """120 links on the same small sprocket and one of three times its teeth, at the same chain speed."""
    return 4 * np.pi / z_1 * (1 + 1 / CHART_RATIO) * v / (CHART_LINKS * p)


@formula(
    "p_15", "joint pressure for 15 000 h", CHARTS,
    where={"H_p": "capacity of the link plates, all strands"},
    outside="below 10 rev/min known only for slow chains on sprockets of enough teeth",
)
def chart_pressure(H_p: Power, v: Velocity, A: Area, p_zul: Stress, omega_1: Speed) -> Stress:
    """The capacity as a pull, over the joint; at a crawl the pressure known for slow drives."""
    return np.where(omega_1 / REV_PER_MIN >= SLOWEST_CHART, H_p / (np.where(v > 0, v, np.nan) * A), p_zul)


@formula(
    "t_3", "hours to 3 % elongation", LINEAR,
    outside="the oil given is less than the speed asks for, or lubrication is not said: the life is then a small "
    "part of the charts', and nobody can say which",
)
def life_to_three_percent(p_15: Stress, p_r: Stress, psi_c: Speed, psi_j: Speed, lub: Count,
                          lub_min: Count) -> Time:
    """Chart life, times chart pressure over pressure (its cube where above it), times the turning of the joints."""
    return np.where(lub >= lub_min, CHART_HOURS * HOUR * np.minimum(p_15 / p_r, (p_15 / p_r) ** 3) * psi_c / psi_j,
                    np.nan)


@formula("a_o", "centre adjustment offered, with what a tensioner replaces", TAKE_UP)
def take_up_offered(take_up: Length, L_t: Length, L_0: Length, beta: Angle) -> Length:
    """A tensioner's share counts as chain length; what a new chain is too long by is gone already."""
    return np.maximum(take_up + (L_t - L_0) / (2 * np.cos(beta)), 0.0)


@formula("e_w", "elongation at which the chain goes", TAKE_UP)
def elongation_used(e_zul: Ratio, a_o: Length, beta: Angle, X: Count, p: Length, fixed: Count) -> Ratio:
    """Worn out, or no longer fitting, whichever comes first; fixed centres live on the slack of the chain."""
    return np.where(
        a_o > 0, np.minimum(e_zul, 2 * a_o * np.cos(beta) / (X * p)),
        np.where((a_o <= 0) & (fixed > 0), e_zul, np.where((a_o <= 0) & (fixed <= 0), 0.0, np.nan)),
    )


@formula("t_w", "running time until the chain goes", LINEAR)
def wear_life(t_3: Time, e_w: Ratio) -> Time:
    """Growth in proportion to time: good enough after running in and before the hard skin is through."""
    return t_3 * e_w / CHART_ELONGATION


@formula(
    "lub_min", "lubrication asked for (1 by hand, 2 drip, 3 bath or disc, 4 oil stream)", OIL,
    where={"v_1": "chain speed up to which oiling by hand does", "v_2": "chain speed up to which drip feed does",
           "v_3": "chain speed up to which a bath or disc does"},
    outside="no limit of speed is listed for so large a pitch",
)
def lubrication_class(v: Velocity, v_1: Velocity, v_2: Velocity, v_3: Velocity) -> Count:
    """A joint that is hardly ever bent keeps its oil; a fast one throws it off and heats it."""
    return np.where(v <= np.minimum(v_1, v_2), 1.0, np.where(v <= v_2, 2.0, np.where(
        v <= v_3, 3.0, np.where(v > v_3, 4.0, np.nan))))


@formula("by_hand", "oiling by hand does", OIL)
def by_hand(lub_min: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(lub_min == 1, 1.0, 0.0)


@formula("by_drip", "drip feed is asked for", OIL)
def by_drip(lub_min: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(lub_min == 2, 1.0, 0.0)


@formula("by_bath", "a bath or disc is asked for", OIL)
def by_bath(lub_min: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(lub_min == 3, 1.0, 0.0)


@formula("by_stream", "an oil stream is asked for", OIL)
def by_stream(lub_min: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(lub_min == 4, 1.0, 0.0)
