"""Losses of meshes, bearings and air: values from memory, formulas evaluated.

Niemann and Winter, Maschinenelemente 2 (tooth loss factor); bearing handbooks (coefficient of
friction at half the bore); the standard atmosphere (ISO 2533: 1.225 kg/m3 at 15 degC).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import loads

ALPHA = np.radians(20)


def tip_share(z):
    """Contact ratio of one tip of height one module, from the tip's own pressure angle."""
    tip = np.arccos(z * np.cos(ALPHA) / (z + 2))
    return z / (2 * np.pi) * (np.tan(tip) - np.tan(ALPHA))


@pytest.mark.from_memory
def test_tooth_loss_of_a_spur_pair_20_to_60():
    """Expected H_V 0.1532 and, at mu 0.08, efficiency 0.9877."""
    loss = loads.mesh_loss_factor(20.0, 60.0, 0.0, tip_share(20), tip_share(60))
    assert loss == approx(0.1532, rel=2e-3)
    assert loads.mesh_efficiency(0.08, loss) == approx(0.9877, rel=5e-4)
    leaning = loads.mesh_loss_factor(20.0, 60.0, np.radians(60), tip_share(20), tip_share(60))
    assert leaning == approx(2 * 0.1532, rel=2e-3)  # pi (u + 1)/(z1 u cos beta_b)


@pytest.mark.from_memory
def test_mesh_loss_in_full():
    assert loads.mesh_efficiency(0.1, 2.5) == approx(0.75)


@pytest.mark.from_memory
def test_friction_torque_of_a_bearing_25_mm_under_1500_newton():
    """M = 0.5 mu F d, mu 0.0015: 0.028125 N m."""
    assert loads.bearing_friction_torque(0.0015, 1500.0, 0.025) == approx(0.028125, rel=1e-6)


@pytest.mark.from_memory
def test_density_of_the_standard_atmosphere_at_sea_level():
    """1.225 kg/m3 at 15 degC; 1.293 at 0 degC in handbooks."""
    assert loads.air_density(15.0) == approx(1.225, abs=5e-4)
    assert loads.air_density(0.0) == approx(1.293, abs=1e-3)
