"""What becomes of every finding in every draw: margin over required margin, and whether it holds.

A finding is a part and a failure mode; of its places and cases the one nearest to failing counts, draw by draw.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.sampling import Draws, with_draws
from layshaft.trace.findings import HOLDS, UNKNOWN, verdicts
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate

Key = tuple[str, str]
"""Path of the part, failure mode."""

CHUNK = 128
"""Draws gone through at once: more of them no longer fit the processor's cache."""

Progress = Callable[[float], None]


@dataclass(slots=True)
class Outcomes:
    """Of the findings `keys`: share of the required margin, and codes, (findings, draws) each; 0 where unknown."""

    keys: list[Key]
    share: npt.NDArray[np.float32]
    codes: npt.NDArray[np.int8]

    def row(self, key: Key) -> int:
        """The row of a finding."""
        return self.keys.index(key)

    @property
    def draws(self) -> int:
        """How many draws there are."""
        return int(self.share.shape[1])

    @property
    def holds(self) -> npt.NDArray[np.bool_]:
        """Where a finding holds."""
        return np.equal(self.codes, HOLDS)

    @property
    def unknown(self) -> npt.NDArray[np.bool_]:
        """Where a finding is not known."""
        return np.equal(self.codes, UNKNOWN)


def outcomes(machine: Machine, draws: Mapping[str, Draws], progress: Progress = lambda _done: None) -> Outcomes:
    """Solve and rate the machine in all draws, chunk by chunk; an interrupt keeps the chunks that are done."""
    count = len(next(iter(draws.values())))
    shares: list[npt.NDArray[np.float32]] = []
    codes: list[npt.NDArray[np.int8]] = []
    keys: list[Key] = []
    for start in range(0, count, CHUNK):
        part = {cause: values[start: start + CHUNK] for cause, values in draws.items()}
        try:
            verdict = rate(solve(with_draws(machine, part)))
        except KeyboardInterrupt:
            if not shares:
                raise
            break
        found = _of(verdict, min(CHUNK, count - start))
        keys = keys or list(found)
        shares.append(np.stack([found[k][0] for k in keys]))
        codes.append(np.stack([found[k][1] for k in keys]))
        progress(min(start + CHUNK, count))
    return Outcomes(keys, np.concatenate(shares, axis=1), np.concatenate(codes, axis=1))


def _of(verdict: Verdict, n: int) -> dict[Key, tuple[npt.NDArray[np.float32], npt.NDArray[np.int8]]]:
    """Share and code of every finding in one chunk."""
    found: dict[Key, tuple[npt.NDArray[np.float32], npt.NDArray[np.int8]]] = {}
    for r in verdict.rated:
        asked = r.asked[:, :, None]
        share = np.where(asked, r.ranked, np.inf).min(axis=1)
        code = np.where(asked, r.codes, HOLDS).min(axis=1).astype(np.int8)
        for p, part in enumerate(r.block.parts):
            if r.asked[p].any():
                _worse(found, (part.path, r.mode), share[p], code[p], n)
    for finding in verdict.whole:
        each = np.float64(finding.margin) if finding.each is None else finding.each
        share = np.nan_to_num(each / finding.required, nan=0.0)
        code = _codes(each, finding.required, finding.hurts)
        known = finding.verdict != "unknown"
        _worse(found, (finding.part, finding.mode), share, code if known else np.int8(UNKNOWN), n)
    return found


def _codes(margin: npt.ArrayLike, required: float, hurts: str) -> npt.NDArray[np.int8]:
    return verdicts(1.0, 1.0, margin, required, bool(hurts))


def _worse(found: dict[Key, tuple[npt.NDArray[np.float32], npt.NDArray[np.int8]]], key: Key, share: npt.ArrayLike,
           code: npt.ArrayLike, n: int) -> None:
    """Keep the smaller share and the worse code of a finding, draw by draw."""
    new = (np.broadcast_to(np.asarray(share, np.float32), (n,)), np.broadcast_to(np.asarray(code, np.int8), (n,)))
    old = found.get(key)
    found[key] = new if old is None else (np.minimum(old[0], new[0]), np.minimum(old[1], new[1]))
