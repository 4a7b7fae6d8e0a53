"""Factors of ISO 6336, each by itself: against drawn teeth, springs and cylinders, and worked out by hand.

What the standard prints as constants is from memory; numbers here follow from them by pencil.
"""

import numpy as np
from pytest import approx

from layshaft.elements.gear_pair import iso_6336 as iso
from layshaft.elements.gear_pair import iso_6336_flank as flank
from layshaft.elements.gear_pair import iso_6336_loads as loads
from layshaft.elements.gear_pair import iso_6336_root as root
from layshaft.elements.gear_pair import rate
from layshaft.listings.tables import table

ALPHA = np.radians(20)
MPA = 1e6


def test_root_against_a_rack_drawn_step_by_step():
    """The fillet is the envelope of the rack's tip circle; where its tangent leans by 30 degrees the tooth is cut.

    Drawn for 20 teeth with x 0.3 and 25 degrees, by rolling the rack and looking for the tangent.
    """
    z, x, alpha = 20.0, 0.3, np.radians(25)
    tip = 0.38  # radius of the rack's tip, its centre 1.25 - 0.38 below the rack's line, and this far from mid-space
    across = np.pi / 4 - (1.25 * np.tan(alpha) + (1 - np.sin(alpha)) * tip / np.cos(alpha))
    depth = 1.25 - tip - x
    roll = np.linspace(-1.5, 1.5, 400_001)
    # Centre of the tip circle in the gear's frame, while the rack moves by r roll and the gear turns by roll.
    r = z / 2
    cx, cy = across - r * roll, r - depth
    gx, gy = cx * np.cos(roll) + cy * np.sin(roll), -cx * np.sin(roll) + cy * np.cos(roll)
    vx, vy = np.gradient(gx, roll), np.gradient(gy, roll)
    speed = np.hypot(vx, vy)
    px, py = gx + tip * vy / speed, gy - tip * vx / speed
    qx, qy = gx - tip * vy / speed, gy + tip * vx / speed
    deepest = int(np.argmin(np.hypot(gx, gy)))
    inner = np.hypot(px, py)[deepest] < np.hypot(qx, qy)[deepest]
    fx, fy = (px, py) if inner else (qx, qy)
    # Middle of the tooth: half a pitch from mid-space.
    half = np.pi / z
    mx, my = fx * np.cos(half) - fy * np.sin(half), fx * np.sin(half) + fy * np.cos(half)
    tx, ty = np.gradient(mx, roll), np.gradient(my, roll)
    lean = np.arctan2(np.abs(tx), np.abs(ty)) - np.radians(30)
    there = np.nonzero((lean[1:] * lean[:-1] <= 0) & (mx[1:] < 0) & (np.abs(roll[1:]) < 0.5))[0]
    at = int(there[np.argmin(np.abs(mx[there]))])  # what the rack leaves of the tooth
    G = root.fillet_value(x)
    theta = root.tangent_angle(G, z, root.tooth_value(z, alpha))
    assert root.tangent_residual(theta, G, z, root.tooth_value(z, alpha)) == approx(0, abs=1e-12)
    assert root.root_thickness(z, theta, G) == approx(2 * abs(mx[at]), rel=2e-4)
    curve = np.abs(tx * np.gradient(ty, roll) - ty * np.gradient(tx, roll)) / np.hypot(tx, ty) ** 3
    assert root.root_radius(z, theta, G) == approx(1 / curve[at], rel=2e-3)
    # The force at the tip stands at right angles to the flank there and crosses the middle of the tooth.
    base, outer = r * np.cos(alpha), r + 1 + x
    alpha_e = root.tip_pressure_angle(z, 2 * outer, z, 1.0, alpha)
    assert alpha_e == approx(np.arccos(base / outer))
    thick = (np.pi / 2 + 2 * x * np.tan(alpha)) / z + (np.tan(alpha) - alpha) - (np.tan(alpha_e) - alpha_e)
    alpha_F = root.force_angle(alpha_e, z, x, alpha)
    assert alpha_F == approx(alpha_e - thick)
    assert root.lever(z, alpha, alpha_e, alpha_F, theta, G) == approx(base / np.cos(alpha_F) - my[at], rel=3e-4)


def test_tip_inside_the_base_circle_of_the_gear_across():
    assert np.isnan(root.tip_pressure_angle(20.0, 18.0, 20.0, 1.0, ALPHA))
    assert root.tip_pressure_angle(20.0, 48.0, 44.0, 2.0, ALPHA) == approx(np.arccos(40 * np.cos(ALPHA) / 44))


def test_form_and_notch_from_lever_and_thickness():
    assert root.form(1.8, 2.1, 0.5, ALPHA) == approx(6 * 1.8 * np.cos(0.5) / (2.1**2 * np.cos(ALPHA)))
    assert root.notch(1.8, 2.1, 0.5) == approx((1.2 + 0.13 * 2.1 / 1.8) * 2.1 ** (1 / (1.21 + 2.3 * 1.8 / 2.1)))
    assert np.isnan(root.notch(1.8, 0.9, 0.5))  # the notch parameter must lie between 1 and 8
    assert np.isnan(root.notch(1.8, 10.0, 0.5))
    assert np.isfinite(root.notch(1.8, np.array([1.01, 7.99]), 0.5)).all()
    assert np.isnan(root.notch(1.8, np.array([0.99, 8.01]), 0.5)).all()
    assert root.ring_notch(2.0, 2.4) == approx((1.2 + 0.13 * 1.2) * 8 ** (1 / (1.21 + 2.3 / 1.2)))
    assert root.rack_lever(-117.0, -120.0, 2.0, -0.4, ALPHA) == approx(
        0.75 + 1.65 - (np.pi / 4 - 1.15 * np.tan(ALPHA)) * np.tan(ALPHA) - 0.075)
    assert (root.of_its_kind(-20.0, 2.0, 3.0), root.of_its_kind(20.0, 2.0, 3.0)) == (2, 3)


def test_sharing_sizes_and_lives_of_the_root():
    assert root.sharing(1.6, 0.0) == approx(0.25 + 0.75 / 1.6)
    assert root.sharing(1.5, 0.3) == approx(0.25 + 0.75 * np.cos(0.3) ** 2 / 1.5)
    assert root.sharing(2.3, 0.3) == approx(0.625)
    assert np.isnan(root.sharing(np.array([0.99, 2.51]), 0.0)).all()
    assert root.root_size(np.array([0.004, 0.01, 0.04]), 1.0) == approx([1, 0.97, 0.85])
    assert root.root_size(np.array([0.004, 0.01, 0.04]), 0.0) == approx([1, 0.95, 0.8])
    assert root.root_life(np.array([1e3, 1e4, 3e6, 1e10]), 2.5, 1e4) == approx([2.5, 2.5, 1, 0.85], rel=1e-3)
    assert root.root_life(1e5, 2.5, 1e4) == approx((3e6 / 1e5) ** 0.1606, rel=1e-3)  # slope as printed
    assert root.root_life(1e5, 2.5, 1e3) == approx((3e6 / 1e5) ** 0.1144, rel=1e-3)
    assert root.root_life(1e8, 2.5, 1e3) == approx((3e6 / 1e8) ** 0.02)
    assert np.isnan(root.root_life(2e10, 2.5, 1e4))
    assert root.root_life(np.array([2.99e6, 3.01e6]), 2.5, 1e4) == approx([1, 1], abs=6e-4)
    assert root.root_life(3.01e6, 2.5, 1e4) < 1 < root.root_life(2.99e6, 2.5, 1e4)


def test_stresses_of_the_root():
    assert root.nominal_root(3000.0, 0.03, 0.002, 2.6, 1.6, 0.7, 0.9) == approx(3000 / 6e-5 * 2.6 * 1.6 * 0.7 * 0.9)
    assert root.root_stress(50.0, 1.25, 1.1, 1.4, 1.2) == approx(50 * 1.25 * 1.1 * 1.4 * 1.2)
    assert root.root_strength(200.0, 1.3, 0.95, 0.97) == approx(400 * 1.3 * 0.95 * 0.97)
    assert root.held_stress(3000.0, 0.03, 0.002, 2.6, 1.4) == approx(3000 / 6e-5 * 2.6 * 1.4)
    assert (root.of_the_weaker(1.2, 1.1, 5.0, 6.0), root.of_the_weaker(1.1, 1.1, 5.0, 6.0)) == (6, 5)


def test_pressures_of_the_flank():
    assert flank.helix_factor(np.radians(20)) == approx(1.0316, abs=5e-5)
    assert np.isnan(flank.helix_factor(np.radians(30.1)))
    assert flank.helix_factor(np.radians(30)) == approx(1 / np.sqrt(np.cos(np.pi / 6)))
    assert np.isnan(flank.elasticity_factor(206e9, 0.51))
    assert flank.elasticity_factor(206e9, 0.5) == approx(np.sqrt(206e9 / (1.5 * np.pi)))
    assert flank.contact_factor(1.6, 0.4) == approx(np.sqrt(0.8 * 0.6 + 0.4 / 1.6))
    assert np.isnan(flank.contact_factor(np.array([0.99, 2.51]), 0.5)).all()
    nominal = flank.nominal_pressure(2.4, 6e3, 0.8, 1.02, 2000.0, 0.05, 0.03, 20.0, 60.0)
    assert nominal == approx(2.4 * 6e3 * 0.8 * 1.02 * np.sqrt(2000 / 0.0015 * (1 + 1 / 3)))
    ring = flank.nominal_pressure(2.4, 6e3, 0.8, 1.02, 2000.0, 0.05, 0.03, 20.0, -60.0)
    assert ring == approx(nominal / np.sqrt(2))  # curves that hug: 2/3 instead of 4/3
    assert flank.pressure(1.05, 300.0, 1.25, 1.1, 1.4, 1.2) == approx(315 * np.sqrt(1.25 * 1.1 * 1.4 * 1.2))
    assert flank.limit_of_hardness(1.3, 188.0, 240.0, 200.0, 360.0) == approx(500 * MPA)
    assert np.isnan(flank.limit_of_hardness(1.3, 188.0, np.array([199.0, 361.0]), 200.0, 360.0)).all()
    assert flank.flank_strength(500.0, 1.2, 0.85, 1.1) == approx(500 * 1.2 * 0.85 * 1.1)


def test_pressure_of_two_cylinders_after_hertz():
    """At the pitch point two cylinders touch; their radii are d_w sin(alpha_w)/2: p = sqrt(F E'/(2 pi b R))."""
    E, nu, F_t, b = 206e9, 0.3, 2000.0, 0.03
    r_1, r_2 = 0.06 * np.sin(ALPHA) / 2, 0.18 * np.sin(ALPHA) / 2
    hertz = np.sqrt(F_t / np.cos(ALPHA) / b * E / (2 * np.pi * (1 - nu**2)) * (1 / r_1 + 1 / r_2))
    ours = flank.nominal_pressure(flank.zone_factor(0.0, ALPHA, ALPHA), flank.elasticity_factor(E, nu), 1.0, 1.0,
                                  F_t, 0.06, b, 20.0, 60.0)
    assert ours == approx(hertz, rel=1e-12)


def test_pressure_at_the_inner_end_of_single_contact():
    """The same two cylinders where the second pair lets go: radii from the drawn line of action."""
    z, m = (20.0, 60.0), 3.0
    r = [n * m / 2 for n in z]
    base, tip, p_b = [x * np.cos(ALPHA) for x in r], [x + m for x in r], np.pi * m * np.cos(ALPHA)
    line = sum(r) * np.sin(ALPHA)
    end_1, end_2 = (np.sqrt(t**2 - b**2) for t, b in zip(tip, base, strict=True))
    eps = (end_1 + end_2 - line) / p_b
    rho = end_1 - p_b  # one base pitch before the pinion's tip leaves
    there, pitch = (1 / s + 1 / (line - s) for s in (rho, r[0] * np.sin(ALPHA)))
    M = flank.single_contact(ALPHA, 2 * tip[0], 2 * base[0], 2 * tip[1], 2 * base[1], z[0], z[1], eps)
    assert M == approx(np.sqrt(there / pitch), rel=1e-12)
    assert flank.single_contact_factor(M, 0.0) == max(M, 1)
    assert flank.single_contact_factor(1.2, 0.25) == approx(1.15)
    assert flank.single_contact_factor(1.2, 1.5) == flank.single_contact_factor(1.2, 1.0) == 1
    assert flank.single_contact_factor(0.8, 0.25) == flank.single_contact_factor(0.8, 1.5) == 1
    assert flank.single_contact_factor(0.8, 0.0) == 1
    assert np.isnan(flank.single_contact(ALPHA, 50.0, 56.0, 186.0, 169.0, *z, eps))
    assert np.isnan(flank.single_contact(ALPHA, 66.0, 56.0, 160.0, 169.0, *z, eps))


def test_pressure_at_the_outer_end_of_single_contact():
    """20 teeth shifted by 0.5 on 21 without: the last point of single contact lies nearer to the wheel's base circle."""
    z, m, x = (20.0, 21.0), 3.0, (0.5, 0.0)
    base, tip = [n * m / 2 * np.cos(ALPHA) for n in z], [n * m / 2 + m * (1 + s) for n, s in zip(z, x, strict=True)]
    p_b, alpha_wt = np.pi * m * np.cos(ALPHA), np.radians(22.2)
    line = sum(base) * np.tan(alpha_wt)
    end_1, end_2 = (np.sqrt(t**2 - b**2) for t, b in zip(tip, base, strict=True))
    eps = (end_1 + end_2 - line) / p_b
    rho = end_2 - p_b  # one base pitch before the wheel's tip leaves, seen from the other side
    there, pitch = (1 / s + 1 / (line - s) for s in (rho, base[1] * np.tan(alpha_wt)))
    sizes = (alpha_wt, 2 * tip[0], 2 * base[0], 2 * tip[1], 2 * base[1], *z, eps)
    assert flank.single_contact_of_wheel(*sizes) == approx(np.sqrt(there / pitch), rel=1e-12)
    assert flank.single_contact_of_wheel(*sizes) > flank.single_contact(*sizes)
    assert flank.single_contact_of_wheel(*sizes[:6], -60.0, eps) == 1
    assert np.isnan(flank.single_contact_of_wheel(ALPHA, 50.0, 56.0, 186.0, 169.0, 20.0, 60.0, 1.5))
    assert np.isnan(flank.single_contact_of_wheel(ALPHA, 66.0, 56.0, 160.0, 169.0, 20.0, 60.0, 1.5))


def test_lives_of_the_flank():
    life = flank.flank_life(np.array([1e4, 1e5, 5e7, 1e10]), 1.6, 1e5, 5e7)
    assert life == approx([1.6, 1.6, 1, 0.85])
    assert flank.flank_life(1e6, 1.6, 1e5, 5e7) == approx(50**0.0756, rel=1e-3)  # slopes as printed
    assert flank.flank_life(1e9, 1.6, 1e5, 5e7) == approx((5e7 / 1e9) ** 0.0306, rel=2e-3)
    assert flank.flank_life(1e6, 1.3, 1e5, 2e6) == approx(2**0.0875, rel=2e-3)
    assert np.isnan(flank.flank_life(2e10, 1.6, 1e5, 5e7))


# Load factors ------------------------------------------------------------------------------------


def test_dynamic_factor_step_by_step():
    """4 m/s, 20 and 60 teeth, class 7, 200 N/mm: (26.8/200 + 0.0193) 0.7589 (2.071 - 0.357 x 0.7589)."""
    X = loads.speed_number(4.0, 20.0, 60.0)
    assert X == approx(4 * 0.2 * np.sqrt(9 / 10))
    assert loads.spur_dynamic(X, 26.8, 200e3) == approx(1 + (0.134 + 0.0193) * X * (2.071 - 0.357 * X))
    assert loads.helical_dynamic(X, 23.9, 200e3) == approx(1 + (0.1195 + 0.0087) * X * (2.071 - 0.357 * X))
    assert loads.spur_dynamic(0.1, 26.8, 20e3) == approx(1 + (0.268 + 0.0193) * 0.2)
    assert loads.helical_dynamic(0.1, 23.9, 20e3) == approx(1 + (0.239 + 0.0087) * 0.2)
    assert loads.spur_dynamic(0.2, 26.8, 20e3) == approx(1 + (0.268 + 0.0193) * 0.4)
    assert loads.helical_dynamic(0.2, 26.8, 20e3) == approx(1 + (0.268 + 0.0087) * 0.4)
    assert loads.dynamic_factor(1.3, 1.1, 0.25) == approx(1.25)
    assert loads.dynamic_factor(1.3, 1.1, 2.0) == approx(1.1)
    assert np.isnan(loads.speed_number(51.0, 20.0, 60.0))
    assert np.isfinite(loads.speed_number(49.9, 20.0, 60.0))


def test_deviations_of_class_5_and_9():
    """ISO 1328-1:1995: 0.3 (m + 0.4 sqrt d) + 4 and 0.07 sqrt d + 0.45 sqrt b + 3 micrometres, root 2 a class."""
    assert loads.pitch_deviation(3e-3, -0.18, 5.0) == approx((0.9 + 0.12 * np.sqrt(180) + 4) * 1e-6)
    assert loads.pitch_deviation(3e-3, 0.18, 9.0) == approx((0.9 + 0.12 * np.sqrt(180) + 4) * 4e-6)
    assert loads.slope_deviation(-0.18, 0.03, 5.0) == approx((0.07 * np.sqrt(180) + 0.45 * np.sqrt(30) + 3) * 1e-6)
    assert loads.slope_deviation(0.18, 0.03, 8.0) == approx(
        (0.07 * np.sqrt(180) + 0.45 * np.sqrt(30) + 3) * 2**1.5 * 1e-6)
    assert loads.base_pitch_deviation(20e-6, 0.4) == approx(20e-6 * np.cos(0.4))


def test_stiffness_of_teeth():
    """c' = 0.8 C_B cos(beta)/q' with 17 and 40 teeth and shifts; about 14 N/(mm um) for steel gears."""
    q = (0.04723 + 0.15551 / 17 + 0.25791 / 40 - 0.00635 * 0.3 - 0.11654 * 0.3 / 17 - 0.00193 * -0.2
         - 0.24188 * -0.2 / 40 + 0.00529 * 0.09 + 0.00182 * 0.04)
    beta, alpha = 0.2, np.radians(18)
    full = 0.8 * 0.975 * (1 - 0.04) * np.cos(beta) / q * 1e9
    assert loads.tooth_stiffness(17.0, 40.0, 0.3, -0.2, beta, alpha, 150e3) == approx(full)
    assert loads.tooth_stiffness(17.0, 40.0, 0.3, -0.2, beta, alpha, 30e3) == approx(0.3 * full)
    assert 11e9 < loads.tooth_stiffness(20.0, 60.0, 0.0, 0.0, 0.0, ALPHA, 150e3) < 15e9
    ring = 0.04723 + 0.15551 / 17 - 0.00635 * 0.3 - 0.11654 * 0.3 / 17 + 0.00529 * 0.09
    assert loads.tooth_stiffness(17.0, -40.0, 0.3, -0.2, beta, alpha, 150e3) == approx(full * q / ring)
    assert loads.mesh_stiffness(14.0, 1.6) == approx(14 * 1.45)
    assert loads.opening_stiffness(20.0) == approx(17.0)
    assert loads.virtual_teeth(20.0, 0.3, 0.32) == approx(20 / np.cos(0.3) ** 2 / np.cos(0.32))


def test_face_load_as_a_row_of_springs():
    """A rigid edge that opens evenly, pressed on springs: largest over mean load, worked out by summing the springs."""
    F_y, c, b = 20e-6, 12e9, 1.0
    y = np.linspace(0, 1, 200_001)
    for mean in (4e5, 1.2e5, 2e4):
        low, high = 0.0, 1e-3
        for _ in range(60):  # the depth at which the springs together carry the load
            depth = (low + high) / 2
            load = np.trapezoid(np.maximum(c * (depth - F_y * y), 0), y * b)
            low, high = (depth, high) if load < mean else (low, depth)
        assert loads.opened_face(F_y, c, mean) == approx(c * depth / mean, rel=1e-4)
    assert loads.slope_opening(-2e-4, 0.03) == approx(6e-6)
    assert loads.opening(6e-6, 20e-6) == approx(1.33 * 6e-6 + 20e-6)
    assert loads.opening_left(30e-6, 10e-6, 16e-6) == approx(17e-6)
    assert loads.dynamic_line_load(2e5, 1.1) == approx(2.2e5)


def test_running_in():
    assert loads.worn_opening(40e-6, 400 * MPA, 1.0, 3.0) == approx(32e-6)
    assert loads.worn_opening(40e-6, 200 * MPA, 1.0, 3.0) == approx(40e-6)
    assert loads.worn_opening(150e-6, 400 * MPA, 1.0, 7.0) == approx(64e-6)
    assert loads.worn_opening(150e-6, 400 * MPA, 1.0, 12.0) == approx(32e-6)
    assert loads.worn_opening(150e-6, 400 * MPA, 1.0, 4.99) == approx(120e-6)
    for v, worn in ((5.1, 64e-6), (4.9, 120e-6), (9.9, 64e-6), (10.1, 32e-6)):
        assert loads.worn_opening(150e-6, 400 * MPA, 1.0, v) == approx(worn)
    assert loads.worn_opening(20e-6, 1300 * MPA, 0.0, 3.0) == approx(3e-6)
    assert loads.worn_opening(80e-6, 1300 * MPA, 0.0, 3.0) == approx(6e-6)
    assert loads.worn_pitch(20e-6, 400 * MPA, 1.0, 3.0) == approx(8e-6)
    assert loads.worn_pitch(20e-6, 100 * MPA, 1.0, 3.0) == approx(20e-6)
    assert loads.worn_pitch(20e-6, 1300 * MPA, 0.0, 3.0) == approx(1.5e-6)
    assert loads.worn_pitch(80e-6, 1300 * MPA, 0.0, 3.0) == approx(3e-6)
    for v, worn in ((4.9, 40e-6), (5.1, 32e-6), (9.9, 32e-6), (10.1, 16e-6)):  # as if the pitch were 80 and 40 um off
        assert loads.worn_pitch(100e-6, 400 * MPA, 1.0, v) == approx(worn)
    assert loads.worn_pitch_of_both(8e-6, 2e-6) == approx(5e-6)


def test_from_flank_to_root():
    assert loads.root_exponent(0.03, 0.002) == approx(1 / (1 + 0.15 + 0.15**2))
    assert loads.root_exponent(0.01, 0.003) == approx(9 / 13)
    assert loads.root_face(1.8, 0.8) == approx(1.8**0.8)


def test_load_over_the_path_of_contact():
    error = 0.4 * 15e9 * (20e-6 - 5e-6) / (2e5 * 1.5)
    assert loads.path_load(1.6, 0.2, 15e9, 20e-6, 5e-6, 2e5, 1.5) == approx(0.9 * (0.9 + error))
    assert loads.path_load(1.6, 0.9, 15e9, 20e-6, 5e-6, 2e5, 1.5) == approx(0.9 + error * np.sqrt(2 * 1.5 / 2.5))
    assert loads.path_load(1.6, 0.4, 15e9, 20e-6, 5e-6, 2e5, 1.5) == approx(0.9 + error)
    assert loads.flank_path(np.array([0.8, 1.1, 3.0]), 1.6, 0.2, 0.85) == approx([1, 1.1, 1.8 / (1.6 * 0.7225)])
    assert loads.root_path(np.array([0.8, 1.1, 3.0]), 1.6, 0.2) == approx([1, 1.1, 1.8 / 1.15])


def test_halves_of_a_double_helix():
    """2 mu T/d pushes one half; what it carries more, it also turns: F_f/(2 tan beta)."""
    assert loads.sliding_thrust(0.15, 20.0, 0.03) == approx(200)
    assert loads.half_force(1000.0, 2.0, 100.0, np.radians(25)) == approx(500 + 50 / np.tan(np.radians(25)))
    assert loads.half_force(1000.0, 2.0, 900.0, np.radians(25)) == 1000
    assert loads.half_force(1000.0, 1.0, 0.0, 0.0) == 1000
    assert loads.half_force(1000.0, 2.0, 0.0, np.radians(25)) == 500
    # both halves in balance with the push: thrusts differ by it
    F = loads.half_force(1000.0, 2.0, 100.0, np.radians(25))
    assert (F - (1000 - F)) * np.tan(np.radians(25)) == approx(100)


def test_cycles_and_line_loads_and_factors_given():
    assert loads.cycles(2 * np.pi, 3600.0) == approx(3600)
    assert loads.wheel_cycles(3600.0, 20.0, -60.0) == approx(1200)
    assert loads.line_load(600.0, 1.25, 0.03) == approx(25e3)
    assert loads.line_load(0.0, 1.25, 0.03) == approx(1e-3)
    assert (loads.standing(0.0, 1.3), loads.standing(1.1, 1.3)) == (1.3, 1.1)
    assert np.isnan(loads.standing(np.nan, 1.3))
    assert np.isnan([float(loads.material(n, "A_H", "A", "A")) for n in (0.0, 19.0, 1.5, np.nan)]).all()


def test_remarks_begin_where_they_say():
    """0.5 m/s and 30 points of hardness (common practice, no single source)."""
    assert list(rate.slow(np.array([0.49, 0.51]))) == [1, 0]
    assert list(iso.not_harder(np.array([219.0, 220, 219]), np.array([190.0, 190, 460]))) == [1, 0, 0]
    assert list(iso.too_kind(np.array([0.99, 0.97]), 0.98)) == [1, 0]
    assert list(iso.emptied(np.array([2.0, 2, 1]), np.array([760.0, 740, 1000]), 1000.0)) == [1, 0, 0]
    assert iso.meeting_frequency(2 * np.pi, 17.0) / (2 * np.pi) == approx(17)


def test_wear_load_of_helical_teeth_and_rings():
    """Buckingham: d b Q K over cos2 of the helix; Q = 2 z_2/(z_2 - z_1) inside a ring."""
    assert iso.wearing_capacity(0.06, 0.02, 2.0, 20.0, 60.0, 1e6, 0.3) == approx(0.06 * 0.04 * 1.5e6 / np.cos(0.3) ** 2)
    assert iso.wearing_capacity(0.06, 0.02, 1.0, 20.0, -60.0, 1e6, 0.0) == approx(0.06 * 0.02 * 3e6)


def test_values_of_practice():
    """Slow greased teeth 0.1, sliding keys 0.15, 1.5 to 2 where frames are set up anew: common practice, no single source."""
    row = {r.name: r.number("value") for r in table("gear_practice").rows}
    assert [row[f"friction of {w} teeth"] for w in ("greased", "oiled", "dry")] == [0.1, 0.06, 0.2]
    assert [row[n] for n in ("one frame", "frames located by pins", "frames set up anew")] == [1, 1.5, 2]
    assert row["friction of a sliding key"] == 0.15
    assert row["both shafts fixed"] * 2 > 5  # more than any helix turns into a full half
    assert table("gear_practice")["film, milled flanks"].number("value") == 0.85  # ISO 6336-2 method C, from memory
    assert table("gear_practice")["friction of greased teeth"].number("value") == 0.1
    assert table("gear_practice")["one frame"].number("value") == 1
