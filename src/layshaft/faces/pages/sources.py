"""Sheets whose sources are ways: where a number comes from the machine file, its words lead to its field."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape

from layshaft.faces.pages.keys import key_pattern
from layshaft.faces.pages.words import anchor
from layshaft.machine.model import Machine

_CELL = re.compile(r'(<td class="source[^"]*">)([^<]*)')


def sourced(sheets: str, machine: Machine, path: str, link: Callable[[str], str]) -> str:
    """Markup of sheets in which every key named as a source is a link to its field, on this page or on its own."""
    pattern = key_pattern(machine)

    def to_field(found: re.Match[str]) -> str:
        key = found["whole"]
        if not key:
            return found[0]
        here = key.startswith((f"{path}.", f"{path}["))
        return f'<a href="{"" if here else escape(link(key))}#{anchor("given", key)}">{key}</a>'

    return _CELL.sub(lambda cell: cell[1] + pattern.sub(to_field, cell[2]), sheets)
