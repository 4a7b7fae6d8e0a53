"""Why a finding is unknown: what is missing, not chosen, or outside a method's range."""

from __future__ import annotations

import numpy as np

from layshaft.machine.kinds import GearPair, Ratchet, RollerChain
from layshaft.trace.checks import Check
from layshaft.trace.formula import Step, origin, tracing
from layshaft.trace.inputs import InputError
from layshaft.train.solve import Solved
from layshaft.verdict.open import ON_SEATS, open_paths
from layshaft.verdict.rows import Block, Part

MOST_NAMED = 3


def reason(solved: Solved, block: Block, part: Part, case: int, check: Check) -> str:
    """One clause that says what is missing; found by running the one row with the trace on."""
    if part.not_chosen:
        return "not chosen"
    if part.rests_on:
        return part.rests_on
    try:
        inputs = block.single(part, case)
    except InputError as error:
        return str(error)
    with np.errstate(all="ignore"), tracing():
        checks = block.rate(inputs).checks
    mine = next(c for c in checks if c.mode == check.mode)
    for value in (mine.demand, mine.rating, mine.required, mine.margin):
        step = origin(value)
        leaf = _first_unknown(step) if step is not None else None
        if leaf is not None:
            return _words(solved, part, leaf)
    return "the case gives no number"


def _first_unknown(step: Step) -> Step | None:
    """The step from which the unknown spreads."""
    if not np.isnan(np.asarray(step.value, dtype=float)).any():
        return None
    for _, value, source in step.arguments:
        if source is not None and source is not step and np.isnan(np.asarray(value, dtype=float)).any():
            return _first_unknown(source) or source
    return step


def _words(solved: Solved, part: Part, leaf: Step) -> str:
    if leaf.kind == "given":
        if leaf.symbol in part.demands:
            lacking = missing_in_train(solved)
            if not lacking and stands_still(solved):
                return f"the machine does not run: {STANDS_STILL}"
            named = ", ".join(lacking[:MOST_NAMED]) + (" and more" if len(lacking) > MOST_NAMED else "")
            return f"{leaf.meaning} follows from {named}" if lacking else f"{leaf.meaning} is not known"
        return f"{leaf.meaning} ({leaf.source.work})"
    if leaf.kind == "looked up":
        return f"{leaf.meaning} is not in table {leaf.detail['table']}"
    if leaf.formula is not None and leaf.formula.outside:
        return leaf.formula.outside
    return f"{leaf.meaning} has no answer here"


def missing_in_train(solved: Solved) -> list[str]:
    """Paths of givens that torques and forces need and that are open or not given; what is open goes first."""
    if solved.lacking is None:
        solved.lacking = _missing(solved)
    return solved.lacking


def _missing(solved: Solved) -> list[str]:
    open_ = [path for path in open_paths(solved) if path.split(".")[0] in TRAIN and not path.endswith(NOT_IN_TRAIN)]
    lacking = [path for path, given in solved.machine.givens.items()
               if not given.known and path.split(".")[0] in TRAIN and any(word in path for word in NEEDED)
               and not any(word in path for word in OPTIONAL) and not _of_a_stage_that_may_lack_it(solved, path)]
    in_order = sorted(open_, key=lambda path: TRAIN.index(path.split(".")[0]))
    return list(dict.fromkeys([*in_order, *lacking]))


NOT_IN_TRAIN = (*ON_SEATS, "material", "listing", "face")


def _of_a_stage_that_may_lack_it(solved: Solved, path: str) -> bool:
    """A stage need not state a constant drag, and a ratchet against the frame passes no power."""
    words = path.split(".")
    if words[0] != "stages":
        return False
    stage = solved.machine.stages.get(words[1])
    lined = isinstance(stage, (RollerChain, GearPair))
    return words[-1] == "drag" or (words[-1] == "line" and not lined) or (isinstance(stage, Ratchet) and stage.to == "frame")


def stands_still(solved: Solved) -> bool:
    """True where a weight turns a set of shafts and no speed balances its torque."""
    return any(r.weights and not r.led_by and bool(np.isnan(solved.speed[root][0]).any())
               for root, r in solved.roles.items())


STANDS_STILL = "the weight gives less than loads and losses ask"


TRAIN = ("drives", "stages", "loads", "shafts", "gravity", "venue")
NEEDED = ("mass", "efficiency", "drag", "torque", "teeth", "speed", "radius", "energy", "inertia", "rolling",
          "pulley loss", "per turn", "over", "air density", "break away", "gravity", "sections", "line", "diameter",
          "normal module", "face", "pressure angle")
OPTIONAL = ("key", "seats", "pulley teeth", ".drag coefficient", "winding speed", "idler over", "air density",
            "wind up", "pin diameter", "material")
