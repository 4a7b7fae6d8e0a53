"""Good files: what each line becomes. SI values worked out by hand."""

import math

import pytest

from layshaft.machine import MachineErrors, listings, read, read_text, schema
from layshaft.machine.kinds import BODIES, DRIVES, HUBS, LOADS, PARTS, STAGES
from layshaft.machine.model import Machine, Module, Parting, Run, Seat, Shaft, Transit, Venue, Want
from layshaft.machine.paths import in_model, joined, split
from layshaft.machine.schema import Choice, Given, keys
from layshaft.trace.units import parse_quantity
from machine.samples import SMALL, changed, every_key

KINDS = [*DRIVES.values(), *STAGES.values(), *LOADS.values(), *PARTS.values(), *BODIES.values(), *HUBS.values(),
         Machine, Module, Parting, Run, Seat, Shaft, Transit, Venue, Want]


def instances(thing, found):
    """Every thing of a machine by kind."""
    if isinstance(thing, schema.Thing):
        found.setdefault(type(thing), []).append(thing)
        for field, k in keys(type(thing)).values():
            if not isinstance(k.reads, schema.Raw):
                instances(getattr(thing, field), found)
    elif isinstance(thing, dict):
        for item in thing.values():
            instances(item, found)
    return found


def items(value):
    if isinstance(value, tuple):
        for item in value:
            yield from items(item)
    else:
        yield value


@pytest.mark.parametrize("kind", KINDS, ids=[kind.__name__ for kind in KINDS])
def test_every_key_of_every_kind_is_read(kind):
    things = instances(read_text(every_key()), {})[kind]
    for file_key, (field, k) in keys(kind).items():
        value = getattr(things[0], field)
        if isinstance(k.reads, schema.Quantity):
            wanted = parse_quantity(k.example, k.reads.dimension)
            if (kind, file_key) != (Seat, "at"):
                assert (value.value, value.low, value.high) == (wanted.value, wanted.low, wanted.high), file_key
            assert value.state == "given"
            assert value.mark.line > 0
        elif isinstance(k.reads, schema.Listing):
            assert value.state == ("open" if k.example == "open" else "given"), file_key
        elif isinstance(k.reads, schema.ListOf):
            assert len(value) >= 1 and all(v.known for v in items(value) if isinstance(v, Given | Choice)), file_key
        else:
            assert value or value is False, file_key


def test_every_path_leads_back_to_its_given():
    machine = read_text(every_key())
    for path, given in machine.givens.items():
        assert joined(split(path)) == path
        assert in_model(machine, split(path)) is given
        assert given.cause in (path, "")
        assert (given.cause == path) == (given.state != "missing")


def test_a_quantity_and_what_is_known_of_it():
    mass = read_text(SMALL).drives["weight"].mass
    assert (mass.path, mass.value, mass.low, mass.high, mass.source) == ("drives.weight.mass", 96.0, 90.0, 99.0, "measured")
    assert mass.doubtful and mass.mark.line == 33 and mass.written == "96 kg"
    module = read_text(SMALL).modules["winder"].mass
    assert (module.low, module.high, module.source) == (116.0, 120.0, "decided")
    seat = read_text(SMALL).shafts["main"].seats["left bearing"]
    assert seat.at.value == pytest.approx(0.020)
    assert seat.drag.state == "missing" and math.isnan(seat.drag.value)
    assert seat.bearing == Choice("shafts.main.seats.left bearing.bearing", "6205", "given", seat.bearing.mark)


def test_open_keeps_its_shape_and_missing_is_not_open():
    machine = read_text(changed("teeth: [19, 38]", "teeth: open").replace("[[20 mm, 300 mm]]", "open").replace("08B-1", "open"))
    chain = machine.stages["lens chain"]
    assert [t.state for t in chain.teeth] == ["open", "open"]
    assert [t.path for t in chain.teeth] == ["stages.lens chain.teeth[0]", "stages.lens chain.teeth[1]"]
    assert (chain.chain.state, chain.links.state) == ("open", "missing")
    ((diameter, length),) = machine.shafts["lens lay"].sections
    assert (diameter.state, length.state, length.path) == ("open", "open", "shafts.lens lay.sections[0][1]")
    one = read_text(changed("teeth: [19, 38]", "teeth: [19, open]")).stages["lens chain"].teeth
    assert (one[0].value, one[1].state) == (19.0, "open")
    without = read_text(changed("    sections: [[20 mm, 300 mm]]\n", "")).shafts["lens lay"]
    assert without.sections[0][0].state == "missing"
    assert [a.state for a in without.at] == ["missing"] * 3


def test_scalars_stay_the_text_they_were():
    machine = read_text(changed("name: Small", "name: 1.10").replace("layshaft: 1\n", "layshaft: 1\nabout: on\n"))
    assert (machine.title, machine.about) == ("1.10", "on")


def test_a_seat_not_named_is_the_one_with_the_same_name():
    machine = read_text(SMALL)
    assert machine.stages["lens chain"].seats == ("lens chain", "lens chain")
    held = read_text(changed("loads:\n", "  stop:\n    kind: ratchet\n    from: main\n    to: frame\nloads:\n").replace(
        "      lens chain:    {at: 200 mm}\n", "      lens chain:    {at: 200 mm}\n      stop: {at: 300 mm}\n"))
    assert held.stages["stop"].seats == ("stop", "")


@pytest.mark.parametrize(("axis", "vector"), [
    ("x", (1, 0, 0)), ("-y", (0, -1, 0)), ("+z", (0, 0, 1)), ("[0, 3, 4]", (0, 0.6, 0.8)),
])
def test_directions(axis, vector):
    text = SMALL.replace("    axis: x\n", f"    axis: {axis}\n")
    assert read_text(text).shafts["main"].axis == pytest.approx(vector)


def test_shared_quantities():
    text = changed("    mass: {value: 110 kg, between: [100 kg, 125 kg], source: assumed}",
                   "    mass: {value: same as modules.winder.mass, note: same frame}").replace(
        "118 kg ± 2 kg", "same as drives.weight.mass")
    machine = read_text(text)
    mass = machine.loads["lens"].mass
    assert (mass.value, mass.low, mass.high, mass.source) == (96.0, 90.0, 99.0, "measured")
    assert (mass.path, mass.cause, mass.note) == ("loads.lens.mass", "drives.weight.mass", "same frame")
    assert machine.modules["winder"].mass.cause == "drives.weight.mass"
    assert machine.givens["modules.winder.mass"].value == 96.0
    opened = read_text(changed("{value: 96 kg, between: [90 kg, 99 kg], source: measured}", "same as loads.lens.mass").replace(
        "{value: 110 kg, between: [100 kg, 125 kg], source: assumed}", "open"))
    assert opened.drives["weight"].mass.state == "open"


def test_a_circle_of_shared_quantities_is_refused():
    text = changed("{value: 96 kg, between: [90 kg, 99 kg], source: measured}", "same as loads.lens.mass").replace(
        "{value: 110 kg, between: [100 kg, 125 kg], source: assumed}", "same as drives.weight.mass")
    with pytest.raises(MachineErrors, match="leads back here"):
        read_text(text)


def test_sizes_from_tables_and_from_parts():
    parts = "name;kind;source;read in;bore\nown 25;bearing;listed;an invented sheet;25 mm\n\n# a comment\n"
    machine = read_text(changed('right bearing: {at: 400 mm, bearing: "6205"}', "right bearing: {at: 400 mm, bearing: own 25}"),
                        parts=parts)
    own = listings.resolve(machine, "bearing", "own 25")
    assert (own.row, own.part.name, listings.bore(own)) == (None, "own 25", 0.025)
    assert str(own.source) == "parts.own 25, listed, an invented sheet"
    assert listings.bore(listings.resolve(machine, "bearing", "6205")) == pytest.approx(0.025)
    chain = listings.resolve(machine, "chain", "08B-2")
    assert (chain.row.name, chain.strands) == ("08B", 2)
    key = listings.resolve(machine, "key", "8x7x25")
    assert (key.row.name, key.length) == ("8x7", 0.025)
    assert math.isnan(listings.resolve(machine, "key", "8 × 7").length)
    assert listings.resolve(machine, "coupling", "6205") is None
    assert listings.names(machine, "bearing")[0] == "own 25"


def test_the_folder_is_the_project(tmp_path):
    (tmp_path / "machine.yaml").write_text(SMALL, encoding="utf-8")
    (tmp_path / "parts.csv").write_text(
        "name,kind,source,read in,steady torque\njaw 35,coupling,listed,an invented sheet,35 N m\n", encoding="utf-8")
    machine = read(tmp_path)
    assert machine.file == tmp_path / "machine.yaml"
    torque = machine.parts["jaw 35"].steady_torque
    assert torque.value == 35.0
    assert str(torque.mark) == f"{tmp_path / 'parts.csv'}:2:5"
    assert read(tmp_path / "machine.yaml") == machine
