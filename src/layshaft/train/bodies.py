"""Turning bodies told by their drawing: the numbers of each piece, and what they weigh and store."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.machine.kinds import BODIES, Bars, Disc, Flywheel, Holes, Ring, Rods
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.mechanics.bodies import PIECES, summed

KINDS = {kind: name for name, kind in BODIES.items()}
TOLD: dict[str, tuple[str, ...]] = {
    "ring": ("outside", "inside", "width", "density"),
    "disc": ("outside", "width", "density"),
    "rods": ("count", "diameter", "begin", "end", "density"),
    "bars": ("count", "breadth", "width", "begin", "end", "density"),
    "holes": ("count", "diameter", "width", "at_radius", "density"),
    "blocks": ("count", "height", "breadth", "width", "at_radius", "density"),
    "spheres": ("count", "diameter", "at_radius", "density"),
    "weighed": ("count", "mass", "radius_of_gyration"),
}
"""Keys of each kind, in the order of the symbols that tell it."""

MEETS = 0.9
"""A piece whose outside reaches this share of the rim's inside is its web."""


@once
def pieces(load: Flywheel) -> dict[str, tuple[str, dict[str, Given]]]:
    """Name -> kind, and the given behind each symbol; the wheel's density where a piece has none."""
    found = {}
    for name, body in load.made_of.items():
        kind = KINDS[type(body)]
        givens = [_given(load, body, word) for word in TOLD[kind]]
        found[name] = kind, {symbol: g for (symbol, _, _), g in zip(PIECES[kind].told, givens, strict=True)}
    return found


def _given(load: Flywheel, body: Any, word: str) -> Given:
    own: Given = getattr(body, word)
    return load.density if word == "density" and own.state == "missing" and load.density.known else own


@once
def drawn(load: Flywheel) -> tuple[Any, Any]:
    """Mass and moment of inertia of all pieces; NaN where one is not told."""
    told: Mapping[str, tuple[str, Mapping[str, Any]]] = {
        name: (kind, {s: g.value for s, g in givens.items()}) for name, (kind, givens) in pieces(load).items()}
    return summed(told)


@dataclass(frozen=True, slots=True)
class Anatomy:
    """What of a drawn wheel carries: its largest ring or disc, what holds that, and the bore."""

    rim: Ring | Disc | None
    spokes: Rods | Bars | None
    web: bool
    holes: bool
    bore: Given | None
    """Smallest inside of any ring; None where all are solid."""


@once
def anatomy(load: Flywheel) -> Anatomy:
    """Read a wheel off its pieces: the largest ring or disc is the rim."""
    bodies = list(load.made_of.values())
    round_ = [b for b in bodies if isinstance(b, Ring | Disc) and b.outside.known]
    rim = max(round_, key=lambda b: b.outside.nominal, default=None)
    spokes = next((b for b in bodies if isinstance(b, Rods | Bars)), None)
    inside = rim.inside.nominal if isinstance(rim, Ring) else 0.0
    web = any(b is not rim and b.outside.nominal >= MEETS * inside for b in round_) and inside > 0
    bores = [b.inside for b in bodies if isinstance(b, Ring) and b.inside.known]
    bore = min(bores, key=lambda g: g.nominal, default=None)
    return Anatomy(rim, spokes, web, any(isinstance(b, Holes) for b in bodies), bore)
