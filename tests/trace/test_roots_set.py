"""Roots are set as roots: a cube root, and the square root of a sum of squares."""

from layshaft.trace.mathml import formula_mathml
from layshaft.trace.registry import load_all
from layshaft.trace.typst_math import formula_typst


def test_cube_roots_and_sums_of_squares_are_set_as_they_are_written_by_hand():
    info = load_all()["shaft.sizing.first_diameter"]
    assert formula_typst(info) == "d = root(3, frac(16 thin sqrt(M^2 + T^2), π dot τ))"
    markup = formula_mathml(info)
    assert "<mroot>" in markup and "<msup><mi>M</mi><mn>2</mn></msup><mo>+</mo>" in markup


def test_no_formula_of_the_house_shows_a_name_of_the_code_for_a_root():
    for info in load_all().values():
        assert not any(name in formula_mathml(info) for name in (">cbrt<", ">hypot<")), info.name
        assert "op(\"hypot\")" not in formula_typst(info), info.name
