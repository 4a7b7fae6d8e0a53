"""The demo machine worked out by hand: plain arithmetic from its givens, no formula of the house.

Everything in the machine is invented; the arithmetic is elementary statics. What is compared is what
`check` prints.
"""

from math import asin, atan2, cos, degrees, floor, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
from pytest import approx

import layshaft

G = 9.81
PITCH = 0.0127
CHAIN, GEAR, MITRE = 0.95, 0.95, 0.95
LOOP_D = PITCH / sin(pi / 17)


@pytest.fixture(scope="module")
def verdict():
    light = layshaft.read("examples/harbour-light")  # as first drawn: its lines are level and upright, easy by hand
    return layshaft.rate(layshaft.solve(layshaft.named_option(light, "as first drawn")))


def of(verdict, part, mode):
    return next(f for f in verdict.findings if f.part == part and f.mode == mode)


def loop_torque():
    """r g (M/(2+e) - m(1+e)/(2+e)), M 96 kg, m 8 kg, e 0.04."""
    return LOOP_D / 2 * G * (96 / 2.04 - 8 * 1.04 / 2.04)


def needed_at_main(lens, bell, fan_side):
    """Torque at the main shaft that feeds the lens, the bell and the fan gears, losses in the way of the power."""
    at_far = lens / MITRE + 2 * 0.03          # spindle's bearings are in `lens`; mitre 1:1
    at_lay = at_far + 2 * 0.03
    to_lens = at_lay * 19 / 38 / CHAIN
    to_bell = (bell + 4 * 0.03) * 21 / 28 / CHAIN
    to_fan = ((fan_side + 4 * 0.003) * 8 / GEAR + 2 * 0.010) * 7.5 / GEAR
    return to_lens + to_bell + to_fan + 2 * 0.03


LENS = 110 * G * 0.015 * 0.40 + 2 * 0.03


def test_speed_from_the_balance_of_weight_and_fan(verdict):
    rest = needed_at_main(LENS, 6 * 4 / (2 * pi), 0.0)
    fan = (loop_torque() - rest) / (60 / GEAR**2)
    k = 2 * 1.20 / 2 * 1.20 * 0.150 * 0.170 * 0.260**3
    omega_fan = sqrt(fan / k)
    main = omega_fan / 60
    assert np.abs(verdict.solved.speed["main"][0]) == approx(main, rel=1e-12)
    assert main / 2 * 60 / (2 * pi) == approx(0.99896, abs=5e-6)  # the lens turns once a minute, 0.1 % slow


def test_running_time_and_energy_of_a_drop(verdict):
    drop = verdict.solved.budget.windings[0]
    chain = np.abs(verdict.solved.speed["main"][0]) * LOOP_D / 2
    assert drop.running_time == approx(2 * 1.40 / chain, rel=1e-12)
    assert drop.stored == approx((96 - 8) * G * 1.40, rel=1e-12)
    books = verdict.solved.budget
    assert books.total("in") == approx(books.total("used") + books.total("lost"), rel=1e-12)
    assert books.total("in") * drop.running_time == approx(drop.stored, rel=1e-12)


def test_start_ratio_at_the_worst_cam(verdict):
    asked = needed_at_main(2 * 110 * G * 0.015 * 0.40 + 2 * 0.03, 6 / radians(80), 0.0)
    found = of(verdict, "wants.start", "start of weight: drive torque over all torques at rest")
    assert found.rating == approx(loop_torque() / asked, rel=1e-12)
    assert found.verdict == "thin"


def test_effort_of_winding(verdict):
    held = LOOP_D / 2 * G * (96 * 1.04 / 2.04 - 8 / 2.04 / 1.04)
    at_crank = (held + 0.06) * 19 / 25 / CHAIN + 0.06
    drop = verdict.solved.budget.windings[0]
    assert drop.handle_force == approx(at_crank / 0.300, rel=1e-12)
    assert drop.person_power == approx(at_crank * 30 * 2 * pi / 60, rel=1e-12)


def test_a_visitor_leans_on_the_crank(verdict):
    """600 N on 300 mm: 180 N m, 4666 N on 19 teeth, and 6.1 N of the strand's own weight."""
    found = of(verdict, "stages.winding chain", "static strength")
    pull = 2 * 600 * 0.300 / (PITCH / sin(pi / 19))
    z, x = (19, 25), 164
    a = centre_distance(x, *z)
    span = a * cos(asin((PITCH / sin(pi / 25) - PITCH / sin(pi / 19)) / (2 * a)))
    own = 0.69 * G * span
    assert found.demand == approx(pull + own, rel=1e-9)
    assert found.margin == approx(17800 / (pull + own), rel=1e-9)
    assert (found.verdict, found.required) == ("fails", 7)


def centre_distance(links, z_1, z_2):
    """Two circles and two tangents: bisection on the length of the belt line through the pins."""
    r_1, r_2 = PITCH / sin(pi / z_1) / 2, PITCH / sin(pi / z_2) / 2

    def length(a):
        lean = asin((r_2 - r_1) / a)
        return 2 * a * cos(lean) + PITCH * (z_1 * (pi - 2 * lean) + z_2 * (pi + 2 * lean)) / (2 * pi)

    low, high = r_1 + r_2, 10.0
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if length(middle) < links * PITCH else (low, middle)
    return low


def test_the_pawl_drops_one_tooth(verdict):
    """15 degrees on the winding wheel: 4.52 mm at the weight; chain of 0.2 m, two strands, and the frame in line."""
    step = 2 * pi / 24 * LOOP_D / 4
    stiffness = 1 / (0.0015 * 0.2 / (2 * 17800 / 8) + 1 / 5e6)
    weight = 96 * G
    factor = 1 + sqrt(1 + 2 * step * stiffness / weight)
    found = of(verdict, "drives.weight", "arrested strength of the suspension")
    # the tighter strand, and its own weight over drop and strand
    assert found.demand == approx(weight * 1.04 / 2.04 * factor + 0.69 * G * 1.6, rel=1e-9)
    assert (found.verdict, found.required) == ("fails", 10)


def test_a_jam_at_the_bell(verdict):
    """All of the weight's torque through 21 : 28 teeth, against 20 N m of the coupling: thin."""
    found = of(verdict, "stages.bell coupling", "peak torque")
    assert found.demand == approx(loop_torque() * 28 / 21, rel=1e-12)
    assert (found.verdict, found.title) == ("thin", "held fast at bell")


def test_wrap_and_back_tension_of_the_winding_wheel(verdict):
    """From the plumb strand to the idler, 60 mm up and three pitch diameters away; six teeth share the pull."""
    wrap = pi / 2 + atan2(0.060, 3 * LOOP_D)
    found = of(verdict, "drives.weight.winding wheel", "wrap")
    assert degrees(found.rating) == approx(degrees(wrap), rel=1e-12)
    engaged = floor(17 * wrap / (2 * pi))
    assert engaged == 5
    phi = radians(17 - 64 / 17)
    share = sin(phi) / sin(phi + 2 * pi / 17)
    at_rest = 96 * G * 1.04 / 2.04 * share ** (engaged - 1)
    assert at_rest == approx(12.93, abs=0.01)
    assert 8 * G / 2.04 / 1.04 == approx(36.99, abs=0.05)  # the slack side holds it at rest, not in an arrest
    assert of(verdict, "drives.weight.winding wheel", "tooth jump").verdict == "fails"


def test_slope_of_main_by_a_second_beam(verdict):
    """Main shaft against a general frame library; the gear wheel tilts by about half a milliradian."""
    from Pynite import FEModel3D

    loads = verdict.solved.loads["main"]
    model = FEModel3D()
    ends, at = [(0.0, 0.025), (0.040, 0.030), (0.380, 0.025)], 0.420
    nodes = sorted({0.0, at, 0.040, 0.380, *loads.stations})
    model.add_material("steel", 206e9, 80e9, 0.3, 1e-9)
    for d in (0.025, 0.030):
        second = pi * d**4 / 64
        model.add_section(f"d{d}", pi / 4 * d**2, second, second, 2 * second)
    for i, x in enumerate(nodes):
        model.add_node(f"n{i}", x, 0, 0)
    for i, x in enumerate(nodes[:-1]):
        middle = (x + nodes[i + 1]) / 2
        d = [diameter for start, diameter in ends if start <= middle][-1]
        model.add_member(f"m{i}", f"n{i}", f"n{i + 1}", "steel", f"d{d}")
    for x, held in ((0.020, True), (0.400, False)):
        model.def_support(f"n{nodes.index(x)}", held, True, True, held, False, False)
    case = next(i for i, c in enumerate(verdict.solved.columns) if c.title == "running peak, all lifts together")
    _, side, other = loads.frame
    for i, x in enumerate(loads.stations):
        force = loads.force[i, :, case, 0]
        model.add_node_load(f"n{nodes.index(x)}", "FY", float(force @ side))
        model.add_node_load(f"n{nodes.index(x)}", "FZ", float(force @ other))
    model.analyze_linear()
    node = model.nodes[f"n{nodes.index(0.335)}"]
    slope = hypot(node.RY["Combo 1"], node.RZ["Combo 1"])
    found = of(verdict, "shafts.main.seats.gear wheel", "slope at mesh")
    assert found.demand == approx(slope, rel=1e-6)
