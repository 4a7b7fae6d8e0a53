"""From plain data to paper: the typesetter, in a process of its own that ends with its page.

A typesetter keeps all it has set and gives none of it back (measured: 125 MB a book), so it must not live as long
as a desk does. It reads nothing but its own two forms.
"""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

SETTER = "layshaft.faces.printed.setter"


class PaperError(RuntimeError):
    """The typesetter refused: a fault of ours, for no data of a machine is ever its source."""


def pdf(data: dict[str, Any]) -> bytes:
    """The data of a book as PDF; the same data gives the same bytes."""
    return _set("book.typ", "pdf", data)


def png(data: dict[str, Any], dots_per_inch: float = 150.0) -> bytes:
    """One drawing as PNG."""
    return _pages(_set("picture.typ", "png", data, dots_per_inch))[0]


def pages_png(data: dict[str, Any], dots_per_inch: float = 90.0) -> list[bytes]:
    """The pages of a book as pictures, to look at."""
    return _pages(_set("book.typ", "png", data, dots_per_inch))


def _pages(whole: bytes) -> list[bytes]:
    """Pictures, each behind its length."""
    found = []
    while whole:
        size = int.from_bytes(whole[:8], "big")
        found.append(whole[8:8 + size])
        whole = whole[8 + size:]
    return found


def _set(form: str, kind: str, data: dict[str, Any], dots_per_inch: float = 0.0) -> bytes:
    asked = json.dumps({"form": form, "kind": kind, "ppi": dots_per_inch, "data": data}, ensure_ascii=False)
    done = subprocess.run([sys.executable, "-m", SETTER], input=asked.encode(), capture_output=True, check=False)
    if done.returncode:
        raise PaperError(done.stderr.decode(errors="replace").strip()[-2000:])
    return done.stdout
