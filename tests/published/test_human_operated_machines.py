"""Public engineering reference page "Force, power and human operated machines" (read)."""

from pytest import approx

from layshaft.mechanics import drives
from layshaft.trace.units import REV_PER_MIN


def test_power_of_130_newton_on_a_crank_of_400_mm_at_25_rev_per_min():
    """Printed 136 W."""
    torque = drives.crank_torque(130.0, 0.4)
    assert drives.handle_force(torque, 0.4) == approx(130.0)
    assert drives.handle_power(torque, 25 * REV_PER_MIN) == approx(136.0, rel=2e-3)
