"""Reference rows on the twisting of shafts with discs: all run through the modes of a train."""

import numpy as np

from layshaft.mechanics import inertia, round_bar, torsion
from layshaft.trace.units import FOOT, INCH, POUND, POUND_FORCE
from layshaft.train.torsion.modes import natural

TON, PSI, MM, GIGA = 1016.0469088, POUND_FORCE / INCH**2, 1e-3, 1e9


def bar(G, d, L):
    return round_bar.torsional_stiffness(G, round_bar.polar_moment(d, 0.0), L)


def in_a_row(stiffness):
    return 1 / sum(1 / k for k in stiffness)


def frequency(masses, stiffness, mode=1):
    """Hz of a mode of discs in a row; mode 0 turns as one."""
    pairs = [(n, n + 1) for n in range(len(masses) - 1)]
    return natural(np.array(masses), pairs, np.array(stiffness)).omega[mode] / (2 * np.pi)


def held(mass, radius, stiffness):
    """Hz of a disc on bars whose other ends stand fast."""
    ends = range(1, len(stiffness) + 1)
    masses = np.array([mass * radius**2, *(0.0 for _ in ends)])
    return natural(masses, [(0, n) for n in ends], np.array(stiffness), held=tuple(ends)).omega[0] / (2 * np.pi)


def flywheel_on_an_end(i):
    k = bar(i["G_psi"] * PSI, i["shaft_diameter_in"] * INCH, i["length_in"] * INCH)
    return held(i["mass_lb"] * POUND, i["radius_gyration_in"] * INCH, [k])


def between_two_ends(i):
    k = [bar(i["G_psi"] * PSI, i["shaft_diameter_in"] * INCH, L * INCH) for L in i["lengths_in"]]
    return held(i["mass_lb"] * POUND, i["radius_gyration_in"] * INCH, k)


def between_two_ends_metric(i):
    k = [bar(i["G_GPa"] * GIGA, i["shaft_diameter_m"], L) for L in i["lengths_m"]]
    return held(i["mass_kg"], i["radius_gyration_m"], k)


def geared(G, bars, masses, ratio):
    """Second shaft at `ratio` of the speed of the first, its disc and its stiffness reflected."""
    k = [bar(G, d, L) for d, L in bars]
    return frequency([masses[0], inertia.reflected(masses[1], ratio)],
                     [in_a_row([k[0], torsion.reflected_stiffness(k[1], ratio)])])


def geared_by_speeds(i):
    bars = [(i[f"shaft{n}_diameter_m"], i[f"shaft{n}_length_m"]) for n in (1, 2)]
    return geared(i["G_GPa"] * GIGA, bars, (i["I_motor_kg_m2"], i["I_pump_kg_m2"]),
                  i["speeds_rpm"][1] / i["speeds_rpm"][0])


def geared_by_ratio(i):
    bars = [(i[f"d{n}_mm"] * MM, i[f"L{n}_m"]) for n in (1, 2)]
    return geared(i["G_GPa"] * GIGA, bars, (i["I_motor_kgm2"], i["I_pump_kgm2"]), 1 / i["ratio"])


def three_of_tons(i):
    k = [bar(i["G_psi"] * PSI, i["shaft_diameter_in"] * INCH, L * FOOT) for L in i["lengths_ft"]]
    return frequency([J * TON * FOOT**2 for J in i["I_ton_ft2"]], k, 2)


def three(mode):
    return lambda i: frequency(i["I_kg_m2"], [bar(i["G_GPa"] * GIGA, i["shaft_diameter_m"], L)
                                              for L in i["lengths_m"]], mode)


def stepped(i):
    k = [bar(i["G_psi"] * PSI, d * INCH, L * INCH) for d, L in zip(i["diameters_in"], i["lengths_in"], strict=True)]
    return frequency([J * POUND * FOOT**2 for J in i["I_lb_ft2"]], [in_a_row(k)])


FORMULAS = {
    "TV01": flywheel_on_an_end, "TV02": between_two_ends, "TV03": between_two_ends_metric, "TV04": geared_by_speeds,
    "TV06": three_of_tons, "TV07": three(1), "TV08": three(2), "TV10": stepped,
    "torsfreq-sarkar-11.12": geared_by_ratio,
}
