"""An offer taken into the machine file: as an option, so that the file stays whole on its own.

A standard size is taken by its name. A supplier's own part is written under `parts` with its
ratings, price and lead time, and taken by that name.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from layshaft.listings import imported
from layshaft.listings.imports import asking
from layshaft.listings.imports.fields import part_kinds
from layshaft.listings.offers import Offer, standard_kinds, standard_offers
from layshaft.machine.kinds import PARTS
from layshaft.machine.listings import resolve
from layshaft.machine.model import Machine
from layshaft.machine.schema import Money, Quantity, Text, Word, keys
from layshaft.project import keeping
from layshaft.trace.errors import BadInput
from layshaft.trace.units import MASS, TIME, Dimension

DIGITS = 10
LONGEST_NAME = 60
DAYS = "days"
MM = 1e-3
KEY = "parallel key"
TYPICAL = ("coupling",)
"""Series that the file does not know by name, since no standard sets them: written out, as assumed."""


def taken(machine_file: Path, path: str, wanted: str) -> tuple[keeping.Text, keeping.Text, Offer]:
    """The file as it is, as it becomes with the offer at `path`, and the offer. Raises `BadInput`."""
    before = keeping.opened(machine_file)
    offer = found(wanted, imported.folders(before.path.parent))
    name, option = option_for(before.machine, path, offer)
    return before, keeping.changed(before, option, f"{name} at {path}"), offer


def found(wanted: str, folders: Sequence[Path]) -> Offer:
    """The one offer that a text names: a standard size, a part number, or supplier and part number."""
    words = wanted.split()
    ways = [(wanted.strip(), None)] + [(" ".join(words[i:]), " ".join(words[:i])) for i in range(1, len(words))]
    offers = [o for part, supplier in ways for o in imported.named(folders, part, supplier)]
    standard = [o for kind in standard_kinds() for o in standard_offers(kind)
                if o.name.casefold() == wanted.strip().casefold()]
    every = list({(o.supplier, o.kind, o.name): o for o in (*offers, *standard)}.values())
    if not every:
        raise BadInput(f"Nothing is offered as '{wanted}'. Write a standard size, or supplier and part number; "
                       "`layshaft catalogue search KIND` finds them.")
    if len(every) > 1:
        names = ", ".join(f"'{f'{o.supplier} {o.name}'.strip()}' ({o.kind})" for o in every)
        raise BadInput(f"'{wanted}' could be {names}. Write supplier and part number.")
    return every[0]


def option_for(machine: Machine, path: str, offer: Offer) -> tuple[str, dict[str, Any]]:
    """The name it is taken by, and the changes. Raises `BadInput` for what the file has no own part of."""
    if not offer.supplier and offer.kind not in TYPICAL:
        return offer.name, {"set": {path: offer.name}}
    if offer.kind == KEY:
        return _key_size(machine, offer), {"set": {path: _key_size(machine, offer)}}
    kind = part_kinds()[offer.kind].part
    if not kind:
        raise BadInput(f"A machine file holds no part of kind {offer.kind}: it states its numbers where they are used. "
                       "`layshaft catalogue show` prints them.")
    name = part_name(f"{offer.supplier} {offer.name}")
    there = next((part for own, part in machine.parts.items() if own.casefold() == name.casefold()), None)
    if there is not None:
        if (there.supplier, there.part_number) == (offer.supplier, offer.name if offer.supplier else ""):
            return there.name, {"set": {path: there.name}}
        raise BadInput(f"The file has a part '{name}' already, and it is another one. Give that one a new name first: "
                       f"layshaft change --rename 'parts.{name}=...'.")
    return name, {"add": {f"parts.{name}": part_of(kind, offer)}, "set": {path: name}}


def _key_size(machine: Machine, offer: Offer) -> str:
    """A supplier's key by its size: the file knows keys by their section and length. Raises `BadInput`."""
    sizes = [asking.number(offer, key) / MM for key in ("width", "height", "length")]
    name = "x".join(f"{size:.6g}" for size in sizes) if all(map(math.isfinite, sizes)) else offer.standard
    if resolve(machine, "key", name) is None:
        raise BadInput(f"{offer.supplier} {offer.name} is no key of the standard: its list must say width, height and "
                       "length, such as 8, 7 and 25 mm.")
    return name


def part_name(text: str) -> str:
    """A name the machine file takes: letters, digits, single blanks and hyphens."""
    clean = re.sub(r"[^\w-]|_", " ", text)
    return re.sub(r"\s+", " ", clean).strip(" -")[:LONGEST_NAME].strip(" -")


def part_of(kind: str, offer: Offer) -> dict[str, str]:
    """The offer as the file's own part of that kind: what it says, in the keys the kind has."""
    said: dict[str, str] = {"kind": kind, "source": "listed" if offer.supplier else "assumed",
                            "read in": f"{offer.source.work}, {offer.source.place}"}
    own: dict[str, Any] = {**offer.values, "mass": offer.mass, "lead time": offer.lead_time}
    texts = {"supplier": offer.supplier, "part number": offer.name if offer.supplier else "", "cad": offer.cad}
    for key, (_, k) in keys(PARTS[kind]).items():
        if isinstance(k.reads, Quantity):
            value = own.get(key, math.nan)
            if not isinstance(value, str) and math.isfinite(value):
                said[key] = written(value, k.reads.dimension)
        elif isinstance(k.reads, Money) and math.isfinite(offer.price) and offer.currency:
            said[key] = f"{offer.price:.2f} {offer.currency}"
        elif isinstance(k.reads, Word) and str(own.get(key, "")) in k.reads.choices:
            said[key] = str(own[key])
        elif isinstance(k.reads, Text) and texts.get(key):
            said[key] = texts[key]
    missing = [key for key, (_, k) in keys(PARTS[kind]).items() if k.required and key not in said and key != "kind"]
    if missing:
        raise BadInput(f"The list does not say {', '.join(missing)} of {offer.name}, which the file needs.")
    return {key: text for key, text in said.items() if text}


def written(value: float, dimension: Dimension) -> str:
    """A value for the file: in the unit it is read in, with every digit the list gave."""
    unit = DAYS if dimension is TIME else "kg" if dimension is MASS else dimension.best_unit(value)
    return f"{value / dimension.units[unit]:.{DIGITS}g} {unit}".strip()

