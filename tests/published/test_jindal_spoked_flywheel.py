"""U.C. Jindal, Machine Design, ex. 19-1, p. 530: rotating rim on six spokes, after Timoshenko.

Read in a textbook companion (worked example with the book's printed page). The companion's constant
20280 / t^2 belongs to a mean radius of 1 m (12 f_2 = 0.02028 m^2 over t^2), while the rim of the
example has 1.2 m: the radius was dropped there. Its printed stresses come out with that constant; with
the right one the spoke bears 11.94 instead of 12.76 MPa.
"""

from math import pi

from pytest import approx

from layshaft.mechanics import rotating as r

B, T, R, RHO, V = 0.300, 0.150, 1.200, 7100.0, 1.2 * 500 * 2 * pi / 60
A_R = B * T


def six():
    a = r.half_angle(6.0)
    f_1 = r.rim_stretch(a)
    return a, f_1, r.rim_bending(f_1, a)


def test_constants_of_six_spokes():
    """Printed 0.957 and 20280 / (12e6) = 0.00169, of three digits."""
    _, f_1, f_2 = six()
    assert f_1 == approx(0.957, abs=0.0005)
    assert f_2 == approx(0.00169, abs=1e-5)


def test_example_19_1_with_the_radius_the_companion_dropped():
    a, f_1, _ = six()
    C = r.spoke_constant(f_1, 0.02028 / 12, 1.0, T, A_R, A_R / 4)
    assert C == approx(20280 / 150**2 + 0.957 + 4, rel=1e-4)
    assert r.spoke_stress(RHO, V, A_R, A_R / 4, C) == approx(12.76e6, rel=5e-4)
    assert r.rim_stress_at_spoke(RHO, V, C, R, T, a) == approx(38.9e6, rel=2e-3)
    assert r.rim_stress_between(RHO, V, C, R, T, a) == approx(31.74e6, rel=5e-4)


def test_example_19_1_with_its_own_radius():
    """The bending of the rim grows with the square of the radius: 12.76 times 5.858 over 6.253."""
    _, f_1, f_2 = six()
    C = r.spoke_constant(f_1, f_2, R, T, A_R, A_R / 4)
    assert C == approx(20280 * 1.2**2 / 150**2 + 0.957 + 4, rel=2e-3)
    assert r.spoke_stress(RHO, V, A_R, A_R / 4, C) == approx(12.76e6 * 5.858 / 6.253, rel=2e-3)
