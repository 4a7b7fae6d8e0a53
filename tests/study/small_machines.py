"""Small machines with a few things to choose: a motor, one or two stages, and a load. Invented."""

from hypothesis import strategies as st

from layshaft.listings.offers import standard_offers

SMALL = ["06B-1", "06B-2", "08A-1", "08B-1", "08B-2", "10B-1", "12B-1"]
BEARINGS = ["6003", "6203", "6303", "6004", "6204", "6005", "6205", "6006"]
BARS = ["17 mm", "20 mm", "25 mm", "30 mm"]


def few(kind, where=None):
    """A handful of each series, so that every combination can be gone through."""
    wanted = {"roller chain": SMALL, "bearing": BEARINGS, "bright bar": BARS,
              "key steel": ["5x5", "6x6", "8x7"]}.get(kind, [])
    return [o for o in standard_offers(kind) if o.name in wanted]


def text(torque, speed, bar, teeth, centres, bearing, *, gears=False, size=0.6, chain="08B-1"):
    """One stage from a motor's shaft to the load's."""
    shaft = ("axis: x, material: C45+N, finish: machined or cold-drawn, reliability: 99 %, fillet: 0.6 mm, wind up: 1 deg, "
             f"sections: [[{bar} mm, 300 mm]]")
    seats = (f'left bearing: {{at: 20 mm, bearing: "{bearing}", drag: 0.02 N m, break away: 1.5}}, '
             f'right bearing: {{at: 240 mm, bearing: "{bearing}", drag: 0.02 N m, break away: 1.5}}, '
             "wheel: {at: 120 mm, key: 6x6x20, keys: 1, key steel: C45+N, hub steel: S355J2}, end: {at: 290 mm}")
    stage = (f"kind: gear pair, normal module: 2 mm, teeth: {teeth}, face: 20 mm, helix: 0 deg, pressure angle: 20 deg, "
             "materials: [C45+N, C45+N], hardness: [190, 190], accuracy: 9, lubrication: grease" if gears else
             f"kind: roller chain, chain: {chain}, teeth: {teeth}, centres: {centres}, take up: 30 mm, "
             "connecting link: press fit, lubrication: drip")
    return f"""layshaft: 1
name: Small
gravity: 9.81 m/s2
venue: {{air density: 1.2 kg/m3}}
modules: {{frame: {{mass: 100 kg, size: [1 m, {size} m, {size} m]}}}}
runs: {{show: {{time: 1 h, days per year: 50, years: 10}}}}
shafts:
  a: {{module: frame, at: [0 m, 0 m, 1 m], {shaft}, seats: {{{seats}}}}}
  b: {{module: frame, {shaft}, seats: {{{seats}}}}}
drives: {{motor: {{kind: motor, shaft: a, seat: end, speed: {speed} rpm, torque: {torque} N m, peak torque: {torque * 2} N m}}}}
stages:
  link: {{from: a, to: b, seats: [wheel, wheel], efficiency: 0.96, break away: 1.2, line: 20 deg, {stage}}}
loads: {{work: {{kind: steady, shaft: b, seat: end, torque: {torque} N m, break away: 1.5, inertia: 0.2 kg m2}}}}
"""


LEFT, RIGHT = "shafts.b.seats.left bearing.bearing", "shafts.b.seats.right bearing.bearing"
QUESTIONS = [
    ["stages.link"], [LEFT], ["shafts.b.seats.wheel.key"], [LEFT, RIGHT], ["shafts.b", LEFT, RIGHT],
    ["shafts.b", LEFT, RIGHT, "shafts.b.seats.wheel.key"], ["stages.link", LEFT], ["stages.link", "shafts.b", LEFT, RIGHT],
    ["shafts.a"],
]


@st.composite
def questions(draw):
    """Machine text and the parts to choose."""
    bar, bearing = draw(st.sampled_from([(17, "6003"), (20, "6004"), (25, "6205"), (30, "6006")]))
    gears = draw(st.booleans())
    return text(draw(st.sampled_from([1, 5, 20, 60, 200])), draw(st.sampled_from([40, 120, 400, 1400])), bar,
                draw(st.sampled_from([[17, 38], [19, 57], [25, 25], [38, 19]])),
                draw(st.sampled_from(["about 400 mm", "about 250 mm", "{value: 400 mm, between: [300 mm, 500 mm]}"])),
                bearing, gears=gears, size=draw(st.sampled_from([0.2, 0.3, 0.6]))), draw(st.sampled_from(QUESTIONS))
