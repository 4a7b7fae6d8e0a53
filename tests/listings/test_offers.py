"""Standard series as offers: dimensions against published tables of the standards.

Sources beside each check; "value from memory" where no page was open.
"""

import math

import pytest

from layshaft.listings.offers import Offer, standard_kinds, standard_offers
from layshaft.machine.kinds.listed import PARTS


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
