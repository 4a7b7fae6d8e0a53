"""A turning body as a sum of solids: what each kind of piece is told by, and what it weighs and stores.

A piece is told in the words of a drawing. Its function takes the symbols of `told` by name and gives
mass and moment of inertia about the axis of the wheel; called with the trace on, every step is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.mechanics import inertia, solids
from layshaft.trace.formula import total
from layshaft.trace.source import KINEMATICS
from layshaft.trace.units import COUNT, DENSITY, INERTIA, LENGTH, MASS, Dimension

Told = tuple[str, str, Dimension]
RHO: Told = ("rho", "density", DENSITY)
COUNTED: Told = ("n", "number", COUNT)


@dataclass(frozen=True, slots=True)
class Piece:
    """One kind of piece: (symbol, meaning, dimension) of each number that tells it, and how it is reckoned."""

    told: tuple[Told, ...]
    reckon: Callable[..., tuple[Any, Any]]


def _ring(d_o: Any, d_i: Any, b: Any, rho: Any) -> tuple[Any, Any]:
    m = inertia.mass(rho, inertia.ring_volume(d_o, d_i, b))
    return m, inertia.ring(m, d_o, d_i)


def _disc(d: Any, b: Any, rho: Any) -> tuple[Any, Any]:
    m = inertia.mass(rho, solids.rod_volume(d, b))
    return m, solids.disc(m, d)


def _rods(n: Any, d: Any, r_1: Any, r_2: Any, rho: Any) -> tuple[Any, Any]:
    L = solids.radial_length(r_1, r_2)
    m = inertia.mass(rho, solids.rod_volume(d, L))
    return solids.mass_of_many(n, m), solids.round_the_axis(
        n, solids.rod_across(m, d, L), m, solids.middle_radius(r_1, r_2))


def _bars(n: Any, a: Any, w: Any, r_1: Any, r_2: Any, rho: Any) -> tuple[Any, Any]:
    L = solids.radial_length(r_1, r_2)
    m = inertia.mass(rho, solids.block_volume(a, w, L))
    return solids.mass_of_many(n, m), solids.round_the_axis(
        n, solids.block(m, a, L), m, solids.middle_radius(r_1, r_2))


def _holes(n: Any, d: Any, w: Any, r_m: Any, rho: Any) -> tuple[Any, Any]:
    m = inertia.mass(rho, solids.rod_volume(d, w))
    return solids.mass_taken_out(n, m), solids.inertia_taken_out(n, solids.disc(m, d), m, r_m)


def _blocks(n: Any, h: Any, a: Any, w: Any, r_m: Any, rho: Any) -> tuple[Any, Any]:
    m = inertia.mass(rho, solids.block_volume(h, a, w))
    return solids.mass_of_many(n, m), solids.round_the_axis(n, solids.block(m, h, a), m, r_m)


def _spheres(n: Any, d: Any, r_m: Any, rho: Any) -> tuple[Any, Any]:
    m = inertia.mass(rho, inertia.sphere_volume(d))
    return solids.mass_of_many(n, m), solids.round_the_axis(n, inertia.sphere(m, d), m, r_m)


def _weighed(n: Any, m: Any, k: Any) -> tuple[Any, Any]:
    return solids.mass_of_many(n, m), solids.masses_at(n, m, k)


BEGINS: Told = ("r_1", "radius where they begin", LENGTH)
ENDS: Told = ("r_2", "radius where they end", LENGTH)
AT: Told = ("r_m", "radius of their middles", LENGTH)
BROAD: Told = ("a", "breadth in the plane of the wheel", LENGTH)
WIDE: Told = ("w", "width along the axis", LENGTH)

PIECES: dict[str, Piece] = {
    "ring": Piece((("d_o", "outside diameter", LENGTH), ("d_i", "inside diameter", LENGTH), ("b", "width", LENGTH),
                   RHO), _ring),
    "disc": Piece((("d", "diameter", LENGTH), ("b", "width", LENGTH), RHO), _disc),
    "rods": Piece((COUNTED, ("d", "diameter", LENGTH), BEGINS, ENDS, RHO), _rods),
    "bars": Piece((COUNTED, BROAD, WIDE, BEGINS, ENDS, RHO), _bars),
    "holes": Piece((COUNTED, ("d", "diameter", LENGTH), WIDE, AT, RHO), _holes),
    "blocks": Piece((COUNTED, ("h", "height along the radius", LENGTH), BROAD,
                     WIDE, AT, RHO), _blocks),
    "spheres": Piece((COUNTED, ("d", "diameter", LENGTH), AT, RHO), _spheres),
    "weighed": Piece((COUNTED, ("m", "mass of one", MASS), ("k", "radius of gyration about the axis", LENGTH)),
                     _weighed),
}


def summed(pieces: Mapping[str, tuple[str, Mapping[str, Any]]]) -> tuple[Any, Any]:
    """Mass and moment of inertia of all pieces: name -> (kind, numbers by symbol)."""
    found = {name: PIECES[kind].reckon(**told) for name, (kind, told) in pieces.items()}
    masses, moments = ({name: pair[i] for name, pair in found.items()} for i in (0, 1))
    return (total("m_sum", "mass of all pieces", MASS, masses, KINEMATICS),
            total("J_sum", "moment of inertia of all pieces", INERTIA, moments, KINEMATICS))
