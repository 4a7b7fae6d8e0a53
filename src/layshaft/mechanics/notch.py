"""Notches of a round shaft: how much a shoulder, keyseat, groove or press seat raises the stress.

K_t is the shape alone, K_f what fatigue feels of it: a sharp small notch in a soft steel hurts less
than its shape says. Press seats are different: fretting decides, tests give K_f directly.
Do not multiply two notches at one place; take the larger and keep notches a diameter apart.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula, looked_up, named, plain
from layshaft.trace.source import Source
from layshaft.trace.units import (
    INCH,
    LENGTH,
    POUND_FORCE,
    RATIO,
    Length,
    Ratio,
    RootLength,
    Stress,
)

POWER_LAW = Source("Norton, Machine Design", "appendix, fits to Peterson's curves", "second text")
POLYNOMIAL = Source("Peterson's Stress Concentration Factors, 3rd ed.", "shoulder fillet in a stepped bar",
                    "second text")
CAUTION = Source("two published fits to one set of tests", "the larger counts", "derived")
NEUBER = Source("Shigley's Mechanical Engineering Design, 10th ed.", "eq. 6-35a and b, Neuber", "read")
NOTCH = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eq. 6-32", "read")
DIN_743_2 = Source("DIN 743-2, fatigue of shafts", "press seat, reference 40 mm", "from memory")
KPSI = 1e3 * POUND_FORCE / INCH**2
GIGA = 1e9
MILLI = 1e-3
REFERENCE = 0.040
SIDES = {"D": "diameter beside the shoulder", "d": "diameter at the fillet", "r": "fillet radius"}
RANGE = "the fillet radius is under 0.01 d or over 0.3 d, or D/d lies outside the fitted curves"


@formula("D/d", "step of the shoulder", POWER_LAW, where=SIDES)
def step_ratio(D: Length, d: Length) -> Ratio:
    """Larger over smaller diameter."""
    return D / d


@formula("K_t", "stress concentration of a shoulder, power law", POWER_LAW, outside=RANGE,
         where={**SIDES, "A_t": "coefficient of the fit", "b_t": "exponent of the fit"})
def shoulder_power_law(A_t: Ratio, b_t: Ratio, r: Length, d: Length) -> Ratio:
    """A sharper fillet concentrates more."""
    return np.where((r >= 0.01 * d) & (r <= 0.3 * d), A_t * np.maximum(r / d, 0.01) ** b_t, np.nan)


@formula("t", "height of the shoulder over its fillet radius", POLYNOMIAL, where=SIDES)
def height_ratio(D: Length, d: Length, r: Length) -> Ratio:
    """Half the difference of the diameters, in fillet radii."""
    return np.maximum(D - d, 0) / np.maximum(2 * r, 1e-4 * d)


@formula("z", "height of the shoulder over the larger radius", POLYNOMIAL, where=SIDES)
def height_share(D: Length, d: Length) -> Ratio:
    """1 would be a pin on an endless plate."""
    return (D - d) / D


@formula("K_t", "stress concentration in bending, low shoulder", POLYNOMIAL)
def bending_low_shoulder(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the height share, for shoulders 0.1 to 2 fillet radii high."""
    return (0.947 + 1.206 * np.sqrt(t) - 0.131 * t
            + (0.022 - 3.405 * np.sqrt(t) + 0.915 * t) * z
            + (0.869 + 1.777 * np.sqrt(t) - 0.555 * t) * z**2
            + (-0.810 + 0.422 * np.sqrt(t) - 0.260 * t) * z**3)


@formula("K_t", "stress concentration in bending, high shoulder", POLYNOMIAL)
def bending_high_shoulder(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the height share, for shoulders 2 to 20 fillet radii high."""
    return (1.232 + 0.832 * np.sqrt(t) - 0.008 * t
            + (-3.813 + 0.968 * np.sqrt(t) - 0.260 * t) * z
            + (7.423 - 4.868 * np.sqrt(t) + 0.869 * t) * z**2
            + (-3.839 + 3.070 * np.sqrt(t) - 0.600 * t) * z**3)


@formula("K_ts", "stress concentration in torsion, polynomial", POLYNOMIAL)
def torsion_shoulder(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the height share, for shoulders 0.25 to 4 fillet radii high."""
    return (0.905 + 0.783 * np.sqrt(t) - 0.075 * t
            + (-0.437 - 1.969 * np.sqrt(t) + 0.553 * t) * z
            + (1.557 + 1.073 * np.sqrt(t) - 0.578 * t) * z**2
            + (-1.061 + 0.171 * np.sqrt(t) + 0.086 * t) * z**3)


@formula("K_t", "stress concentration of the shoulder in bending", CAUTION, where={
    "K_p": "by the power law", "K_low": "by the polynomial for low shoulders",
    "K_high": "by the polynomial for high shoulders",
})
def larger_in_bending(K_p: Ratio, K_low: Ratio, K_high: Ratio, t: Ratio) -> Ratio:
    """The fits part by a tenth at sharp fillets: the larger counts where the second one holds."""
    return np.where((t >= 0.1) & (t <= 20), np.maximum(K_p, np.where(t <= 2, K_low, K_high)), K_p)


@formula("K_ts", "stress concentration of the shoulder in torsion", CAUTION, where={
    "K_p": "by the power law", "K_q": "by the polynomial",
})
def larger_in_torsion(K_p: Ratio, K_q: Ratio, t: Ratio) -> Ratio:
    """The larger of two fits where the second one holds."""
    return np.where((t >= 0.25) & (t <= 4), np.maximum(K_p, K_q), K_p)


def shoulder(D: Any, d: Any, r: Any) -> tuple[Any, Any]:
    """K_t and K_ts of a shoulder fillet; unknown outside the fitted curves, never extrapolated."""
    ratio, t, z = step_ratio(D, d), height_ratio(D, d, r), height_share(D, d)
    K_pb = named("K_pb", shoulder_power_law(*_coefficients("bending", ratio), r, d))
    K_pt = named("K_pt", shoulder_power_law(*_coefficients("torsion", ratio), r, d))
    low, high = named("K_low", bending_low_shoulder(t, z)), named("K_high", bending_high_shoulder(t, z))
    return (larger_in_bending(K_pb, low, high, t),
            larger_in_torsion(K_pt, named("K_q", torsion_shoulder(t, z)), t))


def _coefficients(load: str, ratio: Any) -> tuple[Any, Any]:
    """A and b between the two rows around this step; NaN outside the rows."""
    rows = [row for row in table("kt_shoulder").rows if row.text("load") == load]
    steps = [row.number("D_over_d") for row in rows]
    found = []
    for symbol, column, meaning in (("A_t", "A", "coefficient of the fit"),
                                    ("b_t", "b", "exponent of the fit")):
        value = np.interp(plain(ratio), steps, [row.number(column) for row in rows], np.nan, np.nan)
        found.append(looked_up(symbol, f"{meaning}, {load}", RATIO, value, table="kt_shoulder",
                               row=_around(load, plain(ratio), steps), source=rows[0].source))
    return found[0], found[1]


def _around(load: str, ratio: Any, steps: list[float]) -> str:
    if np.ndim(ratio) or not steps[0] <= ratio <= steps[-1]:
        return f"{load}, D/d from {steps[0]:g} to {steps[-1]:g}"
    i = min(int(np.searchsorted(steps, ratio, side="right")), len(steps) - 1)
    return f"between {load} {steps[i - 1]:g} and {load} {steps[i]:g}"


def first_guess(kind: str, d: Any) -> tuple[Any, Any, Any] | None:
    """K_t, K_ts and notch radius of a common notch; None if the table does not know it.

    The radius is NaN where the table leaves it open: give it then.
    """
    row = table("notches_first").get(kind)
    if row is None:
        return None
    K_t, K_ts, share = (
        looked_up(symbol, meaning, RATIO, row.number(column), table=row.table, row=row.name,
                  source=row.source)
        for symbol, meaning, column in (
            ("K_t", "stress concentration in bending", "K_t"),
            ("K_ts", "stress concentration in torsion", "K_ts"),
            ("r/d", "notch radius over diameter", "r_over_d"))
    )
    return K_t, K_ts, usual_radius(share, d)


@formula("r", "notch radius", Source("radius left by an ordinary tool", obtained="common practice"),
         where={"share": "notch radius over diameter", "d": "diameter at the notch"})
def usual_radius(share: Ratio, d: Length) -> Length:
    """A share of the diameter."""
    return share * d


STEELS = "tensile strength outside 345 to 1700 MPa (bending) or 1500 MPa (torsion)"


@formula("sqrt_a", "Neuber constant, bending", NEUBER, outside=STEELS, where={"R_m": "tensile strength"})
def neuber_bending(R_m: Stress) -> RootLength:
    """Harder steels feel smaller notches. Fitted in kpsi and inches, 50 to 250 kpsi."""
    return np.where((R_m >= 50 * KPSI) & (R_m <= 250 * KPSI),
                    (0.246 - 3.08e-3 * (R_m / KPSI) + 1.51e-5 * (R_m / KPSI) ** 2
                     - 2.67e-8 * (R_m / KPSI) ** 3) * np.sqrt(INCH), np.nan)


@formula("sqrt_a_s", "Neuber constant, torsion", NEUBER, outside=STEELS, where={"R_m": "tensile strength"})
def neuber_torsion(R_m: Stress) -> RootLength:
    """As for bending, with the torsion fit, 50 to 220 kpsi."""
    return np.where((R_m >= 50 * KPSI) & (R_m <= 220 * KPSI),
                    (0.190 - 2.51e-3 * (R_m / KPSI) + 1.35e-5 * (R_m / KPSI) ** 2
                     - 2.67e-8 * (R_m / KPSI) ** 3) * np.sqrt(INCH), np.nan)


@formula("q", "notch sensitivity", NEUBER, where={"root_a": "Neuber constant", "r": "notch radius"})
def sensitivity(root_a: RootLength, r: Length) -> Ratio:
    """1 where fatigue feels the whole notch, 0 where it feels nothing."""
    return np.sqrt(r) / (np.sqrt(r) + root_a)


@formula("K_f", "fatigue notch factor", NOTCH, where={
    "K": "stress concentration of the shape", "q": "notch sensitivity",
    "tested": "1 where the factor itself comes from fatigue tests",
})
def fatigue_factor(K: Ratio, q: Ratio, tested: Ratio) -> Ratio:
    """The share q of the excess counts; a factor from fatigue tests counts as it is."""
    return 1 + np.where(tested > 0, 1, q) * (K - 1)


@formula("beta_40", "fatigue notch factor of a 40 mm press seat, bending", DIN_743_2,
         where={"R_m": "tensile strength"})
def press_seat_bending_40(R_m: Stress) -> Ratio:
    """Fretting at the edge of a tight hub or bearing ring; worse in harder steel."""
    return 2.7 * (R_m / GIGA) ** 0.43


@formula("beta_40s", "fatigue notch factor of a 40 mm press seat, torsion", DIN_743_2)
def press_seat_torsion_40(beta_40: Ratio) -> Ratio:
    """About two thirds of the bending factor."""
    return 0.65 * beta_40


@formula("K_3", "geometric size factor", DIN_743_2, outside="diameter outside 7.5 to 150 mm",
         where={"beta": "fatigue notch factor at 40 mm", "d": "diameter of the seat"})
def geometric_size_factor(beta: Ratio, d: Length) -> Ratio:
    """A thicker shaft feels the same notch more."""
    return np.where((d >= 7.5 * MILLI) & (d <= 150 * MILLI),
                    1 - 0.2 * np.log10(beta) * np.log10(d / (7.5 * MILLI)) / np.log10(20), np.nan)


@formula("K_f", "fatigue notch factor of the press seat", DIN_743_2, where={
    "beta": "fatigue notch factor at 40 mm", "K_340": "size factor at 40 mm",
    "K_3": "size factor of this seat",
})
def press_seat(beta: Ratio, K_340: Ratio, K_3: Ratio) -> Ratio:
    """Converted from 40 mm to the diameter of this seat."""
    return beta * K_340 / K_3


def from_40(beta: Any, d: Any) -> Any:
    """A fatigue notch factor from tests on 40 mm, converted to the diameter of this seat."""
    reference = looked_up("d_40", "reference diameter", LENGTH, REFERENCE, table="DIN 743-2",
                          row="notch factors from tests", source=DIN_743_2)
    return press_seat(beta, named("K_340", geometric_size_factor(beta, reference)), geometric_size_factor(beta, d))


def press_fit_edge(R_m: Any, d: Any) -> tuple[Any, Any]:
    """K_f and K_fs at the edge of a tight hub or bearing seat; both already hold for fatigue."""
    bending = press_seat_bending_40(R_m)
    torsion = press_seat_torsion_40(bending)
    return from_40(bending, d), named("K_fs", from_40(torsion, d), "fatigue notch factor of the press seat in torsion")
