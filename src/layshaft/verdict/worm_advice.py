"""Whether a worm and its wheel meet where the places of their shafts put them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.kinds import Worm
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import LENGTH, shown
from layshaft.train.place import seat_point
from layshaft.train.solve import Solved
from layshaft.train.vectors import axis
from layshaft.train.worms import side, worm_sizes

LAYOUT = Source("layout of worm gears", obtained="common practice")
IN_LINE = 0.5e-3
"""m; a wheel further out of the middle of its worm, or off the distance, does not mesh as it was cut."""


def remarks(solved: Solved) -> Iterator[tuple[str, Remark]]:
    """Seats that do not stand where the two meet."""
    machine = solved.machine
    for stage in machine.stages.values():
        if not isinstance(stage, Worm):
            continue
        ends = [seat_point(machine, solved.place[shaft], shaft, seat)
                for shaft, seat in ((stage.from_, stage.seats[0]), (stage.to, stage.seats[1]))]
        a_1, a_2 = (axis(machine.shafts[shaft]) for shaft in (stage.from_, stage.to))
        meet = np.cross(a_1, a_2) * side(machine, stage) * worm_sizes(stage).a
        off = float(np.linalg.norm(ends[1] - ends[0] - meet))
        if off > IN_LINE:
            yield stage.path, Remark(
                f"By the places of their shafts and seats the wheel stands {shown(off, LENGTH)} from where it meets "
                "its worm. Move a seat or a shaft: the forces here count as if they met.", LAYOUT, True)
