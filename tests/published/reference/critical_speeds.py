"""Reference rows on critical speeds: which formula answers which row, in SI."""

import numpy as np

from layshaft.listings.tables import table
from layshaft.mechanics import critical_speed, round_bar
from layshaft.mechanics.beam import Beam
from layshaft.trace.units import INCH, POUND_FORCE

MM, GPA = 1e-3, 1e9
PSI = POUND_FORCE / INCH**2
G = 386.1 * INCH
SARKAR_G = 9.81


def two_gears(i):
    """Flexibility at both gears and at the middle, and their masses: pounds weigh what the book's g makes them."""
    places = [i["x1_in"] * INCH, i["x2_in"] * INCH, i["L_in"] / 2 * INCH]
    shaft = Beam([0, i["L_in"] * INCH], [i["d_in"] * INCH], i["E_psi"] * PSI, [0, i["L_in"] * INCH], places)
    masses = np.array([i["w1_lbf"], i["w2_lbf"]]) * POUND_FORCE / G
    return shaft.flexibility(), masses


def influence(k):
    return lambda i: two_gears(i)[0][k, k]


def at_centre(k):
    """A load at the middle of the same critical speed as gear k alone."""
    def load(i):
        D, _ = two_gears(i)
        return i[f"w{k + 1}_lbf"] * POUND_FORCE * D[k, k] / D[2, 2]
    return load


def solved(i):
    D, masses = two_gears(i)
    return D, masses, critical_speed.first_critical(D[:2, :2], masses, G)


def dunkerley_sum(i):
    return 1 / critical_speed.speed_of_sag(G, solved(i)[2].lower_sag) ** 2


def bare(i):
    d = i["d_in"] * INCH
    m_L = 0.282 * POUND_FORCE / INCH**3 / G * np.pi / 4 * d**2
    return critical_speed.uniform_shaft(i["L_in"] * INCH, i["E_psi"] * PSI, round_bar.second_moment(d, 0.0), m_L)


def with_both_gears(i):
    """The bare shaft of the row before (0.282 lbf/in3), with one gear after the other."""
    D, masses = two_gears(i)
    omega = bare(i)
    for k in (0, 1):
        omega = critical_speed.with_more_mass(omega, masses[k], 1 / D[k, k])
    return omega


def three_masses(i):
    d, L = i["d_mm"] * MM, i["L_m"]
    shaft = Beam([0, L], [d], i["E_GPa"] * GPA, [0, L], i["positions_m"])
    omega = critical_speed.uniform_shaft(L, i["E_GPa"] * GPA, round_bar.second_moment(d, 0.0),
                                         i["shaft_weight_N_per_m"] / SARKAR_G)
    for mass, softness in zip(i["masses_kg"], np.diagonal(shaft.flexibility()), strict=True):
        omega = critical_speed.with_more_mass(omega, mass, 1 / softness)
    return omega


def centre_load(i):
    L, d = i["L_in"] * INCH, i["d_in"] * INCH
    softness = Beam([0, L], [d], i["E_psi"] * PSI, [0, L], [L / 2]).flexibility()[0, 0]
    return critical_speed.speed_of_sag(G, i["F_lbf"] * POUND_FORCE * softness)


TABLES = {"crit-margin-rule": lambda i: table("required_margins")["critical speed"].number("required")}

FORMULAS = {
    "crit-7-5-d11": influence(0), "crit-7-5-d22": influence(1),
    "crit-7-5-dunkerley-inv": dunkerley_sum,
    "crit-7-5-rayleigh": lambda i: critical_speed.speed_of_sag(G, solved(i)[2].upper_sag),
    "crit-7-5-shaft": bare, "crit-7-5-total": with_both_gears,
    "crit-7-5-w1c": at_centre(0), "crit-7-5-w2c": at_centre(1),
    "crit-sarkar-11.11": three_masses, "crit-wentzell-17.5-corrected": centre_load,
}
