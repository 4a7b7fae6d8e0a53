"""What drives each set of shafts, what holds it at rest, and at which speed it is wanted to turn."""

from __future__ import annotations

from dataclasses import dataclass, replace

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import PERIODIC, EndlessLoop, OneWayHub, Ratchet, Suspended
from layshaft.machine.model import Machine
from layshaft.machine.sentences import train as say
from layshaft.train.graph import ShaftSet
from layshaft.train.sources import is_led
from layshaft.train.wanted import open_pull, wanted_speed


@dataclass(frozen=True, slots=True)
class Role:
    """What drives a set of shafts, and what holds it at rest."""

    set: ShaftSet
    weights: tuple[str, ...]
    led_by: str
    winds: str
    """The endless loop this set rewinds, if it does."""

    ratchet: str
    pulses: bool
    free: str = ""
    """Weight whose mass or wheel is open, where a wanted speed tells the torque it must give."""

    wanted: float = float("nan")
    """Speed of the root that is wanted then."""

    want: tuple[str, str] = ("", "")
    """Path of the want, and its shaft."""

    @property
    def driven(self) -> bool:
        """True where something turns the set, or holds a weight through it."""
        return bool(self.weights or self.led_by or self.winds)


def role(machine: Machine, s: ShaftSet) -> Role:
    """Find the drives and the holding ratchet of a set. Raises `MachineErrors` where two drives lead."""
    inside = set(s.shafts)
    on_it = {n: d for n, d in machine.drives.items() if d.shaft in inside}
    weights = tuple(n for n, d in on_it.items() if isinstance(d, Suspended))
    leaders = [n for n, d in on_it.items() if is_led(d)]
    if len(leaders) > 1:
        first, *others = (machine.drives[n] for n in leaders)
        raise MachineErrors([Problem(d.mark, say.speed_decided_twice(d.path, d.shaft, first.path, first.shaft))
                             for d in others])
    led = leaders[0] if leaders else ""
    winds = next((n for n, d in machine.drives.items()
                  if isinstance(d, EndlessLoop) and d.rewound_from in inside), "")
    ratchet = next((n for n, t in machine.stages.items()
                    if isinstance(t, (Ratchet, OneWayHub)) and t.to == "frame" and t.from_ in inside), "")
    pulses = any(isinstance(v, PERIODIC) and v.shaft in inside for v in machine.loads.values())
    found = Role(s, weights, led, winds if winds not in weights else "", ratchet, pulses)
    return found if led or len(weights) != 1 else _free(machine, found)


def _free(machine: Machine, r: Role) -> Role:
    """A set whose one weight is still open turns as wanted, if a wanted speed is there."""
    drive = machine.drives[r.weights[0]]
    if not isinstance(drive, Suspended) or not open_pull(drive):
        return r
    speed, path, shaft = wanted_speed(machine, r.set)
    return replace(r, free=r.weights[0], wanted=speed, want=(path, shaft)) if path else r


def goes_on_without(r: Role, drive: str) -> bool:
    """True where a set of shafts still turns while one of its drives is not engaged."""
    return drive in r.weights and not r.led_by and len(r.weights) > 1
