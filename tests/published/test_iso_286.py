"""ISO 286-1:2010 and ISO 286-2:2010, limits of holes and shafts, as printed in other works.

- JIS B 0401 as transcribed in a tool maker's technical pages, and "Machine Drawing", tables 15.2 and 15.3:
  read; the reference rows of topic `fits` (tests/published/reference/hubs.py) run those.
- Limits of holes and of keyways: DIN 6885-1 prints the limits of N9, P9 and JS9 slots; from memory.
- ISO 286-2:2010, tables of holes: single cells recalled, from memory.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import fits
from layshaft.trace.formula import tracing
from layshaft.trace.sheet import as_text

UM = 1e-6


def limits(text):
    found = fits.limits(text)
    return round(float(found.upper) / UM, 1), round(float(found.lower) / UM, 1)


@pytest.mark.from_memory
@pytest.mark.parametrize(("text", "printed"), [
    ("8 N9", (0, -36)), ("8 P9", (-15, -51)), ("8 JS9", (18, -18)), ("20 N9", (0, -52)), ("20 P9", (-22, -74)),
    ("50 F7", (50, 25)), ("50 G7", (34, 9)), ("50 J7", (14, -11)), ("50 K7", (7, -18)), ("50 M7", (0, -25)),
    ("50 N7", (-8, -33)), ("50 P7", (-17, -42)), ("50 R7", (-25, -50)), ("50 S7", (-34, -59)), ("30 E9", (92, 40)),
    ("120 D10", (260, 120)), ("30 C11", (240, 110)), ("300 M6", (-9, -41)), ("25 K6", (2, -11)), ("25 P8", (-22, -55)),
    ("2 S6", (-14, -20)), ("16 U8", (-33, -60)), ("0.5 H7", (10, 0)), ("500 H7", (63, 0)), ("30 H7", (21, 0)),
])
def test_holes(text, printed):
    assert limits(text) == printed


@pytest.mark.from_memory
@pytest.mark.parametrize(("text", "printed"), [
    ("30 j6", (9, -4)), ("30 j5", (5, -4)), ("80 j7", (18, -12)), ("2 j8", (8, -6)), ("25 js6", (6.5, -6.5)),
    ("40 k5", (13, 2)), ("40 k8", (39, 0)), ("40 k3", (4, 0)), ("100 n6", (45, 23)), ("60 r6", (60, 41)),
    ("25 u6", (61, 48)), ("45 t6", (70, 54)), ("16 v6", (50, 39)), ("45 x7", (122, 97)), ("22 y6", (76, 63)),
    ("12 z6", (61, 50)), ("12 a11", (-290, -400)), ("12 b11", (-150, -260)), ("34 c11", (-120, -280)),
    ("8 cd9", (-56, -92)), ("8 ef8", (-18, -40)), ("8 fg6", (-8, -17)), ("12 za7", (82, 64)), ("12 zb8", (117, 90)),
    ("12 zc9", (173, 130)), ("0.5 h6", (0, -6)),
])
def test_shafts(text, printed):
    assert limits(text) == printed


def test_encyclopaedia_example_50_h8_f7():
    """Printed: clearance 25 to 89 um."""
    fit = fits.fit("50 H8/f7")
    assert (-fit.greatest_interference / UM, -fit.least_interference / UM) == (approx(25), approx(89))
    assert fit.kind == "clearance"


@pytest.mark.parametrize(("text", "kind"), [
    ("25 H7/g6", "clearance"), ("25 H7/h6", "clearance"), ("25 H7/k6", "transition"), ("25 H7/n6", "transition"),
    ("25 H7/p6", "interference"), ("25 H7/s6", "interference"), ("50 P9/h9", "transition"), ("25 S7/h6", "interference"),
])
def test_which_kind_of_fit(text, kind):
    """Common practice: every list of preferred fits groups them so."""
    assert fits.fit(text).kind == kind


def test_limits_of_size_and_their_sheet():
    with tracing() as trace:
        fit = fits.fit("25 P7/h6")
        assert fit.kind == "interference"
        largest = fit.hole.largest
    assert float(largest.value) == approx(24.986e-3)
    text = as_text(trace)
    assert "step between the two grades" in text and "ISO 286-1:2010" in text


@pytest.mark.parametrize(("text", "said"), [
    ("25 W7", "without i, l, o, q and w"), ("25 H19", "grade from 01 to 18"), ("600 H7", "run to 500 mm"),
    ("H7", "begin with the size"), ("20 t6", "no t6 at 20 mm: take u6"), ("25 K9", "no K9 at 25 mm: take JS9"),
    ("10 j8", "no j8 at 10 mm"), ("0.5 a9", "no a9 at 0.5 mm"), ("0 H7", "outside the tables"), ("25 Hg7", "both letters"),
    ("0.8 N9", "no N9 at 0.8 mm"), ("25 J5", "no J5 at 25 mm"), ("80 cd9", "no cd9 at 80 mm: take d9"),
])
def test_what_the_standard_does_not_have_is_refused(text, said):
    with pytest.raises(fits.FitError, match=said):
        fits.limits(text)


@pytest.mark.parametrize("text", ["25 H7", "25 g6/H7", "25 H7/H7", "25 H7/", "25 /g6"])
def test_what_is_no_fit_is_refused(text):
    with pytest.raises(fits.FitError):
        fits.fit(text)


def test_every_class_at_every_size_is_a_number_or_refused():
    refused = set()
    for size in (0.5, 1, 3, 3.001, 9, 14, 18, 24, 30, 55, 119, 121, 251, 315.5, 500):
        for letter in fits.written.SHAFTS:
            for grade in fits.written.GRADES:
                for c in (f"{letter}{grade}", f"{letter.upper()}{grade}"):
                    try:
                        found = fits.limits(f"{size} {c}")
                    except fits.FitError as why:
                        refused.add(str(why))
                        continue
                    assert np.isfinite(found.upper) and found.upper > found.lower
    assert refused and all(": take " in sentence for sentence in refused)
