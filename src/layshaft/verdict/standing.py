"""Whether a module is as large as its file says, and whether a standing person can turn a crank.

A module's size is what `layshaft new` was told of the room there is, until the builder says better. What is told of
standing people is for remarks and cautions: no part lets go by it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.kinds import Crank, Pedals
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import LENGTH, shown
from layshaft.train.place import seat_point
from layshaft.train.placed import BLOCK, Placed
from layshaft.train.stages import axis
from layshaft.verdict.context import Context

SIZES = Source("places and sizes of the machine file", obtained="derived")
PEOPLE = Source("MIL-STD-1472G, appendix B", "standing heights of the 5th percentile woman, without shoes", "read")
SHOULDER, FINGERTIP = 1.23, 0.551
"""m, of a small standing person."""

GRIP = 1.806
"""m; what a small standing person can grip overhead: 71.1 in, 5th percentile women, Pheasant, Bodyspace, 1996, as an
anthropometric table for lectures gives it (read)."""

TOLERANCE = 1.01
"""Times its size up to which a module counts as of its size."""


def remarks(c: Context) -> Iterator[tuple[str, Remark]]:
    """What stands outside the size of its module, and cranks that a standing person turns badly."""
    for name, module in c.machine.modules.items():
        over = _over(c, name)
        if over:
            yield f"{module.path}.size", Remark(
                f"Its parts take up {', and '.join(over)}. Bring them nearer together, or give the size it has: "
                "nothing else asks whether it fits where it is to stand.", SIZES, True)
    for drive, height in _cranks(c):
        if not (FINGERTIP <= height <= SHOULDER) and not _out_of_grip(drive, height):
            where = "above the shoulder" if height > SHOULDER else "below the hanging hands"
            yield drive.path, Remark(
                f"Its axis is {shown(height, LENGTH)} up, counted from height 0 as the floor: {where} of a small "
                f"standing person ({shown(SHOULDER if height > SHOULDER else FINGERTIP, LENGTH)}), where arms push "
                "less. Elbow height, about a metre, is usual.", PEOPLE, True)


def out_of_grip(c: Context) -> Iterator[tuple[str, str]]:
    """Cranks whose handle a small person cannot hold on to all round: path and caution."""
    for drive, height in _cranks(c):
        if _out_of_grip(drive, height):
            yield drive.path, (
                f"{drive.name}: its handle goes up to {shown(height + drive.radius.nominal, LENGTH)} (axis at "
                f"{shown(height, LENGTH)}, counted from height 0 as the floor), and a small standing person grips no "
                f"higher than {shown(GRIP, LENGTH)}. Whoever lets go up there has it come back from behind: lower the "
                "axis, or give a step that is fixed and wide enough to stand on.")


def _out_of_grip(drive: Crank, height: float) -> bool:
    return bool(height + drive.radius.nominal > GRIP)


def _cranks(c: Context) -> Iterator[tuple[Crank, float]]:
    """Hand cranks with the height of their axes, where that is known."""
    for drive in c.machine.drives.values():
        if isinstance(drive, Crank) and not isinstance(drive, Pedals):
            at = seat_point(c.machine, c.solved.place[drive.shaft], drive.shaft, drive.seat)
            level = abs(float(axis(c.machine.shafts[drive.shaft])[2])) < 0.5
            if np.isfinite(at[2]) and level:
                yield drive, float(at[2])


def _over(c: Context, module: str) -> list[str]:
    """Of each direction in which a module's parts need more than its size: what they need, and between which parts."""
    size = c.machine.modules[module].size
    bodies = [b for b in c.space.bodies if c.machine.shafts[b.shaft].module == module and _of_the_frame(c, b)]
    if not bodies or not size:
        return []
    ends = np.array([_ends(b) for b in bodies])
    found = []
    for k, given in enumerate(size):
        low, high = int(ends[:, 0, k].argmin()), int(ends[:, 1, k].argmax())
        stands = k == 2 and len(c.machine.modules) == 1 and ends[low, 0, k] > 0
        needs = float(ends[high, 1, k] - (0.0 if stands else ends[low, 0, k]))
        if given.known and needs > given.nominal * TOLERANCE:
            between = f"up to {bodies[high].name}" if stands else bodies[high].name if low == high else (
                f"from {bodies[low].name} to {bodies[high].name}")
            way = "from the floor" if stands else f"along {'xyz'[k]}"
            note = f" ({given.note})" if given.note else ""
            found.append(f"{shown(needs, LENGTH)} {way} ({between}), where the file gives "
                         f"{shown(given.nominal, LENGTH)}{note}")
    return found


def _of_the_frame(c: Context, body: Placed) -> bool:
    """Not what hangs, not a chain or belt that may lead to another module, not a handle, which is taken off."""
    owner = next((d for d in c.machine.drives.values() if body.owner == d.path), None)
    return body.kind not in (BLOCK, "strand") and not isinstance(owner, Crank)


def _ends(body: Placed) -> tuple[np.ndarray, np.ndarray]:
    """Lowest and highest x, y, z of a body: a line with a rounded edge, drawn out along its axis and sideways."""
    line = np.abs(body.axis)
    reach = body.half * line + body.radius * np.sqrt(np.maximum(1 - line**2, 0)) + np.abs(body.side)
    return np.minimum(body.first, body.last) - reach, np.maximum(body.first, body.last) + reach
