"""Sections of parallel keys in a second standard: GB/T 1095-1979, read in a published table.

The table of the house follows DIN 6885-1; both standards take their sections from ISO 773. JIS B
1301:1996, read in a published excerpt, prints the same depths up to 130 mm.
"""

import pytest

from layshaft.listings.tables import table

COLUMNS = ("shaft_over_mm", "shaft_to_mm", "b_mm", "h_mm", "t1_shaft_mm", "t2_hub_mm")
GB_T_1095 = [  # shaft over, to, width, height, depth in the shaft, depth in the hub
    (6, 8, 2, 2, 1.2, 1.0), (8, 10, 3, 3, 1.8, 1.4), (10, 12, 4, 4, 2.5, 1.8), (12, 17, 5, 5, 3.0, 2.3),
    (17, 22, 6, 6, 3.5, 2.8), (22, 30, 8, 7, 4.0, 3.3), (30, 38, 10, 8, 5.0, 3.3), (38, 44, 12, 8, 5.0, 3.3),
    (44, 50, 14, 9, 5.5, 3.8), (50, 58, 16, 10, 6.0, 4.3), (58, 65, 18, 11, 7.0, 4.4), (65, 75, 20, 12, 7.5, 4.9),
    (75, 85, 22, 14, 9.0, 5.4), (85, 95, 25, 14, 9.0, 5.4), (95, 110, 28, 16, 10.0, 6.4),
    (110, 130, 32, 18, 11.0, 7.4), (130, 150, 36, 20, 12.0, 8.4), (150, 170, 40, 22, 13.0, 9.4),
    (170, 200, 45, 25, 15.0, 10.4), (200, 230, 50, 28, 17.0, 11.4)]


@pytest.mark.parametrize("section", GB_T_1095, ids=lambda s: f"{s[2]}x{s[3]}")
def test_section_in_the_second_standard(section):
    row = table("keys_metric")[f"{section[2]}x{section[3]}"]
    assert [row.number(column) for column in COLUMNS] == list(section)


def test_measures_of_a_25_mm_bore_in_a_parts_catalogue():
    """A standard-parts catalogue prints 28.3 mm in the hub and 21.0 mm on the shaft."""
    row = table("keys_metric")["8x7"]
    assert 25 + row.number("t2_hub_mm") == pytest.approx(28.3)
    assert 25 - row.number("t1_shaft_mm") == pytest.approx(21.0)
