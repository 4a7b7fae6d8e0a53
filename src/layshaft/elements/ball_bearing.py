"""Deep groove ball bearing: static load first, then rating life.

Static load after ISO 76, life after ISO 281 with the factor for reliability, and with the
life-modification factor where grease and dirt are told. That factor needs a film of oil: below a
viscosity ratio of 0.1, where slow shafts are, it is refused. On slow machines the life is long beyond
sense; dirt, water and knocks in transport end such a bearing, not fatigue.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.mechanics.outlines import Round
from layshaft.mechanics.rolling_life import (
    LARGEST_LOAD_RATIO,
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
from layshaft.trace.source import Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    REV_PER_MIN,
    SPEED,
    TIME,
    VISCOSITY,
    Count,
    Force,
    Length,
    Ratio,
    Speed,
    Time,
    Viscosity,
)

STATIC = Source("ISO 76, static load of deep groove ball bearings", "P0 = 0.6 Fr + 0.5 Fa",
                "second text")
THRUST = Source("ISO 281 factor table", "Rules of Thumb for Mechanical Engineers, table 7a, p. 156")
MODIFIED = Source("ISO 281:2007, life-modification factor of radial ball bearings", "eq. 27 to 33", "second text")
FATIGUE_LIMIT = Source("ISO 281:2007, annex B", "simplified fatigue load limit of ball bearings", "second text")

MILLIMETRE = 1e-3
"""Metres."""

CENTISTOKE = 1e-6
"""Square metres a second."""

FIFTYFOLD = 1 - 500 ** (-1 / 9.3)
"""Where the life-modification factor reaches 50: the standard goes no further."""

NO_FILM = "below a viscosity ratio of 0.1 no film of oil parts the races, and ISO 281 gives no life-modification factor"
OLDER_FORM_F0 = 12.3
"""One f_0 for all sizes: the older handbook form, which enters the table by F_a/C_0 alone."""


FATIGUE_ALONE = ("At this speed no film of oil parts balls and races: the stated life counts fatigue alone. Keep dirt "
                 "and water out, use a grease with additives against wear, and renew it.")


@dataclass(frozen=True, slots=True)
class BearingSize:
    """One size of the shipped list, SI; ratings are typical, not a supplier's."""

    name: str
    bore: float
    outside: float
    width: float
    C: float
    C0: float
    source: Source
    row_content: str


def bearing(designation: str) -> BearingSize | None:
    """The size by its designation; seal and clearance suffixes are left out. None if not listed."""
    words = designation.replace("-", " ").split()
    row = table("bearings_deep_groove").get(words[0]) if words else None
    if row is None:
        return None
    return BearingSize(
        row.name, row.number("bore_mm", 1e-3), row.number("outside_mm", 1e-3),
        row.number("width_mm", 1e-3), row.number("C_kN", 1e3), row.number("C0_kN", 1e3),
        row.source, row.content,
    )


def outline(size: BearingSize) -> Round:
    """The room it takes: its outer ring stands still in the housing."""
    return Round(size.outside / 2, size.width)


@dataclass(frozen=True, kw_only=True)
class BearingInputs(Inputs):
    """One bearing of one shaft in one case."""

    F_r: Force = quantity("radial load", FORCE, at_least=0)
    F_a: Force = quantity("axial load", FORCE, at_least=0)
    C: Force = quantity("dynamic load rating", FORCE, above=0)
    C_0: Force = quantity("static load rating", FORCE, above=0)
    p: Ratio = quantity("life exponent, 3 for balls", RATIO, above=0)
    f_0: Ratio = quantity("factor of the relative axial load; 12.3 is the older form", RATIO, above=0)
    omega: Speed = quantity("turning speed", SPEED, at_least=0)
    t_w: Time = quantity("running time wanted", TIME, at_least=0)
    R: Ratio = quantity("share of bearings that must reach it", RATIO, above=0, at_most=1)
    nu: Viscosity = quantity("viscosity of the base oil when it runs, at least", VISCOSITY, above=0)
    D_pw: Length = quantity("mean of bore and outside diameter", LENGTH, above=0)
    C_u: Force = quantity("fatigue load limit", FORCE, above=0)
    e_c: Ratio = quantity("contamination factor", RATIO, at_least=0, at_most=1)
    s_0_required: Ratio = quantity("required static safety", RATIO, above=0)
    S_required: Ratio = quantity("required margin on life", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class BearingRating:
    """Equivalent loads, static safety and life of one bearing."""

    P: Force
    P_0: Force
    s_0: Ratio
    L_nm: Count
    t_nm: Time
    kappa: Ratio
    a_iso: Ratio
    checks: tuple[Check, ...]


@formula("P_0", "static equivalent load", STATIC)
def static_equivalent_load(F_r: Force, F_a: Force) -> Force:
    """The radial load that dents the raceway as much, never below the radial load itself."""
    return np.maximum(F_r, 0.6 * F_r + 0.5 * F_a)


@formula("w_a", "relative axial load", THRUST)
def relative_axial_load(F_a: Force, C_0: Force, f_0: Ratio) -> Ratio:
    """Where the factor table is entered; zero axial load needs no rating."""
    return np.where(F_a > 0, f_0 * F_a / C_0, 0 * F_a)


@formula("P", "dynamic equivalent load", THRUST,
         where={"e_a": "axial share that costs nothing", "Y": "axial factor"})
def dynamic_equivalent_load(F_r: Force, F_a: Force, e_a: Ratio, Y: Ratio) -> Force:
    """Axial load up to the share e_a of the radial load costs nothing."""
    return np.where(F_a <= e_a * F_r, F_r, 0.56 * F_r + Y * F_a)


@formula("nu_1", "viscosity that would part the races", MODIFIED, outside="the shaft does not turn")
def reference_viscosity(omega: Speed, D_pw: Length) -> Viscosity:
    """A slow bearing needs a thick oil; the fit of the standard in mm2/s, rev/min and mm."""
    return CENTISTOKE * np.where(omega < 1000 * REV_PER_MIN, 45000.0, 4500.0) * np.where(
        omega > 0, omega / REV_PER_MIN, np.nan) ** np.where(
        omega < 1000 * REV_PER_MIN, -0.83, -0.5) * (D_pw / MILLIMETRE) ** -0.5


@formula("kappa", "viscosity ratio", MODIFIED)
def viscosity_ratio(nu: Viscosity, nu_1: Viscosity) -> Ratio:
    """What the oil is over what would part the races."""
    return nu / nu_1


@formula("b_k", "how much the film leaves of the load's share", MODIFIED, outside=NO_FILM)
def film_term(kappa: Ratio) -> Ratio:
    """Falls as the film grows, up to a ratio of 4; three fits that meet at 0.4 and 1."""
    return (2.5671 - np.where(kappa < 0.4, 2.2649, 1.9987) / np.minimum(
        np.where(kappa < 0.1, np.nan, kappa), 4.0) ** np.where(
        kappa < 0.4, 0.054381, np.where(kappa < 1, 0.19087, 0.071739))) ** 0.83


@formula("x_C", "cube root of clean fatigue limit over load", MODIFIED)
def limit_term(e_c: Ratio, C_u: Force, P: Force) -> Ratio:
    """Dirt lowers the load below which nothing tires."""
    return (e_c * C_u / np.maximum(P, C_u / LARGEST_LOAD_RATIO)) ** (1 / 3)


@formula("a_iso", "life-modification factor", MODIFIED)
def life_modification(b_k: Ratio, x_C: Ratio) -> Ratio:
    """From a tenth in dirt without film up to fifty, where the standard stops."""
    return 0.1 * (1 - np.minimum(b_k * x_C, FIFTYFOLD)) ** -9.3


@formula("L_nma", "turns with grease and dirt counted", MODIFIED, where={"L_nm": "turns at the wanted reliability"})
def modified_life(a_iso: Ratio, L_nm: Count) -> Count:
    """The life at the wanted reliability times the life-modification factor."""
    return a_iso * L_nm


@formula("C_u", "fatigue load limit where the listing has none", FATIGUE_LIMIT)
def fatigue_limit(C_0: Force, D_pw: Length) -> Force:
    """A twenty-second of the static rating, less for bearings above 100 mm of mean diameter."""
    return C_0 / 22 * np.minimum(100 * MILLIMETRE / D_pw, 1.0) ** 0.5


@formula("no_film", "no film of oil between balls and races", MODIFIED)
def no_film(kappa: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(kappa < 0.1, 1.0, 0.0)


def _column(name: str, key: str, column: str) -> tuple[list[float], list[float]]:
    rows = table(name).rows
    return [r.number(key) for r in rows], [r.number(column) for r in rows]


def thrust_factors(w_a: Ratio) -> tuple[Ratio, Ratio]:
    """Limit e and factor Y for a relative axial load; light loads keep the first row.

    Above the last row (6.89) both are unknown.
    """
    found = []
    for symbol, column, meaning in (
        ("e_a", "e", "axial share that costs nothing"), ("Y", "Y", "axial factor"),
    ):
        at, values = _column("bearing_xy", "relative_load", column)
        value = np.interp(plain(w_a), at, values, right=np.nan)
        found.append(looked_up(
            symbol, meaning, RATIO, value, table="bearing_xy",
            row="between rows of the relative axial load", source=THRUST,
        ))
    return found[0], found[1]


def contamination_factor(cleanliness: str, D_pw: Length) -> Ratio:
    """Factor of a level of cleanliness, the low end of its range; unknown for a word of no row."""
    row = table("bearing_cleanliness").get(cleanliness)
    small, large = (row.number("below_100_mm"), row.number("from_100_mm")) if row else (np.nan, np.nan)
    return looked_up("e_c", "contamination factor", RATIO, np.where(plain(D_pw) < 100 * MILLIMETRE, small, large)[()],
                     table="bearing_cleanliness", row=cleanliness, source=MODIFIED)


def rate(b: BearingInputs) -> BearingRating:
    """Rate one bearing, or many at once when the inputs are arrays."""
    with group("Deep groove ball bearing"):
        b = b.record()
        P_0 = static_equivalent_load(b.F_r, b.F_a)
        s_0 = named("s_0", margin(b.C_0, P_0), "static safety")
        e_a, Y = thrust_factors(relative_axial_load(b.F_a, b.C_0, b.f_0))
        P = dynamic_equivalent_load(b.F_r, b.F_a, e_a, Y)
        a_1 = named("a_1", reliability_factor(b.R), "life factor for reliability")
        L_nm = adjusted_life(a_1, rating_life(b.C, P, b.p))
        N_L = turns_wanted(b.omega, b.t_w)
        S_L = named("S_L", margin(L_nm, N_L), "margin on life")
        t_nm = life_time(L_nm, b.omega)
        remark_if(past_century(t_nm), "The life is above 100 years of turning without a stop: read "
                  "it as not by fatigue. Dirt, water and knocks in transport end this bearing.", LIFE)
        kappa = viscosity_ratio(b.nu, reference_viscosity(b.omega, b.D_pw))
        remark_if(no_film(kappa), FATIGUE_ALONE, MODIFIED)
        a_iso = life_modification(film_term(kappa), limit_term(b.e_c, b.C_u, P))
        L_nma = modified_life(a_iso, L_nm)
        S_a = named("S_a", margin(L_nma, N_L), "margin on modified life")
    return BearingRating(P, P_0, s_0, L_nm, t_nm, kappa, a_iso, (
        Check("static load", FORCE, P_0, b.C_0, s_0, b.s_0_required, STATIC, REQUIRED_STATIC),
        Check("rating life", COUNT, N_L, L_nm, S_L, b.S_required, LIFE, REQUIRED_LIFE,
              "Above 100 years of stated use a life reads as: not by fatigue."),
        Check("modified life", COUNT, N_L, L_nma, S_a, b.S_required, MODIFIED, REQUIRED_LIFE),
    ))

