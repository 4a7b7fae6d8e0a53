"""The formulary lists, explains and computes; every mistake gets one sentence that helps."""

import json
import shlex

import pytest
from pytest import approx

from layshaft.faces.formulary import FormularyError, compute, explain, listing
from layshaft.trace.registry import load_all, used_by
from layshaft.trace.units import UnitError


def test_the_list_holds_every_formula_under_its_room():
    text = listing()
    assert [n for n in load_all() if f"  {n} " not in text] == []
    assert text.index("elements: parallel key") < text.index("parallel_key.flank_pressure")


def test_every_formula_explains_itself_and_its_own_example_can_be_computed():
    for name in load_all():
        text = explain(name)
        assert "Source: " in text
        assert "(no meaning given)" not in text, name
        command, first, said, *assignments = shlex.split(text.splitlines()[-1].removeprefix("Compute: "))
        assert (command, first, said) == ("layshaft", "formulary", name)
        assert compute(said, assignments).text


def test_explanation_of_one():
    text = explain("parallel_key.flank_pressure")
    for part in ("p = 2·T/(d·(h - t_1 if h > t_1 else unknown)·l_tr·i·phi)", "t_1        keyway depth in the shaft [mm,",
                 "[from memory: not seen on a page]", "Used by: elements.parallel_key.rate"):
        assert part in text


def test_compute_takes_and_gives_metric_and_inch():
    """48 N m on 1 inch: F = 2 T / d = 3779.5 N = 849.672 lbf (1 lbf = 4.44822 N by definition)."""
    done = compute("parallel_key.tangential_force", ["T=48 N m", "d=1 in"], "lbf")
    assert done.value == approx(96 / 0.0254)
    assert done.text == "F_t (tangential force at the shaft surface) = 849.672 lbf"
    data = json.loads(json.dumps(done.as_dict(), allow_nan=False))
    assert data["asked"] == {"value": approx(849.672, abs=5e-4), "unit": "lbf"}
    assert data["result"]["unit"] == "N"
    assert data["inputs"]["d"]["shown"] == "25.4 mm"


def test_outside_the_method_is_unknown_and_says_why():
    done = compute("loads.eddy_torque", ["c=0.1 N m s/rad", "omega=20 rad/s", "omega_k=10 rad/s"])
    assert "is unknown here: above the critical speed" in done.text
    assert done.as_dict()["result"]["value"] is None


def test_division_by_nothing_is_unknown():
    """A keyway as deep as the key leaves no flank in the hub."""
    done = compute("parallel_key.flank_pressure",
                   ["T=1 N m", "d=20 mm", "h=6 mm", "t_1=6 mm", "l_tr=20 mm", "i=1", "phi=1"])
    assert "is unknown here" in done.text


@pytest.mark.parametrize(("name", "assignments", "unit", "error", "words"), [
    ("tangentail_force", [], None, FormularyError, "Did you mean spur_teeth.tangential_force"),
    ("flank_pressure", [], None, FormularyError, "write one of dog_clutch.flank_pressure, parallel_key.flank"),
    ("qqq", [], None, FormularyError, "There is no formula 'qqq'. `layshaft formulary` lists all of them."),
    ("parallel_key.tangential_force", ["T=60", "d=1 in"], None, UnitError, "T: '60' has no unit; a torque needs"),
    ("parallel_key.tangential_force", ["T=60 N", "d=1 in"], None, UnitError, "T: '60 N' is a force; a torque"),
    ("parallel_key.tangential_force", ["t=60 N m"], None, FormularyError, "has no input 't'. Did you mean T?"),
    ("parallel_key.tangential_force", ["wheel=3"], None, FormularyError, "Its inputs are T, d."),
    ("parallel_key.tangential_force", ["T=60 N m"], None, FormularyError, "also needs d (shaft diameter, a length)."),
    ("parallel_key.tangential_force", ["T 60"], None, FormularyError, "write for instance 'T=1 N m'"),
    ("parallel_key.tangential_force", ["d=1 in", "d=2 in"], None, FormularyError, "'d' is given twice"),
    ("parallel_key.tangential_force", ["T=60 N m ± 2 %", "d=1 in"], None, UnitError, "takes one value"),
    ("parallel_key.tangential_force", ["T=60 N m", "d=1 in"], "mm", UnitError, "Ask for one of: N, kN"),
])
def test_mistakes_get_one_sentence(name, assignments, unit, error, words):
    with pytest.raises(error) as e:
        compute(name, assignments, unit)
    assert words in str(e.value)
    assert "\n" not in str(e.value)


def test_who_uses_a_formula():
    assert "elements.parallel_key.rate" in used_by(load_all()["margin.margin"])


def test_a_size_that_is_bought_comes_with_the_next_one_in_stock():
    """30 N m at 20 MPa: 19.69 mm, so a bar of 20 mm; no shop keeps one for 30 kN m."""
    done = compute("torsion_diameter", ["T=30 N m", "tau=20 MPa"])
    assert done.text.splitlines()[1] == "smallest usual size in stock that is not below it: 20.00 mm"
    assert done.as_dict()["stock"] == approx(0.020)
    large = compute("torsion_diameter", ["T=30 kN m", "tau=20 MPa"])
    assert large.text.endswith("none is large enough") and large.as_dict()["stock"] is None
    assert "stock" not in compute("twist", ["T=30 N m", "k_i=100 N m/rad"]).text
