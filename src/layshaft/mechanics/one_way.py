"""What passes torque one way only: ratchets and one-way hubs between two shafts."""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS
from layshaft.trace.units import Ratio, Torque

SENSE = {"T_f": "torque it passes on, negative where it would have to pass it the other way"}


@formula("c_s", "sense of the torque", STATICS, where=SENSE)
def sense(T_f: Torque) -> Ratio:
    """1 where it is asked to hold the way it can, -1 where it only turns free."""
    return np.where(T_f == 0, 1.0, np.sign(T_f))
