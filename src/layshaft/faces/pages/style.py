"""The style sheets of all pages: of what is printed, and of what only a screen has."""

from __future__ import annotations

import functools
from importlib.resources import files


@functools.cache
def style() -> str:
    """Rules for every fragment of a printed page."""
    return _read("pages.css")


@functools.cache
def rooms_style() -> str:
    """What the fragments of the rooms need beside it."""
    return _read("rooms.css")


def _read(name: str) -> str:
    return files("layshaft.faces.pages").joinpath(name).read_text(encoding="utf-8")
