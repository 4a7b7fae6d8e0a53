"""A machine of two or three shafts in line, written out for tests by hand. Everything in it is invented."""

from layshaft.machine.reader import read_text

DRIVES = {
    "weight": "{kind: falling weight, shaft: first, seat: in, mass: 40 kg, drop: 2 m, strand length: 1 m, hangs on: +y, "
              "over people: no, diameter: 200 mm, suspension: rope, falls: 1}",
    "crank": "{kind: crank, shaft: first, seat: in, radius: 250 mm, people: 1, speed: 30 rpm, bout: 2 min, ripple: 1.5, "
             "worst push: 400 N, handle overhang: 100 mm, arms factor: 0.65, run up: 1 s}",
    "motor": "{kind: motor, shaft: first, seat: in, torque: 20 N m, peak torque: 60 N m, speed: 60 rpm}",
}
FAN = "{kind: fan brake, shaft: second, seat: fan, constant: 0.05 N m s2, inertia: 0.1 kg m2}"
WHEEL = "{kind: flywheel, shaft: second, seat: wheel, inertia: 2 kg m2, mass: 30 kg, diameter: 600 mm, bore: 30 mm, " \
        "density: 7850 kg/m3, yield strength: 235 MPa}"
KEYED = "key: 8x7x25, keys: 1, key steel: C45+N, hub steel: C45+N"
LEVEL = "efficiency: 1, break away: 1"


def shaft(*seats, module="frame"):
    """A 30 mm bar, 500 mm long, on two bearings without drag, with seats 50 mm apart."""
    places = [f"{s}: {{at: {60 + 50 * i} mm, {KEYED}}}" for i, s in enumerate(seats)]
    ends = [f"{side} bearing: {{at: {at} mm, bearing: \"6206\", drag: 0 N m, break away: 1}}"
            for side, at in (("left", 20), ("right", 480))]
    return (f"{{module: {module}, axis: x, material: C45+N, finish: machined or cold-drawn, reliability: 99 %, wind up: "
            f"5 deg, sections: [[30 mm, 500 mm]], seats: {{{', '.join([*ends, *places])}}}}}")


def _second(crossing):
    bar = shaft("in", "hold", "out", "fan", "wheel")
    return bar.replace("axis: x", "axis: y") if crossing else bar


def text(stages, loads, drive="weight", shafts=(), parts=(), more=(), drives=(), crossing=False):
    """The file of a train of shafts first and second (in line, or crossing), and of any more that are given."""
    lines = ["layshaft: 1", "name: Small train", "gravity: 9.81 m/s2", "modules:", "  frame: {mass: 60 kg}",
             "  other: {mass: 60 kg}", "shafts:", f"  first: {shaft('in', 'hold', 'out', 'extra')}",
             f"  second: {_second(crossing)}", *(f"  {n}: {s}" for n, s in dict(shafts).items()),
             "drives:", f"  {drive}: {DRIVES[drive]}", *(f"  {n}: {d}" for n, d in dict(drives).items()),
             "stages:", *(f"  {n}: {s}" for n, s in stages.items()), "loads:",
             *(f"  {n}: {v}" for n, v in loads.items()), "parts:",
             "  rope: {kind: suspension, source: assumed, read in: invented, breaking load: 20 kN, stretch: 0.4 %}",
             *(f"  {n}: {v}" for n, v in dict(parts).items()), *more]
    return "\n".join(lines) + "\n"


def machine(*args, **kwargs):
    """The same, read."""
    return read_text(text(*args, **kwargs), "machine.yaml")
