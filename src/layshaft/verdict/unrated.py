"""Parts that no method of this house covers yet: unknown, by name, so that nothing is silent."""

from __future__ import annotations

from collections.abc import Iterator

from layshaft.machine.kinds import BevelPair, GearPair, OneWayHub, Ratchet, Stage, Worm
from layshaft.trace.findings import Finding
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.gears import is_spur
from layshaft.verdict.open import open_owners

NONE = Source("no method in the house yet", obtained="derived")
MODES = {
    BevelPair: ("root strength", "flank wear", "jam strength", "slope at mesh"),
    Worm: ("root strength", "flank wear", "jam strength", "slope at mesh"),
    OneWayHub: ("held torque",),
    Ratchet: ("tooth bending", "tooth pressure", "pawl pin shear"),
    GearPair: ("root strength", "flank wear", "jam strength"),
}
WORDS = {BevelPair: "bevel gears", Worm: "worm gears", OneWayHub: "one-way hubs",
         Ratchet: "ratchets between two shafts", GearPair: "helical gears"}


def unrated(c: Context) -> Iterator[Finding]:
    """One unknown for each failure mode of each part without a method, and for parts not designed."""
    missing = open_owners(c.solved)
    for stage in c.machine.stages.values():
        if not _covered(stage):
            for mode in MODES[type(stage)]:
                why = f"no method for the strength of {WORDS[type(stage)]} yet"
                yield _unknown(stage.path, mode, "not chosen" if stage.path in missing else why,
                               c.hurts(stage.path))
    for module in c.machine.modules.values():
        if module.mass.state == "open":
            yield _unknown(module.path, "mass", "not chosen", "")
        elif not module.mass.known:
            yield _unknown(module.path, "mass", f"mass of the module is not given ({module.mass.path})", "")


def _covered(stage: Stage) -> bool:
    if isinstance(stage, Ratchet):
        return stage.to == "frame"
    return type(stage) not in MODES or is_spur(stage)


def _unknown(path: str, mode: str, reason: str, hurts: str) -> Finding:
    return Finding(path, "", mode, "any", "any case", RATIO, NAN, NAN, NAN, NAN, "unknown", NONE, NONE,
                   reason=reason, hurts=hurts)
