"""The schema for editors, held against the reader and against a validator of its published draft.

The validator is the general library `jsonschema` (draft 2020-12), where it is installed.
"""

import json
import re
from pathlib import Path

import pytest
import yaml

from layshaft.faces.cli import app
from layshaft.machine import document
from layshaft.machine.json_schema import NAME, PATH, machine_schema
from layshaft.machine.model import Machine
from layshaft.machine.quantity_patterns import quantity_pattern
from layshaft.machine.shape import Shape
from layshaft.trace.units import DIMENSIONS, FORCE, LENGTH, RATIO, SPEED, TEMPERATURE, TORQUE, UnitError, parse_quantity
from machine.samples import SMALL, changed, every_key

HERE = Path(__file__).parent
EXAMPLES = sorted((HERE.parents[1] / "examples").glob("**/machine.yaml"))
CASES = yaml.safe_load((HERE / "wrong_files.yaml").read_text(encoding="utf-8"))
ARITHMETIC = {"spread below zero", "efficiency", "two spreads", "between wrong way round"}
"""Wrong in their numbers, not in their form: left to `check`."""


class Core(yaml.SafeLoader):
    """The core schema of YAML 1.2, chapter 10.3.2: what an editor makes of plain texts."""


Core.yaml_implicit_resolvers = {}

for tag, written, first in (("null", r"^(?:~|null|Null|NULL|)$", ["~", "n", "N", ""]),
                            ("bool", r"^(?:true|True|TRUE|false|False|FALSE)$", list("tTfF")),
                            ("int", r"^[-+]?[0-9]+$", list("-+0123456789")),
                            ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$",
                             list("-+.0123456789"))):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(written), first)


@pytest.fixture(scope="module")
def validator():
    library = pytest.importorskip("jsonschema", reason="the validator is not installed")
    library.Draft202012Validator.check_schema(machine_schema())
    return library.Draft202012Validator(machine_schema())


def mistakes(validator, text):
    return [f"{list(e.absolute_path)}: {e.message[:200]}" for e in validator.iter_errors(yaml.load(text, Core))]


@pytest.mark.parametrize("place", EXAMPLES, ids=[p.parent.name for p in EXAMPLES])
def test_every_example_is_valid(validator, place):
    assert mistakes(validator, place.read_text(encoding="utf-8")) == []


def test_a_file_with_every_key_is_valid(validator):
    assert mistakes(validator, SMALL) == []
    assert mistakes(validator, every_key()) == []


def wrong_in_shape():
    """The wrong files whose text is sound and whose shape the reader itself refuses."""
    for case in CASES:
        text = changed(case["was"], case["now"])
        try:
            node = document.compose(text, "machine.yaml")
            yaml.load(text, Core)
        except Exception:  # refused as text, before it has a shape
            continue
        shape = Shape()
        shape.thing(Machine, node, "", "")
        if shape.problems and case["case"] not in ARITHMETIC:
            yield pytest.param(text, id=case["case"])


SHAPES = list(wrong_in_shape())


def test_enough_files_are_wrong_in_shape():
    assert len(SHAPES) >= 40


@pytest.mark.parametrize("text", SHAPES)
def test_what_the_shape_pass_refuses_the_schema_refuses(validator, text):
    assert mistakes(validator, text)


@pytest.mark.parametrize("text", [
    "12.7 mm", "1/2 in", "1 1/2 in", "30 ± 2 mm", "30 mm ± 2 mm", "30mm+-5 %", "about 700 mm", ".5 m", "5. mm", "1e-3 m",
    "+3 µm", "0.95 m between [0.90 m, 0.97 m]", "0.95 m between 0.90 and 0.97", '3"', "0 1/2 in", "0 mm", "-4 mm",
    "12,7 mm", "12.7", "mm", "12.7 kg", "12.7 mm mm", "1/0 in", "", "high", "30 ± 2", "1 mm ± 1 mm ± 1 mm",
])
def test_a_text_is_a_length_for_the_schema_where_it_is_one_at_the_door(text):
    matched = re.search(quantity_pattern(LENGTH, -1), text) is not None
    if text == "1/0 in":
        assert matched  # a division only arithmetic can refuse
        return
    try:
        parse_quantity(text, LENGTH)
    except UnitError:
        assert not matched
    else:
        assert matched


@pytest.mark.parametrize("dimension", DIMENSIONS.values(), ids=list(DIMENSIONS))
def test_every_unit_of_every_dimension_is_known_in_all_its_spellings(dimension):
    for unit in dimension.units:
        for spelled in (unit, unit.replace(" ", "·"), unit.replace(" ", ""), unit.replace("2", "²"),
                        unit.replace("3", "^3")):
            text = f"12.5 {spelled}"
            parse_quantity(text, dimension)
            assert re.search(quantity_pattern(dimension, 1), text), text
    assert not re.search(quantity_pattern(dimension, 1), "12.5 furlongs")


@pytest.mark.parametrize(("dimension", "text", "least"), [
    (LENGTH, "0 mm", 0), (LENGTH, "0.00 mm", 0), (LENGTH, "-1 mm", -1), (FORCE, "0 1/2 lbf", 1), (RATIO, "0.05", 1),
    (RATIO, "0", 0), (TEMPERATURE, "-5 degC", -1), (SPEED, "0.0 rpm", 0), (TORQUE, "0e3 N m", 0),
])
def test_limits_at_zero(dimension, text, least):
    """`least` is the narrowest of above zero (1), not below it (0) and any (-1) that lets the text pass."""
    assert [bool(re.search(quantity_pattern(dimension, sign), text)) for sign in (-1, 0, 1)] == [
        least >= -1, least >= 0, least >= 1]


@pytest.mark.parametrize(("name", "good"), [
    ("lens chain", True), ("a", True), ("winder - bell", True), ("Dämpfer 2", True), ("7x", True), ("lens.1", False),
    ("lens  one", False), ("lens ", False), (" lens", False), ("-a", False), ("a_b", False), ("", False)])
def test_names(name, good):
    assert bool(re.search(NAME, name)) is good


def test_paths():
    assert re.search(PATH, "shafts.main.sections[0][1]")
    assert not re.search(PATH, "shafts..main")


def test_every_reference_leads_to_a_definition():
    whole = machine_schema()
    text = json.dumps(whole)
    led = {name.replace("%20", " ") for name in re.findall(r'"#/\$defs/([^"]+)"', text)}
    assert led == set(whole["$defs"])
    assert all(whole["$defs"].values())


def test_the_command_prints_it():
    from typer.testing import CliRunner

    answer = CliRunner().invoke(app, ["schema"])
    assert answer.exit_code == 0
    assert json.loads(answer.stdout) == machine_schema()
