"""What is asked of a choice, and the grid of sizes it opens in a machine."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np

from layshaft.listings.offers import Offer, standard_offers
from layshaft.machine.fitting import SAME_SIZE
from layshaft.machine.listings import resolve
from layshaft.machine.model import Machine, Shaft
from layshaft.study.choosing.joining import Axis, Column, Condition, Grid, Values
from layshaft.study.choosing.owned import part_of
from layshaft.train.solve import Solved, solve
from layshaft.verdict.context import Context
from layshaft.verdict.rate import Verdict
from layshaft.verdict.rows import Block
from layshaft.verdict.search import put

NAN = float("nan")
MOST_SOLVES = 300
"""Combinations of teeth up to which each is solved before chains are tried on it; beyond, the rating alone judges."""

WHOLE = 1e-9
"""Pieces by which a run may be longer than what it is cut from: sums round."""

OFFERED = {"mass": "mass", "price": "price", "lead time": "lead_time", "distance": "distance"}
"""Wishes an offer says itself, and the field that says it."""

Sets = Mapping[str, float | str]
Range = tuple[float, float]


class Offers(Protocol):
    """What can be bought of a kind: all of the standard series, and of imported lists what lies within ranges."""

    def __call__(self, kind: str, where: Mapping[str, Range] | None = None) -> Sequence[Offer]:
        """Offers of that kind."""
        ...


def series_only(kind: str, where: Mapping[str, Range] | None = None) -> Sequence[Offer]:  # noqa: ARG001
    """The standard series that ship, and no lists."""
    return standard_offers(kind)


@dataclass(frozen=True, slots=True)
class Wish:
    """How a choice is to be made. `ratio` is turns of the first shaft for one of the last; NaN leaves it as it is."""

    ratio: float = NAN
    within: float = 0.005
    require_cad: bool = False
    small: tuple[int, int] | None = None
    """Least and most teeth of small wheels; else the usual ones, fewer of them where several stages are chosen."""

    prefer: Mapping[str, float] = field(default_factory=dict)
    """Wishes by name with their weights; empty takes the usual ones alike."""


@dataclass(frozen=True, slots=True)
class Trait:
    """What one part adds to a wish: the column that says it, and the part and what it is in words."""

    part: str
    what: str
    column: str


@dataclass(slots=True)
class Chosen:
    """One part to be chosen: its axes, the axes its rating rests on, and the rows of the house that judge it."""

    path: str
    what: str
    axes: list[str]
    gather: Callable[[Context], Sequence[Block]]
    inside: Callable[[Machine], Machine]
    judges: Callable[[str], bool]
    """Whether a rated path is of this part."""

    shafts: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    feels: bool = False
    """Whether the rating may rest on whatever else is chosen, and not only on teeth, stages and bars."""

    alone: bool = False
    """Whether nothing but its own size matters to it."""

    felt: bool = False
    """Whether whatever else is chosen may be rated otherwise with another size of it."""


@dataclass(slots=True)
class Space:
    """The grid of a choice in a machine as it stands, and what is known of each of its parts."""

    machine: Machine
    verdict: Verdict
    wish: Wish
    offers: Offers
    asked: tuple[str, ...] = ()
    """Paths of the parts to be chosen."""

    grid: Grid = field(default_factory=Grid)
    parts: dict[str, Chosen] = field(default_factory=dict)
    traits: dict[str, list[Trait]] = field(default_factory=dict)
    teeth: list[str] = field(default_factory=list)
    """Axes of tooth counts: what they change the whole train feels."""

    trains: set[str] = field(default_factory=set)
    """Axes that need a new solve of the train: all but what sits on a shaft."""

    shifts: bool = False
    """Whether a part to be chosen changes torques by more than its teeth: nothing is then ruled out by the torque."""

    bars: dict[str, tuple[str, frozenset[int]]] = field(default_factory=dict)
    """By shaft: column of the diameter to be chosen, and the steps that get it."""

    additions: dict[str, Mapping[str, Any]] = field(default_factory=dict)
    """Own parts of the file that a supplier's offer becomes, by name."""

    notes: list[str] = field(default_factory=list)
    currencies: set[str] = field(default_factory=set)
    """Of all prices there are: where lists differ in it, prices are not weighed."""

    _solved: dict[tuple[tuple[str, float | str], ...], Solved] = field(default_factory=dict)

    def named(self, offer: Offer, what: str) -> str:
        """The name an offer is taken by: a standard size by its designation, a supplier's as an own part."""
        for name in (offer.standard, "" if offer.supplier else offer.name):
            if name and resolve(self.machine, what, name) is not None:
                return name
        clean, said = part_of(offer, what)
        name, n = clean, 1
        while name in self.machine.parts or self.additions.get(name, said) != said:
            n += 1
            name = f"{clean} {n}"
        self.additions[name] = said
        return name

    @property
    def currency(self) -> str:
        """The one currency of all prices; blank where there is none, or more than one."""
        return next(iter(self.currencies)) if len(self.currencies) == 1 else ""

    def axis(self, name: str) -> Axis:
        """One axis by its name."""
        return next(axis for axis in self.grid.axes if axis.name == name)

    def add(self, axis: Axis) -> None:
        """One more size to be chosen."""
        self.grid.axes.append(axis)

    def ask(self, words: str, needs: Sequence[str], share: Callable[..., Any], *, dear: bool = False) -> None:
        """One more condition."""
        self.grid.conditions.append(Condition(words, tuple(needs), share, dear))

    def reckon(self, name: str, needs: Sequence[str], value: Callable[..., Any]) -> str:
        """One more column."""
        self.grid.columns.append(Column(name, tuple(needs), value))
        return name

    def adds(self, wish: str, part: str, what: str, column: str) -> None:
        """What a part adds to a wish."""
        self.traits.setdefault(wish, []).append(Trait(part, what, column))

    def solved(self, sets: Sets) -> Solved:
        """The train solved with some sizes in place, once for each."""
        key = tuple(sorted(sets.items()))
        if not key:
            return self.verdict.solved
        if key not in self._solved:
            self._solved[key] = solve(put(self.machine, sets))
        return self._solved[key]

    def sets_of(self, row: Mapping[str, int], names: Sequence[str] | None = None) -> dict[str, float | str]:
        """What a row of options, or some of its axes, puts into the machine file."""
        return {path: value for axis in self.grid.axes if axis.name in row and (names is None or axis.name in names)
                for path, value in axis.sets[row[axis.name]].items()}


# Offers -----------------------------------------------------------------------------------------


def offer_axis(space: Space, name: str, part: str, what: str, offers: Sequence[Offer], sets: Sequence[Sets],
               columns: Mapping[str, str]) -> Axis:
    """An axis of offers; `columns` says which of their values conditions look at, as name of the column -> key."""
    found: dict[str, Values] = {f"{part}|{short}": np.array([_number(o.values.get(key)) for o in offers])
                                for short, key in columns.items()}
    for wish, field_ in OFFERED.items():
        column = f"{part}|offered {wish}"
        found[column] = np.array([float(getattr(o, field_)) for o in offers])
    space.currencies |= {o.currency for o in offers if np.isfinite(o.price)}
    found[f"{part}|cad"] = np.array([1.0 if o.cad else 0.0 for o in offers])
    axis = Axis(name, part, [titled(o) for o in offers], sets, found)
    space.add(axis)
    if space.wish.require_cad:
        space.ask(f"{what}: a CAD file is listed", [f"{part}|cad"], lambda cad: cad)
    return axis


def priced(space: Space, part: str, what: str, run: Sequence[str], length: Callable[..., Any]) -> None:
    """What the pieces cost that a run is cut from; not known of an offer that does not say how long a piece is."""
    def cost(price: Values, piece: Values, *sizes: Values) -> Values:
        return np.asarray(price * np.ceil(length(*sizes) / piece - WHOLE))

    space.adds("price", part, what, space.reckon(f"{part}|price", [f"{part}|offered price", f"{part}|piece", *run],
                                                 cost))


def titled(offer: Offer) -> str:
    """An offer by name, with its supplier where it has one."""
    return f"{offer.name} ({offer.supplier})" if offer.supplier else offer.name


def _number(value: float | str | None) -> float:
    return float(value) if isinstance(value, float | int) else NAN


# What fits what ---------------------------------------------------------------------------------


def bores_of(space: Space, shaft: Shaft, at: float) -> tuple[list[float], list[str]]:
    """Diameters a shaft has at a place: known ones, and columns of those to be chosen. Two at a shoulder."""
    column, steps = space.bars.get(shaft.name, ("", frozenset()))
    here: list[float] = []
    start = 0.0
    columns: set[str] = set()
    for i, (diameter, length) in enumerate(shaft.sections):
        end = start + (length.nominal if length.known else np.inf)
        if start - SAME_SIZE <= at <= end + SAME_SIZE:
            if i in steps:
                columns.add(column)
            elif diameter.known:
                here.append(diameter.nominal)
        start = end
    return here, sorted(columns)


def same_size(known: Sequence[float]) -> Callable[..., Values]:
    """Whether a bore is the diameter of one of the steps it sits on; short of it, how near it comes."""
    def share(bore: Values, *chosen: Values) -> Values:
        best: Any = 0.0
        for d in (*known, *chosen):
            near = np.minimum(bore / d, d / bore)
            best = np.maximum(best, np.where(np.abs(bore - d) <= SAME_SIZE, 1.0, np.minimum(near, 0.999)))
        return np.asarray(best)

    return share


def larger_than(known: Sequence[float], factor: float = 1.0) -> Callable[..., Values]:
    """A wheel's root over the thickest of the steps it sits on."""
    def share(root: Values, *chosen: Values) -> Values:
        thick: Any = max(known, default=0.0)
        for d in chosen:
            thick = np.maximum(thick, d)
        return np.asarray(root / np.where(thick > 0, thick * factor, NAN))

    return share


def room_across(machine: Machine, shaft: Shaft) -> float:
    """The smaller outside size of the module across a shaft that lies along one of its axes; NaN where not told."""
    size = machine.modules[shaft.module].size
    along = [i for i, part in enumerate(shaft.axis) if abs(part) > SAME_SIZE]
    if len(size) != len(shaft.axis) or len(along) != 1:
        return NAN
    return min(s.nominal for i, s in enumerate(size) if i != along[0])
