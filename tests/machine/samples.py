"""Machine files for the tests, all invented: a small one, and one that uses every key of every kind."""

import re

from layshaft.machine import schema
from layshaft.machine.kinds import (
    DRIVES,
    FIXINGS,
    FRAMES,
    HUBS,
    LOADS,
    PARTS,
    SPRINGS,
    STAGES,
    Act,
    Braking,
    Carried,
    Idler,
    RollerChain,
    WindingBout,
)
from layshaft.machine.model import Module, Parting, Run, Seat, Shaft, Transit, Venue, Want
from layshaft.machine.schema import keys

# Line numbers matter: the table of wrong files counts on them.
SMALL = """\
layshaft: 1
name: Small
gravity: 9.81 m/s2
modules:
  winder:
    mass: 118 kg ± 2 kg
    size: [0.60 m, 0.80 m, 2.15 m]
shafts:
  main:
    module: winder
    axis: x
    material: C45+N
    sections: [[25 mm, 40 mm], [30 mm, 340 mm], [25 mm, 40 mm]]
    seats:
      left bearing:  {at: 20 mm, bearing: "6205"}
      drum:          {at: 110 mm, key: 8x7x25}
      lens chain:    {at: 200 mm}
      right bearing: {at: 400 mm, bearing: "6205"}
  lens lay:
    module: winder
    axis: x
    sections: [[20 mm, 300 mm]]
    seats:
      left bearing:  {at: 20 mm, bearing: open}
      lens chain:    {at: 60 mm}
      table:         {at: 150 mm}
      right bearing: {at: 280 mm, bearing: open}
drives:
  weight:
    kind: falling weight
    shaft: main
    seat: drum
    mass: {value: 96 kg, between: [90 kg, 99 kg], source: measured}
    drop: 1.40 m
    diameter: 200 mm
    hangs on: +y
    over people: no
stages:
  lens chain:
    kind: roller chain
    from: main
    to: lens lay
    chain: 08B-1
    teeth: [19, 38]
    centres: about 700 mm
loads:
  lens:
    kind: turntable
    shaft: lens lay
    seat: table
    mass: {value: 110 kg, between: [100 kg, 125 kg], source: assumed}
"""


def changed(old: str, new: str, text: str = SMALL) -> str:
    """The small file with one text replaced by another; the old one must be there once."""
    assert text.count(old) == 1, (old, text.count(old))
    return text.replace(old, new)


REFS = {"loads": "pulses", "modules": "winder", "shafts": "main", "drives": "crank"}


def _example(k) -> str:
    reads = k.reads
    if k.example:
        return k.example if isinstance(reads, schema.Quantity | schema.ListOf) else f'"{k.example}"'
    return reads.choices[0] if isinstance(reads, schema.Word) else '"worth saying"'


def _flow(kind_of, /, **own: str) -> str:
    found = {}
    for file_key, (_, k) in keys(kind_of).items():
        if isinstance(k.reads, schema.KindMap):
            found[file_key] = "{" + ", ".join(f"{w}: {_flow(kind, kind=w)}" for w, kind in k.reads.kinds.items()) + "}"
            continue
        if isinstance(k.reads, schema.MapOf | schema.QuantityMap | schema.Raw | schema.SeatOn | schema.KindOf | type):
            continue
        found[file_key] = REFS[k.reads.collection] if isinstance(k.reads, schema.Ref) else _example(k)
    found.update({key.rstrip("_").replace("_", " "): text for key, text in own.items()})
    return "{" + ", ".join(f"{key}: {text}" for key, text in found.items()) + "}"


class _Seats:
    """Two parallel shafts and one across; a new seat for every user."""

    def __init__(self):
        self.by_shaft = {"main": [], "lay": [], "post": []}

    def new(self, shaft: str) -> str:
        name = f"seat {len(self.by_shaft[shaft])}"
        self.by_shaft[shaft].append(name)
        return name


def every_key() -> str:
    """A file in which every key of every kind stands at least once."""
    seats = _Seats()
    drives = "".join(f"  {word}: {_drive(kind, word, seats)}\n" for word, kind in DRIVES.items())
    loads = "".join(f"  {word}: {_flow(kind, kind=word, seat=seats.new('main'))}\n" for word, kind in LOADS.items())
    stages = "".join(f"  {word}: {_stage(kind, word, seats)}\n" for word, kind in STAGES.items())
    parts = {"coupling": "jaw 35", "suspension": "rope 6 mm"}
    listed = "".join(f"  {parts.get(word, 'own ' + word)}: {_flow(kind, kind=word)}\n" for word, kind in PARTS.items())
    return (
        f"layshaft: 1\nid: abc\nname: Every key\nabout: Invented.\nunits: metric\ngravity: 9.81 m/s2\n"
        f"venue: {_flow(Venue)}\nmodules:\n  winder: {_flow(Module)}\n  lantern: {_flow(Module)}\n"
        f"shafts:\n{''.join(_shaft(name, names) for name, names in seats.by_shaft.items())}"
        f"drives:\n{drives}stages:\n{stages}loads:\n{loads}"
        f"fixings:\n{_fixings()}springs:\n{_springs()}frames:\n{_frames()}partings:\n  middle: {_flow(Parting)}\nparts:\n{listed}runs:\n  open day: {_flow(Run)}\n"
        f"programme:\n  shaft: main\n  time: 45 min\n  height: 1 m\n  acts:\n    first: {_act()}\n"
        f"  winding:\n    bout: {_flow(WindingBout)}\n  brakes:\n    stop: {_flow(Braking, brake='disc brake')}\n"
        f"wants:\n  lens speed: {_flow(Want)}\nmargins:\n  flank pressure: 1.5\ntransit: {_flow(Transit)}\n"
        f"options:\n  duplex: {{set: {{stages.roller chain.chain: 08B-2}}}}\n"
    )


def _act() -> str:
    """Begun by turns: a time as well would be refused."""
    return without(_flow(Act, turns_of="main", without="[pulses]"), "at")


def _springs() -> str:
    """Each kind once."""
    return "".join(f"  {word}: {_flow(kind, kind=word)}\n" for word, kind in SPRINGS.items())


def _fixings() -> str:
    """Each kind once with a force that is stated, and once under a bearing."""
    found = ""
    for word, kind in FIXINGS.items():
        whole = _flow(kind, kind=word, shaft="main", seat="first", normal="z", along="x")
        found += f"  {word}: {without(whole, 'force')}\n  {word} 2: {without(without(whole, 'shaft'), 'seat')}\n"
    return found


def _frames() -> str:
    """Each kind once; one thing it carries is a bearing, the other a force."""
    whole = _flow(Carried, shaft="main", seat="first")
    both = f"{{bearing: {without(whole, 'force')}, hopper: {without(without(whole, 'shaft'), 'seat')}}}"
    return "".join(f"  {word}: {_flow(kind, kind=word, carries=both)}\n" for word, kind in FRAMES.items())


def without(flow: str, key: str) -> str:
    """A flow map without one of its keys."""
    return re.sub(rf"(?<=[{{ ]){key}: (\[[^\]]*\]|[^,}}]*), ", "", flow)


def _drive(kind, word: str, seats: _Seats) -> str:
    own = {"kind": word, "shaft": "main", "seat": seats.new("main")}
    if "rewound from" in keys(kind):
        own |= {"rewound_from": "lay", "winding_seat": seats.new("lay")}
    return _flow(kind, **own)


def _stage(kind, word: str, seats: _Seats) -> str:
    to = "post" if kind.axes == "crossing" else "lay"
    own = {"factors": "{application: 1.5}"} if "factors" in keys(kind) else {}
    own |= {"idlers": f"{{tension wheel: {_flow(Idler)}}}"} if kind is RollerChain else {}
    return _flow(kind, kind=word, from_="main", to=to, seats=f"[{seats.new('main')}, {seats.new(to)}]", **own)


def _shaft(name: str, names: list[str]) -> str:
    axis = "z" if name == "post" else "x"
    first = _flow(Seat, at="10 mm", bearing="own angular contact bearing", fit='"k6"')
    lines = "".join(f"      {seat}: {{at: {30 + i} mm}}\n" for i, seat in enumerate(names))
    lines += "".join(_hub(word, kind) for word, kind in HUBS.items()) if name == "lay" else ""
    return (f"  {name}:\n" + "".join(f"    {line}\n" for line in _block(Shaft, axis))
            + f"    seats:\n      first: {first}\n{lines}      last: {{at: 15 mm, bearing: open}}\n")


def _hub(word: str, kind) -> str:
    """A seat on the step of 25 mm; a press fit states its interference instead of a fit."""
    return f"      {word}: {{at: 20 mm, hub: {_flow(kind, kind=word)}}}\n"


def _block(kind, axis: str):
    for file_key, (_, k) in keys(kind).items():
        if file_key == "seats":
            continue
        text = "winder" if isinstance(k.reads, schema.Ref) else axis if file_key == "axis" else _example(k)
        yield f"{file_key}: {text}"
