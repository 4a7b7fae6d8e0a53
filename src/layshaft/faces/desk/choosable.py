"""Parts of a machine that a search among what can be bought may choose."""

from __future__ import annotations

from layshaft.machine.model import Machine


def choosable(machine: Machine) -> list[str]:
    """Stages, shafts, and the bearings and keys of seats, in the order of the file."""
    found = [f"stages.{name}" for name in machine.stages]
    for shaft in machine.shafts.values():
        found.append(shaft.path)
        for seat in shaft.seats.values():
            found += [leaf.path for leaf in (seat.bearing, seat.key_size) if leaf.state != "missing"]
    return found
