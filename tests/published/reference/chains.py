"""Reference rows on chains: which formula or table of the house gives which quantity, in SI."""

from layshaft.elements.roller_chain import geometry as chain
from layshaft.elements.roller_chain import sizes
from layshaft.elements.roller_chain import strength as pull
from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.trace.units import DEGREE, HORSEPOWER, INCH, REV_PER_MIN

MM, KILO, G = 1e-3, 1e3, 9.80665


def size(i):
    name = i["chain"]
    if name.startswith("ANSI "):
        name = f"ASME {name.removeprefix('ANSI ')}"
    return sizes.series(name if "-" in name else f"{name}-1")


def links(i, p=1.0):
    a = i.get("centre_distance_pitches", 0) * p or i["centre_distance_mm"] / i["pitch_mm"] * p
    return chain.links_exact(a, p, i["teeth_small"], i["teeth_large"])


def centre(i):
    p = i.get("pitch_mm", 1.0 / MM) * MM
    return chain.centre_distance_approximate(i["links"], i["teeth_small"], i["teeth_large"], p)


def centre_factor(i):
    """Any pair of wheels will do: the factor depends on the ratio alone."""
    z_1, z_2 = 20.0, 70.0
    X = z_1 + i["ratio_X_minus_z1_over_z2_minus_z1"] * (z_2 - z_1)
    return chain.centre_factor(chain.centre_distance_exact(X, z_1, z_2, 0.01), X, z_1, z_2, 0.01)


def plates(i, coefficient="plate capacity"):
    k = sizes.practice(coefficient).number("value")
    return pull.plate_power(k, i["teeth"], i["speed_rpm"] * REV_PER_MIN, i["pitch_in"] * INCH)


def rollers(i, rpm=None):
    """The printed equation: chain of 100 links over 15 000 h."""
    return pull.roller_power(i.get("Kr", 17), i["teeth"], (rpm or i["speed_rpm"]) * REV_PER_MIN,
                             i["pitch_in"] * INCH, 100.0, 15_000 * 3600.0)


def crossing(i):
    """Speed at which both branches carry the same, by halving."""
    low, high = 100.0, 9000.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if plates({**i, "speed_rpm": middle}) < rollers(i, middle) else (low, middle)
    return low * REV_PER_MIN


def table_power(i):
    return pull.table_power(i["power_hp"] * HORSEPOWER, i["service_factor"], i["design_factor"],
                            i["tooth_factor"], i["strand_factor"])


def design_power(i):
    return pull.table_power(i["power_kW"] * KILO, i["service_factor"], 1.0, i["tooth_factor"], i["strand_factor"])


def tension(i):
    v = i.get("chain_speed_m_s") or chain.chain_speed(i["pitch_mm"] * MM, i["teeth"], i["speed_rpm"] * REV_PER_MIN)
    return pull.pull_from_power(i["power_kW"] * KILO, v)


def tension_in_inches(i):
    v = chain.chain_speed(i["pitch_in"] * INCH, i["teeth"], i["speed_rpm"] * REV_PER_MIN)
    return pull.pull_from_power(i["power_hp"] * HORSEPOWER, v)


def jump(i):
    z = i["teeth"]
    K = chain.engaged_teeth(z, i["wrap_deg"] * DEGREE)
    return pull.back_pull(i["tension_kgf"] * G, pull.tooth_angle(z), z, K, 1.0)


def elongation(teeth, fixed):
    e = [sizes.practice(f"wear elongation{tail}").number("value") / 100 for tail in ("", " times teeth", " fixed")]
    return chain.permitted_elongation(teeth, fixed, *e)


def practice(item, unit=1.0):
    return lambda i: sizes.practice(item).number("value") * unit


TABLES = {
    "pitch": lambda i: size(i).pitch, "roller diameter max": lambda i: size(i).roller_diameter,
    "roller diameter": lambda i: size(i).roller_diameter, "inner width min": lambda i: size(i).inner_width,
    "pin diameter max": lambda i: size(i).pin_diameter, "pin diameter": lambda i: size(i).pin_diameter,
    "transverse pitch": lambda i: size(i).transverse_pitch, "minimum tensile strength": lambda i: size(i).breaking_load,
    "minimum ultimate tensile strength, single strand": lambda i: size(i).breaking_load,
    "mass per metre (typical)": lambda i: size(i).mass_per_metre,
    "application factor f1": lambda i: sizes.application_factor(i["driver_class"], i["driven_class"]).number("f_1"),
    "multiple strand factor": lambda i: table("chain_strand_factors")[str(i["strands"])].number("K_2"),
    "max working pull / ultimate, slow drive, slip-fit or offset link": practice("working pull slip fit"),
    "hand chain minimum strength / maximum hand pull": practice("hand chain of a hand hoist"),
    "usual range of safety factor, conveyor-type slow chain (low end)": practice("slow conveyor chain least"),
    "max chain speed for suspended-load use without consulting maker": practice("hanging speed", 1 / 60),
}
"""Rows that a table of the house repeats: they catch a slip of the pen, but prove no method."""

FORMULAS = {
    "bearing (joint) area": lambda i: pull.joint_area(i["pin_diameter_mm"] * MM, i["bush_length_mm"] * MM, 1.0),
    "sprocket pitch diameter": lambda i: chain.pitch_diameter(i["pitch_mm"] * MM, i["teeth"]),
    "chain length in pitches (approximate formula)": links, "centre distance for chosen links": centre,
    "centre-distance factor f4": centre_factor,
    "length correction factor f3 = ((z2-z1)/2pi)^2": lambda i: chain.length_factor(20.0, 20.0 + i["teeth_difference"]),
    "chordal speed variation (vmax-vmin)/v": lambda i: chain.chordal_variation(i["teeth"]),
    "chain speed": lambda i: chain.chain_speed(i["pitch_mm"] * MM, i["teeth"], i["speed_rpm"] * REV_PER_MIN),
    "chain length": lambda i: chain.chain_length(links(i), i["pitch_mm"] * MM), "force in chain": tension_in_inches,
    "articulation (half) angle on sprocket": lambda i: chain.articulation(i["teeth"]),
    "rated power, link-plate branch": plates, "rated power, roller/bushing impact branch": rollers,
    "rated power, light chain no. 41": lambda i: plates(i, "plate capacity light"),
    "speed where plate-fatigue and impact branches cross": crossing, "required tabulated power": table_power,
    "tooth correction factor, plate branch": lambda i: pull.tooth_factor_plates(i["teeth"]),
    "tooth correction factor, impact branch": lambda i: pull.tooth_factor_rollers(i["teeth"]),
    "tooth factor f2 (multiplies the power to be transmitted)": lambda i: pull.tooth_factor_demand(i["teeth"]),
    "tooth factor f2": lambda i: pull.tooth_factor_demand(i["teeth"]), "design power": design_power,
    "chain tension": tension,
    "factor of safety on breaking load": lambda i: margin(i["breaking_load_N"], i["tension_N"]),
    "bearing pressure in chain joint": lambda i: pull.joint_pressure(i["working_pull_N"], i["bearing_area_mm2"] * MM**2),
    "maximum wear elongation": lambda i: elongation(i["teeth_large"], 0.0),
    "maximum wear elongation, large sprocket": lambda i: elongation(i["teeth_large"], 0.0),
    "maximum wear elongation, fixed centres, parallel chains or smooth running": lambda i: elongation(40.0, 1.0),
    "back tension preventing tooth jump": jump,
}
