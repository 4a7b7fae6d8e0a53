"""Adjustments: which givens are trimmed, for which wants, and that such wants can be reached by one."""

from __future__ import annotations

from layshaft.machine.errors import Problem
from layshaft.machine.model import Machine, Want
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.machine.sentences import references as say

REACHED = ("speed", "time_per_winding", "handle_force", "start_ratio")
"""What a want may ask that one adjustment can bring out; the first of them that it has counts."""


@once
def trims(machine: Machine) -> list[Given]:
    """Every given that is adjusted, in file order."""
    return [leaf for leaf in machine.leaves if isinstance(leaf, Given) and leaf.trim is not None and leaf.known
            and leaf.cause == leaf.path]


def asked_by(want: Want) -> str:
    """The key of a want that a trim brings out; blank if it has none."""
    found = [name for name in REACHED if getattr(want, name).known and (name != "speed" or want.shaft)]
    return found[0] if found else ""


def check(machine: Machine, problems: list[Problem]) -> None:
    """Every trim leads to a want that it can reach, and no two lead to the same."""
    taken: dict[str, str] = {}
    for given in trims(machine):
        assert given.trim is not None
        name, wants = given.trim.to, machine.wants or {}
        if name not in wants:
            problems.append(Problem(given.mark, say.trim_to(given.path, name, list(wants))))
        elif not asked_by(wants[name]):
            problems.append(Problem(given.mark, say.trim_to_nothing(given.path, name)))
        elif name in taken:
            problems.append(Problem(given.mark, say.trimmed_twice(given.path, name, taken[name])))
        taken.setdefault(name, given.path)
