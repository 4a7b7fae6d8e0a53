"""Rolling bearings over every state of their life together: shares of life summed, whatever the kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import reduce
from typing import Any

import numpy as np

from layshaft.elements import bearing_duty
from layshaft.mechanics import rolling_life
from layshaft.train.duty import State, duty
from layshaft.verdict.context import Context
from layshaft.verdict.rows import Block, Part, with_required

LISTED = ("C", "R", "p")
REQUIRED = {"life over the duty": "S_required"}
Inputs = dict[str, Any]
Equivalent = Callable[[Callable[[str], Any]], Any]
"""Dynamic equivalent load of many bearings from their inputs, each (parts, cases, samples) by its name."""


def over_duty(c: Context, alone: Block, equivalent: Equivalent) -> Block:
    """The bearings of a block over every state of their life together, where it has more than one.

    All of them, in their order: whether a bearing creeps too slowly for a life is no draw's to say.
    """
    found = Block(f"{alone.kind} over its duty", bearing_duty.rate, bearing_duty.DutyInputs,
                  {"life over the duty": ()}, required=REQUIRED,
                  applies={"life over the duty": alone.applies["rating life"]})
    states = duty(c.solved) if alone.parts else []
    if len(states) < 2:
        return found
    used, turns = _used_up(c, [part.inputs for part in alone.parts], states, equivalent)
    words = ", ".join(f"{state.words} {float(np.mean(state.share)):.0%}" for state in states)
    for i, part in enumerate(alone.parts):
        spent = c.from_train(part.shaft, f"turns over life in each state, summed: {words}")
        values = {"u": used[i], "N_L": turns[i]} | {name: part.inputs[name] for name in LISTED}
        origins = {"u": spent, "N_L": spent} | {name: part.origins[name] for name in LISTED}
        made = Part(part.path, "", values, origins, "", frozenset({"u", "N_L"}), not_chosen=part.not_chosen,
                    content=part.content, shaft=part.shaft)
        found.parts.append(with_required(made, c.machine.margins or {}, REQUIRED))
    return found


def has_duty(c: Context) -> bool:
    """True where the life of the machine has more than one state."""
    return len(duty(c.solved)) > 1


def _used_up(c: Context, inputs: list[Inputs], states: list[State], equivalent: Equivalent
             ) -> tuple[Any, Any]:
    """Share of life and turns of each bearing over all states, (parts, samples)."""
    asked = sorted({i for state in states for i in state.columns})
    at, samples = {i: k for k, i in enumerate(asked)}, c.solved.samples

    def every(name: str) -> Any:
        return _stacked((i[name] for i in inputs), (len(c.solved.columns), samples), asked)

    omega = every("omega")
    life: Any = rolling_life.rating_life(every("C"), equivalent(every), every("p"))
    used: Any = 0.0
    turns: Any = 0.0
    for state in states:
        here = [rolling_life.turns_wanted(omega[:, at[i]], c.life * state.share) for i in state.columns]
        spent = [np.where(N > 0, rolling_life.life_used(N, life[:, at[i]]), 0 * N)
                 for N, i in zip(here, state.columns, strict=True)]
        used, turns = used + reduce(np.maximum, spent), turns + reduce(np.maximum, here)
    return used, turns


def _stacked(values: Iterable[Any], shape: tuple[int, int], asked: list[int]) -> Any:
    """One input of every bearing in the asked columns, (parts, columns, samples)."""
    return np.stack([(v if np.shape(v) == shape else np.broadcast_to(v, shape))[asked] for v in values])
