"""Open parts of kinds that go by a series: the size found holds when it is put into the file, the one below does not.

Machines are the invented examples; sizes by hand are from the formulas named beside them.
"""

from math import pi, sqrt
from pathlib import Path

import pytest

from layshaft.listings.tables import table
from layshaft.machine import apply, read
from layshaft.train.solve import solve
from layshaft.verdict.needs import needs
from layshaft.verdict.preferred import R20
from layshaft.verdict.rate import rate
from layshaft.verdict.too_weak import too_weak

EXAMPLES = Path(__file__).parents[2] / "examples"
MITRE = {"stages.lens mitre.normal module": "open", "stages.lens mitre.face": "open", "stages.lens mitre.teeth": "open",
         "stages.lens mitre.ratio": "1"}
WORM = {"stages.worm.starts": "open", "stages.worm.wheel teeth": "open", "stages.worm.axial module": "open",
        "stages.worm.face": "open", "stages.worm.ratio": "40"}


def opened(name, sets, path):
    machine = apply(read(EXAMPLES / name), {"set": sets})
    return machine, next(n for n in needs(rate(solve(machine))) if n.path == path)


@pytest.mark.parametrize(("name", "sets", "path"), [
    ("sluice-winch", {"loads.brake drum.force": "open"}, "loads.brake drum"),
    ("sluice-winch", {"stages.clutch.slip torque": "open"}, "stages.clutch"),
    ("mill-hoist", {"stages.pin.diameter": "open"}, "stages.pin"),
    ("mill-hoist", {"drives.weight.suspension": "open"}, "drives.weight"),
    ("harbour-light", MITRE, "stages.lens mitre"),
    ("sluice-winch", WORM, "stages.worm"),
])
def test_the_size_found_holds_when_put_back_and_the_next_smaller_does_not(name, sets, path):
    machine, need = opened(name, sets, path)
    for tried, holds in ((need.smallest, True), (need.next_smaller, False)):
        changed = rate(solve(apply(machine, tried.option)))
        own = {f.mode: f.verdict for f in changed.findings if f.part == path}
        assert all(own[a.mode] == "holds" for a in tried.answers) is holds, tried.candidate.name


def test_a_slip_clutch_is_the_next_preferred_number_above_what_it_must_pass():
    """Torque times margin over one less scatter, rounded up in R20 of ISO 3 (values from memory): by hand."""
    _machine, need = opened("sluice-winch", {"stages.clutch.slip torque": "open"}, "stages.clutch")
    grip = next(a for a in need.smallest.answers if a.mode == "grip in running")
    found = need.smallest.candidate.sets["stages.clutch.slip torque"]
    passes = found * (1 - 0.10) / grip.margin  # what the train asks of it
    least = passes * grip.required / (1 - 0.10)
    assert found == min(v for v in (n * 10.0**k for k in range(3) for n in R20) if v >= least)


def test_a_shear_pin_is_the_next_of_iso_2338_above_the_area_it_needs():
    """Ultimate shear over area: d = sqrt(4 T S / (pi r n i tau (1 - s))), statics of a pin through a hub."""
    machine, need = opened("mill-hoist", {"stages.pin.diameter": "open"}, "stages.pin")
    pin = machine.stages["pin"]
    grip = next(a for a in need.smallest.answers if a.mode == "grip in running")
    d = need.smallest.candidate.sets["stages.pin.diameter"]
    each = pin.at_radius.nominal * pin.shear_planes.nominal * pin.pins.nominal * pin.shear_strength.nominal
    T = pi / 4 * d**2 * each * (1 - pin.scatter.nominal) / grip.margin
    least = sqrt(4 * T * grip.required / (pi * each * (1 - pin.scatter.nominal)))
    listed = [row.number("d_mm", 1e-3) for row in table("pin_diameters").rows]
    assert d == min(v for v in listed if v >= least)
    assert T == pytest.approx(16.7, abs=0.05)  # the torque printed beside the need


def test_an_open_flywheel_has_the_inertia_that_is_given():
    """A full disc: m = rho pi/4 (D^2 - d^2) b, J = m (D^2 + d^2) / 8."""
    machine, need = opened("village-pump", {"loads.wheel.diameter": "open"}, "loads.wheel")
    wheel, sets = machine.loads["wheel"], need.smallest.candidate.sets
    D, m, J = (sets[f"loads.wheel.{key}"] for key in ("diameter", "mass", "inertia"))
    assert wheel.inertia.nominal <= J and J == pytest.approx(m * (D**2 + wheel.bore.nominal**2) / 8)
    b = m / (wheel.density.nominal * pi / 4 * (D**2 - wheel.bore.nominal**2))
    assert any(b == pytest.approx(row.number("value_mm", 1e-3)) for row in table("flywheel_discs").rows
               if row.text("kind") == "thickness")


def test_a_rope_says_what_its_drum_must_measure():
    """ISO 4308-1, class M3: 14 diameters on the drum, 16 on pulleys (values from memory); 6 mm make 84 and 96 mm."""
    _machine, need = opened("mill-hoist", {"drives.weight.suspension": "open", "drives.weight.duty class": "M3"},
                           "drives.weight")
    assert any("drum of at least 84.0 mm and pulleys of at least 96.0 mm" in note for note in need.notes)


def test_a_chain_of_more_strands_is_tried_where_no_single_one_holds():
    """08B-1, -2 and -3 break at 17.8, 31.1 and 44.5 kN (ISO 606): two strands bear what one does not."""
    machine = apply(read(EXAMPLES / "harbour-light"), {"set": {"drives.weight.mass": "96 kg"}})
    need = next(n for n in too_weak(rate(solve(machine))) if n.path == "drives.weight")
    tried = {t.candidate.name: {a.mode: a.margin for a in t.answers} for t in need.tried}
    arrested = "arrested strength of the suspension"
    assert {"08B-2", "08B-3"} <= set(tried)
    assert tried["08B-2"][arrested] < tried["08B-3"][arrested]
