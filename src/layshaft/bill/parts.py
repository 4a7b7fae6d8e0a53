"""The parts list: how many of what, where, and what they weigh where that is known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from layshaft.bill.prices import NO_QUOTE, Quote, quoted
from layshaft.elements import belt
from layshaft.elements.bevel_pair import geometry as bevels
from layshaft.elements.worm_pair import least_length, wheel_material
from layshaft.machine.kinds import (
    PERIODIC,
    STAGES,
    BevelPair,
    Brake,
    Clamp,
    Coupling,
    CrossPin,
    EddyBrake,
    EndlessLoop,
    FanBrake,
    Flywheel,
    GearPair,
    OneWayHub,
    Part,
    Ratchet,
    RollerChain,
    SetScrews,
    Stage,
    Suspended,
    SynchronousBelt,
    TaperClamp,
    Turntable,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine, Seat, Shaft
from layshaft.machine.schema import Choice, Given
from layshaft.mechanics import inertia, solids
from layshaft.trace.units import LENGTH, MASS, shown
from layshaft.train.bodies import drawn
from layshaft.train.forces import STEEL_DENSITY
from layshaft.train.sizes import belt_diameters, chain_size, own_part
from layshaft.train.solve import Solved
from layshaft.train.stages import centre_distance, chain_links
from layshaft.train.worms import worm_sizes

NAN = float("nan")


@dataclass(slots=True)
class Line:
    """One thing to have: number, name, paths where it is used, mass of one; NaN mass is unknown.

    `basis` says where the mass comes from. `hangs` where it is a hanging weight. `size` is the name it is bought
    by, a standard size or an own part of the file; `per` how many of what is priced it takes: metres of a chain.
    """

    name: str
    mass: float
    basis: str
    where: list[str] = field(default_factory=list)
    chosen: bool = True
    hangs: bool = False
    size: str = ""
    per: float = 1.0
    quote: Quote = NO_QUOTE

    @property
    def quantity(self) -> int:
        """How many."""
        return len(self.where)

    @property
    def total_mass(self) -> float:
        """Mass of all of them."""
        return self.mass * self.quantity


@dataclass(frozen=True, slots=True)
class Total:
    """Sum of the known masses, and how many parts have none."""

    known: float
    unknown: int

    def __str__(self) -> str:
        more = f", and {self.unknown} parts of unknown mass" if self.unknown else ""
        return f"{shown(self.known, MASS)}{more}"


def parts_list(machine: Machine, solved: Solved) -> list[Line]:
    """Every part of the machine; alike ones on one line, in the order they are met. Own parts bring their price."""
    found: dict[tuple[Any, ...], Line] = {}
    for line in _all(machine, solved):
        known = line.mass if np.isfinite(line.mass) else None
        key = (line.name, known, line.chosen, line.hangs)
        found.setdefault(key, replace(line, where=[])).where += line.where
    return quoted(list(found.values()), machine, {})


def total(lines: list[Line]) -> Total:
    """What all parts weigh together, as far as it is known."""
    known = [line.total_mass for line in lines if np.isfinite(line.mass)]
    return Total(float(sum(known)), sum(line.quantity for line in lines if not np.isfinite(line.mass)))


def _all(machine: Machine, solved: Solved) -> Iterator[Line]:
    for shaft in machine.shafts.values():
        yield _bar(shaft)
        for seat in shaft.seats.values():
            yield from _on_seat(machine, seat)
    for stage in machine.stages.values():
        yield from _stage(machine, stage)
    for name, drive in machine.drives.items():
        if isinstance(drive, Suspended):
            yield from _weight(solved, name, drive)
        else:
            yield Line(name, NAN, "mass not in the file", [drive.path])
    for name, load in (machine.loads or {}).items():
        mass = getattr(load, "mass", None)
        if isinstance(load, Flywheel) and load.made_of and not load.mass.known:
            yield Line(name, float(drawn(load)[0]), "sum of the pieces of its drawing", [load.path])
        elif isinstance(load, (Flywheel, Turntable)) and mass is not None:
            yield Line(name, mass.nominal, "as given" if mass.known else "mass not in the file", [load.path],
                       mass.state != "open")
        elif isinstance(load, (FanBrake, EddyBrake, Brake, *PERIODIC)):
            yield Line(name, NAN, "mass not in the file", [load.path])


def _bar(shaft: Shaft) -> Line:
    steps = ", ".join(f"{_mm(d)} x {_mm(s)}" for d, s in shaft.sections) + " mm"
    steel = shaft.material.name if shaft.material.known else "steel open"
    volume = sum(float(inertia.ring_volume(d.nominal, 0.0, s.nominal)) for d, s in shaft.sections)
    chosen = bool(np.isfinite(volume))
    name = f"shaft {steps}, {steel}" if chosen else f"shaft, bar open, {steel}"
    return Line(name, STEEL_DENSITY * volume if shaft.sections else NAN, "steel bar, its steps", [shaft.path], chosen)


def _size(choice: Choice) -> str:
    """The name a size is bought by; nothing while it is open."""
    return choice.name if choice.known else ""


def _mm(given: Given) -> str:
    return f"{given.nominal * 1e3:g}" if given.known else "open"


def _bush(machine: Machine, seat: Seat) -> Line:
    own = own_part(machine, seat.bush.material)
    mass = own.mass.nominal if isinstance(own, Part) else NAN
    name = seat.bush.material.name if seat.bush.material.known else "material open"
    return Line(f"bush {name}, {_mm(seat.bush.length)} mm long", mass,
                "as listed" if np.isfinite(mass) else "no mass in the list", [f"{seat.path}.bush"],
                seat.bush.material.known, size=_size(seat.bush.material))


def _on_seat(machine: Machine, seat: Seat) -> Iterator[Line]:
    if seat.bearing.state != "missing":
        own = own_part(machine, seat.bearing)
        mass = own.mass.nominal if isinstance(own, Part) else NAN
        yield Line(f"bearing {seat.bearing.name}" if seat.bearing.known else "bearing, open", mass,
                   "as listed" if np.isfinite(mass) else "no mass in the list", [f"{seat.path}.bearing"],
                   seat.bearing.known, size=_size(seat.bearing))
    if seat.rubs:
        yield _bush(machine, seat)
    if seat.key_size.state != "missing":
        count = int(seat.keys.nominal) if seat.keys.known else 1
        mass = _key_mass(seat.key_size.name)
        yield Line(f"key {seat.key_size.name}" if seat.key_size.known else "key, open", mass,
                   "steel, its outside size" if np.isfinite(mass) else "size open", [f"{seat.path}.key"] * count,
                   seat.key_size.known, size=_size(seat.key_size))
    yield from _held(machine, seat)
    if seat.mass.known:
        yield Line(f"what sits on {seat.name}", seat.mass.nominal, "as given", [seat.path])


def _held(machine: Machine, seat: Seat) -> Iterator[Line]:
    """What holds a hub and is bought: its screws, pin or clamp; a press fit needs nothing."""
    hub = seat.hub
    if isinstance(hub, SetScrews):
        count = int(hub.screws.nominal) if hub.screws.known else 1
        name = f"set screw {hub.size.name}, {hub.point or 'point open'}" if hub.size.known else "set screw, open"
        yield Line(name, NAN, "no mass in the list", [hub.path] * count, hub.size.known)
    elif isinstance(hub, Clamp):
        count = int(hub.screws.nominal) if hub.screws.known else 1
        yield Line(f"clamp screw {hub.screw.name or 'of open size'}, {hub.property_class or 'class open'}", NAN,
                   "no mass in the list", [hub.path] * count, hub.screw.known)
    elif isinstance(hub, CrossPin):
        steel = hub.pin_steel.name or "steel open"
        yield Line(f"cross pin {_mm(hub.diameter)} mm for a hub of {_mm(hub.hub_diameter)} mm, {steel}",
                   STEEL_DENSITY * float(inertia.ring_volume(hub.diameter.nominal, 0.0, hub.hub_diameter.nominal)),
                   "steel, its outside size", [hub.path], hub.diameter.known)
    elif isinstance(hub, TaperClamp):
        own = own_part(machine, hub.listing)
        mass = own.mass.nominal if isinstance(own, Part) else NAN
        yield Line(f"taper clamp {hub.listing.name}" if hub.listing.known else "taper clamp, open", mass,
                   "as listed" if np.isfinite(mass) else "no mass in the list", [hub.path], hub.listing.known,
                   size=_size(hub.listing))


def _key_mass(name: str) -> float:
    sizes = name.split("x")
    if len(sizes) != 3:
        return NAN
    b, h, l = (float(s) * 1e-3 for s in sizes)  # noqa: E741
    return STEEL_DENSITY * (b * h * (l - b) + np.pi / 4 * b**2 * h)


def _stage(machine: Machine, stage: Stage) -> Iterator[Line]:
    if isinstance(stage, RollerChain):
        size = chain_size(machine, stage.chain)
        links = chain_links(machine, stage)
        run = float(links * size.pitch) if size else NAN
        mass = float(run * size.mass_per_metre) if size else NAN
        words = f", {links:.0f} links, {shown(run, LENGTH)}" if np.isfinite(run) else ", length not known yet"
        yield Line(f"chain {stage.chain.name}{words}" if size else "chain, open", mass,
                   "mass per metre times length", [stage.path], size is not None, size=_size(stage.chain), per=run)
        series = stage.chain.name if size else "chain open"
        for teeth in stage.teeth:
            yield Line(f"sprocket {series}, {teeth} teeth", NAN, "no list of sprockets", [stage.path],
                       bool(size) and teeth.known, size=f"{series} Z{teeth}" if size and teeth.known else "")
        for idler in stage.idlers.values() if stage.idlers else ():
            yield Line(f"idler sprocket {series}, {idler.teeth} teeth, with its bearing and bracket", NAN,
                       "no list of sprockets", [idler.path], bool(size) and idler.teeth.known)
    elif isinstance(stage, (GearPair, BevelPair)):
        kind = "bevel gear" if isinstance(stage, BevelPair) else "gear"
        for i, teeth in enumerate(stage.teeth):
            mass, body = (_gear_mass(stage, i), "disc of steel at the pitch circle") if isinstance(stage, GearPair) \
                else (_bevel_mass(stage, i), "cut cone of steel at the pitch cone")
            yield Line(f"{kind}, module {_mm(stage.normal_module)} mm, {teeth} teeth, face {_mm(stage.face)} mm", mass,
                       f"full {body}, no bore{', no hub' if isinstance(stage, BevelPair) else ': an upper bound'}"
                       if np.isfinite(mass) else "not reckoned", [stage.path],
                       teeth.known and stage.normal_module.known)
    elif isinstance(stage, (SynchronousBelt, VBelt)):
        yield from _belts(machine, stage)
    elif isinstance(stage, Worm):
        yield from _worm(stage)
    else:
        yield _bought(machine, stage)


def _worm(stage: Worm) -> Iterator[Line]:
    """A bar of steel at the reference diameter, and a disc of bronze at the pitch circle."""
    sizes, bronze = worm_sizes(stage), wheel_material(stage.wheel_material)
    length = float(least_length(stage.axial_module.nominal, stage.wheel_teeth.nominal))
    worm = STEEL_DENSITY * float(inertia.ring_volume(sizes.d_1, 0.0, length))
    known = stage.axial_module.known
    threads = f"{stage.starts} starts, {stage.hand or 'right'}-handed"
    yield Line(f"worm, module {_mm(stage.axial_module)} mm, {threads}", worm,
               "bar of steel at the reference diameter, as long as the wheel asks" if np.isfinite(worm)
               else "not reckoned", [stage.path], known and stage.starts.known)
    wheel = float(inertia.ring_volume(sizes.d_2, 0.0, stage.face.nominal)) * (bronze.density if bronze else NAN)
    rim = stage.wheel_material or "material open"
    yield Line(f"worm wheel, {stage.wheel_teeth} teeth, face {_mm(stage.face)} mm, {rim}", wheel,
               "full disc of bronze at the pitch circle, no bore: an upper bound" if np.isfinite(wheel)
               else "not reckoned", [stage.path], known and stage.wheel_teeth.known)


def _belts(machine: Machine, stage: SynchronousBelt | VBelt) -> Iterator[Line]:
    """Belts and pulleys; a belt to be ordered is told by its length."""
    small, large = sorted(belt_diameters(machine, stage))
    length = float(belt.belt_length(small, large, centre_distance(machine, stage)))
    count = stage.belts.nominal if isinstance(stage, VBelt) else 1.0
    words = f", {shown(length, LENGTH)} at the pitch line" if np.isfinite(length) else ", length not known yet"
    kind = "V belt" if isinstance(stage, VBelt) else "synchronous belt"
    name = stage.belt.name if stage.belt.known else "open"
    for _ in range(int(count) if np.isfinite(count) else 1):
        yield Line(f"{kind} {name}{words}", NAN, "not reckoned", [stage.path], stage.belt.known)
    for size in stage.diameters if isinstance(stage, VBelt) else stage.teeth:
        unit = "" if isinstance(stage, VBelt) else " teeth"
        yield Line(f"pulley {name}, {size}{unit}", NAN, "no list of pulleys", [stage.path], size.known)


def _gear_mass(stage: GearPair, i: int) -> float:
    if stage.internal and stage.teeth[i].nominal > stage.teeth[1 - i].nominal:
        return NAN  # a ring: how thick it is the file does not say
    d = stage.normal_module.nominal * stage.teeth[i].nominal
    return float(STEEL_DENSITY * inertia.ring_volume(d, 0.0, stage.face.nominal))


def _bevel_mass(stage: BevelPair, i: int) -> float:
    """The toothed cone alone, from its large to its small end."""
    delta = bevels.cone_angle(stage.teeth[i].nominal, stage.teeth[1 - i].nominal, np.pi / 2)
    d, b = bevels.large_diameter(stage.teeth[i].nominal, stage.normal_module.nominal), stage.face.nominal
    small = 2 * bevels.mean_diameter(d, b, delta) - d
    return float(STEEL_DENSITY * solids.frustum_volume(d / 2, small / 2, b * np.cos(delta)))


def _bought(machine: Machine, stage: Stage) -> Line:
    if isinstance(stage, (Coupling, OneWayHub)):
        kind = "coupling" if isinstance(stage, Coupling) else "one-way hub"
        own = own_part(machine, stage.listing)
        mass = own.mass.nominal if isinstance(own, Part) else NAN
        return Line(f"{kind} {stage.listing.name}" if stage.listing.known else f"{kind}, open", mass,
                    "as listed" if np.isfinite(mass) else "no mass in the list", [stage.path], stage.listing.known,
                    size=_size(stage.listing))
    if not isinstance(stage, Ratchet):
        word = next(word for word, kind in STAGES.items() if type(stage) is kind)
        return Line(f"{word}, {stage.name}", NAN, "mass not in the file", [stage.path], not _open(stage))
    return Line(f"ratchet wheel, {stage.teeth} teeth, with pawl", NAN, "not drawn", [stage.path], stage.teeth.known)


def _open(stage: Stage) -> bool:
    """True while a size of it is not chosen."""
    return any(leaf.state == "open" for leaf in stage.leaves)


def _weight(solved: Solved, name: str, drive: Suspended) -> Iterator[Line]:
    taken = solved.taken.get(drive.mass.path)
    mass, basis = (taken.given.nominal, f"open: taken {taken.words}") if taken else (drive.mass.nominal, "as given")
    yield Line(f"hanging mass, {name}", mass, basis, [drive.path], taken is None and drive.mass.known, hangs=True)
    if isinstance(drive, EndlessLoop):
        yield Line(f"counterweight, {name}", drive.counterweight.nominal, "as given",
                   [f"{drive.path}.counterweight"], drive.counterweight.known, hangs=True)
    choice: Any = drive.chain  # type: ignore[attr-defined]
    if choice.state != "missing":
        yield Line(f"loop chain {choice.name}, {name}" if choice.known else f"loop chain, {name}, open", NAN,
                   "length of the loop is not laid out yet", [f"{drive.path}.chain"], choice.known)
        wheels = 2 if isinstance(drive, EndlessLoop) else 1
        teeth = drive.teeth  # type: ignore[attr-defined]
        yield Line(f"wheel, {name}, {teeth} teeth", NAN, "no list of sprockets", [drive.path] * wheels, teeth.known)
    rope: Any = getattr(drive, "suspension", None)
    if rope is not None and rope.state != "missing":
        yield Line(f"rope {rope.name}" if rope.known else "rope, open", NAN, "length not laid out yet",
                   [f"{drive.path}.suspension"], rope.known)
