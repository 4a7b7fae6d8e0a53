"""Do the teeth fit: interference, undercut, pointed tips, backlash, the share of shift of each gear.

Signs as in the geometry: what belongs to a ring with internal teeth carries a minus. The basic rack
is straight for one module on either side of its reference line.
"""

from __future__ import annotations

import numpy as np

from layshaft.elements.gear_pair.geometry import ISO_21771, MEANING
from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Angle, Count, Length, Ratio

JGMA = Source("technical data of gears after JGMA, internal gears", "three kinds of interference",
              "from memory")
NIEMANN = Source("Niemann and Winter, Maschinenelemente 2; ISO/TR 4467",
                 "share of the pinion in the sum of shifts", "from memory")
DIN_3960 = Source("DIN 3960:1987", "x = (14 - z)/17, the undercut that practice bears", "from memory")
POINTED = Source("gear handbooks", "tip at least 0.2 modules thick", "common practice")
FORM = Source("where the involute of a rack-cut tooth begins", obtained="derived")

TOLERATED = 14 / 17.1
"""Depth of the rack, in modules, that undercuts 14 teeth: what practice bears."""

NEVER = 10.0
"""Margin of what cannot happen: a ring is not undercut by a rack."""

WHERE = MEANING | {
    "z": "teeth, negative for a ring with internal teeth",
    "d_bm": "base diameter of the mate",
    "d_am": "tip diameter of the mate",
    "d_e": "diameter at which the flank ends for good",
    "d_Nf": "diameter down to which the mate's tip touches",
    "d_Ff": "diameter at which the involute begins above the root",
    "a_s": "centre distance with the sign of the pair",
    "beta_a": "helix angle at the tip",
    "alpha_a1": "pressure angle at the tip of the pinion",
    "alpha_a2": "pressure angle at the tip of the ring",
    "x_s": "sum of the shift coefficients",
    "S_1": "margin of the pinion",
    "S_2": "margin of the wheel",
    "v_1": "value of the pinion",
    "v_2": "value of the wheel",
    "inv_w": "involute at which the teeth mesh without backlash",
    "j_t": "backlash at the pitch circle",
    "theta_1": "turn of the pinion between its tip on the ring's tip and the line of centres",
    "theta_2": "turn of the ring between its tip on the pinion's tip and the line of centres",
}


@formula("a_s", "centre distance with the sign of the pair", ISO_21771, where=WHERE)
def signed_centres(a_w: Length, z_1: Count, z_2: Count) -> Length:
    """Negative for a pinion inside a ring, whose axes stand a difference of radii apart."""
    return a_w * (z_1 + z_2) / np.abs(z_1 + z_2)


@formula("x_1", "shift of the pinion, of a sum asked for by the centre distance", NIEMANN, where=WHERE,
         outside="the rule is for a sum of teeth beyond 20 and a step down")
def pinion_shift(x_s: Ratio, z_1: Count, z_2: Count) -> Ratio:
    """Half the sum, and more the larger the ratio: the pinion is the one that needs thick roots.

    A ring takes the whole sum, and its pinion is cut without shift.
    """
    return np.where(z_2 < 0, 0 * x_s, np.where(
        z_1 * np.abs(z_2) > 100,
        x_s / 2 + (0.5 - x_s / 2) * np.log10(np.abs(z_2) / z_1)
        / np.log10(np.maximum(z_1 * np.abs(z_2), 101.0) / 100), np.nan))


@formula("x_2", "shift of the wheel, of a sum asked for by the centre distance", ISO_21771, where=WHERE)
def wheel_shift(x_s: Ratio, x_1: Ratio) -> Ratio:
    """What the pinion leaves of the sum."""
    return x_s - x_1


@formula("j_t", "backlash at the pitch circle", ISO_21771, where=WHERE)
def backlash(a_s: Length, alpha_wt: Angle, inv_w: Angle) -> Length:
    """Space left at these centres beside teeth of full thickness; less than nothing cannot be mounted."""
    return 2 * a_s * (np.tan(alpha_wt) - alpha_wt - inv_w)


@formula("a_t", "centre distance at which the backlash is gone", ISO_21771, where=WHERE)
def tight_centres(a_s: Length, j_t: Length, alpha_wt: Angle) -> Length:
    """The backlash closed by moving the axes, to the first order."""
    return np.abs(a_s - j_t / (2 * np.tan(alpha_wt)))


@formula("S_j", "margin of the backlash", ISO_21771, where=WHERE)
def backlash_margin(j_t: Length, m_n: Length) -> Ratio:
    """One where the play is just gone, and as many modules of play as it is above one."""
    return 1 + j_t / m_n


@formula("d_Nf", "diameter down to which the mate's tip touches", ISO_21771, where=WHERE,
         outside="a tip lies inside its base circle")
def touched_diameter(d_b: Length, a_s: Length, alpha_wt: Angle, d_am: Length, d_bm: Length) -> Length:
    """Below the base circle where the mate's tip runs past the end of the line of action."""
    return np.sqrt(np.maximum(
        d_b**2 + (2 * a_s * np.sin(alpha_wt) - d_bm / np.abs(d_bm)
                  * np.sqrt(np.where(np.abs(d_am) >= np.abs(d_bm), d_am**2 - d_bm**2, np.nan)))
        * d_b / np.abs(d_b)
        * np.abs(2 * a_s * np.sin(alpha_wt) - d_bm / np.abs(d_bm)
                 * np.sqrt(np.where(np.abs(d_am) >= np.abs(d_bm), d_am**2 - d_bm**2, np.nan))),
        0 * d_b**2))


@formula("d_Ff", "diameter at which the involute begins above the root", FORM, where=WHERE)
def form_diameter(d: Length, d_b: Length, alpha_t: Angle, m_n: Length, x: Ratio) -> Length:
    """Where the straight part of the rack ends, or the base circle if that is higher up.

    A ring's fillet is taken a quarter module deep.
    """
    return np.where(
        d < 0, np.abs(d) + 2 * m_n * (1 - x),
        np.sqrt(d_b**2 + np.maximum(d * np.sin(alpha_t) - 2 * m_n * (1 - x) / np.sin(alpha_t), 0 * d) ** 2))


@formula("d_e", "diameter at which the flank ends for good", FORM, where=WHERE)
def flank_end(d: Length, d_b: Length, m_n: Length, x: Ratio) -> Length:
    """The base circle; of a ring, whose involute goes on outward, the root circle."""
    return np.where(d < 0, np.abs(d) + 2 * m_n * (1.25 - x), d_b)


@formula("fillet", "a tip reaches the fillet of its mate", FORM, where=WHERE)
def fillet_touched(d: Length, d_Nf: Length, d_Ff: Length) -> Count:
    """1 where it does, else 0: the involute ends a little before the flank does."""
    return np.where(d < 0, np.where(d_Nf > d_Ff, 1.0, 0.0), np.where(d_Nf < d_Ff, 1.0, 0.0))


@formula("d_i1", "diameter that must stay free", FORM, where=WHERE)
def must_reach(d: Length, d_Nf: Length, d_e: Length) -> Length:
    """Of the two, the one that must be the smaller: on a ring roots lie outside."""
    return np.where(d < 0, d_Nf, d_e)


@formula("d_i2", "diameter that bounds it", FORM, where=WHERE)
def may_reach(d: Length, d_Nf: Length, d_e: Length) -> Length:
    """Of the two, the one that must be the larger."""
    return np.where(d < 0, d_e, d_Nf)


@formula("v", "value of the gear with the smaller margin", FORM, where=WHERE)
def of_the_worse(S_1: Ratio, S_2: Ratio, v_1: Length, v_2: Length) -> Length:
    """That of the pinion where both are alike."""
    return np.where(S_2 < S_1, v_2, v_1)


@formula("S_b", "margin of a tip above its base circle", ISO_21771, where=WHERE)
def base_margin(d_a: Length, d_b: Length) -> Ratio:
    """Inside the base circle there is no involute; in a ring this asks for enough teeth or a shift."""
    return d_a / d_b


@formula("d_x", "diameter of the gear with the smaller margin", FORM, where=WHERE | {
    "d_x1": "diameter on the pinion", "d_x2": "diameter on the wheel"})
def diameter_of_the_worse(S_1: Ratio, S_2: Ratio, d_x1: Length, d_x2: Length) -> Length:
    """That of the pinion where both are alike, without the minus of a ring."""
    return np.where(S_2 < S_1, np.abs(d_x2), d_x1)


@formula("h_c", "depth to which the rack cuts straight", DIN_3960, where=WHERE)
def cut_depth(m_n: Length, x: Ratio) -> Length:
    """Below the reference circle; the last eighteenth of a module of a rack may eat into the root."""
    return m_n * np.maximum(TOLERATED - x, 0.1)


@formula("h_l", "depth at which the line of action ends", ISO_21771, where=WHERE)
def line_depth(d: Length, alpha_t: Angle) -> Length:
    """Below the reference circle, where the line of action touches the base circle."""
    return np.abs(d) * np.sin(alpha_t) ** 2 / 2


@formula("S_u", "margin against undercut", DIN_3960, where=WHERE | {
    "h_c": "depth to which the rack cuts straight", "h_l": "depth at which the line of action ends"})
def undercut_margin(z: Count, h_l: Length, h_c: Length) -> Ratio:
    """What the rack may cut over what it cuts; a ring is shaped by a pinion and not undercut."""
    return np.where(z < 0, NEVER, h_l / h_c)


@formula("s_an", "thickness of the tooth at its tip", ISO_21771, where=WHERE)
def tip_thickness(d_a: Length, d: Length, z: Count, x: Ratio, alpha_n: Angle, alpha_t: Angle,
                  alpha_a: Angle, beta: Angle) -> Length:
    """Across the tooth: what the two involutes leave of the half pitch."""
    return (
        d_a * ((np.pi / 2 + 2 * x * np.tan(alpha_n)) / z
               + np.tan(alpha_t) - alpha_t - np.tan(alpha_a) + alpha_a)
        * np.cos(np.arctan(d_a / d * np.tan(beta)))
    )


@formula("s_min", "least thickness at the tip", POINTED, where=WHERE)
def least_tip(m_n: Length) -> Length:
    """A fifth of a module; hardened teeth want twice that."""
    return 0.2 * m_n


@formula("eps_gamma", "total contact ratio", ISO_21771, where=WHERE | {
    "eps_alpha": "contact ratio", "eps_beta": "overlap ratio"})
def total_contact_ratio(eps_alpha: Ratio, eps_beta: Ratio) -> Ratio:
    """Pairs of teeth in contact, helix counted."""
    return eps_alpha + eps_beta


# Inside a ring ---------------------------------------------------------------------------------


@formula("theta_1", "turn of the pinion to the meeting of the tips", JGMA, where=WHERE)
def pinion_turn(d_a1: Length, d_a2: Length, a_w: Length, alpha_a1: Angle, alpha_wt: Angle) -> Angle:
    """From the line of centres to where both tip circles cross, and back along the flank."""
    return (
        np.arccos(np.minimum(np.maximum((d_a2**2 - d_a1**2 - 4 * a_w**2) / (4 * a_w * d_a1), -1.0), 1.0))
        + np.tan(alpha_a1) - alpha_a1 - np.tan(alpha_wt) + alpha_wt
    )


@formula("theta_2", "turn of the ring to the meeting of the tips", JGMA, where=WHERE)
def ring_turn(d_a1: Length, d_a2: Length, a_w: Length) -> Angle:
    """From the line of centres to where both tip circles cross, seen from the ring."""
    return np.arccos(np.minimum(np.maximum(
        (4 * a_w**2 + d_a2**2 - d_a1**2) / (4 * a_w * np.abs(d_a2)), -1.0), 1.0))


@formula("S_t", "margin of the tips where they leave each other", JGMA, where=WHERE)
def trochoid_margin(z_1: Count, z_2: Count, theta_1: Angle, theta_2: Angle, alpha_wt: Angle,
                    alpha_a2: Angle) -> Ratio:
    """Inside a ring with few teeth more the tips run into each other beside the mesh; elsewhere never."""
    return np.where(
        z_2 < 0,
        (theta_1 * z_1 / np.abs(z_2) + np.tan(alpha_wt) - alpha_wt
         - np.tan(alpha_a2) + alpha_a2) / np.maximum(theta_2, 1e-9),
        NEVER + 0 * z_1 * z_2)
