"""A part to be found as a sentence of words that can be edited, and what the lists offer for these words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from layshaft.faces.pages.words import short
from layshaft.listings.imports import asking
from layshaft.listings.imports.fields import list_fields
from layshaft.listings.offers import Offer, standard_offers
from layshaft.machine import paths
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice
from layshaft.project import catalogue
from layshaft.trace.errors import BadInput
from layshaft.trace.units import DIMENSIONS
from layshaft.verdict.needs import Need

WEEK = 7 * 86400.0


@dataclass(slots=True)
class Word:
    """One word of the sentence: what stands before it, the field of a list it asks for, and which way."""

    before: str
    key: str
    way: str
    """`=`, at least `>=` or at most `<=`."""

    text: str = ""
    example: str = ""

    @property
    def asks(self) -> str:
        """The word as a search is written; blank where nothing stands in it."""
        low, high = {"=": ("", ""), ">=": ("", ".."), "<=": ("..", "")}[self.way]
        return f"{self.key}={low}{self.text}{high}" if self.text else ""


@dataclass(slots=True)
class Asked:
    """A need with its sentence and what is offered for it."""

    need: Need
    choice: str
    """Path of the size that is open; blank where none is taken by its name."""

    kind: str
    words: list[Word] = field(default_factory=list)
    offers: list[Offer] = field(default_factory=list)
    count: int = 0
    why: str = ""
    """Why nothing is offered."""

    def edited(self, said: Mapping[str, str]) -> None:
        """Put other words in."""
        for word in self.words:
            word.text = said.get(word.key, word.text)


SENTENCES: dict[str, tuple[str, tuple[tuple[str, str, str, str], ...]]] = {
    "bearing": ("bearing", (("fits a shaft of", "bore", "=", "25 mm"), ("carries", "dynamic rating", ">=", "14 kN"),
                            ("is no wider than", "width", "<=", "16 mm"))),
    "roller chain": ("roller chain", (("has a pitch of", "pitch", "=", "12.7 mm"),
                                      ("bears", "breaking load", ">=", "17.8 kN"))),
    "coupling": ("coupling", (("carries", "steady torque", ">=", "48 N m"), ("stands", "peak torque", ">=", "90 N m"))),
    "one-way hub": ("one-way hub", (("holds", "torque", ">=", "80 N m"), ("fits a shaft of", "bore", "=", "25 mm"))),
    "taper clamp": ("taper clamp", (("fits a shaft of", "bore", "=", "25 mm"), ("carries", "torque", ">=", "100 N m"))),
    "shaft": ("bright bar", (("is at least", "diameter", ">=", "25 mm"),)),
}
"""For each part the kind of the lists and the words of its sentence: what stands before, field, way, example."""

BAR = "bright bar"
"""A bar is cut and turned to the steps of the file: no path takes its name."""

EVERYBODY: tuple[tuple[str, str, str, str], ...] = (
    ("is here within", "lead time", "<=", "6 weeks"), ("costs at most", "price", "<=", "80"))
"""Words any sentence may end with."""


def asked_for(machine: Machine, need: Need) -> Asked:
    """The sentence of a need, its words as the machine asks for them."""
    kind, words = SENTENCES.get(need.what, ("", ()))
    known = list_fields()
    choice = next((p for p in need.opens if kind != BAR and _is_choice(machine, p)), "")
    found = Asked(need, choice, kind, [Word(b, k, w, example=e) for b, k, w, e in (*words, *EVERYBODY) if k in known])
    like = _like(need, kind, choice)
    ratings = {name: (value, dimension) for name, value, dimension in need.ask_for}
    for word in found.words:
        if word.key in ratings:
            value, dimension = ratings[word.key]
            word.text = short(value, dimension, 3) if math.isfinite(value) else ""
        elif like is not None and word.way == "=":
            word.text = _told(like, word.key)
    if need.what == "shaft" and need.smallest is not None:
        bars = [v for p, v in need.smallest.candidate.sets.items() if p.endswith("[0]") and isinstance(v, float)]
        for word in found.words:
            if word.key == "diameter" and bars:
                word.text = short(max(bars), DIMENSIONS["length"])
    return found


def _is_choice(machine: Machine, path: str) -> bool:
    steps = paths.split(path)
    try:
        return steps is not None and isinstance(paths.in_model(machine, steps), Choice)
    except paths.NotThereError:
        return False


def _like(need: Need, kind: str, choice: str) -> Offer | None:
    """The size of the series that would do, from which the words are taken that must fit exactly."""
    best = need.smallest or need.nearest
    name = str(best.candidate.sets.get(choice, "")) if best is not None else ""
    return next((o for o in standard_offers(kind) if name and o.name == name), None)


def _told(offer: Offer, key: str) -> str:
    value, dimension = asking.number(offer, key), list_fields()[key].dimension
    return short(value, dimension) if dimension is not None and math.isfinite(value) else ""


def offered(asked: Asked, project: Path, most: int) -> None:
    """What the standard series and the imported lists offer for the words as they stand."""
    if not asked.kind:
        return
    try:
        ranges, words = asking.asked([w.asks for w in asked.words if w.text])
        asked.count, asked.offers = catalogue.search(asked.kind, ranges, words, project, most=most)
    except BadInput as why:
        asked.why = str(why)
    if not asked.offers and not asked.why:
        asked.why = "Nothing in the standard series or the imported lists fits these words."


def columns(offer: Offer) -> str:
    """What an offer says, in the order of its list."""
    said = [f"{key} {_told(offer, key) or value}" for key, value in offer.values.items()
            if isinstance(value, str) or math.isfinite(value)]
    if math.isfinite(offer.mass):
        said.append(f"mass {short(offer.mass, DIMENSIONS['mass'])}")
    if math.isfinite(offer.price):
        said.append(f"{offer.price:.2f} {offer.currency}".strip())
    if math.isfinite(offer.lead_time):
        said.append(f"{offer.lead_time / WEEK:.2g} weeks")
    return ", ".join(said)
