"""Reference rows on fatigue lines and DIN 743: which formula answers which row, in SI."""

from types import SimpleNamespace

from layshaft.elements.shaft import din_743
from layshaft.listings.tables import table
from layshaft.mechanics import criteria, endurance, materials
from layshaft.trace.units import INCH, POUND_FORCE

MM, UM, MPA = 1e-3, 1e-6, 1e6
PSI, LBF_IN = POUND_FORCE / INCH**2, POUND_FORCE * INCH


def diameter(criterion, strength, stress=MPA, moment=1.0):
    unit, force = ("_MPa", "_Nm") if stress == MPA else ("_psi", "_lbf_in")

    def answer(i):
        M_a, T_a, M_m, T_m = (i[k + force] * moment for k in ("Ma", "Ta", "Mm", "Tm"))
        A = endurance.alternating_moment(i["Kf"], M_a, i["Kfs"], T_a)
        B = endurance.mean_moment(i["Kf"], M_m, 0.0, 1.0, i["Kfs"], T_m)
        return criterion(i["n"], A, i["Se" + unit] * stress, B, i[strength + unit] * stress)
    return answer


def wentzell_soderberg(i):
    """Half the load alternates, half is steady, in bending: an equivalent moment is twice the bending moment."""
    M = i["F_lbf"] / 2 * i["L_in"] * LBF_IN
    return criteria.soderberg_diameter(i["SF"], 2 * M, i["Sn_psi"] * PSI, 2 * M, i["Sy_psi"] * PSI)


def sadhu_soderberg(i):
    """A load in the middle of a simple beam, from 20 to 40 kN."""
    M_a, M_m = ((i["Wmax_kN"] - s * i["Wmin_kN"]) / 2 * 1e3 * i["L_mm"] * MM / 4 for s in (1, -1))
    S_e = i["Se_dash_MPa"] * MPA * i["ka"] * i["kb"]
    return criteria.soderberg_diameter(i["n"], 2 * M_a, S_e, 2 * M_m, i["Syt_MPa"] * MPA)


def jindal_elliptic(i):
    """Bending turns, torque is steady: the ellipse with the shear yield strength."""
    d = i["d_mm"] * MM
    sigma, tau = din_743.bending_stress(i["M_Nmm"] * MM, d), din_743.torsion_stress(i["T_Nmm"] * MM, d)
    return criteria.elliptic_margin(sigma, tau, i["Se_MPa"] * MPA, i["Ssy_MPa"] * MPA)


def form(_):
    def alpha(i):
        return din_743.form_factor(i["A"], i["B"], i["C"], i["z"], *(i[k] * MM for k in ("D_mm", "d_mm", "r_mm")))
    return alpha


def factors(i):
    """Form factor, strengths of the bar and notch factors of the worked shoulder."""
    D, d, r, bar = (i[k] * MM for k in ("D_mm", "d_mm", "r_mm", "d_eff_mm"))
    rows = table("steel_conditions")["quenched and tempered"]
    K_1 = [materials.size_factor(bar, rows.number(f"dB_{k}_mm", MM), rows.number(f"k_{k}")) for k in ("m", "e")]
    R_m, R_e = i["sigmaB_MPa"] * MPA * K_1[0], i["sigmaS_MPa"] * MPA * K_1[1]
    alpha = din_743.form_factor(*din_743.SHOULDER["bending"], D, d, r)
    return K_1[0], R_m, R_e, alpha, din_743.cut_factors("shoulder", D, d, r, R_e)


def proofs(i):
    _, R_m, R_e, _, (beta_b, beta_t) = factors(i)
    return din_743.proofs(SimpleNamespace(
        d=i["d_mm"] * MM, M=i["Mb_alt_Nm"], M_m=0.0, T_a=0.0, T_m=i["T_steady_Nm"], F_a=0.0, R_m=R_m, R_e=R_e,
        beta_b=beta_b, beta_t=beta_t, beta_tested=0.0, R_z=i["Rz_um"] * UM, w_b=1.0, w_t=1.0))


def yield_with_form_factor(i):
    """The row takes the group of 5 % from the form factor 1.56; the house's notch factor 1.43 stays below it."""
    _, _, R_e, alpha, _ = factors(i)
    d = i["d_mm"] * MM
    return din_743.yield_margin(0.0, R_e, din_743.bending_stress(i["Mb_alt_Nm"], d), din_743.yield_limit(alpha, R_e),
                                din_743.torsion_stress(i["T_steady_Nm"], d), din_743.shear_yield_limit(R_e))


FORMULAS = {
    "shaft-de-elliptic-metric": diameter(criteria.elliptic_diameter, "Sy"),
    "shaft-de-gerber-metric": diameter(criteria.gerber_diameter, "Sut"),
    "shaft-de-gerber-inch": diameter(criteria.gerber_diameter, "Sut", PSI, LBF_IN),
    "shaft-de-soderberg-metric": diameter(criteria.soderberg_diameter, "Sy"),
    "shaft-de-soderberg-inch": diameter(criteria.soderberg_diameter, "Sy", PSI, LBF_IN),
    "shaft-fatigue-n-jindal-15.7": jindal_elliptic, "shaft-soderberg-sadhu-6.7": sadhu_soderberg,
    "shaft-wentzell-5.2": wentzell_soderberg,
    "din743-K2-40": lambda i: din_743.size_factor(i["d_mm"] * MM),
    "din743-K2-100": lambda i: din_743.size_factor(i["d_mm"] * MM),
    "din743-KF-6_3-1100": lambda i: din_743.roughness_factor(i["Rz_um"] * UM, i["sigmaB_MPa"] * MPA),
    **{f"din743-alpha-b-{n}": form("bending") for n in ("24-20-2", "45-40-1", "50-42-5")},
    **{f"din743-alpha-t-{n}": form("torsion") for n in ("24-20-2", "45-40-1", "50-42-5")},
    "din743-beta-key-1000": lambda i: din_743.keyway_bending_40(i["sigmaB_MPa"] * MPA),
    "din743-case-K1B": lambda i: factors(i)[0],
    "din743-case-KFs": lambda i: din_743.roughness_factor(i["Rz_um"] * UM, factors(i)[1]),
    "din743-case-ab": lambda i: factors(i)[3], "din743-case-bb": lambda i: factors(i)[4][0],
    "din743-case-bt": lambda i: factors(i)[4][1], "din743-case-S2": lambda i: proofs(i).S_743,
    "din743-case-SF": yield_with_form_factor,
}
