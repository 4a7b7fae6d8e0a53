"""docs/tables.md: every table that ships, its source and trust, and the names a machine file may use."""

from layshaft.listings.tables import table, table_names

NAMED_IN_FILES = {
    "chain_series": "chains; write a size, a dash and the strands: `08B-1`, `12A-2`",
    "bearings_deep_groove": "bearings; write the designation in quotes: `\"6205\"`",
    "shaft_steels": "steels",
    "keys_metric": "keys; write section and length: `8x7x25`",
    "trade_terms": "letters to suppliers; `layshaft terms` prints them in English, German and French",
    "required_margins": "failure modes; a machine file may set its own under `margins`",
}


def page():
    """The page as text."""
    lines = ["<!-- Made by tools/docs.py from the code: change the code, then run make docs. -->", "",
             "# Tables", "",
             "Every table that ships with the house. Trust is that of the table; a row may say otherwise in its own "
             "column `obtained`.", "", "| Table | Title | Source | Obtained | Rows |",
             "| --- | --- | --- | --- | --- |"]
    for name in table_names():
        t = table(name)
        lines.append(f"| `{name}` | {t.title} | {t.source.work} | {t.source.obtained} | {len(t.rows)} |")
    for name, words in NAMED_IN_FILES.items():
        lines += ["", f"## Names in `{name}`", "", f"For {words}.", "",
                  ", ".join(f"`{row}`" for row in table(name).names)]
    return "\n".join(lines) + "\n"
