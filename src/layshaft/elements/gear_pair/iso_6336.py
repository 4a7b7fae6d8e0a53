"""One pair of spur, helical or double helical gears, or a gear in a ring, rated by ISO 6336: flank and root.

Editions: load factors of 2006, flank of 2006 and 2019, root by method C of 2006, materials of 2003 and
2016. Every factor may be given in the machine file instead. Turning gears draw in fingers and sleeves: they run behind
a guard that a tool opens.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements.gear_pair import fit, forces, geometry, strength
from layshaft.elements.gear_pair import iso_6336_flank as flank
from layshaft.elements.gear_pair import iso_6336_loads as loads
from layshaft.elements.gear_pair import iso_6336_root as root
from layshaft.mechanics import loads as friction
from layshaft.mechanics.margin import margin
from layshaft.mechanics.spur_teeth import WEAR_LEADS, slow
from layshaft.mechanics.spur_teeth import meeting_frequency as meeting_frequency
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    SLOPE,
    SPEED,
    STRESS,
    TIME,
    TORQUE,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
    Slope,
    Speed,
    Stress,
    Time,
    Torque,
    Velocity,
)

REQUIRED = Source("required margins of slow gears", "S_H and S_F of ISO 6336-1", "common practice")
YIELD = Source("form factor of ISO 6336-3 against yield", "held fast, no notch", "derived")
HARDER = Source("practice of slow greased gears", "pinion 30 to 50 HB harder", "common practice")
FLOATS = Source("practice of double helical gears", "one shaft floats", "common practice")


@dataclass(frozen=True, kw_only=True)
class IsoInputs(Inputs):
    """One pair in one case. A ring counts its teeth with a minus. Factors that end in `o` are 0 where none is given."""

    m_n: Length = quantity("normal module", LENGTH, above=0)
    z_1: Count = quantity("teeth of the pinion", COUNT, at_least=5)
    z_2: Count = quantity("teeth of the wheel, negative for a ring with internal teeth", COUNT)
    b: Length = quantity("face width, of one half where the helix is double", LENGTH, above=0)
    beta: Angle = quantity("helix angle", ANGLE, at_least=0, at_most=np.pi / 4)
    alpha_n: Angle = quantity("normal pressure angle", ANGLE, above=0, at_most=np.pi / 4)
    x_1: Ratio = quantity("profile shift coefficient of the pinion", RATIO, at_least=-2, at_most=3)
    x_2: Ratio = quantity("profile shift coefficient of the wheel", RATIO, at_least=-3, at_most=3)
    a_w: Length = quantity("distance of the axes", LENGTH, above=0)
    halves: Count = quantity("helices side by side on each gear", COUNT, at_least=1, at_most=2)
    T_1: Torque = quantity("torque on the pinion", TORQUE, at_least=0)
    omega_1: Speed = quantity("turning speed of the pinion", SPEED, at_least=0)
    t_life: Time = quantity("running time wanted", TIME, above=0)
    theta: Slope = quantity("slope of the two shafts against each other, in the plane of action", SLOPE, at_least=0)
    least: Ratio = quantity("least load over the face where frames are set up anew", RATIO, at_least=1)
    T_f: Torque = quantity("torque through what slides on the floating shaft", TORQUE, at_least=0)
    d_f: Length = quantity("diameter of the floating shaft there", LENGTH, above=0)
    mu_f: Ratio = quantity("friction of what slides there", RATIO, at_least=0)
    Q: Count = quantity("flank tolerance class, ISO 1328-1", COUNT, at_least=1, at_most=12)
    K_A: Ratio = quantity("application factor", RATIO, above=0)
    line_1: Count = quantity("line of the table of gear materials, pinion", COUNT, at_least=1)
    line_2: Count = quantity("line of the table of gear materials, wheel", COUNT, at_least=1)
    H_1: Ratio = quantity("hardness of the pinion", RATIO, above=0)
    H_2: Ratio = quantity("hardness of the wheel", RATIO, above=0)
    R_e1: Stress = quantity("yield strength, pinion", STRESS, above=0)
    R_e2: Stress = quantity("yield strength, wheel", STRESS, above=0)
    E: Stress = quantity("modulus of elasticity of both gears", STRESS, above=0)
    nu: Ratio = quantity("Poisson's ratio of both gears", RATIO, above=0, at_most=0.5)
    Z_LVR: Ratio = quantity("factor of lubricant, speed and roughness", RATIO, above=0)
    Z_W: Ratio = quantity("work hardening factor", RATIO, above=0)
    Y_dR: Ratio = quantity("factor of notch sensitivity and roughness", RATIO, above=0)
    mu: Ratio = quantity("friction of the teeth", RATIO, at_least=0)
    eta: Ratio = quantity("efficiency the machine file gives", RATIO, above=0, at_most=1)
    K_Vo: Ratio = quantity("dynamic factor given", RATIO, at_least=0)
    K_Hbo: Ratio = quantity("load over the face given, flank", RATIO, at_least=0)
    K_Fbo: Ratio = quantity("load over the face given, root", RATIO, at_least=0)
    K_Hao: Ratio = quantity("load over the path of contact given, flank", RATIO, at_least=0)
    K_Fao: Ratio = quantity("load over the path of contact given, root", RATIO, at_least=0)
    Z_Ho: Ratio = quantity("zone factor given", RATIO, at_least=0)
    Z_eo: Ratio = quantity("contact ratio factor given, flank", RATIO, at_least=0)
    Z_bo: Ratio = quantity("helix factor given, flank", RATIO, at_least=0)
    Z_Bo: Ratio = quantity("single contact factor given", RATIO, at_least=0)
    Z_N1o: Ratio = quantity("life factor given, flank of the pinion", RATIO, at_least=0)
    Z_N2o: Ratio = quantity("life factor given, flank of the wheel", RATIO, at_least=0)
    Y_F1o: Ratio = quantity("form factor given, pinion", RATIO, at_least=0)
    Y_F2o: Ratio = quantity("form factor given, wheel", RATIO, at_least=0)
    Y_S1o: Ratio = quantity("notch factor given, pinion", RATIO, at_least=0)
    Y_S2o: Ratio = quantity("notch factor given, wheel", RATIO, at_least=0)
    Y_eo: Ratio = quantity("contact ratio factor given, root", RATIO, at_least=0)
    Y_bo: Ratio = quantity("helix factor given, root", RATIO, at_least=0)
    Y_N1o: Ratio = quantity("life factor given, root of the pinion", RATIO, at_least=0)
    Y_N2o: Ratio = quantity("life factor given, root of the wheel", RATIO, at_least=0)
    Y_Xo: Ratio = quantity("size factor given, root", RATIO, at_least=0)
    S_pit: Ratio = quantity("required margin on flank pitting", RATIO, above=0)
    S_fatigue: Ratio = quantity("required margin on root fatigue", RATIO, above=0)
    S_jam: Ratio = quantity("required margin on root yield when held fast", RATIO, above=0)
    S_wear: Ratio = quantity("required margin on flank wear", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class LoadFactors:
    """How much more than the mean the hardest-loaded tooth feels."""

    K_V: Ratio
    K_Hbeta: Ratio
    K_Fbeta: Ratio
    K_Halpha: Ratio
    K_Falpha: Ratio


@dataclass(frozen=True, slots=True)
class IsoRating:
    """Factors, efficiency and checks of one pair."""

    F_t: Force
    factors: LoadFactors
    eta_z: Ratio
    shape: fit.PairShape
    checks: tuple[Check, ...]


@formula("alike", "pinion less than 30 points harder than the wheel", HARDER)
def not_harder(H_1: Ratio, H_2: Ratio) -> Count:
    """1 where the remark applies, else 0; of hardened teeth both may be alike."""
    return np.where((H_1 < H_2 + 30) & (H_2 < 450), 1.0, 0.0)


@formula("kind", "efficiency better than the teeth allow", friction.MESH, where={"eta_z": "efficiency of a mesh"})
def too_kind(eta: Ratio, eta_z: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(eta > eta_z, 1.0, 0.0)


@formula("emptied", "one helix carries more than three quarters", FLOATS, where={
    "F_h": "tangential force on one helix", "F_t": "tangential force"})
def emptied(halves: Count, F_h: Force, F_t: Force) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((halves > 1) & (F_h > 0.75 * F_t), 1.0, 0.0)


@formula("F_ww", "tooth load the flanks carry without wearing away", strength.WEAR, where={
    "d_1": "reference diameter of the pinion", "K": "wear factor"})
def wearing_capacity(d_1: Length, b: Length, halves: Count, z_1: Count, z_2: Count, K: Stress, beta: Angle) -> Force:
    """Buckingham: a ring lies closer to its pinion than a wheel beside it; a helix spreads the line of contact."""
    return d_1 * b * halves * 2 * z_2 / (z_1 + z_2) * K / np.cos(beta) ** 2


def _load_factors(g: IsoInputs, s: fit.PairShape, w_t: Any, v: Velocity, lims: tuple[Stress, Stress],
                  Z_eps: Ratio) -> LoadFactors:
    soft = (loads.material(g.line_1, "soft", "soft_1", "1 where the pinion's teeth run in, else 0"),
            loads.material(g.line_2, "soft", "soft_2", "1 where the wheel's teeth run in, else 0"))
    X = loads.speed_number(v, g.z_1, g.z_2)
    K_Vs = loads.spur_dynamic(X, loads.constant(g.Q, "spur", "K_1"), w_t)
    K_Vh = loads.helical_dynamic(X, loads.constant(g.Q, "helical", "K_1h"), w_t)
    K_V = named("K_V", loads.standing(g.K_Vo, loads.dynamic_factor(K_Vs, K_Vh, s.eps_beta)), "dynamic factor")
    z_n1 = named("z_n1", loads.virtual_teeth(g.z_1, s.beta_b, g.beta), "teeth of the pinion across the helix")
    z_n2 = named("z_n2", loads.virtual_teeth(g.z_2, s.beta_b, g.beta), "teeth of the wheel across the helix")
    c = loads.tooth_stiffness(z_n1, z_n2, g.x_1, g.x_2, g.beta, g.alpha_n, w_t)
    c_a = loads.mesh_stiffness(c, s.eps_alpha)
    w_m = loads.dynamic_line_load(w_t, K_V)
    F_bx = loads.opening(loads.slope_opening(g.theta, g.b), loads.slope_deviation(s.d_2, g.b, g.Q))
    worn = [named(f"y_b{i + 1}", loads.worn_opening(F_bx, lims[i], soft[i], v)) for i in (0, 1)]
    K_b = loads.opened_face(loads.opening_left(F_bx, worn[0], worn[1]), loads.opening_stiffness(c_a), w_m)
    K_Hb = governs("K_Hbr", "load over the face as reckoned", RATIO, {"opening of the mesh": K_b,
                   "frames set up anew": g.least}, loads.ISO_6336_1, pick="largest")
    K_Hb = named("K_Hbeta", loads.standing(g.K_Hbo, K_Hb), "load over the face, flank")
    K_Fb = loads.root_face(K_Hb, loads.root_exponent(g.b, g.m_n))
    K_Fb = named("K_Fbeta", loads.standing(g.K_Fbo, K_Fb), "load over the face, root")
    f_pb = loads.base_pitch_deviation(loads.pitch_deviation(g.m_n, s.d_2, g.Q), s.alpha_t)
    fitted = [named(f"y_p{i + 1}", loads.worn_pitch(f_pb, lims[i], soft[i], v)) for i in (0, 1)]
    K_a = loads.path_load(s.eps_alpha, s.eps_beta, c_a, f_pb, loads.worn_pitch_of_both(*fitted), w_m, K_Hb)
    K_Ha = loads.standing(g.K_Hao, loads.flank_path(K_a, s.eps_alpha, s.eps_beta, Z_eps))
    K_Fa = loads.standing(g.K_Fao, loads.root_path(K_a, s.eps_alpha, s.eps_beta))
    return LoadFactors(K_V, K_Hb, K_Fb, named("K_Halpha", K_Ha, "load over the path of contact, flank"),
                       named("K_Falpha", K_Fa, "load over the path of contact, root"))


def _limits(g: IsoInputs, what: str, name: str) -> tuple[Stress, Stress]:
    """Endurance limits of both gears, of the flank (`H`) or the root (`F`)."""
    found = []
    for i, line, H in ((1, g.line_1, g.H_1), (2, g.line_2, g.H_2)):
        A, B = (loads.material(line, f"{k}_{what}", f"{k}_{what}{i}", "rise of the line" if k == "A" else
                               "foot of the line, MPa") for k in ("A", "B"))
        least, most = (loads.material(line, k, f"{k}_{what}{i}", f"{k} hardness of the line") for k in
                       ("least", "most"))
        found.append(named(f"sigma_{name}{i}", flank.limit_of_hardness(A, B, H, least, most)))
    return found[0], found[1]


def _flank(g: IsoInputs, s: fit.PairShape, F_h: Force, K: LoadFactors, lims: tuple[Stress, Stress],
           N: tuple[Count, Count], Z_eps: Ratio) -> Check:
    Z_H = named("Z_H", loads.standing(g.Z_Ho, flank.zone_factor(s.beta_b, s.alpha_t, s.alpha_wt)), "zone factor")
    Z_E = flank.elasticity_factor(g.E, g.nu)
    Z_beta = named("Z_beta", loads.standing(g.Z_bo, flank.helix_factor(g.beta)), "helix factor of the flank")
    M_1 = flank.single_contact(s.alpha_wt, s.d_a1, s.d_b1, s.d_a2, s.d_b2, g.z_1, g.z_2, s.eps_alpha)
    M_2 = flank.single_contact_of_wheel(s.alpha_wt, s.d_a1, s.d_b1, s.d_a2, s.d_b2, g.z_1, g.z_2, s.eps_alpha)
    Z_B = governs("Z_Br", "larger single contact factor", RATIO, {
        "pinion": flank.single_contact_factor(M_1, s.eps_beta),
        "wheel": named("Z_Dr", flank.single_contact_factor(M_2, s.eps_beta))}, flank.ISO_6336_2, pick="largest")
    Z_B = loads.standing(g.Z_Bo, Z_B)
    sigma_H0 = flank.nominal_pressure(Z_H, Z_E, Z_eps, Z_beta, F_h, s.d_1, g.b, g.z_1, g.z_2)
    sigma_H = flank.pressure(named("Z_B", Z_B, "single contact factor"), sigma_H0, g.K_A, K.K_V, K.K_Hbeta, K.K_Halpha)
    strong = []
    for i, line, o in ((0, g.line_1, g.Z_N1o), (1, g.line_2, g.Z_N2o)):
        corners = [loads.material(line, f"flank_{k}", f"flank_{k}{i + 1}", f"life curve of the flank, {k}")
                   for k in ("static", "n0", "end")]
        Z_NT = named(f"Z_NT{i + 1}", loads.standing(o, flank.flank_life(N[i], *corners)), "life factor of the flank")
        strong.append(named(f"sigma_HG{i + 1}", flank.flank_strength(lims[i], Z_NT, g.Z_LVR, g.Z_W)))
    sigma_HG = governs("sigma_HG", "pressure at which a flank pits in its life", STRESS,
                       {"pinion": strong[0], "wheel": strong[1]}, flank.ISO_6336_2, pick="smallest")
    return Check("flank pitting", STRESS, sigma_H, sigma_HG, named("S_H", margin(sigma_HG, sigma_H)), g.S_pit,
                 flank.ISO_6336_2, REQUIRED)


def _form(g: IsoInputs, s: fit.PairShape) -> list[tuple[Ratio, Ratio]]:
    """Form and notch factor of both gears."""
    found = []
    for i, z, x, d_a, d, o_F, o_S in ((1, g.z_1, g.x_1, s.d_a1, s.d_1, g.Y_F1o, g.Y_S1o),
                                      (2, g.z_2, g.x_2, s.d_a2, s.d_2, g.Y_F2o, g.Y_S2o)):
        z_n = named(f"z_n{i}", loads.virtual_teeth(z, s.beta_b, g.beta))
        G = named(f"G_{i}", root.fillet_value(x))
        theta_F = named(f"theta_F{i}", root.tangent_angle(G, z_n, named(f"H_a{i}", root.tooth_value(z_n, g.alpha_n))))
        s_F = root.root_thickness(z_n, theta_F, G)
        alpha_e = root.tip_pressure_angle(z_n, d_a, d, g.m_n, g.alpha_n)
        alpha_F = root.force_angle(alpha_e, z_n, x, g.alpha_n)
        h_F = root.lever(z_n, g.alpha_n, alpha_e, alpha_F, theta_F, G)
        outside = root.form(h_F, s_F, alpha_F, g.alpha_n), root.notch(h_F, s_F, root.root_radius(z_n, theta_F, G))
        rack, deep = root.rack_thickness(g.alpha_n), root.rack_lever(d_a, d, g.m_n, x, g.alpha_n)
        ring = root.form(deep, rack, g.alpha_n, g.alpha_n), root.ring_notch(deep, rack)
        Y = [root.of_its_kind(z, ring[k], outside[k]) for k in (0, 1)]
        found.append((named(f"Y_Fa{i}", loads.standing(o_F, Y[0]), "form factor"),
                      named(f"Y_Sa{i}", loads.standing(o_S, Y[1]), "notch factor")))
    return found


def _root(g: IsoInputs, s: fit.PairShape, F_h: Force, K: LoadFactors, N: tuple[Count, Count],
          Y: list[tuple[Ratio, Ratio]]) -> Check:
    lims = _limits(g, "F", "F")
    Y_eps = named("Y_eps", loads.standing(g.Y_eo, root.sharing(s.eps_alpha, s.beta_b)), "contact ratio factor, root")
    Y_beta = named("Y_beta", loads.standing(g.Y_bo, root.helix_root(s.eps_beta, g.beta)), "helix factor of the root")
    asked, strong, margins = [], [], []
    for i, line, o in ((0, g.line_1, g.Y_N1o), (1, g.line_2, g.Y_N2o)):
        sigma_F0 = named(f"sigma_F0{i + 1}", root.nominal_root(F_h, g.b, g.m_n, *Y[i], Y_eps, Y_beta))
        asked.append(named(f"sigma_F{i + 1}s", root.root_stress(sigma_F0, g.K_A, K.K_V, K.K_Fbeta, K.K_Falpha)))
        static, n0 = (loads.material(line, f"root_{k}", f"root_{k}{i + 1}", f"life curve of the root, {k}")
                      for k in ("static", "n0"))
        soft = loads.material(line, "soft", f"soft_{i + 1}r", "1 where the teeth run in, else 0")
        Y_NT = named(f"Y_NT{i + 1}", loads.standing(o, root.root_life(N[i], static, n0)), "life factor of the root")
        Y_X = named(f"Y_X{i + 1}", loads.standing(g.Y_Xo, root.root_size(g.m_n, soft)), "size factor of the root")
        strong.append(named(f"sigma_FG{i + 1}", root.root_strength(lims[i], Y_NT, g.Y_dR, Y_X)))
        margins.append(named(f"S_F{i + 1}", margin(strong[i], asked[i]), "margin on root fatigue"))
    S_F = governs("S_F", "margin on root fatigue", RATIO, {"pinion": margins[0], "wheel": margins[1]},
                  root.ISO_6336_3, pick="smallest")
    S_1, S_2 = margins
    sigma_F = named("sigma_F", root.of_the_weaker(S_1, S_2, asked[0], asked[1]), "root stress of the weaker gear")
    sigma_FG = named("sigma_FG", root.of_the_weaker(S_1, S_2, strong[0], strong[1]), "stress at which it breaks")
    return Check("root fatigue", STRESS, sigma_F, sigma_FG, S_F, g.S_fatigue, root.ISO_6336_3, REQUIRED)


def _jam(g: IsoInputs, F_h: Force, K: LoadFactors, Y: list[tuple[Ratio, Ratio]]) -> Check:
    stress = [named(f"sigma_n{i + 1}", root.held_stress(F_h, g.b, g.m_n, Y[i][0], K.K_Fbeta)) for i in (0, 1)]
    margins = [named(f"S_y{i + 1}", margin(R_e, stress[i]), "margin on root yield")
               for i, R_e in enumerate((g.R_e1, g.R_e2))]
    S_y = governs("S_y", "margin on root yield", RATIO, {"pinion": margins[0], "wheel": margins[1]}, YIELD,
                  pick="smallest")
    S_1, S_2 = margins
    return Check("jam strength", STRESS, named("sigma_n", root.of_the_weaker(S_1, S_2, stress[0], stress[1])),
                 named("R_ew", root.of_the_weaker(S_1, S_2, g.R_e1, g.R_e2), "yield strength of the weaker gear"),
                 S_y, g.S_jam, YIELD, REQUIRED)


def _wear(g: IsoInputs, s: fit.PairShape, F_t: Force, v: Velocity) -> Check:
    H_B = governs("H_B", "hardness of the softer gear", RATIO, {"pinion": g.H_1, "wheel": g.H_2}, strength.WEAR,
                  pick="smallest")
    F_d = strength.dynamic_load(F_t, strength.barth_factor(v))
    F_w = wearing_capacity(s.d_1, g.b, g.halves, g.z_1, g.z_2, strength.wear_factor(H_B), g.beta)
    return Check("flank wear", FORCE, F_d, F_w, named("S_w", margin(F_w, F_d), "margin on flank wear"), g.S_wear,
                 strength.WEAR, REQUIRED)


def _efficiency(g: IsoInputs, s: fit.PairShape) -> Ratio:
    shares = [named(f"eps_{i}", geometry.tip_contact_ratio(z, named(f"alpha_a{i}", geometry.tip_angle(d_b, d_a)),
                                                           s.alpha_wt))
              for i, z, d_b, d_a in ((1, g.z_1, s.d_b1, s.d_a1), (2, g.z_2, s.d_b2, s.d_a2))]
    return friction.mesh_efficiency(g.mu, friction.mesh_loss_factor(g.z_1, g.z_2, s.beta_b, *shares))


def _remarks(g: IsoInputs, v: Velocity, F_h: Force, F_t: Force, eta_z: Ratio) -> None:
    remark_if(slow(v), "The pitch line is slower than 0.5 m/s: no film parts the teeth. Wear and what holds in a "
              "jam lead; pitting and scuffing come second. Grease the teeth, and look at the flanks at every "
              "assembly.", WEAR_LEADS)
    remark_if(not_harder(g.H_1, g.H_2), "The pinion is not 30 points harder than the wheel: its teeth meet more often, "
              "and soft on soft they seize. Take a harder pinion.", HARDER)
    remark_if(too_kind(g.eta, eta_z), "The efficiency in the machine file is better than the sliding of these teeth "
              "allows. Measure it, or take that of the sheet.", friction.MESH)
    remark_if(emptied(g.halves, F_h, F_t), "Friction of a key or coupling pushes the floating shaft so far that one "
              "helix carries more than three quarters of the torque. Let it slide on more radius, or grease it.",
              FLOATS)


def _forces(g: IsoInputs, s: fit.PairShape, F_h: Force) -> None:
    """What the mesh does to the shafts; with a double helix the push of each half stays inside the gear."""
    d_w = geometry.working_diameter(s.a_s, g.z_1, g.z_2)
    forces.radial_force(named("F_tw", forces.tangential_force(g.T_1, d_w), "force at the working circle"), s.alpha_wt)
    F_a = named("F_a", forces.axial_force(F_h, g.beta), "push of one helix along the axis")
    F_an = forces.net_thrust(F_a, g.halves)
    named("M_a1", forces.axial_moment(F_an, s.d_1), "tilting moment of the push on the pinion")
    named("M_a2", forces.axial_moment(F_an, s.d_2), "tilting moment of the push on the wheel")


def rate_iso(g: IsoInputs) -> IsoRating:
    """Rate one pair, or many at once when the inputs are arrays."""
    with group("Gear pair by ISO 6336"):
        g = g.record()
        s = fit.pair_shape(g.m_n, (g.z_1, g.z_2), g.b, g.beta, g.alpha_n, (g.x_1, g.x_2), g.a_w)
        v = geometry.pitch_line_speed(g.omega_1, s.d_1)
        meeting_frequency(g.omega_1, g.z_1)
        F_t = forces.tangential_force(g.T_1, s.d_1)
        F_h = loads.half_force(F_t, g.halves, loads.sliding_thrust(g.mu_f, g.T_f, g.d_f), g.beta)
        _forces(g, s, F_h)
        lims = _limits(g, "H", "H")
        Z_eps = named("Z_eps", loads.standing(g.Z_eo, flank.contact_factor(s.eps_alpha, s.eps_beta)),
                      "contact ratio factor of the flank")
        K = _load_factors(g, s, loads.line_load(F_h, g.K_A, g.b), v, lims, Z_eps)
        N_1 = loads.cycles(g.omega_1, g.t_life)
        N = N_1, loads.wheel_cycles(N_1, g.z_1, g.z_2)
        Y = _form(g, s)
        checks = (_flank(g, s, F_h, K, lims, N, Z_eps), _root(g, s, F_h, K, N, Y), _jam(g, F_h, K, Y),
                  _wear(g, s, F_t, v))
        eta_z = _efficiency(g, s)
        _remarks(g, v, F_h, F_t, eta_z)
    return IsoRating(F_t, K, eta_z, s, checks)
