"""Random machine files, as text: trees of shafts, strands side by side, closed loops, every drive.

All invented. A machine is drawn from a seed, so a failure is repeated by its number.
"""

from dataclasses import dataclass, field

import numpy as np

AXES = ("x", "-x", "y", "-y", "z", "-z")
VECTOR = {"x": (1, 0, 0), "-x": (-1, 0, 0), "y": (0, 1, 0), "-y": (0, -1, 0), "z": (0, 0, 1), "-z": (0, 0, -1)}
CHAINS = {"06B-1": 9.525, "08B-1": 12.7, "10B-1": 15.875}
SPROCKETS = (15, 17, 19, 21, 23, 25, 30, 38, 45, 57)
PINIONS, WHEELS = (15, 16, 18, 20, 25), (40, 48, 60, 80, 100, 120)


def flow(entries: dict) -> str:
    return "{" + ", ".join(f"{k}: {v}" for k, v in entries.items()) + "}"


def number(value: float, unit: str = "") -> str:
    """All digits: the text is what both solutions read."""
    return f"{float(value)!r} {unit}".strip()


@dataclass
class Draft:
    """A machine while it is drawn. `size` is the speed of each shaft over the first, without sign."""

    rng: np.random.Generator
    lossy: bool = True
    shafts: dict = field(default_factory=dict)
    size: dict = field(default_factory=dict)
    passed: dict = field(default_factory=dict)
    drives: dict = field(default_factory=dict)
    stages: dict = field(default_factory=dict)
    loads: dict = field(default_factory=dict)
    module: dict = field(default_factory=dict)
    modules: list = field(default_factory=lambda: ["frame one"])

    def pick(self, options):
        return options[int(self.rng.integers(len(options)))]

    def shaft(self, name: str, axis: str, size: float = 1.0, passed: float = 1.0) -> str:
        self.shafts[name] = {"axis": axis, "seats": []}
        self.size[name], self.passed[name] = size, passed
        self.module.setdefault(name, self.modules[0])
        return name

    def seat(self, shaft: str) -> str:
        name = f"seat {len(self.shafts[shaft]['seats'])}"
        self.shafts[shaft]["seats"].append(name)
        return name

    def losses(self) -> dict:
        if not self.lossy:
            return {"efficiency": 1, "break away": 1}
        found = {"efficiency": number(self.rng.uniform(0.9, 0.99)), "break away": number(self.rng.uniform(1, 2))}
        if self.rng.random() < 0.2:
            found["drag"] = number(self.rng.uniform(0, 0.02), "N m")
        return found

    def stage(self, kind: str, one: str, other: str, **more) -> str:
        name = f"{kind} {len(self.stages)}"
        seats = more.pop("seats", None) or [self.seat(one), self.seat(other)]
        if self.rng.random() < 0.3 and kind != "bevel pair":
            one, other, seats = other, one, seats[::-1]
            if "teeth" in more:
                more["teeth"] = more["teeth"][::-1]
        self.stages[name] = {"kind": kind, "from": one, "to": other, "seats": seats, **self.losses(), **more}
        return name

    def line(self) -> str:
        return number(self.rng.uniform(-180, 180), "deg")

    def chain(self, one: str, other: str, teeth, **more) -> str:
        if self.rng.random() < 0.3:
            more["slack force"] = number(self.rng.uniform(5, 50), "N")
        return self.stage("roller chain", one, other, teeth=list(teeth),
                          **{"chain": self.pick(list(CHAINS)), "centres": number(self.rng.uniform(500, 900), "mm"), "line": self.line(), **more})

    def text(self) -> str:
        lines = ["layshaft: 1", "name: Drawn by lot", "gravity: 9.81 m/s2", "venue: {air density: 1.2 kg/m3}", "modules:"]
        lines += [f"  {name}: {{mass: 100 kg}}" for name in self.modules]
        lines.append("shafts:")
        for i, name in enumerate(self.shafts):
            lines += self._shaft(name, at_origin=i == 0)
        for title in ("drives", "stages", "loads"):
            if getattr(self, title):
                lines.append(f"{title}:")
                lines += [f"  {name}: {flow(entries)}" for name, entries in getattr(self, title).items()]
        lines += ["transit: {shock: 30 m/s2}", "parts:", "  jaw 1: {kind: coupling, source: assumed, "
                  "read in: nowhere, stiffness: 1500 N m/rad}"]
        return "\n".join(lines) + "\n"

    def _shaft(self, name: str, at_origin: bool) -> list[str]:
        seats, rng = self.shafts[name]["seats"], self.rng
        length = 90 + 40 * len(seats)
        at = [60 + 40 * i for i in range(len(seats))]
        bearings = [30, length - 30] if rng.random() < 0.5 or len(seats) < 2 else [30, at[-1] - 20]
        if rng.random() < 0.2 and len(seats) > 2:
            bearings.append(at[1] - 20)
        places = {**dict(zip(seats, at, strict=True)), **{f"bearing {i}": b for i, b in enumerate(bearings)}}
        lines = [f"  {name}:", f"    module: {self.module[name]}", f"    axis: {self.shafts[name]['axis']}",
                 f"    sections: [[25 mm, {length / 2} mm], [30 mm, {length / 2} mm]]"]
        lines += ["    at: [0 mm, 0 mm, 2000 mm]"] if at_origin else []
        lines.append("    seats:")
        for seat, place in places.items():
            entries = {"at": f"{place} mm"}
            if seat.startswith("bearing"):
                drag = rng.uniform(0.001, 0.01) / max(self.size[name], 1) if self.lossy else 0.0
                rubs = seat == "bearing 1" and len(seats) % 2  # every other shaft runs in a bush at its end
                entries |= {"bush": "{material: acetal, length: 25 mm}"} if rubs else {"bearing": "open"}
                entries |= {"drag": number(drag, "N m"),
                            "break away": number(rng.uniform(1, 2))}
            elif rng.random() < 0.5:
                entries["mass"] = number(rng.uniform(0.2, 3), "kg")
            lines.append(f"      {seat}: {flow(entries)}")
        return lines


def across(d: Draft, axis: str) -> str:
    """An axis at right angles to another."""
    return d.pick([a for a in AXES if a.strip("-") != axis.strip("-")])


def uncommon(d: Draft, teeth, more) -> dict:
    """Rings, double helices, and axes up to two thirds of a module apart; drawn aside from the rest."""
    rng = d.rng.spawn(1)[0]
    m, helix = (float(more.get(k, "0 deg").split()[0]) for k in ("normal module", "helix"))
    found = {}
    if "shift" not in more and rng.random() < 0.4:
        plain = m * sum(teeth) / 2 / np.cos(np.radians(helix))
        found["centres"] = number(plain + m * rng.uniform(0.1, 0.6), "mm")
    elif rng.random() < 0.3:
        found["internal"] = "yes"
    if helix and rng.random() < 0.3:
        found["double"] = "yes"
    return found


def grow(d: Draft, count: int, *, deep: bool = False) -> None:
    """Add shafts one by one, each by a stage to one that is there."""
    for i in range(1, count):
        names = list(d.shafts)
        parent = names[-1] if deep else d.pick(names)
        axis = d.shafts[parent]["axis"]
        along = axis if d.rng.random() < 0.7 else (axis[1:] if axis[0] == "-" else "-" + axis)
        name, before = f"shaft {i}", d.size[parent]
        kind = d.pick(("roller chain", "gear pair", "coupling", "bevel pair", "side by side"))
        passed = d.passed[parent] * (0.9 if d.lossy else 1.0)
        if kind in ("roller chain", "side by side"):
            teeth = (d.pick(SPROCKETS), d.pick(SPROCKETS))
            d.shaft(name, along, before * teeth[0] / teeth[1], passed)
            if kind == "side by side":
                twin(d, parent, name, teeth)
            else:
                d.chain(parent, name, teeth)
        elif kind == "gear pair":
            teeth = (d.pick(WHEELS), d.pick(PINIONS)) if before < 20 else (d.pick(PINIONS), d.pick(WHEELS))
            d.shaft(name, along, before * teeth[0] / teeth[1], passed)
            more = {"normal module": f"{d.pick((1.5, 2, 3))} mm", "pressure angle": "20 deg", "line": d.line()}
            if d.rng.random() < 0.5:
                more["helix"] = number(d.pick((-15, 10, 15)), "deg")
            if d.rng.random() < 0.5:
                more["shift"] = d.pick(([-0.25, 0.25], [0.2, 0.1], [0, 0]))
            more |= uncommon(d, teeth, more)
            d.stage("gear pair", parent, name, teeth=list(teeth), **more)
        elif kind == "coupling":
            d.shaft(name, along, before, passed)
            d.stage("coupling", parent, name, gap="2 mm", listing="jaw 1")
        else:
            teeth = d.pick(((25, 25), (20, 40), (18, 27), (30, 20)))
            d.shaft(name, across(d, axis), before * teeth[0] / teeth[1], passed)
            d.stage("bevel pair", parent, name, teeth=list(teeth), face="20 mm", apex=[
                d.pick(("beyond", "before")), d.pick(("beyond", "before"))],
                **{"normal module": "3 mm", "pressure angle": "20 deg"})


def twin(d: Draft, parent: str, child: str, teeth, **more) -> None:
    """Two strands side by side, each in its own plane."""
    common = {"line": d.line(), "centres": "600 mm", "chain": d.pick(list(CHAINS)), **more}
    seats = [[d.seat(parent), d.seat(child)] for _ in range(2)]
    if d.shafts[parent]["axis"] != d.shafts[child]["axis"]:  # opposed axes count the seats the other way
        seats = [[seats[0][0], seats[1][1]], [seats[1][0], seats[0][1]]]
    turned = d.rng.random() < 0.5  # `line` points from first to second: both are told alike
    for pair in seats:
        name = f"roller chain {len(d.stages)}"
        ends = {"from": child, "to": parent, "seats": pair[::-1]} if turned else {
            "from": parent, "to": child, "seats": pair}
        d.stages[name] = {"kind": "roller chain", **ends, **d.losses(), **common,
                          "teeth": list(teeth[::-1] if turned else teeth)}


def add_loads(d: Draft, available: float, kinds=("steady", "turntable", "pulses", "allowance", "flywheel")) -> None:
    """Loads that together ask a share of the torque the drive gives at the first shaft."""
    count = int(d.rng.integers(1, 5))
    for i in range(count):
        shaft, kind = d.pick(list(d.shafts)), d.pick(kinds)
        here = available * d.rng.uniform(0.05, 0.25) / count / d.size[shaft] * d.passed[shaft]
        entries = {"kind": kind, "shaft": shaft, "seat": d.seat(shaft)}
        if kind == "steady":
            entries |= {"torque": number(here, "N m"), "break away": number(d.rng.uniform(1, 2)),
                        "inertia": number(d.rng.uniform(0, 0.5), "kg m2")}
        elif kind == "turntable":
            entries |= {"mass": number(here / (9.81 * 0.015 * 0.4), "kg"), "radius of gyration": "0.42 m",
                        "rolling coefficient": 0.015, "track radius": "0.40 m", "break away": 2}
        elif kind == "pulses":
            per_turn = d.pick((1, 2, 4))
            entries |= {"per turn": per_turn, "energy": number(here * 2 * np.pi / per_turn, "J"), "over": "60 deg",
                        "break away": 1.5}
        elif kind == "allowance":
            entries |= {"torque": number(here, "N m"), "peak torque": number(2 * here, "N m"),
                        "mass": number(d.rng.uniform(1, 20), "kg")}
        else:
            entries |= {"inertia": number(d.rng.uniform(0.01, 0.2), "kg m2"), "mass": number(d.rng.uniform(1, 9), "kg")}
        d.loads[f"{kind} {i}"] = entries


def add_brake(d: Draft, omega: float, torque: float) -> None:
    """A brake somewhere that holds the first shaft near `omega` with about `torque`."""
    shaft = d.pick(list(d.shafts))
    here = torque / d.size[shaft] * d.passed[shaft] * d.rng.uniform(0.5, 2)
    fast = omega * d.size[shaft]
    entries = {"kind": "fan brake", "shaft": shaft, "seat": d.seat(shaft),
               "inertia": number(d.rng.uniform(0, 0.05), "kg m2")}
    how = d.rng.random()
    if how < 0.4:
        entries["constant"] = number(here / fast**2, "N m s2")
    elif how < 0.7:
        radius = (here / fast**2 / (2 * 1.2 / 2 * 1.2 * 0.15 * 0.17)) ** (1 / 3)
        entries |= {"vanes": 2, "area": ["150 mm", "170 mm"], "at radius": number(1e3 * radius, "mm"),
                    "drag coefficient": 1.2, "trim": "80 %"}
    else:
        entries |= {"kind": "eddy brake", "constant": number(here / fast, "N m s"),
                    "critical speed": number(20 * fast, "rad/s")}
    d.loads["brake"] = entries


def hang(d: Draft, name: str, shaft: str, torque: float, side: str, *, purchase: bool) -> None:
    """A weight whose torque on its shaft is about `torque`."""
    falls = int(d.rng.integers(2, 5)) if purchase else 1
    diameter = d.rng.uniform(100, 250)
    entries = {"kind": "falling weight", "shaft": shaft, "seat": d.seat(shaft), "hangs on": side, "over people": "no",
               "mass": number(torque * falls / (9.81 * diameter / 2e3), "kg"), "drop": "1.4 m",
               "pulley loss": number(d.rng.uniform(0.01, 0.08) if d.lossy else 0.0), "falls": falls}
    if d.rng.random() < 0.3:
        entries |= {"chain": "08B-1", "teeth": 17}
        radius = 0.0127 / np.sin(np.pi / 17) / 2
        entries["mass"] = number(torque * falls / (9.81 * radius), "kg")
    else:
        entries["diameter"] = number(diameter, "mm")
    d.drives[name] = entries


def level(d: Draft) -> str:
    """A shaft a weight can hang on."""
    return d.pick([n for n, s in d.shafts.items() if s["axis"][-1] != "z"])


def side_of(d: Draft, shaft: str) -> str:
    return d.pick(("+y", "-y") if d.shafts[shaft]["axis"][-1] == "x" else ("+x", "-x"))


def lead(d: Draft, shaft: str, kind: str, torque: float, name: str = "hand") -> None:
    entries = {"kind": kind, "shaft": shaft, "seat": d.seat(shaft), "speed": number(d.rng.uniform(20, 60), "rpm")}
    if kind == "motor":
        entries |= {"torque": number(torque, "N m"), "peak torque": number(3 * torque, "N m")}
    else:
        entries |= {"radius": "300 mm", "people": 1, "ripple": 1.5, "worst push": "600 N", "run up": "1 s",
                    "handle overhang": "120 mm"}
    d.drives[name] = entries


def machine_text(seed: int, drive: str = "", *, lossy: bool = True, count: int = 0, deep: bool = False) -> str:
    """One machine: `drive` is weight, two weights, crank, motor or hoist (a crank that lifts a weight)."""
    rng = np.random.default_rng([2026, seed])
    d = Draft(rng, lossy)
    drive = drive or d.pick(("weight", "two weights", "crank", "motor", "hoist"))
    d.shaft("first shaft", d.pick(AXES[:4]))
    grow(d, count or int(rng.integers(2, 31 if seed % 4 == 0 else 12)), deep=deep)
    torque = rng.uniform(5, 60)
    if drive in ("weight", "two weights"):
        hang(d, "weight", "first shaft", torque, side_of(d, "first shaft"), purchase=rng.random() < 0.4)
        if drive == "two weights":
            shaft = level(d)
            hang(d, "second weight", shaft, 0.2 * torque / d.size[shaft] * d.passed[shaft], side_of(d, shaft),
                 purchase=rng.random() < 0.4)
        add_loads(d, torque)
        add_brake(d, rng.uniform(0.1, 3), 0.3 * torque)
    else:
        lead(d, "first shaft" if rng.random() < 0.5 else d.pick(list(d.shafts)),
             "motor" if drive == "motor" else "crank", torque)
        add_loads(d, torque)
        if seed % 5:  # the others may have no turning mass at all
            d.loads["wheel"] = {"kind": "flywheel", "shaft": "first shaft", "seat": d.seat("first shaft"),
                                "inertia": "0.05 kg m2", "mass": "4 kg"}
        if drive == "hoist":
            shaft = level(d)
            hang(d, "weight", shaft, torque / d.size[shaft], side_of(d, shaft), purchase=rng.random() < 0.6)
        if rng.random() < 0.5:
            add_brake(d, 3.0, 0.3 * torque)
    return d.text()


def loop_text(seed: int, *, closes: bool = True) -> str:
    """A weight that drives a ring of three shafts and what hangs on it."""
    rng = np.random.default_rng([3000, seed])
    d = Draft(rng)
    d.shaft("first shaft", d.pick(AXES[:4]))
    axis = d.shafts["first shaft"]["axis"]
    z = [d.pick(SPROCKETS) for _ in range(3)]
    d.shaft("shaft b", d.pick((axis, axis[1:] if axis[0] == "-" else "-" + axis)), z[0] / z[1], 0.9)
    d.shaft("shaft c", axis, z[0] / z[2], 0.8)
    geared = rng.random() < 0.4
    if geared:
        more = {"normal module": "2 mm", "pressure angle": "20 deg", "line": d.line()}
        d.stage("gear pair", "first shaft", "shaft b", teeth=z[:2], **more)
        d.stage("gear pair", "shaft b", "shaft c", teeth=z[1:], **more)
    else:
        d.chain("first shaft", "shaft b", z[:2])
        d.chain("shaft b", "shaft c", z[1:])
    d.chain("first shaft", "shaft c", (z[0], z[2] + (0 if closes else 1)))
    for i, parent in enumerate(("shaft b", "shaft c")):
        d.shaft(f"end {i}", axis, d.size[parent], 0.7)
        d.chain(parent, f"end {i}", (19, 19))
    torque = rng.uniform(5, 60)
    hang(d, "weight", "first shaft", torque, side_of(d, "first shaft"), purchase=False)
    add_loads(d, torque)
    add_brake(d, 1.0, 0.3 * torque)
    return d.text()
