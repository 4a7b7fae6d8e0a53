"""The one next step: what to mend, choose or ask first."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.verdict.guesses import guesses
from layshaft.verdict.measured import AGAINST
from layshaft.verdict.rate import Verdict
from layshaft.verdict.reasons import NEVER_EVEN, STANDS_STILL, held_fast, missing_in_train, stands_still
from layshaft.verdict.runaways import MODE as RUN_AWAY

NOT_CHOSEN = "not chosen"


def next_step(verdict: Verdict, called: Callable[[str], str] = str) -> str:
    """One sentence. People first, then what is missing, then what is thin, then the guesses.

    `called` makes the words for a path, where a page has better ones than the path.
    """
    before = before_all(verdict)
    if before:
        return before
    found = first_concern(verdict)
    if found is not None:
        return _about(found, called)
    rests_on = guesses(verdict)
    if rests_on:
        return f"Everything holds. Settle the first guess it rests on: {called(rests_on[0].path)} ({rests_on[0].why})."
    return "Everything holds, and nothing it rests on is a guess. Have an engineer read the sheets."


def before_all(verdict: Verdict) -> str:
    """What comes before any single part: a machine that has no shaft, or does not run. Blank where it runs."""
    if not verdict.solved.machine.shafts:
        return "Describe it first: the file names no shaft, so nothing turns and nothing is asked of any part."
    if stands_still(verdict.solved) and not missing_in_train(verdict.solved):
        if not held_fast(verdict.solved):
            return (f"Say what holds it back first: {NEVER_EVEN}. A fan or an eddy brake makes it run evenly; for a "
                    "run-down, `layshaft run` follows it as it is.")
        return (f"Make it run first: {STANDS_STILL}. Look at the wants on starting, then at the loads and at every "
                "stage that steps up.")
    return ""


def _about(found: Finding, called: Callable[[str], str]) -> str:
    name = name_of(found, called)
    if found.mode == AGAINST:
        return f"Find out why {called(found.part)} was guessed so far off what was measured: {found.note}"
    if found.verdict == "unknown":
        return (f"Choose {name}: `layshaft needs` says what it must carry." if found.reason == NOT_CHOSEN
                else f"Settle {name}, {found.mode}: {found.reason}.")
    margin = f"{found.mode} in the case '{found.title}' has margin {found.margin_text}, needed {found.required:g}."
    risk = f" At risk: {found.hurts}." if found.hurts else ""
    return f"Mend {name} first: {margin}{risk}" if found.verdict == "fails" else f"Look at {name}: {margin}"


def first_concern(verdict: Verdict) -> Finding | None:
    """The finding the next step speaks of; None where it speaks of none."""
    if before_all(verdict):
        return None
    return next((f for f in seen_to_first(verdict.findings) if f.verdict != "holds"), None)


def seen_to_first(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order of every list: what can hurt people first, then what is nearest to letting go."""
    return sorted(findings, key=place_in_list)


def place_in_list(found: Finding) -> tuple[tuple[int, int, int], tuple[int, float]]:
    """What a list of findings, or of parts by their findings, is sorted by."""
    return pressing(found), found.rank


def pressing(found: Finding) -> tuple[int, int, int]:
    """Sorts by what is seen to first: by verdict, and where it is the same by who is at risk.

    What fails only after a loss, and a guess that was far off, come after what fails as the machine stands.
    """
    later = 0
    if found.verdict == "fails":
        later = (RUN_AWAY, AGAINST).index(found.mode) + 1 if found.mode in (RUN_AWAY, AGAINST) else 0
    elif found.verdict == "unknown":
        later = int(found.reason != NOT_CHOSEN)
    return WORST_FIRST.index(found.verdict), later, int(not found.hurts)


def name_of(found: Finding, called: Callable[[str], str] = str) -> str:
    """A part by its path, with its place."""
    return f"{called(found.part)}, {found.place}" if found.place else called(found.part)
