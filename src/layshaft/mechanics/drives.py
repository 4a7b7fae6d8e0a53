"""What puts power in: a weight on an endless loop or a drum, a crank, and the energy they hold.

A pulley takes its loss from the part that runs on: the part that leaves it carries 1 + e times the
part that arrives. In the endless loop the weight hangs in one bight and a counterweight in the
other; chain runs over both pulleys in the same sense while running and while winding, so the four
strands keep their forces and the drive is maintained while somebody winds.

A hanging weight is a suspended load: nobody under it, a second path or a catch where people can
come near, and the local rules on lifting apply. Energy stored in a weight or a turning mass is let
out before anybody reaches in.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import (
    Acceleration,
    Angle,
    Count,
    Energy,
    Force,
    Inertia,
    Length,
    Mass,
    Power,
    Ratio,
    Speed,
    Stiffness,
    Time,
    Torque,
    TorsionalStiffness,
    Velocity,
)

DYNAMICS = Source("elementary dynamics of rigid bodies", obtained="derived")
LOOP = Source("statics of an endless loop over two hanging pulleys", obtained="derived")
PURCHASE = Source("statics of a rope purchase", "geometric series of the falls", "derived")

MEANING = {
    "M": "mass of the driving weight with its pulley",
    "m": "mass",
    "g": "acceleration of free fall",
    "e": "loss of a pulley, as a share of the arriving force",
    "F": "force",
    "F_1": "strand that pulls the wheel on",
    "F_2": "strand that holds the wheel back",
    "d": "effective diameter of the wheel or drum",
    "k": "falls that carry the weight",
    "h": "drop of the weight",
    "omega": "turning speed",
    "r": "radius",
    "T": "torque",
    "P": "power taken from the shaft",
    "eta": "efficiency from the weight to the shaft",
    "l": "length of chain or rope run",
    "v": "speed of the chain or rope",
    "E": "energy",
    "J": "moment of inertia",
    "r_g": "radius of gyration",
    "k_t": "torsional stiffness up to the blocked place",
    "T_d": "torque the drive gives at rest",
    "T_s": "torque that breaks the machine away from rest",
    "k_s": "stiffness of one strand",
    "delta_L": "how much shorter the first strand is than its twin",
    "delta_theta": "how far the first wheel is turned ahead of its twin",
}


@formula("F_1", "strand at the drive wheel, weight side", LOOP, where=MEANING)
def loop_drive_strand(M: Mass, g: Acceleration, e: Ratio) -> Force:
    """The arriving part of the two that carry the weight: the weaker one by the pulley loss."""
    return M * g / (2 + e)


@formula("F_w", "strand at the winding wheel, weight side", LOOP, where=MEANING)
def loop_winding_strand(M: Mass, g: Acceleration, e: Ratio) -> Force:
    """The leaving part of the two that carry the weight: the stronger one by the pulley loss."""
    return M * g * (1 + e) / (2 + e)


@formula("F_2", "strand at the drive wheel, counterweight side", LOOP, where=MEANING)
def counterweight_drive_strand(m: Mass, g: Acceleration, e: Ratio) -> Force:
    """The drive wheel draws this part off the counterweight's pulley, against its loss."""
    return m * g * (1 + e) / (2 + e)


@formula("F_r", "strand at the winding wheel, counterweight side", LOOP, where=MEANING)
def counterweight_return_strand(m: Mass, g: Acceleration, e: Ratio) -> Force:
    """The part that runs from the winding wheel to the counterweight's pulley."""
    return m * g / (2 + e)


@formula("F_s", "force before an idler", STATICS, where=MEANING)
def idler_slack_side(F: Force, e: Ratio) -> Force:
    """The part that arrives at an idler, when the part that leaves it carries F."""
    return F / (1 + e)


@formula("F_c", "pull of a strand in this case", STATICS,
         where=MEANING | {"c": "pull in this case over that of the weight at rest"})
def strand_in_case(F: Force, c: Ratio) -> Force:
    """All strands of a weight pull harder alike: 2 where it is caught without a drop, 1 where it hangs or runs."""
    return F * c


@formula("c_l", "pull while a weight is brought up to speed, over its pull at rest", DYNAMICS,
         where=MEANING | {"v": "speed of the weight", "t": "time to bring it up to speed"})
def lifting_factor(v: Velocity, t: Time, g: Acceleration) -> Ratio:
    """The acceleration on top of that of free fall."""
    return 1 + v / t / g


@formula("theta", "wrap of the winding wheel", KINEMATICS, where=MEANING | {"h": "rise of the idler over the wheel"})
def winding_wrap(h: Length, d: Length) -> Angle:
    """From the strand that hangs plumb to the one that leaves for the idler.

    Drive and winding wheel stand two pitch diameters apart, the idler one beyond: weight and counterweight pass.
    """
    return np.pi / 2 + np.arctan2(h, 3 * d)


@formula("T_1", "torque of the loop on the drive wheel", STATICS, where=MEANING)
def loop_torque(F_1: Force, F_2: Force, d: Length) -> Torque:
    """Difference of the two strands at the pitch radius."""
    return (F_1 - F_2) * d / 2


@formula(
    "T_w", "torque to wind the loop", STATICS,
    where=MEANING | {"F_w": "strand to the weight", "F_r": "strand to the counterweight"},
)
def winding_torque(F_w: Force, F_r: Force, d: Length) -> Torque:
    """Difference of the two strands at the winding wheel; the ratchet holds the same."""
    return (F_w - F_r) * d / 2


@formula("F_d", "rope force at the drum, weight sinking", PURCHASE, where=MEANING)
def rope_force_running(m: Mass, g: Acceleration, k: Count, e: Ratio) -> Force:
    """The falls carry F, F (1 + e), ... F (1 + e)^(k-1) from the drum to the fixed end.

    Their sum F ((1 + e)^k - 1) / e is the weight. A pulley between drum and first fall is an idler.
    """
    return m * g / np.where(e == 0, k, np.expm1(k * np.log1p(e)) / np.where(e == 0, np.nan, e))


@formula("F_u", "rope force at the drum, weight rising", PURCHASE,
         where=MEANING | {"F_d": "rope force at the drum with the weight sinking"})
def rope_force_winding(F_d: Force, k: Count, e: Ratio) -> Force:
    """The same falls in reverse order: the drum now holds the strongest one."""
    return F_d * (1 + e) ** (k - 1)


@formula("T_m", "torque of a rope or chain on its drum", STATICS, where=MEANING)
def weight_torque(F: Force, d: Length) -> Torque:
    """Force at the effective radius, rope centre or pitch circle."""
    return F * d / 2


@formula("E_h", "energy of a raised weight", DYNAMICS, where=MEANING)
def weight_energy(m: Mass, g: Acceleration, h: Length) -> Energy:
    """What the weight gives on its way down, and what it does if it falls."""
    return m * g * h


@formula("v_m", "speed of the weight on an endless loop", KINEMATICS, where=MEANING)
def loop_weight_speed(omega: Speed, d: Length) -> Velocity:
    """A pulley in a bight moves half as fast as the chain that runs into it."""
    return omega * d / 4


@formula("v_m", "speed of the weight on a drum", KINEMATICS, where=MEANING)
def drum_weight_speed(omega: Speed, d: Length, k: Count) -> Velocity:
    """The rope paid out is shared by the falls."""
    return omega * d / (2 * k)


@formula("v_m", "speed at which the weight must sink", DYNAMICS, where=MEANING)
def drop_rate(P: Power, eta: Ratio, m: Mass, g: Acceleration) -> Velocity:
    """Power over the useful part of the weight force."""
    return P / (eta * m * g)


@formula("l", "chain or rope run for one drop", KINEMATICS, where=MEANING)
def chain_travel(h: Length, k: Count) -> Length:
    """Drop times the parts that carry the weight; two in an endless loop."""
    return h * k


@formula("t", "running time of one winding", KINEMATICS, where=MEANING)
def running_time(l: Length, v: Velocity) -> Time:
    """Chain or rope run over its speed."""
    return l / v


@formula("N", "turns of the wheel or drum", KINEMATICS, where=MEANING)
def wheel_turns(l: Length, d: Length) -> Count:
    """Chain or rope run over the circumference; layers of rope are not counted."""
    return l / (np.pi * d)


@formula("T_c", "torque of a hand or foot on a crank", STATICS, where=MEANING)
def crank_torque(F: Force, r: Length) -> Torque:
    """Force across the crank times its radius."""
    return F * r


@formula("F_h", "force at the handle", STATICS, where=MEANING)
def handle_force(T: Torque, r: Length) -> Force:
    """Torque over the crank radius."""
    return T / r


@formula("P_h", "power at the handle", KINEMATICS, where=MEANING)
def handle_power(T: Torque, omega: Speed) -> Power:
    """Torque times turning speed."""
    return T * omega


@formula("E_k", "energy of a turning mass", DYNAMICS, where=MEANING)
def turning_energy(J: Inertia, omega: Speed) -> Energy:
    """What has to be let out before a hand may reach in."""
    return J * omega**2 / 2


@formula("J", "moment of inertia from the radius of gyration", DYNAMICS, where=MEANING)
def gyration_inertia(m: Mass, r_g: Length) -> Inertia:
    """All of the mass at the radius of gyration."""
    return m * r_g**2


@formula("C_s", "fluctuation of speed", DYNAMICS, where=MEANING)
def speed_fluctuation(E: Energy, J: Inertia, omega: Speed) -> Ratio:
    """Largest less smallest speed over the mean, for an energy E that swings in and out."""
    return E / (J * omega**2)


@formula(
    "omega_e", "speed after a turning mass has given energy", DYNAMICS,
    where=MEANING, outside="the mass does not hold the energy asked of it",
)
def speed_after(omega: Speed, E: Energy, J: Inertia) -> Speed:
    """Kinetic energy less what was taken; unknown where the mass would stop."""
    return np.sqrt(np.where(omega**2 > 2 * E / J, omega**2 - 2 * E / J, np.nan))


@formula(
    "T_j", "torque when a turning train is held fast", MECHANICS_OF_MATERIALS,
    where=MEANING,
)
def locked_train_torque(omega: Speed, J: Inertia, k_t: TorsionalStiffness) -> Torque:
    """All kinetic energy goes into twist, without slip or loss; the driving torque comes on top."""
    return omega * np.sqrt(J * k_t)


@formula("q_s", "start ratio", STATICS, where=MEANING)
def start_ratio(T_d: Torque, T_s: Torque) -> Ratio:
    """What the drive gives at rest over what breaks the machine away."""
    return T_d / T_s


@formula(
    "q_1", "share of the first of two parallel strands", MECHANICS_OF_MATERIALS,
    where=MEANING, outside="nothing is pulled",
)
def parallel_strand_share(k_s: Stiffness, delta_L: Length, r: Length, delta_theta: Angle,
                          F: Force) -> Ratio:
    """Half, and half the force that pulls the difference in length straight; 0 to 1."""
    return np.minimum(1, np.maximum(
        0, 0.5 + k_s * (delta_L + r * delta_theta) / (2 * np.where(F > 0, F, np.nan))
    ))
