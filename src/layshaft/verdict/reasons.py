"""Why a finding is unknown: what is missing, not chosen, or outside a method's range."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.machine.once import once
from layshaft.trace.checks import Check
from layshaft.trace.formula import Step, origin
from layshaft.trace.inputs import InputError
from layshaft.trace.units import SPEED, TORQUE
from layshaft.train.motion.reduced import at_rest
from layshaft.train.solve import Solved
from layshaft.verdict.lacking import lacking, lacking_in_a_blow
from layshaft.verdict.outside import beyond, entry
from layshaft.verdict.rows import Block, Part

MOST_NAMED = 3


def reason(solved: Solved, block: Block, row: int, case: int, check: Check) -> str:
    """One clause that says what is missing; found by running the rows with the trace on."""
    part = block.parts[row]
    if part.not_chosen:
        return "not chosen"
    if part.rests_on:
        return part.rests_on
    mine = next(c for c in block.traced() if c.mode == check.mode)
    for value in (mine.demand, mine.rating, mine.required, mine.margin):
        step = origin(value)
        leaf = _first_unknown(step, row, case) if step is not None else None
        if leaf is not None:
            if leaf.kind == "given" and (refused := _refused(block, part, case)):
                return refused
            if leaf.symbol in part.demands and _no_shock(solved, case):
                return f"{leaf.meaning} follows from transit.shock, which is not given"
            return _words(solved, part, leaf, row, case)
    return "the case gives no number"


def _no_shock(solved: Solved, case: int) -> bool:
    shock = solved.columns[case].shock
    return shock is not None and bool(np.all(np.isnan(shock)))


def _refused(block: Block, part: Part, case: int) -> str:
    """Of many rows an impossible value counts as unknown; one row says what is impossible about it."""
    try:
        block.single(part, case)
    except InputError as error:
        return str(error)
    return ""


def _first_unknown(step: Step, row: int, case: int) -> Step | None:
    """The step from which the unknown of one row and case spreads."""
    if not is_unknown(step.value, row, case):
        return None
    for _, value, source in step.arguments:
        if source is not None and source is not step and is_unknown(value, row, case):
            return _first_unknown(source, row, case) or source
    return step


def is_unknown(value: Any, row: int, case: int) -> bool:
    """True where one entry of a value that broadcasts to (rows, cases, samples) is not known, in the first sample."""
    return bool(np.isnan(entry(value, row, case)))


def _words(solved: Solved, part: Part, leaf: Step, row: int, case: int) -> str:
    if leaf.kind == "given":
        if leaf.symbol in part.demands:
            waits = _waits_for(solved, part, leaf)
            root = root_of(solved, part)
            if root is not None and not solved.roles[root].driven:
                return f"{leaf.meaning} is not known: nothing drives {root}"
            if not waits and stands_still(solved):
                return f"the machine does not run: {STANDS_STILL}" if held_fast(solved) else (
                    f"there is no even speed: {NEVER_EVEN}")
            if not waits and root is not None and leaf.dimension is not SPEED:
                waits = _in_a_blow(solved, root)
            named = ", ".join(waits[:MOST_NAMED]) + (" and more" if len(waits) > MOST_NAMED else "")
            return f"{leaf.meaning} follows from {named}" if waits else f"{leaf.meaning} is not known"
        return f"{leaf.meaning} ({part.origins[leaf.symbol].work})"
    if leaf.kind == "looked up":
        return f"{leaf.meaning} is not in table {leaf.detail['table']}"
    if leaf.formula is not None and leaf.formula.outside:
        return beyond(leaf, row, case)
    return f"{leaf.meaning} has no answer here"


def _waits_for(solved: Solved, part: Part, leaf: Step) -> list[str]:
    root = root_of(solved, part)
    if root is None:
        return missing_in_train(solved)
    return _lacking(solved, root, leaf.dimension not in (TORQUE, SPEED) or "bending" in leaf.meaning)


@once
def _in_a_blow(solved: Solved, root: str) -> list[str]:
    return lacking_in_a_blow(solved, root)


@once
def _lacking(solved: Solved, root: str, forces: bool) -> list[str]:
    return lacking(solved, root, forces=forces)


def root_of(solved: Solved, part: Part) -> str | None:
    """The set of shafts a part's demand comes from."""
    shaft = part.shaft or solved.machine.shaft_of(part.path)
    return solved.set_of(shaft).root if shaft else None


@once
def missing_in_train(solved: Solved) -> list[str]:
    """Paths that any set of shafts needs for torques and forces and that are open or not given."""
    return list(dict.fromkeys(path for root in solved.sets for path in _lacking(solved, root, True)))


@once
def missing_in_a_blow(solved: Solved) -> list[str]:
    """Paths that the blow of any weight waits for."""
    return list(dict.fromkeys(path for root in solved.sets for path in _in_a_blow(solved, root)))


@once
def stands_still(solved: Solved) -> bool:
    """True where a weight turns a set of shafts and no speed balances its torque."""
    return any(r.weights and not r.led_by and bool(np.isnan(solved.speed[root][0]).any())
               for root, r in solved.roles.items())


@once
def held_fast(solved: Solved) -> bool:
    """Of a machine without an even speed: True where its weight does not even break it away."""
    at = [at_rest(solved, root) for root, r in solved.roles.items()
          if r.weights and not r.led_by and bool(np.isnan(solved.speed[root][0]).any())]
    return any(not gives > needs for gives, needs in at)


NEVER_EVEN = "nothing holds the weight back, and it goes faster and faster until it is down"
STANDS_STILL = "the weight gives less than loads and losses ask"

