"""Reference rows on bolts, welds, pins, beams and bodies: which formula answers which row, in SI."""

from layshaft.mechanics import threads
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


FORMULAS = {
    **dict.fromkeys(("bolt-As-M8", "bolt-As-M10", "bolt-As-M12", "bolt-As-M16x1.5", "bolt-As-M20"), stress_area),
    "bolt-joint-jindal-9.6": lambda i: threads.bolt_pull(
        i["Pi_kN"] * KILO, i["C"], i["Pe_kN"] * KILO) / (i["At_mm2"] * 1e-6),
    "bolt-T-jindal-9.6": lambda i: threads.tightening_torque(i["F_N"], i["K"], i["d_mm"] * MM),
    "bolt-proof-M12-8.8": lambda i: threads.proof_load(i["As_mm2"] * 1e-6, i["Sp_MPa"] * MPA),
    "bolt-wentzell-6.1": wentzell_torque,
}
TABLES = dict.fromkeys(("bolt-Sp-4.6", "bolt-Sp-8.8", "bolt-Sp-9.8", "bolt-Sp-10.9", "bolt-Sp-12.9"), proof_strength)
