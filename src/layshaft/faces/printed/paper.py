"""From plain data to paper: the typesetter, which reads nothing but its own two forms."""

from __future__ import annotations

import functools
import json
import threading
from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    import typst

_ONE = threading.Lock()
"""A typesetter serves one thread at a time."""


def pdf(data: dict[str, Any]) -> bytes:
    """The data of a book as PDF; the same data gives the same bytes."""
    return _set("book.typ", data, "pdf")


def png(data: dict[str, Any], dots_per_inch: float = 150.0) -> bytes:
    """One drawing as PNG."""
    return _set("picture.typ", data, "png", dots_per_inch)


def pages_png(data: dict[str, Any], dots_per_inch: float = 90.0) -> list[bytes]:
    """The pages of a book as pictures, to look at."""
    with _ONE:
        found = _typesetter("book.typ").compile(format="png", ppi=dots_per_inch, sys_inputs=_inputs(data))
    return found if isinstance(found, list) else [found] if found else []


def _set(form: str, data: dict[str, Any], kind: Literal["pdf", "png"], ppi: float | None = None) -> bytes:
    with _ONE:
        found = _typesetter(form).compile(format=kind, ppi=ppi, sys_inputs=_inputs(data), timestamp=0)
    if isinstance(found, list):
        found = found[0]
    assert found is not None
    return found


def _inputs(data: dict[str, Any]) -> dict[str, str]:
    return {"data": json.dumps(data, ensure_ascii=False)}


@functools.cache
def _typesetter(form: str) -> typst.Compiler:
    """Kept, for a second document costs a tenth of the first. Its root holds its forms and nothing else."""
    import typst

    with as_file(files("layshaft.faces.printed")) as home:
        return typst.Compiler(Path(home) / form, root=Path(home))
