"""What the command line loads, and that a recheck after an edit answers what a fresh check would."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import layshaft
from layshaft import Machine

EXAMPLES = Path(__file__).parents[2] / "examples"
HEAVY = {"scipy", "pandas", "pint", "matplotlib"}
RUN = """
import sys
from layshaft.faces.cli import main
try:
    main()
except SystemExit:
    pass
print("\\n" + " ".join(sorted({name.partition(".")[0] for name in sys.modules})))
"""


def loaded_by(*words: str) -> set[str]:
    done = subprocess.run([sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split())


def test_help_loads_neither_numpy_nor_yaml():
    loaded = loaded_by("--help")
    assert "layshaft" in loaded
    assert not loaded & (HEAVY | {"numpy", "yaml"})


@pytest.mark.parametrize("example", ["harbour-light", "cider-mill"])
def test_a_check_loads_no_heavy_library(example):
    loaded = loaded_by("check", str(EXAMPLES / example))
    assert "numpy" in loaded
    assert not loaded & HEAVY


def test_torsion_loads_no_heavy_library():
    assert not loaded_by("torsion", str(EXAMPLES / "harbour-light")) & HEAVY


# A recheck -------------------------------------------------------------------------------------

NUMBER = re.compile(r"-?\d+(\.\d+)?")
TEXTS = {name: (EXAMPLES / name / "machine.yaml").read_text(encoding="utf-8") for name in ("harbour-light", "cider-mill")}
MACHINES = {name: layshaft.read_text(text) for name, text in TEXTS.items()}
def plain(name: str) -> list[str]:
    """Paths of the givens that are a number and nothing more."""
    return [path for path, g in MACHINES[name].givens.items() if g.known and not g.doubtful and g.mark.line]


def fresh(name: str, path: str, value: str) -> Machine:
    """The machine of the text with one value written anew, read from its first letter."""
    given_ = MACHINES[name].givens[path]
    lines = TEXTS[name].splitlines()
    line, at = lines[given_.mark.line - 1], given_.mark.column - 1
    assert line.startswith(given_.written, at)
    lines[given_.mark.line - 1] = line[:at] + value + line[at + len(given_.written):]
    return layshaft.read_text("\n".join(lines))


def answers(machine: Machine) -> dict[tuple[str, ...], tuple[object, ...]] | str:
    """Every finding by what it is about, numbers apart from words; what cannot turn says why."""
    try:
        verdict = layshaft.rate(layshaft.solve(machine))
    except layshaft.MachineErrors as error:
        return str(error).partition(": ")[2]
    return {(f.part, f.place, f.mode, f.title): (
        f.demand, f.rating, f.margin, f.required, f.verdict, f.fingerprint, f.hurts, f.trust) for f in verdict.findings}


def same(a: object, b: object) -> bool:
    if isinstance(a, float) and isinstance(b, float):
        return math.isclose(a, b, rel_tol=1e-12) or (math.isnan(a) and math.isnan(b))
    return a == b


@pytest.mark.parametrize("name", MACHINES)
@settings(max_examples=30, derandomize=True, deadline=None)
@given(data=st.data(), factor=st.floats(0.9, 1.1))
def test_a_recheck_equals_a_fresh_check(name, data, factor):
    path = data.draw(st.sampled_from(plain(name)))
    value = NUMBER.sub(lambda m: f"{float(m[0]) * factor:.9g}", MACHINES[name].givens[path].written, count=1)
    try:
        read = fresh(name, path, value)
    except layshaft.MachineErrors:
        with pytest.raises(layshaft.MachineErrors):
            layshaft.apply(MACHINES[name], {"set": {path: value}})
        return
    ours, theirs = answers(layshaft.apply(MACHINES[name], {"set": {path: value}})), answers(read)
    if isinstance(ours, str) or isinstance(theirs, str):
        assert isinstance(ours, str) and isinstance(theirs, str)
        return
    assert ours.keys() == theirs.keys()
    for key, values in theirs.items():
        assert all(same(a, b) for a, b in zip(ours[key], values, strict=True)), key
