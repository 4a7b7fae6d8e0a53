"""Turning wheels: how fast one can get when what brakes it is lost, and what then pulls at it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, formula, governs, named, remark_if
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import (
    ENERGY,
    SPEED,
    STRESS,
    VELOCITY,
    Area,
    Count,
    Density,
    Energy,
    Inertia,
    Length,
    Ratio,
    Speed,
    Stress,
    Velocity,
)

CAUTION = Source("guarding of turning masses", "local machine safety rules go first", "common practice")
BOUND = Source("energy of the weight, all of it into one wheel", "no losses, nothing else sped up", "derived")
AWAY = Source("run-away after the loss of one element", "every element whose loss frees this wheel", "derived")
RINGS = Source("rotating ring of Lamé, as in Shigley and Mischke, Mechanical Engineering Design, 5th ed.",
               "rotating rings", "second text")
SPOKES = Source("Timoshenko, Strength of Materials, part II, as in U.C. Jindal, Machine Design, ch. 19",
                "rotating ring with spokes, ex. 19-1, p. 530", "second text")
LAME = Source("Lamé, rotating disc pulled at its rim", "pull that follows a free ring", "derived")
HOLE = Source("Kirsch, stress beside a small round hole", "three times in a plain pull", "common practice")
THICK = "the rim is thicker than half its mean radius: no thin ring any more"
WHEEL = {
    "omega": "turning speed", "omega_c": "greatest speed after the loss of one element, the bound where none is known",
    "E_w": "energy of the weights that can run it away", "J": "moment of inertia",
    "rho": "density", "nu": "Poisson's ratio", "d_o": "outside diameter", "d_i": "inside diameter of the rim",
    "n": "number of spokes", "A_r": "area of the rim's section", "A_s": "area of a spoke's section",
    "t": "radial thickness of the rim", "r_m": "mean radius of the rim", "v_m": "speed of the rim's middle",
    "a": "half the angle between two spokes", "C": "how stiffly rim and spokes give way to each other",
    "f_1": "stretch of the rim between spokes", "f_2": "bending of the rim between spokes",
    "r_o": "outside radius of the rim", "r_w": "outside radius of the web", "r_b": "radius of the bore of the web",
}


@formula("omega_w", "bound on the run-away speed", BOUND, where=WHEEL)
def run_away_speed(omega: Speed, E_w: Energy, J: Inertia) -> Speed:
    """Running speed, and all that the weights can still give put into this wheel alone: it cannot get faster."""
    return (omega**2 + 2 * E_w / J) ** 0.5


@formula("omega_a", "run-away speed from the weights", AWAY, where=WHEEL)
def from_weights(omega: Speed, omega_c: Speed, omega_w: Speed) -> Speed:
    """The fastest that any loss lets it get, never above the bound, never below its running speed."""
    return np.maximum(omega, np.minimum(omega_c, omega_w))


@formula("v", "rim speed", KINEMATICS, where=WHEEL)
def rim_speed(d_o: Length, omega: Speed) -> Velocity:
    """Speed of the outer edge."""
    return np.abs(omega) * d_o / 2


@formula("W", "stored energy", KINEMATICS, where=WHEEL)
def stored_energy(J: Inertia, omega: Speed) -> Energy:
    """Half the inertia times speed squared."""
    return J * omega**2 / 2


@formula("stores_much", "energy above the value to be fenced", CAUTION,
         where={"W_fence": "stored energy from which a wheel is fenced", "W": "stored energy"})
def stores_much(W: Energy, W_fence: Energy) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(W > W_fence, 1.0, 0.0)


@formula("runs_fast", "rim speed above what cast rims usually run", CAUTION,
         where={"v_usual": "rim speed up to which cast rims are usual", "v": "rim speed"})
def runs_fast(v: Velocity, v_usual: Velocity) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(v > v_usual, 1.0, 0.0)


# Rim on spokes ---------------------------------------------------------------------------------


@formula("a", "half the angle between two spokes", KINEMATICS, where=WHEEL)
def half_angle(n: Count) -> Ratio:
    """In radians; half a turn over the number of spokes."""
    return math.pi / n


@formula("f_1", "stretch of the rim between spokes", SPOKES, where=WHEEL)
def rim_stretch(a: Ratio) -> Ratio:
    """0.957 for six spokes."""
    return (np.sin(2 * a) / 4 + a / 2) / (2 * np.sin(a) ** 2)


@formula("f_2", "bending of the rim between spokes", SPOKES, where=WHEEL)
def rim_bending(f_1: Ratio, a: Ratio) -> Ratio:
    """0.00169 for six spokes."""
    return f_1 - 1 / (2 * a)


@formula("C", "how stiffly rim and spokes give way to each other", SPOKES, where=WHEEL, outside=THICK)
def spoke_constant(f_1: Ratio, f_2: Ratio, r_m: Length, t: Length, A_r: Area, A_s: Area) -> Ratio:
    """Bending and stretch of a rectangular rim, and stretch of the spokes."""
    return np.where(t <= r_m / 2, 12 * f_2 * (r_m / t) ** 2 + f_1 + A_r / A_s, np.nan)


@formula("sigma_a", "stress in a spoke at the rim", SPOKES, where=WHEEL)
def spoke_stress(rho: Density, v_m: Velocity, A_r: Area, A_s: Area, C: Ratio) -> Stress:
    """The spokes hold part of the rim in; two thirds, since they stretch by their own weight too."""
    return 2 / 3 * rho * v_m**2 * A_r / A_s / C


@formula("sigma_r", "stress of the rim at a spoke", SPOKES, where=WHEEL)
def rim_stress_at_spoke(rho: Density, v_m: Velocity, C: Ratio, r_m: Length, t: Length, a: Ratio) -> Stress:
    """Hoop pull, less what the spoke takes, with the rim bent inward where the spoke holds it."""
    return rho * v_m**2 * (
        1 - np.cos(a) / (3 * C * np.sin(a)) + 2 * r_m / (C * t) * (1 / a - np.cos(a) / np.sin(a)))


@formula("sigma_z", "stress of the rim between spokes", SPOKES, where=WHEEL)
def rim_stress_between(rho: Density, v_m: Velocity, C: Ratio, r_m: Length, t: Length, a: Ratio) -> Stress:
    """Hoop pull, less what the spokes take, with the rim bent outward between them."""
    return rho * v_m**2 * (1 - 1 / (3 * C * np.sin(a)) + 2 * r_m / (C * t) * (1 / np.sin(a) - 1 / a))


# Rim on a web ----------------------------------------------------------------------------------


@formula("sigma_o", "hoop stress of a thin free ring", RINGS, where=WHEEL | {"v": "speed of the ring"})
def thin_ring_stress(rho: Density, v: Velocity) -> Stress:
    """Each piece of the ring is held in by its neighbours; the size of the ring does not count."""
    return rho * v**2


@formula("p", "pull of the rim on its web, at most", LAME, where=WHEEL,
         outside="the bore is not smaller than the web, or the web not smaller than the wheel")
def rim_pull(rho: Density, omega: Speed, nu: Ratio, r_o: Length, r_w: Length, r_b: Length) -> Stress:
    """Pull at which the web grows as far as a free rim would: a web of the same stuff cannot be asked for more."""
    return np.where(
        (r_b < r_w) & (r_w < r_o),
        rho * omega**2 * (3 + nu) * (r_o**2 - r_b**2) / 4
        / ((r_w**2 + r_b**2) / np.where(r_b < r_w, r_w**2 - r_b**2, np.nan) - nu), np.nan)


@formula("sigma_w", "stress at the bore of a web", LAME, where=WHEEL | {"p": "pull of the rim on its web"},
         outside="the bore is not smaller than the web")
def web_stress(rho: Density, omega: Speed, nu: Ratio, p: Stress, r_w: Length, r_b: Length) -> Stress:
    """Its own turning as a bored disc, and the pull of the rim with the edge of the bore doubling it."""
    return rho * omega**2 / 4 * ((3 + nu) * r_w**2 + (1 - nu) * r_b**2) + 2 * p * r_w**2 / np.where(
        r_b < r_w, r_w**2 - r_b**2, np.nan)


@formula("sigma_k", "stress beside a hole", HOLE, where={
    "sigma_n": "stress without the hole", "k": "how many times the stress rises beside what is cut out, 1 for nothing"})
def beside_hole(sigma_n: Stress, k: Ratio) -> Stress:
    """Round holes off the middle: the smooth stress times the rise beside them."""
    return k * sigma_n


# What is said of every wheel -------------------------------------------------------------------

KEEPS_TURNING = (
    "The wheel stores more than 100 J and goes on turning when the drive stops: fence it so that nobody can "
    "reach in, and bring it to rest with a brake before a cover is opened. Local rules go first."
)
FAST_RIM = (
    "The rim runs faster than 25 m/s: cast or glued rims are no longer usual there. Have a competent person "
    "look at it, balance it and keep people out of its plane."
)
RUNS_AWAY = (
    "Speed after the worst loss of one element between the weights and what brakes them, or a bound with all the "
    "energy of the weights in this wheel alone. Nobody stands in its plane; guards for it are for a competent person."
)
RUN_AWAY = Source("required margin at the run-away speed", "", "common practice")
MARGIN = Source("required margin on the strength of a rim", "6 to 10 for cast rims, 3 for steel", "common practice")


def cautioned(W: Energy, v: Velocity) -> None:
    """Remarks on what the wheel stores and how fast its rim runs."""
    W_fence = chosen("W_fence", "stored energy from which a wheel is fenced", ENERGY, 100.0,
                     why="several times the energy of a hammer blow", source=CAUTION)
    v_usual = chosen("v_usual", "rim speed up to which cast rims are usual", VELOCITY, 25.0,
                     why="old practice for cast rims", source=CAUTION)
    remark_if(stores_much(W, W_fence), KEEPS_TURNING, CAUTION)
    remark_if(runs_fast(v, v_usual), FAST_RIM, CAUTION)


def run_away(f: Any, J: Inertia) -> Speed:
    """The larger of what the weights can give this wheel and the speed that is stated; `f` are inputs of a wheel."""
    away = from_weights(f.omega_r, f.omega_c, run_away_speed(f.omega_r, f.E_w, J))
    return governs("omega_R", "greatest speed it can run away to", SPEED, {
        "from the weights": away, "stated": f.omega_s}, AWAY, pick="largest")


def run_away_checks(f: Any, sigma_R: Stress, method: Source) -> tuple[Check, ...]:
    """Yield and bursting at the run-away speed."""
    S_y = named("S_y", margin(f.R_lim, sigma_R), "margin on yield at the run-away speed")
    S_b = named("S_b", margin(f.R_m, sigma_R), "margin on bursting at the run-away speed")
    return (
        Check("run-away yield", STRESS, sigma_R, f.R_lim, S_y, f.S_y_required, method, RUN_AWAY, RUNS_AWAY),
        Check("run-away burst", STRESS, sigma_R, f.R_m, S_b, f.S_b_required, method, RUN_AWAY, RUNS_AWAY),
    )


@formula("differs", "stated and drawn moment of inertia differ by more than a twentieth", BOUND, where={
    "J": "moment of inertia that is stated", "J_sum": "moment of inertia of all pieces"})
def differs(J: Inertia, J_sum: Inertia) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(np.abs(J_sum - J) > 0.05 * J, 1.0, 0.0)
