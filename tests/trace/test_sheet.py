"""Sheets show all six kinds of step, givens first, what is weak, and add up. All numbers invented."""

import json
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from house_rules.arithmetic import worked_out
from layshaft.trace.formula import (
    chosen,
    equation,
    formula,
    given,
    governs,
    group,
    looked_up,
    named,
    remark_if,
    total,
    tracing,
)
from layshaft.trace.mathml import formula_mathml, symbol_mathml
from layshaft.trace.sheet import as_dict, as_html, as_text
from layshaft.trace.source import STATICS, Source
from layshaft.trace.text import formula_text, quantity_text, with_numbers
from layshaft.trace.units import ANGLE, COUNT, FORCE, INCH, LENGTH, RATIO, Angle, Force, Length, Ratio, Torque

ME = Source("builder <b>", obtained="given")
MEMORY = Source("a handbook", "p. 1", "from memory")
TYPICAL = Source("a table of steels", obtained="typical")
WHERE = {"F": "force", "r": "arm", "beta": "angle", "x": "root", "p": "pitch", "d": "diameter"}


@formula("T_x", "turning moment", STATICS, where=WHERE, outside="Not beyond a right angle.")
def lever(F: Force, r: Length, beta: Angle) -> Torque:
    """Force times arm."""
    return np.where(np.abs(beta) <= np.pi / 2, F * r * np.cos(beta), np.nan)


@formula("f", "rest", STATICS, where=WHERE)
def rest(x: Ratio, F: Force) -> Force:
    """Zero at the root."""
    return F * (x**2 - 2)


@formula("k_p", "pitch factor", MEMORY, where=WHERE)
def pitch_factor(p: Length, d: Length) -> Ratio:
    """A fit published in inches."""
    return 3 - 0.07 * (p / INCH) - -1.5 / (d / p - 1) ** 2


def sheet(F=600.0, beta=0.5, **sampled):
    with tracing() as trace, group("Lever & arm"):
        F = given("F_h", "force at the <handle>", FORCE, sampled.get("F", F), ME)
        beta = given("beta", "angle", ANGLE, beta, TYPICAL)
        r = looked_up("r", "arm", LENGTH, 0.3, table="arms", row="row long", source=MEMORY)
        lever(F, r, beta)
        weight = total("F_s", "sum of forces", FORCE, {"hand": F, "foot": F}, STATICS)
        governs("F_m", "largest force", FORCE, {"hand": F, "both": weight}, STATICS, pick="largest")
        equation("x", "root", RATIO, lambda F: 0 * F + 2**0.5, rest, {"F": F}, STATICS)
        chosen("z", "teeth", COUNT, 17.0, why="smallest that fits", source=ME, candidates=("17", "19"))
        named("k_1", pitch_factor(looked_up("p", "pitch", LENGTH, 0.0127, table="t", row="r", source=ME), r))
        remark_if(True, "Keep <hands> clear.", STATICS)
    return trace


def test_every_kind_of_step_is_printed_with_its_numbers():
    text = as_text(sheet())
    for part in (
        "Given\n=====", "F_h         force at the <handle>", "600.0 N",
        "Lever & arm\n", "= F_h·r·cos(beta) if abs(beta) <= π/2 else unknown\n",
        "600 N·300 mm·cos(28.648 deg)", "looked up: in the table of arms: row long",
        "F_h (hand) + F_h (foot)", "600 N + 600 N", "governs: largest: both",
        "solved: what is left: ", "0 = F_h·(x^2 - 2)", "chosen: smallest that fits (from: 17, 19)",
        "3 - 0.07·p/INCH - (-1.5)/(r/p - 1)^2",
        "- Keep <hands> clear.", "a handbook, p. 1 [from memory: not seen on a page]",
        "Counts as a guess", "beta: a table of steels [typical value, not of this part]",
    ):
        assert part in text, part
    assert text.index("Given") < text.index("Lever & arm") < text.index("Remarks")


def test_numbers_in_other_units_add_up():
    step = sheet()["k_1"]
    assert with_numbers(step) == "3 - 0.07·12.7 mm/(1 in) - (-1.5)/(300 mm/(12.7 mm) - 1)^2"
    assert worked_out(with_numbers(step)) == pytest.approx(step.value, rel=1e-9)


def test_a_small_difference_of_large_numbers_gets_the_digits_it_needs():
    @formula("s", "gap", STATICS, where=WHERE)
    def gap(p: Length, d: Length) -> Length:
        """What is left."""
        return p - d

    with tracing() as trace:
        gap(given("a", "one", LENGTH, 0.4000123456, ME), given("b", "other", LENGTH, 0.4, ME))
    assert with_numbers(trace.steps[-1]) == "400.012346 mm - 400 mm"
    assert worked_out(with_numbers(trace.steps[-1])) == pytest.approx(0.0000123456, rel=2e-4)


def test_outside_the_method_is_said_in_words_and_missing_inputs_by_name():
    assert "Unknown: outside the method. Not beyond a right angle." in as_text(sheet(beta=2.0))
    assert "Unknown because F_h is not known." in as_text(sheet(F=np.nan))


def test_html_is_escaped_and_well_formed():
    html = as_html(sheet())
    assert "<handle>" not in html and "builder <b>" not in html and "<script" not in html
    ET.fromstring(re.sub(r"&#x?\w+;", "*", html))
    assert html.count("<caption>") == 2


def test_data_is_json_and_unknown_is_none():
    data = as_dict(sheet(F=np.nan))
    json.dumps(data, allow_nan=False)
    assert data["givens"][0]["value"] is None
    assert [s["number"] for s in data["steps"]] == list(range(1, len(data["steps"]) + 1))
    assert {s["kind"] for s in data["steps"]} == {"formula", "looked up", "total", "governs", "equation", "chosen"}


def test_samples_show_the_middle_and_the_range():
    trace = sheet(F=np.linspace(500, 700, 201))
    assert "600.0 N (510.0 to 690.0)" in as_text(trace)


def test_every_line_keeps_to_the_width():
    assert max(map(len, as_text(sheet(), width=80).splitlines())) <= 80


@pytest.mark.parametrize(("symbol", "markup"), [
    ("F_t", "<msub><mi>F</mi><mtext>t</mtext></msub>"),
    ("sigma_b", "<msub><mi>σ</mi><mtext>b</mtext></msub>"),
    ("omega_1", "<msub><mi>ω</mi><mtext>1</mtext></msub>"),
    ("R_e_min", "<msub><mi>R</mi><mtext>e,min</mtext></msub>"),
    ("T", "<mi>T</mi>"),
])
def test_symbols(symbol, markup):
    assert symbol_mathml(symbol) == markup


def test_typeset_cases_and_fractions():
    step = sheet()["T_x"]
    assert "<mtable>" in formula_mathml(step) and "<mo>≤</mo>" in formula_mathml(step)
    assert "<msub><mi>F</mi><mtext>h</mtext></msub>" in formula_mathml(step)
    assert "<mfrac>" in formula_mathml(sheet()["k_1"])
    assert formula_mathml(sheet()["F_s"]) == ""


def test_a_step_without_a_formula_has_its_terms():
    assert formula_text(sheet()["F_m"]) == "largest of F_h (hand), F_s (both)"
    assert quantity_text(1234567.0, FORCE) == "1234.6 kN"
