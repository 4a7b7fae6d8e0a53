"""Cautions about a handle that whirls when what holds a weight is lost, worked out by hand."""

import math
import re

import pytest

from layshaft import rate, read, solve
from layshaft.verdict.cautions import cautions


def test_a_handle_that_whirls_is_in_the_cautions(checkout):
    """The sack falls nearly freely: v = sqrt(2 g h), the drum turns with v/r, the handle with it."""
    verdict = rate(solve(read(checkout / "examples" / "sack-hoist")))
    text = next(c.text for c in cautions(verdict) if c.text.startswith("If pawl is lost"))
    sack = verdict.solved.machine.drives["sack"]
    free = math.sqrt(2 * 9.81 * sack.drop.value)
    speed = float(re.search(r"at ([\d.]+) m/s", text)[1])
    whirl = float(re.search(r"up to ([\d.]+) rev/min", text)[1])
    assert 0.98 * free < speed < free
    assert whirl == pytest.approx(speed / (sack.diameter.value / 2) / (2 * math.pi) * 60, rel=1e-3)
