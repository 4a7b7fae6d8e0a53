"""Answers that follow from a machine, a thing in it, or its solution alone: worked out once while that lives."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any, TypeVar, cast

Function = TypeVar("Function", bound=Callable[..., Any])
BY_VALUE = frozenset({str, float, int, frozenset})


def once(function: Function) -> Function:
    """Keep what a function of a thing and what goes with it gave: a solve asks the same again and again.

    Nothing in a machine ever changes, nor in its solution once it is whole, and an edit shares with the
    machine before what it leaves as it was; so what follows from one shaft alone is kept from check to
    check. What else is given is told apart by value where it is a word or number, else by identity, and
    kept beside the answer so that nothing made in passing can be taken for it.
    """
    turn = [0]

    @functools.wraps(function)
    def call(thing: Any, *others: Any) -> Any:
        asked = (call, turn[0], *[o if type(o) in BY_VALUE else id(o) for o in others])
        kept = thing.worked_out.get(asked)
        if kept is None:
            kept = thing.worked_out[asked] = (function(thing, *others), others)
        return kept[0]

    def forget() -> None:
        turn[0] += 1

    call.cache_clear = forget  # type: ignore[attr-defined]
    return cast(Function, call)
