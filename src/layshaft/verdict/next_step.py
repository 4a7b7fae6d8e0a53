"""The one next step: what to mend, choose or ask first."""

from __future__ import annotations

from layshaft.trace.findings import Finding
from layshaft.verdict.guesses import guesses
from layshaft.verdict.measured import AGAINST
from layshaft.verdict.rate import Verdict
from layshaft.verdict.reasons import NEVER_EVEN, STANDS_STILL, held_fast, missing_in_train, stands_still
from layshaft.verdict.runaways import MODE as RUN_AWAY


def next_step(verdict: Verdict) -> str:
    """One sentence. People first, then what is missing, then what is thin, then the guesses."""
    if not verdict.solved.machine.shafts:
        return "Describe it first: the file names no shaft, so nothing turns and nothing is asked of any part."
    if stands_still(verdict.solved) and not missing_in_train(verdict.solved):
        if not held_fast(verdict.solved):
            return (f"Say what holds it back first: {NEVER_EVEN}. A fan or an eddy brake makes it run evenly; for a "
                    "run-down, `layshaft run` follows it as it is.")
        return (f"Make it run first: {STANDS_STILL}. Look at the wants on starting, then at the loads and at every "
                "stage that steps up.")
    fails = [f for f in verdict.findings if f.verdict == "fails"]
    now = [f for f in fails if f.mode not in (RUN_AWAY, AGAINST)]  # what fails without a loss comes first
    for found in (*[f for f in now if f.hurts], *now, *[f for f in fails if f.mode != AGAINST], *fails):
        if found.mode == AGAINST:
            return f"Find out why {found.part} was guessed so far off what was measured: {found.note}"
        risk = f" {found.hurts[0].upper()}{found.hurts[1:]} is at risk." if found.hurts else ""
        return (f"Mend {name_of(found)} first: {found.mode} in the case '{found.title}' has margin "
                f"{found.margin_text} where {found.required:g} is required.{risk}")
    unknown = [f for f in verdict.findings if f.verdict == "unknown"]
    if unknown:
        open_ = [f for f in unknown if f.reason == "not chosen"]
        if open_:
            return f"Choose {name_of(open_[0])}: `layshaft needs` says what it must carry."
        return f"Settle {name_of(unknown[0])}, {unknown[0].mode}: {unknown[0].reason}."
    thin = [f for f in verdict.findings if f.verdict == "thin"]
    if thin:
        return (f"Look at {name_of(thin[0])}: {thin[0].mode} in the case '{thin[0].title}' has margin "
                f"{thin[0].margin_text} where {thin[0].required:g} is wanted.")
    rests_on = guesses(verdict)
    if rests_on:
        return f"Everything holds. Settle the first guess it rests on: {rests_on[0].path} ({rests_on[0].why})."
    return "Everything holds, and nothing it rests on is a guess. Have an engineer read the sheets."


def name_of(found: Finding) -> str:
    """A part by its path, with its place."""
    return f"{found.part}, {found.place}" if found.place else found.part
