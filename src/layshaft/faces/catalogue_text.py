"""Lists, imports and offers as text."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from layshaft.faces.plain import number as plain_number
from layshaft.listings.imports import asking
from layshaft.listings.imports.changes import Changes
from layshaft.listings.imports.fields import list_fields
from layshaft.listings.imports.heads import Column
from layshaft.listings.imports.importing import Outcome, Table
from layshaft.listings.offers import Offer
from layshaft.trace.units import LENGTH, MASS, figure, shown

MOST_ROWS = 40
MOST_NAMED = 5
MOST_VALUES = 5
DAY = 86400.0
KM = 1000.0
WIDEST = 34


def import_text(outcome: Outcome, *, dry_run: bool, folder: str) -> str:
    """What became of a list: its columns, its refused rows, what changed."""
    lines: list[str] = []
    for table in outcome.tables:
        lines += [*_table(outcome.file, table), ""]
    if outcome.lacking:
        return "\n".join([*lines, "NOT IMPORTED: something has to be said first.",
                          *(f"  {one}" for one in dict.fromkeys(map(str, outcome.lacking)))])
    lines += _rejected(outcome)
    if outcome.written or dry_run:
        lines += [line for change in outcome.changes for line in changes_lines(change)]
    return "\n".join([*lines, "", _end(outcome, dry_run=dry_run, folder=folder)])


def _table(file: str, table: Table) -> Iterator[str]:
    name = f"{file}, sheet {table.sheet}" if table.sheet else file
    if table.head is None:
        yield f"{name}: no head of a list in it, passed over"
        return
    sign = {",": ", decimal comma", ".": ", decimal point"}.get(table.decimal, "")
    yield f"{name}: {table.kind or 'kind by its column or not known'}{sign}"
    rows = [("column", "head", "first cells", "means", "unit", "known by"), *map(_column, table.head.columns)]
    yield from _aligned(rows)


def _column(c: Column) -> tuple[str, ...]:
    first = ", ".join(dict.fromkeys(c.examples[:3]))
    if c.field is None:
        return c.letter, _cut(c.head), _cut(first), "-", "", c.note or ("said" if c.how else "not read")
    unit = f"{c.unit} for {c.per:g}" if c.per != 1 else c.unit
    needs = c.field.unit_of not in ("", "count")
    return c.letter, _cut(c.head), _cut(first), c.field.name, unit or ("in cells" if needs else ""), c.how


def _rejected(outcome: Outcome) -> Iterator[str]:
    if not outcome.rejected_count:
        return
    yield f"ROWS THAT ARE NOT TAKEN: {outcome.rejected_count}"
    for one in outcome.rejected[:MOST_ROWS]:
        yield f"  {one.sheet + ', ' if one.sheet else ''}row {one.place}: {one.why}"
    more = outcome.rejected_count - MOST_ROWS
    if more > 0:
        yield f"  and {more} more; --rejected FILE.csv writes them all"
        sorts = Counter(r.why.split(":")[0].split(" is ")[0].split("; ")[0] for r in outcome.rejected)
        yield "  most of them: " + ", ".join(f"{word} ({n})" for word, n in sorts.most_common(4))
    yield ""


def changes_lines(found: Changes) -> Iterator[str]:
    """What a list changed of the one before it, its first line the counts."""
    if found.first_time:
        yield f"{found.supplier}: {found.count} of kind {found.kind}, the first list of these"
        return
    counts = {k: n for k, n in found.counts.items() if n}
    yield f"{found.supplier}: {found.count} of kind {found.kind}; " + (
        "nothing changed" if not counts else ", ".join(f"{word}: {n}" for word, n in counts.items()))
    for word, parts in (("new", found.new), ("gone", found.gone)):
        if parts:
            yield f"  {word}: {', '.join(parts[:MOST_NAMED])}{_more(found.counts[word])}"
    for part, was, now in found.prices[:MOST_NAMED]:
        share = f" ({(now / was - 1) * 100:+.1f} %)" if was > 0 and math.isfinite(now) else ""
        yield f"  {part}: price {_price(was)} becomes {_price(now)}{share}"
    for part, key, was, now in found.others[:MOST_NAMED]:
        yield f"  {part}: {key} {value_text(key, was)} becomes {value_text(key, now)}"


def _more(count: int) -> str:
    return f" and {count - MOST_NAMED} more" if count > MOST_NAMED else ""


def _price(value: float) -> str:
    return "unknown" if math.isnan(value) else f"{value:.2f}"


def _end(outcome: Outcome, *, dry_run: bool, folder: str) -> str:
    if outcome.written:
        left = f"; {outcome.rejected_count} rows were left out" if outcome.rejected_count else ""
        return f"Imported into {folder}: {outcome.taken} offers{left}."
    if not outcome.taken:
        return "Nothing was imported: no row is left."
    if dry_run:
        return f"Nothing was written (--dry-run): {outcome.taken} offers could be taken."
    return (f"NOTHING was imported: a list goes in as a whole. Mend these rows and import again, or take the "
            f"{outcome.taken} others with --skip-rejected.")


# Offers.


def offers_text(kind: str, found: Sequence[Offer], count: int, first: Sequence[str], note: str = "") -> str:
    """A table of offers, the keys that were asked for in front."""
    if not found:
        return f"No {kind} fits.{note}"
    said = Counter(k for o in found for k in o.values if k != "description")
    keys = list(dict.fromkeys([*(k for k in first if k in said), *_in_order(said)]))[:MOST_VALUES]
    some = {"supplier": any(o.supplier for o in found), "mass": _any(found, "mass"), "price": _any(found, "price"),
            "lead time": _any(found, "lead time"), "cad": any(o.cad for o in found)}
    extra = [k for k, there in some.items() if there]
    rows = [("name", *keys, *extra)] + [
        (_cut(o.name), *(_said(o, k) for k in keys), *(_extra(o, k) for k in extra)) for o in found]
    head = f"{kind}: {count} fit" if count > len(found) else f"{kind}: {count}"
    more = f", the first {len(found)} of them" if count > len(found) else ""
    return "\n".join([f"{head}{more}", *_aligned(rows), *([note.strip()] if note else [])])


def _in_order(said: Counter[str]) -> list[str]:
    known = list(list_fields())
    return sorted(said, key=lambda k: known.index(k) if k in known else len(known))


def _any(found: Sequence[Offer], key: str) -> bool:
    return any(math.isfinite(asking.number(o, key)) for o in found)


def _said(offer: Offer, key: str) -> str:
    value = offer.values.get(key, math.nan)
    return value if isinstance(value, str) else value_text(key, value, "-")


def _extra(offer: Offer, key: str) -> str:
    if key == "supplier":
        return _cut(offer.supplier) or "standard series"
    if key == "cad":
        return "yes" if offer.cad else ""
    if key == "price":
        return f"{offer.price:.2f} {offer.currency}" if math.isfinite(offer.price) else "-"
    return value_text(key, asking.number(offer, key), "-")


def offer_text(offer: Offer) -> str:
    """One offer with everything that is known of it."""
    rows = [("kind", offer.kind), ("supplier", offer.supplier or "none: a standard series"),
            ("standard", offer.standard or "-")]
    rows += [(key, _said(offer, key)) for key in offer.values]
    rows += [(key, _extra(offer, key)) for key in ("mass", "price", "lead time", "distance", "pack", "least order")]
    rows += [("country", offer.country or "-"), ("CAD file", offer.cad or "-"), ("from", str(offer.source))]
    return "\n".join([offer.name, *_aligned(rows)])


def value_text(key: str, value: float, unknown: str = "unknown") -> str:
    """A number of an offer in the unit it is read in."""
    if math.isnan(value):
        return unknown
    if key == "lead time":
        return f"{figure(value / DAY, 3)} days"
    if key == "distance":
        return f"{figure(value / KM, 3)} km"
    if key == "price":
        return f"{value:.2f}"
    what = list_fields().get(key)
    dimension = what.dimension if what else {"mass": MASS}.get(key, LENGTH)
    return shown(value, dimension) if dimension is not None else figure(value)


def offer_dict(offer: Offer) -> dict[str, Any]:
    """Plain data, numbers in SI."""
    return {
        "kind": offer.kind, "name": offer.name, "supplier": offer.supplier, "standard": offer.standard,
        "values": {k: v if isinstance(v, str) else plain_number(v) for k, v in offer.values.items()},
        "mass": plain_number(offer.mass), "price": plain_number(offer.price), "currency": offer.currency,
        "lead_time": plain_number(offer.lead_time), "distance": plain_number(offer.distance),
        "pack": plain_number(offer.pack), "least_order": plain_number(offer.least_order), "country": offer.country,
        "cad": offer.cad, "source": str(offer.source), "where": offer.where,
    }


def _cut(text: str) -> str:
    text = "".join(ch if ch.isprintable() else " " for ch in text)
    return text if len(text) <= WIDEST else f"{text[: WIDEST - 3]}..."


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        yield "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
