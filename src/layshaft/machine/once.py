"""Answers that follow from a machine and things in it alone, worked out once while that machine lives."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, TypeVar, cast

Function = TypeVar("Function", bound=Callable[..., Any])


def once(function: Function) -> Function:
    """Keep what a function of a machine and its things gave: a solve asks the same again and again.

    Neither a machine nor a thing ever changes. The things are kept beside the answer, so that none
    that is made in passing can be taken for another.
    """

    @functools.wraps(function)
    def call(machine: Any, *things: Any) -> Any:
        asked = (call, *map(id, things))
        kept = machine.worked_out.get(asked)
        if kept is None:
            kept = machine.worked_out[asked] = (function(machine, *things), things)
        return kept[0]

    return cast(Function, call)
