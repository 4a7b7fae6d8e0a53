"""Shigley, Mischke and Budynas, Mechanical Engineering Design, SI edition, ch. 18, flywheels, problem 18.1.

Read in the solutions manual: torque by crank angle of a four-stroke engine over two turns, summed up there by
Simpson's rule. By straight lines between the points it comes out 1.2 % larger, most of it at one point of the table.
"""

import numpy as np
from pytest import approx
from scipy.integrate import simpson

from layshaft.mechanics import by_angle, drives, loads
from layshaft.trace.units import REV_PER_MIN

TORQUES = """
0 17 812 963 1016 937 774 641 697 849 1031 1027 902 712 607 594 544 345
0 -344 -540 -576 -570 -638 -785 -879 -814 -571 -324 -190 -203 -235 -164 -7 150 145
0 -145 -150 7 164 235 203 490 424 571 814 879 785 638 570 576 540 344
0 -344 -540 -577 -572 -643 -793 -893 -836 -605 -379 -264 -300 -368 -334 -198 -56 -2
"""


def test_problem_18_1_mean_torque_and_flywheel():
    """Printed: 890.7 N m (J) in two turns, mean 70.88 N m; C_s = 0.025 at 4600 rev/min wants 0.154 kg m2."""
    T = np.array(TORQUES.split(), float)
    phi = np.radians(10.0) * np.arange(73)
    work = by_angle.work_between(T, np.append(T[1:], T[0]), phi[:-1], phi[1:]).sum()
    assert simpson(np.append(T, T[0]), dx=np.radians(10.0)) == approx(890.7, abs=0.05)  # the table is the printed one
    assert work == approx(890.7, rel=0.013)
    assert loads.pulse_mean_torque(work, 0.5) == approx(70.88, rel=0.013)
    assert drives.speed_fluctuation(890.7, 0.154, 4600 * REV_PER_MIN) == approx(0.025, rel=5e-3)
    # the same flywheel alone, sped up by 70.88 N m left over
    omega = 4600 * REV_PER_MIN
    assert by_angle.swing_of_surplus(890.7, 70.88, 70.88 / 0.154, omega) == approx(0.025, rel=5e-3)
