"""How hard a brake holds: shoe on a lever, and band round a drum, the strong way and the other way.

Friction either draws the shoe or band on (the strong way) or pushes it off. Drawn on too far, it locks by itself and no
hand rules it any more: the method ends there.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import Angle, Area, Count, Force, Length, Ratio, Speed, Stress, Torque

BLOCK = Source("Bhandari, Design of Machine Elements", "ch. 12, block brake with short shoe", "second text")
LONG_SHOE = Source("course notes on the design of brakes (lecture DTS 11.3)",
                   "equivalent friction of a pivoted long shoe", "read")
BAND = Source("Bhandari, Design of Machine Elements", "ch. 12, differential band brake", "second text")

MEANING = {
    "F": "force on the end of the lever", "l": "lever, from its pivot to that force",
    "b": "from the pivot to the line of the force square to the drum", "mu": "friction of the lining",
    "e": "from the pivot to the line of the friction force", "theta": "angle that the lining covers",
    "a_s": "arm of the end of the band that is slack the strong way", "k_b": "tight over slack tension",
    "a_t": "arm of the end of the band that is tight the strong way, 0 if fixed",
    "N": "force square to the drum", "d": "diameter of the drum", "i_s": "shoes alike",
    "F_s": "slack tension of the band", "F_t": "tight tension of the band", "w": "width of the lining",
    "T_1": "torque the strong way", "T_2": "torque the other way",
    "T_h": "torque to be held, above zero the strong way", "d_o": "outer diameter of the pads",
    "d_i": "inner diameter of the pads",
}
LOCKS = "the brake locks by itself the strong way: move the pivot, or take a lining of less friction"


@formula("mu_e", "friction as it acts on a long shoe", LONG_SHOE, where=MEANING)
def long_shoe(mu: Ratio, theta: Angle) -> Ratio:
    """The pressure falls off towards the ends of a pivoted shoe, and acts on a longer arm than the drum's radius."""
    return mu * 4 * np.sin(theta / 2) / (theta + np.sin(theta))


@formula("N_1", "force square to the drum, the strong way", BLOCK, where=MEANING, outside=LOCKS)
def block_strong(F: Force, l: Length, b: Length, e: Length, mu: Ratio) -> Force:
    """Friction turns the lever on."""
    return F * l / np.where(b > mu * e, b - mu * e, np.nan)


@formula("N_2", "force square to the drum, the other way", BLOCK, where=MEANING)
def block_weak(F: Force, l: Length, b: Length, e: Length, mu: Ratio) -> Force:
    """Friction turns the lever off."""
    return F * l / (b + mu * e)


@formula("T_N", "friction torque of shoes", STATICS, where=MEANING)
def shoe_torque(mu: Ratio, N: Force, d: Length, i_s: Count) -> Torque:
    """Friction of every shoe at the radius of the drum."""
    return mu * N * d / 2 * i_s


@formula("F_s1", "slack tension, the strong way", BAND, where=MEANING, outside=LOCKS)
def band_strong(F: Force, l: Length, a_s: Length, a_t: Length, k_b: Ratio) -> Force:
    """The tight end pulls the lever on, if it has an arm."""
    return F * l / np.where(a_s > k_b * a_t, a_s - k_b * a_t, np.nan)


@formula("F_s2", "slack tension, the other way", BAND, where=MEANING,
         outside="turned the other way the band pulls the lever off: it does not hold that way at all")
def band_weak(F: Force, l: Length, a_s: Length, a_t: Length, k_b: Ratio) -> Force:
    """The ends change places: the tight one now pulls against the lever."""
    return F * l / np.where(k_b * a_s > a_t, k_b * a_s - a_t, np.nan)


@formula("T_B", "friction torque of a band", STATICS, where=MEANING)
def band_torque(F_s: Force, k_b: Ratio, d: Length) -> Torque:
    """Difference of the two tensions at the radius of the drum."""
    return F_s * (k_b - 1) * d / 2


@formula("A_b", "lining of a shoe, square to the force", STATICS, where=MEANING)
def shoe_area(d: Length, theta: Angle, w: Length) -> Area:
    """Chord of the covered angle times the width."""
    return d * np.sin(theta / 2) * w


@formula("A_p", "lining of one pad", STATICS, where=MEANING,
         outside="the inner diameter must be smaller than the outer one")
def pad_area(d_o: Length, d_i: Length, theta: Angle) -> Area:
    """A piece of a ring."""
    return theta / 8 * np.where(d_i < d_o, d_o**2 - d_i**2, np.nan)


@formula("F_t", "tight tension of the band", STATICS, where=MEANING)
def tight_tension(F_s: Force, k_b: Ratio) -> Force:
    """What the band itself, its rivets and its pin carry."""
    return F_s * k_b


@formula("T_r", "torque that holds", STATICS, where=MEANING)
def that_way(T_h: Torque, T_1: Torque, T_2: Torque) -> Torque:
    """The strong way or the other, as the shaft would turn."""
    return np.where(T_h >= 0, T_1, np.where(T_h < 0, T_2, np.nan))


@formula("T_d", "torque that stops", STATICS, where=MEANING | {"omega": "turning speed, above zero the strong way"})
def running_way(omega: Speed, T_1: Torque, T_2: Torque) -> Torque:
    """The strong way or the other, as the shaft turns."""
    return np.where(omega >= 0, T_1, np.where(omega < 0, T_2, np.nan))


@formula("p_b", "largest pressure under a band", STATICS, where=MEANING)
def band_pressure(F_t: Force, d: Length, w: Length) -> Stress:
    """At its tight end."""
    return 2 * F_t / (d * w)
