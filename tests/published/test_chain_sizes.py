"""Shipped chain sizes (after ISO 606) against other texts.

ASME B29.1 dimension table, read in a chain trader's data sheet (inches; the A series are the same
chains). Rule 12 500 lbf per square inch of pitch, read in an encyclopedia text. A trader's data
pages for B chains (dimensions, strengths). A chain maker's published table is where most B rows of
the shipped table come from: read a second time here, it guards against slips of copying and proves
nothing about the standard; its strengths are conversions printed to two digits.
"""

import pytest
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain import outline
from layshaft.trace.units import FOOT, INCH, POUND, POUND_FORCE

MM = 1e-3

ASME = [  # ISO size, pitch, roller, inner width, pin, transverse pitch [in]
    ("08A", 0.500, 0.312, 0.312, 0.156, 0.566), ("10A", 0.625, 0.400, 0.375, 0.200, 0.713),
    ("12A", 0.750, 0.469, 0.500, 0.234, 0.897), ("16A", 1.000, 0.625, 0.625, 0.312, 1.153),
    ("20A", 1.250, 0.750, 0.750, 0.375, 1.408), ("24A", 1.500, 0.875, 1.000, 0.437, 1.789),
    ("28A", 1.750, 1.000, 1.000, 0.500, 1.924), ("32A", 2.000, 1.125, 1.250, 0.562, 2.305),
]


@pytest.mark.parametrize(("size", "pitch", "roller", "width", "pin", "transverse"), ASME)
def test_a_series_against_asme_b29_1(size, pitch, roller, width, pin, transverse):
    """Inner widths: ASME gives the nominal roller width, ISO the least inner width, up to 1.5 % apart."""
    c = chain.series(f"{size}-1")
    assert c.pitch == approx(pitch * INCH, rel=1e-9)
    assert c.roller_diameter == approx(roller * INCH, rel=3e-3)
    assert c.pin_diameter == approx(pin * INCH, rel=6e-3)
    assert c.transverse_pitch == approx(transverse * INCH, rel=1e-3)
    assert c.inner_width == approx(width * INCH, rel=0.015)


@pytest.mark.parametrize("size", [row[0] for row in ASME])
@pytest.mark.parametrize("strands", [1, 2, 3])
def test_a_series_strength_by_the_pitch_rule(size, strands):
    """12 500 lbf times the square of the pitch in inch, for each strand; ISO rounds to 0.5 %."""
    c = chain.series(f"{size}-{strands}")
    assert c.breaking_load == approx(strands * 12500 * POUND_FORCE * (c.pitch / INCH) ** 2, rel=5e-3)


@pytest.mark.parametrize("name", [n for n in chain.chain_names() if n.endswith("-1") and n != "05B-1"])
def test_the_designation_tells_the_pitch(name):
    """Both standards: the two digits are sixteenths of an inch. 05B is the one metric pitch, 8 mm.

    The light chains 081 to 085 are numbered 08 and a digit.
    """
    assert chain.series(name).pitch == approx(int(name[:2]) / 16 * INCH, rel=1e-9)
    assert chain.series("05B-1").pitch == approx(8 * MM)


@pytest.mark.parametrize(("size", "inches"), [
    ("08A", 0.463), ("10A", 0.579), ("12A", 0.694), ("16A", 0.935), ("20A", 1.165), ("24A", 1.425), ("28A", 1.661),
    ("32A", 1.898),
])
def test_plate_heights_of_the_a_series(size, inches):
    """A chain trader's data sheet, read: real heights, up to 3 % below the standard's largest."""
    assert chain.series(f"{size}-1").plate_height == approx(inches * INCH, rel=0.03)


@pytest.mark.parametrize(("size", "mm"), [("08B", 11.8), ("10B", 14.7), ("16B", 21.0), ("20B", 26.4), ("32B", 42.0)])
def test_plate_heights_of_the_b_series(size, mm):
    """A trader's pages of chains with straight plates, read."""
    assert chain.series(f"{size}-1").plate_height == approx(mm * MM, rel=0.008)


@pytest.mark.parametrize(("size", "lb_per_ft", "rel"), [
    ("08A", 0.85, 0.06), ("10A", 1.37, 0.03), ("12A", 2.04, 0.03), ("16A", 3.41, 0.03), ("20A", 5.28, 0.03),
    ("24A", 7.88, 0.03), ("28A", 10.03, 0.03), ("32A", 13.48, 0.03),
])
def test_mass_of_two_strand_a_chains(size, lb_per_ft, rel):
    """A chain trader's data sheet, read (average weight of double-strand chains)."""
    assert chain.series(f"{size}-2").mass_per_metre == approx(lb_per_ft * POUND / FOOT, rel=rel)


TRADER = [  # roller, inner width, pin, transverse pitch [mm]
    ("05B", 5.00, 3.00, 2.31, 5.64), ("08B", 8.51, 7.75, 4.45, 13.92), ("10B", 10.16, 9.65, 5.08, 16.59),
    ("12B", 12.07, 11.68, 5.72, 19.46), ("16B", 15.88, 17.02, 8.28, 31.88), ("20B", 19.05, 19.56, 10.16, None),
    ("32B", 29.21, 30.99, 17.81, None),
]


@pytest.mark.parametrize(("size", "roller", "width", "pin", "transverse"), TRADER)
def test_b_series_dimensions_against_a_traders_pages(size, roller, width, pin, transverse):
    """Read; pin of 20B is 10.16 there and 10.19 in the shipped table."""
    c = chain.series(f"{size}-1")
    assert (c.roller_diameter, c.inner_width) == approx((roller * MM, width * MM), rel=1e-3)
    assert c.pin_diameter == approx(pin * MM, rel=4e-3)
    if transverse:
        assert c.transverse_pitch == approx(transverse * MM, rel=1e-3)


@pytest.mark.parametrize(("size", "roller", "width", "pin", "transverse", "height"), [
    ("12B", 12.07, 11.68, 5.72, 19.46, 16.13), ("20B", 19.05, 19.56, 10.19, 36.45, 26.42),
    ("24B", 25.40, 25.40, 14.63, 48.36, 33.40), ("28B", 27.94, 30.99, 15.90, 59.56, 37.08),
    ("32B", 29.21, 30.99, 17.81, 58.55, 42.29),
])
def test_large_b_sizes_read_a_second_time(size, roller, width, pin, transverse, height):
    """A chain maker's published table of three-strand chains."""
    c = chain.series(f"{size}-3")
    found = (c.roller_diameter, c.inner_width, c.pin_diameter, c.transverse_pitch, c.plate_height)
    assert found == approx(tuple(x * MM for x in (roller, width, pin, transverse, height)), rel=1e-9)


@pytest.mark.parametrize(("z", "mm"), [(8, 33.18), (11, 45.07), (14, 57.07), (16, 65.10), (17, 69.11)])
def test_pitch_circles_of_08b_sprockets(z, mm):
    """A trader's sprocket pages, read; 11 and 17 teeth are 45.078 and 69.116, cut off there after two digits."""
    assert chain.pitch_diameter(12.7 * MM, float(z)) == approx(mm * MM, abs=0.0085 * MM)


@pytest.mark.parametrize(("name", "newton"), [
    ("05B-2", 7800), ("05B-3", 11100), ("08B-1", 18000), ("10B-1", 22400), ("10B-2", 44500), ("12B-1", 29000),
    ("12B-3", 86700), ("16B-1", 60000), ("16B-2", 106000), ("16B-3", 160000), ("20B-1", 95000), ("32B-1", 250000),
])
def test_b_series_strengths_against_a_traders_pages(name, newton):
    """Read; makers print a little more than the least value of the standard (08B-1, 10B-1, 12B-1)."""
    assert chain.series(name).breaking_load == approx(newton, rel=0.012)


@pytest.mark.parametrize(("name", "kilonewton"), [
    ("08B-2", 31.10), ("10B-2", 44.54), ("12B-2", 57.88), ("16B-2", 106.14), ("20B-2", 170.05), ("24B-1", 160.04),
    ("24B-2", 280.07), ("28B-2", 359.90), ("32B-2", 449.92), ("10B-3", 66.81), ("12B-1", 28.94), ("24A-1", 126.99),
    ("28A-1", 172.40), ("32A-1", 226.82), ("16A-2", 111.25), ("20A-2", 173.54), ("12A-1", 31.28), ("08B-3", 44.50),
    ("20B-3", 250.16), ("24B-3", 425.02), ("28B-1", 200.05), ("28B-3", 529.95), ("32B-3", 669.79),
])
def test_strengths_against_a_chain_makers_published_table(name, kilonewton):
    """Conversions to two digits, up to 1.7 % above the standard's least values."""
    assert chain.series(name).breaking_load == approx(kilonewton * 1e3, rel=0.018)


@pytest.mark.parametrize(("name", "kg_per_m", "rel"), [
    ("08B-1", 0.650, 0.08), ("10B-2", 1.856, 0.03), ("12B-2", 2.487, 0.08), ("16B-2", 5.213, 0.05),
    ("20B-2", 7.605, 0.01), ("24B-2", 14.278, 0.01), ("28B-2", 17.909, 0.01), ("32B-2", 19.391, 0.01),
    ("08B-3", 2.03, 0.03), ("16B-3", 8.13, 0.01), ("12B-3", 3.46, 0.01),
])
def test_mass_per_metre(name, kg_per_m, rel):
    """Two- and three-strand masses of makers' and traders' tables: strands times the one-strand mass."""
    assert chain.series(name).mass_per_metre == approx(kg_per_m, rel=rel)


@pytest.mark.from_memory
def test_bearing_area_of_08b():
    """Pin 4.45 mm, bush 11.3 mm (from memory): 50.3 mm2; two strands twice that."""
    assert chain.joint_area(4.45 * MM, 11.3 * MM, 1.0) == approx(50.3e-6, rel=1e-3)
    assert chain.series("08B-1").bearing_area == approx(50.3e-6, rel=1e-3)
    assert chain.series("08B-2").bearing_area == approx(100.6e-6, rel=1e-3)
    assert chain.series("08B-2").area_source.weak


@pytest.mark.from_memory
@pytest.mark.parametrize(("size", "square_mm"), [
    ("06B", 28), ("08B", 50), ("10B", 67), ("12B", 89), ("16B", 210), ("20B", 296), ("24B", 554), ("28B", 740),
    ("32B", 811), ("08A", 44), ("10A", 70), ("12A", 106), ("16A", 179), ("20A", 262), ("24A", 394), ("28A", 473),
    ("32A", 646),
])
def test_bearing_areas_makers_print(size, square_mm):
    """Rounded areas in makers' tables after DIN 8187 and DIN 8188, from memory: consistency, not proof."""
    assert chain.series(f"{size}-1").bearing_area == approx(square_mm * 1e-6, rel=0.012)


@pytest.mark.parametrize("name", ["08B", "08B-4", "8B-1", "", "-1", "08B-x"])
def test_an_unknown_designation_is_refused_in_words(name):
    with pytest.raises(KeyError, match="Write a size, a dash and one to three strands"):
        chain.series(name)


def test_all_designations_can_be_read():
    """20 sizes of one, two and three strands, 4 light ones of one; ASME 10 sizes and one light one."""
    assert len(chain.chain_names()) == 20 * 3 + 4
    assert len(chain.asme_names()) == 10 * 3 + 1
    assert all(chain.series(n).name == n for n in [*chain.chain_names(), *chain.asme_names()])
    assert chain.series("08b-1").strands == 1
    assert chain.series(" asme  40-2 ").name == "ASME 40-2"


NUMBERS = [  # American number, pitch, roller or bush, width, pin [in], least breaking load [lbf]
    ("25", 1 / 4, 0.130, 0.125, 0.0905, 781), ("35", 3 / 8, 0.200, 0.188, 0.141, 1758),
    ("41", 1 / 2, 0.306, 0.250, 0.141, 1500), ("40", 1 / 2, 0.312, 0.312, 0.156, 3125),
    ("50", 5 / 8, 0.400, 0.375, 0.200, 4880), ("60", 3 / 4, 0.469, 0.500, 0.234, 7030),
    ("80", 1, 0.625, 0.625, 0.312, 12500), ("100", 5 / 4, 0.750, 0.750, 0.375, 19531),
    ("120", 3 / 2, 0.875, 1.000, 0.437, 28100), ("140", 7 / 4, 1.000, 1.000, 0.500, 38280),
    ("160", 2, 1.125, 1.250, 0.562, 50000),
]


@pytest.mark.parametrize(("number", "pitch", "roller", "width", "pin", "pounds"), NUMBERS)
def test_american_numbers(number, pitch, roller, width, pin, pounds):
    """Dimensions in a second published table after ASME B29.1, strengths in an encyclopedia's, both read."""
    c = chain.series(f"ASME {number}-1")
    found = (c.pitch, c.roller_diameter, c.inner_width, c.pin_diameter)
    assert found == approx((pitch * INCH, roller * INCH, width * INCH, pin * INCH), rel=1e-9)
    assert c.breaking_load == approx(pounds * POUND_FORCE, rel=2e-3)
    assert number == "41" or pitch * 8 == int(number) // 10 or number in ("25", "35")


@pytest.mark.parametrize(("number", "inches"), [  # inner width + 2.12 plates, by hand from the table read
    ("25", 0.1886), ("35", 0.2940), ("41", 0.3560), ("40", 0.4392), ("60", 0.69928), ("160", 1.7800),
])
def test_bush_length_of_american_chains(number, inches):
    """Largest width of a roller link; beside it the remembered b2 of the ISO twin, within 1.5 %."""
    c = chain.series(f"ASME {number}-1")
    assert c.bush_length == approx(inches * INCH, rel=1e-9)
    assert chain.series(c.twin).bush_length == approx(c.bush_length, rel=0.015)
    assert c.bearing_area == approx(c.pin_diameter * c.bush_length)
    assert not c.area_source.weak


@pytest.mark.parametrize("number", [row[0] for row in NUMBERS])
def test_an_american_chain_is_the_iso_chain_of_its_pitch(number):
    """Twins name each other and fit the same sprockets; the least strengths are 1.3 % apart at most."""
    c = chain.series(f"ASME {number}-1")
    twin = chain.series(c.twin)
    assert twin.twin == c.name
    assert twin.pitch == approx(c.pitch, rel=1e-9)
    assert twin.roller_diameter == approx(c.roller_diameter, rel=4e-3)
    assert twin.breaking_load == approx(c.breaking_load, rel=0.013)
    assert twin.inner_width == approx(c.inner_width, rel=0.025)
    assert twin.pin_diameter == approx(c.pin_diameter, rel=0.01)


def test_two_strands_by_either_standard():
    """A: twice the strength of one strand. B: less than twice, by the table (16B 106 for 2 x 60)."""
    assert chain.series("ASME 80-2").breaking_load == approx(25000 * POUND_FORCE)
    assert chain.series("16A-2").breaking_load == approx(2 * chain.series("16A-1").breaking_load)
    assert chain.series("16B-2").breaking_load / chain.series("16B-1").breaking_load == approx(1.767, abs=5e-4)


@pytest.mark.parametrize("number", ["25", "35", "41"])
def test_masses_of_small_american_chains(number):
    """0.09, 0.21 and 0.25 lb/ft in Shigley, Table 17-19 (41: 0.28 in a trader's table, read)."""
    wanted = {"25": 0.09, "35": 0.21, "41": 0.265}[number] * POUND / FOOT
    assert chain.series(f"ASME {number}-1").mass_per_metre == approx(wanted, rel=0.06)


@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "kilonewton"), [
    ("081-1", 8.0), ("083-1", 11.6), ("084-1", 15.6), ("085-1", 6.7), ("04C-2", 7.0), ("06C-3", 23.7),
])
def test_strengths_of_light_and_bush_chains(name, kilonewton):
    """ISO 606:2015, remembered; 085, 04C and 06C stand beside their read inch twins above."""
    assert chain.series(name).breaking_load == approx(kilonewton * 1e3)


@pytest.mark.parametrize("name", ["085-2", "081-2", "ASME 41-2", "ASME 45-1"])
def test_a_light_chain_has_one_strand(name):
    with pytest.raises(KeyError, match="light ones with one strand only"):
        chain.series(name)


def test_only_one_light_chain_has_a_published_capacity():
    """Shigley, eq. 17-32: 0.0022 for no. 41, which is 085; nothing for the others."""
    assert chain.series("085-1").light == chain.series("ASME 41-1").light == 1
    assert chain.series("08A-1").light == chain.series("04C-1").light == 0
    assert all(chain.series(f"{n}-1").light != chain.series(f"{n}-1").light for n in ("081", "083", "084"))


def test_length_tolerance():
    """A published table after ASME B29.1: 0.018 in/ft for no. 50; 0.019 (no. 40) to 0.016 (no. 80) about it."""
    value = chain.practice("length tolerance").number("value", 0.01)
    assert value == approx(0.018 / 12)
    assert 0.016 / 12 < value < 0.019 / 12


@pytest.mark.parametrize(("number", "plate"), [
    ("25", 0.030), ("35", 0.050), ("41", 0.050), ("40", 0.060), ("50", 0.080), ("60", 0.094), ("80", 0.125),
    ("100", 0.156), ("120", 0.187), ("140", 0.219), ("160", 0.250),
])
def test_plates_of_american_chains(number, plate):
    """Thickness in a second published table (horsepower and dimensions of roller chains), read."""
    c = chain.series(f"ASME {number}-1")
    assert (c.bush_length - c.inner_width) / 2.12 == approx(plate * INCH, rel=1e-9)


@pytest.mark.parametrize(("name", "mm"), [("06B-2", 23.8), ("08B-2", 31.0), ("10B-2", 36.2), ("12B-2", 42.2), ("16B-2", 68.0),
                                          ("08B-3", 44.9), ("12B-3", 61.7), ("16B-3", 99.9), ("08A-2", 32.3),
                                          ("12A-2", 49.8), ("16A-2", 62.7)])
def test_width_over_the_pins_of_several_strands(name, mm):
    """ISO 606:2015, pin lengths b5 and b6 of two and three strands (values from memory): one pin and the pitches between."""
    assert outline.strand(chain.series(name)).width == approx(mm * MM, abs=0.15 * MM)
