"""The machine, as its file describes it. Every number is a `Given` in SI.

A kind of thing is a dataclass whose fields are the keys of the file. Adding a key is adding a
field here; the reader, errors, forms and docs follow.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from layshaft.machine.kinds import DRIVES, FIXINGS, FRAMES, HUBS, LOADS, PARTS, SPRINGS, STAGES, Hub, Programme
from layshaft.machine.schema import (
    STATES,
    Choice,
    Direction,
    Given,
    KindMap,
    KindOf,
    Listing,
    ListOf,
    MapOf,
    Quantity,
    QuantityMap,
    Raw,
    Ref,
    Text,
    Thing,
    Word,
    key,
)
from layshaft.trace.units import (
    ACCELERATION,
    ANGLE,
    COUNT,
    DENSITY,
    FORCE,
    LENGTH,
    MASS,
    POWER,
    RATIO,
    SPEED,
    TEMPERATURE,
    TIME,
    TORQUE,
    VISCOSITY,
)


@dataclass(frozen=True, kw_only=True)
class Module(Thing):
    """A frame that travels as one."""

    mass: Given = key(Quantity(MASS, above=0), "mass without hanging weights", "118 kg ± 2 kg", may_be_open=True)
    size: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 3), "outside size x, y, z", "[0.60 m, 0.80 m, 2.15 m]")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Bush(Thing):
    """A plain bush the shaft rubs in."""

    material: Choice = key(Listing("bush"), "material of the bush, or a listing of its own", "sintered bronze oiled")
    length: Given = key(Quantity(LENGTH, above=0), "length of the bush", "30 mm")
    outside_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the bush", "38 mm")
    clearance: Given = key(Quantity(LENGTH, above=0), "bore less shaft", "0.05 mm")
    wear: Given = key(Quantity(LENGTH, above=0), "depth that may wear off before it is renewed", "0.2 mm")


@dataclass(frozen=True, kw_only=True)
class Seat(Thing):
    """Where something sits on a shaft, measured from the shaft's start."""

    at: Given = key(Quantity(LENGTH), "distance from the start of the shaft", "110 mm", required=True)
    bearing: Choice = key(Listing("bearing"), "bearing on this seat", "6205", may_be_open=True)
    facing: str = key(
        Word(("back to back", "face to face")),
        "how an angular contact or tapered roller bearing faces the other one of its pair: O or X", "back to back")
    bush: Bush = key(Bush, "plain bush on this seat, instead of a bearing")
    drag: Given = key(
        Quantity(TORQUE, at_least=0),
        "constant friction torque of the bearing and its seals; where absent, a bush's own friction", "0.03 N m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "drag at rest over drag when running", "2")
    key_size: Choice = key(
        Listing("key"), "key by its size: width x height x length", "8x7x25", may_be_open=True, name="key")
    keys: Given = key(Quantity(COUNT, at_least=1, at_most=2, whole=True), "number of keys", "1")
    key_steel: Choice = key(Listing("steel"), "name of the steel the key is made of", "C45+N")
    hub_steel: Choice = key(Listing("steel"), "name of the steel the hub is made of", "S355J2")
    hub: Hub = key(KindOf(HUBS, Hub), "how the hub is held, beside a key or instead of one",
                   "{kind: press fit, hub diameter: 60 mm, length: 30 mm}")
    fit: str = key(Text(), "tolerance classes of bore and shaft; on a bearing seat, that of the shaft", "H7/k6")
    housing: str = key(Text(), "tolerance class of the housing bore of the bearing", "H7")
    housing_size: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 3), "outside size x, y, z of the housing, its middle at the seat",
        "[34 mm, 140 mm, 72 mm]")
    hub_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the hub that sits here", "55 mm")
    hub_length: Given = key(Quantity(LENGTH, above=0), "length of that hub over all, its middle at the seat", "40 mm")
    reliability: Given = key(Quantity(RATIO, above=0, at_most=0.9999),
                             "share of such bearings that must survive, if not that of the shaft", "90 %")
    must_run: str = key(
        Word(("quietly", "normally", "under shocks")), "how the bearing must run, for its static safety", "normally")
    base_oil: Given = key(Quantity(VISCOSITY, above=0), "viscosity of the grease's base oil at 40 degC", "110 mm2/s")
    cleanliness: str = key(
        Word(("extreme", "high", "normal", "slight contamination", "typical contamination", "severe contamination")),
        "how clean the grease stays: sealed and greased for life is high, shielded normal", "normal")
    mass: Given = key(Quantity(MASS, at_least=0), "mass of what sits here", "1.2 kg")
    state: str = key(STATES, "how far the part is", "chosen")
    note: str = key(Text(), "anything worth saying")

    @cached_property
    def rubs(self) -> bool:
        """True where the shaft runs in a bush."""
        return any(leaf.state != "missing" for leaf in self.bush.leaves)

    @cached_property
    def carries_shaft(self) -> bool:
        """True where a bearing or a bush holds the shaft here."""
        return self.bearing.state != "missing" or self.rubs


@dataclass(frozen=True, kw_only=True)
class Shaft(Thing):
    """A turning shaft of round steps. Open or missing sections are one step of two such givens."""

    module: str = key(Ref("modules"), "module it belongs to", "winder", required=True)
    axis: tuple[float, float, float] = key(Direction(), "direction of the axis", "x", required=True)
    at: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH), 3), "place of the start of the shaft, x, y, z", "[0 mm, 0 mm, 2000 mm]")
    material: Choice = key(Listing("steel"), "steel of the shaft", "C45+N", may_be_open=True)
    sections: tuple[tuple[Given, ...], ...] = key(
        ListOf(ListOf(Quantity(LENGTH, above=0), 2), at_least=1), "steps: diameter, length",
        "[[25 mm, 40 mm], [30 mm, 340 mm]]", may_be_open=True)
    fillet: Given = key(Quantity(LENGTH, above=0), "fillet radius at the shoulders", "0.6 mm")
    fillets: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), at_least=1), "fillet radius of each shoulder in turn, where they differ",
        "[0.6 mm, 1 mm]")
    grooves: tuple[tuple[Given, ...], ...] = key(
        ListOf(ListOf(Quantity(LENGTH, above=0), 3)),
        "grooves turned into it, such as for a retaining ring: place, diameter and radius at the bottom",
        "[[62 mm, 28.6 mm, 0.15 mm]]")
    cross_holes: tuple[tuple[Given, ...], ...] = key(
        ListOf(ListOf(Quantity(LENGTH, above=0), 2)), "holes drilled right across it: place, diameter",
        "[[150 mm, 5 mm]]")
    finish: str = key(
        Word(("ground", "machined or cold-drawn", "hot-rolled", "as forged")),
        "how its surface was made", "machined or cold-drawn")
    notch_in_yield: str = key(
        Word(("counted", "not counted")), "whether notch factors count against yield", "not counted")
    reliability: Given = key(Quantity(RATIO, above=0, at_most=0.9999), "share of shafts that must survive", "99 %")
    rocks: Given = key(
        Quantity(ANGLE, above=0), "angle it rocks to and fro through, where it never turns right round", "40 deg")
    wind_up: Given = key(Quantity(ANGLE, above=0), "twist allowed from end to end", "0.25 deg")
    seats: dict[str, Seat] = key(MapOf(Seat), "what sits where", required=True)
    state: str = key(STATES, "how far the part is", "chosen")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Venue(Thing):
    """Where the machine is shown."""

    coldest: Given = key(Quantity(TEMPERATURE), "lowest temperature", "0 degC")
    warmest: Given = key(Quantity(TEMPERATURE), "highest temperature", "35 degC")
    air_density: Given = key(
        Quantity(DENSITY, above=0), "mass of a volume of air: less where it is warm or high up", "1.20 kg/m3")


@dataclass(frozen=True, kw_only=True)
class Run(Thing):
    """How long the machine runs, and how often in its life."""

    time: Given = key(Quantity(TIME, above=0), "running time a day", "45 min", required=True)
    days_per_year: Given = key(Quantity(COUNT, above=0), "how many days it runs in a year", "60", required=True)
    years: Given = key(Quantity(COUNT, above=0), "years of life wanted", "10", required=True)


@dataclass(frozen=True, kw_only=True)
class Want(Thing):
    """What the builder asks of the machine as a whole. Each key given becomes a finding."""

    shaft: str = key(Ref("shafts"), "shaft the speed is wanted on", "spindle")
    speed: Given = key(Quantity(SPEED, above=0), "turning speed that is wanted, in the mean", "1 rpm")
    error: Given = key(Quantity(RATIO, above=0), "allowed error of the mean speed", "5 %")
    within_a_turn: Given = key(Quantity(RATIO, above=0), "allowed swing (largest - smallest) / mean", "5 %")
    time_per_winding: Given = key(Quantity(TIME, above=0), "least running time of one full drop", "6 min")
    handle_force: Given = key(Quantity(FORCE, above=0), "largest force on the handle", "100 N")
    crank: str = key(Ref("drives"), "crank the force is wanted on", "crank")
    start_ratio: Given = key(Quantity(RATIO, above=0), "drive torque over all torques at rest", "1.5")
    rate_error: Given = key(
        Quantity(RATIO, above=0), "in a run: how far the mean rate may be off the wanted speed, counted by the turns "
        "of `shaft`, or by the drops of a cam on it", "1 %")
    drift: Given = key(
        Quantity(RATIO, above=0), "in a run: how much that rate may grow or fall from the first turns or drops to the "
        "last", "0.5 %")
    scatter: Given = key(
        Quantity(TIME, above=0), "in a run: how far single turns or drops may come early or late of that rate, root "
        "mean square", "20 ms")
    settle_time: Given = key(
        Quantity(TIME, above=0), "in a run: longest time from rest until the mean speed stays within 1 %", "60 s")
    run_time: Given = key(
        Quantity(TIME, above=0), "in a run: least time to be got through with the windings of the programme", "45 min")
    droop: Given = key(
        Quantity(RATIO, above=0), "in a run: largest change of the mean speed, down or up, when loads are engaged or "
        "let go or somebody winds", "20 %")
    wind_every: Given = key(
        Quantity(TIME, above=0), "in a run: least running time that a full winding gives, at its mean speed", "6 min")
    mean_power: Given = key(
        Quantity(POWER, above=0), "in a run: largest mean power asked of the person at `crank`", "75 W")
    peak_power: Given = key(
        Quantity(POWER, above=0), "in a run: largest power asked of that person at the hardest push", "150 W")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Parting(Thing):
    """Where two modules come apart and meet again."""

    between: tuple[str, ...] = key(ListOf(Ref("modules"), 2), "the two modules", "[winder, lantern]", required=True)
    weld_distortion: Given = key(Quantity(ANGLE, at_least=0), "angle left after lining up", "0.5 mrad", idle=True)
    floor: Given = key(Quantity(RATIO, at_least=0), "unevenness of the floor, height over length", "0.002", idle=True)
    sag: Given = key(Quantity(LENGTH, at_least=0), "sag of the frame with the weight hung", "0.4 mm", idle=True)
    dirt: Given = key(Quantity(LENGTH, at_least=0), "dirt on a locating face", "0.03 mm", idle=True)
    locators: str = key(
        Text(),
        "pins and pads that bring the modules back to the same place",
        "round pin 16 H7/g6 and relieved pin 12 H7/g6, 420 mm apart")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Transit(Thing):
    """What the machine meets on the road."""

    shock: Given = key(Quantity(ACCELERATION, above=0), "shock in any direction, own weight included", "3 g")


@dataclass(frozen=True, kw_only=True)
class Machine(Thing):
    """The whole machine file."""

    layshaft: str = key(Word(("1",)), "version of the file format", "1", required=True)
    id: str = key(Text(), "identity shared with the project's database")
    title: str = key(Text(), "name of the machine", "Harbour Light", required=True, name="name")
    about: str = key(Text(), "what it is, in a sentence or two")
    units: str = key(Word(("metric", "inch")), "units of printed results", "metric")
    gravity: Given = key(Quantity(ACCELERATION, above=0), "acceleration of free fall", "9.81 m/s2", required=True)
    venue: Venue = key(Venue, "where it is shown")
    modules: dict[str, Module] = key(MapOf(Module), "frames that travel as one", required=True)
    shafts: dict[str, Shaft] = key(MapOf(Shaft), "turning shafts", required=True)
    drives: dict[str, Any] = key(KindMap(DRIVES), "what puts power in", required=True)
    stages: dict[str, Any] = key(KindMap(STAGES), "what lets one shaft turn another")
    loads: dict[str, Any] = key(KindMap(LOADS), "what takes power out")
    fixings: dict[str, Any] = key(KindMap(FIXINGS), "what holds the parts to the frames")
    springs: dict[str, Any] = key(KindMap(SPRINGS), "springs with the loads they are worked with")
    frames: dict[str, Any] = key(KindMap(FRAMES), "beams and posts of the modules")
    partings: dict[str, Parting] = key(MapOf(Parting), "where modules come apart")
    parts: dict[str, Any] = key(KindMap(PARTS), "own listings: sizes bought or found, with ratings")
    runs: dict[str, Run] = key(MapOf(Run), "how long it runs")
    programme: Programme = key(Programme, "one run act by act, for `layshaft run`")
    wants: dict[str, Want] = key(MapOf(Want), "what the whole machine must do")
    margins: dict[str, Given] = key(
        QuantityMap(RATIO), "required margins that differ from the usual ones, by failure mode")
    transit: Transit = key(Transit, "what it meets on the road")
    options: dict[str, Any] = key(Raw(), "named sets of changes")

    document: Any = field(default=None, compare=False, repr=False)
    file: Path | None = field(default=None, compare=False)
    label: str = field(default="", compare=False)

    @cached_property
    def givens(self) -> dict[str, Given]:
        """Every numeric given by its path, in file order; missing ones included."""
        return {leaf.path: leaf for leaf in self.leaves if isinstance(leaf, Given)}

    def shaft_of(self, path: str) -> str:
        """The shaft a path belongs to, the first of a stage's two; blank for what belongs to none."""
        words = path.split(".")
        if words[0] == "shafts":
            return words[1] if words[1] in self.shafts else ""
        things: Any = {"stages": self.stages, "drives": self.drives, "loads": self.loads,
                       "fixings": self.fixings}.get(words[0], {})
        thing = things.get(words[1]) if len(words) > 1 else None
        return str(getattr(thing, "from_", "") or getattr(thing, "shaft", ""))

    @cached_property
    def open_paths(self) -> tuple[str, ...]:
        """Every path that says `open`, in file order."""
        return tuple(dict.fromkeys(leaf.path for leaf in self.leaves if leaf.state == "open"))
