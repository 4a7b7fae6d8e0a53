"""Findings chosen by the words of a command: a part, or one failure mode of it."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import did_you_mean
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.verdict.sampled import Key

SAYS_MODE = ":"


def chosen(findings: Sequence[Finding], words: Sequence[str]) -> frozenset[Key]:
    """Findings of each `PATH` or `PATH: MODE`; what sits on a part counts as of it. Raises `BadInput`."""
    found: set[Key] = set()
    for word in words:
        path, _, mode = (part.strip() for part in word.partition(SAYS_MODE))
        of_path = [(f.part, f.mode) for f in findings if f.part == path or f.part.startswith(f"{path}.")]
        if not of_path:
            parts = list(dict.fromkeys(f.part for f in findings))
            raise BadInput(f"--only {word}: no finding is of {path}. {did_you_mean(path, parts, 'There are')}")
        alike = [key for key in of_path if not mode or key[1] == mode]
        if not alike:
            modes = sorted({key[1] for key in of_path})
            raise BadInput(f"--only {word}: {path} has no finding on {mode}. {did_you_mean(mode, modes, 'There are')}")
        found.update(alike)
    return frozenset(found)
