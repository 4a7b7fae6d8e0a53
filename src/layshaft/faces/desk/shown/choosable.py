"""Parts of a machine that a search among what can be bought may choose, by kind."""

from __future__ import annotations

from typing import Any

from layshaft.machine.kinds import Coupling, GearPair, RollerChain, SynchronousBelt, VBelt
from layshaft.machine.model import Machine

KINDS: dict[str, Any] = {
    "Chains": (RollerChain,), "Gears": (GearPair,), "Belts": (SynchronousBelt, VBelt), "Couplings": (Coupling,)}


def by_kind(machine: Machine) -> dict[str, list[str]]:
    """Paths by kind, in the order of the file; kinds the machine has none of are left out."""
    found = {name: [s.path for s in machine.stages.values() if isinstance(s, kinds)] for name, kinds in KINDS.items()}
    seats = [seat for shaft in machine.shafts.values() for seat in shaft.seats.values()]
    found["Shafts"] = [shaft.path for shaft in machine.shafts.values()]
    found["Bearings"] = [seat.bearing.path for seat in seats if seat.bearing.state != "missing"]
    found["Keys"] = [seat.key_size.path for seat in seats if seat.key_size.state != "missing"]
    return {name: paths for name, paths in found.items() if paths}


def choosable(machine: Machine) -> list[str]:
    """All of them."""
    return [path for paths in by_kind(machine).values() for path in paths]
