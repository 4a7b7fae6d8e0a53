"""The formulary as a builder looks for things: rooms under headings, questions often asked, search by words."""

from __future__ import annotations

import functools
import importlib
import math
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from layshaft.trace.formula import FormulaInfo
from layshaft.trace.registry import load_all, meaning_of, room_of


@dataclass(frozen=True, slots=True)
class Room:
    """One room of formulas: what it is called, what it is about, how many it has."""

    name: str
    words: str
    about: str
    count: int


@dataclass(frozen=True, slots=True)
class Group:
    """Rooms a builder looks for together, in one sentence."""

    title: str
    about: str
    rooms: tuple[Room, ...]


GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("Shafts", "How thick, how far they bend and twist, and how fast they may turn.",
     ("shaft", "round_bar", "beam", "endurance", "criteria", "notch", "notch_cuts", "critical_speed", "torsion",
      "materials", "margin")),
    ("Chains, belts and ropes", "How long, how strong, how they wear, what they pull on.",
     ("roller_chain", "belt", "rope")),
    ("Gears", "Sizes, teeth, forces, strength, and how truly they turn.",
     ("gear_pair", "bevel_pair", "worm_pair", "spur_teeth", "transmission_error")),
    ("Bearings", "What they carry, how long they last, what they rub.",
     ("ball_bearing", "bearing_pair", "rolling_life", "plain_bush")),
    ("Wheels on shafts", "What holds a hub: keys, clamps, pins, fits.",
     ("parallel_key", "clamp_hub", "taper_clamp", "press_fit", "set_screws", "cross_pin", "shear_pin", "pins", "rings",
      "fits")),
    ("Couplings, clutches, brakes", "What joins shafts, lets them slip, holds them or lets them turn one way only.",
     ("coupling", "universal_joint", "dog_clutch", "ratchet", "one_way", "brake", "brakes", "friction", "stopping")),
    ("Drives and loads", "Weights, cranks and people; fans, pulses and rolling; where the power goes.",
     ("drives", "crank", "loads", "energy", "sizing", "hanging_load", "by_angle")),
    ("Flywheels and steady turning", "What a turning mass stores, and how evenly it turns.",
     ("flywheel", "rim_wheel", "inertia", "steadiness", "motion", "rotating")),
    ("Springs", "Rate, stress, energy and room of springs that are pushed, pulled, twisted or wound.",
     ("helical_spring", "torsion_spring", "spiral_spring", "spring_wire")),
    ("Bolts, welds and frames", "What holds the machine together and upright.",
     ("bolted_joint", "threads", "fillet_weld", "frame_beam", "frame_column", "spans")),
    ("Bodies and areas",
     "Volume, middle of mass, moment of inertia of the usual solids; areas and how they resist bending.",
     ("solids", "sections")),
    ("Measuring", "From what is read on the bench to a value, and how sure it is.", ("bench", "uncertainty")),
)
"""Where each room stands; the order in which a builder meets them."""

CALLED = {
    "brake": "brake, as a part", "brakes": "brakes: shoe and band", "fits": "limits and fits",
    "pins": "pins and holes", "rings": "rings pressed together", "beam": "shaft on its bearings",
    "spans": "beams on two supports", "notch": "notches: shoulders, keyseats, grooves",
    "notch_cuts": "notches: cut grooves, cross holes", "criteria": "fatigue criteria beside Goodman's",
    "endurance": "fatigue of shafts", "margin": "the margin", "torsion": "torsional vibration",
    "loads": "loads and losses", "energy": "power and losses", "by_angle": "torque by angle, cams",
    "rotating": "run-away and bursting", "motion": "speeding up and slowing down",
    "sizing": "sizing what drives and steadies", "steadiness": "how steadily it turns",
    "stopping": "slip and stopping", "one_way": "one-way hubs", "threads": "threads and tightening",
    "rolling_life": "life of rolling bearings", "solids": "solids: block, cone, sphere, ring, rod, tube",
    "sections": "areas and sections", "bench": "tests on the bench", "uncertainty": "uncertainty of a reading",
    "materials": "shaft steels", "transmission_error": "uneven turning by shape", "inertia": "moments of inertia",
    "friction": "rubbing faces",
}
"""What rooms are called where their name alone says too little."""

QUESTIONS: tuple[tuple[str, str], ...] = (
    ("How thick must a shaft be?", "shaft.sizing.first_diameter"),
    ("How thick must a shaft be for torque alone?", "shaft.sizing.torsion_diameter"),
    ("How thick must a turning shaft be so that it does not tire?", "endurance.goodman_diameter"),
    ("How far does a shaft twist?", "round_bar.twist"),
    ("How far does a beam sag under a weight?", "spans.sag_between"),
    ("How fast may a shaft turn before it whirls?", "critical_speed.uniform_shaft"),
    ("How long is a chain, in links?", "roller_chain.geometry.links_even"),
    ("How long is a chain?", "roller_chain.geometry.chain_length"),
    ("How far apart do the sprockets sit?", "roller_chain.geometry.centre_distance_approximate"),
    ("How large is a sprocket?", "roller_chain.geometry.pitch_diameter"),
    ("How long is a belt?", "belt.geometry.belt_length"),
    ("How long is a rope on its drum?", "rope.drum.rope_length"),
    ("How far apart do two gears sit?", "gear_pair.geometry.reference_centre_distance"),
    ("How long does a bearing last?", "rolling_life.rating_life"),
    ("What does a key carry?", "parallel_key.flank_pressure"),
    ("How hard must a bolt be tightened?", "threads.tightening_torque"),
    ("What does a bolt carry?", "threads.proof_load"),
    ("When does a post buckle?", "frame_column.buckling_load"),
    ("How much energy does a flywheel store?", "drives.turning_energy"),
    ("How heavy must a flywheel be?", "flywheel.needed_inertia"),
    ("How much energy does a raised weight store?", "drives.weight_energy"),
    ("How long does one winding of a weight last?", "drives.running_time"),
    ("How heavy must the weight be?", "sizing.mass_for_torque"),
    ("How hard is the crank to turn?", "drives.handle_force"),
    ("What torque brakes a fan?", "loads.fan_torque"),
    ("How stiff is a spring?", "helical_spring.coil.spring_rate"),
    ("What does a weld carry?", "fillet_weld.throat_stress"),
    ("What is the moment of inertia of a disc?", "solids.disc"),
)
"""What is asked most, and the formula that answers; a search finds these first."""

SAME = {"thick": "diameter", "thickness": "diameter", "long": "length", "strong": "strength", "stronger": "strength",
        "heavy": "mass", "weigh": "mass", "fast": "speed", "rpm": "speed", "stiff": "stiffness", "bend": "bending",
        "bent": "bending", "screw": "bolt", "nut": "bolt", "cog": "gear", "cogwheel": "gear", "wheel": "gear",
        "sag": "deflection", "axle": "shaft", "column": "post", "bow": "buckle", "bows": "buckle", "breaking": "break",
        "spin": "turn", "lasts": "life", "last": "life", "sprockets": "sprocket", "cylinder": "disc", "ball": "sphere",
        "ring": "ring", "pull": "force", "push": "force", "hot": "heat", "warm": "heat", "whirl": "critical"}
"""What a builder says, and what it is called here as well."""

SMALL = frozenset((
    "a", "an", "and", "are", "as", "at", "be", "between", "by", "can", "do", "does", "for", "from", "how", "i", "in",
    "is", "it", "its", "me", "much", "many", "must", "my", "need", "of", "on", "or", "should", "so", "that", "the",
    "there", "to", "what", "when", "which", "will", "with",
))
"""Words that tell nothing."""

WEIGHTS = {"question": 6.0, "name": 4.0, "meaning": 4.0, "room": 3.0, "inputs": 1.0, "text": 0.7}
SAID_AGAIN = 0.2
"""How much more a word counts for each other place a formula has it in."""

WORDY = 0.03
"""How much less a meaning of more words counts: the plainest is most likely meant."""

ALL_OF_THEM = 3.0
"""How much more a formula counts that speaks of every word asked for."""

MOST_FOUND = 40
WEAKEST = 0.3
"""Share of the best score below which a formula is not worth showing."""



@functools.cache
def groups() -> tuple[Group, ...]:
    """Every room under its heading; a room no heading names stands under the last one."""
    counts = Counter(room_of(i) for i in load_all().values())
    by_name = {room.split(".", 1)[1]: room for room in counts}
    named = {name for _, _, names in GROUPS for name in names}
    rest = tuple(sorted(name for name in by_name if name not in named))
    found = [Group(title, about, tuple(_room(by_name[n], counts) for n in names if n in by_name))
             for title, about, names in GROUPS]
    return (*found, Group("More", "What stands under no other heading.", tuple(_room(by_name[n], counts) for n in rest))
            ) if rest else tuple(found)


def _room(room: str, counts: Counter[str]) -> Room:
    short = room.split(".", 1)[1]
    return Room(room, CALLED.get(short, short.replace("_", " ")), about_room(room), counts[room])


@functools.cache
def about_room(room: str) -> str:
    """The first sentence a room says of itself."""
    text = (importlib.import_module(f"layshaft.{room}").__doc__ or "").strip().split("\n\n")[0]
    return " ".join(text.split()).replace(" SI throughout.", "").replace(" SI.", "")


def about_name(room: str) -> str:
    """What a room is called."""
    found = room_named(room)
    return found.words if found is not None else room


def room_named(name: str) -> Room | None:
    """A room by its name, such as `elements.belt`."""
    return next((r for g in groups() for r in g.rooms if r.name == name), None)


SOLIDS: tuple[tuple[str, str], ...] = (
    ("block or plate", "solids.block solids.block_volume"),
    ("disc, ring or tube", "inertia.ring inertia.ring_volume solids.disc solids.tube_across"),
    ("rod or round bar", "inertia.rod_about_middle inertia.rod_about_end solids.rod_across solids.rod_volume"),
    ("sphere", "inertia.sphere inertia.sphere_volume"),
    ("half sphere", "solids.half_sphere solids.half_sphere_across solids.half_sphere_centre solids.half_sphere_volume"),
    ("cone", "solids.cone solids.cone_across solids.cone_centre solids.cone_volume"),
    ("cut cone", "solids.frustum solids.frustum_across solids.frustum_centre solids.frustum_volume"),
    ("torus", "inertia.torus inertia.torus_volume solids.torus_across"),
    ("bar of any section", "solids.prism solids.prism_volume"),
    ("ring of any section", "solids.revolved solids.revolved_volume"),
)
"""Bodies with their formulas, whichever room they are written in."""


def formulas_of(room: str) -> list[tuple[str, list[FormulaInfo]]]:
    """The formulas of a room by the file they stand in, in the order of their names; solids by their body."""
    if room == "mechanics.solids":
        return _solids()
    found: dict[str, list[FormulaInfo]] = {}
    for info in load_all().values():
        if room_of(info) == room:
            parts = info.name.split(".")
            found.setdefault(parts[1].replace("_", " ") if len(parts) > 2 else "", []).append(info)
    return list(found.items())


def _solids() -> list[tuple[str, list[FormulaInfo]]]:
    formulas = load_all()
    bodies = [(body, [formulas[name] for name in names.split() if name in formulas]) for body, names in SOLIDS]
    listed = {i.name for _, infos in bodies for i in infos}
    rest = [i for i in formulas.values() if room_of(i) == "mechanics.solids" and i.name not in listed]
    return [*bodies, ("sums of bodies, and what is taken out", rest)]


def asked_often() -> list[tuple[str, FormulaInfo]]:
    """Questions with the formula that answers."""
    formulas = load_all()
    return [(words, formulas[name]) for words, name in QUESTIONS if name in formulas]


# Search -------------------------------------------------------------------------------------------


def search(text: str) -> list[FormulaInfo]:
    """Formulas that speak of what is asked, best first."""
    asked = list(dict.fromkeys(_stems(text)))
    if not asked:
        return []
    index, rarity = _index()
    best: list[tuple[float, str]] = []
    for name, words in index.items():
        scores = [words.get(w, 0.0) * rarity.get(w, 0.0) for w in asked]
        if any(scores):
            share = sum(s > 0 for s in scores) / len(asked)
            best.append((-sum(scores) * share * (ALL_OF_THEM if share == 1 else 1.0), name))
    formulas = load_all()
    often = {name: i for i, (_, name) in enumerate(QUESTIONS)}
    top = sorted(best, key=lambda one: (round(one[0], 6), often.get(one[1], len(often)), one[1]))[:MOST_FOUND]
    return [formulas[name] for score, name in top if score <= WEAKEST * top[0][0]]


def rooms_about(text: str) -> list[Room]:
    """Rooms whose name holds one of the words asked for."""
    asked = set(_stems(text))
    return [r for g in groups() for r in g.rooms
            if asked & (set(_stems(f"{r.name.split('.', 1)[1]} {r.words}")) | set(_stems(g.title)))]


@functools.cache
def _index() -> tuple[dict[str, dict[str, float]], dict[str, float]]:
    """What each formula speaks of, by weight, and how rare each word is."""
    asked: dict[str, list[str]] = {}
    for words, name in QUESTIONS:
        asked.setdefault(name, []).append(words)
    index = {name: _weighed(info, asked.get(name, [])) for name, info in load_all().items()}
    many = Counter(word for words in index.values() for word in words)
    return index, {word: math.log(1 + len(index) / n) for word, n in many.items()}


def _weighed(info: FormulaInfo, questions: list[str]) -> dict[str, float]:
    room = room_of(info)
    short = room.split(".", 1)[1]
    texts = {"question": " ".join(questions), "name": f"{info.name} {info.symbol}",
             "meaning": info.meaning, "room": f"{short} {CALLED.get(short, '').split(':')[0]}",
             "inputs": " ".join(meaning_of(info, p) or "" for p in info.parameters),
             "text": f"{info.explanation} {about_room(room)} {info.source.work}"}
    found: dict[str, float] = {}
    for kind, text in texts.items():
        words = set(_stems(text))
        weight = WEIGHTS[kind] / (1 + WORDY * len(words) if kind == "meaning" else 1)
        for word in words:
            found[word] = max(found.get(word, 0.0), weight) + (SAID_AGAIN if word in found else 0.0)
    return found


def _stems(text: str) -> Iterator[str]:
    """Words without their endings, small words left out; one with another name here counts as that too."""
    for word in re.findall(r"[^\W_]+", text.casefold()):
        if word in SMALL:
            continue
        yield _stem(SAME.get(word, SAME.get(_stem(word), word)))


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and not word.endswith("ss"):
            word = word[: -len(ending)]
            break
    return word.removesuffix("e") if len(word) > 3 else word
