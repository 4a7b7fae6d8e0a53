"""From what is read on the bench to the value that is looked for: statics, work, and turning masses running down.

Each formula belongs to a test a builder can make with a spring scale, weights, a rule, a watch and a dial indicator.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    Acceleration,
    Angle,
    Area,
    Count,
    Damping,
    Density,
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
    TorquePerSpeedSquared,
    TorsionalStiffness,
)

RUN_DOWN = Source("laboratory courses of mechanics: moment of inertia of a flywheel by a falling weight",
                  "energy of fall, friction alike all through", "second text")
HOOKE = Source("Hooke's law", obtained="derived")
DRAG = Source("drag of flat plates turning in still air, solved for the drag coefficient", obtained="derived")
INDICATOR = Source("alignment of shafts by dial indicator", "half of the full swing", "common practice")
TRAPEZOID = Source("work as the area under the torque, straight between readings", obtained="derived")

MEANING = {
    "T": "torque read", "T_0": "torque without it", "n": "parts that share it", "F": "pull", "F_0": "pull without the "
    "weight", "r": "arm of the pull", "F_s": "pull that just breaks it away", "F_r": "pull that keeps it running",
    "m": "mass", "g": "acceleration of free fall", "r_t": "radius of the track", "d": "diameter of the drum, to the "
    "middle of the cord", "i": "turns of the first shaft for one of the second", "h": "height of fall",
    "N_1": "turns while the weight falls", "N_2": "turns from the weight's letting go to rest",
    "t_2": "time from the weight's letting go to rest", "omega": "turning speed when the weight lets go",
    "J": "moment of inertia", "T_a": "torque at the first angle", "T_b": "torque at the second angle",
    "phi_a": "first angle", "phi_b": "second angle", "y_0": "dial without the load", "y_1": "dial with the load",
    "F_1": "lesser pull", "F_2": "larger pull", "L": "length under the larger pull",
    "L_0": "length under the lesser pull", "m_1": "mass read at foot 1", "m_2": "mass read at foot 2",
    "m_3": "mass read at foot 3", "x_1": "place of foot 1", "x_2": "place of foot 2", "x_3": "place of foot 3",
    "F_max": "largest push in a turn", "F_m": "mean push", "t": "time", "N": "turns", "f": "full swing of the dial",
    "D": "diameter of the face the dial runs on", "r_y": "radius at which the dial stands",
    "k": "torque over speed squared", "n_v": "vanes", "rho": "density of the air", "A": "area of one vane",
    "r_v": "radius to the middle of a vane", "omega_s": "steady turning speed",
}


@formula("T_1", "torque of one", STATICS, where=MEANING)
def torque_of_each(T: Torque, T_0: Torque, n: Count) -> Torque:
    """What turns without it is taken off; parts alike share the rest evenly."""
    return (T - T_0) / n


@formula("m_b", "mass that just breaks it away", STATICS, where=MEANING | {"T": "torque that breaks it away"})
def break_away_mass(T: Torque, g: Acceleration, d: Length) -> Mass:
    """Its weight on the drum gives as much as friction holds."""
    return 2 * T / (g * d)


@formula("k_s", "torque at rest over torque when running", STATICS, where=MEANING)
def break_away_ratio(F_s: Force, F_r: Force) -> Ratio:
    """Both pulls on the same arm."""
    return F_s / F_r


@formula("mu_r", "force over weight at the track", STATICS, where=MEANING)
def rolling_coefficient(T: Torque, m: Mass, g: Acceleration, r_t: Length) -> Ratio:
    """Torque that keeps it rolling over the one its whole weight would give at the track."""
    return T / (m * g * r_t)


@formula("eta", "share of the work that comes through", STATICS, where=MEANING)
def work_through(m: Mass, g: Acceleration, d: Length, F: Force, F_0: Force, r: Length, i: Ratio) -> Ratio:
    """A weight is wound up slowly by the second shaft; what turns without the weight is no loss of the stage."""
    return m * g * d / (2 * (F - F_0) * r * i)


@formula("eps", "tight over slack tension of one pulley, less 1", STATICS, where=MEANING)
def pulley_loss(F: Force, m: Mass, g: Acceleration) -> Ratio:
    """The pull that slowly raises a weight over one pulley, against the weight."""
    return F / (m * g) - 1


@formula("omega", "turning speed when the weight lets go", KINEMATICS, where=MEANING)
def speed_at_release(N_2: Count, t_2: Time) -> Speed:
    """Friction that stays the same slows it down evenly: it begins with twice the mean speed."""
    return 4 * np.pi * N_2 / t_2


@formula("J", "moment of inertia", RUN_DOWN, where=MEANING,
         outside="it turns faster than the weight could drive it: a reading is wrong")
def run_down_inertia(m: Mass, g: Acceleration, h: Length, omega: Speed, d: Length, N_1: Count, N_2: Count) -> Inertia:
    """What the weight gives goes into its own motion, into the wheel, and into friction over all turns."""
    return np.where(8 * g * h > (d * omega) ** 2,
                    m * (2 * g * h / omega**2 - d**2 / 4) * N_2 / (N_1 + N_2), np.nan)


@formula("T", "friction torque", RUN_DOWN, where=MEANING)
def run_down_torque(J: Inertia, omega: Speed, N_2: Count) -> Torque:
    """All the energy of motion goes into friction over the turns to rest."""
    return J * omega**2 / (4 * np.pi * N_2)


@formula("k_r", "radius of gyration", KINEMATICS, where=MEANING)
def radius_of_gyration(J: Inertia, m: Mass) -> Length:
    """Where the whole mass would have to stand on a thin ring."""
    return np.sqrt(J / m)


@formula("W", "work between two angles", TRAPEZOID, where=MEANING)
def strip_work(T_a: Torque, T_b: Torque, phi_a: Angle, phi_b: Angle) -> Energy:
    """Mean of both torques times the angle between."""
    return (T_a + T_b) / 2 * (phi_b - phi_a)


@formula("c", "stiffness", HOOKE, where=MEANING)
def stiffness_by_weight(m: Mass, g: Acceleration, y_0: Length, y_1: Length) -> Stiffness:
    """Weight over the way it gives."""
    return m * g / (y_1 - y_0)


@formula("c", "stiffness", HOOKE, where=MEANING)
def stiffness_by_pull(F_1: Force, F_2: Force, L_0: Length, L: Length) -> Stiffness:
    """Growth of the pull over growth of the length: what is slack at first is left out."""
    return (F_2 - F_1) / (L - L_0)


@formula("c_t", "torsional stiffness", HOOKE, where=MEANING)
def torsional_stiffness(m: Mass, g: Acceleration, r: Length, y_0: Length, y_1: Length,
                        r_y: Length) -> TorsionalStiffness:
    """Torque of a weight on an arm over the angle, which a dial tells at a radius of its own."""
    return m * g * r * r_y / (y_1 - y_0)


@formula("delta", "way it gives", KINEMATICS, where=MEANING)
def deflection(y_0: Length, y_1: Length) -> Length:
    """Difference of two readings of one dial."""
    return y_1 - y_0


@formula("eps_L", "stretch over the length", HOOKE, where=MEANING)
def stretch(L_0: Length, L: Length) -> Ratio:
    """Growth of the length over what it was under the lesser pull."""
    return (L - L_0) / L_0


@formula("m", "mass", STATICS, where=MEANING)
def mass_on_feet(m_1: Mass, m_2: Mass, m_3: Mass) -> Mass:
    """The feet carry all of it."""
    return m_1 + m_2 + m_3


@formula("x_S", "place of the centre of mass", STATICS, where=MEANING)
def centre_on_feet(m_1: Mass, m_2: Mass, m_3: Mass, x_1: Length, x_2: Length, x_3: Length) -> Length:
    """Moments about the origin: once for each direction."""
    return (m_1 * x_1 + m_2 * x_2 + m_3 * x_3) / (m_1 + m_2 + m_3)


@formula("q", "largest push in a turn over the mean", STATICS, where=MEANING)
def effort_ripple(F_max: Force, F_m: Force) -> Ratio:
    """How unevenly an arm or a leg pushes round."""
    return F_max / F_m


@formula("P", "power of a person at a crank", STATICS, where=MEANING)
def effort_power(F_m: Force, r: Length, N: Count, t: Time) -> Power:
    """Mean push times the way of the handle, over the time."""
    return 2 * np.pi * F_m * r * N / t


@formula("e", "offset of two shafts", INDICATOR, where=MEANING)
def offset_by_dial(f: Length) -> Length:
    """A dial carried right round the other hub swings by twice the offset."""
    return f / 2


@formula("alpha", "angle of two shafts", INDICATOR, where=MEANING)
def angle_by_dial(f: Length, D: Length) -> Angle:
    """A dial carried round on the face of the other hub swings by the slope times the diameter."""
    return f / D


@formula("omega_s", "steady turning speed", KINEMATICS, where=MEANING)
def counted_speed(N: Count, t: Time) -> Speed:
    """Turns over time."""
    return 2 * np.pi * N / t


@formula("T_g", "torque left for the brake", STATICS, where=MEANING)
def torque_left(m: Mass, g: Acceleration, d: Length, T_0: Torque) -> Torque:
    """A weight that sinks evenly, less what turns without the brake."""
    return m * g * d / 2 - T_0


@formula("k", "torque over speed squared", STATICS, where=MEANING)
def fan_constant_read(T: Torque, omega_s: Speed) -> TorquePerSpeedSquared:
    """Torque of the brake when it turns evenly."""
    return T / omega_s**2


@formula("c_e", "torque over speed", STATICS, where=MEANING)
def eddy_constant_read(T: Torque, omega_s: Speed) -> Damping:
    """Torque of the brake when it turns evenly, well below its critical speed."""
    return T / omega_s


@formula("C_d", "drag coefficient of a vane", DRAG, where=MEANING)
def drag_coefficient_read(k: TorquePerSpeedSquared, n_v: Count, rho: Density, A: Area, r_v: Length) -> Ratio:
    """Fan constant over the one that vanes with a drag coefficient of 1 would have."""
    return 2 * k / (n_v * rho * A * r_v**3)
