"""Preferred sizes: modules after ISO 54 and lengths of parallel keys.

ISO 54:1996, series I, from memory. Key lengths: GB/T 1096, read in a published table (110 as the end of a
range); it agrees with DIN 6885-1 up to 280 mm.
"""

import pytest

from layshaft.listings.tables import table

MODULES = ("1", "1.25", "1.5", "2", "2.5", "3", "4", "5", "6", "8", "10", "12", "16", "20")
LENGTHS = (6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 32, 36, 40, 45, 50, 56, 63, 70, 80, 90, 100, 110, 125, 140, 160,
           180, 200)


@pytest.mark.from_memory
@pytest.mark.parametrize("m", MODULES)
def test_module_of_series_1(m):
    assert table("modules_preferred")[m].number("m_mm") == float(m)


@pytest.mark.parametrize("length", LENGTHS)
def test_length_of_a_key(length):
    assert table("key_lengths")[str(length)].number("l_mm") == length


def test_no_size_is_left_out():
    assert tuple(table("modules_preferred").names) == MODULES
    assert tuple(table("key_lengths").names) == tuple(map(str, LENGTHS))
