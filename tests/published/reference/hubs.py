"""Reference rows on limits and fits and on hubs without a key: which formula answers which row, in SI."""

import numpy as np

from layshaft.listings import tolerance_classes
from layshaft.mechanics import fits
from layshaft.trace.units import INCH

MM, UM = 1e-3, 1e-6


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


FORMULAS = {
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
