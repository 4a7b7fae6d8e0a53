"""Spur, helical or double helical: what each costs, with numbers for one invented case."""

from __future__ import annotations

import numpy as np

from layshaft.elements.gear_pair import fit, forces
from layshaft.elements.gear_pair import iso_6336_loads as loads
from layshaft.trace.choices import Choices, Figure, Way
from layshaft.trace.units import FORCE, RATIO

TORQUE, MODULE, FACE = 50.0, 2e-3, 0.04
TEETH = 20.0, 60.0
TILT = 5e-4
HELICAL, DOUBLE = np.radians(15), np.radians(25)
KEY, FRICTION = 0.025, 0.15
CASE = ("Invented: 50 N m on a pinion of 20 teeth, module 2 mm, face 40 mm, 60 teeth on the wheel, class 9; the shafts "
        "lean 0.5 mrad against each other; of the double helix one shaft floats on a key of 25 mm.")

SPUR_WORDS = """No push along the axis, and the gears slide out of mesh sideways: the choice for a machine
that is taken apart. Teeth enter over their whole width at once and tick; below 1 m/s that is felt, not
heard as a whine. A lean of the shafts loads one end. Play can be seen and set."""
HELICAL_WORDS = """Teeth enter bit by bit, and more of them share. Runs quieter from about 1 m/s on.
It pushes both shafts along their axes, the other way when the torque turns round, and tilts thin wheels:
bearings must hold that. A lean of the shafts matters as much as with spur teeth."""
DOUBLE_WORDS = """The two halves push against each other, and nothing is left along the axis.
One shaft must be free to find its place, and no more than one. What holds it back, a key or a coupling under torque,
loads one half more than the other. The gears come apart only across their axes."""


def choices() -> Choices:
    """The three kinds side by side."""
    return Choices("Spur, helical or double helical gears", CASE, (
        Way("spur", SPUR_WORDS, _figures(0.0, 1.0)),
        Way("helical, 15 deg", HELICAL_WORDS, _figures(HELICAL, 1.0)),
        Way("double helical, 25 deg", DOUBLE_WORDS, _figures(DOUBLE, 2.0)),
    ))


def _figures(beta: float, halves: float) -> tuple[Figure, ...]:
    b = FACE / halves
    a_w = MODULE * sum(TEETH) / 2 / np.cos(beta)
    s = fit.pair_shape(MODULE, TEETH, b, beta, np.radians(20), (0.0, 0.0), float(a_w))
    F_t = forces.tangential_force(TORQUE, s.d_1)
    F_h = loads.half_force(F_t, halves, loads.sliding_thrust(FRICTION, TORQUE, KEY), beta)
    w_t = loads.line_load(F_h, 1.0, b)
    z_n = [loads.virtual_teeth(z, s.beta_b, beta) for z in TEETH]
    c = loads.tooth_stiffness(z_n[0], z_n[1], 0.0, 0.0, beta, np.radians(20), w_t)
    F_bx = loads.opening(loads.slope_opening(TILT, b), loads.slope_deviation(s.d_2, b, 9.0))
    K = loads.opened_face(F_bx, loads.opening_stiffness(loads.mesh_stiffness(c, s.eps_alpha)), w_t)
    thrust = forces.axial_force(F_t, beta) if halves < 2 else 0.0
    return (
        Figure("push along the axis", float(thrust), FORCE),
        Figure("tangential force on the harder loaded helix", float(F_h), FORCE),
        Figure("contact ratio", float(s.eps_alpha), RATIO),
        Figure("overlap ratio", float(s.eps_beta), RATIO),
        Figure("load over the face, largest over mean, not run in", float(K), RATIO),
    )
