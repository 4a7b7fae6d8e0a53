"""The one style sheet of all pages."""

from __future__ import annotations

import functools
from importlib.resources import files


@functools.cache
def style() -> str:
    """Rules for every fragment of `faces/pages`."""
    return files("layshaft.faces.pages").joinpath("pages.css").read_text(encoding="utf-8")
