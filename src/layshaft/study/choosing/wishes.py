"""Wishes: what is weighed between answers that all hold. Less is better; what is not known is never nothing."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.listings.tables import table as listed
from layshaft.machine.kinds import Flywheel, GearPair, RollerChain
from layshaft.study.choosing.joining import Table, Values, column
from layshaft.study.choosing.space import MOST_SOLVES, Space, Trait
from layshaft.study.choosing.wheels import by_train, in_a_row
from layshaft.trace.errors import BadInput
from layshaft.trace.units import COUNT, LENGTH, MASS, POWER, RATIO, TIME, Dimension
from layshaft.train.stages import turn_ratio
from layshaft.train.swing import within_a_turn

USUAL = ("mass", "price", "loss", "width")
TOO_MANY = "too many combinations to solve the train for each"


@dataclass(frozen=True, slots=True)
class Kind:
    """A wish by name: how parts add up, its dimension, what the best answer is called, and what it is in words."""

    name: str
    together: str
    dimension: Dimension
    best: str
    words: str


KINDS = {kind.name: kind for kind in (
    Kind("mass", "sum", MASS, "lightest", "mass of the parts chosen"),
    Kind("price", "sum", RATIO, "cheapest", "price of the parts chosen, one of each"),
    Kind("loss", "train", POWER, "least loss", "power lost in the whole machine while it runs"),
    Kind("swing", "swing", RATIO, "steadiest", "swing of speed within a turn of the flywheel's shaft"),
    Kind("width", "sum", LENGTH, "narrowest", "width along the shafts, of all parts chosen"),
    Kind("across", "most", LENGTH, "smallest across", "largest outside size across the shafts"),
    Kind("lead time", "most", TIME, "soonest", "longest lead time"),
    Kind("distance", "most", LENGTH, "nearest by", "greatest distance to a supplier"),
    Kind("ratio", "ratio", RATIO, "truest ratio", "how far the ratio is from the one asked for"),
    Kind("hunting", "wheels", COUNT, "wears most evenly", "largest common divisor of teeth that meet: 1 lets every "
         "tooth meet every other"),
    Kind("even links", "links", COUNT, "even links", "chains with an odd number of links"),
    Kind("preferred numbers", "preferred", COUNT, "usual teeth", "wheels whose teeth are not of the preferred "
         "series"),
    Kind("one part number", "alike", COUNT, "fewest part numbers", "part numbers the machine does not have yet"),
)}


@dataclass(slots=True)
class Weighed:
    """One wish over all rows, or why it cannot be weighed."""

    kind: Kind
    weight: float
    values: Values
    left_out: str = ""
    unknown_of: tuple[str, ...] = ()
    """Parts it is not known of, for any option: what is said is without them."""

    @property
    def counts(self) -> bool:
        """Whether it tells answers apart."""
        return not self.left_out


def weights_of(text: str) -> dict[str, float]:
    """`price=2,mass` as weights by wish. Raises `BadInput`."""
    found: dict[str, float] = {}
    for item in filter(None, (part.strip() for part in text.split(","))):
        name, equals, weight = (word.strip() for word in item.partition("="))
        if name not in KINDS:
            raise BadInput(f"'{name}' is no wish. There are: {', '.join(KINDS)}.")
        try:
            found[name] = float(weight) if equals else 1.0
        except ValueError:
            found[name] = math.nan
        if not 0 < found[name] < math.inf:
            raise BadInput(f"'{item}' has no weight above 0. Write for instance --prefer price=2,mass.")
    return found


def weighed(space: Space, table: Table) -> list[Weighed]:
    """Every wish asked for, over the rows of a table."""
    usual = (*USUAL, "swing") if _wheel_shafts(space) else USUAL
    prefer: Mapping[str, float] = space.wish.prefer or dict.fromkeys(usual, 1.0)
    return [_settled(_MAKE[KINDS[name].together](space, table, KINDS[name], weight))
            for name, weight in prefer.items()]


def _settled(found: Weighed) -> Weighed:
    """Left out where nothing is known, or where it is the same for all."""
    known = found.values[np.isfinite(found.values)]
    if not found.left_out and len(found.values) and not len(known):
        found.left_out = "not known of any of these"
    elif not found.left_out and len(known) == len(found.values) and len(known) > 1 and np.ptp(known) <= 1e-9 * abs(
            known).max():
        found.left_out = "the same for all of these"
    return found


def _of_parts(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    """Sum or maximum over the parts; a part it is known of for no option at all is named and left out."""
    if kind.name == "price" and len(space.currencies) > 1:
        return Weighed(kind, weight, np.full(len(table), np.nan),
                       f"prices are in {' and '.join(sorted(space.currencies))}, and nobody has said what one is worth "
                       "in the other")
    total: Any = np.zeros(len(table))
    unknown: list[str] = []
    traits = space.traits.get(kind.name, [])
    for trait in traits:
        values = column(space.grid, table, trait.column)
        if len(values) and np.isnan(values).all():
            unknown.append(_named(trait))
        else:
            total = total + values if kind.together == "sum" else np.maximum(total, values)
    told = {trait.part for trait in traits}
    unknown += [f"{c.what} {path}" for path, c in space.parts.items() if path not in told]
    if len(unknown) >= len(space.parts) or not np.any(total):
        return Weighed(kind, weight, np.full(len(table), np.nan),
                       f"no list tells the {kind.name} of any of these parts")
    return Weighed(kind, weight, np.asarray(total), "", tuple(unknown))


def _named(trait: Trait) -> str:
    return f"{trait.what} {trait.part}"


def _loss(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    if space.shifts:
        return Weighed(kind, weight, *_by_solving(space, table, _lost))
    if not space.teeth:
        return Weighed(kind, weight, np.full(len(table), np.nan), "the same for all of these: losses of bearings and "
                       "stages are given in the file, and no teeth change")
    teeth = [column(space.grid, table, f"{name}|z") for name in space.teeth]
    found = by_train(space, _lost)(*teeth)
    return Weighed(kind, weight, found, TOO_MANY if len(found) and np.isnan(found).all() else "")


def _lost(solved: Any) -> float:
    return float(np.mean(solved.budget.total("lost")))


def _wheel_shafts(space: Space) -> list[str]:
    """Shafts of the flywheels to be chosen."""
    return [load.shaft for load in space.machine.loads.values() if isinstance(load, Flywheel)
            and load.path in space.parts]


def _swing(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    """The largest swing among the shafts of the flywheels to be chosen."""
    shafts = _wheel_shafts(space)
    if not shafts:
        return Weighed(kind, weight, np.full(len(table), np.nan), "no flywheel is among these parts")

    def swing(solved: Any) -> float:
        return max(float(np.mean(within_a_turn(solved, shaft))) for shaft in shafts)

    return Weighed(kind, weight, *_by_solving(space, table, swing))


def _by_solving(space: Space, table: Table, value: Callable[[Any], float]) -> tuple[Values, str]:
    """Where sizes change the train by more than ratios: each combination of them solved, if they are few."""
    names = [*space.teeth, *(name for part in space.parts.values() if part.felt for name in part.axes)]
    rows = np.stack([table.rows[name] for name in names], axis=1)
    each, where = np.unique(rows, axis=0, return_inverse=True)
    if len(each) > MOST_SOLVES:
        return np.full(len(table), np.nan), TOO_MANY
    found = np.array([value(space.solved(space.sets_of(dict(zip(names, map(int, row), strict=True)))))
                      for row in each])
    return found[where.ravel()] if len(each) else np.zeros(0), ""


def _ratio(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    """Off the ratio asked for, or off that of the file where its teeth alone are open."""
    if not space.teeth:
        return Weighed(kind, weight, np.full(len(table), np.nan), "no teeth are to be chosen")
    row = in_a_row(space)
    wanted = space.wish.ratio
    if np.isnan(wanted):
        machine = space.verdict.solved.machine
        wanted = math.prod(abs(turn_ratio(machine, stage)) ** -exponent for stage, exponent in row)
    turns: Any = np.ones(len(table))
    for stage, exponent in row:
        z_1, z_2 = (column(space.grid, table, f"{t.path}|z") for t in stage.teeth)
        turns = turns * (z_2 / z_1) ** exponent
    return Weighed(kind, weight, np.abs(turns / wanted - 1))


def _wheels(space: Space) -> list[Any]:
    return [s for s in space.machine.stages.values() if s.path in space.parts and isinstance(s, RollerChain | GearPair)]


def _hunting(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    """Gears: teeth of both wheels; chains: teeth of each wheel and links."""
    worst: Any = np.ones(len(table), int)
    for stage in _wheels(space):
        z = [column(space.grid, table, f"{t.path}|z").astype(int) for t in stage.teeth]
        if isinstance(stage, RollerChain):
            X = column(space.grid, table, f"{stage.path}|X").astype(int)
            worst = np.maximum(worst, np.maximum(np.gcd(z[0], X), np.gcd(z[1], X)))
        else:
            worst = np.maximum(worst, np.gcd(*z))
    none = "" if _wheels(space) else "no teeth are among these parts"
    return Weighed(kind, weight, np.asarray(worst, float), none)


def _links(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    chains = [s for s in _wheels(space) if isinstance(s, RollerChain)]
    odd: Any = np.zeros(len(table))
    for stage in chains:
        odd = odd + column(space.grid, table, f"{stage.path}|X") % 2
    return Weighed(kind, weight, np.asarray(odd), "" if chains else "no chain is among these parts")


def _preferred(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    chains = [s for s in _wheels(space) if isinstance(s, RollerChain)]
    preferred = [row.number("teeth") for row in listed("sprocket_teeth").rows if row.source.obtained != "typical"]
    found: Any = np.zeros(len(table))
    for stage in chains:
        for t in stage.teeth:
            found = found + ~np.isin(column(space.grid, table, f"{t.path}|z"), preferred)
    return Weighed(kind, weight, np.asarray(found, float), "" if chains else "no sprocket is among these parts")


def _alike(space: Space, table: Table, kind: Kind, weight: float) -> Weighed:
    """Part numbers among the choices that no other part of the machine has: equal ones count once."""
    there = {str(getattr(leaf, "name", "")) for leaf in space.machine.leaves if not hasattr(leaf, "dimension")
             and not any(leaf.path == path for axis in space.grid.axes for s in axis.sets for path in s)}
    codes: dict[str, int] = {}
    columns = []
    for axis in space.grid.axes:
        if axis.name in space.teeth:
            continue
        names = [next((str(v) for v in s.values() if isinstance(v, str) and v not in ("S235JR",)), option)
                 for s, option in zip(axis.sets, axis.options, strict=True)]
        code = np.array([-1 if name in there else codes.setdefault(name, len(codes)) for name in names])
        columns.append(code[table.rows[axis.name]])
    if not columns:
        return Weighed(kind, weight, np.full(len(table), np.nan), "no part numbers are among these sizes")
    return Weighed(kind, weight, _different(columns))


def _different(columns: Sequence[Values]) -> Values:
    """How many different codes of 0 and above stand in each row."""
    ordered = np.sort(np.stack(columns, axis=1), axis=1)
    new = np.ones(ordered.shape, bool)
    new[:, 1:] = ordered[:, 1:] != ordered[:, :-1]
    return np.asarray((new & (ordered >= 0)).sum(axis=1), float)


_MAKE: dict[str, Callable[[Space, Table, Kind, float], Weighed]] = {
    "sum": _of_parts, "most": _of_parts, "train": _loss, "swing": _swing, "ratio": _ratio, "wheels": _hunting,
    "links": _links, "preferred": _preferred, "alike": _alike}
