"""The chapter of a report on doubt: the picture, where adjustments end, and which guess to settle first."""

from __future__ import annotations

import math
from html import escape

from layshaft.faces.pages.doubt_bands import doubt_bands
from layshaft.faces.pages.words import NUMERIC, odds_words, part_words
from layshaft.study.adjustments import Adjustment
from layshaft.study.doubt import Doubt, Owner
from layshaft.trace.units import shown

MOST, LEAST = 12, 0.005
EDGES = ("Above 95 % and below 5 % the answer stands on the ends the guesses were given, and is no knowledge. Local "
         "codes and licensed practice decide, not a probability.")


def doubt_chapter(found: Doubt) -> str:
    """All of it; one sentence where no given says how far it can be off."""
    if not found.odds:
        return "<p>No given says how far it can be off: there is nothing to draw.</p>"
    picture = doubt_bands(found)
    plate = (f'<figure class="plate"><div class="scroll">{picture}</div><figcaption><b>Demand against rating</b> in '
             f"{found.draws} draws of {len(found.owners)} doubtful givens, the least sure verdicts first; the scale "
             f"doubles from rule to rule. {EDGES}</figcaption></figure>") if picture else ""
    stands = ("Whatever holds as it stands also holds with all guesses at their bad ends together." if found.stands else
              "With all guesses at their bad ends together some verdicts that hold no longer do.")
    return f"{plate}<p>{stands}</p>{_adjustments(found.adjustments)}{_owners(found.owners)}"


def _adjustments(found: list[Adjustment]) -> str:
    if not found:
        return ""
    items = "".join(f"<li>{_told(a)}</li>" for a in found)
    return f"<h3>Adjustments, set anew in every draw</h3><ul>{items}</ul>"


def _told(a: Adjustment) -> str:
    assert a.given.trim is not None
    low, middle, high, first, last = (escape(shown(v, a.given.dimension)) for v in (*a.value, *a.given.trim[1:]))
    reached, unknown, at_low, at_high = (escape(odds_words(p)) for p in (a.reached, a.unknown, a.at_low, a.at_high))
    not_known = f" and not known in {unknown}" if a.unknown else ""
    return (f"{escape(part_words(a.given.path))}: {escape(a.want)} is reached in {reached} of the draws{not_known}. It "
            f"ends at {middle}, from {low} to {high}; at its stop {first} in {at_low}, at {last} in {at_high}.")


def _owners(owners: list[Owner]) -> str:
    rows = "".join(f"<tr><td>{escape(part_words(w.cause))}</td><td>{escape(str(w.given))}</td><td>{w.given.source}</td>"
                   f"<td{NUMERIC}>{_owns(w)}</td></tr>" for w in owners[:MOST] if w.owns > LEAST)
    if not rows:
        return ""
    return ("<h3>Which guess owns the doubt</h3><p>Share of the variance of what is in doubt that would go if it were "
            "known; what can hurt people counts three times.</p>"
            '<div class="scroll"><table><thead><tr><th>given</th><th>as it stands</th><th>source</th>'
            f"<th{NUMERIC}>owns</th></tr></thead><tbody>{rows}</tbody></table></div>")


def _owns(w: Owner) -> str:
    error = "" if math.isnan(w.error) else f" ± {100 * w.error:.1f}"
    return f"{100 * w.owns:.0f}{error} %"
