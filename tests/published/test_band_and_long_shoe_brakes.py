"""Course notes on the design of brakes (lecture DTS 11.3, example 1) and a solved example of a band brake. Read on the web.

The same block brake stands, with 83.75 N m and a tangential force of 670.954 N, in a published examination key; all of
them round the equivalent friction 0.38508 to 0.385.
"""

from pytest import approx

from layshaft.mechanics import brakes, friction
from layshaft.trace.units import DEGREE


def test_block_brake_with_a_long_shoe():
    """Drum 250 mm, 90 degrees, friction 0.35, 700 N on 450 mm, pivot at 200 mm and 50 mm off: 0.385, about 83.8 N m."""
    mu = brakes.long_shoe(0.35, 90 * DEGREE)
    assert mu == approx(0.385, abs=5e-4)
    N = brakes.block_strong(700.0, 0.45, 0.2, 0.05, mu)
    assert mu * N == approx(670.954, rel=5e-4)
    assert brakes.shoe_torque(mu, N, 0.25, 1.0) == approx(83.8, abs=0.15)


def test_a_short_shoe_has_the_friction_of_its_lining():
    assert brakes.long_shoe(0.35, 1e-4) == approx(0.35, rel=1e-8)


def test_band_brake_of_300_newton_metres():
    """Drum 480 mm, 240 degrees, friction 0.25: 648.77 and 1848.80 N; the tight end on 50 mm of a 300 mm lever: 308.13 N.

    The lever is worked by the tight end alone, so this is the weak way of a plain band.
    """
    k = friction.tension_ratio(0.25, 240 * DEGREE)
    assert k == approx(2.8497, abs=5e-5)
    F = brakes.band_weak(308.13, 0.300, 0.050, 0.0, k)
    assert F == approx(648.77, rel=5e-4)
    assert brakes.tight_tension(F, k) == approx(1848.80, rel=5e-4)
    # the page writes 240 mm for the radius: 300 N m over 0.24 m is 1250 N, its two tensions differ by 1200
    assert brakes.band_torque(F, k, 0.5) == approx(300, rel=1e-3)
