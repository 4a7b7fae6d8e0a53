"""U.C. Jindal, Machine Design, ch. 9, threaded fasteners.

Read in a textbook companion (worked examples with the book's printed pages).
"""

from math import pi

import numpy as np
from pytest import approx

from layshaft.mechanics import threads


def area(d, P):
    return threads.stress_area(threads.flank_diameter(d, P), threads.core_diameter(d, P))


def test_example_9_1_page_266():
    """M16 with pitches of 2 and 1.5 mm: 156.7 and 167.2 mm2."""
    assert area(16e-3, 2e-3) == approx(156.7e-6, abs=0.05e-6)
    assert area(16e-3, 1.5e-3) == approx(167.2e-6, abs=0.05e-6)


def test_example_9_3_page_267():
    """M18, friction 0.15 in the thread and 0.13 under the head: K = 0.18343.

    The book takes the mean of outside and core diameter, 16.467 mm, where the pitch diameter is
    16.376 mm; with its own value the printed digits come out.
    """
    assert threads.core_diameter(18.0, 2.5) == approx(18 - 1.2268 * 2.5, abs=2e-4)
    assert threads.nut_factor(18.0, (18 + 18 - 1.2268 * 2.5) / 2, 2.5, 0.15, 0.13) == approx(0.18343, abs=0.5e-5)
    assert threads.nut_factor(18.0, threads.flank_diameter(18.0, 2.5), 2.5, 0.15, 0.13) == approx(0.1830, abs=5e-4)


def test_example_9_4_page_267():
    """M20 with 84 mm of steel bolt, 80 mm of iron clamped, cones of 45 degrees: 123.28 MPa at 105 MPa of preload."""
    k_b = threads.bolt_stiffness(pi / 4 * 20.0**2, 205e3, 84.0)
    C = threads.stiffness_share(k_b, threads.clamped_stiffness(105e3, 20.0, 80.0, pi / 4))
    assert 105 + C * 20e3 / 245 == approx(123.28, abs=0.005)


def test_clamped_parts_of_shigley_equation_8_22():
    """Shigley's Mechanical Engineering Design, 9th ed.: 0.5774 pi E d over twice the logarithm, at 30 degrees."""
    E, d, grip = 207e9, 0.012, 0.040
    printed = 0.5774 * pi * E * d / (2 * np.log(5 * (0.5774 * grip + 0.5 * d) / (0.5774 * grip + 2.5 * d)))
    assert threads.clamped_stiffness(E, d, grip, pi / 6) == approx(printed, rel=1e-4)


def test_example_9_5_page_268():
    """M14 of class 9.8, 115 mm2, K = 0.2: 0.75 of the proof load asks for 156.97 N m."""
    F = threads.reusable_preload(115.0, 650.0)
    assert threads.tightening_torque(F, 0.2, 14e-3) == approx(156.97, abs=0.01)
    assert threads.proof_load(115.0, 650.0) == approx(F / 0.75)


def test_example_9_6_page_269():
    """M20, 120 kN, K = 0.18: 432 N m; told backwards the same torque pulls 120 kN."""
    assert threads.tightening_torque(120e3, 0.18, 0.020) == approx(432)
    assert threads.preload(432.0, 0.18, 0.020) == approx(120e3)


def test_example_9_6_page_269_under_load():
    """The same bolt, C = 0.35, 30 kN from outside: 532.65 MPa on 245 mm2; the joint keeps what it does not give up."""
    assert threads.bolt_pull(120e3, 0.35, 30e3) / 245 == approx(532.65, abs=0.005)
    assert threads.clamping_force(120e3, 0.35, 30e3) == approx(threads.bolt_pull(120e3, 0.35, 30e3) - 30e3)


def test_scatter_of_a_torque_wrench():
    """Common practice, no single source: a quarter to a third up and down; 30 % of 100 kN."""
    assert [threads.lowest_preload(100.0, 0.3), threads.highest_preload(100.0, 0.3)] == approx([70, 130])


def test_stress_areas_of_a_public_table_of_metric_threads():
    """M8 36.609, M10 57.990, M12 84.267, M20 244.79, M24 352.50 mm2, all read."""
    for size, printed in {"M8": 36.609, "M10": 57.990, "M12": 84.267, "M16": 156.67, "M20": 244.79, "M24": 352.50}.items():
        row = threads.thread(size)
        assert area(row.number("d_mm"), row.number("P_mm")) == approx(printed, rel=3e-5), size


def test_shigley_table_8_11_page_435():
    """Proof, tensile and yield strength of a class depend on the size; 8.8 changes at M16."""
    for name, d, proof in (("4.6", 12, 225), ("8.8", 16, 580), ("8.8", 20, 600), ("9.8", 10, 650), ("10.9", 24, 830),
                           ("12.9", 8, 970), ("5.8", 10, 380), ("4.8", 6, 310)):
        assert threads.property_class(name, d * 1e-3).number("proof_MPa") == proof
    assert threads.property_class("9.8", 0.020) is None
    assert threads.property_class("7.7", 0.010) is None
