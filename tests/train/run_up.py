"""A weight on a drum with a wheel, and a fan for it: it runs up as w_e tanh(k w_e t / J)."""

FREE = """layshaft: 1
name: Run up
gravity: 10 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  drum: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {
    left: {at: 0 mm, bearing: open, drag: 0 N m, break away: 1}, drum: {at: 10 mm}, wheel: {at: 50 mm}, brake: {at: 90 mm},
    right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: 4 kg, drop: 5 m, diameter: 200 mm,
           seat: drum}
loads:
  wheel: {kind: flywheel, shaft: drum, inertia: 0.46 kg m2}
"""
FAN = "  fan: {kind: fan brake, shaft: drum, seat: brake, constant: 0.04 N m s2, inertia: 0 kg m2}\n"
