"""Bodies against integrals of thin slices, by Gauss quadrature from numpy.

The oracle knows the outline only: slices across the axis, each a disc, ring or rectangle.
"""

import numpy as np
from pytest import approx

from layshaft.mechanics import inertia, solids
from layshaft.mechanics import sections as s

NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def integral(function, low, high):
    x = (high - low) / 2 * NODES + (high + low) / 2
    return (high - low) / 2 * (WEIGHTS * function(x)).sum()


def revolved(radius, h):
    """V, z_c, moments about and across the axis of a body of unit density, outline radius(z), middle of mass."""
    V = integral(lambda z: np.pi * radius(z) ** 2, 0, h)
    z_c = integral(lambda z: np.pi * radius(z) ** 2 * z, 0, h) / V
    J = integral(lambda z: np.pi * radius(z) ** 4 / 2, 0, h)
    across = integral(lambda z: np.pi * radius(z) ** 4 / 4 + np.pi * radius(z) ** 2 * (z - z_c) ** 2, 0, h)
    return V, z_c, J, across


def test_cone():
    V, z_c, J, across = revolved(lambda z: 3 * (1 - z / 5), 5)
    found = [solids.cone_volume(3.0, 5.0), solids.cone_centre(5.0), solids.cone(V, 3.0), solids.cone_across(V, 3.0, 5.0)]
    assert found == approx([V, z_c, J, across])


def test_cut_cone():
    V, z_c, J, across = revolved(lambda z: 3.1 - 1.9 * z / 5, 5)
    found = [solids.frustum_volume(3.1, 1.2, 5.0), solids.frustum_centre(3.1, 1.2, 5.0), solids.frustum(V, 3.1, 1.2),
             solids.frustum_across(V, 3.1, 1.2, 5.0)]
    assert found == approx([V, z_c, J, across])


def test_a_cut_cone_with_an_equal_top_is_a_cylinder():
    assert solids.frustum(2.0, 3.0, 3.0) == approx(inertia.ring(2.0, 6.0, 0.0))
    assert solids.frustum_across(2.0, 3.0, 3.0, 5.0) == approx(solids.tube_across(2.0, 6.0, 0.0, 5.0))


def test_half_sphere():
    V, z_c, J, across = revolved(lambda z: np.sqrt(2.2**2 - z**2), 2.2)
    found = [solids.half_sphere_volume(2.2), solids.half_sphere_centre(2.2), solids.half_sphere(V, 2.2),
             solids.half_sphere_across(V, 2.2)]
    assert found == approx([V, z_c, J, across])
    two = 2 * inertia.parallel_axis(across, V, z_c)
    assert two == approx(inertia.sphere(2 * V, 4.4))


def test_tube_across_by_slices():
    V = np.pi / 4 * (4**2 - 3**2) * 7
    across = integral(lambda z: np.pi * (2**4 - 1.5**4) / 4 + V / 7 * z**2, -3.5, 3.5)
    assert solids.tube_across(V, 4.0, 3.0, 7.0) == approx(across)


def test_block_by_slices():
    V = solids.block_volume(2.5, 3.0, 4.0)
    assert V == approx(30.0)
    assert solids.block(V, 2.5, 3.0) == approx(integral(lambda x: 4 * (2.5 * x**2 + 2.5**3 / 12), -1.5, 1.5))


def test_torus_across_by_slices():
    """Slices across the axis are rings; those along it are summed round the turn."""
    def ring(z):
        half = np.sqrt(0.25 - z**2)
        r, R = 2.1 - half, 2.1 + half
        return np.pi * (R**4 - r**4) / 4 + np.pi * (R**2 - r**2) * z**2

    angle = lambda u: ring(0.5 * np.sin(u)) * 0.5 * np.cos(u)  # noqa: E731 - smooth at both ends
    m = inertia.torus_volume(2.1, 0.5)
    assert solids.torus_across(m, 2.1, 0.5) == approx(integral(angle, -np.pi / 2, np.pi / 2))


def test_bar_and_ring_of_any_section():
    """An I of 70 x 120 swept along 2 m and round 0.5 m; cylinders by radius give the ring again."""
    A, I_x = s.flanged_area(0.07, 0.12, 0.006, 0.009), s.flanged_moment(0.07, 0.12, 0.006, 0.009)
    I_y = s.flanged_moment_upright(0.07, 0.12, 0.006, 0.009)
    assert solids.prism_volume(A, 2.0) == approx(2 * A)
    assert solids.prism(3.0, s.polar_moment(I_x, I_y), A) == approx(3 * (I_x + I_y) / A)
    width = lambda r: np.where(abs(r - 0.5) > 0.051, 0.07, 0.006)  # noqa: E731 - flanges lie inside and outside
    V = J = 0.0
    for low, high in ((0.44, 0.449), (0.449, 0.551), (0.551, 0.56)):
        V += integral(lambda r: 2 * np.pi * r * width(r), low, high)
        J += integral(lambda r: 2 * np.pi * r**3 * width(r), low, high)
    assert solids.revolved_volume(A, 0.5) == approx(V)
    assert solids.revolved(V, 0.5, I_x, A) == approx(J)


def test_equal_bodies_round_the_axis():
    """Six spokes as thick bars against the sum over each; a hole as a mass below zero."""
    own = solids.tube_across(0.4, 0.016, 0.0, 0.2)
    assert solids.round_the_axis(6.0, own, 0.4, 0.15) == approx(6 * inertia.parallel_axis(own, 0.4, 0.15))
    solid = inertia.ring(10.0, 0.4, 0.0)
    holes = solids.round_the_axis(4.0, -inertia.ring(0.3, 0.05, 0.0), -0.3, 0.12)
    assert solid + holes == approx(0.2 - 4 * (0.3 * 0.05**2 / 8 + 0.3 * 0.12**2))


def test_principal_moments_of_a_slanting_bar():
    """A rod of 3 kg, 2 m, at 30 degrees: nothing about itself, m L^2 / 12 across."""
    x, y = np.cos(np.pi / 6), np.sin(np.pi / 6)
    J = 3 * 2**2 / 12
    assert solids.largest_principal(J * y**2, J * x**2, J * x * y) == approx(J)
    assert solids.smallest_principal(J * y**2, J * x**2, J * x * y) == approx(0, abs=1e-12)
    both = np.linalg.eigvalsh([[5.0, -1.5], [-1.5, 2.0]])
    assert [solids.smallest_principal(5.0, 2.0, 1.5), solids.largest_principal(5.0, 2.0, 1.5)] == approx(both)
