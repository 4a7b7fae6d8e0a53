"""Which Layshaft this is, to the byte: two that differ may give two answers."""

from __future__ import annotations

import hashlib
import sys
from functools import cache
from pathlib import Path

import numpy as np

KEPT = (".py", ".csv", ".yaml")
"""Files an answer depends on."""


@cache
def state() -> str:
    """Version, a short hash of code and tables, and the version of the library that does the arithmetic."""
    root = Path(__file__).parents[1]
    files = sorted(p for p in root.rglob("*") if p.suffix in KEPT)
    digest = hashlib.blake2b(digest_size=5)
    for path in files:
        digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    version = sys.modules[__name__.split(".")[0]].__version__  # the ground floor imports nothing above it
    return f"Layshaft {version} ({digest.hexdigest()}) with numpy {np.__version__}"
