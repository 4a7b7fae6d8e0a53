"""What slack in a short chain does: the fall integrated in time, and the same read off a machine file.

Outside: an integrator of a general library. The figure of the trade, "10 mm of slack in a short chain give about
eight times the weight, not two or three", is common practice, no single source; the chain's stretch of 0.15 % at an
eighth of its breaking load is a value from memory.
"""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from layshaft.elements import hanging_load as hanging
from layshaft.elements import roller_chain
from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.train.arrest import arrest_drop, arrest_factor
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

G = 9.81
LIGHT = read(Path(__file__).parents[2] / "examples" / "harbour-light")


def fallen(m, k, h):
    """Largest pull of a mass that falls freely by h and then hangs on a spring, by integration in time."""
    def stops(_, y):
        return y[1]
    stops.terminal, stops.direction = True, -1
    found = solve_ivp(lambda _, y: (y[1], G - k / m * y[0]), (0.0, 10.0), (0.0, np.sqrt(2 * G * h)), events=stops,
                      rtol=1e-10, atol=1e-12)
    return k * found.y_events[0][0][0]


@pytest.mark.parametrize(("m", "k", "h"), [(96.0, 2.28e6, 0.010), (20.0, 5e3, 0.3), (500.0, 4e6, 0.002)])
def test_the_jolt_is_that_of_the_fall_integrated_in_time(m, k, h):
    assert hanging.arrest_force(m * G, h, k) == approx(fallen(m, k, h), rel=1e-6)


@pytest.mark.from_memory
def test_ten_millimetres_in_a_short_chain_give_about_eight_times_the_weight():
    """96 kg on two strands of 08B-1, 1.3 m long: 8.0; 4.5 mm, a tooth of the ratchet in the loop, give 5.8."""
    strand = 17_800 / 8 / (0.0015 * 1.3)
    assert roller_chain.strand_stiffness(17_800.0, 1.3) == approx(strand, rel=1e-12)
    W, k = 96 * G, hanging.parts_stiffness(strand, 2.0)
    assert hanging.jolt(hanging.arrest_force(W, 0.010, k), W) == approx(8.0, abs=0.1)
    assert hanging.jolt(hanging.arrest_force(W, 0.0045, k), W) == approx(5.8, abs=0.1)
    assert hanging.jolt(hanging.arrest_force(W, 0.0, k), W) == 2


def caught(**changes):
    machine = apply(LIGHT, {"set": {f"drives.weight.{k.replace('_', ' ')}": v for k, v in changes.items()}})
    f = next(f for f in rate(solve(machine)).findings if f.mode == "arrested strength of the suspension")
    return machine, f


def test_a_machine_file_says_the_same_of_its_chain_and_frame():
    """Step of 24 teeth on the winding wheel, half of it at the weight, 10 mm of slack; chain and frame in line."""
    machine, f = caught(slack="10 mm", strand_length="1.3 m")
    step = np.pi * roller_chain.pitch_diameter(0.0127, 17.0) / 24 / 2
    assert arrest_drop(machine, machine.drives["weight"]) == approx(step + 0.010, rel=1e-9)
    W, k = 96 * G, 1 / (0.0015 * 1.3 / (2 * 17_800 / 8) + 1 / 5e6)
    factor = 1 + np.sqrt(1 + 2 * (step + 0.010) * k / W)
    assert arrest_factor(machine, machine.drives["weight"]) == approx(factor, rel=1e-9)
    e = 0.04  # the pulley's loss makes one of the two strands the tighter one
    own = 0.69 * G * (1.4 + 1.3)
    assert f.demand == approx(factor * W * (1 + e) / (2 + e) + own, rel=2e-3)


def test_a_soft_frame_takes_up_the_jolt():
    hard, soft = caught(slack="10 mm")[1].demand, caught(slack="10 mm", frame_stiffness="20 N/mm")[1].demand
    assert soft < hard / 2
