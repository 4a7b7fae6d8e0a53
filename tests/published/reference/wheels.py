"""Reference rows on flywheels, weights, brakes and people: which formula gives which quantity, in SI."""

import numpy as np

from layshaft.elements import crank, flywheel, ratchet
from layshaft.listings.tables import table
from layshaft.mechanics import drives, energy, inertia, loads, rotating
from layshaft.trace.units import FOOT, HORSEPOWER, POUND, POUND_FORCE, REV_PER_MIN

KILO, MM, G = 1e3, 1e-3, 9.80665


def gyration(i):
    m = i.get("mass_kg", i.get("mass_lb", 0) * POUND)
    return drives.gyration_inertia(m, i.get("radius_gyration_m", i.get("radius_gyration_ft", 0) * FOOT))


def swing(E, J, rpm):
    return drives.speed_fluctuation(E, J, rpm * REV_PER_MIN)


def fastest(i):
    J, n = gyration(i), i["mean_speed_rpm"] * REV_PER_MIN
    return n * (1 + drives.speed_fluctuation(i["energy_fluctuation_kJ"] * KILO, J, n) / 2)


def mass_for(dW, C_s, rpm, k):
    return flywheel.needed_inertia(dW, C_s, rpm * REV_PER_MIN) / k**2


def mass_of_power(i):
    work = energy.energy_over(i["power_kW"] * KILO, 60 / i["speed_rpm"])
    return mass_for(work * i["energy_coefficient"], i["speed_fluctuation"], i["speed_rpm"], i["radius_gyration_m"])


def after_rivet(i):
    given = i["energy_per_rivet_J"] - energy.energy_over(i["power_kW"] * KILO, i["time_s"])
    return drives.speed_after(i["speed_rpm"] * REV_PER_MIN, given, gyration(i))


def lost_in_pressing(i):
    given = i["energy_per_pressing_J"] - energy.energy_over(i["power_kW"] * KILO, i["time_s"])
    full = i["speed_rpm"] * REV_PER_MIN
    return full - drives.speed_after(full, given, i["inertia_kg_m2"])


def punch_mass(i):
    """Energy of a stroke less what the motor gives while punching; 1 - share of the cycle."""
    work = np.pi * i["hole_mm"] * i["plate_mm"] * i["energy_per_mm2_J"]
    dW = work - energy.energy_over(work * i["holes_per_min"] / 60, i["punch_time_s"])
    mean, range_ = (i["max_rpm"] + i["min_rpm"]) / 2, i["max_rpm"] - i["min_rpm"]
    return mass_for(dW, range_ / mean, mean, i["radius_gyration_m"])


def twin_wheels(i):
    """The mass is that of both wheels together."""
    work = i["indicated_hp"] * HORSEPOWER / (i["speed_rpm"] / 60)
    return swing(i["energy_coefficient"] * work, gyration(i), i["speed_rpm"])


def energy_of_run_up(i):
    J = gyration(i)
    ends = [rotating.stored_energy(J, i[f"{e}_rpm"] * REV_PER_MIN) for e in ("max", "min")]
    return (ends[0] - ends[1]) / i["run_up_time_s"]


def ring(i):
    return inertia.ring(i["mass_kg"], 2 * i["outer_radius_m"], 2 * i["inner_radius_m"])


def bored(i):
    v = rotating.rim_speed(2 * i["outer_radius_m"], i["speed_rpm"] * REV_PER_MIN)
    return flywheel.bored_disc_stress(i["poisson"], i["density_kg_m3"], v, 2 * i["inner_radius_m"], 2 * i["outer_radius_m"])


def solid(i):
    v = rotating.rim_speed(2 * i["radius_m"], i["speed_rpm"] * REV_PER_MIN)
    return flywheel.solid_disc_stress(i["poisson"], i["density_kg_m3"], v)


def solid_radius(i):
    J = flywheel.needed_inertia(i["energy_fluctuation_J"], i["speed_fluctuation"], i["speed_rpm"] * REV_PER_MIN)
    return flywheel.disc_diameter(J, i["density_kg_m3"], i["thickness_m"]) / 2


def vanes(i):
    k = loads.fan_constant(i["vanes"], i["air_density"], i["drag_coefficient"], i["vane_area_m2"], i["radius_m"])
    return loads.fan_torque(k, i["speed_rpm"] * REV_PER_MIN)


def train_efficiency(i):
    """What is left of 1 W when each stage takes its loss."""
    left = 1.0
    for kind in ("chain", "gear", "bearing"):
        for _ in range(i[f"{kind}_pairs" if kind == "bearing" else f"{kind}_stages"]):
            left -= energy.stage_loss(left, i[f"{kind}_eff"])
    return left


def hand(action):
    return lambda i: crank.force_limit(action).number("force_N")


def power_row(name):
    return lambda i: table("human_power")[name].number("power_W")


TABLES = {
    "maximum hand force on crank or wheel, standing": hand("rotating crank or wheel standing"),
    "maximum horizontal pedal force, seated with solid backrest": hand("pedal horizontal seated with backrest"),
    "maximum vertical pedal force, seated": hand("pedal vertical seated"),
    "maximum vertical pedal force, standing": hand("pedal vertical standing"),
    "maximum repeated vertical lever force, standing": hand("pump lever repeated standing"),
    "1 h power, adult of good average fitness, upper end": power_row("good average fitness high for 60 min"),
    "time to exhaustion of healthy human at 300 W":
        lambda i: table("human_power")["healthy human exhaustion for 10 min"].number("duration_min", 60),
    "8 h sustained power, adult, water supply design": power_row("adult male 8 h for 480 min"),
    "power at age 20, 5 min": lambda i: crank.sustained_power(i["duration_min"] * 60, i["age"]),
}
"""Rows that a table of the house repeats: they catch a slip of the pen, but prove no method."""

FORMULAS = {
    "efficiency of a train of stages": train_efficiency,
    "friction torque, rolling bearing (constant coefficient)":
        lambda i: loads.bearing_friction_torque(i["friction_coefficient"], i["load_N"], i["bore_mm"] * MM),
    "maximum speed": fastest,
    "kinetic energy after 10 s":
        lambda i: rotating.stored_energy(gyration(i), i["torque_Nm"] / gyration(i) * i["time_s"]),
    "mass of flywheel": mass_of_power, "speed after riveting": after_rivet, "flywheel mass, punch": punch_mass,
    "coefficient of fluctuation of speed": lambda i: swing(i["energy_fluctuation_Nm"], gyration(i), i["speed_rpm"]),
    "reduction of speed per pressing": lost_in_pressing, "fluctuation of speed, twin flywheels": twin_wheels,
    "weight of flywheel": lambda i: mass_for(i["energy_fluctuation_ft_lb"] * FOOT * POUND_FORCE, i["speed_fluctuation"],
                                             i["speed_rpm"], i["radius_gyration_ft"] * FOOT),
    "energy per operation and minimum power": energy_of_run_up,
    "power at that crank": lambda i: energy.shaft_power(
        drives.crank_torque(i["force_N"], i["crank_radius_m"]), i["speed_rpm"] * REV_PER_MIN),
    "annular ring": ring, "slender arm about one end": lambda i: inertia.rod_about_end(i["mass_kg"], i["length_m"]),
    "inertia reflected through a reduction": lambda i: inertia.reflected(i["inertia_kg_m2"], 1 / i["speed_ratio"]),
    "max tangential stress, disc with hole": bored, "centre stress, solid disc": solid,
    "thin ring hoop stress": lambda i: rotating.thin_ring_stress(i["density_kg_m3"], i["rim_speed_m_s"]),
    "solid disc radius and check: radius from inertia": solid_radius,
    "stored energy": lambda i: drives.weight_energy(i["mass_kg"], G, i["drop_m"]),
    "drop rate": lambda i: drives.drop_rate(i["power_W"], i["efficiency"], i["mass_kg"], G),
    "chain travel per metre of weight drop, endless loop": lambda i: drives.chain_travel(i["drop_m"], 2.0),
    "fan torque at half speed": lambda i: loads.fan_torque(
        i["torque_Nm"] / i["speed_rpm"] ** 2, i["new_speed_rpm"]), "torque of two flat vanes": vanes,
    "eddy brake torque at rated and double speed (below critical)": lambda i: loads.eddy_torque(
        i["coefficient_Nms"], i["speed_rad_s"], 1e9),
    "ratchet load angle step": lambda i: ratchet.angle_step(i["ratchet_teeth"], 1.0),
}
