"""ISO 10823:2004, selection of roller chain drives: length and centre factors, f1, f2.

The centre factors and f1 are from memory; the definition of f3 and the formula of f2 were read in
second texts.
"""

import pytest
from pytest import approx

from layshaft.elements import roller_chain as chain

MM = 1e-3


@pytest.mark.from_memory
@pytest.mark.parametrize(("ratio", "f_4"), [(10, 0.24986), (5, 0.24937), (3, 0.24795), (2, 0.24421)])
def test_table_of_centre_factors(ratio, f_4):
    """(X - z_1) / (z_2 - z_1) against f4; the wheels are invented to give the ratio."""
    z_1, z_2, p = 19.0, 57.0, 12.7 * MM
    X = z_1 + ratio * (z_2 - z_1)
    a = chain.centre_distance_exact(X, z_1, z_2, p)
    assert chain.centre_factor(a, X, z_1, z_2, p) == approx(f_4, rel=5e-5)


def test_length_factor_of_38_teeth_difference():
    """f3 = 36.577."""
    assert chain.length_factor(19.0, 57.0) == approx(36.577, rel=2e-5)


@pytest.mark.parametrize(("z", "f_2"), [(17.0, 1.128), (13.0, 1.507)])
def test_tooth_factor(z, f_2):
    """f2 = (19/z)^1.08, multiplies the demand."""
    assert chain.tooth_factor_demand(z) == approx(f_2, rel=5e-4)


@pytest.mark.from_memory
def test_application_factors():
    """Rows smooth, moderate, heavy driven; columns smooth, slight, moderate driver."""
    drivers, driven = ("smooth", "slight shocks", "moderate shocks"), ("smooth", "moderate shocks", "heavy shocks")
    found = [[chain.application_factor(a, b).number("f_1") for a in drivers] for b in driven]
    assert found == [[1.0, 1.1, 1.3], [1.4, 1.5, 1.7], [1.8, 1.9, 2.1]]


def test_chart_power():
    """P f1 f2 for 1 kW, 1.5 and 17 teeth: product by hand."""
    assert chain.chart_power(1000.0, 1.5, chain.tooth_factor_demand(17.0)) == approx(1691.5, rel=1e-4)


def test_an_unknown_characteristic_is_explained():
    with pytest.raises(KeyError, match="The driver is smooth"):
        chain.application_factor("furious", "smooth")
