"""What makes a train turn unevenly by its own shape: polygons, runout, errors of teeth, bent joints.

An error is told as advance: how far, along chain or line of action, a wheel runs ahead of even turning.
Every error is a cosine of one order; the figure is its amplitude, half of what a dial would show.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import Angle, Count, Inertia, Length, Ratio, Speed, Time

POLYGON = Source("Fourier series of a pin's way along the chain, from pin to pin; its model is that of Mahalingam, "
                 "Polygonal action in chain drives, 1958", obtained="derived")
ISO_606 = Source("ISO 606:2015, short-pitch roller chains", "radial run-out of sprockets", "from memory")
ISO_1328_2 = Source("ISO 1328-2:1997, accuracy of gears", "annex B, radial runout", "from memory")
ISO_1328_1 = Source("ISO 1328-1:1995, accuracy of flanks", "tooth-to-tooth tangential composite deviation",
                    "from memory")

MILLI = 1e-3
MEANING = {
    "k": "number of the harmonic of the links", "z": "teeth of the sprocket", "p": "chain pitch",
    "e_1": "advance error of the first sprocket", "e_2": "advance error of the second",
    "l": "free span: strand between the two pitch circles", "F_r": "radial runout as a dial shows it, both ways",
    "e": "amplitude of the advance error", "r": "pitch radius of a chain or belt wheel, base radius of a gear",
    "d_f": "root diameter", "m_n": "normal module", "d": "reference diameter", "Q": "flank tolerance class",
    "eps_gamma": "total contact ratio", "f_i": "tooth-to-tooth deviation, both ways",
    "theta": "amplitude of the angle error of a shaft", "n": "times it comes in a turn of that shaft",
    "omega": "mean speed of that shaft", "J_a": "moment of inertia on this side of the error",
    "J_b": "moment of inertia on the other side",
}


@formula("e_k", "amplitude of the advance error of a polygon", POLYGON, where=MEANING)
def polygon_advance(p: Length, z: Count, k: Count) -> Length:
    """A pin on its arc against even travel, R sin(phi) between two pins; the k-th harmonic of the links."""
    return p / (np.pi * k * (k**2 * z**2 - 1))


@formula("e_c", "amplitude of the advance error of two sprockets together", POLYGON, where=MEANING)
def pair_advance(e_1: Length, e_2: Length, l: Length, p: Length, k: Count) -> Length:
    """Equal sprockets a whole number of pitches apart cancel; half a pitch further apart they add."""
    return np.sqrt(e_1**2 + e_2**2 - 2 * e_1 * e_2 * np.cos(2 * np.pi * k * l / p))


@formula("e", "amplitude of the advance error by runout", KINEMATICS, where=MEANING)
def runout_advance(F_r: Length) -> Length:
    """The wheel sits off its axis by half of what the dial shows, and its arm grows and shrinks by that."""
    return F_r / 2


@formula("theta", "amplitude of the angle error of a wheel", KINEMATICS, where=MEANING)
def angle_error(e: Length, r: Length) -> Angle:
    """Advance over the arm."""
    return e / r


@formula("F_r", "permitted runout of a sprocket", ISO_606, where=MEANING)
def sprocket_runout(d_f: Length) -> Length:
    """Between bore and root circle, as the dial shows it; never asked below 0.15 mm nor let go beyond 0.76 mm."""
    return np.minimum(np.maximum(0.0008 * d_f + 0.08 * MILLI, 0.15 * MILLI), 0.76 * MILLI)


@formula("F_r", "permitted runout of a gear", ISO_1328_2, where=MEANING)
def gear_runout(m_n: Length, d: Length, Q: Count) -> Length:
    """Eight tenths of the permitted total pitch deviation; a class more is the root of two times as much."""
    return (0.24 * m_n / MILLI + np.sqrt(d / MILLI) + 5.6) * 2 ** (0.5 * (Q - 5)) * MILLI / 1000


@formula("f_i", "permitted tooth-to-tooth deviation of a gear", ISO_1328_1, where=MEANING)
def tooth_to_tooth(m_n: Length, d: Length, Q: Count, eps_gamma: Ratio) -> Length:
    """How far a tooth's mesh runs ahead and behind, both ways together; the more teeth share, the less."""
    return (
        np.where(eps_gamma < 4, 0.2 * (eps_gamma + 4) / eps_gamma, np.where(eps_gamma >= 4, 0.4, np.nan))
        * (9 + 0.3 * m_n / MILLI + 3.2 * np.sqrt(m_n / MILLI) + 0.34 * np.sqrt(d / MILLI))
        * 2 ** (0.5 * (Q - 5)) * MILLI / 1000
    )


@formula("e", "amplitude of the advance error of a tooth", KINEMATICS, where=MEANING)
def tooth_advance(f_i: Length) -> Length:
    """Half of what it swings both ways, once for every tooth."""
    return f_i / 2


@formula("s_J", "share of an error that this side takes", KINEMATICS, where=MEANING)
def inertia_share(J_a: Inertia, J_b: Inertia) -> Ratio:
    """Nothing else turns them, so both sides keep their momentum: the lighter one moves."""
    return J_b / (J_a + J_b)


@formula("C_k", "swing of speed by one order", KINEMATICS, where=MEANING)
def order_swing(theta: Angle, n: Ratio) -> Ratio:
    """From the slowest to the fastest, as a share of the mean."""
    return 2 * theta * n


@formula("t_k", "timing error by one order", KINEMATICS, where=MEANING)
def order_time(theta: Angle, omega: Speed) -> Time:
    """How much sooner or later the shaft is at an angle."""
    return theta / omega
