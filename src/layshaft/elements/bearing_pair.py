"""Single-row angular contact ball or tapered roller bearing, mounted against another on the same shaft.

Each of the two can hold the shaft one way only, and a radial load pushes its rings apart: the induced thrust,
which the other bearing must hold. Static load after ISO 76, life after ISO 281. Counted as adjusted to
neither play nor preload; what preload adds and play takes away is not modelled. Tandem pairs and
two bearings side by side at one place are not rated here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.mechanics.rolling_life import (
    LIFE,
    REQUIRED_LIFE,
    REQUIRED_STATIC,
    adjusted_life,
    life_time,
    past_century,
    rating_life,
    reliability_factor,
    turns_wanted,
)
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, plain, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    DEGREE,
    FORCE,
    RATIO,
    SPEED,
    TIME,
    Angle,
    Count,
    Force,
    Ratio,
    Speed,
    Time,
)

STATIC = Source("ISO 76:2006, static load of angular contact bearings", "P0 = X0 Fr + Y0 Fa", "second text")
THRUST = Source("ISO 281:2007, equivalent load of angular contact bearings", "P = X Fr + Y Fa past e", "second text")
INDUCED = Source("bearing makers' published tables, bearings adjusted to no play and no preload",
                 "load cases 1a to 2c", "read")
BY_FACTOR = Source("bearing makers' published tables", "induced thrust Fr/(2 Y)", "read")
TAPER = Source("ISO 281:2007 and ISO 76:2006, radial roller bearings", "e, Y and Y0 by contact angle", "from memory")
ANGLES = Source("ISO 281:2007 and ISO 76:2006", "factors of angular contact ball bearings", "second text")

TAPER_X = 0.4
"""Radial factor of tapered rollers: ISO 281."""
X_0 = 0.5
"""Static radial factor of tapered rollers and of one row of angular contact balls: ISO 76."""


@dataclass(frozen=True, kw_only=True)
class PairInputs(Inputs):
    """One bearing of a pair in one case, with what the other one brings."""

    F_r: Force = quantity("radial load at the load centre", FORCE, at_least=0)
    F_o: Force = quantity("radial load of the other bearing", FORCE, at_least=0)
    K_a: Force = quantity("outer axial force on the shaft, positive onto this bearing", FORCE)
    K_u: Force = quantity("outer axial force that may act either way", FORCE, at_least=0)
    k_i: Ratio = quantity("induced thrust over radial load", RATIO, at_least=0)
    k_o: Ratio = quantity("the same of the other bearing", RATIO, at_least=0)
    e: Ratio = quantity("axial share that costs nothing", RATIO, above=0)
    X: Ratio = quantity("radial factor", RATIO, above=0)
    Y: Ratio = quantity("axial factor", RATIO, above=0)
    X_0: Ratio = quantity("static radial factor", RATIO, above=0)
    Y_0: Ratio = quantity("static axial factor", RATIO, above=0)
    C: Force = quantity("dynamic load rating", FORCE, above=0)
    C_0: Force = quantity("static load rating", FORCE, above=0)
    p: Ratio = quantity("life exponent, 3 for balls and 10/3 for rollers", RATIO, above=0)
    omega: Speed = quantity("turning speed", SPEED, at_least=0)
    t_w: Time = quantity("running time wanted", TIME, at_least=0)
    R: Ratio = quantity("share of bearings that must reach it", RATIO, above=0, at_most=1)
    s_0_required: Ratio = quantity("required static safety", RATIO, above=0)
    S_required: Ratio = quantity("required margin on life", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class PairRating:
    """Axial load, equivalent loads, static safety and life of one bearing of a pair."""

    F_a: Force
    P: Force
    P_0: Force
    s_0: Ratio
    L_nm: Count
    t_nm: Time
    checks: tuple[Check, ...]


# Factors of a listing --------------------------------------------------------------------------


@formula("k_i", "induced thrust over radial load", BY_FACTOR)
def induced_share(Y: Ratio) -> Ratio:
    """Half the radial load over the axial factor."""
    return 1 / (2 * Y)


@formula("e", "axial share that costs nothing, tapered rollers", TAPER, where={"alpha": "contact angle"})
def taper_limit(alpha: Angle) -> Ratio:
    """Grows with the contact angle."""
    return 1.5 * np.tan(alpha)


@formula("Y", "axial factor, tapered rollers", TAPER, where={"alpha": "contact angle"})
def taper_axial_factor(alpha: Angle) -> Ratio:
    """A steeper bearing minds a thrust less."""
    return 0.4 / np.tan(alpha)


@formula("Y_0", "static axial factor, tapered rollers", TAPER, where={"alpha": "contact angle"})
def taper_static_factor(alpha: Angle) -> Ratio:
    """The same for the load at rest."""
    return 0.22 / np.tan(alpha)


def ball_factor(column: str, alpha: Angle) -> Ratio:
    """A factor of angular contact ball bearings by contact angle; unknown outside 20 to 45 degrees.

    `column` is a column of the table: e, X, Y or Y0.
    """
    rows = table("bearing_contact_angles").rows
    at = np.array([row.number("contact_angle_deg") for row in rows]) * DEGREE
    value = np.interp(plain(alpha), at, [row.number(column) for row in rows], left=np.nan, right=np.nan)
    return looked_up(column, "factor by contact angle", RATIO, value, table="bearing_contact_angles",
                     row="between rows of the contact angle", source=ANGLES)


# Loads -----------------------------------------------------------------------------------------


@formula("F_i", "induced thrust", INDUCED,
         where={"k": "induced thrust over radial load", "F": "radial load of that bearing"})
def induced_thrust(k: Ratio, F: Force) -> Force:
    """What the slope of the raceways turns a radial load into, along the axis."""
    return k * F


@formula("F_a", "axial load", STATICS,
         where={"F_i": "own induced thrust", "F_j": "induced thrust of the other bearing"})
def axial_load(F_i: Force, F_j: Force, K_a: Force, K_u: Force) -> Force:
    """The other's induced thrust and the outer force, or its own induced thrust where that is more.

    Whichever bearing the sum presses on carries it; the other then carries its own induced thrust alone.
    What may act either way is taken towards this bearing, the worse way for it.
    """
    return np.maximum(F_i, F_j + K_a + K_u)


@formula("P_0", "static equivalent load", STATIC)
def static_equivalent_load(F_r: Force, F_a: Force, X_0: Ratio, Y_0: Ratio) -> Force:
    """The radial load that dents the raceway as much, never below the radial load itself."""
    return np.maximum(F_r, X_0 * F_r + Y_0 * F_a)


@formula("P", "dynamic equivalent load", THRUST)
def dynamic_equivalent_load(F_r: Force, F_a: Force, e: Ratio, X: Ratio, Y: Ratio) -> Force:
    """Axial load up to the share e costs nothing; past it never less than the radial load itself."""
    return np.where(F_a <= e * F_r, F_r, np.maximum(F_r, X * F_r + np.where(e > 0, Y, np.nan) * F_a))


def rate(b: PairInputs) -> PairRating:
    """Rate one bearing of a pair, or many at once when the inputs are arrays."""
    with group("Bearing of a pair"):
        b = b.record()
        F_i = named("F_i", induced_thrust(b.k_i, b.F_r), "own induced thrust")
        F_j = named("F_j", induced_thrust(b.k_o, b.F_o), "induced thrust of the other bearing")
        F_a = axial_load(F_i, F_j, b.K_a, b.K_u)
        P_0 = static_equivalent_load(b.F_r, F_a, b.X_0, b.Y_0)
        s_0 = named("s_0", margin(b.C_0, P_0), "static safety")
        P = dynamic_equivalent_load(b.F_r, F_a, b.e, b.X, b.Y)
        L_nm = adjusted_life(reliability_factor(b.R), rating_life(b.C, P, b.p))
        N_L = turns_wanted(b.omega, b.t_w)
        S_L = named("S_L", margin(L_nm, N_L), "margin on life")
        t_nm = life_time(L_nm, b.omega)
        remark_if(past_century(t_nm), "The life is above 100 years of turning without a stop: read "
                  "it as not by fatigue. Dirt, water and knocks in transport end this bearing.", LIFE)
    return PairRating(F_a, P, P_0, s_0, L_nm, t_nm, (
        Check("static load", FORCE, P_0, b.C_0, s_0, b.s_0_required, STATIC, REQUIRED_STATIC),
        Check("rating life", COUNT, N_L, L_nm, S_L, b.S_required, LIFE, REQUIRED_LIFE,
              "Above 100 years of stated use a life reads as: not by fatigue."),
    ))
