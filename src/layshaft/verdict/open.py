"""What is not chosen yet: which parts that makes unknown, and what rests on a weight taken in its place."""

from __future__ import annotations

from layshaft.machine.kinds import EndlessLoop
from layshaft.train.solve import Solved

ON_SEATS = ("bearing", "key", "hub")


def open_paths(solved: Solved) -> list[str]:
    """Every path of the machine file that says `open`, in file order."""
    found = solved.machine.open_paths
    return [*found, *(path for path, t in solved.taken.items() if t.shaft and path not in found)]


def owner(path: str) -> str:
    """The part a path belongs to: a stage, drive, load or module, a shaft's bar, a bearing or a key."""
    words = path.split(".")
    if words[0] == "shafts" and len(words) >= 5 and words[4] in ON_SEATS:
        return ".".join(words[:5])
    return ".".join(words[:2])


def open_owners(solved: Solved) -> dict[str, list[str]]:
    """Parts that are not chosen, each with what of it is open."""
    found: dict[str, list[str]] = {}
    for path in open_paths(solved):
        found.setdefault(owner(path), []).append(path)
    return found


def taken_weights(solved: Solved) -> dict[str, str]:
    """By root of a set of shafts: the open weight its torques rest on, in words."""
    found = {
        root: f"rests on what is not chosen: {solved.machine.drives[r.free].path}, reckoned as led at the wanted "
              f"speed ({r.want[0]})" for root, r in solved.roles.items() if r.free
    }
    for taken in solved.taken.values():
        if taken.shaft:
            drive = next(d for d in solved.machine.drives.values() if d.path == owner(taken.path))
            shafts = [taken.shaft, *([drive.rewound_from] if isinstance(drive, EndlessLoop) else [])]
            for shaft in shafts:
                found[solved.set_of(shaft).root] = f"rests on what is not chosen: {taken}"
    return found


def set_root(solved: Solved, path: str) -> str:
    """Root of the set of shafts a part belongs to; blank for what belongs to none."""
    shaft = solved.machine.shaft_of(path)
    return solved.set_of(shaft).root if shaft else ""

