"""The way of the power as a tree: drives, shafts, loads and losses, each with its watts."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from layshaft.faces.pages.words import mean
from layshaft.machine.kinds import Flywheel
from layshaft.train.solve import Solved

NOTHING = 1e-9


@dataclass(slots=True)
class Node:
    """A shaft, a drive, a load or a bundle of losses, and the power that enters it."""

    name: str
    kind: str
    power: float
    outlets: list[Node] = field(default_factory=list)

    @property
    def ends(self) -> int:
        """Leaves below it, at least itself."""
        return sum(o.ends for o in self.outlets) or 1

    @property
    def depth(self) -> int:
        """Steps to its furthest leaf."""
        return 1 + max((o.depth for o in self.outlets), default=0)


def trees(solved: Solved) -> list[Node]:
    """One tree for each drive that puts power in while the machine runs."""
    assert solved.budget is not None
    seen: set[str] = set()
    found = []
    for entry in solved.budget.entries:
        if entry.kind != "in" or not mean(entry.power) > NOTHING:
            continue
        shaft = solved.machine.drives[entry.name].shaft
        root = Node(entry.name, "drive", mean(entry.power))
        lost = _lost(solved, f"drives.{entry.name}")
        if shaft not in seen:
            root.outlets.append(_shaft(solved, shaft, root.power - lost, seen))
        else:
            root.outlets.append(Node(f"with the others on {shaft}", "used", root.power - lost))
        if lost > NOTHING:
            root.outlets.append(Node("pulleys", "lost", lost))
        found.append(root)
    return found


def _shaft(solved: Solved, name: str, power: float, seen: set[str]) -> Node:
    """A shaft with what leaves it: stages first, then loads, then what is lost on the way and in it."""
    seen.add(name)
    node = Node(name, "shaft", power)
    lost = _lost_on(solved, name)
    for stage_name, stage in solved.machine.stages.items():
        if stage_name not in solved.stage_torque or name not in (stage.from_, stage.to):
            continue
        other = stage.to if stage.from_ == name else stage.from_
        into, out = _through(solved, stage_name, stage, forward=stage.from_ == name)
        if not into > NOTHING:
            continue
        lost += max(into - out, 0.0)
        if other not in seen and out > NOTHING:
            node.outlets.append(_shaft(solved, other, out, seen))
        elif out > NOTHING:
            node.outlets.append(Node(f"into {other}", "used", out))
    node.outlets += [Node(e.name, "used", mean(e.power)) for e in _entries(solved, "used")
                     if _load_shaft(solved, e.name) == name and mean(e.power) > NOTHING]
    if lost > NOTHING:
        node.outlets.append(Node(f"losses, {name}", "lost", lost))
    return node


def _through(solved: Solved, name: str, stage: Any, *, forward: bool) -> tuple[float, float]:
    """Power that leaves this shaft into a stage, and what the stage hands to the other."""
    first, second = (mean(t[0]) for t in solved.stage_torque[name])
    ours = -first * mean(solved.speed[stage.from_][0])
    theirs = second * mean(solved.speed[stage.to][0])
    return (ours, theirs) if forward else (-theirs, -ours)


def _entries(solved: Solved, kind: str) -> list[Any]:
    assert solved.budget is not None
    return [e for e in solved.budget.entries if e.kind == kind]


def _load_shaft(solved: Solved, name: str) -> str:
    load = solved.machine.loads.get(name) or solved.machine.drives.get(name)
    return "" if load is None or isinstance(load, Flywheel) else str(load.shaft)


def _lost(solved: Solved, path: str) -> float:
    return sum(mean(e.power) for e in _entries(solved, "lost") if e.what == path)


def _lost_on(solved: Solved, shaft: str) -> float:
    """Drag of the bearings of a shaft, and of the stages that start on it."""
    found = 0.0
    for e in _entries(solved, "lost"):
        if e.what.startswith(f"shafts.{shaft}.seats."):
            found += mean(e.power)
        elif e.name.endswith(", drag") and e.what.startswith("stages."):
            stage = solved.machine.stages[e.name.removesuffix(", drag")]
            found += mean(e.power) if stage.from_ == shaft else 0.0
    return found


def known(solved: Solved) -> bool:
    """True where every line of the books is a finite number."""
    assert solved.budget is not None
    return all(np.isfinite(mean(e.power)) for e in solved.budget.entries)
