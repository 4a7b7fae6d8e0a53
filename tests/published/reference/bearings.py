"""Reference rows on couplings and bearings beyond the first ones in `shafts`: which formula answers which row."""

import numpy as np

from layshaft.elements import coupling
from layshaft.mechanics import round_bar, universal_joint
from layshaft.trace.units import DEGREE, REV_PER_MIN

MM, KILO = 1e-3, 1e3


def muff(i):
    """A sleeve over both shaft ends is a tube in torsion."""
    T = i["Ks"] * i["P_kW"] * KILO / (i["n_rpm"] * REV_PER_MIN)
    return round_bar.torsion_stress(T, round_bar.polar_modulus(i["D_mm"] * MM, i["d_mm"] * MM))


FORMULAS = {
    "cpl-freq-factor": lambda i: coupling.frequency_factor(2 * np.pi * i["f_Hz"]),
    "cpl-muff-jindal-14.4": muff,
    **{f"ujoint-nonuniformity-{d}": lambda i: universal_joint.speed_swing(i["angle_deg"] * DEGREE) for d in (10, 20, 30)},
}
