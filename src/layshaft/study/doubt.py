"""What is doubtful about a machine: how likely each finding holds, which guess owns the doubt, where a verdict flips.

Three runs of the same machine: all givens drawn together; each given alone from end to end; and for every
finding all givens at the ends that are bad for it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.sampling import doubts, ends
from layshaft.machine.schema import Given
from layshaft.study.adjustments import Adjustment, adjustments
from layshaft.study.draws import ALIKE, drawn, kinds_of, spaced
from layshaft.study.outcomes import Key, Outcomes, Progress, outcomes
from layshaft.study.shares import first_order, ranks
from layshaft.trace.findings import HOLDS, UNKNOWN, Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.work import HERE, Runner

POINTS = 17
"""Steps in which a given is moved from end to end to see where verdicts flip."""

SURE = 0.98
"""A finding that holds, or does not, in this share of the draws and more is not in doubt."""

CLEAR = 2.0
"""Standard errors a share must be above nothing for its guess to be named as an owner."""

PEOPLE_COUNT = 3.0
"""How much heavier a finding weighs that can hurt people, when it is asked which guess to settle first."""

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Odds:
    """One finding under doubt: `share` is margin over required margin, at 5, 50 and 95 % of the draws."""

    finding: Finding
    holds: float
    unknown: float
    share: tuple[float, float, float]
    at_worst: float
    """Share with all guesses at the ends that are bad for this finding."""

    holds_at_worst: bool
    unknown_at_worst: bool = False

    @property
    def in_doubt(self) -> bool:
        """Neither nearly always nor nearly never."""
        return 1 - SURE < self.holds < SURE


@dataclass(frozen=True, slots=True)
class Owner:
    """A guess and what of the doubt it owns: of all verdicts in doubt, and of each."""

    cause: str
    given: Given
    owns: float
    error: float
    verdicts: tuple[tuple[Key, float], ...]
    kind: str

    @property
    def clear(self) -> bool:
        """True where so much is more than chance makes of nothing at that many draws."""
        return not self.owns <= CLEAR * self.error


@dataclass(frozen=True, slots=True)
class Flip:
    """Where one verdict changes if one given alone moves: the value nearest to the one it has."""

    key: Key
    cause: str
    value: float
    holds_below: bool


@dataclass(frozen=True, slots=True)
class Gap:
    """A verdict that is unknown at some values of one given alone: it is known between `low` and `high`."""

    key: Key
    cause: str
    low: float
    high: float


@dataclass(slots=True)
class Doubt:
    """The whole answer. `owners` comes in the order in which asking pays; `odds` the least sure first."""

    draws: int
    asked: int
    seed: int
    alike: float
    odds: list[Odds] = field(default_factory=list)
    owners: list[Owner] = field(default_factory=list)
    flips: list[Flip] = field(default_factory=list)
    outcomes: Outcomes | None = None
    few: bool = False
    """Of some findings only."""

    gaps: list[Gap] = field(default_factory=list)
    adjustments: list[Adjustment] = field(default_factory=list)

    @property
    def stands(self) -> bool:
        """True where everything that holds as it stands also holds with all guesses at their bad ends."""
        return all(o.holds_at_worst for o in self.odds if o.finding.verdict == "holds")


def doubt(machine: Machine, n: int = 1024, seed: int = 1, alike: float = ALIKE,
          progress: Progress = lambda _done: None, runner: Runner = HERE, only: frozenset[Key] | None = None) -> Doubt:
    """Carry every doubtful given through the whole machine. `n` is best a power of two.

    The ends come first: an interrupt among the draws leaves the answer of those that are done. `progress` hears
    which share of all the work that is. `only` asks for some findings: that is much faster.
    """
    given = doubts(machine)
    found = Doubt(n, n, seed, alike, few=only is not None)
    if not given:
        return found
    nominal = {(f.part, f.mode): f for f in rate(solve(machine)).findings}
    moved = len(given) * POINTS
    whole = moved + len(nominal) + n
    alone = outcomes(machine, spaced(machine, list(given), POINTS), lambda done: progress(done / whole), only,
                     runner, keep=False)
    at_worst = _at_bad_ends(machine, given, alone, only, runner)
    draws = drawn(machine, n, seed, alike)
    together = outcomes(machine, draws, lambda done: progress((whole - n + done) / whole), only, runner)
    found.draws, found.outcomes = together.draws, together
    found.odds = _odds(together, alone.keys, at_worst, nominal)
    found.owners = _owners(machine, given, {c: v[: together.draws] for c, v in draws.items()}, together, nominal)
    found.flips, found.gaps = _flips(given, alone, nominal), _gaps(given, alone, nominal)
    found.adjustments = adjustments(machine, {c: v[: together.draws] for c, v in draws.items()})
    return found


def _odds(o: Outcomes, ends_of: list[Key], at_worst: Outcomes, nominal: dict[Key, Finding]) -> list[Odds]:
    """Draw `j` of `at_worst` is the one that is bad for the finding `ends_of[j]`."""
    found = []
    spread = np.quantile(o.share, (0.05, 0.5, 0.95), axis=1).T
    for i, key in enumerate(o.keys):
        if key in nominal:
            low, middle, high = map(float, spread[i])
            row, j = at_worst.row(key), ends_of.index(key)
            found.append(Odds(nominal[key], float(o.holds[i].mean()), float(o.unknown[i].mean()), (low, middle, high),
                              float(at_worst.share[row, j]), bool(at_worst.holds[row, j]),
                              bool(at_worst.unknown[row, j])))
    return sorted(found, key=lambda x: (abs(x.holds - 0.5), x.finding.rank))


def _at_bad_ends(machine: Machine, given: dict[str, Given], alone: Outcomes, only: frozenset[Key] | None,
                 runner: Runner) -> Outcomes:
    """One draw a finding: every given at the end that is worse for it, alone; where it does not matter, as it is."""
    share = _by_cause(alone, len(given))
    first, last = share[:, :, 0], share[:, :, -1]
    draws = {}
    for k, (cause, g) in enumerate(given.items()):
        low, high = ends(g)
        worse = np.where(first[:, k] < last[:, k], low, high)
        draws[cause] = np.where(first[:, k] == last[:, k], g.nominal, worse).astype(float)
    return outcomes(machine, draws, only=only, runner=runner, keep=False)


def _by_cause(alone: Outcomes, causes: int) -> npt.NDArray[np.float32]:
    return alone.share.reshape(len(alone.keys), causes, POINTS)


def _owners(machine: Machine, given: dict[str, Given], draws: dict[str, Array], o: Outcomes,
            nominal: dict[Key, Finding]) -> list[Owner]:
    """Guesses by how much of what is in doubt would be settled if they were known.

    Of a verdict in doubt it is the verdict that counts, holds or not; with none in doubt, how the margins rank.
    """
    x = np.stack([draws[cause] for cause in given])
    p = o.holds.mean(axis=1)
    rows = [i for i, key in enumerate(o.keys) if key in nominal and 1 - SURE < p[i] < SURE]
    if rows:
        y, weight = o.holds[rows].astype(float), (p * (1 - p))[rows]
    else:
        rows = [i for i, key in enumerate(o.keys) if key in nominal and np.ptp(o.share[i]) > 0]
        y, weight = ranks(o.share[rows].astype(float)), np.ones(len(rows))
    if not rows:
        return []
    weight = weight * [PEOPLE_COUNT if nominal[o.keys[i]].hurts else 1.0 for i in rows]
    index, error = first_order(x, y)
    index = np.clip(index, 0, 1)
    owns, off = weight @ index / weight.sum(), weight @ error / weight.sum()  # verdicts go wrong together, not apart
    kinds = kinds_of(machine, given)
    found = []
    for k, (cause, g) in enumerate(given.items()):
        of = sorted(((o.keys[i], float(index[r, k]), float(error[r, k])) for r, i in enumerate(rows)),
                    key=lambda t: -t[1])
        clear = tuple((key, s) for key, s, e in of if s > max(0.1, CLEAR * e))
        found.append(Owner(cause, g, float(owns[k]), float(off[k]), clear, kinds.get(cause, "")))
    return sorted(found, key=lambda w: -w.owns)


def flips_of(machine: Machine, cause: str) -> list[Flip]:
    """Where verdicts change if this given alone moves from end to end."""
    given = {cause: doubts(machine)[cause]}
    nominal = {(f.part, f.mode): f for f in rate(solve(machine)).findings}
    return _flips(given, outcomes(machine, spaced(machine, [cause], POINTS)), nominal)


def _flips(given: dict[str, Given], alone: Outcomes, nominal: dict[Key, Finding]) -> list[Flip]:
    """For each verdict and given: the value, nearest to the one it has, at which the verdict changes."""
    share = _by_cause(alone, len(given)).astype(float)
    holds = (alone.codes == HOLDS).reshape(share.shape)
    found = []
    for f, k in zip(*np.nonzero(holds.any(axis=2) & ~holds.all(axis=2)), strict=True):
        g = given[list(given)[k]]
        values = np.linspace(*ends(g), POINTS)
        if alone.keys[f] in nominal:
            value, below = _nearest_flip(values, holds[f, k], share[f, k], g.nominal)
            found.append(Flip(alone.keys[f], g.cause, value, below))
    return found


def _gaps(given: dict[str, Given], alone: Outcomes, nominal: dict[Key, Finding]) -> list[Gap]:
    """For each verdict that is known now and each given: the steps around its value at which it stays known."""
    unknown = (alone.codes == UNKNOWN).reshape(len(alone.keys), len(given), POINTS)
    found = []
    for f, k in zip(*np.nonzero(unknown.any(axis=2)), strict=True):
        g, key = given[list(given)[k]], alone.keys[f]
        values = np.linspace(*ends(g), POINTS)
        known = values[~unknown[f, k]]
        if key in nominal and nominal[key].verdict != "unknown" and len(known):
            found.append(Gap(key, g.cause, float(known.min()), float(known.max())))
    return found


def _nearest_flip(values: Array, holds: npt.NDArray[np.bool_], share: Array, nominal: float) -> tuple[float, bool]:
    """Between the two steps where it changes: where the share of the required margin passes 1, else the middle."""
    at = np.nonzero(holds[1:] != holds[:-1])[0]
    i = int(at[np.argmin(np.abs((values[at] + values[at + 1]) / 2 - nominal))])
    a, b = share[i], share[i + 1]
    passes = 0 < a and 0 < b and (a - 1) * (b - 1) < 0
    part = (1 - a) / (b - a) if passes else 0.5
    return float(values[i] + part * (values[i + 1] - values[i])), bool(holds[i])
