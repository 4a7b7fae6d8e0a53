"""The writer: a change in the model goes into the text, and every other byte stays.

No outside reference: what is held against each other here is the text, read again, and the model.
"""

import difflib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layshaft.machine import MachineErrors, apply, read_text
from layshaft.machine.document import ListNode, MapNode, compose
from layshaft.machine.writing import rewritten
from layshaft.machine.writing.splices import same
from machine.samples import SMALL, every_key

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/machine.yaml"))
TEXTS = {p.parent.name: p.read_text(encoding="utf-8") for p in EXAMPLES} | {"small": SMALL, "every key": every_key()}
MACHINES = {name: read_text(text) for name, text in TEXTS.items()}

COMMENTED = """\
drives: {turner: {kind: crank, shaft: main, seat: crank, radius: 300 mm, people: 1, speed: 30 rpm}}
# About the whole file.
layshaft: 1   # the form
name: "Small: it is"
gravity: 9.81 m/s2

# Modules come apart.
modules:
  # The one that is wound.
  # Two people carry it.
  winder:
    mass: 118 kg  # weighed
    size: [0.60 m, 0.80 m,
           2.15 m]  # with feet
  # The light one.
  'top box': {mass: 12 kg, size: [0.3 m, 0.3 m, 0.3 m]}
shafts:
    main:
        module: winder
        axis: x
        sections:
        - [25 mm, 40 mm]
        # the long part
        - [30 mm, 340 mm]
        - [25 mm, 40 mm]
        seats:
            left bearing: {
                at: 20 mm,  # from the end
                bearing: "6205",
            }
            crank: {at: 340 mm}
            right bearing: {at: 400 mm, bearing: open}"""


def write(text, option):
    machine = read_text(text)
    changed = apply(machine, option)
    out = rewritten(text, machine.document, changed.document)
    assert same(compose(out, ""), changed.document)
    return out


def moved(before, after):
    """Lines that went, and lines that came."""
    found = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    return [x[2:] for x in found if x[0] == "-"], [x[2:] for x in found if x[0] == "+"]


@pytest.mark.parametrize("name", TEXTS)
def test_a_write_without_a_change_changes_no_byte(name):
    machine = MACHINES[name]
    assert rewritten(TEXTS[name], machine.document, machine.document) == TEXTS[name]
    again = read_text(TEXTS[name]).document
    assert rewritten(TEXTS[name], machine.document, again) == TEXTS[name]


@pytest.mark.parametrize("name", [n for n, m in MACHINES.items() if m.options])
def test_every_option_of_every_example_can_be_written(name):
    for option in MACHINES[name].options.values():
        write(TEXTS[name], option)


def test_one_value_changes_one_line():
    gone, come = moved(COMMENTED, write(COMMENTED, {"set": {"modules.winder.mass": "90 kg"}}))
    assert gone == ["    mass: 118 kg  # weighed"]
    assert come == ["    mass: 90 kg  # weighed"]


def test_one_place_of_a_list_over_two_lines():
    gone, come = moved(COMMENTED, write(COMMENTED, {"set": {"modules.winder.size[2]": "2 m"}}))
    assert (gone, come) == (["           2.15 m]  # with feet"], ["           2 m]  # with feet"])


def test_a_comment_block_goes_with_its_key():
    out = write(COMMENTED.replace("module: winder", "module: top box"), {"remove": ["modules.winder"]})
    assert "The one that is wound" not in out and "Two people carry it" not in out
    assert "# Modules come apart.\nmodules:\n  # The light one.\n  'top box'" in out


def test_a_new_key_stands_below_the_last_in_its_column_and_a_blank_line_parts_the_large_ones():
    out = write(COMMENTED, {"add": {"shafts.main.seats.drum": {"at": "100 mm"}, "modules.legs": {"mass": "3 kg"}}})
    assert out.endswith("bearing: open}\n            drum: {at: 100 mm}")
    assert "0.3 m]}\n  legs: {mass: 3 kg}\nshafts:" in out
    parted = COMMENTED.replace("shafts:\n", "\n# What turns.\nshafts:\n") + "\n"
    assert write(parted, {"add": {"margins": {"yield": "2"}}}).endswith("bearing: open}\n\nmargins: {yield: 2}\n")


def test_places_of_a_list_with_dashes():
    out = write(COMMENTED, {"set": {"shafts.main.sections[1]": ["32 mm", "340 mm"]}})
    assert moved(COMMENTED, out) == (["        - [30 mm, 340 mm]"], ["        - [32 mm, 340 mm]"])
    longer = write(COMMENTED, {"add": {"shafts.main.sections[3]": ["20 mm", "10 mm"]}})
    assert "        - [25 mm, 40 mm]\n        - [20 mm, 10 mm]\n        seats:" in longer
    shorter = write(COMMENTED, {"remove": ["shafts.main.sections[2]"], "set": {
        "shafts.main.seats.right bearing.at": "300 mm"}})
    assert moved(COMMENTED, shorter)[0][0] == "        - [25 mm, 40 mm]"


def test_between_braces():
    out = write(COMMENTED, {"set": {"shafts.main.seats.left bearing.at": "21 mm",
                                    "shafts.main.seats.left bearing.key": "8x7x25"}})
    assert "at: 21 mm,  # from the end\n                bearing: \"6205\", key: 8x7x25,\n            }" in out
    assert "seats:\n            left bearing: {\n                bearing" in write(
        COMMENTED.replace("            right bearing: {at: 400 mm, bearing: open}",
                          "            right bearing: {at: 400 mm, bearing: open}\n            x: {at: 40 mm, key: 8x7x25}"),
        {"remove": ["shafts.main.seats.x.key"]}).replace("at: 20 mm,  # from the end\n                ", "")


def test_a_name_with_quotes_is_renamed_everywhere():
    text = COMMENTED.replace("module: winder", "module: top box")
    gone, come = moved(text, write(text, {"rename": {"modules.top box": "lantern"}}))
    assert come == ["  lantern: {mass: 12 kg, size: [0.3 m, 0.3 m, 0.3 m]}", "        module: lantern"]
    assert len(gone) == 2


@pytest.mark.parametrize("value", ["a: b", "x # y", " ", "'", '"', "- x", "[1", "{", "a\nb", "é ± µ", "no", "1.10", "@x", "|"])
def test_any_text_reads_back_as_it_was_meant(value):
    out = write(COMMENTED, {"set": {"about": value}})
    assert read_text(out).about.strip() == value.strip()


def test_line_ends_and_byte_order_mark_stay():
    text = "\ufeff" + COMMENTED.replace("\n", "\r\n")
    option = {"set": {"modules.winder.mass": "90 kg"}, "add": {"shafts.main.seats.drum": {"at": "100 mm"},
                                                               "modules.legs": {"mass": "3 kg"}}}
    out = write(text, option)
    assert out == "\ufeff" + write(COMMENTED, option).replace("\n", "\r\n")


def test_a_line_of_the_parts_list_is_refused_with_its_place():
    machine = read_text(SMALL, parts="name,kind,source,read in,dynamic rating\nbig one,bearing,listed,an invented page,9 kN\n")
    changed = apply(machine, {"set": {"parts.big one.dynamic rating": "8 kN"}})
    with pytest.raises(MachineErrors, match=r"^parts.csv:2:1: 'big one' stands in the parts list: change it there"):
        rewritten(SMALL, machine.document, changed.document, "parts.csv")
    other = apply(machine, {"set": {"drives.weight.drop": "1.50 m"}})
    assert "drop: 1.50 m" in rewritten(SMALL, machine.document, other.document, "parts.csv")


ODD = COMMENTED.replace("  winder:\n", "  ? winder\n  :\n").replace("  'top box': {", "  ? top box\n  : {mass: 1 kg}\n  'top': {")


def test_keys_written_the_long_way_can_be_renamed_and_set():
    out = write(ODD, {"rename": {"modules.winder": "x"}, "set": {"modules.top box": {"mass": "2 kg"}}})
    assert "  ? x\n  :\n    mass: 118 kg" in out and "  ? top box\n  : {mass: 2 kg}" in out


def test_a_way_of_writing_that_has_no_place_for_a_change_is_refused_whole():
    with pytest.raises(MachineErrors, match="nothing was written"):
        write(ODD, {"remove": ["modules.top box"]})


# Random changes of the examples: the text, read again, is the model with the option applied, or the
# option is refused. `rewritten` asserts the first by itself; here it must also leave the other lines alone.


def paths_of(node, before=""):
    """Every path of a tree, with what stands there."""
    if isinstance(node, MapNode):
        for e in node.entries:
            here = f"{before}.{e.key}" if before else e.key
            yield here, e.value
            yield from paths_of(e.value, here)
    elif isinstance(node, ListNode):
        for i, item in enumerate(node.items):
            yield f"{before}[{i}]", item
            yield from paths_of(item, f"{before}[{i}]")


PATHS = {name: [p for p, _ in paths_of(m.document) if not p.startswith(("layshaft", "options"))] for name, m in MACHINES.items()}
VALUES = st.sampled_from(["3 mm", "open", "12", "7 kg", "x: y", "12.7 mm", "same as nothing", "it's \"so\""])


@st.composite
def changes(draw):
    name = draw(st.sampled_from(sorted(TEXTS)))
    paths = st.sampled_from(PATHS[name])
    option = {}
    if draw(st.booleans()):
        option["set"] = draw(st.dictionaries(paths, VALUES | st.fixed_dictionaries({"value": VALUES}), min_size=1, max_size=2))
    if draw(st.booleans()):
        option["remove"] = draw(st.lists(paths, min_size=1, max_size=2))
    if draw(st.booleans()):
        option["rename"] = {draw(paths): draw(st.sampled_from(["new name", "other", "q7"]))}
    if draw(st.booleans()):
        option["add"] = {f"{draw(paths)}.new": draw(VALUES | st.fixed_dictionaries({"mass": st.just("3 kg")}))}
    return name, option


@given(changes())
def test_the_text_with_a_random_option_is_the_model_with_it(case):
    name, option = case
    machine = MACHINES[name]
    try:
        changed = apply(machine, option)
    except MachineErrors:
        return
    out = rewritten(TEXTS[name], machine.document, changed.document)
    assert same(read_text(out).document, changed.document)
    gone, _ = moved_lines(TEXTS[name], out)
    if not {"remove", "rename"} & option.keys():
        assert len(gone) <= sum(map(len_of, (machine,) * len(option.get("set", ())), option.get("set", ())))


def moved_lines(before, after):
    """Quicker than `moved`: lines of one text that the other has not."""
    return (set(before.splitlines()) - set(after.splitlines()), set(after.splitlines()) - set(before.splitlines()))


def len_of(machine, path):
    """How many lines what stands at a path takes, itself and the one before included."""
    node = dict(paths_of(machine.document)).get(path)
    return 2 + (sum(1 for _ in paths_of(node)) if node is not None else 0)
