"""What is said about wrong files, word for word. The sentences are the product: read them aloud."""

import os
import time
from pathlib import Path

import pytest
import yaml

from layshaft.machine import MachineErrors, read, read_text
from machine.samples import SMALL, changed

CASES = yaml.safe_load((Path(__file__).parent / "wrong_files.yaml").read_text(encoding="utf-8"))


def said(text: str, **more) -> list[str]:
    with pytest.raises(MachineErrors) as caught:
        read_text(text, **more)
    return str(caught.value).split("\n")


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_wrong_file(case):
    assert said(changed(case["was"], case["now"])) == [f"machine.yaml:{line}" for line in case["says"]]


def test_the_table_is_long_enough():
    assert len(CASES) >= 60


@pytest.mark.parametrize(("text", "sentence"), [
    ("", "machine.yaml:1:1: The file is empty. Begin with 'layshaft: 1'."),
    ("# nothing but a comment\n", "machine.yaml:1:1: The file is empty. Begin with 'layshaft: 1'."),
    ("---\n", "machine.yaml:1:1: The file is empty. Begin with 'layshaft: 1'."),
    ("- layshaft: 1\n", "machine.yaml:1:1: The file must be keys with values at the top level. Begin with 'layshaft: 1'."),
    ("layshaft\n", "machine.yaml:1:1: The file must be keys with values at the top level. Begin with 'layshaft: 1'."),
    ("a: 1\nb: \x00\n", "machine.yaml:2:1: A control character stands in this line. Remove it."),
    ("a: " + "[" * 60 + "]" * 60, "machine.yaml:1:53: More than 50 levels stand inside one another. "
     "A machine file needs far fewer: check brackets and indentation."),
    ("a: \ud800\n", "machine.yaml:1:1: The file is not UTF-8 text (byte 3). Save it again as UTF-8."),
])
def test_text_that_is_no_machine_file(text, sentence):
    assert said(text) == [sentence]


def test_each_pass_reports_all_of_its_own_problems_and_stops_the_next():
    text_wrong = changed("    drop: 1.40 m", "    drop: &d 1.40\n    drop: 2").replace("name: Small", "name: !n Small")
    assert [line.split(" ")[0] for line in said(text_wrong)] == ["machine.yaml:2:7:", "machine.yaml:34:11:", "machine.yaml:35:5:"]
    shape_wrong = SMALL.replace("1.40 m", "1.40").replace("to: lens lay", "to: nowhere").replace("110 kg", "110 s")
    assert [line.split(" ")[1] for line in said(shape_wrong)] == ["drives.weight.drop:", "loads.lens.mass:"]


def test_a_second_machine_in_windows_line_ends_and_byte_order_mark_is_read(tmp_path):
    place = tmp_path / "machine.yaml"
    place.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    assert read(place).title == "Small"
    assert read(place).drives["weight"].drop.mark.line == 34


def test_bytes_that_are_no_text(tmp_path):
    place = tmp_path / "machine.yaml"
    place.write_bytes(b"layshaft: 1\nname: \xff\n")
    with pytest.raises(MachineErrors, match=r"machine.yaml:2:7: The file is not UTF-8 text \(byte 18\)"):
        read(place)


def test_a_big_file_is_refused_without_being_read(tmp_path):
    place = tmp_path / "machine.yaml"
    with place.open("wb") as stream:
        os.truncate(stream.fileno(), 50_000_000)
    start = time.perf_counter()
    with pytest.raises(MachineErrors, match=r"has 50\.0 MB; a machine file may have 2 MB"):
        read(place)
    assert time.perf_counter() - start < 0.1


def test_an_alias_bomb_is_refused_at_once():
    levels = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    levels += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 12)]
    start = time.perf_counter()
    lines = said("\n".join(levels))
    assert time.perf_counter() - start < 0.5
    assert lines[0] == ("machine.yaml:1:5: '&a0' marks a value to be repeated, which a machine file does not use. "
                        "Remove it, or put the text in quotes.")


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? "])
def test_deep_nesting_is_refused_at_once(opening):
    start = time.perf_counter()
    said("a:\n  " + opening * 100_000)
    assert time.perf_counter() - start < 2


def test_paths_that_hold_no_file(tmp_path):
    for path, sentence in (
        (tmp_path / "none.yaml", f"There is no file {tmp_path}/none.yaml. Give the machine file, or the folder that holds machine.yaml."),
        (tmp_path, f"The folder {tmp_path} holds no machine.yaml. Give the machine file itself, or another folder."),
    ):
        with pytest.raises(MachineErrors) as caught:
            read(path)
        assert str(caught.value) == sentence
    with pytest.raises(MachineErrors):
        read("a\0b")
    with pytest.raises(MachineErrors):
        read("x" * 5000)


PARTS = "name,kind,source,read in,steady torque,stiffness\njaw 35,coupling,listed,an invented sheet,35 N m,1500 N m/rad\n"


@pytest.mark.parametrize(("was", "now", "sentences"), [
    ("35 N m", "35", ["parts.csv:2:5: parts.jaw 35.steady torque: '35' has no unit; a torque needs one. Write for instance 48 N m or 35 lbf ft."]),
    ("steady torque", "steady torqe", ["parts.csv:1:5: 'steady torqe' is not a column of the parts list. Did you mean 'steady torque'?"]),
    ("name,kind", "nam,kind", ["parts.csv:1:1: 'nam' is not a column of the parts list. Did you mean 'name'?",
                               "parts.csv:1:1: The parts list needs the column 'name'. Write its first line as: name,kind,source,read in,...",
                               "parts.csv:2:1: This line has no name. Write one in the column 'name', or remove the line."]),
    ("coupling,", "cupling,", ["parts.csv:2:2: parts.jaw 35: 'cupling' is not a kind known here. Did you mean 'coupling'?"]),
    ("stiffness", "stiffness,stiffness", ["parts.csv:1:7: The column 'stiffness' stands twice. Remove one of the two."]),
    ("1500 N m/rad", "1500 N m/rad,x", ["parts.csv:2:1: This line has 7 cells under 6 columns. Put a cell that holds a comma in double quotes."]),
    ("jaw 35,", ",", ["parts.csv:2:1: This line has no name. Write one in the column 'name', or remove the line."]),
    ("jaw 35,", "own,", ["parts.csv:2:1: The part 'own' stands already at machine.yaml:53:3. Remove one of the two, or rename it."]),
])
def test_wrong_parts_list(was, now, sentences):
    own = SMALL + "parts:\n  own: {kind: coupling, source: listed, read in: a sheet}\n"
    assert said(own, parts=changed(was, now, PARTS)) == sentences
