"""Air at another temperature: dry air at 101.325 kPa weighs 1.293 kg/m3 at 0 degC, 1.204 at 20 degC, 1.127 at 40 degC
(tables in handbooks of physics and ventilation, values from memory).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import steadiness


@pytest.mark.from_memory
@pytest.mark.parametrize(("t_m", "rho", "t", "found"), [
    (20.0, 1.204, 0.0, 1.293), (20.0, 1.204, 40.0, 1.127), (0.0, 1.293, 40.0, 1.127),
])
def test_air_of_the_tables(t_m, rho, t, found):
    assert steadiness.air_density(rho, t_m, t) == approx(found, abs=1.5e-3)


def test_colder_than_there_is():
    assert np.isnan(steadiness.air_density(1.2, 20.0, -273.2)) and steadiness.air_density(1.2, 20.0, -273.1) > 0
