"""Reference rows on gears: which formula of the house gives which quantity, in SI."""

from types import SimpleNamespace

import numpy as np

from layshaft.elements.gear_pair import forces, geometry, iso_6336, strength
from layshaft.elements.gear_pair import iso_6336_flank as flank
from layshaft.elements.gear_pair import iso_6336_root as root
from layshaft.mechanics import loads
from layshaft.trace.units import DEGREE, FOOT, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN

MM, KILO, MEGA = 1e-3, 1e3, 1e6
PSI = POUND_FORCE / INCH**2


def spur(i):
    """Geometry of a spur pair, addendum as given in the row."""
    m, a = i["module_mm"] * MM, i["pressure_angle_deg"] * DEGREE
    z = i["teeth_1"], i["teeth_2"]
    d = [geometry.reference_diameter(n, m) for n in z]
    h = i.get("addendum_mm", i["module_mm"]) * MM
    db = [geometry.base_diameter(x, a) for x in d]
    da = [geometry.tip_diameter(x, h, 0.0, 0.0) for x in d]
    centre = geometry.reference_centre_distance(*z, m)
    path = geometry.path_of_contact(da[0], db[0], da[1], db[1], centre, a)
    return SimpleNamespace(m=m, alpha=a, z=z, d=d, db=db, da=da, path=path,
                           ratio=geometry.contact_ratio(path, geometry.base_pitch(m, a)))


def shifted(i):
    """Working geometry of a pair with profile shifts."""
    m_n = i.get("normal_module_mm", i.get("module_mm")) * MM
    an, beta = i["pressure_angle_deg"] * DEGREE, i.get("helix_deg", 0) * DEGREE
    at, m_t = geometry.transverse_angle(an, beta), geometry.transverse_module(m_n, beta)
    z, x = (i["teeth_1"], i["teeth_2"]), (i["shift_1"], i["shift_2"])
    inv = geometry.working_involute(at, an, *x, *z)
    low, high = 0.0, 1.2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if geometry.involute_residual(middle, inv) < 0 else (low, middle)
    a = geometry.reference_centre_distance(*z, m_t)
    a_w = geometry.working_centre_distance(a, at, low)
    k = geometry.tip_shortening(*x, geometry.centre_modification(a_w, a, m_n))
    d = [geometry.reference_diameter(n, m_t) for n in z]
    da = [geometry.tip_diameter(d[n], m_n, x[n], k) for n in (0, 1)]
    db = [geometry.base_diameter(n, at) for n in d]
    path = geometry.path_of_contact(da[0], db[0], da[1], db[1], a_w, low)
    return SimpleNamespace(inv=inv, alpha_w=low, a_w=a_w, d=d, da=da, db=db, x=x, m_n=m_n,
                           ratio=geometry.contact_ratio(path, geometry.base_pitch(m_t, at)))


def helical(i):
    an, beta = i["pressure_angle_deg"] * DEGREE, i["helix_deg"] * DEGREE
    m_t, at = geometry.transverse_module(i["normal_module_mm"] * MM, beta), geometry.transverse_angle(an, beta)
    return an, beta, m_t, at


def force(i):
    """Tangential, radial and axial force of the row's gear."""
    if "power_kW" in i:
        _, beta, m_t, at = helical(i)
        d, P = geometry.reference_diameter(i["teeth"], m_t), i["power_kW"] * KILO
    else:
        beta, at, P = 0.0, i.get("pressure_angle_deg", 20) * DEGREE, i["power_hp"] * HORSEPOWER
        d = i.get("pitch_diameter_in", i.get("teeth", 0) / i.get("diametral_pitch_per_in", 1)) * INCH
    F_t = forces.tangential_force(P / (i["speed_rpm"] * REV_PER_MIN), d)
    return F_t, forces.radial_force(F_t, at), forces.axial_force(F_t, beta)


def separating(i):
    at = geometry.transverse_angle(i["pressure_angle_deg"] * DEGREE, i["helix_deg"] * DEGREE)
    return forces.radial_force(i["tangential_force_lbf"] * POUND_FORCE, at)


def at_centres(i):
    _, _, m_t, at = helical(i)
    z = i["teeth_1"], i["teeth_2"]
    return z, at, geometry.working_angle_at(geometry.reference_centre_distance(*z, m_t), at,
                                            i["centre_distance_mm"] * MM)


def shifts(i):
    z, at, aw = at_centres(i)
    return geometry.shift_sum(*z, at, aw, i["pressure_angle_deg"] * DEGREE)


def set_apart(i):
    m = INCH / i["diametral_pitch_per_in"]
    a = geometry.reference_centre_distance(i["teeth_1"], i["teeth_2"], m)
    return geometry.working_angle_at(a, i["pressure_angle_deg"] * DEGREE, i["centre_distance_in"] * INCH)


def wear(i):
    return strength.wear_capacity(i["pitch_diameter_mm"] * MM, i["face_width_mm"] * MM,
                                  strength.ratio_factor(i["teeth_1"], i["teeth_2"]), strength.wear_factor(i["hardness_BHN"]))


def lewis(i):
    return strength.root_capacity(i["endurance_psi"] * PSI, i["face_width_in"] * INCH,
                                  INCH / i["diametral_pitch_per_in"], i["form_factor_Y"])


def barth(i):
    if "power_hp" in i:
        F_t = force(i)[0]
        v = geometry.pitch_line_speed(i["speed_rpm"] * REV_PER_MIN, i["pitch_diameter_in"] * INCH)
    else:
        F_t, v = i["tangential_force_lbf"] * POUND_FORCE, i["pitch_line_speed_ft_min"] * FOOT / 60
    return strength.dynamic_load(F_t, strength.barth_factor(v))


def lewis_power(i):
    """Half the ultimate strength counts; the dynamic load may reach the capacity of the root."""
    m = INCH / i["diametral_pitch_per_in"]
    v = geometry.pitch_line_speed(i["speed_rpm"] * REV_PER_MIN, geometry.reference_diameter(i["teeth"], m))
    F = strength.root_capacity(strength.endurance_stress(i["ultimate_psi"] * PSI), i["face_width_in"] * INCH, m,
                               i["form_factor_Y"])
    return F / strength.dynamic_load(1.0, strength.barth_factor(v)) * v


def undercut_teeth(i):
    """The least whole number that needs no shift."""
    z = np.arange(8.0, 40.0)
    free = geometry.undercut_limit(z, i["pressure_angle_deg"] * DEGREE, 0.0) <= 0
    return z[free][0]


def tip_shares(i):
    p = spur(i)
    return [geometry.tip_contact_ratio(z, geometry.tip_angle(db, da), p.alpha)
            for z, db, da in zip(p.z, p.db, p.da, strict=True)]


def loss(i):
    return loads.mesh_loss_factor(i["teeth_1"], i["teeth_2"], 0.0, *tip_shares({"module_mm": 1, "pressure_angle_deg": 20, **i}))


def flanks(i):
    """Shape of the row's pair for ISO 6336; module and helix as given."""
    m = i.get("normal_module_mm", i.get("module_mm")) * MM
    an, beta = i["pressure_angle_deg"] * DEGREE, i.get("helix_deg", 0) * DEGREE
    at, z = geometry.transverse_angle(an, beta), (i["teeth_1"], i["teeth_2"])
    inv = geometry.working_involute(at, an, i.get("shift_1", 0), i.get("shift_2", 0), *z)
    return SimpleNamespace(m=m, z=z, at=at, aw=geometry.working_angle(inv), bb=geometry.base_helix(beta, an))


def zone(i):
    p = flanks(i)
    return flank.zone_factor(p.bb, p.at, p.aw)


def nominal_pressure(i):
    """Contact ratio, zone and elasticity factor of a plain spur pair, and the pressure they give."""
    i = {"pressure_angle_deg": 20, **i}
    p = flanks(i)
    d, b = p.z[0] * p.m, i["face_width_mm"] * MM
    return flank.nominal_pressure(zone(i), flank.elasticity_factor(206e9, 0.3), flank.contact_factor(spur(i).ratio, 0.0), 1.0,
                                  forces.tangential_force(i["pinion_torque_Nm"], d), d, b, *p.z)


def root_stress(i):
    return root.nominal_root(i["tangential_force_N"], i["face_width_mm"] * MM, i["module_mm"] * MM, i["YF"], i["YS"],
                             1.0, 1.0)


ISO_6336 = {
    "elasticity factor ZE steel/steel": lambda i: flank.elasticity_factor(i["E_N_mm2"] * MEGA, i["poisson"]),
    "contact ratio factor Zeps (spur)": lambda i: flank.contact_factor(i["eps_alpha"], i["eps_beta"]),
    "contact ratio factor Zeps (overlap >= 1)": lambda i: flank.contact_factor(i["eps_alpha"], i["eps_beta"]),
    "helix factor Zbeta, 2006 and later": lambda i: flank.helix_factor(i["helix_deg"] * DEGREE),
    "nominal contact stress sigma_H0": nominal_pressure,
    "nominal root stress sigma_F0 (factors given)": root_stress, "zone factor ZH, helical": zone,
    "tooth-mesh frequency": lambda i: iso_6336.meeting_frequency(i["speed_rpm"] * REV_PER_MIN, i["teeth"]) / (2 * np.pi),
}
FORMULAS = ISO_6336 | {
    "tooth loss factor HV, spur": loss,
    "mesh efficiency": lambda i: loads.mesh_efficiency(i["friction_coefficient"], loss(i)),
    "axial force helical": lambda i: (force(i)[2] if "power_kW" in i else forces.axial_force(
        i["tangential_force_lbf"] * POUND_FORCE, i["helix_deg"] * DEGREE)),
    "radial force helical": lambda i: force(i)[1], "tangential force helical": lambda i: force(i)[0],
    "axial thrust of each half of that double helical gear": lambda i: force(i)[2] / 2,
    "separating force helical": separating, "separating force spur": lambda i: force(i)[1],
    "involute function": lambda i: geometry.involute(i["angle_deg"] * DEGREE),
    "length of path of contact": lambda i: spur(i).path, "transverse contact ratio": lambda i: spur(i).ratio,
    "minimum teeth to mesh with a rack without interference": undercut_teeth,
    "involute of working pressure angle": lambda i: shifted(i).inv, "working pressure angle": lambda i: shifted(i).alpha_w,
    "working centre distance": lambda i: shifted(i).a_w, "tip diameter pinion": lambda i: shifted(i).da[0],
    "tip diameter gear": lambda i: shifted(i).da[1],
    "root diameter pinion": lambda i: geometry.root_diameter(shifted(i).d[0], i["module_mm"] * MM, i["shift_1"]),
    "base diameter pinion": lambda i: geometry.base_diameter(
        geometry.reference_diameter(i["teeth"], i["module_mm"] * MM), i["pressure_angle_deg"] * DEGREE),
    "transverse contact ratio, shifted pair": lambda i: shifted(i).ratio,
    "transverse pressure angle": lambda i: geometry.transverse_angle(i["pressure_angle_deg"] * DEGREE, i["helix_deg"] * DEGREE),
    "working transverse pressure angle": lambda i: at_centres(i)[2],
    "sum of profile shift coefficients for the centre distance": shifts,
    "tip diameter helical gear": lambda i: geometry.tip_diameter(
        geometry.reference_diameter(i["teeth"], geometry.transverse_module(i["normal_module_mm"] * MM, i["helix_deg"] * DEGREE)),
        i["normal_module_mm"] * MM, 0.0, 0.0),
    "working pressure angle after mounting error": set_apart, "Buckingham wear strength": wear,
    "allowable pinion tooth force (Lewis)": lewis, "dynamic load (Barth)": barth, "power capacity": lewis_power,
}
