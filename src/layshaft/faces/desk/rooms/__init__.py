"""The rooms of the desk. A room is one module here with `ROOM` and `router`, and its templates."""

from __future__ import annotations

import pkgutil
from importlib import import_module
from typing import NamedTuple

from fastapi import APIRouter


class Room(NamedTuple):
    """A room: the path of its page, its word in the running head, what one does there; one for `any_machine` is
    shown where there is none too."""

    path: str
    title: str
    about: str
    any_machine: bool = False


ORDER = ("machine", "part", "shape", "needs", "run", "options", "doubt", "formulary", "take_away")
"""Modules in the order of the running head; others come after them."""


def rooms() -> list[tuple[Room, APIRouter]]:
    """Every room there is."""
    names = sorted((m.name for m in pkgutil.iter_modules(__path__)),
                   key=lambda n: (ORDER.index(n) if n in ORDER else len(ORDER), n))
    modules = [import_module(f"{__name__}.{name}") for name in names]
    return [(m.ROOM, m.router) for m in modules]
