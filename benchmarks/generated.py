"""The machine the benchmarks recheck: 25 shafts, 9 chains of which two run side by side, 6 gear pairs,
10 couplings, 50 bearings, 20 keys, a hanging weight, a fan, and loads at the ends. Invented, all of it.

With more shafts everything grows in the same shares: 41 shafts make a machine of 201 parts that are bought or made
(shafts, stages, bearings, keys, a drive, loads), of which the desk rates about 420 places and things by themselves.
"""

from __future__ import annotations

HEAD = """layshaft: 1
name: Generated
gravity: 9.81 m/s2
venue: {air density: 1.2 kg/m3}
modules: {frame: {mass: 300 kg}}
transit: {shock: 3 g}
runs: {show: {time: 2 h, days per year: 50, years: 10}}
wants: {start: {start ratio: 1.2}}
parts:
  jaw 60: {kind: coupling, source: listed, read in: invented list, steady torque: 60 N m, peak torque: 120 N m,
    stiffness: 1500 N m/rad, offset: 0.2 mm, angle: 0.9 deg, end float: 1.4 mm}
"""

STEEL = "axis: x, material: C45+N, finish: machined or cold-drawn, reliability: 99 %, wind up: 1 deg"
BEARING = 'bearing: "6206", drag: {value: 0.01 N m, between: [0.005 N m, 0.03 N m], source: assumed}, break away: 1.5'
KEY = "keys: 1, key steel: C45+N, hub steel: S355J2"
LOSS = "efficiency: {value: 0.96, between: [0.93, 0.98], source: assumed}, break away: 1.2"
SHAFTS, LARGE = 25, 41
KINDS = ("chain", "coupling", "gear", "coupling", "chain", "coupling", "chain", "gear")


def stages(shafts: int) -> list[tuple[str, int, int]]:
    """Kind, from, to of every link: a trunk that branches; of 24 links 8 chains, 6 gear pairs, 10 couplings."""
    chains, gears = (shafts - 1) // 3, (shafts - 1) // 4
    wanted = {"chain": chains, "gear": gears, "coupling": shafts - 1 - chains - gears}
    found: list[tuple[str, int, int]] = []
    for i in range(1, shafts):
        kind = next(k for k in (*KINDS[i % 8:], *KINDS) if wanted[k])
        wanted[kind] -= 1
        found.append((kind, (i - 1) // 2 if i > 2 else i - 1, i))
    return found


def machine_text(count: int = SHAFTS) -> str:
    """The machine file, with so many shafts."""
    links = stages(count)
    seats: dict[int, list[str]] = {i: [] for i in range(count)}
    lines: list[str] = []
    for n, (kind, a, b) in enumerate(links):
        name = f"{kind} {n}"
        seats[a].append(f"{name} a")
        seats[b].append(f"{name} b")
        lines.append(stage_line(kind, name, a, b, n))
        if kind == "chain" and not any("twin" in line for line in lines):
            seats[a].append("twin a")
            seats[b].append("twin b")
            lines.append(stage_line("chain", "twin", a, b, n, seat="twin"))
    for shaft, load in ((-1, "fan"), (-1, "wheel"), (-2, "table"), (-3, "hammer"), (0, "weight")):
        seats[shaft % count].append(load)
    keyed = 0
    shafts = []
    for i in range(count):
        n_seats = len(seats[i])
        length = 120 + 60 * n_seats
        parts = [f"left bearing: {{at: 20 mm, {BEARING}}}", f"right bearing: {{at: {length - 20} mm, {BEARING}}}"]
        for k, seat in enumerate(seats[i]):
            key = f", key: 8x7x40, {KEY}" if keyed < count * 4 // 5 else ""
            keyed += bool(key)
            parts.append(f"{seat}: {{at: {60 + 60 * k} mm{key}}}")
        at = ", at: [0 m, 0 m, 3 m]" if i == 0 else ""
        shafts.append(f"  s{i}: {{module: frame, {STEEL}{at}, sections: [[30 mm, {length} mm]], "
                      f"seats: {{{', '.join(parts)}}}}}")
    return HEAD + "shafts:\n" + "\n".join(shafts) + drives(count) + "stages:\n" + "\n".join(lines) + "\n"


def stage_line(kind: str, name: str, a: int, b: int, n: int, seat: str | None = None) -> str:
    """One stage; every name ends in the seats it sits on."""
    ends = f"seats: [{seat or name} a, {seat or name} b]"
    base = f"  {name}: {{from: s{a}, to: s{b}, {ends}, {LOSS}, line: {37 * n % 360} deg"
    if kind == "chain":
        return base + (", kind: roller chain, chain: 12B-1, teeth: [19, 25], centres: about 700 mm, take up: 40 mm, "
                       "connecting link: press fit}")
    if kind == "gear":
        return base + (", kind: gear pair, normal module: 3 mm, teeth: [30, 24], face: 30 mm, helix: 0 deg, "
                       "pressure angle: 20 deg, shift: [0, 0], materials: [C45+N, C45+N], hardness: [190, 190]}")
    return base + (", kind: coupling, listing: jaw 60, gap: 2 mm, temperature factor: 1.0, offset: 0.05 mm, "
                   "angle: 1 mrad, end float: 0.2 mm}")


DRIVES = """
drives:
  weight: {kind: falling weight, shaft: s0, hangs on: +y, over people: yes, mass: 180 kg ± 2 kg, drop: 2 m,
    chain: 16B-1, teeth: 21, strand length: 1 m, slack: 1 mm}
loads:
  fan: {kind: fan brake, shaft: LAST, constant: 0.02 N m s2, inertia: 0.05 kg m2}
  wheel: {kind: flywheel, shaft: LAST, inertia: 0.4 kg m2, mass: 12 kg, diameter: 500 mm, bore: 30 mm,
    density: 7850 kg/m3, yield strength: 235 MPa}
  table: {kind: steady, shaft: BEFORE, torque: {value: 3 N m, between: [2 N m, 5 N m], source: assumed}, break away: 2,
    inertia: 1 kg m2}
  hammer: {kind: pulses, shaft: EARLIER, per turn: 4, energy: {value: 6 J, between: [5 J, 8 J], source: assumed},
    over: 80 deg, break away: 1}
"""


def drives(count: int) -> str:
    """What drives it and what is driven, at the first shaft and the last ones."""
    text = DRIVES
    for word, shaft in (("LAST", count - 1), ("BEFORE", count - 2), ("EARLIER", count - 3)):
        text = text.replace(f"shaft: {word}", f"shaft: s{shaft}")
    return text


if __name__ == "__main__":
    print(machine_text())
