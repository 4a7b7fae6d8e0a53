"""A part to be found as a sentence of words that can be edited, and what the lists offer for these words."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from layshaft.faces.pages.here_by import HereBy, arrival, day_words, here_by, span_words
from layshaft.faces.pages.holding import JUDGED, holds, name_there, tally, tried_sizes
from layshaft.faces.pages.words import short
from layshaft.listings.imports import asking
from layshaft.listings.imports.fields import OFFER_NUMBERS, list_fields
from layshaft.listings.offers import Offer, standard_offers
from layshaft.machine import paths
from layshaft.machine.kinds import GearPair, TaperClamp, VBelt
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice
from layshaft.project import catalogue
from layshaft.trace.errors import BadInput
from layshaft.trace.units import DIMENSIONS, Dimension
from layshaft.verdict.needs import Need

LEAD = "lead time"
BY = "by"
"""A word that takes a day, a month or a time: the lead time it leaves is what is asked of a list."""

FEW_LATE = 5
LOOKED_AT = 400
"""Offers of which it is told whether they hold, so that what holds comes first."""
DESCRIPTION = "description"
SAID = {"mass per metre": "mass per length"}
"""Keys of lists that name a unit, by the thing they tell: it is printed in other units too."""


@dataclass(slots=True)
class Word:
    """One word of the sentence: what stands before and after it, the field of a list it asks for, and which way."""

    before: str
    key: str
    way: str
    """`=`, at least `>=`, at most `<=`, or `by` a day."""

    example: str = ""
    after: str = ""
    text: str = ""
    printed: str = field(default="", init=False)
    """The text the machine put in; while it stands there, `exact` is meant, of which it is only the printed figures."""

    exact: float = field(default=math.nan, init=False)

    def put(self, value: float, dimension: Dimension, digits: int = 4) -> None:
        """Fill in what the machine asks for; a value that is not known leaves the word blank."""
        self.text = self.printed = short(value, dimension, digits) if math.isfinite(value) else ""
        self.exact = value

    @property
    def between(self) -> tuple[float, float] | None:
        """The range asked for where the word stands as the machine put it in: no unit it is printed in changes that."""
        if not self.text or self.text != self.printed or self.way == BY:
            return None
        return asking.reaching(*{"=": (self.exact, self.exact), ">=": (self.exact, math.inf),
                                 "<=": (-math.inf, self.exact)}[self.way])

    @property
    def asks(self) -> str:
        """A word somebody wrote, as a search is written; blank where nothing stands in it, or a day."""
        if not self.text or self.way == BY or self.between is not None:
            return ""
        low, high = {"=": ("", ""), ">=": ("", ".."), "<=": ("..", "")}[self.way]
        return f"{self.key}={low}{self.text}{high}"


@dataclass(slots=True)
class Asked:
    """A need with its sentence and what is offered for it."""

    need: Need
    choice: str
    """Path of the size that is open; blank where none is taken by its name."""

    kind: str
    words: list[Word] = field(default_factory=list)
    whose: str = ""
    """Of two wheels the one this is for."""

    offers: list[Offer] = field(default_factory=list)
    count: int = 0
    early: int = 0
    """Of these, how many are here in time by what their list says."""

    late: list[Offer] = field(default_factory=list)
    late_count: int = 0
    held: dict[str, bool] = field(default_factory=dict)
    """Whether a size holds in its place, for each that was tried, by its name."""

    holding: int = 0
    failing: int = 0
    by: HereBy | None = None
    today: datetime.date = datetime.date.min
    why: str = ""
    """Why nothing is offered."""

    def edited(self, said: Mapping[str, str]) -> None:
        """Put other words in."""
        for word in self.words:
            word.text = said.get(word.key, word.text)


Words = tuple[tuple[str, ...], ...]
BORE = ("fits a shaft of", "bore", "=", "25 mm")
SENTENCES: dict[str, tuple[str, Words]] = {
    "bearing": ("bearing", (BORE, ("carries", "dynamic rating", ">=", "14 kN"),
                            ("is no wider than", "width", "<=", "16 mm"))),
    "roller chain": ("roller chain", (("has a pitch of", "pitch", "=", "12.7 mm"),
                                      ("bears", "breaking load", ">=", "17.8 kN"))),
    "coupling": ("coupling", (("carries", "steady torque", ">=", "48 N m"), ("stands", "peak torque", ">=", "90 N m"),
                              ("takes swings of", "alternating torque", ">=", "5 N m"))),
    "one-way hub": ("one-way hub", (("holds", "torque", ">=", "80 N m"), BORE)),
    "taper clamp": ("taper clamp", (BORE, ("carries", "torque", ">=", "100 N m"))),
    "shaft": ("bright bar", (("is", "diameter", "=", "25 mm", "thick"),)),
    "key": ("parallel key", (("is", "width", "=", "8 mm", "wide"), ("is", "height", "=", "7 mm", "high"),
                             ("is at least", "length", ">=", "25 mm", "long"))),
    "gear pair": ("spur gear", (("has a module of", "normal module", "=", "2 mm"),
                                ("has", "teeth", "=", "20", "teeth"))),
    "synchronous belt": ("synchronous belt", (("has a pitch of", "pitch", "=", "5.08 mm"),)),
    "V belt": ("V belt", (("runs on a pulley of", "least pulley", "<=", "80 mm"),)),
}
"""For each part the kind of the lists and the words of its sentence: before, field, way, example, after."""

BAR = "bright bar"
"""A bar is cut and turned to the steps of the file: no path takes its name."""

EVERYBODY: Words = (("is here by", LEAD, BY, "May"), ("costs at most", "price", "<=", "80"))
"""Words any sentence may end with."""


def asked_for(machine: Machine, need: Need) -> list[Asked]:
    """The sentences of a need, their words as the machine asks for them: one, or one for each of two wheels."""
    what = _what(machine, need)
    kind, words = SENTENCES.get(what, ("", ()))
    known = list_fields()
    choice = next((p for p in need.opens if kind != BAR and _is_choice(machine, p)), "")
    found = Asked(need, choice, kind, [Word(*word) for word in (*words, *EVERYBODY) if word[1] in known])
    if what == "gear pair":
        return _wheels(machine, need, found)
    found.held = tried_sizes(machine, need, choice)
    like = _like(machine, need, kind, choice)
    ratings = {name: (value, dimension) for name, value, dimension in need.ask_for}
    for word in found.words:
        if word.key in ratings:
            value, dimension = ratings[word.key]
            word.put(value, dimension, 3)
        elif like is not None and (word.way == "=" or (word.way == ">=" and (what == "key" or need.short))):
            known_as = known[word.key].dimension
            if known_as is not None:
                word.put(asking.number(like, word.key), known_as)
    if what == "V belt":
        _pulley(machine, need, found)
    if what == "shaft" and need.smallest is not None:
        bars = [v for p, v in need.smallest.candidate.sets.items() if p.endswith("[0]") and isinstance(v, float)]
        for word in found.words:
            if word.key == "diameter" and bars:
                word.put(max(bars), DIMENSIONS["length"])
    return [found]


def _pulley(machine: Machine, need: Need, found: Asked) -> None:
    """A V belt's section must bend round the smaller pulley of its drive."""
    stage = machine.stages[need.path.split(".")[1]]
    assert isinstance(stage, VBelt)
    least = min((d.nominal for d in stage.diameters), default=math.nan)
    for word in found.words:
        if word.key == "least pulley" and math.isfinite(least):
            word.put(least, DIMENSIONS["length"])


def _what(machine: Machine, need: Need) -> str:
    """What is asked for: a hub by its kind, a weight by what it hangs on."""
    words = need.path.split(".")
    if need.what == "hub":
        return "taper clamp" if isinstance(machine.shafts[words[1]].seats[words[3]].hub, TaperClamp) else "hub"
    if need.what in ("falling weight", "endless loop") and any(p.endswith(".chain") for p in need.opens):
        return "roller chain"
    return need.what


def _wheels(machine: Machine, need: Need, first: Asked) -> list[Asked]:
    """A wheel each for both shafts of a pair of gears; the file says their numbers, and takes no name."""
    stage = machine.stages[need.path.split(".")[1]]
    assert isinstance(stage, GearPair)
    best = need.smallest or need.nearest
    sets = best.candidate.sets if best is not None else {}
    second = Asked(need, "", first.kind, [Word(w.before, w.key, w.way, w.example, w.after) for w in first.words])
    for asked, teeth, whose in zip((first, second), stage.teeth, (stage.from_, stage.to), strict=True):
        asked.whose = whose
        numbers = {"normal module": float(sets.get(stage.normal_module.path, stage.normal_module.nominal)),
                   "teeth": float(sets.get(teeth.path, teeth.nominal))}
        for word in asked.words:
            value = numbers.get(word.key, math.nan)
            dimension = list_fields()[word.key].dimension
            if dimension is not None:
                word.put(value, dimension)
    return [first, second]


def _is_choice(machine: Machine, path: str) -> bool:
    steps = paths.split(path)
    try:
        return steps is not None and isinstance(paths.in_model(machine, steps), Choice)
    except paths.NotThereError:
        return False


def _like(machine: Machine, need: Need, kind: str, choice: str) -> Offer | None:
    """The size of the series that would do, from which the words are taken that must fit exactly.

    Where none would, the size it has: less than that is not worth asking for.
    """
    best = need.smallest or (None if need.short else need.nearest)
    name = str(best.candidate.sets.get(choice, "")) if best is not None else ""
    if not name and need.short:
        name = name_there(machine, choice)
    return next((o for o in standard_offers(kind) if name and o.name == name), None)


def told(offer: Offer, key: str) -> str:
    """What an offer says of one thing, as a builder would write it; blank where it says nothing or a word."""
    known = list_fields().get(key)
    value, dimension = asking.number(offer, key), known.dimension if known is not None else None
    return short(value, dimension) if dimension is not None and math.isfinite(value) else ""


def offered(asked: Asked, project: Path, most: int, today: datetime.date) -> None:
    """What the standard series and the imported lists offer for the words as they stand, what comes too late apart."""
    asked.today = today
    if not asked.kind:
        return
    try:
        ranges, words = asking.asked([w.asks for w in asked.words if w.asks])
        ranges |= {w.key: w.between for w in asked.words if w.between is not None}
        day = next((w.text for w in asked.words if w.way == BY and w.text), "")
        asked.by = here_by(day, today) if day else None
        looked = max(most, LOOKED_AT)
        asked.count, asked.offers = catalogue.search(asked.kind, ranges, words, project, most=looked)
        if asked.by is not None:
            _in_time(asked, project, looked, ranges, words)
        _in_order(asked, most)
    except BadInput as why:
        asked.why = str(why)
    if not asked.count and not asked.why:
        asked.why = "Nothing in the standard series or the imported lists fits these words."


def _in_order(asked: Asked, most: int) -> None:
    """What does not hold last, of the rest what is here in time first and what holds before what was not tried.

    It is counted before what is over is cut off.
    """
    found = [holds(asked.held, offer) for offer in asked.offers]
    asked.holding, asked.failing = found.count(True), found.count(False)
    ranked = sorted(zip(found, asked.offers, strict=True), key=lambda row: _rank(asked, *row))
    asked.offers = [offer for _, offer in ranked][:most]


def _rank(asked: Asked, held: bool | None, offer: Offer) -> tuple[bool, bool, bool]:
    silent = asked.by is not None and not math.isfinite(offer.lead_time)
    return held is False, silent, held is None


def _in_time(asked: Asked, project: Path, most: int, ranges: Mapping[str, tuple[float, float]],
             words: Mapping[str, str]) -> None:
    """Keep what is here in time, then what says no time; what comes too late is told apart, the soonest first."""
    assert asked.by is not None
    last = asked.by.seconds
    soon = {**ranges, LEAD: (-math.inf, last)}
    after = {**ranges, LEAD: (math.nextafter(last, math.inf), math.inf)}
    asked.early, early = catalogue.search(asked.kind, soon, words, project, most=most)
    silent = [o for o in asked.offers if not math.isfinite(o.lead_time)]
    asked.late_count, asked.late = catalogue.search(asked.kind, after, words, project, order=LEAD, most=FEW_LATE)
    asked.count -= asked.late_count
    asked.offers = [*early, *silent][:most]


def tallied(asked: Asked) -> str:
    """How many are offered for the words as they stand, and how many of them hold."""
    hopeless = asked.need.smallest is None and asked.need.nearest is not None
    return tally(asked.count, asked.holding, asked.failing, hopeless=hopeless, unjudged=bool(asked.need.unjudged))


def state_of(asked: Asked, offer: Offer) -> str:
    """Whether an offer holds, in words; blank where of none of them is anything known."""
    if not asked.holding and not asked.failing:
        return ""
    held = "holds" + (JUDGED if asked.need.unjudged else "")
    return {True: held, False: "does not hold", None: "not tried"}[holds(asked.held, offer)]


def says(offer: Offer) -> str:
    """What an offer says of its sizes and ratings, in the order of its list."""
    said = [str(offer.values[DESCRIPTION])] if DESCRIPTION in offer.values else []
    said += [f"{SAID.get(key, key)} {told(offer, key) or _plain(value)}" for key, value in offer.values.items()
             if key not in (*OFFER_NUMBERS, DESCRIPTION) and (isinstance(value, str) or math.isfinite(value))]
    if math.isfinite(offer.mass):
        said.append(f"mass {short(offer.mass, DIMENSIONS['mass'], 3)}")
    return ", ".join(said)


def _plain(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"


def price(offer: Offer) -> str:
    """Its price; blank where no list says it."""
    return f"{offer.price:.2f} {offer.currency}".strip() if math.isfinite(offer.price) else ""


def comes(offer: Offer, today: datetime.date) -> str:
    """When it is here if it is ordered today; blank where no list says it."""
    return day_words(arrival(offer.lead_time, today)) if math.isfinite(offer.lead_time) else ""


def too_late(offer: Offer, by: HereBy) -> str:
    """How much too late it comes."""
    return span_words((arrival(offer.lead_time, by.today) - by.day).days * 86400.0)
