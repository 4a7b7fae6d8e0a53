"""Files written whole or not at all: a reader sees the old one or the new one, never a half."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path


def write_whole(target: Path, text: str | bytes, ready: Callable[[], object] = lambda: None) -> Path:
    """Write UTF-8 text, or bytes, to `target`, with the rights it has or the usual ones of a new file.

    `ready` is called when all is on disk, just before the file takes its place; what it raises leaves
    everything as it was.
    """
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text if isinstance(text, bytes) else text.encode())
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(target.stat().st_mode & 0o7777 if target.exists() else 0o666 & ~_umask())
        ready()
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return target


def _umask() -> int:
    """The mask for new files; the system tells it only in exchange for another."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
