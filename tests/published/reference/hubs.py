"""Reference rows on limits and fits and on hubs without a key: which formula answers which row, in SI."""

import numpy as np

from layshaft.elements import clamp_hub, cross_pin, press_fit, set_screws
from layshaft.listings import tolerance_classes
from layshaft.mechanics import fits, rings
from layshaft.trace.units import INCH

MM, UM, KILO, MPA, GPA = 1e-3, 1e-6, 1e3, 1e6, 1e9


def upper(i):
    return fits.limits(f"{i['size_mm']} {i['class']}").upper


def named(name):
    """Upper deviation of the class that the row's name holds."""
    return lambda i: fits.limits(f"{i['size_mm']} {i.get('class', name)}").upper


def clearance(i, classes=""):
    return -fits.fit(f"{i['size_mm']} {i.get('fit', classes)}").least_interference


def two_inches(i):
    """The book's inch table counts 2 in (50.8 mm) with the sizes up to 50 mm, and rounds to 0.0001 in."""
    return (i["size_in"] + np.round(fits.limits("50 s6").upper / INCH, 4)) * INCH


def grade(i, number):
    return tolerance_classes.grade_row(i["size_mm"] * MM).number(f"IT{number}", UM)


def clamping_force(i):
    """Torque goes with the force: the force that holds T times SF."""
    return i["T_Nm"] * i["SF"] / clamp_hub.clamp_torque(np.pi / 2, i["mu"], 1.0, i["d_mm"] * MM)


def muff_bolt(i):
    """Half of the bolts clamp each shaft, evenly; torque goes with the square of the core diameter."""
    force = clamp_hub.closing_force(i["n_bolts"] / 2, i["sigma_MPa"] * MPA * np.pi / 4, 1.0, 1.0)
    return np.sqrt(i["T_Nm"] / clamp_hub.even_torque(i["mu"], force, i["d_mm"] * MM))


def pressed(i):
    d, E, nu = i["d_mm"] * MM, i["E_GPa"] * GPA, i["nu"]
    return rings.joint_pressure(i["interference_um"] * UM, d, rings.hub_flexibility(i["D_hub_mm"] * MM, d, nu), E,
                                rings.shaft_flexibility(d, 0.0, nu), E)


def pin_shear(i):
    return cross_pin.pin_shear(cross_pin.plane_force(i["T_Nm"], i["d_shaft_mm"] * MM, 0.0), i["d_pin_mm"] * MM)


FORMULAS = {
    "clamp-hub": clamping_force, "cpl-clamp-jindal-14.5": muff_bolt,
    "setscrew-torque": lambda i: set_screws.holding_torque(i["holding_kN"] * KILO, i["d_mm"] * MM) / i["SF"],
    "pin-cross-pressure": lambda i: cross_pin.shaft_pressure(
        i["T_Nm"], i["d_pin_mm"] * MM, i["d_shaft_mm"] * MM, 0.0),
    "pin-cross-shear": pin_shear, "press-50-80-p": pressed,
    "press-50-80-T": lambda i: rings.friction_torque(i["mu"], i["p_MPa"] * MPA, i["d_mm"] * MM, i["L_mm"] * MM),
    "press-50-80-hoop": lambda i: rings.bore_hoop(i["p_MPa"] * MPA, i["D_mm"] * MM, i["d_mm"] * MM),
    "press-smoothing": lambda i: press_fit.smoothing(i["Rz_shaft_um"] * UM, i["Rz_hub_um"] * UM),
    "fit-7-7-hole": lambda i: fits.limits(f"{i['size_mm']} H11").largest,
    "fit-7-8-shaft": two_inches,
    **dict.fromkeys(("fit-H7-g6-8", "fit-H7-h6-25", "fit-H7-k6-60", "fit-H7-m6-25", "fit-H7-p6-25", "fit-H7-p6-40",
                     "fit-H7-s6-25", "fit-H8-f7-40"), clearance),
    "fit-example-50-H8f7": lambda i: clearance(i, "H8/f7"),
    "iso286-formula-IT7-100": lambda i: 16 * fits.tolerance_unit(fits.range_mean(*(r * MM for r in i["range_mm"]))),
    **{f"iso286-{c}-{d}-es": upper for c, d in (
        ("g6", 100), ("g6", 25), ("g6", 40), ("g6", 8), ("h6", 25), ("k6", 120), ("k6", 25), ("k6", 40), ("k6", 60),
        ("m6", 25), ("m6", 40), ("m6", 8), ("p6", 120), ("p6", 25), ("p6", 40), ("r6", 25), ("s6", 150))},
    "iso286-f7-40-es": upper, "iso286-m6-200": named("m6"), "iso286-p6-200": named("p6"),
}
TABLES = {
    **{f"iso286-IT6-{d}": lambda i: grade(i, 6) for d in (8, 25, 200)},
    **{f"iso286-IT7-{d}": lambda i: grade(i, 7) for d in (8, 25, 40, 60, 100, 150, 200)},
    "iso286-IT8-40": lambda i: grade(i, 8),
}
"""Rows that a table of the house repeats: they catch a slip of the pen, but prove no method."""
