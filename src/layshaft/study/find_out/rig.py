"""A try-out rig for one shaft, as a machine file of its own: the shaft with what turns on it, a drum, a small weight.

What the machine guesses of the shaft is carried over as it stands, guesses with their spreads; what the rig adds is
decided. So the rig is solved, checked and doubted like any machine, and its prediction is the model's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np

from layshaft.machine import paths
from layshaft.machine.document import Entry, ListNode, MapNode, Node, TextNode
from layshaft.machine.kinds import PERIODIC, Allowance, Brake, Pull
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.quantities import SAME_AS
from layshaft.machine.reader import read_text
from layshaft.machine.schema import Choice
from layshaft.machine.writing.render import block
from layshaft.mechanics import bench, inertia
from layshaft.mechanics.loads import pulse_energy
from layshaft.study.find_out.serves import bearings
from layshaft.study.trial import free_name, new_seat, rounded_up, written
from layshaft.trace.errors import BadInput
from layshaft.trace.units import ENERGY, LENGTH, MASS, shown
from layshaft.train import sources

RUN_DOWN, BREAK_AWAY = "run-down", "break-away"
KINDS = (RUN_DOWN, BREAK_AWAY)
DRUMS, DROP, STRAND = (0.05, 0.1, 0.2, 0.4), 1.0, 0.8
"""m: drums to the middle of the cord, height of fall, cord between drum and weight."""

LIGHT = 10.0
"""kg up to which the smallest drum is taken that will do: common practice, no single source."""

RUNS_ON, STARTS = 3.0, 1.3
"""Torque of the weight over what keeps the shaft turning, so that it runs on for some turns; and over what breaks it
away, so that it starts; the larger of both. A break-away rig has twice what breaks it away at hand."""

AT_HAND = 2.0

STEEL = 7850.0
SHAFT_KEYS = ("material", "sections", "fillet", "fillets", "grooves", "cross holes", "finish", "reliability",
              "notch in yield")
LEFT_OUT = (*PERIODIC, Brake, Pull, Allowance)
"""Loads that are taken off the shaft for the rig."""

ITSELF = "shaft itself"


@dataclass(frozen=True, slots=True)
class Rig:
    """A drafted rig: its text, its machine, and what of the shaft was left out of it."""

    kind: str
    shaft: str
    text: str
    machine: Machine
    left_out: tuple[str, ...]


def draft(machine: Machine, part: str = "", kind: str = RUN_DOWN) -> Rig:
    """The rig for one shaft. Raises `BadInput` where the shaft cannot be tried, or what it needs is not known."""
    if kind not in KINDS:
        raise BadInput(f"'{kind}' is no rig. There is: {', '.join(KINDS)}.")
    name = _shaft(machine, part)
    work = _Draft(machine, name, kind)
    trial = read_text(work.text(1.0, DRUMS[0]))
    torque, turning = friction(trial, name, "at rest"), friction(trial, name, "mean")
    if not np.isfinite(torque):
        raise BadInput(f"What breaks {name} away is not known: state drag and break away of its bearings, "
                       f"{' and '.join(repr(s) for s in bearings(machine.shafts[name]))}, and of what turns on it.")
    if not torque > 0:
        raise BadInput(f"Nothing resists {name} by the machine file: there is nothing a rig could show. State the drag "
                       "of its bearings.")
    wanted = AT_HAND * torque if kind == BREAK_AWAY else max(RUNS_ON * turning, STARTS * torque)
    masses = [float(bench.break_away_mass(wanted, trial.gravity.nominal, d)) for d in DRUMS]
    mass, drum = next(((m, d) for m, d in zip(masses, DRUMS, strict=True) if m <= LIGHT), (masses[-1], DRUMS[-1]))
    text = work.text(rounded_up(mass, 2), drum)
    return Rig(kind, name, text, read_text(text), tuple(work.left_out))


def friction(rig: Machine, shaft: str, state: Literal["at rest", "mean"]) -> float:
    """Torque of bearings and loads that holds the shaft of a rig at rest, or goes on when it turns slowly."""
    seats = [s.drag.value * (s.break_away.value if state == "at rest" else 1.0)
             for s in rig.shafts[shaft].seats.values() if s.drag.known or s.carries_shaft]
    loads = [sources.resisting_torque(rig, load, state) for load in rig.loads.values()]
    return float(np.mean(sum(seats) + sum(loads)))


def _shaft(machine: Machine, part: str) -> str:
    """The shaft a part belongs to. A stage is tried by the run of either of its shafts, so it must be named."""
    folded = part.casefold().removeprefix("shafts.").partition(".")[0]
    found = [name for name in machine.shafts if name.casefold() == folded]
    if not found and part:
        owner = machine.shaft_of(part) or next((load.shaft for name, load in machine.loads.items()
                                                if name.casefold() == part.casefold()), "")
        found = [owner] if owner else []
    if not found:
        asked = f"'{part}' is no shaft, nor on one. " if part else "A rig is for one shaft. "
        raise BadInput(f"{asked}Give --part with one of: {', '.join(machine.shafts)}.")
    return found[0]


@dataclass(slots=True)
class _Draft:
    machine: Machine
    name: str
    kind: str
    first: dict[str, str] = field(default_factory=dict)
    """For each cause, the path of the rig that has it."""

    left_out: list[str] = field(default_factory=list)

    @property
    def shaft(self) -> Shaft:
        """The shaft that is tried."""
        return self.machine.shafts[self.name]

    def text(self, mass: float, drum: float) -> str:
        """The whole file."""
        self.first, self.left_out = {}, []
        m, kept = self.machine, self._kept()
        root = [Entry("layshaft", TextNode("").mark, TextNode("1")), *_entries({
            "name": f"{self.name} on the bench",
            "about": f"{self.kind[0].upper()}{self.kind[1:]} rig for the shaft {self.name} of {m.title}.",
            "gravity": self._carried(("gravity",)), "venue": self._carried(("venue",)),
            "modules": {"bench": {"mass": "open"}},
            "shafts": {self.name: self._shaft_node(kept)},
            "drives": {"weight": self._weight(mass, drum)},
            "loads": self._loads(), "parts": self._parts(kept)})]
        lines = [line for e in root for line in block(e.key, e.value, 0)]
        return "\n".join([*self._opening(), *lines, ""])

    def _opening(self) -> Iterator[str]:
        yield f"# A try-out rig for the shaft {self.name} of {self.machine.title}, drafted by layshaft find-out --rig."
        yield "# Guesses are carried over with their spreads; drum, weight and height are decided here: change them."
        if self.left_out:
            yield f"# Not on the rig: {', '.join(self.left_out)}."
        if self.shaft.axis[2]:
            yield "# The shaft stands upright in the machine: lead the cord over a pulley, or lay the shaft level."
        yield "# The prediction beside this file was written before anything was read. Change this file: draft anew."

    # What is carried over.

    def _carried(self, steps: paths.Steps) -> Node | None:
        node = paths.in_tree(self.machine.document, steps)
        return None if node is None else self._resolved(node, paths.joined(steps))

    def _resolved(self, node: Node, path: str) -> Node:
        """The node with every `same as` that leads out of the rig written out once."""
        given = self.machine.givens.get(path)
        if given is not None and given.cause and given.state != "missing":
            before = self.first.setdefault(given.cause, path)
            if before != path:
                return TextNode(f"{SAME_AS}{before}")
            if given.cause != path:
                node = paths.in_tree(self.machine.document, paths.split(given.cause) or ()) or node
            return node
        if isinstance(node, MapNode):
            return MapNode(tuple(Entry(e.key, e.mark, self._resolved(e.value, f"{path}.{e.key}"))
                                 for e in node.entries))
        if isinstance(node, ListNode):
            return ListNode(tuple(self._resolved(item, f"{path}[{i}]") for i, item in enumerate(node.items)))
        return node

    def _kept(self) -> list[str]:
        """Seats that stay: what holds the shaft, and where the loads that stay sit."""
        on = {load.seat for load in self._staying().values()}
        return [seat for seat in self.shaft.seats if seat in {*bearings(self.shaft), *on}]

    def _staying(self) -> dict[str, Any]:
        return {name: load for name, load in self.machine.loads.items()
                if load.shaft == self.name and not isinstance(load, LEFT_OUT)}

    def _shaft_node(self, kept: list[str]) -> MapNode:
        at = ("shafts", self.name)
        keys: dict[str, Any] = {"module": "bench", "axis": "x" if self.shaft.axis[2] else self._carried((*at, "axis"))}
        keys["at"] = ListNode(tuple(TextNode(v) for v in ("0 m", "0 m", "1.5 m")))
        keys |= {key: self._carried((*at, key)) for key in SHAFT_KEYS}
        seats: dict[str, Any] = {seat: self._carried((*at, "seats", seat)) for seat in kept}
        self.left_out += [f"what sits at {seat}" for seat in self.shaft.seats if seat not in kept]
        at_drum = self._drum_at(kept)
        own = {self._itself: {"at": at_drum}} if self._itself else {}
        keys["seats"] = seats | {self._drum: {"at": at_drum}} | own
        return _map(keys)

    @property
    def _drum(self) -> str:
        return free_name("drum", self.shaft.seats)

    @property
    def _itself(self) -> str:
        """Name of the bare shaft as a load; blank where its size is open."""
        taken = (*self.shaft.seats, *self.machine.loads)
        return free_name(ITSELF, taken) if np.isfinite(_own_inertia(self.shaft)) else ""

    def _drum_at(self, kept: list[str]) -> Any:
        """Where something else sits in the machine, else in the widest gap."""
        free = next((s for s in self.shaft.seats if s not in kept and self.shaft.seats[s].at.known), "")
        if free:
            return self._carried(("shafts", self.name, "seats", free, "at"))
        _, option = new_seat(self.machine, self.name, "drum")
        return next(iter(option.values()))["at"]

    def _weight(self, mass: float, drum: float) -> dict[str, Any]:
        along = self.shaft.axis
        side = "+x" if abs(along[1]) > abs(along[0]) and not along[2] else "+y"
        return {"kind": "falling weight", "shaft": self.name, "seat": self._drum, "hangs on": side,
                "over people": "no", "mass": written(mass, "kg"), "diameter": written(drum * 1e3, "mm"), "falls": "1",
                "drop": written(DROP, "m"), "slack": "0 mm", "strand length": written(STRAND, "m"),
                "suspension": "open"}

    def _loads(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for name, load in self.machine.loads.items():
            if load.shaft != self.name:
                continue
            if isinstance(load, LEFT_OUT):
                self.left_out.append(name)
            else:
                found[name] = self._carried(("loads", name))
        if self._itself:
            found[self._itself] = {
                "kind": "steady", "shaft": self.name, "torque": "0 N m", "break away": "1",
                "inertia": {"value": written(_own_inertia(self.shaft), "kg m2"),
                            "note": "round steps of steel, hubs left out"}}
        return found

    def _parts(self, kept: list[str]) -> dict[str, Any]:
        """Own parts that stay in use."""
        things = [self.shaft.seats[s] for s in kept]
        names = {leaf.name for thing in things for leaf in thing.leaves if isinstance(leaf, Choice)}
        return {name: self._carried(("parts", name)) for name in self.machine.parts if name in names}


def _own_inertia(shaft: Shaft) -> float:
    """Moment of inertia of the bare shaft, of steel."""
    steps = [(d.nominal, length.nominal) for d, length in shaft.sections]
    return float(sum(inertia.ring(inertia.mass(STEEL, inertia.ring_volume(d, 0.0, b)), d, 0.0) for d, b in steps))


def _map(keys: dict[str, Any]) -> MapNode:
    return MapNode(tuple(_entries(keys)))


def _entries(keys: dict[str, Any]) -> Iterator[Entry]:
    """Keys in order; what is not there, or empty, is left out."""
    for key, value in keys.items():
        if value is None or value == {}:
            continue
        node = _map(value) if isinstance(value, dict) else TextNode(value) if isinstance(value, str) else value
        yield Entry(key, TextNode("").mark, node)


def energy_words(rig: Rig) -> str:
    """What can hurt on this rig, with its size."""
    weight = rig.machine.drives["weight"]
    energy = float(pulse_energy(weight.mass.nominal, rig.machine.gravity.nominal, weight.drop.nominal))
    return (f"{shown(weight.mass.nominal, MASS, digits=2)} fall {shown(weight.drop.nominal, LENGTH)}: "
            f"{shown(energy, ENERGY, digits=2)} in all, most of which goes into what turns and stays there until "
            "friction has taken it.")
