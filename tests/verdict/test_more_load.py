"""Multiplying every load of a case by the same number above one never raises a margin.

Asked of every kind of part in every example machine, in every case, on the rows the verdict rates. What
holds by preload or own weight keeps that; inputs that are not loads (speeds, places, lives) stay.
"""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import layshaft
from layshaft.trace.units import ENERGY, FORCE, POWER, STRESS, TORQUE
from layshaft.verdict.kept import ROW
from layshaft.verdict.rate import ONE_KIND, gathered

EXAMPLES = Path(__file__).parents[2] / "examples"
MACHINES = sorted(p.parent.relative_to(EXAMPLES).as_posix() for p in EXAMPLES.rglob("machine.yaml"))
LOADS = {FORCE, TORQUE, POWER, ENERGY, STRESS}
HELD = frozenset()
"""Inputs that a block calls demands and that hold rather than pull."""

CONTEXTS = {name: layshaft.rate(layshaft.solve(layshaft.read(EXAMPLES / name))).context for name in MACHINES}
BLOCKS = {name: [b for gather in ONE_KIND for b in gathered(gather(c)) if b.parts] for name, c in CONTEXTS.items()}


def scaled(block, s):
    """Margins of all modes with the loads of every row multiplied."""
    values = block.stacked()
    dimensions = {f.name: f.metadata["dimension"] for f in block.inputs.quantities()}
    demands = set().union(*(part.demands for part in block.parts)) - HELD
    loads = {name for name in demands if dimensions[name] in LOADS}
    values = {name: value * s if name in loads else value for name, value in values.items()}
    with np.errstate(all="ignore"):
        checks = block.rate(block.inputs(origins=dict.fromkeys(values, ROW), **values)).checks
    return {c.mode: np.asarray(c.margin) for c in checks}


@pytest.mark.parametrize("machine", MACHINES)
@given(s=st.floats(1.0, 50.0))
def test_more_load_never_raises_a_margin(machine, s):
    for block in BLOCKS[machine]:
        before, after = scaled(block, 1.0), scaled(block, s)
        for mode, margin in before.items():
            rises = after[mode] > margin * (1 + 1e-9)
            assert not rises.any(), f"{block.kind}, {mode}: {np.max(after[mode] - margin):.3g} more at {s:.3g} times the load"


def test_the_property_can_fail():
    """With every load turned round into its share, margins do rise: the test sees them."""
    block = next(b for b in BLOCKS["harbour-light"] if b.kind == "shaft section")
    before, after = scaled(block, 1.0), scaled(block, 0.5)
    assert (after["yield"] > before["yield"] * 1.5).any()
