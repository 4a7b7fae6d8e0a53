"""Rims on spokes and webs: a frame of straight bars (PyNiteFEA), energy books, and Lamé's disc.

The frame knows bars, joints and pulls only: a rim of 120 bars with the outward pull of each joint's
share of the mass, six spokes fixed in the middle, each pulled by its own mass.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import flywheel, rim_wheel
from layshaft.mechanics import bodies, inertia, rotating
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN

GIVEN = Source("worked by hand", obtained="given")
RHO, E, OMEGA = 7200.0, 100e9, 60.0


@pytest.fixture(scope="module")
def frame():
    """Spoke stress at the rim, and the rim's stresses at a spoke and between, from bars."""
    from Pynite import FEModel3D

    R, b, t, A_s, n, joints = 0.5, 0.06, 0.05, 9e-4, 6, 120
    model = FEModel3D()
    model.add_material("iron", E, E / 2.6, 0.3, RHO)
    model.add_section("rim", b * t, b**3 * t / 12, b * t**3 / 12, 1e-6)
    model.add_section("spoke", A_s, 1e-12, 1e-12, 1e-12)
    turn = np.arange(joints) * 2 * np.pi / joints
    for i, a in enumerate(turn):
        model.add_node(f"r{i}", R * np.cos(a), R * np.sin(a), 0)
        pull = RHO * b * t * 2 * np.pi * R / joints * OMEGA**2 * R
        model.def_support(f"r{i}", support_DZ=True, support_RX=True, support_RY=True)
        model.add_node_load(f"r{i}", "FX", pull * np.cos(a))
        model.add_node_load(f"r{i}", "FY", pull * np.sin(a))
    for i in range(joints):
        model.add_member(f"m{i}", f"r{i}", f"r{(i + 1) % joints}", "iron", "rim")
    model.add_node("hub", 0, 0, 0)
    model.def_support("hub", *[True] * 6)
    for k in range(n):
        model.add_member(f"s{k}", "hub", f"r{k * joints // n}", "iron", "spoke")
        model.def_releases(f"s{k}", Rzi=True, Rzj=True)
        model.add_member_dist_load(f"s{k}", "Fx", 0.0, RHO * A_s * OMEGA**2 * R)
    model.analyze(check_statics=False)
    spoke = -model.members["s0"].axial(R) / A_s
    def at(i):
        m = model.members[f"m{i}"]
        bending = max(abs(m.moment("Mz", 0)), abs(m.moment("My", 0)))
        return -m.axial(0) / (b * t) + bending / (b * t**2 / 6)
    return spoke, at(0), at(10)


def test_rim_and_spokes_against_a_frame_of_bars(frame):
    R, b, t, A_s = 0.5, 0.06, 0.05, 9e-4
    a, v = rotating.half_angle(6.0), OMEGA * R
    f_1 = rotating.rim_stretch(a)
    C = rotating.spoke_constant(f_1, rotating.rim_bending(f_1, a), R, t, b * t, A_s)
    spoke, at_spoke, between = frame
    assert rotating.spoke_stress(RHO, v, b * t, A_s, C) == approx(spoke, rel=0.02)
    assert rotating.rim_stress_at_spoke(RHO, v, C, R, t, a) == approx(at_spoke, rel=0.02)
    assert rotating.rim_stress_between(RHO, v, C, R, t, a) == approx(between, rel=0.02)


def test_a_thick_rim_is_outside_the_method():
    assert np.isnan(rotating.spoke_constant(0.957, 0.0017, 0.1, 0.051, 1.0, 1.0))
    assert np.isfinite(rotating.spoke_constant(0.957, 0.0017, 0.1, 0.049, 1.0, 1.0))


def test_spoke_at_the_hub():
    """The pull at the rim, and integral of rho omega^2 r from hub to rim; a cantilever's moment over its modulus."""
    r = np.linspace(0.05, 0.3, 10_001)
    own = np.trapezoid(RHO * OMEGA**2 * r, r)
    assert rim_wheel.hub_end_stress(2e6, RHO, OMEGA, 0.3, 0.05) == approx(2e6 + own, rel=1e-6)
    push = 90.0 / 0.3 / 6
    assert rim_wheel.spoke_bending(90.0, 6.0, 0.05, 0.3, 2e-6) == approx(push * 0.25 / 2e-6)
    assert rim_wheel.sum_of_spoke(3.0, 4.0) == approx(7.0)
    assert np.isnan(rim_wheel.spoke_bending(90.0, 6.0, 0.3, 0.3, 2e-6))
    assert np.isnan(rim_wheel.hub_end_stress(2e6, RHO, OMEGA, 0.3, 0.3))


def test_sizes_of_a_rim():
    assert [rim_wheel.mean_radius(0.4, 0.34), rim_wheel.rim_thickness(0.4, 0.34)] == approx([0.185, 0.03])
    assert rim_wheel.rim_area(0.04, 0.03) == approx(0.0012)
    assert [rim_wheel.mean_diameter(0.185), rim_wheel.radius(0.37)] == approx([0.37, 0.185])
    assert np.isnan([rim_wheel.mean_radius(0.3, 0.3), rim_wheel.rim_thickness(0.3, 0.34)]).all()


def strains(r_i, r_o, inner, outer, omega, rho, nu):
    """Radial and hoop stress of a disc of unit modulus by finite differences, pulls given at both edges."""
    r = np.linspace(r_i, r_o, 4001)
    # u'' + u'/r - u/r^2 = -(1 - nu^2) rho omega^2 r, solved with its two free constants by the edge pulls
    def stress(u, du, x):
        return (du + nu * u / x) / (1 - nu**2), (u / x + nu * du) / (1 - nu**2)
    basis = [(r, np.ones_like(r)), (1 / r, -1 / r**2)]
    own = -(1 - nu**2) * rho * omega**2 * r**3 / 8, -(1 - nu**2) * rho * omega**2 * 3 * r**2 / 8
    lhs = [[stress(u[k], du[k], r[k])[0] for u, du in basis] for k in (0, -1)]
    rhs = [inner - stress(own[0][0], own[1][0], r[0])[0], outer - stress(own[0][-1], own[1][-1], r[-1])[0]]
    c = np.linalg.solve(lhs, rhs)
    u = c[0] * basis[0][0] + c[1] * basis[1][0] + own[0]
    du = c[0] * basis[0][1] + c[1] * basis[1][1] + own[1]
    return r, u, stress(u, du, r)[1]


def test_web_that_follows_a_free_rim():
    """At the pull given here web and free rim grow alike; the web's bore bears the stress given here."""
    rho, omega, nu, r_o, r_w, r_b = 7850.0, 90.0, 0.29, 0.25, 0.2, 0.03
    _, u_rim, hoop = strains(r_w, r_o, 0.0, 0.0, omega, rho, nu)
    assert rim_wheel.free_rim_stress(rho, omega, nu, r_o, r_w) == approx(hoop[0])
    p = rotating.rim_pull(rho, omega, nu, r_o, r_w, r_b)
    _, u_web, hoop = strains(r_b, r_w, 0.0, p, omega, rho, nu)
    assert u_web[-1] == approx(u_rim[0])
    assert rotating.web_stress(rho, omega, nu, p, r_w, r_b) == approx(hoop[0])
    assert np.isnan([rotating.rim_pull(rho, omega, nu, r_o, 0.03, 0.03), rotating.rim_pull(rho, omega, nu, 0.2, 0.2, 0.03),
                     rotating.web_stress(rho, omega, nu, p, 0.03, 0.03)]).all()


def test_run_away_bound_keeps_the_energy():
    """4 kg m2 at 6 rad/s and 250 J on top: half J omega^2 is 72 + 250 J."""
    omega = rotating.run_away_speed(6.0, 250.0, 4.0)
    assert rotating.stored_energy(4.0, omega) == approx(322.0)


def test_a_loss_that_is_known_takes_the_place_of_the_bound():
    """Never below the running speed, never above the bound."""
    found = rotating.from_weights(6.0, np.array([9.0, 2.0, 41.0]), 40.0)
    assert found == approx([9.0, 6.0, 40.0])
    assert float(spoked(omega_c=30.0).omega_away) == approx(30.0)
    assert float(webbed(omega_c=30.0, omega_s=50.0).omega_away) == approx(50.0)


def test_beside_a_hole_and_unlike_moments():
    """Three times beside a small hole, Kirsch; a twentieth is the limit of this house."""
    assert rotating.beside_hole(5.0, 3.0) == approx(15.0)
    assert rotating.differs(2.0, np.array([2.099, 2.101, 1.901, 1.899])) == approx([0, 1, 0, 1])


def spoked(**changes):
    values = {"d_o": 0.4, "d_i": 0.34, "rho": 7200.0, "J": 0.5, "omega": 200 * REV_PER_MIN, "omega_r": 200 * REV_PER_MIN,
              "E_w": 400.0, "omega_c": 1e6, "omega_s": 0.0, "R_lim": 200e6, "R_m": 250e6, "S_required": 2.0,
              "S_y_required": 1.5,
              "S_b_required": 2.5, "b": 0.04, "n": 6.0, "A_s": 2e-4, "W_s": 4e-7, "r_h": 0.03, "T": 20.0} | changes
    return rim_wheel.rate_spoked(rim_wheel.SpokedInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def webbed(**changes):
    values = {"d_o": 0.4, "d_i": 0.34, "rho": 7200.0, "J": 0.5, "omega": 200 * REV_PER_MIN, "omega_r": 200 * REV_PER_MIN,
              "E_w": 400.0, "omega_c": 1e6, "omega_s": 0.0, "R_lim": 200e6, "R_m": 250e6, "S_required": 2.0,
              "S_y_required": 1.5,
              "S_b_required": 2.5, "nu": 0.3, "k_h": 1.0, "d_b": 0.03} | changes
    return rim_wheel.rate_webbed(rim_wheel.WebbedInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def margins(result):
    return {c.mode: float(c.margin) for c in result.checks}


@pytest.mark.parametrize("rate", [spoked, webbed])
def test_more_never_raises_a_margin(rate):
    base = margins(rate())
    for name, value in (("omega", 300 * REV_PER_MIN), ("omega_r", 300 * REV_PER_MIN), ("E_w", 900.0), ("omega_s", 200.0),
                        ("rho", 7800.0)):
        worse = margins(rate(**{name: value}))
        assert all(worse[mode] <= base[mode] * (1 + 1e-12) for mode in base), name
    assert margins(rate(J=0.4))["run-away burst"] < base["run-away burst"]


def test_the_larger_of_bound_and_stated_speed_counts():
    bound = float(spoked().omega_away)
    assert bound == approx(((200 * REV_PER_MIN) ** 2 + 2 * 400 / 0.5) ** 0.5)
    assert float(spoked(omega_s=2 * bound).omega_away) == approx(2 * bound)
    assert np.isnan(float(spoked(omega_s=np.nan).omega_away))
    assert margins(spoked(omega_s=2 * bound))["run-away burst"] == approx(margins(spoked())["run-away burst"] / 4)


def test_stronger_spokes_and_holes():
    assert margins(spoked(W_s=8e-7))["spoke stress"] > margins(spoked())["spoke stress"]
    assert margins(spoked(T=40.0))["spoke stress"] < margins(spoked())["spoke stress"]
    assert margins(webbed(k_h=3.0))["rim stress"] == approx(margins(webbed())["rim stress"] / 3)


def test_a_sum_of_pieces_by_hand():
    """Rim 400/340 x 40, six rods of 16 from 30 to 170, hub 60/25 x 50, four holes: steel, each by its own formula."""
    told = {
        "rim": ("ring", {"d_o": 0.4, "d_i": 0.34, "b": 0.04, "rho": 7850.0}),
        "web": ("disc", {"d": 0.3, "b": 0.01, "rho": 7850.0}),
        "spokes": ("rods", {"n": 6.0, "d": 0.016, "r_1": 0.03, "r_2": 0.17, "rho": 7850.0}),
        "bars": ("bars", {"n": 5.0, "a": 0.02, "w": 0.01, "r_1": 0.03, "r_2": 0.17, "rho": 2700.0}),
        "holes": ("holes", {"n": 4.0, "d": 0.05, "w": 0.01, "r_m": 0.1, "rho": 7850.0}),
        "blocks": ("blocks", {"n": 8.0, "h": 0.02, "a": 0.05, "w": 0.03, "r_m": 0.15, "rho": 7850.0}),
        "knobs": ("spheres", {"n": 2.0, "d": 0.06, "r_m": 0.22, "rho": 7850.0}),
        "hub": ("weighed", {"n": 3.0, "m": 0.4, "k": 0.02}),
    }
    pi = np.pi
    m = [7850 * pi / 4 * (0.16 - 0.1156) * 0.04, 7850 * pi / 4 * 0.09 * 0.01, 6 * 7850 * pi / 4 * 0.016**2 * 0.14,
         5 * 2700 * 0.02 * 0.01 * 0.14, -4 * 7850 * pi / 4 * 0.05**2 * 0.01, 8 * 7850 * 0.02 * 0.05 * 0.03,
         2 * 7850 * pi / 6 * 0.06**3, 1.2]
    J = [m[0] * (0.16 + 0.1156) / 8, m[1] * 0.09 / 8, m[2] * (0.016**2 / 16 + 0.14**2 / 12 + 0.1**2),
         m[3] * ((0.02**2 + 0.14**2) / 12 + 0.1**2), m[4] * (0.05**2 / 8 + 0.01),
         m[5] * ((0.02**2 + 0.05**2) / 12 + 0.15**2), m[6] * (0.06**2 / 10 + 0.22**2), 1.2 * 0.02**2]
    for (name, piece), mass, moment in zip(told.items(), m, J, strict=True):
        assert bodies.PIECES[piece[0]].reckon(**piece[1]) == (approx(mass), approx(moment)), name
    assert bodies.summed(told) == (approx(sum(m)), approx(sum(J)))


def test_a_rod_that_ends_before_it_begins_is_unknown():
    told = {"n": 6.0, "d": 0.016, "r_1": 0.17, "r_2": 0.03, "rho": 7850.0}
    assert np.isnan(bodies.PIECES["rods"].reckon(**told)).all()


def test_a_flat_disc_and_a_web_of_no_rim_agree_where_they_meet():
    """A web that reaches almost to the outside is the bored disc; the pull of a sliver of rim is bounded, not exact."""
    values = {"rho": 7850.0, "omega": 50.0, "nu": 0.3}
    own = rotating.web_stress(*values.values(), 0.0, 0.2, 0.02)
    assert own == approx(flywheel.bored_disc_stress(0.3, 7850.0, 10.0, 0.04, 0.4))
    assert inertia.ring(1.0, 0.4, 0.04) > 0


def test_remarks_of_a_fast_wheel():
    with tracing() as trace:
        spoked(omega=150.0)
    assert len(trace.remarks) == 2 and trace.untraced == []
