"""Torsional vibration of discs on shafts, against answers printed in textbooks and proceedings.

Bevan, Theory of Machines, torsional vibration of a geared motor and pump, read in a textbook companion
(the worked example's givens and the book's node distances; its g of 32.3 ft/s2 is kept).
A three-rotor oil engine, read in a collection of examination questions with answers.
Wang, Feese and Pettinato, Torsional natural frequencies: measurement vs. prediction, 41st Turbomachinery
Symposium 2012, table 1.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import inertia, round_bar, torsion
from layshaft.train.torsion.modes import natural

G_BEVAN, POUND_WEIGHT = 12e6, 32.3 * 12
"""lbf/in2, and lb in2 to lbf in s2."""


def bevan(pinion, gear):
    """Motor 1500 lb in2, pump 50 000 lb in2 at 0.6 of its speed; 39.5 in of 2.75 in and 25.5 in of 3.5 in."""
    mass = np.array([1500.0, pinion + inertia.reflected(gear, 0.6), inertia.reflected(50_000.0, 0.6)]) / POUND_WEIGHT
    k = [round_bar.torsional_stiffness(G_BEVAN, round_bar.polar_moment(d, 0.0), L)
         for d, L in ((2.75, 39.5), (3.5, 25.5))]
    return natural(mass, [(0, 1), (1, 2)], np.array([k[0], torsion.reflected_stiffness(k[1], 0.6)]))


def test_bevan_geared_motor_and_pump_without_the_gears():
    """Printed: equivalent length 66.5 in of the motor shaft, 84.8 a second, 5086 a minute."""
    found = bevan(0.0, 0.0)
    assert found.rigid == 1 and len(found.omega) == 2
    assert found.omega[1] / (2 * np.pi) == approx(84.76, rel=5e-4)
    k = list(found.stiffness)
    J = round_bar.polar_moment(2.75, 0.0)
    assert G_BEVAN * J * (1 / k[0] + 1 / k[1]) == approx(66.5, abs=0.05)


def test_bevan_geared_motor_and_pump_with_the_gears():
    """Printed nodes 63.15 in and 3.661 in from the motor: 83.6 and 347 a second."""
    found = bevan(54.0, 850.0)
    assert found.omega[1:] / (2 * np.pi) == approx([83.6, 347], rel=2e-3)
    shape = found.shapes[:, 1:]
    node = 39.5 * shape[0] / (shape[0] - shape[1])  # where the motor shaft's twist, drawn on, is nothing
    assert node[1] == approx(3.661, rel=5e-3)


def test_three_rotors_of_an_oil_engine():
    """0.15, 0.3 and 0.09 kg m2, 70 mm shaft, 1.5 m and 1 m, 84 GPa: printed 171 Hz and 277 Hz, node at 0.4356 m."""
    k = [round_bar.torsional_stiffness(84e9, round_bar.polar_moment(0.07, 0.0), L) for L in (1.5, 1.0)]
    found = natural(np.array([0.15, 0.3, 0.09]), [(0, 1), (1, 2)], np.array(k))
    assert found.omega / (2 * np.pi) == approx([0, 171, 277], abs=0.5)
    shape = found.shapes[:, 2]
    assert 1.5 * shape[0] / (shape[0] - shape[1]) == approx(0.4356, rel=2e-3)


@pytest.mark.parametrize(("zeta", "at"), [(0.05, (10, 10, 7, 5, 3)), (0.025, (20, 19, 9, 5, 4)),
                                          (0.0167, (30, 26, 10, 5, 4)), (0.01, (50, 36, 10, 5, 4))])
def test_wang_feese_pettinato_table_1(zeta, at):
    """Gain at 0, 1, 5, 10 and 15 % from resonance, whole numbers; 15 % is the outermost."""
    for apart, printed in zip((0.0, 0.01, 0.05, 0.10, 0.15), at, strict=True):
        assert torsion.gain(1 - apart, zeta) == approx(printed, rel=0.05, abs=0.75)


def test_din_740_factor_at_resonance():
    """A coupling maker's published catalogue after DIN 740-2: 2 pi over the relative damping."""
    for psi in (0.4, 1.13):
        assert torsion.gain(1.0, torsion.damping_ratio(psi)) == approx(2 * np.pi / psi, rel=1e-12)


@pytest.mark.from_memory
def test_iso_6336_mesh_stiffness():
    """20 N/(mm um): a micrometre of approach for 20 N on each millimetre of width."""
    F, b, r_b = 20.0 * 15, 15e-3, 0.04
    assert torsion.mesh_stiffness(20e9, b, r_b) == approx(F * r_b / (1e-6 / r_b), rel=1e-12)
