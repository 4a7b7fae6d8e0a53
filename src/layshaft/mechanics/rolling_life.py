"""Life of rolling bearings after ISO 281: what ball and roller bearings share, exponent 3 or 10/3.

On slow machines the life is long beyond sense; dirt, water and knocks in transport end a bearing, not fatigue.
"""

from __future__ import annotations

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula, looked_up, plain
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import RATIO, Count, Force, Ratio, Speed, Time

LIFE = Source("ISO 281:2007", "basic rating life, exponent 3 for balls and 10/3 for rollers", "second text")
RELIABILITY = Source("ISO 281:2007", "table of a1", "from memory")
DUTY = Source("Machine Design (U. C. Jindal)", "cubic mean load, ex. 18-9, p. 512", "second text")
REQUIRED_LIFE = Source("ISO 281:2007", "the life wanted is reached once", "common practice")
REQUIRED_STATIC = Source("ISO 76 and bearing handbooks", "static safety of rolling bearings", "from memory")

BALLS = 3.0
ROLLERS = 10 / 3
"""The life exponents of ISO 281."""

MEANING = {"C": "dynamic load rating", "p": "life exponent, 3 or 10/3", "omega": "turning speed",
           "t_w": "running time wanted"}
LARGEST_LOAD_RATIO = 1000.0
"""Loads below a thousandth of C count as that much, so that an unloaded bearing has a life."""
MILLION = 1e6
"""Turns the rating is for."""

CENTURY = 100 * 31557600.0
"""Seconds in a hundred years."""


@formula("L_10", "turns that nine in ten bearings reach", LIFE, where=MEANING)
def rating_life(C: Force, P: Force, p: Ratio) -> Count:
    """A million turns times a power of rating over load."""
    return MILLION * (C / np.maximum(P, C / LARGEST_LOAD_RATIO)) ** p


@formula("L_nm", "turns at the wanted reliability", RELIABILITY)
def adjusted_life(a_1: Ratio, L_10: Count) -> Count:
    """Fewer turns are promised when more bearings must reach them."""
    return a_1 * L_10


@formula("N_L", "turns wanted", KINEMATICS, where=MEANING)
def turns_wanted(omega: Speed, t_w: Time) -> Count:
    """Turning speed times running time."""
    return omega * t_w / (2 * np.pi)


@formula("t_nm", "running time at the wanted reliability", KINEMATICS, where=MEANING,
         outside="the shaft does not turn")
def life_time(L_nm: Count, omega: Speed) -> Time:
    """Turns over turning speed."""
    return 2 * np.pi * L_nm / np.where(omega > 0, omega, np.nan)


@formula("u_i", "share of the rating life used up in one state", DUTY,
         where={"N_i": "turns in this state", "L_i": "turns that nine in ten bearings reach at its load"})
def life_used(N_i: Count, L_i: Count) -> Ratio:
    """Each state takes its turns out of the life it would have alone (Palmgren and Miner)."""
    return N_i / L_i


@formula("P_m", "mean load over the duty", DUTY, where=MEANING | {
    "u": "share of the rating life used up"})
def mean_load(C: Force, u: Ratio, N_L: Count, p: Ratio) -> Force:
    """The one load that uses up as much in as many turns; nothing where the bearing never turns."""
    return C * np.where(N_L > 0, MILLION * u / np.where(N_L > 0, N_L, 1.0), 0.0) ** (1 / p)


@formula("past_century", "life above 100 years of turning without a stop", LIFE)
def past_century(t_nm: Time) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(t_nm > CENTURY, 1.0, 0.0)


def reliability_factor(R: Ratio) -> Ratio:
    """Life factor for a reliability of 0.90 to 0.99; unknown outside."""
    rows = table("bearing_reliability").rows
    at = np.asarray([row.number("reliability_percent") for row in rows]) / 100
    value = np.interp(plain(R), at, [row.number("a1") for row in rows], left=np.nan, right=np.nan)
    return looked_up(
        "a_1", "life factor for reliability", RATIO, value, table="bearing_reliability",
        row="between rows of reliability", source=RELIABILITY,
    )
