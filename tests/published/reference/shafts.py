"""Reference rows on shafts, keys, bearings and couplings: which formula answers which row, in SI."""

import numpy as np

from layshaft.elements import ball_bearing, coupling, hanging_load, parallel_key, shaft
from layshaft.elements.shaft import sizing
from layshaft.listings.tables import table
from layshaft.mechanics import beam, drives, endurance, inertia, materials, notch, rolling_life, round_bar
from layshaft.mechanics.beam import Beam
from layshaft.trace.units import DEGREE, FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

MM, KILO, MPA, GPA = 1e-3, 1e3, 1e6, 1e9
PSI, LBF_IN = POUND_FORCE / INCH**2, POUND_FORCE * INCH
KPSI = KILO * PSI


def key_section(i):
    return next(r for r in table("keys_metric").rows
                if r.number("shaft_over_mm") < i["d_mm"] <= r.number("shaft_to_mm"))


def flank(i):
    l_tr = parallel_key.bearing_length(i["l_mm"] * MM, i["b_mm"] * MM, i["d_mm"] * MM)
    return parallel_key.flank_pressure(i["T_Nm"], i["d_mm"] * MM, i["h_mm"] * MM, i["t1_mm"] * MM, l_tr, i["i_keys"], i["phi"])


def length_in_shear(T, d, b, tau):
    """Bearing length at which the shear stress reaches tau: stress falls with one over length."""
    return parallel_key.shear_stress(parallel_key.tangential_force(T, d), parallel_key.sheared_area(b, 1.0, 1.0, 1.0)) / tau


def key_by_power(i):
    T = i["P_kW"] * KILO / (i["n_rpm"] * REV_PER_MIN)
    return length_in_shear(T, i["d_mm"] * MM, i["b_mm"] * MM, i["tau_MPa"] * MPA)


def key_crushed(i):
    """Half the height in the shaft, as the book takes it."""
    p = parallel_key.flank_pressure(i["T_lbf_in"] * LBF_IN, i["D_in"] * INCH, i["t_in"] * INCH, i["t_in"] / 2 * INCH, 1.0, 1.0, 1.0)
    return p * i["SF"] / (i["Sc_psi"] * PSI)


def thrust(psi):
    return ball_bearing.thrust_factors(psi * PSI / MPA)[1]


def jindal_bearing(i):
    """Printed Y and no e: the ratio of the loads is past any e of the table."""
    P = ball_bearing.dynamic_equivalent_load(i["Fr_N"], i["Fa_N"], 0.44, i["Y"])
    return rolling_life.rating_life(i["C_N"], P, 3.0)


def life_hours(C, P, rpm, a_1=1.0):
    turns = rolling_life.adjusted_life(a_1, rolling_life.rating_life(C, P, 3.0))
    return rolling_life.life_time(turns, rpm * REV_PER_MIN)


def rating_for(i, P):
    """C from the life in multiples of 1e6 turns: L = (C/P)^3, solved by halving."""
    low, high = P, 1e3 * P
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if rolling_life.rating_life(middle, P, 3.0) < i["xD"] * 1e6 else (low, middle)
    return low


def shock(i):
    T_S = coupling.shock_from_drive(i["TAS_Nm"], i["JA_kgm2"], i["JL_kgm2"], i["SA"])
    return coupling.peak_demand(T_S, i["SZ"], i["St"], i["TN_Nm"])


def misalignment(i):
    used = [coupling.used_length(i["used_parallel_fraction"], 1.0), coupling.used_angle(i["used_angular_fraction"], 1.0),
            coupling.used_length(i["used_axial_fraction"], 1.0)]
    return 1 / coupling.misalignment_margin(sum(used))


def goodman(i, stress, moment):
    M_a, T_a, M_m, T_m = (i[k + ("_lbf_in" if stress is PSI else "_Nm")] * moment for k in ("Ma", "Ta", "Mm", "Tm"))
    A = endurance.alternating_moment(i["Kf"], M_a, i["Kfs"], T_a)
    B = endurance.mean_moment(i["Kf"], M_m, 0.0, 1.0, i["Kfs"], T_m)
    return endurance.goodman_diameter(i["n"], A, i["Se_psi"] * stress, B, i["Sut_psi"] * stress)


def wentzell_goodman(i):
    M = i["F_lbf"] / 2 * i["L_in"] * LBF_IN
    A, B = endurance.alternating_moment(1.0, M, 1.0, 0.0), endurance.mean_moment(1.0, M, 0.0, 1.0, 1.0, 0.0)
    return endurance.goodman_diameter(i["SF"], A, i["Sn_psi"] * PSI, B, i["Su_psi"] * PSI)


def limit_of_part(i):
    a, b = endurance.surface_constants("machined or cold-drawn")
    R_m = i["Sut_kpsi"] * KPSI
    return endurance.endurance_limit(endurance.surface_factor(a, R_m, b), endurance.size_factor(i["d_in"] * INCH),
                                     1.0, 1.0, 1.0, endurance.bar_limit(R_m))


def sadhu_limit(i):
    K_f = notch.fatigue_factor(i["Kt"], i["q"], 0.0)
    return endurance.endurance_limit(i["ka"], i["kb"], i["k_load_torsion"], 1.0, i["kc_reliability"],
                                     endurance.bar_limit(i["Sut_MPa"] * MPA)) / K_f


def finish(name):
    def k_a(i):
        a, b = endurance.surface_constants(name)
        return endurance.surface_factor(a, i["Sut_MPa"] * MPA, b)
    return k_a


def k_e(i):
    return endurance.reliability_factor(endurance.deviations_below_mean(f"{i['reliability_percent']} %"))


def K_f(i):
    q = notch.sensitivity(notch.neuber_bending(i["Sut_MPa"] * MPA), i["r_mm"] * MM)
    return notch.fatigue_factor(i["Kt"], q, 0.0)


def power_law(load):
    def K(i):
        A, b = notch._coefficients(load, i["D_over_d"])
        return notch.shoulder_power_law(A, b, i["r_over_d"] * 0.03, 0.03)
    return K


def cubic(formula):
    def K(i):
        D, d, r = i["D_mm"] * MM, i["d_mm"] * MM, i["r_mm"] * MM
        return formula(notch.height_ratio(D, d, r), notch.height_share(D, d))
    return K


def strength_loss(condition, kind):
    def K_1(i):
        row = table("steel_conditions")[condition]
        return materials.size_factor(i["d_eff_mm"] * MM, row.number(f"dB_{kind}_mm", MM), row.number(f"k_{kind}"))
    return K_1


def deflected(length, supports, at, force):
    def answer(i):
        stations = [at(i)]
        loads = np.array([[[-i["F_N"]], [0.0]]])
        return Beam([0, length(i)], [i["d_mm"] * MM], i["E_GPa"] * GPA, supports(i), stations).solve(
            loads, np.zeros_like(loads))
    return lambda i: abs(force(answer(i)))


def slope_at_bearing(i):
    """Loaded in the middle, read at the end."""
    L = i["L_mm"] * MM
    loads = np.array([[[0.0], [0.0]], [[-i["F_N"]], [0.0]]])
    r = Beam([0, L], [i["d_mm"] * MM], i["E_GPa"] * GPA, [0, L], [0, L / 2]).solve(loads, np.zeros_like(loads))
    return abs(r.slope[0, 0, 0])


def two_gears(i):
    """Jindal, ex. 15-2: forces of A and B opposite in each plane."""
    tangent = np.tan(i["pressure_angle_deg"] * DEGREE)
    F = np.array([[[i["FtA_N"]], [-i["FtA_N"] * tangent]], [[-i["FtB_N"]], [i["FtB_N"] * tangent]]])
    r = Beam([0, i["span_mm"] * MM], [0.02], 206 * GPA, [0, i["span_mm"] * MM], [i["xA_mm"] * MM, i["xB_mm"] * MM]).solve(
        F, np.zeros_like(F))
    M = max(beam.resultant_moment(*r.moment_left[n, :, 0]) for n in (0, 1))
    return first(M, i["T_Nmm"] * MM, i["Kb"], i["Kt"], i["tau_allow_MPa"] * MPA)


def first(M, T, k_b, k_t, tau):
    return sizing.first_diameter(sizing.raised_for_shock(M, k_b), sizing.raised_for_shock(T, k_t), tau)


def sadhu_keyed(i):
    M = beam.resultant_moment(i["Mv_Nmm"] * MM, i["Mh_Nmm"] * MM)
    return first(M, i["T_Nmm"] * MM, i["Km"], i["Kt"], sizing.allowed_shear(i["Syt_MPa"] * MPA, i["Sut_MPa"] * MPA, 1.0))


def sadhu_belt(i):
    """Largest moment at the bearing beside the overhung pulley: the belt pulls with both parts."""
    T = i["P_kW"] * KILO / (i["n_rpm"] * REV_PER_MIN)
    slack = T / (i["d_pulley_mm"] * MM / 2) / (i["tension_ratio"] - 1)
    M = slack * (1 + i["tension_ratio"]) * i["overhang_mm"] * MM
    return first(M, T, i["Km"], i["Kt"], sizing.allowed_shear(i["Syt_MPa"] * MPA, i["Sut_MPa"] * MPA, 1.0))


def torque(i):
    return i["P_hp"] * HORSEPOWER / (i["n_rpm"] * REV_PER_MIN)


def surface_shear(T, d):
    return round_bar.torsion_stress(T, round_bar.polar_modulus(d, 0.0))


def geared_twist(i):
    far = shaft.wind_up_of({"AB": (i["T_Nm"], i["L_AB_m"], i["d_mm"] * MM, 0.0)}, i["G_GPa"] * GPA)
    ratio = i["r_gear_DC_mm"] / i["r_gear_AB_mm"]
    near = shaft.wind_up_of({"DC": (i["T_Nm"] * ratio, i["L_DC_m"], i["d_mm"] * MM, 0.0)}, i["G_GPa"] * GPA)
    return far + near * ratio


def per_metre(i, limit="limit_deg_per_m"):
    return sizing.twist_diameter(i["T_Nm"], 1.0, i["G_GPa"] * GPA, i[limit] * DEGREE)


def disc_mass(i, bore=0.0):
    return inertia.mass(i["rho"], inertia.ring_volume(i["D_mm"] * MM, i.get("d_mm", bore) * MM, i["t_mm"] * MM))


def disc(i):
    return inertia.ring(disc_mass(i), i["D_mm"] * MM, i.get("d_mm", 0.0) * MM)


def rod(i):
    m = inertia.mass(i["rho"], inertia.ring_volume(i["d_mm"] * MM, 0.0, i["L_mm"] * MM))
    # the row counts the thickness too: a disc's own inertia about its diameter is half that about its axis
    return inertia.rod_about_end(m, i["L_mm"] * MM) + inertia.ring(m, i["d_mm"] * MM, 0.0) / 2


def sphere(i):
    return inertia.sphere(inertia.mass(i["rho"], inertia.sphere_volume(i["D_mm"] * MM)), i["D_mm"] * MM)


def torus(i):
    R, c = i["R_mm"] * MM, i["r_mm"] * MM
    return inertia.torus(inertia.mass(i["rho"], inertia.torus_volume(R, c)), R, c)


def rated(part):
    return lambda i: table("slope_limits")[part].number("high_rad")


TABLES = {
    **{f"brg-{n}": lambda i: ball_bearing.bearing(i["designation"]).outside for n in (
        6000, 6002, 6004, 6006, 6008, 6200, 6202, 6204, 6205, 6206, 6302, 6304, 6305)},
    **{f"key-din6885-{d}": lambda i: key_section(i).number("b_mm", MM) for d in (10, 16, 20, 30, 35, 40, 50, 60)},
    "key-boundary-22": lambda i: key_section(i).number("b_mm", MM),
    "key-bore-25-d+t2": lambda i: (i["d_mm"] + key_section(i).number("t2_hub_mm")) * MM,
    "key-shaft-25-d-t1": lambda i: (i["d_mm"] - key_section(i).number("t1_shaft_mm")) * MM,
    "slope-limit-cylindrical-roller": rated("cylindrical roller bearing"),
    "slope-limit-deep-groove": rated("deep-groove ball bearing"),
    "slope-limit-tapered-roller": rated("tapered roller bearing"),
    "slope-limit-uncrowned-spur": rated("uncrowned spur gear"),
    **{f"brg-XY-psi-{p}": lambda i: thrust(i["Fa_over_iZD2_psi"] * 0.9999) for p in ("24_92", "300_15", "999_05")},
}
"""Rows that a table of the house repeats: they catch a slip of the pen, but prove no method."""

FORMULAS = {
    "brg-life-jindal-18.2a": jindal_bearing,
    "brg-modified-life": lambda i: life_hours(i["C_kN"] * KILO, i["P_kN"] * KILO, i["n_rpm"], i["a1"]),
    "brg-sm-11.1": lambda i: rating_for(i, i["F_kN"] * KILO), "brg-sm-11.2": lambda i: rating_for(i, i["F_lbf"] * POUND_FORCE),
    "brg-static": lambda i: ball_bearing.static_equivalent_load(i["Fr_N"], i["Fa_N"]),
    "brg-wentzell-20.1": lambda i: life_hours(i["C_lbf"], i["P_lbf"], i["n_rpm"]),
    "cpl-din740-cont": lambda i: coupling.steady_demand(i["TN_Nm"], i["St"]), "cpl-din740-shock-drive": shock,
    "cpl-din740-shock-load": lambda i: coupling.shock_from_load(i["TLS_Nm"], i["JA_kgm2"], i["JL_kgm2"], i["SL"]),
    "cpl-misalign-sum": misalignment,
    "din743-K1-QT-Re-60": strength_loss("quenched and tempered", "e"),
    "din743-K1-QT-Rm-60": strength_loss("quenched and tempered", "m"),
    "din743-K1-struct-Re-60": strength_loss("structural", "e"),
    **{f"din743-beta-press-{R}": lambda i: notch.press_seat_bending_40(i["sigmaB_MPa"] * MPA) for R in (500, 700, 1000)},
    "endur-Se-1020-guess": limit_of_part, "endur-Se-sadhu-4.3": sadhu_limit, "endur-ka-ground-700": finish("ground"),
    "endur-ka-hotrolled-700": finish("hot-rolled"), "endur-ka-machined-520": finish("machined or cold-drawn"),
    **{f"endur-kb-{d}mm": lambda i: endurance.size_factor(i["d_mm"] * MM) for d in (10, 25, 50, 100)},
    "endur-ke-90": k_e, "endur-ke-95": k_e, "endur-ke-99_99": k_e,
    "inertia-disc-J": disc, "inertia-disc-m": disc_mass, "inertia-ring-J": disc, "inertia-rod-end": rod,
    "inertia-parallel": lambda i: inertia.parallel_axis(i["J0"], i["m_kg"], i["a_m"]),
    "inertia-reflect": lambda i: inertia.reflected(i["J_kgm2"], i["i"]), "inertia-sphere": sphere, "inertia-torus": torus,
    "section-polar": lambda i: round_bar.polar_moment(i["D_mm"] * MM, i["d_mm"] * MM),
    "key-din6892-C": flank, "key-pressure-allow": lambda i: parallel_key.permissible_pressure(i["Re_MPa"] * MPA),
    "key-sadhu-7.10": lambda i: length_in_shear(i["T_Nm"], i["d_mm"] * MM, i["b_mm"] * MM, i["tau_MPa"] * MPA),
    "key-sadhu-7.8": key_by_power, "key-wentzell-15.1c": key_crushed,
    "notch-Kf-690-r3": K_f, "notch-keyseat-Kf": lambda i: notch.fatigue_factor(i["Kt"], i["q"], 0.0),
    "notch-keyseat-Kfs": lambda i: notch.fatigue_factor(i["Kts"], i["qs"], 0.0),
    "notch-qs-690-r3": lambda i: notch.sensitivity(notch.neuber_torsion(i["Sut_MPa"] * MPA), i["r_mm"] * MM),
    "crank-runaway-energy": lambda i: drives.weight_energy(i["m_kg"], i["g"], i["h_m"]),
    "rig-drop": lambda i: hanging_load.arrest_force(1.0, i["h_mm"] * MM, 1 / (i["static_sag_mm"] * MM)),
    "rig-over-persons": lambda i: hanging_load.limit_over_people(i["WLL"]),
    "rig-angle-60": lambda i: hanging_load.part_pull(1.0, 2.0, i["angle_from_vertical_deg"] * DEGREE),
    "rig-wll": lambda i: hanging_load.working_load_limit(i["break_lbf"] * POUND_FORCE, i["factor"]),
    "defl-overhang": deflected(lambda i: (i["span_mm"] + i["overhang_mm"]) * MM, lambda i: [0, i["span_mm"] * MM],
                               lambda i: (i["span_mm"] + i["overhang_mm"]) * MM, lambda r: r.deflection[0, 0, 0]),
    "defl-ss-offcentre": deflected(lambda i: (i["a_mm"] + i["b_mm"]) * MM, lambda i: [0, (i["a_mm"] + i["b_mm"]) * MM],
                                   lambda i: i["a_mm"] * MM, lambda r: r.deflection[0, 0, 0]),
    "defl-ss-slope": slope_at_bearing,
    "defl-resize-7-4": lambda i: sizing.resized_diameter(i["d_old_in"] * INCH, i["n_d"], i["slope_old_rad"], i["slope_allow_rad"]),
    "shaft-de-goodman-inch": lambda i: goodman(i, PSI, LBF_IN), "shaft-wentzell-5.3": wentzell_goodman,
    "shaft-asme-jindal-15.2": two_gears, "shaft-asme-sadhu-6.1": sadhu_keyed, "shaft-asme-sadhu-6.4": sadhu_belt,
    "shaft-belt-jindal-15.5": lambda i: first(i["M_Nm"], i["T_Nm"], 1.5, 2.0, i["tau_allow_MPa"] * MPA),
    "shaft-hibbeler-11": lambda i: sizing.first_diameter(beam.resultant_moment(i["M1_Nm"], i["M2_Nm"]), i["T_Nm"], i["tau_MPa"] * MPA),
    "shaft-hibbeler-5.4": lambda i: sizing.torsion_diameter(torque(i), i["tau_psi"] * PSI),
    "shaft-hollow-ratio": lambda i: sizing.tube_diameter(1.0, i["bore_ratio"]),
    "shaft-hollow-mass": lambda i: sizing.tube_diameter(1.0, i["bore_ratio"]) ** 2 * (1 - i["bore_ratio"] ** 2),
    "shaft-wentzell-17.1": lambda i: surface_shear(torque(i), i["d_in"] * INCH),
    "shaft-wentzell-17.2": lambda i: round_bar.greatest_shear(i["sigma_psi"] * PSI, i["tau_psi"] * PSI),
    "torsion-solid-3.2": lambda i: sizing.torsion_diameter(i["T_Nm"], i["tau_MPa"] * MPA),
    **{f"kt-bend-norton-{n}": power_law("bending") for n in ("1_1-0_05", "1_2-0_1", "2-0_05")},
    **{f"kt-tors-norton-{n}": power_law("torsion") for n in ("1_09-0_05", "1_2-0_1")},
    "kt-bend-pilkey-45-40-1": cubic(notch.bending_high_shoulder),
    **{f"kt-tors-pilkey-{n}": cubic(notch.torsion_shoulder) for n in ("24-20-2", "45-40-1", "60-40-4")},
    "shaft-twist-jindal-15.4-2": lambda i: sizing.twist_diameter(
        i["P_W"] / (i["n_rpm"] * REV_PER_MIN), i["L_mm"] * MM, i["G_GPa"] * GPA, i["theta_rad"]),
    "torsion-bar-3.1a": lambda i: surface_shear(i["T_lbf_ft"] * FOOT * POUND_FORCE, i["d_in"] * INCH),
    "torsion-bar-3.1b": lambda i: shaft.wind_up_of(
        {"bar": (i["T_lbf_ft"] * FOOT * POUND_FORCE, i["L_in"] * INCH, i["d_in"] * INCH, 0.0)}, i["G_psi"] * PSI),
    "torsion-solid-3.2-twist": lambda i: per_metre(i, "theta_deg_per_m"), "twist-hibbeler-5.6": geared_twist,
    "windup-d-0_25": per_metre, "windup-d-1_0": per_metre,
}
