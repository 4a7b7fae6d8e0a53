"""checks.lock: which checks cover each formula, on what they stand, and how many planted slips they notice.

    python tools/slips.py --lock      plant every slip and rewrite the lock
    python tools/lock_checks.py       say of which formulas the lock holds another number of checks

docs/methods.md prints it. One line a formula: name, checks against published values, checks against
remembered values, checks against closed forms and general libraries, slips noticed, slips planted.
"""

import sys
from pathlib import Path
from typing import NamedTuple

import slip_checks

from layshaft.trace.registry import load_all

LOCK = Path(__file__).parents[1] / "checks.lock"
HEAD = "# name, checks: published, from memory, closed form; slips noticed, planted; written by tools/slips.py --lock\n"


class Cover(NamedTuple):
    """What covers one formula."""

    published: int
    from_memory: int
    closed_form: int
    noticed: int
    planted: int

    @property
    def share(self):
        """Share of the planted slips that was noticed; 1 where there was none to plant."""
        return self.noticed / self.planted if self.planted else 1.0


def locked():
    """What the lock holds, by formula; empty without a lock."""
    if not LOCK.exists():
        return {}
    lines = [line.split() for line in LOCK.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return {name: Cover(*map(int, numbers)) for name, *numbers in lines}


def write(checks, score):
    """Lock what a full run of slips has found."""
    lines = [" ".join(map(str, (name, *checks.trust(name), score.noticed[name], score.planted[name])))
             for name in load_all()]
    LOCK.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")


def differences(checks):
    """Formulas whose checks are not those of the lock."""
    old = locked()
    new = {name: checks.trust(name) for name in load_all()}
    return [f"{name}: {new.get(name, 'gone')}, the lock has {tuple(old[name][:3]) if name in old else 'nothing'}"
            for name in sorted(old.keys() | new.keys()) if name not in old or tuple(old[name][:3]) != new.get(name)]


if __name__ == "__main__":
    found = differences(slip_checks.collect())
    print("\n".join(found) or "checks.lock agrees with the tests")
    sys.exit(1 if found else 0)
