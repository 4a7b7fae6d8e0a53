"""From plain data to paper: the typesetter, in a process of its own that ends with its page.

A typesetter keeps all it has set and gives none of it back (measured: 125 MB a book), so it must not live as long
as a desk does. It reads nothing but its own two forms.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

OFTEN = 0.2
"""Seconds between two words on how long it has taken."""

SETTER = "layshaft.faces.printed.setter"


class PaperError(RuntimeError):
    """The typesetter refused: a fault of ours, for no data of a machine is ever its source."""


def pdf(data: dict[str, Any], waited: Callable[[float], None] | None = None) -> bytes:
    """The data of a book as PDF; the same data gives the same bytes.

    `waited` hears now and then how many seconds it has taken; what it raises ends the work.
    """
    return _set("book.typ", "pdf", data, waited=waited)


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


def _set(form: str, kind: str, data: dict[str, Any], dots_per_inch: float = 0.0,
         waited: Callable[[float], None] | None = None) -> bytes:
    asked = json.dumps({"form": form, "kind": kind, "ppi": dots_per_inch, "data": data}, ensure_ascii=False).encode()
    begun = time.monotonic()
    with subprocess.Popen([sys.executable, "-m", SETTER], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE) as setter:
        try:
            while True:
                try:
                    out, said = setter.communicate(asked, timeout=OFTEN if waited is not None else None)
                    break
                except subprocess.TimeoutExpired:
                    asked = b""  # it was sent with the first call
                    if waited is not None:
                        waited(time.monotonic() - begun)
        except BaseException:
            setter.kill()
            raise
    if setter.returncode:
        raise PaperError(said.decode(errors="replace").strip()[-2000:])
    return out
