"""Between two numbers stands a sign of multiplication, on the screen, on paper and in plain text.

ISO 80000-1 has numbers multiplied by a cross or a half-high dot, and lets the sign be left out only between letters
(value from memory).
"""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from layshaft.trace.formula import FormulaInfo
from layshaft.trace.mathml import formula_mathml
from layshaft.trace.registry import load_all
from layshaft.trace.text import info_text
from layshaft.trace.typst_math import formula_typst

ALL = pytest.mark.parametrize("info", load_all().values(), ids=lambda info: info.name)
RUN_TOGETHER = re.compile(r'[\d)] thin "?\d|[\d)] thin frac\("?\d')


def leaves(element):
    """Texts of an element as an eye meets them, a fraction by its top."""
    if len(element) == 0:
        return [element.text or ""]
    parts = element[:1] if element.tag == "mfrac" else element
    return [text for part in parts for text in leaves(part)]


def run_together(markup):
    """Neighbours of a row that read as one number: a digit, nothing to be seen, a digit."""
    found = []
    for row in ET.fromstring(markup).iter():
        seen = [p for p in row if p.text != "\u2062"] if row.tag == "mrow" else []
        for left, right in pairwise(seen):
            a, b = leaves(left)[-1], leaves(right)[0]
            if left.tag not in ("msup", "msub") and a[-1:].isdigit() and b[:1].isdigit():
                found.append(f"{a} {b}")
    return found


@ALL
def test_no_two_numbers_of_a_formula_run_together(info: FormulaInfo):
    assert run_together(formula_mathml(info)) == []
    assert not RUN_TOGETHER.search(formula_typst(info)), formula_typst(info)


def test_a_number_times_an_inch_has_its_sign_everywhere():
    info = load_all()["bevel_pair.contact.largest_shift"]
    typeset, markup = formula_typst(info), formula_mathml(info)
    assert '0.003 dot "1 in"' in typeset and '6 dot "1 in"' in typeset
    assert markup.count("<mo>⋅</mo><mtext>1 in</mtext>") == 2
    assert info_text(info).startswith("0.003·INCH")


def test_a_number_before_letters_keeps_its_thin_space():
    info = load_all()["shaft.sizing.first_diameter"]
    assert "16 thin sqrt" in formula_typst(info) and "<mn>16</mn><mo>\u2062</mo>" in formula_mathml(info).replace(
        "&#x2062;", "\u2062")
