"""Share of the power that gets through a link of shafts, the stages side by side taken together."""

from __future__ import annotations

from functools import reduce
from typing import Any

import numpy as np

from layshaft.machine.model import Machine
from layshaft.train.graph import Link
from layshaft.train.stages import shares


def link_shares(machine: Machine, link: Link) -> tuple[Any, Any]:
    """Share of power that a link passes outwards and inwards; the worse of strands side by side."""
    out, back = [], []
    for name in link.stages:
        stage = machine.stages[name]
        there, again = shares(stage)
        forward = stage.from_ == link.parent
        out.append(there if forward else again)
        back.append(again if forward else there)
    return reduce(np.minimum, out), reduce(np.minimum, back)


LEAST_SHARE = 1e-3
"""Share of the power that gets through however hard a stage sticks: keeps torques finite."""


def share_at_rest(machine: Machine, link: Link, share: Any) -> Any:
    """What is left of a running share when everything breaks away; the worst of strands side by side."""
    worst = reduce(np.maximum, [machine.stages[name].break_away.value for name in link.stages])
    return np.maximum(1 - (1 - share) * worst, LEAST_SHARE)
