"""First bending critical speed of a shaft against its turning speed.

A slow machine stays far below it; the check is for fans, flywheels and long thin shafts. What sits on
seats without a stated mass counts as heavy as it can be: only where that could matter is the answer
unknown.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import critical_speed
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.units import (
    ACCELERATION,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    STIFFNESS,
    Acceleration,
    Length,
    Mass,
    Ratio,
    Speed,
    Stiffness,
)

RIGID = ("Bearings and frame taken as rigid: a soft frame lowers the critical speed. Gyroscopic turning is left out. "
         "A shaft that whirls throws what sits on it: stand clear of a first run-up.")
UNWEIGHED = ("with the masses given it is fast enough, but what else may sit on its seats could bring it down: "
             "give `mass` at those seats")


@dataclass(frozen=True, kw_only=True)
class CriticalInputs(Inputs):
    """Turning speed, solved critical speed with its two sags, and what may sit on seats without a mass."""

    omega: Speed = quantity("turning speed", SPEED, at_least=0)
    omega_1: Speed = quantity("first critical speed of the masses given, solved exactly", SPEED, above=0)
    y_w: Length = quantity("sag of these masses, weighted by their weights", LENGTH, above=0)
    y_s: Length = quantity("sum of what each mass alone sags under itself", LENGTH, above=0)
    g: Acceleration = quantity("acceleration of free fall", ACCELERATION, above=0)
    m_u: Mass = quantity("most that may sit on seats without a stated mass", MASS, at_least=0)
    k_u: Stiffness = quantity("stiffness of the shaft at the softest of those seats", STIFFNESS, above=0)
    S_required: Ratio = quantity("required critical over turning speed", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CriticalRating:
    """Bounds, the mass that could be added, the speed counted and its margin."""

    omega_w: Speed
    omega_s: Speed
    m_s: Mass
    omega_c: Speed
    S: Ratio
    checks: tuple[Check, ...]


@formula("omega_c", "critical speed counted", critical_speed.DUNKERLEY, outside=UNWEIGHED, where={
    "omega_u": "critical speed with all of it, from below", "omega_1": "critical speed of the masses given",
    "m_s": "mass that could be added",
})
def counted(m_u: Mass, m_s: Mass, omega_u: Speed, omega_1: Speed) -> Speed:
    """With all that may be there where it holds even so; without it where it fails even so."""
    return np.where(m_u <= m_s, omega_u, np.where(m_s < 0, omega_1, np.nan))


def rate_critical(c: CriticalInputs) -> CriticalRating:
    """Rate the critical speed of one shaft, or of many at once."""
    with group("Critical speed"):
        c = c.record()
        omega_w = named("omega_w", critical_speed.speed_of_sag(c.g, c.y_w), "estimate from above, by the weighted sag")
        omega_s = named("omega_s", critical_speed.speed_of_sag(c.g, c.y_s), "estimate from below, by single sags")
        omega_1 = critical_speed.bracketed(c.omega_1, omega_s, omega_w)
        m_s = named("m_s", critical_speed.spare_mass(c.k_u, c.omega, c.S_required, omega_1))
        omega_c = counted(c.m_u, m_s, critical_speed.with_more_mass(omega_1, c.m_u, c.k_u), omega_1)
        S = named("S_c", margin(omega_c, c.omega), "critical over turning speed")
    return CriticalRating(omega_w, omega_s, m_s, omega_c, S, (
        Check("critical speed", SPEED, c.omega, omega_c, S, c.S_required, critical_speed.DUNKERLEY,
              critical_speed.TWICE, RIGID),
    ))
