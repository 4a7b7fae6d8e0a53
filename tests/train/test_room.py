"""Every kind of stage, load and drive takes room: by what the file tells, else up to what such parts usually take."""

import math
import re
from pathlib import Path

import pytest
from pytest import approx

from layshaft import solve
from layshaft.listings.tables import table
from layshaft.machine.kinds import DRIVES, FIXINGS, FRAMES, HUBS, LOADS, SPRINGS, STAGES, Joining
from layshaft.machine.reader import read_text
from layshaft.machine.schema import keys
from layshaft.mechanics.outlines import NONE
from layshaft.train.handles import hand_room
from layshaft.train.placed import Placed
from layshaft.train.space import space

PAGE = Path(__file__).parents[2] / "docs" / "drawing.md"
SHAFT = """  {name}:
    module: frame
    axis: {axis}
    at: [{x} mm, {y} mm, 1000 mm]
    sections: [[{d} mm, 300 mm]]
    seats: {{left: {{at: 20 mm, bearing: "6204"}}, seat: {{at: {seat} mm}}, right: {{at: 200 mm, bearing: "6204"}}}}
"""
ELSEWHERE = {"bevel pair": ("y", 290, 0), "worm": ("y", 290, 0)}
OPEN = ("spring", "listing")  # words of examples that name what a small machine does not have


def small(collection, kind, more="", own=""):
    """Two shafts and one thing of that kind, with no more than it must have."""
    axis, x, y = ELSEWHERE.get(kind, ("x", 0, 120))
    if collection == "stages" and issubclass(STAGES[kind], Joining):
        axis, x, y = "x", 302, 0
    shafts = SHAFT.format(name="one", axis="x", x=0, y=0, d=20, seat=280) + SHAFT.format(
        name="two", axis=axis, x=x, y=y, d=20, seat=20 if x == 302 else 280)
    given = {name: k.example for name, (_, k) in keys(KINDS[collection][kind]).items() if k.required}
    given |= {"from": "one", "to": "two", "seats": "[seat, seat]"} if collection == "stages" else {
        "shaft": "one", "seat": "seat"}
    if "rewound from" in given:
        given |= {"rewound from": "two", "winding seat": "seat"}
    told = ", ".join(f"{k}: {v}" for k, v in given.items())
    parts = {"shafts": f"\n{shafts}", "modules": " {frame: {mass: 20 kg}}\n", "drives": " {}\n", "stages": " {}\n",
             "loads": " {}\n"}
    parts[collection] = f" {{thing: {{kind: {kind}, {told}{more}}}}}\n"
    return read_text("layshaft: 1\nname: Small\ngravity: 9.81 m/s2\n" + "".join(f"{k}:{v}" for k, v in parts.items()) + own)


KINDS = {"stages": STAGES, "loads": LOADS, "drives": DRIVES}
EVERY = [(collection, kind) for collection, kinds in KINDS.items() for kind in kinds]


@pytest.mark.parametrize(("collection", "kind"), EVERY)
def test_every_kind_takes_room_or_is_said_to_have_no_size_yet(collection, kind):
    found = space(solve(small(collection, kind)))
    path = f"{collection}.thing"
    assert path in {b.path for b in found.bodies} or path in found.unsized


@pytest.mark.parametrize(("collection", "kind", "more", "radius", "half"), [
    ("stages", "coupling", "outside diameter: 56 mm, length: 66 mm", 28, 33),
    ("stages", "universal joint", "outside diameter: 40 mm, length: 110 mm", 20, 55),
    ("stages", "one-way hub", "outside diameter: 80 mm, length: 50 mm", 40, 25),
    ("stages", "slip clutch", "outside diameter: 120 mm, length: 90 mm", 60, 45),
    ("stages", "shear pin", "outside diameter: 70 mm, length: 80 mm", 35, 40),
    ("stages", "friction clutch", "outside diameter: 180 mm, length: 90 mm, outer diameter: 160 mm", 90, 45),
    ("stages", "dog clutch", "outside diameter: 84 mm, length: 80 mm, outer diameter: 80 mm", 42, 40),
    ("loads", "steady", "outside diameter: 240 mm, width: 40 mm", 120, 20),
    ("loads", "turntable", "outside diameter: 900 mm, width: 60 mm, track radius: 400 mm", 450, 30),
    ("loads", "pulses", "outside diameter: 220 mm, width: 30 mm", 110, 15),
    ("loads", "cam", "outside diameter: 220 mm, width: 30 mm", 110, 15),
    ("loads", "torque by angle", "outside diameter: 220 mm, width: 30 mm", 110, 15),
    ("loads", "eddy brake", "outside diameter: 200 mm, width: 4 mm", 100, 2),
    ("loads", "fan brake", "outside diameter: 600 mm, width: 120 mm, constant: 0.1 N m s2", 300, 60),
    ("loads", "disc brake", "outside diameter: 250 mm, width: 10 mm, outer diameter: 240 mm", 125, 5),
    ("loads", "band brake", "drum diameter: 260 mm, width: 50 mm", 130, 25),
    ("loads", "block brake", "drum diameter: 260 mm, width: 50 mm", 130, 25),
    ("loads", "pull", "outside diameter: 200 mm, width: 40 mm", 100, 20),
    ("loads", "allowance", "outside diameter: 200 mm, width: 40 mm", 100, 20),
    ("drives", "crank", "radius: 300 mm, arm thickness: 16 mm", 300, 8),
    ("drives", "pedals", "radius: 170 mm, arm thickness: 14 mm", 170, 7),
    ("drives", "motor", "outside diameter: 140 mm, length: 220 mm, middle: 120 mm", 70, 110),
])
def test_a_told_size_is_the_size_that_is_looked_at(collection, kind, more, radius, half):
    """Half of what the file says, in mm; a body on both shafts stands half-way between its seats, at 301 mm."""
    machine = small(collection, kind, f", {more}")
    body = next(b for b in space(solve(machine)).bodies if b.path == f"{collection}.thing")
    assert body.told
    assert (body.radius * 1e3, body.half * 1e3) == approx((radius, half))
    assert body.first[0] == approx(0.301 if collection == "stages" else 0.400 if kind == "motor" else 0.280)


def test_a_listing_tells_the_size_and_the_stage_may_tell_another():
    own = "parts: {own: {kind: coupling, source: listed, read in: a list, outside: 56 mm, length: 66 mm}}\n"
    for more, radius in (("", 28), (", outside diameter: 60 mm", 30)):
        bodies = space(solve(small("stages", "coupling", f", listing: own{more}", own))).bodies
        body = next(b for b in bodies if b.path == "stages.thing")
        assert (body.radius * 1e3, body.half * 1e3, body.told) == (approx(radius), approx(33), True)


def test_what_has_no_body_of_its_own_takes_no_room():
    found = space(solve(small("loads", "steady", ", outside diameter: 0 mm")))
    assert "loads.thing" not in {b.path for b in found.bodies}


def test_linings_are_the_least_a_clutch_takes():
    body = next(b for b in space(solve(small("stages", "friction clutch", ", outer diameter: 160 mm"))).bodies
                if b.path == "stages.thing")
    assert (body.told, body.radius * 1e3) == (False, approx(80))
    assert body.greatest[0] * 1e3 == approx(20 * table("room_bounds")["clutch"].number("along_d") / 2)


def test_a_wheel_of_open_teeth_stays_clear_of_its_mate():
    """The axes stand 120 mm apart; 19 teeth of 12.7 mm have a pitch radius of 38.58 mm, and half a plate stands beyond."""
    found = [b for b in space(solve(small("stages", "roller chain", ", chain: 08B-1, teeth: [19, open]"))).bodies
             if b.path == "stages.thing"]
    first, second = found
    assert first.told
    assert first.radius > 0.0127 / math.sin(math.pi / 19) / 2
    assert (second.told, second.greatest[1]) == (False, approx(0.120 - first.radius))


def test_the_page_says_of_every_kind_what_room_it_takes():
    first = re.findall(r"^\| ([^|]+?) +\|", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    rows = {kind for cell in first for kind in cell.split(", ")}
    for kinds in (STAGES, LOADS, DRIVES, SPRINGS, FIXINGS, FRAMES, HUBS):
        for kind in kinds:
            assert kind in rows, kind
    assert {"shaft", "bearing", "bush", "key"} <= rows


LOOP = ", mass: 96 kg, counterweight: 8 kg, drop: 1.4 m, chain: 08B-1, teeth: 17"


def hanging(more):
    found = space(solve(small("drives", "endless loop", LOOP + more)))
    return found, {b.name: b for b in found.bodies if b.kind == "block"}


def test_what_hangs_is_a_block_all_the_way_down():
    """By hand: two bights one pitch diameter beside the drive wheel; 0.16 m down to the top, 1.4 m of drop."""
    _, found = hanging(", size: [180 mm, 100 mm, 420 mm], counterweight size: [100 mm, 70 mm, 170 mm], "
                       "hangs below: 160 mm")
    weight, counter = found["thing"], found["counterweight of thing"]
    d = 0.0127 / math.sin(math.pi / 17)
    middles = [(b.first[1] + b.last[1]) / 2 for b in (weight, counter)]
    assert sorted(middles) == approx([-d, d])
    assert weight.half == approx(0.090)
    assert [b.first[2] + b.side[2] for b in (weight, counter)] == approx([1.0 - 0.16, 1.0 - 0.16])
    assert [2 * b.side[2] for b in (weight, counter)] == approx([1.4 + 0.42, 1.4 + 0.17])


def test_weight_and_counterweight_are_held_against_each_other():
    """Their axes stand two pitch diameters apart, 138.2 mm: 100 and 70 mm leave 53.2 mm, 180 and 70 mm leave 13.2 mm."""
    for broad, least in ((100, None), (180, 0.0132), (220, -0.0068)):
        found, _ = hanging(f", size: [180 mm, {broad} mm, 420 mm], counterweight size: [100 mm, 70 mm, 170 mm], "
                           "hangs below: 160 mm")
        near = [n for n in found.near if n.a.kind == n.b.kind == "block"]
        assert ([n.gap for n in near] == approx([least], abs=1e-4)) if least is not None else not near


def test_a_weight_of_no_told_size_is_bounded_by_a_cube_of_water():
    """96 kg of water are a cube of 458 mm; where it hangs is not told, so its column is a drop longer at both ends."""
    _, found = hanging("")
    weight = found["thing"]
    cube = (96 / 1000) ** (1 / 3)
    assert (weight.told, weight.certain, weight.radius) == (False, False, 0.0)
    assert weight.greatest == approx((cube + 1.4, 1.5 * cube / 2))


def test_housings_and_hubs_are_where_their_seats_are():
    text = SHAFT.format(name="one", axis="x", x=0, y=0, d=20, seat=280)
    more = "left: {at: 20 mm, bearing: \"6204\", housing size: [30 mm, 120 mm, 66 mm]}"
    told = text.replace("left: {at: 20 mm, bearing: \"6204\"}", more).replace(
        "seat: {at: 280 mm}", "seat: {at: 280 mm, hub diameter: 40 mm, hub length: 50 mm}")
    machine = read_text("layshaft: 1\nname: Small\ngravity: 9.81 m/s2\nmodules: {frame: {mass: 20 kg}}\nshafts:\n"
                        f"{told}drives: {{}}\n")
    bodies = {b.kind: b for b in space(solve(machine)).bodies}
    housing, hub = bodies["housing"], bodies["hub"]
    assert (housing.half, housing.last[1], housing.side[2]) == approx((0.015, 0.060, 0.033))
    assert (hub.first[0], hub.half, hub.radius) == approx((0.280, 0.025, 0.020))
    assert housing.first[0] == approx(0.020)
    assert housing.stands
    assert "left of one" not in {b.name for b in space(solve(machine)).bodies}  # a 6204 is 47 mm by 14 mm: inside
    slim = read_text("layshaft: 1\nname: Small\ngravity: 9.81 m/s2\nmodules: {frame: {mass: 20 kg}}\nshafts:\n"
                     f"{told.replace('[30 mm', '[12 mm')}drives: {{}}\n")
    assert "left of one" in {b.name for b in space(solve(slim)).bodies}


def test_a_belt_of_no_told_width_is_looked_at_up_to_the_width_of_its_pulleys():
    found = space(solve(small("stages", "V belt", ", belt: A, diameters: [80 mm, 80 mm], pulley width: 20 mm")))
    strands = [b for b in found.bodies if b.kind == "strand"]
    assert [(b.told, b.certain, b.half, b.greatest[0]) for b in strands] == [(False, True, 0.0, approx(0.010))] * 2


def test_a_bush_of_no_told_length_is_looked_at():
    """At most four times as long as its shaft of 20 mm is thick."""
    text = SHAFT.format(name="one", axis="x", x=0, y=0, d=20, seat=280).replace(
        'left: {at: 20 mm, bearing: "6204"}', "left: {at: 20 mm, bush: {outside diameter: 30 mm}}")
    machine = read_text("layshaft: 1\nname: Small\ngravity: 9.81 m/s2\nmodules: {frame: {mass: 20 kg}}\nshafts:\n"
                        f"{text}drives: {{}}\n")
    bush = next(b for b in space(solve(machine)).bodies if b.name == "left of one")
    assert (bush.told, bush.half, bush.radius, bush.greatest[0]) == (False, 0.0, 0.015, approx(0.040))


WEIGHT = ", mass: 40 kg, drop: 0.5 m, diameter: 160 mm, suspension: wire rope 6 mm 7x19 1960"


def test_a_drum_of_no_told_width_is_not_taken_for_one_turn_wide():
    drums = [next(b for b in space(solve(small("drives", "falling weight", WEIGHT + more))).bodies if b.kind == "wheel")
             for more in ("", ", drum width: 90 mm")]
    assert [(b.told, b.half) for b in drums] == [(False, 0.0), (True, approx(0.045))]
    assert drums[0].greatest[0] == approx(drums[0].radius / 2)


def test_a_strand_reaches_down_to_what_hangs_on_it():
    """From its axis 1.2 m down to the top of what hangs, and 0.5 m of drop."""
    found = space(solve(small("drives", "falling weight", WEIGHT + ", hangs below: 1.2 m, size: [0.2 m, 0.1 m, 0.3 m]")))
    strand = next(b for b in found.bodies if b.kind == "strand")
    assert strand.first[2] - strand.last[2] == approx(1.7)


def test_a_chain_of_which_the_file_does_not_tell_the_plates_is_not_passed_over_in_silence():
    own = ("parts:\n  own chain: {kind: chain, source: listed, read in: a sheet, pitch: 12.7 mm, roller diameter: 8.5 mm, "
           "breaking load: 18 kN, mass per metre: 0.7 kg/m}\n")
    found = space(solve(small("stages", "roller chain", ", chain: own chain, teeth: [19, 19], links: 40", own)))
    assert "stages.thing" in found.unsized
    assert all(math.isfinite(b.half + b.radius) for b in found.bodies)


def test_the_room_of_a_hand_names_what_is_near_and_what_may_be():
    """The handle goes round 300 mm off its shaft: a rod 50 mm further out, and one 150 mm further that may be 140 mm thick."""
    solved = solve(small("drives", "crank", ", radius: 300 mm, handle overhang: 120 mm"))
    rods = [Placed("p", name, "wheel", "two", "p", (0.4, y, 1.0), (0.4, y, 1.0), (1.0, 0.0, 0.0), 0.05, radius,
                   most_radius=most) for name, y, radius, most in (("rod", 0.36, 0.01, NONE), ("loose", 0.45, 0.0, 0.14))]
    room = hand_room(solved, solved.machine.drives["thing"], rods)
    assert (room.beside, room.perhaps) == ("rod", "loose")
    assert (room.gap, room.least) == (approx(0.05), approx(0.01))
