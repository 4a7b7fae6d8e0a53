"""A second pawl or one-way hub on a shaft that one holds already: it must be able to hold alone what that one holds."""

from __future__ import annotations

from typing import Any

from layshaft.machine.kinds import OneWayHub, Ratchet
from layshaft.train.solve import Solved


def torque_at(solved: Solved, shaft: str, seat: str) -> Any:
    """Torque at a seat in every case; at that of a second holder what the first one holds. None where nothing acts."""
    acting = solved.seat_torque[shaft]
    if seat in acting:
        return acting[seat]
    holders = [t.seats[0] for t in solved.machine.stages.values()
               if isinstance(t, Ratchet | OneWayHub) and t.to == "frame" and t.from_ == shaft]
    return next((acting[other] for other in holders if other in acting), None) if seat in holders else None
