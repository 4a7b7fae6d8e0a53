"""Kinds of piece a turning body is made of, in the words of a drawing."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import Given, Quantity, Text, Thing, key
from layshaft.trace.units import COUNT, DENSITY, LENGTH, MASS

NUMBER = Quantity(COUNT, at_least=1, whole=True)
SIZE = Quantity(LENGTH, above=0)


@dataclass(frozen=True, kw_only=True)
class Piece(Thing):
    """One piece, or several equal ones round the axis."""

    density: Given = key(Quantity(DENSITY, above=0), "density, if not that of the wheel", "7200 kg/m3")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Ring(Piece):
    """A rim, hub or bored disc."""

    outside: Given = key(SIZE, "outside diameter", "400 mm")
    inside: Given = key(SIZE, "inside diameter", "340 mm")
    width: Given = key(SIZE, "width along the axis", "40 mm")


@dataclass(frozen=True, kw_only=True)
class Disc(Piece):
    """A disc without a bore."""

    outside: Given = key(SIZE, "diameter", "400 mm")
    width: Given = key(SIZE, "width along the axis", "12 mm")


@dataclass(frozen=True, kw_only=True)
class Rods(Piece):
    """Round spokes."""

    count: Given = key(NUMBER, "number of spokes", "6")
    diameter: Given = key(SIZE, "diameter of a spoke", "16 mm")
    begin: Given = key(SIZE, "radius where they begin", "30 mm", name="from")
    end: Given = key(SIZE, "radius where they end", "170 mm", name="to")


@dataclass(frozen=True, kw_only=True)
class Bars(Piece):
    """Spokes of rectangular section."""

    count: Given = key(NUMBER, "number of spokes", "5")
    breadth: Given = key(SIZE, "breadth of a spoke in the plane of the wheel", "30 mm")
    width: Given = key(SIZE, "width of a spoke along the axis", "12 mm")
    begin: Given = key(SIZE, "radius where they begin", "30 mm", name="from")
    end: Given = key(SIZE, "radius where they end", "170 mm", name="to")


@dataclass(frozen=True, kw_only=True)
class Holes(Piece):
    """Round holes taken out, with the density of what they are cut from."""

    count: Given = key(NUMBER, "number of holes", "4")
    diameter: Given = key(SIZE, "diameter of a hole", "60 mm")
    width: Given = key(SIZE, "depth of a hole along the axis", "12 mm")
    at_radius: Given = key(SIZE, "radius of their middles", "110 mm")


@dataclass(frozen=True, kw_only=True)
class Blocks(Piece):
    """Rectangular weights bolted on."""

    count: Given = key(NUMBER, "number of blocks", "8")
    height: Given = key(SIZE, "height of a block along the radius", "30 mm")
    breadth: Given = key(SIZE, "breadth of a block in the plane of the wheel", "50 mm")
    width: Given = key(SIZE, "width of a block along the axis", "20 mm")
    at_radius: Given = key(SIZE, "radius of their middles", "180 mm")


@dataclass(frozen=True, kw_only=True)
class Spheres(Piece):
    """Round weights on arms."""

    count: Given = key(NUMBER, "number of spheres", "2")
    diameter: Given = key(SIZE, "diameter of a sphere", "60 mm")
    at_radius: Given = key(SIZE, "radius of their middles", "220 mm")


@dataclass(frozen=True, kw_only=True)
class Weighed(Thing):
    """Anything that was weighed or is told by its list."""

    count: Given = key(NUMBER, "number of pieces", "1")
    mass: Given = key(Quantity(MASS, above=0), "mass of one", "1.2 kg")
    radius_of_gyration: Given = key(SIZE, "radius of gyration about the axis of the wheel", "35 mm")
    note: str = key(Text(), "anything worth saying")


BODIES: dict[str, type] = {
    "ring": Ring,
    "disc": Disc,
    "rods": Rods,
    "bars": Bars,
    "holes": Holes,
    "blocks": Blocks,
    "spheres": Spheres,
    "weighed": Weighed,
}
