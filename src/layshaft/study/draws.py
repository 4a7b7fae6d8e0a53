"""Draws of every doubtful given at once: spread evenly over all of them together, and guesses of one kind alike.

Twenty bearing drags that were guessed by one person are wrong in one direction: drawn apart they would
average themselves away and the answer would be falsely sure. So guesses of one key on one kind of thing share
a common factor: each is `sqrt(r) common + sqrt(1 - r) own` in standard normal numbers.
"""

from __future__ import annotations

from collections import Counter

import numpy as np

from layshaft.machine import paths
from layshaft.machine.kinds import DRIVES, LOADS, STAGES
from layshaft.machine.model import Machine
from layshaft.machine.sampling import TOLERANCES, Draws, doubts, ends, quantile
from layshaft.machine.schema import Given

KINDS = {cls: name for kinds in (DRIVES, STAGES, LOADS) for name, cls in kinds.items()}
ALIKE = 0.5
"""Correlation of guesses of one kind: half of what is wrong about one is wrong about all. Common practice where
nothing better is known, no single source."""

AT_ONCE = 4096
"""Points drawn at once: of a hundred thousand for a hundred givens only the draws themselves stay in memory."""


def drawn(machine: Machine, n: int, seed: int, alike: float = ALIKE) -> dict[str, Draws]:
    """`n` draws of every cause of doubt, (n,) each; `alike` 0 draws guesses of one kind apart.

    Scrambled Sobol points, so that a power of two of them covers each given and each pair of them evenly.
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    causes = doubts(machine)
    kinds, of_mass = kinds_of(machine, causes) if alike else {}, same_mass(causes)
    factors = sorted(set(kinds.values()))
    if not causes:
        return {}
    found = {cause: np.empty(n) for cause in causes}
    points = qmc.Sobol(len(causes) + len(factors), scramble=True, rng=np.random.default_rng(seed))
    for start in range(0, n, AT_ONCE):
        normal = ndtri(np.clip(points.random(min(AT_ONCE, n - start)), 1e-12, 1 - 1e-12)).T
        common = dict(zip(factors, normal[len(causes):], strict=True))
        own = dict(zip(causes, normal, strict=False))
        for cause, given in causes.items():
            number = of_mass.get(cause, cause)
            mixed = _mixed(own[number], common.get(kinds.get(number, "")), alike)
            found[cause][start: start + AT_ONCE] = quantile(given, mixed)
    return found


def _mixed(own: Draws, common: Draws | None, alike: float) -> Draws:
    return own if common is None else np.sqrt(alike) * common + np.sqrt(1 - alike) * own


def kinds_of(machine: Machine, causes: dict[str, Given]) -> dict[str, str]:
    """The kind of every judgement that is not the only one of its kind: what it is of, and its key."""
    found = {cause: kind_of(machine, cause) for cause, given in causes.items() if given.source not in TOLERANCES}
    many = Counter(found.values())
    return {cause: kind for cause, kind in found.items() if many[kind] > 1}


def same_mass(causes: dict[str, Given]) -> dict[str, str]:
    """Guessed inertias of bodies whose mass is guessed too: a wheel that is heavier than thought is so in both."""
    found = {}
    for cause, given in causes.items():
        mass = cause.removesuffix("inertia") + "mass"
        if cause.endswith(".inertia") and mass in causes and not {given.source, causes[mass].source} & set(TOLERANCES):
            found[cause] = mass
    return found


def kind_of(machine: Machine, cause: str) -> str:
    """Such as `efficiency of roller chain` or `drag of seat`."""
    steps = paths.split(cause)
    assert steps is not None
    words = [str(step) for step in steps if not isinstance(step, int)]
    key = words[-1]
    if len(words) > 3:  # of a part of a thing, such as a seat of a shaft
        return f"{key} of {words[-3].removesuffix('s')}"
    owner = paths.in_model(machine, steps[:2]) if len(steps) > 2 else None
    return f"{key} of {KINDS.get(type(owner), words[0].removesuffix('s'))}"


def spaced(machine: Machine, causes: list[str], points: int) -> dict[str, Draws]:
    """One cause after the other moved from end to end in `points` steps, all others at their value.

    Draws of shape (len(causes) * points,), in the order of `causes`.
    """
    given = doubts(machine)
    found = {}
    for i, cause in enumerate(causes):
        values = np.full(len(causes) * points, given[cause].nominal)
        values[i * points: (i + 1) * points] = np.linspace(*ends(given[cause]), points)
        found[cause] = values
    return found

