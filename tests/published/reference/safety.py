"""Reference rows on gaps, preferred numbers and modules that stand in tables of the house."""

from layshaft.listings.tables import table
from layshaft.study.ways import R20

MM = 1e-3


def gap(i):
    return table("safety_gaps")[i["part"]].number("gap_mm", MM)


def next_module(i):
    return min(m for row in table("modules_preferred").rows if (m := row.number("m_mm", MM)) > i["minimum_mm"] * MM)


TABLES = {
    **{f"gap-{part}": gap for part in ("body", "finger", "foot", "head", "leg", "toes")},
    "PN03": lambda i: R20[i["index"]], "PN04": next_module,
}
