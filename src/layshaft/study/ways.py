"""Ways a builder can change the file about one part: next sizes of a series, and sizes and places written anew.

Only what is made, bought, hung up or set counts: what is guessed or measured of the world, what is asked of a part
(reliability, wind up, drop, dead wraps, the arm of a force) and how well it is made (runout, clearance) stay as they
are.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from layshaft.listings.tables import table
from layshaft.machine.kinds import Suspended
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.trace.findings import Finding
from layshaft.trace.units import ANGLE, COUNT, FORCE, INCH, LENGTH, MASS, TORQUE, Dimension
from layshaft.verdict.ladder import ladder
from layshaft.verdict.preferred import R20
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import as_option

MM = 1e-3
DEGREE = math.pi / 180
REACH = 0.5
"""How far a shaft is moved in space at most, m."""

TURNED = 90
"""How far the line of centres of a stage is turned at most, degrees."""

SIXTEENTH = INCH / 16
FURTHEST = 3.0
"""A size is moved to so many times its value, or the inverse, at most: beyond it is another machine."""

A_SIZE = 0.122
"""Step between neighbours of a series, for ordering: that of the preferred numbers R20 (ISO 3, value from memory)."""

NOT_SIZES = frozenset({"allowed sag", "runout", "clearance", "wear", "roughness", "play", "slack", "off",
                       "track radius", "drop", "arm"})
COUNTED = frozenset({"teeth", "wheel teeth", "pulley teeth", "keys", "pawls", "belts", "pins", "count", "vanes",
                     "falls", "people", "pads", "screws", "shear planes"})
SET = frozenset({"pretension", "slack force", "tightening torque", "seating torque"})
HUNG = frozenset({"mass", "counterweight"})
"""What hangs on a drive: put on the scale as it is now, and yet what a builder can make heavier or lighter."""

ON_A_SEAT = ("bearing", "key", "hub")


@dataclass(frozen=True, slots=True)
class Rung:
    """One value: how it reads, the change of the file, and how far it is from the one there is."""

    text: str
    option: dict[str, dict[str, str]]
    far: float


@dataclass(frozen=True, slots=True)
class Way:
    """One given moved one way: its values, nearest first."""

    path: str
    was: str
    rungs: tuple[Rung, ...]
    numeric: bool = True


def ways(verdict: Verdict, finding: Finding) -> list[Way]:
    """Every way of a finding, that of the part itself first."""
    machine = verdict.solved.machine
    thing = ".".join(finding.part.split(".")[:2])
    shafts = shafts_of(machine, finding)
    near = [path for path in _near(machine, finding, shafts) if path != thing]
    seats = [seat.path for name in shafts for seat in machine.shafts[name].seats.values()]
    own = finding.part if thing.startswith("shafts.") else thing
    sized = [own, *seats, *(machine.shafts[name].path for name in shafts), *near]
    found = [way for path in dict.fromkeys(sized) for way in _series(verdict, path)]
    for given in machine.givens.values():
        if _moves(machine, given, own, shafts, near):
            found += _values(machine, given)
    return sorted(found, key=lambda way: _order(way.path, own, near))


def _near(machine: Machine, finding: Finding, shafts: list[str]) -> list[str]:
    """Stages on its shafts; of a collision what meets there, of what is wanted of all of it every drive and load."""
    found = [stage.path for stage in machine.stages.values() if {stage.from_, stage.to} & set(shafts)]
    others = [*machine.loads.values(), *machine.drives.values()]
    if finding.part.startswith("wants."):
        found += [thing.path for thing in others]
    return found + [thing.path for thing in others if _named(thing.name, finding.place)]


def _named(name: str, text: str) -> bool:
    return re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", text) is not None


def shafts_of(machine: Machine, finding: Finding) -> list[str]:
    """Shafts of the part, and those that its finding speaks of."""
    words = finding.part.split(".")
    stage = machine.stages.get(words[1]) if words[0] == "stages" and len(words) > 1 else None
    names = [stage.from_, stage.to] if stage is not None else [machine.shaft_of(finding.part)]
    told = f"{finding.note}; {finding.place}"
    names += [thing.shaft for thing in machine.loads.values() if _named(thing.name, finding.place)]
    names += [name for name in machine.shafts
              if re.search(rf"\b(of|shaft) {re.escape(name)}(?=$|[;,.]| by | in )", told)]
    return [name for name in dict.fromkeys(names) if name in machine.shafts]


def _order(path: str, own: str, near: list[str]) -> int:
    if path == own or path.startswith(f"{own}."):
        return 0
    return 2 if any(path == stage or path.startswith(f"{stage}.") for stage in near) else 1


def _moves(machine: Machine, given: Given, own: str, shafts: list[str], near: list[str]) -> bool:
    """Whether it is a size, place or setting of the part, of its shafts or of a stage beside it."""
    if _hangs(machine, given, own):
        return True
    settled = given.known and given.source == "decided" and given.cause in ("", given.path) and given.trim is None
    if not settled or not math.isfinite(given.nominal):
        return False
    if not _made(given):
        return False
    if any(given.path.startswith(f"{path}.") for path in (own, *near)):
        return True
    return any(re.fullmatch(rf"shafts\.{re.escape(name)}\.(sections\[\d+\]\[0\]|seats\.[^.]+\.at|at\[\d\])", given.path)
               for name in shafts)


def _hangs(machine: Machine, given: Given, own: str) -> bool:
    """Whether it is a mass that hangs on the drive itself, decided or weighed; a guessed one is not ours to set."""
    suspended = own.startswith("drives.") and isinstance(machine.drives.get(own.split(".")[1]), Suspended)
    ours = suspended and given.path.rpartition(".")[0] == own and _key(given) in HUNG
    return (ours and given.dimension is MASS and given.known and given.source in ("decided", "measured")
            and given.cause in ("", given.path) and given.nominal > 0 and math.isfinite(given.nominal))


def _made(given: Given) -> bool:
    """Whether it is a size, a count, a setting or a place."""
    key = _key(given)
    if key == "line":
        return given.dimension is ANGLE
    if given.dimension is LENGTH:
        return key == "at" or (given.nominal > 0 and key not in NOT_SIZES)
    if _counts(given):
        return given.nominal > 0 and key in COUNTED
    return given.nominal > 0 and given.dimension in (FORCE, TORQUE) and key in SET


def _key(given: Given) -> str:
    """The last word of its path."""
    return re.sub(r"(\[\d+\])+$", "", given.path.rpartition(".")[2])


def _counts(given: Given) -> bool:
    return given.dimension is COUNT and float(given.nominal).is_integer()


# Values ----------------------------------------------------------------------------------------


def _series(verdict: Verdict, path: str) -> Iterator[Way]:
    """The next sizes up and down of what has a series."""
    words = path.split(".")
    seat = words[0] == "shafts" and len(words) == 4
    for name in [f"{path}.{what}" for what in ON_A_SEAT] if seat else [path]:
        found = ladder(verdict, name)
        if found.now < 0:
            continue
        was = found.tried[found.now].candidate.name
        if all(len(t.option["set"]) == 1 and set(t.option["set"]) <= set(verdict.solved.machine.givens)
               for t in found.tried):
            continue  # one size alone: its values go further than the series
        rungs = [Rung(t.candidate.name, t.option, A_SIZE * abs(i - found.now)) for i, t in enumerate(found.tried)]
        for side in (rungs[found.now + 1:], rungs[:found.now][::-1]):
            if side:
                yield Way(name, was, tuple(side), numeric=False)


def _values(machine: Machine, given: Given) -> Iterator[Way]:
    """The values a builder would write, up and down from the one there is."""
    was, inch = given.nominal, machine.units == "inch"
    values = sorted(_written_values(machine, given, inch=inch))
    close = 1e-9 * max(abs(was), MM)
    up = [v for v in values if v > was + close]
    down = [v for v in values if v < was - close][::-1]
    for side in (up, down):
        if side:
            yield Way(given.path, _text(was, given.dimension, inch=inch),
                      tuple(_rung(machine, given, v, inch=inch) for v in side))


def _rung(machine: Machine, given: Given, value: float, *, inch: bool) -> Rung:
    text = _text(value, given.dimension, inch=inch)
    option = as_option(machine, {given.path: value})
    if given.dimension in (LENGTH, ANGLE):
        option = {"set": {given.path: text}}
    return Rung(text, option, abs(value - given.nominal) / _whole(machine, given))


def _whole(machine: Machine, given: Given) -> float:
    """What a change is a share of: the size itself; of a place its shaft, or the reach of a move; of a line a turn."""
    if _key(given) == "line":
        return 2 * math.pi
    if _key(given) == "at":
        return _length(machine, given) if _on_shaft(given) else REACH
    return abs(given.nominal)


def _on_shaft(given: Given) -> bool:
    return ".seats." in given.path


def _length(machine: Machine, given: Given) -> float:
    """Length of the shaft a seat is on."""
    lengths = [length.nominal for _, length in machine.shafts[given.path.split(".")[1]].sections]
    whole = sum(lengths)
    return whole if math.isfinite(whole) and whole > 0 else 2 * max(given.nominal, REACH)


def _text(value: float, dimension: Dimension, *, inch: bool) -> str:
    unit = dimension.best_unit(value)
    if dimension is LENGTH:
        unit = "in" if inch else "mm"
    return f"{value / dimension.units[unit]:.8g} {unit}".strip()


def _written_values(machine: Machine, given: Given, *, inch: bool) -> list[float]:
    """Bars in stock for a diameter of a shaft, preferred modules, whole numbers, whole mm or sixteenths, else R20."""
    was, key = given.nominal, _key(given)
    if _counts(given):
        return [float(n) for n in range(max(1, math.floor(was / FURTHEST)), math.ceil(was * FURTHEST) + 1)]
    if key == "sections" and not inch:
        return [row.number("d_mm", MM) for row in table("bar_diameters").rows]
    if "module" in key:
        return _between([row.number("m_mm", MM) for row in table("modules_preferred").rows], was)
    if key == "line":
        return [was + n * 5 * DEGREE for n in range(-TURNED // 5, TURNED // 5 + 1)]
    if key == "at":
        return _places(machine, given, SIXTEENTH if inch else MM)
    if given.dimension is LENGTH and was >= 8 * MM:
        step = SIXTEENTH if inch else MM * (1 if was < 0.1 else 5 if was < 0.5 else 10)
        return _between([n * step for n in range(1, math.ceil(was * FURTHEST / step) + 1)], was)
    whole = math.floor(math.log10(was))
    return _between([n * 10.0**power for power in range(whole - 1, whole + 2) for n in R20], was)


def _between(values: list[float], was: float) -> list[float]:
    return [v for v in values if was / FURTHEST <= v <= was * FURTHEST]


def _places(machine: Machine, given: Given, step: float) -> list[float]:
    """Whole steps along the shaft between the seats beside it; of a place in space, as far as it is moved."""
    was = given.nominal
    if not _on_shaft(given):
        return [n * step for n in range(math.ceil((was - REACH) / step), int((was + REACH) / step) + 1)]
    seats = machine.shafts[given.path.split(".")[1]].seats.values()
    others = [seat.at.nominal for seat in seats if seat.at.path != given.path and seat.at.known]
    low = max([p for p in others if p < was], default=0.0)
    high = min([p for p in others if p > was], default=_length(machine, given))
    return [n * step for n in range(math.ceil(low / step), int(high / step) + 1)]
