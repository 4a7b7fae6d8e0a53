"""Second opinions on a section: DIN 743 and three other fatigue lines, shown beside DE-Goodman.

They judge nothing: the verdict is Goodman's. Where DIN 743 comes out more than 30 % apart, each margin held
against what its own method asks for, the sheet names the factor that does most of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.elements.shaft import din_743
from layshaft.mechanics import criteria
from layshaft.trace.formula import chosen, formula, governs, group, named, remark_if
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO, Count, Ratio, Stress

if TYPE_CHECKING:
    from layshaft.elements.shaft.section import SectionInputs

OWN = Source("comparison of two methods", obtained="derived")
REQUIRED = Source("DIN 743-1, least margin", "1.2 for known loads, raised as the house raises its own", "from memory")
DIN_FAR = ("DIN 743, as remembered, lies more than 30 % from DE-Goodman here, each margin over what its own method "
           "asks for. The sheet on fatigue holds the factors of both and names the one that differs most.")
DIN_SHORT = ("DE-Goodman holds here, DIN 743 as remembered falls short: have an engineer look at this section before "
             "it is made.")
APART = 1.3
"""Times by which two methods may differ before it is said."""

LEAST = 1e-6
"""Keeps what nothing is asked of from being divided by nothing."""

MEGA = 1e6
FACTORS = {"ours": "factor by DE-Goodman", "theirs": "the like by DIN 743"}


@dataclass(frozen=True, slots=True)
class Ours:
    """Factors and stresses on the way to the margin by DE-Goodman."""

    k_a: Ratio
    k_b: Ratio
    k_e: Ratio
    K_f: Ratio
    S_e: Stress
    sigma_a: Stress
    sigma_m: Stress
    sigma_r: Stress
    S_D: Ratio


@dataclass(frozen=True, slots=True)
class Opinions:
    """What stands beside the checks: on the sheet on fatigue and on that on yield."""

    fatigue: tuple[Any, ...]
    against_yield: tuple[Any, ...]


@formula("S_743req", "margin DIN 743 asks for", REQUIRED, where={"S_D_required": "required margin against fatigue"})
def required_by_din(S_D_required: Ratio) -> Ratio:
    """1.2 where the house asks for 1.5, and in step with it where it asks for more."""
    return 1.2 * S_D_required / 1.5


@formula("x", "how far two factors are apart", OWN, where=FACTORS)
def apart(ours: Ratio, theirs: Ratio) -> Ratio:
    """The larger over the smaller."""
    return np.maximum((ours + LEAST) / (theirs + LEAST), (theirs + LEAST) / (ours + LEAST))


@formula("o", "margin over what its own method asks for", OWN, where={
    "S": "margin", "S_required": "margin asked for",
})
def over_required(S: Ratio, S_required: Ratio) -> Ratio:
    """1 where it just holds."""
    return S / S_required


@formula("m_G", "share left by mean stress, DE-Goodman", OWN, where={
    "sigma_a": "alternating equivalent stress", "sigma_r": "fully reversed stress of equal damage",
})
def left_by_mean(sigma_a: Stress, sigma_r: Stress) -> Ratio:
    """1 where nothing is steady."""
    return sigma_a / np.maximum(sigma_r, 1e-6 * MEGA)


@formula("m_743", "share left by mean stress, DIN 743", OWN, where={
    "S_743": "margin by DIN 743", "sigma_ba": "alternating bending stress", "tau_ta": "alternating torsion stress",
    "sigma_bWK": "fatigue limit of the part, bending", "tau_tWK": "fatigue limit of the part, torsion",
})
def left_by_mean_din(S_743: Ratio, sigma_ba: Stress, sigma_bWK: Stress, tau_ta: Stress, tau_tWK: Stress) -> Ratio:
    """The margin times the share that alternates alone."""
    return S_743 * np.hypot(sigma_ba / sigma_bWK, tau_ta / tau_tWK)


@formula("far", "1 where the margins are more than 30 % apart", OWN, where={"x_m": "how far the margins are apart"})
def far(x_m: Ratio) -> Count:
    """The sheet explains from there on."""
    return np.where(x_m > APART, 1.0, 0.0)


@formula("short", "1 where DIN 743 alone falls short", OWN, where={
    "S_D": "margin by DE-Goodman", "S_D_required": "required margin against fatigue", "S_743": "margin by DIN 743",
    "S_743req": "margin DIN 743 asks for",
})
def only_din_short(S_D: Ratio, S_D_required: Ratio, S_743: Ratio, S_743req: Ratio) -> Count:
    """The verdict stays Goodman's; this asks for a second look."""
    return np.where((S_D >= S_D_required) & (S_743 < S_743req), 1.0, 0.0)


def opinions(s: SectionInputs, ours: Ours) -> Opinions:
    """All second opinions on a section that DE-Goodman has rated."""
    with group("Second opinion: DIN 743"):
        return _opinions(s, ours)


def _opinions(s: SectionInputs, ours: Ours) -> Opinions:
    found = din_743.proofs(s)
    asked = required_by_din(s.S_D_required)
    x_m = named("x_m", apart(over_required(ours.S_D, s.S_D_required), over_required(found.S_743, asked)),
                "how far the margins are apart, each over what its own method asks for")
    survival = chosen("k_743", "survival that DIN 743 counts with", RATIO, 1.0, source=din_743.PART_3,
                      why="its strengths hold for 97.5 of 100 bars, with no further factor")
    most = governs("x_1", "what differs most between the two methods", RATIO, {
        "notch, K_f against beta_b": named("x_n", apart(ours.K_f, s.beta_b)),
        "size, k_b against K_2": named("x_s", apart(ours.k_b, found.K_2)),
        "surface, k_a against K_FC": named("x_f", apart(ours.k_a, found.K_FC)),
        "survival, k_e against k_743": named("x_e", apart(ours.k_e, survival)),
        "mean stress, m_G against m_743": named("x_w", apart(
            left_by_mean(ours.sigma_a, ours.sigma_r),
            left_by_mean_din(found.S_743, found.sigma_ba, found.W_b, found.tau_ta, found.W_t))),
    }, OWN, pick="largest")
    remark_if(far(x_m), DIN_FAR, OWN)
    remark_if(only_din_short(ours.S_D, s.S_D_required, found.S_743, asked), DIN_SHORT, OWN)
    others = (criteria.soderberg_margin(ours.sigma_a, ours.sigma_m, ours.S_e, s.R_e),
              criteria.gerber_margin(ours.sigma_a, ours.sigma_m, ours.S_e, s.R_m),
              criteria.elliptic_margin(ours.sigma_a, ours.sigma_m, ours.S_e, s.R_e))
    return Opinions((*others, found.S_743, asked, x_m, most), (found.S_F743,))
