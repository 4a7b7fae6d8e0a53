"""Pressed rings against a boundary-value solver: radial equilibrium of both rings, solved without any formula.

u'' + u'/r - u/r2 = -(1 - nu2) rho omega2 r / E in hub and shaft (plane stress); inside and outside free, at the
joint equal pressure and displacements that differ by the interference. scipy.integrate.solve_bvp.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.integrate import quad, solve_bvp

from layshaft.elements import clamp_hub, cross_pin, press_fit, taper_clamp
from layshaft.mechanics import rings
from layshaft.mechanics.margin import UNLOADED

GPA, MPA, MM, UM = 1e9, 1e6, 1e-3, 1e-6


def pressed(U, d_i, d, D, hub, shaft, omega=0.0):
    """Pressure at the joint, hoop stress at the bore of the hub and at the bore of the shaft."""
    a, c, b = d_i / 2, d / 2, D / 2
    scale = U / 2 if U else 1e-5

    def slope(x, y):
        """x from 0 to 1 runs through both rings at once; y: u and u' of shaft, u and u' of hub, in units of scale."""
        found = []
        for (rho, E, nu), r0, r1, u, du in ((shaft, a, c, y[0], y[1]), (hub, c, b, y[2], y[3])):
            r, length = r0 + x * (r1 - r0), r1 - r0
            body = (1 - nu**2) * rho * omega**2 * r / E / scale
            found += [du * length, (u / r**2 - du / r - body) * length]
        return np.array(found)

    def radial(of, r, u, du):
        _, E, nu = of
        return E / (1 - nu**2) * (du + nu * u / r) * scale

    def ends(y0, y1):
        inner, joint = radial(shaft, a, y0[0], y0[1]), radial(shaft, c, y1[0], y1[1])
        bore, outer = radial(hub, c, y0[2], y0[3]), radial(hub, b, y1[2], y1[3])
        return np.array([inner / 1e8, outer / 1e8, (joint - bore) / 1e8, (y0[2] - y1[0]) - U / 2 / scale])

    x = np.linspace(0, 1, 60)
    found = solve_bvp(slope, ends, x, np.ones((4, x.size)), tol=1e-8, max_nodes=20000)
    assert found.success
    u, du = found.y[2, 0], found.y[3, 0]
    _, E, nu = hub
    hoop = E / (1 - nu**2) * (u / c + nu * du) * scale
    _, E_s, nu_s = shaft
    hoop_shaft = E_s / (1 - nu_s**2) * (found.y[0, 0] / a + nu_s * found.y[1, 0]) * scale
    return -radial(hub, c, u, du), hoop, hoop_shaft


IRON, STEEL = (7200.0, 105 * GPA, 0.26), (7850.0, 206 * GPA, 0.3)
SIZES = (12 * MM, 40 * MM, 75 * MM)


def formula_pressure(U):
    d_i, d, D = SIZES
    return rings.joint_pressure(U, d, rings.hub_flexibility(D, d, IRON[2]), IRON[1],
                                rings.shaft_flexibility(d, d_i, STEEL[2]), STEEL[1])


def test_pressure_and_stress_of_iron_on_a_hollow_steel_shaft():
    p, hoop, hoop_shaft = pressed(45 * UM, *SIZES, IRON, STEEL)
    assert formula_pressure(45 * UM) == approx(p, rel=1e-5)
    assert rings.bore_hoop(p, SIZES[2], SIZES[1]) == approx(hoop, rel=1e-5)
    assert rings.shaft_equivalent(p, SIZES[1], SIZES[0]) == approx(-hoop_shaft, rel=1e-5)


def test_what_turning_takes_of_the_pressure():
    omega = 900.0
    lost = press_fit.turning_loss(omega, SIZES[1], SIZES[0], SIZES[2], *IRON, *STEEL)
    p, hoop, _ = pressed(45 * UM, *SIZES, IRON, STEEL, omega)
    still, hoop_still, _ = pressed(45 * UM, *SIZES, IRON, STEEL)
    assert 0.9 < p / still < 0.99  # the speed must matter
    assert formula_pressure(45 * UM - lost) == approx(p, rel=1e-5)
    turning = rings.turning_hoop(IRON[0], omega, SIZES[2], SIZES[1], IRON[2])
    assert rings.bore_hoop(p, SIZES[2], SIZES[1]) + turning == approx(hoop, rel=1e-5)
    assert press_fit.hoop_while_turning(rings.bore_hoop(p, SIZES[2], SIZES[1]), turning) == approx(hoop, rel=1e-5)
    assert hoop_still != approx(hoop, rel=1e-3)


def test_equivalent_stresses_by_the_eigenvalues():
    """Distortion energy from the deviator of the full tensor."""
    sigma_t, p = 180 * MPA, 70 * MPA
    tensor = np.diag([sigma_t, -p, 0.0])
    deviator = tensor - np.trace(tensor) / 3 * np.eye(3)
    assert rings.bore_equivalent(sigma_t, p) == approx(math.sqrt(1.5 * np.sum(deviator**2)))
    assert rings.shaft_equivalent(p, 0.03, 0.0) == approx(p)
    assert rings.shaft_equivalent(p, 0.03, 1e-6) == approx(2 * p)
    assert math.isnan(rings.shaft_equivalent(p, 0.03, 0.03)) and math.isnan(rings.shaft_equivalent(p, 0.03, math.nan))


def test_heat_takes_from_a_hub_that_grows_more():
    """Aluminium on steel, 40 mm, 23.5 and 11.5e-6 per K, 60 K warmer: 28.8 um, by 40 mm x 12e-6 x 60."""
    hot, cold = (press_fit.heat_loss(40 * MM, 23.5e-6, 11.5e-6, t, 20.0) for t in (80.0, -10.0))
    assert hot == approx(28.8 * UM) and cold == approx(-14.4 * UM)
    assert press_fit.worst_loss(hot, cold) == approx(28.8 * UM)
    assert press_fit.worst_gain(hot, cold) == approx(14.4 * UM)
    assert press_fit.worst_loss(-5 * UM, -7 * UM) == 0 == press_fit.worst_gain(5 * UM, 7 * UM)
    assert press_fit.worst_loss(-5 * UM, 7 * UM) == press_fit.worst_gain(-7 * UM, 5 * UM) == approx(7 * UM)
    assert press_fit.heat_loss(40 * MM, 1e-5, 1e-5, math.nan, 20.0) == 0
    assert press_fit.most_interference(50 * UM, 14.4 * UM) == approx(64.4 * UM)
    assert press_fit.working_interference(50 * UM, 8 * UM, 28.8 * UM, 1.2 * UM) == approx(12 * UM)
    assert [press_fit.too_hot(t, 5.0) for t in (234.0, 236.0)] == [0, 1]


def test_friction_of_a_joint_by_integration():
    mu, p, d, L = 0.14, 60 * MPA, 40 * MM, 35 * MM
    torque = quad(lambda _: mu * p * L * (d / 2) ** 2, 0, 2 * math.pi)[0]
    force = quad(lambda _: mu * p * L * d / 2, 0, 2 * math.pi)[0]
    assert rings.friction_torque(mu, p, d, L) == approx(torque)
    assert rings.press_force(mu, p, d, L) == approx(force)
    assert rings.joint_demand(30.0, 2000.0, 0.04) == approx(50.0)  # 30 and 40 N m at right angles


@pytest.mark.parametrize(("spread", "c"), [(lambda a: 1.0, math.pi / 2), (lambda a: math.cos(a), 4 / math.pi)])
def test_clamp_torque_by_integration(spread, c):
    """Pressure over half the bore, scaled to the closing force; the other half presses alike."""
    mu, d, L, F = 0.12, 25 * MM, 40 * MM, 20e3
    closing = quad(lambda a: spread(a) * math.cos(a) * d / 2 * L, -math.pi / 2, math.pi / 2)[0]
    turning = 2 * quad(lambda a: mu * spread(a) * (d / 2) ** 2 * L, -math.pi / 2, math.pi / 2)[0]
    assert clamp_hub.clamp_torque(c, mu, F, d) == approx(turning * F / closing)
    assert clamp_hub.clamp_torque(1.0, mu, F, d) == approx(2 * mu * F * d / 2)  # two lines
    assert clamp_hub.even_torque(mu, F, d) == approx(math.pi / 2 * mu * F * d)
    assert clamp_hub.clamp_pressure(F, d, L) == approx(20 * MPA)
    assert clamp_hub.closing_force(3.0, 5e3, 50 * MM, 20 * MM) == approx(3 * 5e3 * 50 / 20)  # moments about the hinge
    assert [clamp_hub.counts_on_even(k) for k in (1.0, 1.04)] == [0, 1]


def test_cross_pin_by_integration():
    """Linear pressure along the hole of the shaft gives the torque back; the hub's walls at their mean radius too."""
    T, d_p, d, D = 60.0, 6 * MM, 25 * MM, 50 * MM
    p = cross_pin.shaft_pressure(T, d_p, d, 0.0)
    assert 2 * quad(lambda x: p * x / (d / 2) * d_p * x, 0, d / 2)[0] == approx(T)
    q = cross_pin.hub_pressure(T, d_p, D, d, 0.0)
    assert 2 * q * d_p * (D - d) / 2 * (D + d) / 4 == approx(T)
    Q = cross_pin.plane_force(60.0, 0.025, 3600.0)
    assert Q == approx(3000.0)  # 2400 N round, 1800 N along
    assert cross_pin.pin_shear(Q, d_p) == approx(3000 / (math.pi * 9e-6))
    # 9 kN along the shaft press on 2 walls of 12.5 mm and on 25 mm of shaft, square to what the torque presses with.
    assert cross_pin.hub_pressure(0.0, d_p, D, d, 9e3) == approx(9e3 / (2 * 12.5 * 6) * MPA)
    assert cross_pin.hub_pressure(T, d_p, D, d, 9e3) == approx(math.sqrt(q**2 + (60 * MPA) ** 2))
    assert cross_pin.shaft_pressure(T, d_p, d, 9e3) == approx(math.sqrt(p**2 + (60 * MPA) ** 2))
    assert cross_pin.shear_yield(300 * MPA) == approx(300 * MPA / 3**0.5)
    assert math.isnan(cross_pin.hub_pressure(T, d_p, d, d, 0.0))


def test_shares_of_a_taper_clamp():
    u = taper_clamp.combined_share(taper_clamp.torque_share(150.0, 500.0), taper_clamp.force_share(4e3, 10e3))
    assert u == approx(0.5)
    assert taper_clamp.use_margin(u) == approx(2.0) and taper_clamp.use_margin(0.0) == approx(UNLOADED)
    assert taper_clamp.force_share(0.0, math.nan) == 0 and math.isnan(taper_clamp.force_share(math.nan, 1.0))


@given(st.floats(5, 200), st.floats(1.05, 4), st.floats(0, 0.9), st.floats(1, 200))
def test_more_interference_presses_harder_and_a_thicker_hub_too(d, ratio, hollow, micro):
    d, U = d * MM, micro * UM
    here, more, thicker = (
        rings.joint_pressure(u, d, rings.hub_flexibility(D, d, 0.3), 206 * GPA,
                             rings.shaft_flexibility(d, hollow * d, 0.3), 206 * GPA)
        for u, D in ((U, ratio * d), (1.1 * U, ratio * d), (U, 1.1 * ratio * d)))
    assert more == approx(1.1 * here) and thicker > here
