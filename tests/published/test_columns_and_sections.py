"""Posts and hollow sections: U.C. Jindal, Machine Design, ch. 7 (textbook companion, read); EN 10219-2 (from memory)."""

import pytest
from pytest import approx

from layshaft.elements import frame_column
from layshaft.listings.tables import table
from layshaft.mechanics.profiles import profile


def test_jindal_example_7_2_page_192():
    """Aluminium, 37.44 by 13.24 mm, 500 mm, fixed and free, 70 GPa: bows at twice 20 kN."""
    d, b = 37.44e-3, 13.24e-3
    lambda_k = frame_column.slenderness(2.0, 0.5, d / 12**0.5)
    sigma = frame_column.buckling_stress(lambda_k, 0.0, 70e9, 1e12)
    assert frame_column.buckling_load(sigma, b * d) == approx(40e3, rel=2e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "A", "I", "I_least", "W"), [
    ("SHS 40x40x3", 4.21, 9.32, 9.32, 4.66), ("SHS 100x100x5", 18.4, 271, 271, 54.2), ("RHS 60x40x3", 5.41, 25.4, 13.4, 8.46),
    ("RHS 100x50x4", 10.9, 134, 44.9, 26.8), ("RHS 80x40x3", 6.61, 52.3, 17.6, 13.1), ("CHS 42.4x3.2", 3.94, 7.62, 7.62, 3.59),
])
def test_sections_of_en_10219(name, A, I, I_least, W):  # noqa: E741
    """cm2, cm4, cm3: tables of the standard, with corners of twice and once the wall."""
    p = profile(table("sections")[name], upright=True)
    assert [p.A * 1e4, p.I * 1e8, p.I_least * 1e8, p.I / (p.h / 2) * 1e6] == approx([A, I, I_least, W], rel=0.005)


def test_a_section_that_lies():
    flat, upright = (profile(table("sections")["RHS 60x40x3"], upright=u) for u in (False, True))
    assert flat.I == upright.I_least and flat.h == approx(0.040) and flat.A == upright.A
    bar = profile(table("sections")["flat 50x10"], upright=False)
    assert [bar.A, bar.I, bar.I_least] == approx([5e-4, 0.05 * 0.01**3 / 12, 0.05 * 0.01**3 / 12])
    rod = profile(table("sections")["round 20"], upright=True)
    assert rod.I == approx(7854e-12, rel=1e-4)
