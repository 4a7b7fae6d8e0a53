"""docs/reference-rows.md: what is held against published rows, and what is left out and why."""

import sys
from collections import Counter
from pathlib import Path

import docs_text
from docs_text import table

TESTS = str(Path(__file__).parents[1] / "tests")
WAYS = {"formula": "by a formula", "table": "in a table", "left out": "left out"}


def page():
    if TESTS not in sys.path:
        sys.path.append(TESTS)
    from published.reference.rows import ALL

    counted = Counter((r.topic, r.way) for r in ALL)
    topics = sorted({r.topic for r in ALL})
    totals = Counter(r.way for r in ALL)
    counts = [[t, *(counted[t, w] or "" for w in WAYS)] for t in topics]
    run = [r for r in ALL if r.way != "left out"]
    return docs_text.page(
        "Reference rows",
        f"{len(ALL)} rows from standards, textbooks and makers' tables: {totals['formula']} run through a formula, "
        f"{totals['table']} compared with a table of the house, {totals['left out']} left out with a reason. "
        "A row that repeats a table catches a slip of the pen; it proves no method.",
        table(["Topic", *(w.capitalize() for w in WAYS.values())], [*counts, ["all", *(totals[w] for w in WAYS)]]),
        "## Left out",
        table(["Row", "Topic", "Quantity", "Why"],
              [[r.id, r.topic, r.quantity, r.reason] for r in ALL if r.way == "left out"]),
        "## Run",
        table(["Row", "Quantity", "Printed", "Tolerance", "Source", "How obtained", "Run"],
              [[r.id, r.quantity, f"{r.printed:g} {r.unit}".removesuffix(" -"), f"{100 * r.tolerance:g} %", r.source,
                r.obtained, WAYS[r.way]] for r in run]))
