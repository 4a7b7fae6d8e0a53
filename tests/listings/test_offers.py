"""Standard series as offers: dimensions against published tables of the standards.

Sources beside each check; "value from memory" where no page was open.
"""

import math

import pytest

from layshaft.elements.roller_chain.geometry import pitch_diameter
from layshaft.listings.offers import Offer, standard_kinds, standard_offers
from layshaft.machine.kinds.listed import PARTS
from layshaft.mechanics import inertia


def named(kind, name):
    return next(o for o in standard_offers(kind) if o.name == name)


def test_chain_of_half_an_inch():
    # ISO 606, series B: pitch 12.7 mm exactly half an inch, 17.8 kN for one strand (value from memory)
    chain = named("roller chain", "08B-1")
    assert chain.values["pitch"] == pytest.approx(0.5 * 0.0254, rel=1e-12)
    assert chain.values["breaking load"] == pytest.approx(17.8e3)
    assert chain.supplier == "" and chain.standard == "08B-1"


def test_bearing_by_its_number():
    # ISO 15: the last two digits times five are the bore; 6205 is 25 x 52 x 15 (value from memory)
    sizes = named("bearing", "6205").values
    assert [sizes[key] for key in ("bore", "outside", "width")] == pytest.approx([0.025, 0.052, 0.015])


def test_no_two_bolts_of_one_name():
    # ISO 898-1: class 8.8 of M16 has a proof strength of 580 MPa, above M16 600 MPa (value from memory)
    names = [o.name for o in standard_offers("fastener")]
    assert len(names) == len(set(names))
    assert named("fastener", "M16 8.8").values["proof strength"] == 580e6
    assert named("fastener", "M20 8.8").values["proof strength"] == 600e6


@pytest.mark.parametrize("kind", standard_kinds())
def test_every_offer_says_where_it_is_from(kind):
    assert standard_offers(kind)
    for offer in standard_offers(kind):
        assert offer.kind == kind and offer.source.work and offer.where
        assert not any(v <= 0 for v in offer.values.values() if not isinstance(v, str))
        assert math.isnan(offer.price) and math.isnan(offer.lead_time)


def test_unknown_kind_has_no_series():
    assert standard_offers("wing nut with ears") == ()
    assert Offer("bearing", "6205").values == {}


@pytest.mark.parametrize(("kind", "part"), [("roller chain", "chain"), ("bearing", "bearing"), ("pin", "pin")])
def test_values_have_the_keys_of_the_files_own_parts(kind, part):
    keys = {name.replace("_", " ") for name in PARTS[part].__dataclass_fields__}
    assert len(keys & set(standard_offers(kind)[0].values)) >= 2


def test_sprockets_have_the_pitch_circle_of_the_element_and_a_bore_that_stays_inside():
    # ISO 606: preferred numbers of teeth 17, 19, 21, 23, 25, 38, 57, 76, 95 and 114 (value from memory)
    teeth = {o.values["teeth"] for o in standard_offers("sprocket")}
    assert {17, 19, 21, 23, 25, 38, 57, 76, 95, 114} <= teeth
    for offer in standard_offers("sprocket"):
        d = pitch_diameter(offer.values["pitch"], offer.values["teeth"])
        assert offer.values["pitch diameter"] == pytest.approx(float(d), rel=1e-12)
        assert 0 < offer.values["greatest bore"] < 0.75 * d
    # half-inch pitch, 19 teeth: 77.16 mm, as chain wheel tables print it
    assert named("sprocket", "08B-1 Z19").values["pitch diameter"] == pytest.approx(77.16e-3, abs=0.005e-3)


def test_gears_follow_module_and_teeth():
    # ISO 53 and ISO 21771: pitch diameter m z, addendum one module
    gear = named("spur gear", "m2 Z20")
    assert gear.values["pitch diameter"] == pytest.approx(0.040) and gear.values["outside"] == pytest.approx(0.044)


def test_discs_weigh_what_the_formulas_of_the_house_say():
    for offer in standard_offers("flywheel"):
        d, b = offer.values["outside"], offer.values["thickness"]
        m = float(inertia.mass(7850.0, inertia.ring_volume(d, 0.0, b)))
        assert offer.mass == pytest.approx(m, rel=1e-12)
        assert offer.values["inertia"] == pytest.approx(float(inertia.ring(m, d, 0.0)), rel=1e-12)
    # 7850 kg/m3 x pi/4 x 0.4^2 x 0.02 = 19.73 kg, by hand
    assert named("flywheel", "disc 400x20").mass == pytest.approx(19.73, abs=0.005)


def test_bars_weigh_what_tables_print():
    # round steel bar of 25 mm: 3.85 kg/m in tables of steel sections
    assert named("bright bar", "25 mm").values["mass per metre"] == pytest.approx(3.85, abs=0.01)


def test_what_no_standard_sets_is_typical():
    # ISO 3: R10 has ten steps to a decade, so the tenth size is ten times the first
    couplings = standard_offers("coupling")
    assert couplings[10].values["steady torque"] == pytest.approx(10 * couplings[0].values["steady torque"])
    for kind in ("coupling", "flywheel", "spur gear"):
        assert all(o.source.weak for o in standard_offers(kind))


def test_keys_are_made_in_the_lengths_of_the_standard():
    # DIN 6885-1: 8 x 7 from 18 to 90 mm, 10 x 8 from 22 to 110 mm, for shafts over 22 to 30 and 30 to 38 mm (from memory)
    for section, low, high, least, greatest in (("8x7", 18, 90, 22, 30), ("10x8", 22, 110, 30, 38)):
        made = [o for o in standard_offers("parallel key") if o.name.startswith(f"{section}x")]
        lengths = [o.values["length"] * 1e3 for o in made]
        assert (min(lengths), max(lengths)) == (pytest.approx(low), pytest.approx(high))
        assert made[0].values["least shaft"] == pytest.approx(least * 1e-3)
        assert made[0].values["greatest shaft"] == pytest.approx(greatest * 1e-3)
    # round ends, by hand: (8 x 17 + pi/4 x 64) x 7 mm3 of steel of 7850 kg/m3 is 10.2 g
    assert named("parallel key", "8x7x25").mass == pytest.approx(0.01024, abs=2e-5)


def test_a_synchronous_belt_of_half_an_inch():
    # ISO 5296: H is half an inch of pitch, XL a fifth (value from memory)
    assert named("synchronous belt", "H").values["pitch"] == pytest.approx(0.0127)
    assert named("synchronous belt", "XL").values["pitch"] == pytest.approx(0.00508)
