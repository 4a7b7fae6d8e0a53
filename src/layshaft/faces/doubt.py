"""What is doubtful, as text and as plain data."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby
from typing import Any

import numpy as np

from layshaft.faces.pages.words import odds_words
from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.machine.model import Machine
from layshaft.study.adjustments import Adjustment
from layshaft.study.doubt import Doubt, Flip, Odds, Owner
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import margin_text
from layshaft.trace.units import RATIO, UnitError, figure, parse_quantity, shown
from layshaft.verdict.next_step import name_of

BAR = 33
"""Signs of a picture of a spread; its middle is the required margin, its ends a quarter and four times that."""

MOST_VERDICTS, MOST_OWNERS, ASKED = 25, 12, 3


def doubt_text(machine: Machine, found: Doubt, target: float | None = None) -> str:
    """The whole answer of `layshaft doubt`."""
    title = machine.title + (f", with {machine.label}" if machine.label else "")
    if not found.odds:
        return f"{title}\nNo given says how far it can be off: there is nothing to draw. Give some a `between`."
    return "\n".join([*_head(title, found), *_verdicts(found), *_gaps(found), *_adjustments(found),
                      *_target(found, target), *_owners(found), *_next(found), *_flips(found), *_stress(found),
                      *_end()])


def _head(title: str, found: Doubt) -> Iterator[str]:
    yield title
    common = f"{100 * found.alike:.0f} %"
    together = (f"Guesses of one kind are off together, as one person's are: {common} of the variance of each is "
                "common to all." if found.alike else
                "Guesses of one kind are off each by itself: many of them average themselves away.")
    ended = found.outcomes.ended if found.outcomes else ""
    if ended:
        yield wrapped(f"Stopped early ({ended.rstrip('.')}): {found.draws} of {found.asked} draws are done, and all "
                      "that follows is of these.")
    few = f"Only the {len(found.odds)} findings asked for. " if found.few else ""
    yield wrapped(f"{few}{found.draws} draws of {len(found.owners)} doubtful givens, seed {found.seed}. {together} "
                  "Between its ends a guess is drawn from a triangle with the value on top, or evenly where the file "
                  "says so; a measured or decided value from a normal distribution with its ends at two deviations.")


def _verdicts(found: Doubt) -> Iterator[str]:
    doubtful = [o for o in found.odds if o.in_doubt]
    yield from ("", "VERDICTS IN DOUBT")
    if not doubtful:
        yield "  None: every verdict is the same in nearly all draws."
        return
    yield wrapped("How often it holds; margin over required margin, from 5 % to 95 % of the draws, the middle one as "
                  "o; | is what is required, the ends of the line are a quarter and four times that.", "  ")
    for o in doubtful[:MOST_VERDICTS]:
        unknown = f", unknown in {odds_words(o.unknown)}" if o.unknown else ""
        yield wrapped(f"{odds_words(o.holds):>5}  {bar(o.share)}  {name_of(o.finding)}: {o.finding.mode}{unknown}",
                      " " * (BAR + 13), "  ")
    if len(doubtful) > MOST_VERDICTS:
        yield f"  and {len(doubtful) - MOST_VERDICTS} more; --json has them all"


def _gaps(found: Doubt) -> Iterator[str]:
    """Verdicts that some draws leave unknown, by the given that does it alone."""
    some = {(o.finding.part, o.finding.mode): o.unknown for o in found.odds
            if o.unknown and o.finding.verdict != "unknown"}
    if not some:
        return
    yield from ("", "UNKNOWN IN SOME DRAWS")
    yield wrapped("Where a draw cannot be, or is outside what a method goes for, its verdict is unknown and counts as "
                  "one that does not hold.", "  ")
    owners = {w.cause: w.given for w in found.owners}
    gaps = sorted((g.cause, g.low, g.high, g.key) for g in found.gaps if g.key in some and g.cause in owners)
    for (cause, low, high), alike in groupby(gaps, key=lambda g: g[:3]):
        keys = [g[3] for g in alike]
        dimension, most = owners[cause].dimension, max(some[key] for key in keys)
        what = f"{keys[0][0]}: {keys[0][1]} is" if len(keys) == 1 else f"{len(keys)} verdicts are"
        yield wrapped(f"{cause}: {what} unknown in {figure(100 * most, 2)} % of the draws, and known where it lies "
                      f"between {shown(low, dimension)} and {shown(high, dimension)}. Narrow its spread, or settle it.",
                      "    ", "  ")
    rest = some.keys() - {g[3] for g in gaps}
    if rest:
        most = max(some[key] for key in rest)
        yield wrapped(f"No given alone: {len(rest)} more, in up to {figure(100 * most, 2)} % of the draws.", "    ",
                      "  ")


def _adjustments(found: Doubt) -> Iterator[str]:
    """Where each adjustment ends, which is set anew in every draw."""
    if not found.adjustments:
        return
    yield from ("", "ADJUSTMENTS, set anew in every draw")
    for a in found.adjustments:
        trim, dimension = a.given.trim, a.given.dimension
        assert trim is not None
        low, middle, high = (shown(v, dimension) for v in a.value)
        unknown = f"; not known in {odds_words(a.unknown)}" if a.unknown else ""
        yield wrapped(f"{a.given.path} for {a.want}: reached in {odds_words(a.reached)} of the draws{unknown}", "    ",
                      "  ")
        yield wrapped(f"{travel(a.place)}  ends at {middle}, from {low} to {high}; its stops are "
                      f"{shown(trim.low, dimension)}, where it ends in {odds_words(a.at_low)}, and "
                      f"{shown(trim.high, dimension)}, in {odds_words(a.at_high)}", " " * (BAR + 6), "    ")


def travel(place: tuple[float, float, float]) -> str:
    """Where in its travel an adjustment ends, from stop to stop, as a line of signs."""
    if any(map(math.isnan, place)):
        return "?" * BAR
    low, middle, high = (round(min(max(p, 0.0), 1.0) * (BAR - 3)) + 1 for p in place)
    signs = ["·"] * BAR
    signs[0], signs[-1] = "[", "]"
    signs[low: high + 1] = ["-"] * (high + 1 - low)
    signs[middle] = "o"
    return "".join(signs)


def bar(share: tuple[float, float, float]) -> str:
    """A spread as a line of signs, on a logarithmic scale."""
    def at(value: float) -> int:
        place = (math.log2(max(value, 1e-9)) / 4 + 0.5) * (BAR - 1)
        return int(min(max(round(place), 0), BAR - 1))

    low, middle, high = map(at, share)
    signs = ["·"] * BAR
    signs[low: high + 1] = ["-"] * (high + 1 - low)
    signs[BAR // 2] = "|"
    signs[middle] = "o"
    return "".join(signs)


def _target(found: Doubt, target: float | None) -> Iterator[str]:
    """What would bring each verdict to the share of draws asked for."""
    if target is None:
        return
    yield from ("", f"TO HOLD IN {target:.0%} OF THE DRAWS".replace("%", " %"))
    assert found.outcomes is not None
    some = False
    for o in found.odds:
        if o.in_doubt and o.holds < target and not o.unknown:
            row = found.outcomes.share[found.outcomes.row((o.finding.part, o.finding.mode))]
            low = float(np.quantile(row, 1 - target))
            need = f"its rating {figure(1 / low, 3)} times as large" if low > 0 else "more than a larger rating"
            best = max(((share, w.cause) for w in found.owners for key, share in w.verdicts
                        if key == (o.finding.part, o.finding.mode)), default=None)
            know = f", or {best[1]} to be known better" if best else ""
            yield wrapped(f"{name_of(o.finding)}: {o.finding.mode} needs {need}{know}", "      ", "  ")
            some = True
    if not some:
        yield "  Nothing is missing."


def _owners(found: Doubt) -> Iterator[str]:
    any_doubt = any(o.in_doubt for o in found.odds)
    what = "the verdicts in doubt" if any_doubt else "where the margins rank"
    yield from ("", "WHICH GIVEN OWNS THE DOUBT")
    yield wrapped(f"Share of the variance of {what} that would go if it were known; what can hurt people counts three "
                  "times. The shares of givens that only matter together are not in the list. Shares overlap and may "
                  "add up to more than 100 %; one within two errors of nothing is not told.", "  ")
    for w in [w for w in found.owners if w.clear][:MOST_OWNERS]:
        error = "" if math.isnan(w.error) else f" ± {100 * w.error:.1f}"
        kind = f"; off together with every {w.kind}" if w.kind else ""
        yield wrapped(f"{100 * w.owns:5.1f}{error:<6} %  {w.cause}: {w.given}, {w.given.source}{kind}", " " * 18, "  ")


def _next(found: Doubt) -> Iterator[str]:
    yield from ("", "ASK ABOUT THIS NEXT")
    asked = [w for w in found.owners if w.owns > 0.02 and w.clear][:ASKED]
    if not asked:
        yield "  Nothing: no single given settles anything."
    for i, w in enumerate(asked, 1):
        yield wrapped(f"{i}. {w.cause}, now {w.given}" + (f" ({w.given.note})" if w.given.note else ""), "     ", "  ")
        yield from _settles(found, w)


def _settles(found: Doubt, w: Owner) -> Iterator[str]:
    """What knowing a given would settle."""
    flips = {f.key: f for f in found.flips if f.cause == w.cause}
    for key, share in w.verdicts[:4]:
        flip = flips.get(key)
        where = f"; {_flip(flip, w)}" if flip else ""
        yield wrapped(f"{key[0]}: {key[1]}, {share:.0%} of its doubt{where}".replace("%", " %"), "         ", "     ")
    if len(w.verdicts) > 4:
        yield f"     and {len(w.verdicts) - 4} more verdicts"


def _flip(flip: Flip, w: Owner) -> str:
    return f"holds {'below' if flip.holds_below else 'above'} {shown(flip.value, w.given.dimension)}"


def _flips(found: Doubt) -> Iterator[str]:
    yield from ("", "WHERE A VERDICT FLIPS, one given moved and all others as they are")
    owners = {w.cause: w for w in found.owners}
    ordered = sorted(found.flips, key=lambda f: list(owners).index(f.cause) if f.cause in owners else len(owners))
    if not ordered:
        yield "  Nowhere between the ends of any single given."
    for cause, flips in groupby(ordered, key=lambda f: f.cause):
        if cause in owners:
            yield f"  {cause}, now {owners[cause].given}"
            for flip in flips:
                yield wrapped(f"{flip.key[0]}: {flip.key[1]} {_flip(flip, owners[cause])}", "        ", "    ")


def _stress(found: Doubt) -> Iterator[str]:
    """One word, and what falls."""
    holding = [o for o in found.odds if o.finding.verdict == "holds"]
    falls = [o for o in holding if not o.holds_at_worst]
    yield from ("", "ALL GUESSES AT THEIR BAD ENDS TOGETHER")
    if not falls:
        yield "  Stands: whatever holds now holds there too."
        return
    yield wrapped(f"Falls: of {len(holding)} verdicts that hold, {len(falls)} no longer do.", "  ")
    for o in sorted(falls, key=lambda x: (not x.finding.hurts, x.at_worst))[:MOST_OWNERS]:
        hurts = f"; at risk: {o.finding.hurts}" if o.finding.hurts else ""
        margin = "unknown" if o.unknown_at_worst else margin_text(o.at_worst * o.finding.required)
        yield wrapped(f"{margin} of {figure(o.finding.required, 3)}  "
                      f"{name_of(o.finding)}: {o.finding.mode}{hurts}", "      ", "    ")


def _end() -> Iterator[str]:
    yield ""
    yield wrapped("Above 95 % and below 5 % the answer stands on the ends the guesses were given, and is no "
                  "knowledge. Hanging weights and stored energy hurt: local codes and licensed practice decide, not a "
                  "probability.")


def share_of(text: str | None) -> float | None:
    """A share such as `95%`; refuses what is none. Raises `BadInput`."""
    if text is None:
        return None
    try:
        value = parse_quantity(text, RATIO).value
    except (UnitError, ValueError):
        value = math.nan
    if not 0.5 <= value < 1:
        raise BadInput(f"--target {text} is not a share to reach. Write one from 50% to 99.9%, such as 95%.")
    return value


def doubt_dict(found: Doubt) -> dict[str, Any]:
    """Plain data, numbers in SI."""
    return {
        "draws": found.draws, "asked": found.asked, "seed": found.seed, "alike": found.alike, "stands": found.stands,
        "verdicts": [_odds_dict(o) for o in found.odds],
        "owners": [{"given": w.cause, "owns": number(w.owns), "error": number(w.error), "source": w.given.source,
                    "value": number(w.given.nominal), "low": w.given.low, "high": w.given.high, "kind": w.kind,
                    "verdicts": [{"part": k[0], "mode": k[1], "owns": number(s)} for k, s in w.verdicts]}
                   for w in found.owners],
        "unknown": [{"part": g.key[0], "mode": g.key[1], "given": g.cause, "known from": number(g.low),
                     "known to": number(g.high)} for g in found.gaps],
        "adjustments": [_adjustment_dict(a) for a in found.adjustments],
        "flips": [{"part": f.key[0], "mode": f.key[1], "given": f.cause, "value": number(f.value),
                   "holds": "below" if f.holds_below else "above"} for f in found.flips],
    }


def _adjustment_dict(a: Adjustment) -> dict[str, Any]:
    return {"given": a.given.path, "want": a.want, "reached": number(a.reached), "unknown": number(a.unknown),
            "at low stop": number(a.at_low), "at high stop": number(a.at_high),
            "ends at": dict(zip(("5 %", "50 %", "95 %"), map(number, a.value), strict=True)),
            "share of its travel": dict(zip(("5 %", "50 %", "95 %"), map(number, a.place), strict=True))}


def _odds_dict(o: Odds) -> dict[str, Any]:
    f = o.finding
    return {"part": f.part, "place": f.place, "mode": f.mode, "verdict": f.verdict, "required": number(f.required),
            "holds": number(o.holds), "unknown": number(o.unknown),
            "margin over required": dict(zip(("5 %", "50 %", "95 %"), map(number, o.share), strict=True)),
            "at bad ends": {"margin over required": None if o.unknown_at_worst else number(o.at_worst),
                            "holds": o.holds_at_worst, "unknown": o.unknown_at_worst}}
