"""Named sizes in the file: own parts first, then the tables that ship with the house."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from layshaft.listings.tables import Row, Table, table
from layshaft.machine.kinds import PARTS
from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.trace.source import Source

AMERICAN = "chain_series_asme"
TABLES = {"chain": "chain_series", "bearing": "bearings_deep_groove", "steel": "shaft_steels",
          "key": "keys_metric", "suspension": "rope_constructions", "V belt": "v_belts",
          "synchronous belt": "synchronous_belts", "spring wire": "spring_wires", "bush": "bush_materials",
          "thread": "threads_metric", "pin": "dowel_pins", "set screw": "set_screws", "section": "sections"}
MOST_STRANDS = 3
_KEY = re.compile(r"(\d+(?:\.\d+)?)\s*[x×X]\s*(\d+(?:\.\d+)?)(?:\s*[x×X]\s*(\d+(?:\.\d+)?))?")
_CHAIN = re.compile(r"(.+?)-(\d)")
_ROPE = re.compile(r"wire rope (\d+(?:\.\d+)?) mm (\S+(?: \S+)?) (\d{4})", re.IGNORECASE)
MILLI = 1e-3
MEGAPASCAL = 1e6


@dataclass(frozen=True, slots=True)
class Size:
    """What a named size stands for: a row of a shipped table, or a part of the file.

    `strands` of a chain; `length` of a key in metres, NaN where the file names the section only;
    `diameter` and `grade` of a rope in SI.
    """

    what: str
    name: str
    row: Row | None = None
    part: Any = None
    strands: int = 1
    length: float = float("nan")
    diameter: float = float("nan")
    grade: float = float("nan")

    @property
    def source(self) -> Source:
        """Where its numbers come from."""
        if self.row is not None:
            return self.row.source
        how = f"{self.part.source}, {self.part.read_in}" if self.part is not None else "no table"
        return Source(f"parts.{self.name}", how, "given")


def resolve(machine: Machine, what: str, name: str) -> Size | None:
    """The size of that name, or None: own parts first, whatever the case of letters."""
    part = _own(machine, what, name)
    if part is not None:
        return Size(what, name, None, part, _strands_of(part))
    shipped = _table(what)
    if shipped is None:
        return None
    if what == "chain":
        return _chain(shipped, name)
    if what == "key":
        return _key(shipped, name)
    if what == "suspension":
        return _rope(shipped, name)
    row = shipped.get(name)
    return None if row is None else Size(what, name, row)


def names(machine: Machine, what: str) -> list[str]:
    """Names that `resolve` knows, own ones first; a chain is listed with one strand."""
    kind = PARTS.get(what)
    own = [n for n, part in machine.parts.items() if kind is not None and isinstance(part, kind)]
    shipped = _table(what)
    if what == "suspension":
        return own + _rope_names()
    suffix = "-1" if what == "chain" else ""
    more = table(AMERICAN).names if what == "chain" else []
    return own + [f"{n}{suffix}" for n in [*(shipped.names if shipped else []), *more]]


def _own(machine: Machine, what: str, name: str) -> Any:
    kind, part = PARTS.get(what), own_part(machine, name)
    return part if kind is not None and isinstance(part, kind) else None


def own_part(machine: Machine, name: str) -> Any:
    """The file's own part of that name, whatever the case of letters; None where it has none."""
    return _by_name(machine).get(name.casefold()) if machine.parts else None


@once
def _by_name(machine: Machine) -> dict[str, Any]:
    return {name.casefold(): part for name, part in machine.parts.items()}


def _strands_of(part: Any) -> int:
    strands = getattr(part, "strands", None)
    return int(strands.nominal) if strands is not None and strands.known else 1


def _table(what: str) -> Table | None:
    try:
        return table(TABLES[what]) if what in TABLES else None
    except KeyError:
        return None


def _chain(shipped: Table, name: str) -> Size | None:
    match = _CHAIN.fullmatch(name)
    if not match:
        return None
    size, strands = " ".join(match.group(1).split()), int(match.group(2))
    row = shipped.get(size) or table(AMERICAN).get(size)
    if row is None or not 1 <= strands <= MOST_STRANDS:
        return None
    there = row if row.table == TABLES["chain"] else shipped[row.text("twin")]
    return Size("chain", name, row, None, strands) if there.text(f"Fu{strands}_kN") else None


def _key(shipped: Table, name: str) -> Size | None:
    match = _KEY.fullmatch(name.strip())
    if not match:
        return None
    row = shipped.get(f"{match.group(1)}x{match.group(2)}")
    if row is None:
        return None
    length = float(match.group(3)) * MILLI if match.group(3) else float("nan")
    return Size("key", name, row, None, 1, length)


def _rope(shipped: Table, name: str) -> Size | None:
    """A wire rope by diameter, construction and grade as the table has them; else a textile rope by name."""
    match = _ROPE.fullmatch(name.strip())
    if not match:
        row = table("ropes_fibre").get(name.strip())
        return None if row is None else Size("suspension", name, row, diameter=row.number("d_mm", MILLI))
    row, d, grade = shipped.get(match.group(2)), float(match.group(1)), float(match.group(3))
    if row is None or grade not in _rope_values("grade_MPa") or d not in _diameters(row):
        return None
    return Size("suspension", name, row, diameter=d * MILLI, grade=grade * MEGAPASCAL)


def _rope_values(kind: str) -> list[float]:
    return [row.number("value") for row in table("rope_sizes").rows if row.text("kind") == kind]


def _diameters(row: Row) -> list[float]:
    least, most = row.number("least_mm"), row.number("most_mm")
    return [d for d in _rope_values("diameter_mm") if least <= d <= most]


def _rope_names() -> list[str]:
    ropes = [f"wire rope {d:g} mm {row.name} {grade:g}" for row in table("rope_constructions").rows
             for d in _diameters(row) for grade in _rope_values("grade_MPa")]
    return ropes + table("ropes_fibre").names


def bore(size: Size) -> float:
    """Bore of a bearing in metres; NaN where it is not known."""
    if size.row is not None:
        return size.row.number("bore_mm", MILLI)
    return size.part.bore.nominal if size.part is not None else float("nan")


def outside(size: Size) -> float:
    """Outside diameter of a bearing in metres; NaN where it is not known."""
    if size.row is not None:
        return size.row.number("outside_mm", MILLI)
    return size.part.outside.nominal if size.part is not None else float("nan")
