"""Beyond what a formula is made for its result is unknown, with the reason; torque in any order of its units."""

import math

import pytest
from pytest import approx

from layshaft.faces.formulary import compute
from layshaft.trace.registry import load_all
from layshaft.trace.units import ENERGY, TORQUE, UnitError, parse_quantity


@pytest.mark.parametrize(("name", "inside", "beyond"), [
    ("parallel_key.flank_pressure", "T=60 N m, d=30 mm, h=7 mm, t_1=4 mm, l_tr=20 mm, i=1, phi=1", "t_1=8 mm"),
    ("parallel_key.flank_pressure", "T=60 N m, d=30 mm, h=7 mm, t_1=4 mm, l_tr=20 mm, i=1, phi=1", "t_1=7 mm"),
    ("parallel_key.bearing_length", "l=25 mm, b=8 mm, d=30 mm", "l=8 mm"),
    ("helical_spring.coil.wahl_factor", "C=8", "C=0.9"),
    ("helical_spring.coil.bergstraesser_factor", "C=8", "C=0.7"),
    ("roller_chain.geometry.centre_factor", "a=700 mm, X=116, z_1=19, z_2=38, p=12.7 mm", "X=28"),
    ("sections.tee_centre", "b=60 mm, h=60 mm, t_w=7 mm, t_f=7 mm", "t_f=60 mm"),
    ("sections.channel_centre", "b=50 mm, h=100 mm, t_w=6 mm, t_f=8.5 mm", "t_f=50 mm"),
    ("sections.angle_centre", "b=50 mm, h=50 mm, t=5 mm", "t=50 mm"),
    ("shaft.din_743.mean_sensitivity", "W=200 MPa, R_m=700 MPa", "W=1400 MPa"),
    ("shaft.sizing.tube_diameter", "d_s=30 mm, k=0.5", "k=1.1"),
    ("notch_cuts.left_by_hole", "strip=5.333, d_h=5 mm, d=30 mm", "d_h=20 mm"),
    ("worm_pair.forces.radial_force", "F_t2=900 N, alpha_n=20 deg, gamma=10 deg, mu=0.05", "gamma=88 deg"),
    ("spring_wire.endless_strength", "S_a=241 MPa, S_m=379 MPa, S_u=1000 MPa", "S_m=1001 MPa"),
])
def test_what_cannot_be_is_unknown_and_says_why(name, inside, beyond):
    """A stress, length or factor below nothing is none: geometry (a keyway deeper than the key leaves no flank)."""
    given = dict(text.split("=") for text in inside.split(", "))
    assert compute(name, [f"{k}={v}" for k, v in given.items()]).value > 0
    key, value = beyond.split("=")
    assert math.isnan(compute(name, [f"{k}={v}" for k, v in (given | {key: value}).items()]).value)
    assert load_all()[name].outside


def test_torque_and_energy_take_their_unit_in_either_order():
    """1 lbf ft = 1.355 817 948 N m (NIST SP 811, appendix B.8; torque and energy share the number)."""
    for text in ("74 lbf ft", "74 ft lbf", "74 ft·lbf"):
        for dimension in (TORQUE, ENERGY):
            assert parse_quantity(text, dimension).value == approx(74 * 1.355817948, rel=1e-9)
    with pytest.raises(UnitError, match="is an energy; a torque belongs here"):
        parse_quantity("5 kJ", TORQUE)
