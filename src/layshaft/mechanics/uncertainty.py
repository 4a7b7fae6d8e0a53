"""How sure a measured value is: scatter of the readings (type A), limits of the instrument (type B), both together.

By the Guide to the expression of uncertainty in measurement (ISO/IEC Guide 98-3:2008, freely published as
JCGM 100:2008), read in texts that quote it.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Count, Ratio

TYPE_A = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "4.2, type A evaluation", "second text")
TYPE_B = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "4.3.7 and F.2.2.1, even between limits", "second text")
LAW = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "5.1.2, law of propagation", "second text")
FREEDOM = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "G.4.1, Welch and Satterthwaite", "second text")
EXPANDED = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "6.2.1, expanded uncertainty", "second text")
PLANNED = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "6.2.1 solved for the number of readings", "derived")
STUDENT = Source("ISO/IEC Guide 98-3:2008 (JCGM 100:2008)", "table G.2, Student's distribution", "second text")
SCORE = Source("ISO 13528:2015", "E_n score", "second text")

COVERAGE = 0.9545
"""Level of confidence of a spread: what two standard deviations cover, as the ends of a measured given are read."""

MEANING = {
    "s_r": "standard deviation of single readings, over the value", "n": "readings",
    "q_r": "smallest step the instrument shows, as it moves the value, over the value",
    "a_r": "limit of the instrument's error, as it moves the value, over the value",
    "u_A": "standard uncertainty of the mean, from scatter, over the value",
    "u_B": "standard uncertainty from instruments and what else was taken as known, over the value",
    "u_c": "combined standard uncertainty, over the value",
    "k": "coverage factor: Student's t at 95.45 % for the degrees of freedom there are, 2 where they are many",
    "U_r": "spread that is wanted, over the value",
    "d_r": "distance of measurement and guess, over the measured value",
    "U_m": "spread of the measurement, over the measured value",
    "U_g": "spread of the guess on that side, over the measured value",
}


@formula("u_A", "standard uncertainty of the mean, from scatter, over the value", TYPE_A, where=MEANING)
def of_the_mean(s_r: Ratio, n: Count) -> Ratio:
    """The mean of many readings scatters less than one of them, by the root of their number."""
    return s_r / np.sqrt(n)


@formula("u_q", "standard uncertainty from the smallest step, over the value", TYPE_B, where=MEANING)
def of_a_step(q_r: Ratio) -> Ratio:
    """A reading lies anywhere within half a step to either side, all as likely."""
    return q_r / np.sqrt(12)


@formula("u_a", "standard uncertainty from the limit of error, over the value", TYPE_B, where=MEANING)
def of_a_limit(a_r: Ratio) -> Ratio:
    """The error of the instrument lies anywhere between plus and minus its limit, all as likely."""
    return a_r / np.sqrt(3)


@formula("u_c", "combined standard uncertainty, over the value", LAW, where=MEANING)
def combined(u_A: Ratio, u_B: Ratio) -> Ratio:
    """Causes that have nothing to do with each other add by their squares."""
    return np.sqrt(u_A**2 + u_B**2)


@formula("nu", "effective degrees of freedom", FREEDOM, where=MEANING)
def degrees_of_freedom(n: Count, u_A: Ratio, u_c: Ratio) -> Count:
    """What is known of the instrument counts as known for sure; scatter that hardly matters leaves many."""
    return (n - 1) * (u_c / u_A) ** 4


@formula("U", "spread of the value, over the value", EXPANDED, where=MEANING)
def expanded(k: Ratio, u_c: Ratio) -> Ratio:
    """The value lies this far to either side with a confidence of 95.45 %."""
    return k * u_c


@formula("n_0", "readings needed", PLANNED, where=MEANING,
         outside="the instrument alone is too coarse: no number of readings is enough")
def readings_needed(k: Ratio, s_r: Ratio, U_r: Ratio, u_B: Ratio) -> Count:
    """What is left of the wanted spread when the instrument has had its share is for the scatter."""
    return np.where(U_r > k * u_B, (k * s_r) ** 2 / np.where(U_r > k * u_B, U_r**2 - (k * u_B) ** 2, 1.0), np.nan)


@formula("E_n", "distance of measurement and guess over their spreads together", SCORE, where=MEANING)
def score(d_r: Ratio, U_m: Ratio, U_g: Ratio) -> Ratio:
    """Above one they contradict each other."""
    return d_r / np.sqrt(U_m**2 + U_g**2)


def coverage_factor(nu: float) -> float:
    """Student's t that covers 95.45 % with so many degrees of freedom, rounded down to whole ones (clause G.4.2)."""
    from scipy.special import stdtrit

    if nu < 1 or np.isnan(nu):
        return float("nan")
    whole = np.floor(nu + 1e-9) if nu < MANY else nu
    return 2.0 if nu >= MANY else float(stdtrit(whole, (1 + COVERAGE) / 2))


MANY = 1e4
"""Degrees of freedom from which on there are as good as endless many."""

