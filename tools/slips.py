"""Plants one fault at a time in every formula and table cell; the published checks must notice.

    python tools/slips.py                   all formulas and all table cells that a check reads
    python tools/slips.py gear_pair notch   only formulas and tables whose name holds one of these words
    python tools/slips.py --missed          also print every slip that was not noticed
    python tools/slips.py --sample 200      a seeded sample
    python tools/slips.py --lock            write checks.lock from a run of all of them

Only tests/published and tests/closed_form count, and of these at most three checks per formula or
cell. A slip: a wrong sign, operator or exponent, a constant off by 5 %, an argument swapped or
dropped. One run of all checks learns which check calls which formula and reads which cell.
Exits 1 where fewer than 95 % of all are noticed; every formula below 90 % is listed.
"""

import argparse
import random
import sys
from collections import defaultdict

import lock_checks
import slip_checks
import slip_faults

LEAST = 0.95
LISTED_BELOW = 0.90
COUNTED = 3


class Score:
    """Noticed and planted slips of each formula or table."""

    def __init__(self):
        self.noticed, self.planted, self.missed = defaultdict(int), defaultdict(int), []

    def add(self, where, slip, noticed):
        self.planted[where] += 1
        self.noticed[where] += noticed
        if not noticed:
            self.missed.append(f"{where}: {slip}")

    @property
    def share(self):
        return sum(self.noticed.values()) / max(sum(self.planted.values()), 1)

    def lines(self):
        """One line for each formula or table below nine in ten, the worst first."""
        shares = {w: self.noticed[w] / n for w, n in self.planted.items()}
        for where in sorted(shares, key=lambda w: (shares[w], w)):
            if shares[where] < LISTED_BELOW:
                yield f"  {shares[where]:4.0%}  {self.noticed[where]:>3} of {self.planted[where]:<4} {where}"


def slips_of_formulas(words):
    """(name, slip, set, unset) for each planted fault."""
    from layshaft.trace.registry import load_all

    for name, info in load_all().items():
        if not words or any(w in name for w in words):
            for slip, code in slip_faults.mutants(info):
                yield name, slip, slip_faults.Swap(info.function, code)


def slips_of_cells(checks, words):
    """(table, slip, fault) for each cell in use; 5 % of a cell that holds 0 is no slip."""
    for cell in sorted(checks.used_cells):
        if (not words or any(w in cell[0] for w in words)) and not slip_faults.Cell(cell, 1).is_zero:
            for factor in (1.05, 0.95):
                slip = f"{cell[1]}, {cell[2]} times {factor}"
                yield f"table {cell[0]}", slip, slip_faults.Cell(cell, factor)


def plan(checks, words):
    """Every fault with where it is planted and the checks that could notice it."""
    for where, slip, fault in slips_of_formulas(words):
        yield where, slip, fault, checks.near(checks.by_formula[where])
    for where, slip, fault in slips_of_cells(checks, words):
        yield where, slip, fault, checks.near(checks.by_cell[fault.cell])


def run(checks, words=(), sample=None, seed=1):
    """Plant each fault, see which checks notice, and let three checks of each place count."""
    planted = list(plan(checks, words))
    if sample is not None and sample < len(planted):
        planted = random.Random(seed).sample(planted, sample)
    places = defaultdict(list)
    for where, slip, fault, tests in planted:
        places[where, getattr(fault, "cell", None)].append((slip, fault, tests))
    score = Score()
    for (where, _), faults in places.items():
        tests = faults[0][2]
        missed = noticed_in_turn(checks, [f for _, f, _ in faults], tests)
        for i, (slip, _, _) in enumerate(faults):
            score.add(where, slip, i not in missed)
    return score


def noticed_in_turn(checks, faults, tests):
    """Which of a place's faults no counted check notices.

    Quick checks go first, each sees only what those before it have missed. Only where more than three
    are of use this way is every check held against every fault, to find the three that notice most.
    """
    left, counted = set(range(len(faults))), 0
    for test in sorted(tests, key=lambda t: checks.takes[t]):
        found = {i for i in left if notices(checks, test, faults[i])}
        if found and counted == COUNTED:
            break
        counted += bool(found)
        left -= found
        if not left:
            return left
    else:
        return left
    noticed = [{t.nodeid for t in tests if notices(checks, t, fault)} for fault in faults]
    best = three_best(noticed)
    return {i for i, by in enumerate(noticed) if not by & best}


def notices(checks, test, fault):
    """True where a check fails while the fault is planted."""
    with fault:
        return checks.fails(test)


def three_best(noticed):
    """The checks, at most three, that together notice most."""
    counted, left = set(), [n for n in noticed if n]
    while left and len(counted) < COUNTED:
        best = max(sorted(set().union(*left)), key=lambda t: sum(t in n for n in left))
        counted.add(best)
        left = [n for n in left if best not in n]
    return counted


def main(arguments, checks=None):
    """Ask for slips on the command line; `checks` may have been collected before."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("words", nargs="*", help="part of a formula's or table's name")
    parser.add_argument("--missed", action="store_true", help="print every slip not noticed")
    parser.add_argument("--sample", type=int, help="plant a seeded sample of this size")
    parser.add_argument("--least", type=float, default=LEAST, help="share that must be noticed (0.95)")
    parser.add_argument("--lock", action="store_true", help="write checks.lock; for a run of all slips")
    asked = parser.parse_args(arguments)
    checks = checks or slip_checks.collect()
    if checks.broken:
        print("These checks fail before any slip is planted and do not count:")
        print("\n".join(f"  {name}" for name in checks.broken))
    if checks.left_out:
        print(f"{len(checks.left_out)} checks need a fixture and do not count.")
    score = run(checks, asked.words, asked.sample)
    if asked.missed:
        print("\n".join(score.missed))
    print(f"{checks.only_scanned} table cells are only looked through and do not count.")
    if checks.unread_tables:
        print(f"No check reads a number of: {', '.join(checks.unread_tables)}.")
    print(f"noticed {score.share:.1%} of {sum(score.planted.values())} slips; below {LISTED_BELOW:.0%}:")
    print("\n".join(score.lines()) or "  none")
    if asked.lock and not asked.words and asked.sample is None:
        lock_checks.write(checks, score)
    return 0 if score.share >= asked.least else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
