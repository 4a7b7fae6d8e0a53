"""Every formula: one expression, a docstring, a source, a meaning for each parameter, readable text."""

import ast
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from house_rules.arithmetic import worked_out
from house_rules.house_rooms import FORMULA_IDS, FORMULAS, argument_sets, known_arguments, modules
from layshaft.trace.formula import Step, given, tracing
from layshaft.trace.mathml import formula_mathml
from layshaft.trace.registry import meaning_of
from layshaft.trace.sheet import as_text
from layshaft.trace.source import Source
from layshaft.trace.text import with_numbers

ALL = pytest.mark.parametrize("info", FORMULAS, ids=FORMULA_IDS)
GIVEN = Source("invented for this test", obtained="given")


@ALL
def test_one_expression_docstring_and_source(info):
    assert isinstance(info.expression, ast.expr)
    assert info.explanation.endswith((".", "."))
    assert info.meaning
    assert info.source.work
    assert set(info.dimensions) == set(info.parameters)
    assert info.dimension


@ALL
def test_every_parameter_has_a_meaning(info):
    unexplained = [p for p in info.parameters if not meaning_of(info, p)]
    assert not unexplained, (
        f"{info.name}: say what {', '.join(unexplained)} means: an input of the room, the symbol of one of "
        "its formulas or steps, or where={...}.")


@ALL
def test_the_name_stands_for_one_formula_only(info):
    assert call_of(info).formula is info, f"{info.name} names two formulas"


@ALL
def test_constants_are_upper_case_numbers(info):
    space = info.function.__globals__
    names = {n.id for n in ast.walk(info.expression) if isinstance(n, ast.Name)} - set(info.parameters)
    for name in names - {"np", "math", "abs"}:
        assert name.isupper() and isinstance(space[name], float | int), f"{info.name}: {name}"


def call_of(info):
    module = next(m for m in modules() if m.__name__ == info.function.__module__)
    return getattr(module, info.function.__name__)


def traced(info, values):
    with tracing() as trace:
        args = [given(p, meaning_of(info, p) or p, d, v, GIVEN)
                for (p, d), v in zip(info.dimensions.items(), values, strict=True)]
        call_of(info)(*args)
    return trace


@ALL
def test_printed_arithmetic_adds_up(info):
    known = 0
    for values in argument_sets(info, 12):
        with np.errstate(all="ignore"):
            trace = traced(info, values)
        step: Step = trace.steps[-1]
        known += bool(np.isfinite(step.value))
        text = with_numbers(step)
        assert worked_out(text) == pytest.approx(float(step.value), rel=5e-4, abs=1e-12, nan_ok=True), text


@ALL
def test_a_formula_that_turns_known_numbers_into_unknown_says_where(info):
    with np.errstate(all="ignore"):
        lost = [v for v in argument_sets(info) if np.isnan(float(np.asarray(info.function(*v))))]
    assert info.outside or not lost, f"{info.name}: outside= must say why {lost[0]} gives no number"


@ALL
def test_typeset_formula_is_well_formed(info):
    text = formula_mathml(info)
    assert ET.fromstring(text).tag == "math"
    assert "<mtext>np" not in text and "?" not in text


@ALL
def test_a_sheet_of_one_formula_prints(info):
    with np.errstate(all="ignore"):
        text = as_text(traced(info, known_arguments(info)))
    assert info.meaning.split()[0] in text


@ALL
def test_rows_and_samples_equal_six_single_calls(info):
    sets = list(argument_sets(info, 6))
    if not info.parameters:
        return
    columns = [np.array(c).reshape(2, 3) for c in zip(*sets, strict=True)]
    with np.errstate(all="ignore"):
        together = np.broadcast_to(call_of(info)(*columns), (2, 3)).ravel()
        for value, arguments in zip(together, sets, strict=True):
            single = call_of(info)(*arguments)
            assert np.ndim(single) == 0
            assert value == pytest.approx(float(single), rel=1e-13, abs=1e-300, nan_ok=True)
