"""Reference rows on bolts, welds, pins, beams and bodies: which formula answers which row, in SI."""

from layshaft.elements import fillet_weld as weld
from layshaft.listings.tables import table
from layshaft.mechanics import pins, sections, spans, threads
from layshaft.trace.units import INCH, POUND_FORCE

MM, KILO, MPA = 1e-3, 1e3, 1e6


def stress_area(i):
    d, P = i["d_mm"] * MM, i["P_mm"] * MM
    return threads.stress_area(threads.flank_diameter(d, P), threads.core_diameter(d, P))


def proof_strength(i):
    return threads.property_class(i["class"], i.get("d_mm", 12) * MM if i["class"] != "9.8" else 0.010).number("proof_MPa", MPA)


def wentzell_torque(i):
    """The book tightens to 85 % of the proof load."""
    F = 0.85 * threads.proof_load(i["As_in2"] * INCH**2, i["Sp_psi"] * POUND_FORCE / INCH**2)
    return threads.tightening_torque(F, i["K"], i["D_in"] * INCH)


def tube(i):
    b, inside = i["b_mm"] * MM, (i["b_mm"] - 2 * i["t_mm"]) * MM
    return sections.rectangle_moment(b, b, inside, inside)


def seat_slope(i):
    """Slope at the support of an even load over the sag in the middle."""
    L, EI = i["L_m"], (210e9, 1e-6)
    return i["sag_mm"] * MM / spans.even_sag_between(1.0, L, L / 2, *EI) * spans.even_slope_between(1.0, L, 0.0, *EI)


def line_stress(F, h, length):
    """Even shear of a length of fillet."""
    return weld.stress_along(F, weld.throat(h), length, 0.0, 0.0, 1.0)


def twisted_group(i):
    b, d, F = i["b_in"] * INCH, i["d_in"] * INCH, 1.0
    t, L = weld.throat(i["h_in"] * INCH), weld.weld_length(2.0, d, 0.0, b, 0.0)
    J = weld.polar(weld.moment_along(2.0, d, 0.0, b, 0.0), weld.moment_across(2.0, d, 0.0, b, 0.0))
    T = F * i["arm_in"] * INCH
    tau = weld.throat_stress(weld.stress_along(F, t, L, T, b, J), weld.stress_across(0.0, t, L, T, d, J), 0.0)
    return i["tau_kpsi"] * KPSI / tau


def pin_load(i):
    return table("dowel_pins")[f"dowel {i['d_mm']}"].number("shear_kN", KILO)


KPSI = KILO * POUND_FORCE / INCH**2
FORMULAS = {
    "weld-jindal-12.1": lambda i: line_stress(i["F_kN"] * KILO, i["h_mm"] * MM, i["l_mm"] * MM),
    "weld-jindal-12.2": lambda i: line_stress(i["P_kN"] * KILO, i["h_mm"] * MM, 1.0) / (
        i["n_welds"] * i["tau_MPa"] * MPA),
    "weld-jindal-12.3": lambda i: i["tau_MPa"] * MPA / line_stress(1.0, i["h_mm"] * MM, 2 * i["l_mm"] * MM),
    "weld-sm-9.4": lambda i: line_stress(i["F_kip"] * KILO * POUND_FORCE, i["h_in"] * INCH, i["l_total_in"] * INCH),
    "weld-sm-9.5": twisted_group,
    "beam-ipe200-defl": lambda i: spans.sag_between(
        i["F_kN"] * KILO, i["L_m"], i["L_m"] / 2, i["L_m"] / 2, i["E_GPa"] * 1e9, i["I_cm4"] * 1e-8),
    "beam-shs-I": tube, "beam-shs-W": lambda i: sections.section_modulus(tube(i), i["b_mm"] * MM / 2),
    "frame-slope-shaft": seat_slope,
    "pin-cross-shear": lambda i: pins.cross_pin_shear(i["T_Nm"], i["d_pin_mm"] * MM, i["d_shaft_mm"] * MM),
    "pin-cross-pressure": lambda i: pins.cross_pin_pressure(i["T_Nm"], i["d_pin_mm"] * MM, i["d_shaft_mm"] * MM),
    **dict.fromkeys(("bolt-As-M8", "bolt-As-M10", "bolt-As-M12", "bolt-As-M16x1.5", "bolt-As-M20"), stress_area),
    "bolt-joint-jindal-9.6": lambda i: threads.bolt_pull(
        i["Pi_kN"] * KILO, i["C"], i["Pe_kN"] * KILO) / (i["At_mm2"] * 1e-6),
    "bolt-T-jindal-9.6": lambda i: threads.tightening_torque(i["F_N"], i["K"], i["d_mm"] * MM),
    "bolt-proof-M12-8.8": lambda i: threads.proof_load(i["As_mm2"] * 1e-6, i["Sp_MPa"] * MPA),
    "bolt-wentzell-6.1": wentzell_torque,
}
TABLES = {
    **dict.fromkeys(("bolt-Sp-4.6", "bolt-Sp-8.8", "bolt-Sp-9.8", "bolt-Sp-10.9", "bolt-Sp-12.9"), proof_strength),
    **dict.fromkeys(("pin-asme-6-shear", "pin-asme-10-shear"), pin_load),
}
