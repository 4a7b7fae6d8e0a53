"""Writes methods.lock: name, version and a hash of each formula's syntax tree.

    python tools/lock_methods.py            rewrite the lock
    python tools/lock_methods.py --check    say what differs, change nothing

A formula whose hash changed needs a raised `version=`, so that records made with the old one go
stale; the tool refuses to lock it before. `--again` locks it all the same, for a formula whose
numbers did not change or that was never released.
"""

import ast
import sys
from hashlib import blake2b
from pathlib import Path

from layshaft.trace.formula import FormulaInfo
from layshaft.trace.registry import load_all

LOCK = Path(__file__).parents[1] / "methods.lock"
HEAD = "# name, version, hash of the formula's syntax tree; written by tools/lock_methods.py\n"


Lock = dict[str, tuple[int, str]]


def tree_hash(info: FormulaInfo) -> str:
    """Hash of parameters, expression and the constants it names; layout and words do not matter."""
    space = info.function.__globals__
    names = sorted({n.id for n in ast.walk(info.expression) if isinstance(n, ast.Name)})
    constants = [f"{n}={space[n]!r}" for n in names if n.isupper() and isinstance(space.get(n), float | int)]
    dimensions = [f"{p}: {d.name}" for p, d in info.dimensions.items()]
    text = "\n".join([*dimensions, info.dimension.name, ast.unparse(info.expression), *constants])
    return blake2b(text.encode(), digest_size=8).hexdigest()


def current() -> Lock:
    """Version and hash of every formula of the house."""
    return {name: (info.version, tree_hash(info)) for name, info in load_all().items()}


def locked() -> Lock:
    """What the lock holds."""
    if not LOCK.exists():
        return {}
    lines = [line.split() for line in LOCK.read_text(encoding="utf-8").splitlines()]
    return {f[0]: (int(f[1]), f[2]) for f in lines if f and not f[0].startswith("#")}


def differences(old: Lock, new: Lock) -> tuple[list[str], list[str]]:
    """What must be put right in the code, and what the tool only has to be run for."""
    wrong, stale = [], []
    for name, (version, digest) in new.items():
        if name not in old:
            stale.append(f"{name} is new")
        elif digest != old[name][1] and version <= old[name][0]:
            wrong.append(f"{name} changed: raise its version above {old[name][0]}")
        elif (version, digest) != old[name]:
            stale.append(f"{name} has version {version}, the lock has {old[name][0]}")
    stale += [f"{name} is gone" for name in old if name not in new]
    return wrong, stale


def main(arguments: list[str]) -> int:
    new = current()
    wrong, stale = differences(locked(), new)
    if "--check" in arguments:
        print("\n".join([*wrong, *stale]) or "methods.lock agrees with the code")
        return 1 if wrong or stale else 0
    if wrong and "--again" not in arguments:
        print("\n".join(wrong))
        return 1
    lines = [f"{name} {version} {digest}\n" for name, (version, digest) in new.items()]
    LOCK.write_text(HEAD + "".join(lines), encoding="utf-8")
    print(f"methods.lock holds {len(lines)} formulas")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
