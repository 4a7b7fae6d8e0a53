"""DIN 740-2, flexible couplings: formulas from memory, evaluated; handbook rule for misalignment."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import coupling
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source

GIVEN = Source("machine file", "", "given")
CASE = {"T_N": 100.0, "T_max": 316.0, "T_W": 20.0, "omega_w": 2 * np.pi * 40, "T_KN": 160.0,
        "T_KW": 64.0, "T_Kmax": 420.0, "S_t": 1.2, "S_Z": 1.0,
        "delta_r": 0.1e-3, "delta_w": 0.4, "delta_a": 0.1e-3, "r_lim": 0.2e-3, "w_lim": 1.0,
        "a_lim": 1.0e-3, "C_T": 1500.0, "c_r": 600e3, "c_w": 200.0, "c_a": 150e3,
        "S_required": 1.0}


def inputs(**changes):
    values = CASE | changes
    return coupling.CouplingInputs(**values, origins=dict.fromkeys(values, GIVEN))


@pytest.mark.from_memory
def test_steady_torque_at_60_degrees():
    """T_N 100 N m, S_t 1.4: 140 N m."""
    S_t = coupling.temperature_factor(60.0)
    assert coupling.steady_demand(100.0, S_t) == approx(140.0, rel=1e-3)


@pytest.mark.from_memory
def test_temperature_factors():
    """1.0 to 30, 1.2 to 40, 1.4 to 60, 1.8 to 80 degC."""
    found = coupling.temperature_factor(np.array([-10.0, 30.0, 30.1, 40.0, 40.1, 60.1, 80.0]))
    assert found == approx([1.0, 1.0, 1.2, 1.2, 1.4, 1.8, 1.8])
    assert np.isnan(coupling.temperature_factor(np.array([80.1, np.nan]))).all()


@pytest.mark.from_memory
def test_shock_from_the_driving_side():
    """150 N m, J 0.05 and 0.2 kg m2, S_A 1.8, S_Z 1, S_t 1.2, T_N 100: 379.2 N m."""
    shock = coupling.shock_from_drive(150.0, 0.05, 0.2, 1.8)
    assert coupling.peak_demand(shock, 1.0, 1.2, 100.0) == approx(379.2, rel=1e-3)
    assert coupling.peak_demand(shock, 1.5, 1.2, 100.0) == approx(216 * 1.8 + 120)


@pytest.mark.from_memory
def test_shock_from_the_driven_side():
    """150 N m, J 0.05 and 0.2 kg m2, S_L 1.8: 54.0 N m."""
    assert coupling.shock_from_load(150.0, 0.05, 0.2, 1.8) == approx(54.0, rel=1e-3)


@pytest.mark.from_memory
def test_misalignment_shares_add_to_one():
    """0.5 + 0.4 + 0.1 of three limits: the budget is used up."""
    check = coupling.rate(inputs()).checks[3]
    assert check.demand == approx(1.0)
    assert check.margin == approx(1.0)


@pytest.mark.from_memory
def test_a_coupling_in_full():
    rating = coupling.rate(inputs())
    steady, swing, peak, _ = rating.checks
    assert swing.demand == approx(20 * 2 * 1.2)  # 40 Hz: root of 4
    assert swing.margin == approx(64 / 48)
    assert steady.margin == approx(160 / 120)
    assert peak.demand == approx(379.2, rel=1e-3)
    assert peak.margin == approx(420 / 379.2)
    assert rating.C_T == 1500.0


def test_frequency_factor_of_a_published_rule():
    """Read in a coupling maker's page on dynamic torque: 1 up to 10 Hz, above it the root of f over 10 Hz."""
    for hertz, factor in ((2.0, 1.0), (10.0, 1.0), (20.0, 1.4142), (90.0, 3.0)):
        assert coupling.frequency_factor(2 * np.pi * hertz) == approx(factor, rel=1e-4)


@pytest.mark.from_memory
def test_start_factors():
    """1.0 up to 120 starts an hour, 1.3 up to 240; beyond it the maker is asked."""
    assert coupling.start_factor(np.array([0.0, 120.0, 121.0, 240.0])) == approx([1.0, 1.0, 1.3, 1.3])
    assert np.isnan(coupling.start_factor(np.array([241.0, np.nan]))).all()


@pytest.mark.from_memory
@pytest.mark.parametrize(("element", "factors"), [
    ("natural rubber", [1.0, 1.1, 1.4, 1.6]), ("nitrile rubber", [1.0, 1.0, 1.0, 1.2]),
    ("polyurethane", [1.0, 1.2, 1.5, np.nan])])
def test_temperature_factors_by_element(element, factors):
    """Up to 30, 40, 60, 80 degC; polyurethane ends at 60, and below -20 nothing is said."""
    found = coupling.temperature_factor(np.array([30.0, 31.0, 60.0, 61.0]), element)
    assert found == approx(np.array(factors), nan_ok=True)
    assert np.isnan(coupling.temperature_factor(-20.1, element))
    assert coupling.temperature_factor(-20.0, element) == 1.0


def test_what_a_bent_coupling_pushes_back_with():
    """Closed form: a spring. 0.1 mm at 600 N/mm is 60 N; 10 mrad at 200 N m/rad 2 N m; 0.1 mm at 150 N/mm 15 N."""
    rating = coupling.rate(inputs(delta_w=0.01))
    assert (rating.F_r, rating.M_w, rating.F_a) == approx((60.0, 2.0, 15.0))


def test_each_share_of_misalignment_counts():
    half = coupling.misalignment_margin(0.5)
    assert half == approx(2.0)
    assert coupling.used_length(0.1, 0.4) == approx(0.25)
    assert coupling.used_angle(0.1, 0.5) == approx(0.2)
    aligned = coupling.rate(inputs(delta_r=0.0, delta_w=0.0, delta_a=0.0))
    assert aligned.checks[3].margin == approx(1e6)


def test_a_peak_below_the_steady_torque_is_no_shock():
    assert coupling.shock_torque(80.0, 100.0) == 0
    assert coupling.shock_torque(130.0, 100.0) == approx(30.0)
    assert coupling.shock_torque(np.array([50.0]), np.array([0.0])) == approx(50.0)


def test_the_sheet_of_a_coupling_has_no_untraced_number():
    with tracing() as trace:
        coupling.rate(inputs())
    assert not trace.untraced
