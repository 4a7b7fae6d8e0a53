"""Paths such as ``stages.lens chain.teeth[1]``, walked in the model and in the node tree."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import Any

from layshaft.machine.document import ListNode, MapNode, Node
from layshaft.machine.schema import Thing, keys

Steps = tuple[str | int, ...]
_STEP = re.compile(r"([^.\[\]]+)((?:\[\d{1,6}\])*)")


@lru_cache(16_384)
def split(path: str) -> Steps | None:
    """The steps of a path, or None where it is not one."""
    steps: list[str | int] = []
    for part in path.split("."):
        match = _STEP.fullmatch(part.strip())
        if not match:
            return None
        steps.append(match.group(1).strip())
        steps.extend(int(n) for n in re.findall(r"\d+", match.group(2)))
    return tuple(steps)


def joined(steps: Steps) -> str:
    """Steps as one path."""
    text = ""
    for step in steps:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else step
    return text


class NotThereError(LookupError):
    """A step that leads nowhere: the steps before it, the step, and what is there instead."""

    def __init__(self, before: Steps, step: str | int, known: list[str]) -> None:
        super().__init__(joined((*before, step)))
        self.before, self.step, self.known = before, step, known


def in_model(thing: Any, steps: Steps) -> Any:
    """What stands at a path of the model. Raises `NotThereError`."""
    for done, step in enumerate(steps):
        found = _below(thing, step)
        if found is None:
            raise NotThereError(steps[:done], step, names(thing))
        thing = found
    return thing


def _below(thing: Any, step: str | int) -> Any:
    if isinstance(thing, tuple):
        return thing[step] if isinstance(step, int) and step < len(thing) else None
    if isinstance(step, int):
        return None
    if isinstance(thing, dict):
        return thing.get(step)
    if isinstance(thing, Thing):
        known = keys(type(thing)).get(step)
        return getattr(thing, known[0]) if known else None
    return None


def names(thing: Any) -> list[str]:
    """Steps that lead on from here."""
    if isinstance(thing, dict):
        return list(thing)
    if isinstance(thing, Thing):
        return list(keys(type(thing)))
    return [f"[{i}]" for i in range(len(thing))] if isinstance(thing, tuple) else []


def replaced(thing: Any, steps: Steps, new: Any) -> Any:
    """The model with another value at a path; what is not above it is shared."""
    if not steps:
        return new
    step = steps[0]
    inner = replaced(_below(thing, step), steps[1:], new)
    if isinstance(thing, tuple):
        return tuple(inner if i == step else old for i, old in enumerate(thing))
    if isinstance(thing, dict):
        return {name: inner if name == step else old for name, old in thing.items()}
    return replace(thing, **{keys(type(thing))[str(step)][0]: inner})


def in_tree(node: Node, steps: Steps) -> Node | None:
    """The node at a path of the tree, or None."""
    found: Node | None = node
    for step in steps:
        if isinstance(found, MapNode) and isinstance(step, str):
            found = found.get(step)
        elif isinstance(found, ListNode) and isinstance(step, int) and step < len(found.items):
            found = found.items[step]
        else:
            return None
    return found
