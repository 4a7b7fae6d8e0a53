"""Press fits, as printed.

- Norton, Machine Design, 4th ed., example 10-5: hub of grey iron on a steel shaft; read in the book's own work sheet.
- Ugural and Fenster, Advanced Strength and Applied Elasticity, a flat disc shrunk on a shaft; the problem with its
  printed answers 109.2 MPa and 212 MPa was read in a collection of problems; its allowance is printed there as
  5.26e-9 m, a misprint of 5.26e-5 m, as the stress at rest shows.
- DIN 7190:2001, joining clearance and smoothing: from memory.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import press_fit
from layshaft.mechanics import fits, rings
from layshaft.trace.units import INCH, POUND_FORCE, REV_PER_MIN

PSI = POUND_FORCE / INCH**2
GPA, MPA, MM, UM = 1e9, 1e6, 1e-3, 1e-6


def test_norton_example_10_5_pressure_of_a_hub_of_another_material():
    """d 0.781 in, hub 3.00 in of E 14e6 psi, shaft of 30e6 psi, nu 0.28, interference 0.0015 in: 15 265 psi."""
    d = 0.781 * INCH
    p = rings.joint_pressure(0.0015 * INCH, d, rings.hub_flexibility(3.0 * INCH, d, 0.28), 14e6 * PSI,
                             rings.shaft_flexibility(d, 0.0, 0.28), 30e6 * PSI)
    assert p == approx(15265 * PSI, rel=5e-4)  # printed to five digits from a diameter of 25/32 in rounded to three


def test_disc_on_a_shaft_loosens_at_6900_rpm():
    """Outside 0.5 m, bore 0.1 m, E 200 GPa, nu 0.3, 7800 kg/m3: 5.26e-5 m on the radius, 109.2 and 212 MPa."""
    d, D, omega = 0.1, 0.5, 6900 * REV_PER_MIN
    steel = (7800.0, 200 * GPA, 0.3)
    lost = press_fit.turning_loss(omega, d, 0.0, D, *steel, *steel)
    assert lost / 2 == approx(5.26e-5, abs=0.02e-5)
    p = rings.joint_pressure(lost, d, rings.hub_flexibility(D, d, 0.3), 200 * GPA, rings.shaft_flexibility(d, 0.0, 0.3),
                             200 * GPA)
    assert rings.bore_hoop(p, D, d) == approx(109.2 * MPA, abs=0.1 * MPA)
    assert rings.turning_hoop(7800.0, omega, D, d, 0.3) == approx(212 * MPA, abs=0.5 * MPA)


@pytest.mark.from_memory
def test_din_7190_joining_temperature():
    """Interference 48 um on 25 mm, clearance d/1000, steel 11.5e-6 per K, from 20 degC: 20 + 73/0.2875 = 273.9 degC."""
    assert press_fit.joining_temperature(20.0, 48 * UM, 25 * MM, 11.5e-6) == approx(273.9, abs=0.05)
    assert press_fit.joining_temperature(20.0, -5 * UM, 25 * MM, 11.5e-6) == approx(20 + 25 / 0.2875, abs=0.05)


@pytest.mark.from_memory
def test_h7_s6_at_50_mm_by_the_smoothing_rule():
    """50 H7/s6 has 18 to 59 um (ISO 286-2); Rz 4 and 6.3 um leave 18 - 8.24 = 9.76 um that work."""
    fit = fits.fit("50 H7/s6")
    assert (fit.least_interference / UM, fit.greatest_interference / UM) == (approx(18), approx(59))
    G = press_fit.smoothing(4 * UM, 6.3 * UM)
    assert press_fit.working_interference(fit.least_interference, G, 0.0, 0.0) == approx(9.76 * UM)


def test_solid_shaft_of_the_same_steel_by_the_short_form():
    """Norton and others give p = E U / (2 d) (1 - d2/D2) for one material and a solid shaft; common practice."""
    d, D, U, E = 0.05, 0.08, 40 * UM, 210 * GPA
    p = rings.joint_pressure(U, d, rings.hub_flexibility(D, d, 0.3), E, rings.shaft_flexibility(d, 0.0, 0.3), E)
    assert p == approx(E * U / (2 * d) * (1 - (d / D) ** 2), rel=1e-12)
    assert rings.joint_pressure(-U, d, 2.6, E, 0.7, E) == 0
    assert np.isnan(rings.hub_flexibility(0.05, 0.05, 0.3)) and np.isnan(rings.shaft_flexibility(0.05, 0.06, 0.3))
