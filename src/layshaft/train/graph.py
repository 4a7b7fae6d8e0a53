"""The ratio graph: which shafts turn together, how fast against each other, and whether loops close.

Shafts are nodes, stages that transmit are links. Each group of connected shafts (a *set*) turns as
one: every speed in it is a fixed ratio of the speed of its first shaft.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import Stage
from layshaft.machine.model import Machine
from layshaft.machine.sentences import train as say
from layshaft.train.stages import turn_ratio

CLOSES_WITHIN = 1e-9


@dataclass(frozen=True, slots=True)
class Link:
    """One or more stages side by side, from the shaft nearer the root to the one further away."""

    parent: str
    child: str
    stages: tuple[str, ...]
    ratio: float
    """Speed of the child over speed of the parent, signed about their axes."""


@dataclass(slots=True)
class ShaftSet:
    """Shafts that turn together. `links` run from the root outwards."""

    root: str
    shafts: list[str]
    links: list[Link]
    ratio: dict[str, float]
    """Speed of each shaft over that of the root, signed; NaN beyond a stage not chosen yet."""

    closing: list[str] = field(default_factory=list)
    """Stages that close a loop with others; the tree leaves them out."""

    loops: list[tuple[str, ...]] = field(default_factory=list)
    """For each closing stage, the stages of its loop, itself last."""

    inward: dict[str, Link] = field(default_factory=dict)
    """Of every shaft but the root: the link it hangs on."""

    def path(self, start: str, end: str) -> list[Link]:
        """Links between two shafts, in order from `start`."""
        ours, theirs = _ascent(start, self.inward), _ascent(end, self.inward)
        while ours and theirs and ours[-1] is theirs[-1]:
            ours.pop()
            theirs.pop()
        return ours + theirs[::-1]


def _ascent(shaft: str, up: Mapping[str, Link]) -> list[Link]:
    found = []
    while shaft in up:
        found.append(up[shaft])
        shaft = up[shaft].parent
    return found


def transmits(stage: Stage) -> bool:
    """False for what holds a shaft against the frame or runs free."""
    return stage.to != "frame"


def shaft_sets(machine: Machine, roots: list[str]) -> list[ShaftSet]:
    """Split the shafts into sets that turn together, rooted at `roots` where these lie in one.

    Raises `MachineErrors` naming the stages of a loop that cannot turn.
    """
    links = _side_by_side(machine)
    sets, placed = [], set()
    for start in [*roots, *machine.shafts]:
        if start not in placed:
            found = _grow(machine, start, links)
            placed.update(found.shafts)
            sets.append(found)
    return sets


def set_without(machine: Machine, s: ShaftSet, out: frozenset[str]) -> ShaftSet:
    """The same shafts with some stages of their loops taken out.

    Shafts that nothing reaches any more stay on by the stages that are out, so that they keep a ratio.
    """
    pairs = _side_by_side(machine)
    left = {pair: [n for n in names if n not in out] for pair, names in pairs.items()}
    found = _grow(machine, s.root, {pair: names for pair, names in left.items() if names})
    for shaft in found.shafts:  # grows while we walk
        for pair, names in pairs.items():
            other = pair[1] if pair[0] == shaft else pair[0]
            if shaft in pair and other not in found.ratio:
                _add(found, shaft, other, names, _common_ratio(machine, shaft, names))
    return found


def _side_by_side(machine: Machine) -> dict[tuple[str, str], list[str]]:
    """Stages by the pair of shafts they join, the pair in the order of its first stage."""
    pairs: dict[tuple[str, str], list[str]] = {}
    for name, stage in machine.stages.items():
        if not transmits(stage):
            continue
        pair = (stage.from_, stage.to)
        pairs.setdefault(pair if pair in pairs or pair[::-1] not in pairs else pair[::-1], []).append(name)
    return pairs


def _grow(machine: Machine, root: str, pairs: Mapping[tuple[str, str], list[str]]) -> ShaftSet:
    found = ShaftSet(root, [root], [], {root: 1.0})
    used: set[tuple[str, str]] = set()
    for shaft in found.shafts:  # grows while we walk: breadth first
        for pair, stages in pairs.items():
            if pair in used or shaft not in pair:
                continue
            used.add(pair)
            other = pair[1] if pair[0] == shaft else pair[0]
            ratio = _common_ratio(machine, shaft, stages)
            if other in found.ratio:
                _close(machine, found, shaft, other, stages, ratio)
                continue
            _add(found, shaft, other, stages, ratio)
    return found


def _add(found: ShaftSet, shaft: str, other: str, stages: list[str], ratio: float) -> None:
    found.shafts.append(other)
    found.ratio[other] = found.ratio[shaft] * ratio
    link = Link(shaft, other, tuple(stages), ratio)
    found.links.append(link)
    found.inward[other] = link


def _outward(machine: Machine, shaft: str, name: str) -> float:
    stage = machine.stages[name]
    ratio = turn_ratio(machine, stage)
    return ratio if stage.from_ == shaft else 1 / ratio


def _common_ratio(machine: Machine, shaft: str, stages: list[str]) -> float:
    ratios = [_outward(machine, shaft, name) for name in stages]
    known = [r for r in ratios if np.isfinite(r)]
    if not known:
        return float("nan")
    for name, ratio in zip(stages, ratios, strict=True):
        if np.isfinite(ratio) and abs(ratio / known[0] - 1) > CLOSES_WITHIN:
            _cannot_turn(machine, stages, ratio / known[0], name)
    return known[0]


def _close(machine: Machine, found: ShaftSet, shaft: str, other: str, stages: list[str], ratio: float) -> None:
    around = [link.stages[0] for link in found.path(other, shaft)]
    product = found.ratio[shaft] * ratio / found.ratio[other]
    if np.isfinite(product) and abs(product - 1) > CLOSES_WITHIN:
        _cannot_turn(machine, [*around, *stages], product, stages[0])
    for name in stages:
        found.closing.append(name)
        found.loops.append((*around, name))


def _cannot_turn(machine: Machine, stages: list[str], product: float, at: str) -> None:
    raise MachineErrors([Problem(machine.stages[at].mark, say.loop_cannot_turn(stages, product))])

