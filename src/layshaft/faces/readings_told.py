"""What readings say, as text and plain data, and what of it is written into the machine file."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from layshaft.faces.changing import difference
from layshaft.faces.pages.words import name_words, part_words, short
from layshaft.faces.plain import number
from layshaft.faces.test_sheet import flip_words, given_words
from layshaft.faces.text import wrapped
from layshaft.project import keeping
from layshaft.study.find_out.measured import apart, changes, contradicts
from layshaft.study.find_out.plan import MOST, Plan, repeats_by_scatter
from layshaft.study.find_out.readings import Result
from layshaft.trace.units import figure

MOST_VERDICTS = 8


def result_text(p: Plan, r: Result, path: str) -> str:
    """The whole answer."""
    return "\n".join([p.machine.title, *_value(p, r), *_against(p, r), *_decides(p, r), *_changes(p, r),
                      *_spread(r), *_extras(r), *_end(p, path)])


def _value(p: Plan, r: Result) -> Iterator[str]:
    d = r.dimension
    yield from ("", f"MEASURED: {p.given.path}")
    yield wrapped(f"{short(r.value, d)} ± {short(r.spread, d, 2)} (95.45 %), mean of {len(r.values)} by "
                  f"{p.test.procedure.name}", "    ", "  ")
    yield wrapped(f"single values: {', '.join(short(float(v), d) for v in r.values[:MOST])}", "    ", "  ")


def _against(p: Plan, r: Result) -> Iterator[str]:
    yield from ("", "AGAINST THE GUESS")
    yield wrapped(f"guessed {given_words(p.given)}", "    ", "  ")
    far = apart(p.given, r)
    yield wrapped(against_words(p, r, far), "    ", "  ")


def against_words(p: Plan, r: Result, far: float) -> str:
    """Whether they contradict each other."""
    if not math.isfinite(far):
        share = f", {100 * (r.value / p.given.nominal - 1):+.2g} % from it" if p.given.nominal else ""
        return f"It never said how far it can be off: nothing to hold the measurement against{share}."
    if not contradicts(p.given, r):
        return (f"They agree: they lie apart by {figure(far, 2)} of what both their spreads together allow "
                "(1 at most; the E_n score of ISO 13528).")
    return (f"THEY CONTRADICT EACH OTHER: they lie apart by {figure(far, 2)} times what both their spreads together "
            "allow (1 at most; the E_n score of ISO 13528). "
            "Look at the rig and the readings first; then at every other guess of this kind, which may be as far off. "
            "Kept, `layshaft check` goes on saying so until the old guess is taken out of the file.")


def _decides(p: Plan, r: Result) -> Iterator[str]:
    yield from ("", "WHAT IT SETTLES")
    if not p.settled:
        yield "  No verdict flips between the ends of the guess."
        return
    for s in p.settled[:MOST_VERDICTS]:
        yield wrapped(f"{part_words(s.flip.key[0])}: {s.flip.key[1]} {flip_words(s.flip, p.given)}: "
                      f"{settled_words(r, s.flip)}", "      ", "  ")


def _changes(p: Plan, r: Result) -> Iterator[str]:
    """What becomes of the verdicts with the measured value."""
    moved = changes(p.machine, p.given, r)
    yield from ("", "VERDICTS THAT CHANGE with the measured value, all else as it is")
    if not moved:
        yield "  None."
    for before, after in moved[:MOST_VERDICTS]:
        hurts = f"; at risk: {after.hurts}" if after.hurts else ""
        yield wrapped(f"{name_words(after)}: {after.mode}, {before.verdict} before, now {after.verdict}: margin "
                      f"{after.margin_text} of {figure(after.required, 3)}{hurts}", "      ", "  ")
    if len(moved) > MOST_VERDICTS:
        yield f"  and {len(moved) - MOST_VERDICTS} more; --json has them all"


def settled_words(r: Result, flip: Any) -> str:
    """Holds, does not hold, or how many more repeats it takes."""
    if r.high < flip.value or r.low > flip.value:
        return "holds" if (r.value < flip.value) == flip.holds_below else "does not reach what is required"
    more = repeats_by_scatter(r, abs(r.value - flip.value))
    if more is None:
        return "not settled by any number of repeats: the instrument, or what else is taken as known, is too rough"
    if more > MOST:
        return "not settled: the value lies too near"
    return f"not settled: {max(more, len(r.values) + 1)} repeats in all would, scattering as these do"


def _spread(r: Result) -> Iterator[str]:
    d = r.dimension
    yield from ("", "WHAT THE SPREAD IS MADE OF, standard uncertainties",
                "  type A is seen in the repeats, type B is known of the instrument or the file")
    for share in sorted(r.shares, key=lambda s: -s.u):
        yield f"  {short(share.u, d, 2):>14}  type {share.kind}  {share.name}"
    freedom = "very many" if r.freedom > 1e4 else figure(r.freedom, 2)
    yield wrapped(f"together {short(r.standard, d, 2)}, {freedom} degrees of freedom, times {figure(r.factor, 3)}; "
                  "ISO/IEC Guide 98-3 (read in texts that quote it)", "  ")


def _extras(r: Result) -> Iterator[str]:
    if r.extras:
        yield from ("", "BESIDES, by the same readings")
        for words, d, value in r.extras:
            yield f"  {words}: {short(value, d)}"


def _end(p: Plan, path: str) -> Iterator[str]:
    yield ""
    others = [q for q in p.shared if q != path]
    if path == p.given.cause and others:
        alone = f"; --here keeps it at {p.given.path} alone" if p.given.path != path else ""
        yield wrapped(f"Kept at {path}, it stands for {len(others)} more places by `same as`{alone}.", "  ")
    yield wrapped("What hangs, turns or is wound up hurts: local codes and licensed practice decide, not a reading.",
                  "  ")


def about(r: Result) -> dict[str, str]:
    """Who, when and note, as the table says; today where it does not say when."""
    return {"who": r.readings.who, "when": r.readings.when or datetime.date.today().isoformat(),
            "note": r.readings.note}


def keep(file: Path, option: Mapping[str, Any]) -> str:
    """Write an option into the machine file; returns the lines that differ."""
    before = keeping.opened(file)
    after = keeping.changed(before, option, "measured")
    keeping.keep(before, after)
    lines = difference(before.text, after.text, before.path.name)
    return f"\n{lines}\nWritten to {before.path}. Take it back with: layshaft undo {file}"


def result_dict(p: Plan, r: Result) -> dict[str, Any]:
    """The same as data; numbers in SI."""
    far = apart(p.given, r)
    return {
        "given": p.given.path, "value": number(r.value), "spread": number(r.spread), "low": number(r.low),
        "high": number(r.high), "values": [number(float(v)) for v in r.values],
        "standard uncertainty": number(r.standard), "degrees of freedom": number(r.freedom),
        "coverage factor": number(r.factor), "E_n": number(far), "contradicts": contradicts(p.given, r),
        "shares": [{"of": s.name, "type": s.kind, "u": number(s.u)} for s in r.shares],
        "besides": {words: number(value) for words, _, value in r.extras},
        "settles": [{"part": s.flip.key[0], "mode": s.flip.key[1], "verdict": settled_words(r, s.flip)}
                    for s in p.settled],
        "changes": [{"part": after.part, "mode": after.mode, "before": before.verdict, "after": after.verdict}
                    for before, after in changes(p.machine, p.given, r)],
    }


