"""Reference rows on couplings and bearings beyond the first ones in `shafts`: which formula answers which row."""

import numpy as np
from scipy.optimize import brentq

from layshaft.elements import coupling, plain_bush
from layshaft.listings.tables import table
from layshaft.mechanics import rolling_life, round_bar, universal_joint
from layshaft.trace.units import DEGREE, FOOT, INCH, POUND_FORCE, REV_PER_MIN

MM, KILO, HOUR, PSI = 1e-3, 1e3, 3600.0, POUND_FORCE / INCH**2


def muff(i):
    """A sleeve over both shaft ends is a tube in torsion."""
    T = i["Ks"] * i["P_kW"] * KILO / (i["n_rpm"] * REV_PER_MIN)
    return round_bar.torsion_stress(T, round_bar.polar_modulus(i["D_mm"] * MM, i["d_mm"] * MM))


def load_spectrum(i):
    """The rating that three loads use up once: the share of life falls with its cube, solved by halving."""
    def used(C):
        return sum(rolling_life.life_used(rolling_life.turns_wanted(n * REV_PER_MIN, share * i["Lh_h"] * HOUR),
                                          rolling_life.rating_life(C, P, 3.0))
                   for P, n, share in zip(i["P_N"], i["n_rpm"], i["time_fraction"], strict=True))
    return brentq(lambda C: used(C) - 1, 1e3, 1e6)


def static_safety(i):
    return table("bearing_static_safety")[{"normal": "normally"}[i["need"]]].number("s_0")


def bush_length(i):
    """Pressure times speed falls with the length: the length at the limit, from that of a bush 1 in long."""
    pv = plain_bush.pressure_velocity(plain_bush.projected_pressure(i["F_lbf"] * POUND_FORCE, INCH, INCH),
                                      plain_bush.rubbing_speed(i["n_rpm"] * REV_PER_MIN, INCH))
    return pv / (i["pv_psi_fpm"] * PSI * FOOT / 60) * INCH


TABLES = {"brg-static-s0": static_safety}
FORMULAS = {
    "plain-wentzell-19.1L": bush_length,
    "plain-wentzell-19.1p": lambda i: plain_bush.projected_pressure(i["F_lbf"] * POUND_FORCE, i["D_in"] * INCH, i["L_in"] * INCH),
    "plain-wentzell-19.1v": lambda i: plain_bush.rubbing_speed(i["n_rpm"] * REV_PER_MIN, i["D_in"] * INCH),
    "brg-varload-jindal-18.9": load_spectrum,
    "cpl-freq-factor": lambda i: coupling.frequency_factor(2 * np.pi * i["f_Hz"]),
    "cpl-muff-jindal-14.4": muff,
    **{f"ujoint-nonuniformity-{d}": lambda i: universal_joint.speed_swing(i["angle_deg"] * DEGREE) for d in (10, 20, 30)},
}
