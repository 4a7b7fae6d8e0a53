"""Parts of a machine that a search among what can be bought may choose, by kind."""

from __future__ import annotations

from typing import Any

from layshaft.machine.kinds import (
    BevelPair,
    BoltedJoint,
    Brake,
    Coupling,
    DogClutch,
    DowelPins,
    FallingWeight,
    Flywheel,
    FrictionClutch,
    GearPair,
    Ratchet,
    RollerChain,
    SetScrews,
    ShearPin,
    SlipClutch,
    Suspended,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine

KINDS: dict[str, Any] = {
    "Chains": (RollerChain,), "Gears": (GearPair,), "Bevels and worms": (BevelPair, Worm),
    "Belts": (SynchronousBelt, VBelt), "Couplings": (Coupling,),
    "Clutches and pins": (SlipClutch, ShearPin, FrictionClutch, DogClutch), "Ratchets": (Ratchet,)}


def by_kind(machine: Machine) -> dict[str, list[str]]:
    """Paths by kind, in the order of the file; kinds the machine has none of are left out."""
    found = {name: [s.path for s in machine.stages.values() if isinstance(s, kinds)] for name, kinds in KINDS.items()}
    seats = [seat for shaft in machine.shafts.values() for seat in shaft.seats.values()]
    found["Ropes and chains of weights"] = [d.path for d in machine.drives.values() if _hangs(d)]
    found["Shafts"] = [shaft.path for shaft in machine.shafts.values()]
    found["Bearings"] = [seat.bearing.path for seat in seats if seat.bearing.state != "missing"]
    found["Bushes"] = [seat.bush.path for seat in seats if seat.rubs]
    found["Keys"] = [seat.key_size.path for seat in seats if seat.key_size.state != "missing"]
    found["Set screws"] = [seat.hub.path for seat in seats if isinstance(seat.hub, SetScrews)]
    loads = machine.loads.values()
    found["Brakes"] = [load.path for load in loads if isinstance(load, Brake)]
    found["Flywheels"] = [load.path for load in loads if isinstance(load, Flywheel) and not load.made_of]
    found["Springs"] = [spring.path for spring in (machine.springs or {}).values()]
    fixed = (machine.fixings or {}).values()
    found["Bolts and pins"] = [one.path for one in fixed if isinstance(one, (BoltedJoint, DowelPins))]
    found["Frames"] = [one.path for one in (machine.frames or {}).values()]
    return {name: paths for name, paths in found.items() if paths}


def _hangs(drive: Any) -> bool:
    """Whether it is a weight whose rope or chain has a series."""
    by_rope = isinstance(drive, FallingWeight) and drive.suspension.state != "missing"
    return isinstance(drive, Suspended) and (by_rope or drive.chain.state != "missing")  # type: ignore[attr-defined]


def choosable(machine: Machine) -> list[str]:
    """All of them."""
    return [path for paths in by_kind(machine).values() for path in paths]
