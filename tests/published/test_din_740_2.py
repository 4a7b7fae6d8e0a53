"""DIN 740-2, flexible couplings: formulas from memory, evaluated; handbook rule for misalignment."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import coupling
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source

GIVEN = Source("machine file", "", "given")
CASE = {"T_N": 100.0, "T_max": 316.0, "T_KN": 160.0, "T_Kmax": 420.0, "S_t": 1.2, "S_Z": 1.0,
        "delta_r": 0.1e-3, "delta_w": 0.4, "delta_a": 0.1e-3, "r_lim": 0.2e-3, "w_lim": 1.0,
        "a_lim": 1.0e-3, "C_T": 1500.0, "S_required": 1.0}


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
    check = coupling.rate(inputs()).checks[2]
    assert check.demand == approx(1.0)
    assert check.margin == approx(1.0)


@pytest.mark.from_memory
def test_a_coupling_in_full():
    rating = coupling.rate(inputs())
    steady, peak, _ = rating.checks
    assert steady.margin == approx(160 / 120)
    assert peak.demand == approx(379.2, rel=1e-3)
    assert peak.margin == approx(420 / 379.2)
    assert rating.C_T == 1500.0


def test_each_share_of_misalignment_counts():
    half = coupling.misalignment_margin(0.5)
    assert half == approx(2.0)
    assert coupling.used_length(0.1, 0.4) == approx(0.25)
    assert coupling.used_angle(0.1, 0.5) == approx(0.2)
    aligned = coupling.rate(inputs(delta_r=0.0, delta_w=0.0, delta_a=0.0))
    assert aligned.checks[2].margin == approx(1e6)


def test_a_peak_below_the_steady_torque_is_no_shock():
    assert coupling.shock_torque(80.0, 100.0) == 0
    assert coupling.shock_torque(130.0, 100.0) == approx(30.0)
    assert coupling.shock_torque(np.array([50.0]), np.array([0.0])) == approx(50.0)


def test_the_sheet_of_a_coupling_has_no_untraced_number():
    with tracing() as trace:
        coupling.rate(inputs())
    assert not trace.untraced
