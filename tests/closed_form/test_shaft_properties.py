"""What must hold for any shaft section: more load never helps, by no method; a sharper notch never does either."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from layshaft.elements import shaft
from layshaft.elements.shaft import din_743
from layshaft.mechanics import notch_cuts
from layshaft.trace.source import Source

GIVEN = Source("invented", obtained="given")
BASE = {"d": 0.030, "M": 60.0, "M_m": 10.0, "T_m": 40.0, "T_a": 20.0, "F_a": 500.0, "K_t": 1.8, "K_ts": 1.5, "tested": 0.0,
        "r": 1e-3, "R_m": 610e6, "R_e": 407e6, "a_s": 4.51, "b_s": -0.265, "z_a": 2.326, "S_D_required": 1.5,
        "S_F_required": 1.5, "counted": 0.0, "beta_b": 1.7, "beta_t": 1.4, "beta_tested": 0.0, "R_z": 25e-6, "w_b": 1.0, "w_t": 1.0}


def margins(**changes):
    values = BASE | changes
    s = shaft.SectionInputs(**values, origins=dict.fromkeys(values, GIVEN))
    rated = shaft.rate(s)
    soderberg, gerber, ellipse, din, *_ = rated.checks[0].beside
    return np.array([rated.S_D, rated.S_F, soderberg, gerber, ellipse, din, rated.checks[1].beside[0]])


@given(name=st.sampled_from(["M", "M_m", "T_m", "T_a", "F_a"]), load=st.floats(0, 1e3), more=st.floats(0, 1e3))
def test_more_load_never_raises_a_margin(name, load, more):
    assert (margins(**{name: load + more}) <= margins(**{name: load}) * (1 + 1e-12)).all()


@given(diameter=st.floats(0.010, 0.1), more=st.floats(1.0, 2.0))
def test_a_thicker_shaft_never_holds_less_against_yield(diameter, more):
    thin, thick = margins(d=diameter), margins(d=diameter * more)
    assert (thick[[1, 6]] >= thin[[1, 6]] * (1 - 1e-12)).all()


@pytest.mark.parametrize("cut", ["groove", "shoulder"])
@given(depth=st.floats(0.5e-3, 3e-3), r=st.floats(0.3e-3, 2e-3), sharper=st.floats(0.5, 1.0))
def test_a_sharper_notch_never_has_a_smaller_factor(cut, depth, r, sharper):
    d, D = 0.030, 0.030 + 2 * depth
    blunt, sharp = (din_743.cut_factors(cut, D, d, radius, 400e6) for radius in (r, r * sharper))
    shapes = [notch_cuts.groove(D, d, radius) for radius in (r, r * sharper)]
    for before, after, share in ((blunt, sharp, 1e-12), (*shapes, 0.02)):
        for one, other in zip(before, after, strict=True):
            assert np.isnan(one) or np.isnan(other) or other >= one * (1 - share)
