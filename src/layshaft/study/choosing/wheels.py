"""Tooth counts: which are tried, and the ratio they are to give, of one stage or of several in a row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from layshaft.machine.kinds import GearPair, RollerChain, SynchronousBelt
from layshaft.study.choosing.joining import Axis, Values
from layshaft.study.choosing.space import MOST_SOLVES, Space
from layshaft.trace.errors import BadInput
from layshaft.trace.units import figure
from layshaft.train.stages import turn_ratio

Toothed = RollerChain | GearPair | SynchronousBelt
SMALL, LARGE = range(17, 39), range(15, 121)
"""Teeth tried for the small and for the large wheel of one stage: common practice, 17 for smooth running."""

RATIO_DIGITS = 10
SMALL_IN_ROWS = (17, 19, 21, 23, 25)
"""Teeth of small wheels where several stages are chosen together: usual stock sprockets, common practice."""


def open_teeth(space: Space, stage: Toothed) -> list[str]:
    """Axes of the tooth counts of a stage that are to be chosen; none where they stay."""
    free = [t for t in stage.teeth if not t.known] if np.isnan(space.wish.ratio) else list(stage.teeth)
    known = [t for t in stage.teeth if t not in free]
    several = sum(path.startswith("stages.") for path in space.asked) > 1
    asked = space.wish.small
    small = range(asked[0], asked[1] + 1) if asked else SMALL_IN_ROWS if several else SMALL
    turns = 1 / abs(turn_ratio(space.verdict.solved.machine, stage)) if np.isnan(space.wish.ratio) else _sense(
        space, stage)
    if free and not np.isfinite(turns):
        raise BadInput(f"{stage.path}: its teeth are open and nothing says the ratio. Give --ratio, such as "
                       "--ratio 2.5 --within 1%, or write `ratio` into the file.")
    names = []
    for i, t in enumerate(stage.teeth):
        if t in free:
            count = small if (i == 0) == (turns >= 1) else LARGE
            tried = list(range(6, 200)) if known else list(count)
            name = t.path
            space.add(Axis(name, stage.path, [f"{z}" for z in tried], [{t.path: float(z)} for z in tried],
                           {f"{t.path}|z": np.array(tried, float)}))
            space.teeth.append(name)
            space.trains.add(name)
            names.append(name)
    if names and np.isnan(space.wish.ratio):
        _near(space, f"ratio of {stage.name} within {space.wish.within:.3g} of {figure(turns, 4)}", [(stage, 1)], turns)
    return names


def _sense(space: Space, stage: Toothed) -> float:
    """Whether the stage turns slower (above 1) or faster by the ratio asked for."""
    exponent = {s.path: e for s, e in in_a_row(space)}.get(stage.path, 1)
    return float(space.wish.ratio**exponent)


def ratio_asked(space: Space) -> None:
    """The condition that `--ratio` puts on all stages asked for together."""
    if np.isnan(space.wish.ratio):
        return
    row = in_a_row(space)
    words = f"ratio within {space.wish.within * 100:.3g} % of {figure(space.wish.ratio, 4)}"
    _near(space, words, row, space.wish.ratio)


def in_a_row(space: Space) -> list[tuple[Toothed, int]]:
    """The toothed stages asked for, each with 1 where power goes from its first shaft on to the next, else -1."""
    stages = [s for s in space.machine.stages.values() if s.path in space.asked
              and isinstance(s, (RollerChain, GearPair, SynchronousBelt))]
    if not stages:
        raise BadInput("--ratio belongs to stages with teeth: name one, or several in a row.")
    stages.sort(key=lambda s: list(space.asked).index(s.path))
    if len(stages) == 1:
        return [(stages[0], 1)]
    sets = space.verdict.solved.set_of(stages[0].from_)
    for start in (stages[0].from_, stages[0].to):
        for end in (stages[-1].to, stages[-1].from_):
            if end not in sets.ratio:
                continue
            links = sets.path(start, end)
            at, found = start, []
            for link in links:
                for name in link.stages:
                    stage = space.machine.stages[name]
                    if stage in stages:
                        found.append((stage, 1 if stage.from_ == at else -1))
                at = link.child if link.parent == at else link.parent
            if {s.path for s, _ in found} == {s.path for s in stages}:
                return found
    raise BadInput(f"{', '.join(s.path for s in stages)} do not lie in a row: one way from shaft to shaft must pass "
                   "them all for a ratio of all together.")


def _near(space: Space, words: str, row: Sequence[tuple[Toothed, int]], wanted: float) -> None:
    needs, known, powers = [], 1.0, []
    for stage, exponent in row:
        for t, up in zip(stage.teeth, (-1, 1), strict=True):
            if t.path in space.teeth:
                needs.append(f"{t.path}|z")
                powers.append(up * exponent)
            else:
                known *= t.nominal ** (up * exponent)

    def share(*teeth: Values) -> Values:
        turns: Any = known
        for z, power in zip(teeth, powers, strict=True):
            turns = turns * z if power > 0 else turns / z
        off = np.abs(turns / wanted - 1)
        return np.asarray(space.wish.within / np.maximum(off, space.wish.within * 1e-9))

    if needs:
        space.ask(words, needs, share)


def by_train(space: Space, value: Callable[[Any], float]) -> Callable[..., Values]:
    """A number of the solved train for each set of ratios that teeth make; unknown where these are too many to solve.

    Torques, speeds and losses know teeth by their ratios alone: one solve does for 19 and 38 as for 20 and 40.
    """
    def of(*teeth: Values) -> Values:
        shape = np.broadcast_shapes(*(np.shape(z) for z in teeth))
        code: Any = np.zeros(shape, np.int64)
        for ratio in _ratios(space, teeth):
            _, place = np.unique(np.round(ratio, RATIO_DIGITS), return_inverse=True)
            code = code * (int(place.max(initial=0)) + 1) + place.reshape(np.shape(ratio))
        _, first, where = np.unique(np.broadcast_to(code, shape), return_index=True, return_inverse=True)
        if len(first) > MOST_SOLVES:
            return np.full(shape, np.nan)
        flat = [np.broadcast_to(z, shape).ravel()[first].tolist() for z in teeth]
        sets = [dict(zip(space.teeth, row, strict=True)) for row in zip(*flat, strict=True)]
        found = np.array([value(space.solved(one)) for one in sets])
        return np.asarray(found[where.ravel()].reshape(shape)) if len(first) else np.zeros(shape)

    return of


def _ratios(space: Space, teeth: Sequence[Values]) -> list[Values]:
    """The ratio of each stage with teeth to be chosen, from the columns of these teeth."""
    by_path = dict(zip(space.teeth, teeth, strict=True))
    found = []
    for stage in space.machine.stages.values():
        if isinstance(stage, RollerChain | GearPair | SynchronousBelt) and any(t.path in by_path for t in stage.teeth):
            z_1, z_2 = (by_path.get(t.path, t.nominal) for t in stage.teeth)
            found.append(np.asarray(z_2 / z_1))
    return found
