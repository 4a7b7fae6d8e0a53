"""Grooves and cross holes: Peterson's charts as fitted in textbooks, and values read off the charts.

Shigley's Mechanical Engineering Design, 9th ed., p. 378 (read in an e-book): retaining-ring groove of example 7-2.
Roark's Formulas for Stress and Strain, Table 17.1 (coefficients of the torsion of a hole and of the grooves read in
second texts; those of the hole in bending from memory). Limits: plates and wide grooves by the theory of elasticity.
"""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine.errors import MachineErrors
from layshaft.mechanics import notch, notch_cuts
from layshaft.trace.units import INCH


def test_retaining_ring_groove_of_example_7_2_page_378():
    """1.625 in shaft, groove 0.048 in deep, 0.068 in wide, corner 0.01 in: K_t 4.3 off the chart for a flat bottom.

    The round-bottomed fit takes 4.50 for the same depth and radius: 4.6 percent above, on the safe side.
    """
    K_t, _ = notch_cuts.groove(1.625 * INCH, (1.625 - 2 * 0.048) * INCH, 0.01 * INCH)
    assert 4.3 < K_t < 4.3 * 1.06
    assert notch.fatigue_factor(K_t, 0.65, 0.0) == approx(3.15, rel=0.05)


@pytest.mark.parametrize(("t", "z", "wanted"), [(0.5, 0.1, 0), (1.0, 0.3, 0), (1.8, 0.6, 0), (3.0, 0.2, 1), (16.0, 0.5, 1),
                                                (40.0, 0.05, 1)])
def test_fits_of_the_groove_by_hand(t, z, wanted):
    """The printed coefficients once more, row by row: (1, sqrt t, t) times a column for each power of z."""
    bending = [[[0.594, 2.958, -0.520], [0.422, -10.545, 2.692], [0.501, 14.375, -4.486], [-0.613, -6.573, 2.177]],
               [[0.965, 1.926, 0], [-2.773, -4.414, -0.017], [4.785, 4.681, 0.096], [-1.995, -2.241, -0.074]]][wanted]
    torsion = [[[0.966, 1.056, -0.022], [-0.192, -4.037, 0.674], [0.808, 5.321, -1.231], [-0.567, -2.364, 0.566]],
               [[1.089, 0.924, 0.018], [-1.504, -2.141, -0.047], [2.486, 2.289, 0.091], [-1.056, -1.104, -0.059]]][wanted]
    powers, root = z ** np.arange(4), np.array([1, np.sqrt(t), t])
    D, r = 0.05, 0.05 * z / 2 / t
    assert notch_cuts.groove(D, D * (1 - z), r) == approx((powers @ np.array(bending) @ root, powers @ np.array(torsion) @ root),
                                                          rel=1e-9)
    own = (notch_cuts.bending_round_groove, notch_cuts.bending_sharp_groove)[wanted]
    assert own(t, z) == approx(powers @ np.array(bending) @ root, rel=1e-9)


@pytest.mark.from_memory
def test_half_round_groove():
    """Peterson: a half-round groove in bending 3.032 - 7.431 z + 10.390 z^2 - 5.009 z^3, in torsion 2.000 - 3.555 z
    + 4.898 z^2 - 2.365 z^3; 3 and 2 are the limits of a shallow groove."""
    z = 0.25
    found = notch_cuts.groove(0.04, 0.03, 0.005)
    assert found == approx((np.polyval([-5.009, 10.390, -7.431, 3.032], z), np.polyval([-2.365, 4.898, -3.555, 2.000], z)),
                           rel=1e-3)
    assert notch_cuts.bending_round_groove(1.0, 0.0) == approx(3, rel=0.02)
    assert notch_cuts.torsion_round_groove(1.0, 0.0) == approx(2, rel=0.01)


def test_fits_meet_where_one_takes_over_and_end_where_they_end():
    """At a depth of two radii both fits agree within 2 percent; below a quarter and above 50 radii nothing is said."""
    assert notch_cuts.bending_round_groove(2.0, 0.2) == approx(notch_cuts.bending_sharp_groove(2.0, 0.2), rel=0.02)
    assert notch_cuts.torsion_round_groove(2.0, 0.2) == approx(notch_cuts.torsion_sharp_groove(2.0, 0.2), rel=0.02)
    t = np.array([0.24, 0.26, 1.95, 2.05, 49.0, 51.0])
    assert notch_cuts.groove_fit(1.5, 2.5, t) == approx([np.nan, 1.5, 1.5, 2.5, 2.5, np.nan], nan_ok=True)


def test_hole_as_fine_as_in_a_plate():
    """Theory of elasticity: 3 in plain pull, 4 in pure shear (as a pull over the shear stress)."""
    assert notch_cuts.hole_in_bending(1e-6, 0.03) == approx(3, rel=1e-3)
    assert notch_cuts.hole_in_torsion(1e-6, 0.03) == approx(4, rel=1e-3)
    assert notch_cuts.as_shear(4.0) == approx(4 / 3**0.5)


def test_what_a_hole_leaves_of_the_section():
    """By integration: a strip of width d_h through the middle of the bar takes d_h d^3/12 off pi d^4/64 in bending, so a
    fifth of the diameter leaves 0.66 of the section modulus; exact to what the rounded ends of the strip hold."""
    d_h, d, n = 0.2, 1.0, 2_000_001
    x = np.linspace(0, d_h / 2, n)
    lost = 4 * np.trapezoid((d**2 / 4 - x**2) ** 1.5 / 3, x)
    exact = 1 / (1 - lost / (np.pi * d**4 / 64))
    assert notch_cuts.lost_to_hole(d_h, d)[0] == approx(exact, rel=0.02)
    assert notch_cuts.lost_to_hole(d_h, d)[0] >= exact


def test_hole_in_torsion_over_its_range():
    """Coefficients read: 4 - 6.793 x + 38.382 x^2 - 44.576 x^3 up to 0.4."""
    x = np.array([0.1, 0.2, 0.39, 0.41])
    wanted = [*np.polyval([-44.576, 38.382, -6.793, 4.000], x[:3]), np.nan]
    assert notch_cuts.hole_in_torsion(x * 0.05, 0.05) == approx(wanted, rel=1e-9, nan_ok=True)


@pytest.mark.from_memory
def test_hole_in_bending_over_its_range():
    """3 - 6.25 x + 41 x^2 up to 0.4; Peterson's table on the section that is left (Shigley, Table A-16):
    2.49 over 0.86 at 0.1, 2.39 over 0.73 at 0.2, within 8 percent."""
    x = np.array([0.1, 0.2, 0.39, 0.41])
    found = notch_cuts.hole_in_bending(x * 0.05, 0.05)
    assert found == approx([*np.polyval([41, -6.25, 3], x[:3]), np.nan], rel=1e-9, nan_ok=True)
    assert found[:2] == approx([2.49 / 0.86, 2.39 / 0.73], rel=0.08)
    assert notch_cuts.cross_hole(0.005, 0.05) == approx((found[0], notch_cuts.hole_in_torsion(0.005, 0.05) / 3**0.5))


# In a machine --------------------------------------------------------------------------------------


def with_cuts(tmp_path, cuts):
    text = Path("examples/harbour-light/machine.yaml").read_text(encoding="utf-8")
    was = "    sections: [[20 mm, 600 mm]]\n"
    assert was in text
    file = tmp_path / "machine.yaml"
    file.write_text(text.replace(was, was + cuts), encoding="utf-8")
    return file


def test_groove_and_hole_are_sections_of_their_own(tmp_path):
    """Bending at the groove is that of the beam there; stresses on the bottom of the groove and on the whole bar."""
    file = with_cuts(tmp_path, "    grooves: [[320 mm, 19 mm, 0.2 mm]]\n    cross holes: [[250 mm, 4 mm]]\n")
    verdict = layshaft.rate(layshaft.solve(layshaft.read(file)))
    rows = next(r for r in verdict.rated if r.mode == "fatigue")
    parts = {p.place: p for p in rows.block.parts if p.path == "shafts.lens lay"}
    groove, hole = parts["groove 1"].inputs, parts["cross hole 1"].inputs
    assert (groove["d"], groove["r"]) == approx((0.019, 0.0002))
    assert (groove["K_t"], groove["K_ts"]) == approx(notch_cuts.groove(0.020, 0.019, 0.0002))
    assert (hole["d"], hole["r"]) == approx((0.020, 0.002))
    assert (hole["K_t"], hole["K_ts"]) == approx(notch_cuts.cross_hole(0.004, 0.020))
    assert (hole["w_b"], hole["w_t"]) == approx((1 / (1 - 32 / (6 * np.pi) * 0.2), 1 / (1 - 16 / (6 * np.pi) * 0.2)))
    assert groove["w_b"] == groove["w_t"] == 1
    loads = verdict.solved.loads["lens lay"]
    i, before, after = (loads.at(n) for n in ("groove 1", "sprocket", "right bearing"))
    x = [loads.stations[k] for k in (before, i, after)]
    M = [np.hypot(*loads.moment_right[k, :, 0, 0]) for k in (before, i, after)]
    assert M[1] == approx(M[0] + (M[2] - M[0]) * (x[1] - x[0]) / (x[2] - x[0]), rel=1e-9)
    places = {(f.place, f.mode) for f in verdict.every() if f.part == "shafts.lens lay"}
    assert {(p, m) for p in ("groove 1", "cross hole 1") for m in ("fatigue", "yield")} <= places


@pytest.mark.parametrize(("cuts", "place", "words"), [
    ("    grooves: [[320 mm, 19.9 mm, 0.5 mm]]\n", "groove 1", "shallower than a quarter of its radius"),
    ("    cross holes: [[320 mm, 11 mm]]\n", "cross hole 1", "wider than 0.4 of the shaft"),
])
def test_cuts_outside_the_fits_are_unknown(tmp_path, cuts, place, words):
    verdict = layshaft.rate(layshaft.solve(layshaft.read(with_cuts(tmp_path, cuts))))
    found = [f for f in verdict.every() if f.part == "shafts.lens lay" and f.place == place and f.mode == "fatigue"]
    assert {f.verdict for f in found} == {"unknown"}
    assert words in found[0].reason


@pytest.mark.parametrize(("cuts", "words"), [
    ("    grooves: [[320 mm, 21 mm, 0.5 mm]]\n", "the groove has 21.00 mm at its bottom, the shaft is 20.00 mm there"),
    ("    grooves: [[700 mm, 19 mm, 0.5 mm]]\n", "700.0 mm"),
    ("    cross holes: [[320 mm, 20 mm]]\n", "a hole of 20.00 mm across a shaft of 20.00 mm leaves nothing of it"),
    ("    cross holes: [[320 mm]]\n", "cross holes"), ("    grooves: [[320 mm, 19 mm, 0 mm]]\n", "0 mm"),
    ("    grooves: [[320 mm, 19 N, 0.2 mm]]\n", "force"), ("    cross holes: [[320 mm, -4 mm]]\n", "-4"),
])
def test_impossible_cuts_are_refused_in_a_sentence(tmp_path, cuts, words):
    with pytest.raises(MachineErrors) as said:
        layshaft.read(with_cuts(tmp_path, cuts))
    assert words in str(said.value)
    assert "Traceback" not in str(said.value)
