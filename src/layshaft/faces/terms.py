"""Words of the trade in three languages, for letters to people who make and sell parts."""

from __future__ import annotations

from layshaft.listings.tables import Row, table
from layshaft.trace.errors import BadInput

LANGUAGES = ("english", "german", "french")


def terms(word: str = "") -> list[Row]:
    """Rows that hold the word in any language, all of them without one. Raises `BadInput` where none does."""
    wanted = word.strip().casefold()
    rows = [r for r in table("trade_terms").rows if any(wanted in r.text(c).casefold() for c in LANGUAGES)]
    if not rows:
        raise BadInput(f"'{word}' is not among the trade terms. `layshaft terms` lists all of them.")
    return rows


def terms_text(rows: list[Row]) -> str:
    """Three columns, and how far the words can be trusted."""
    wide = [max(len(c), *(len(r.text(c)) for r in rows)) for c in LANGUAGES]
    lines = ["  ".join(c.capitalize().ljust(w) for c, w in zip(LANGUAGES, wide, strict=True)) + "  Obtained"]
    lines += ["  ".join(r.text(c).ljust(w) for c, w in zip(LANGUAGES, wide, strict=True)) + f"  {r.source.obtained}"
              for r in rows]
    return "\n".join([*lines, "", "Regions and shops differ: ask what the other side understands by a word."])
