"""What a drafted machine file says at its top: energy budget, ratio, what to settle first, cautions."""

from __future__ import annotations

import math

from layshaft.elements import crank
from layshaft.elements.hanging_load import CAUTION
from layshaft.mechanics import loads
from layshaft.project.answers import Answers
from layshaft.project.sizing import AIR, GRAVITY, HEAVY, SLAB, VANE_DRAG, VANES, Sizing, Weight
from layshaft.trace.units import (
    ENERGY,
    FORCE,
    LENGTH,
    MASS,
    POWER,
    SPEED,
    TIME,
    TORQUE,
    VELOCITY,
    figure,
    shown,
)

RADIUS = {"crank": 0.3, "pedals": 0.17}
BY_HAND = 50.0
"""W one person keeps up at a hand crank: practice, from memory."""

SHORTEST_BOUT, LONGEST_BOUT = 300.0, 10800.0
MOST_PEOPLE = 2
PINCH = (
    "Guard every chain, wheel and shaft end that hands or hair can reach, and stop the machine before "
    "you reach in."
)
ABOUT = (
    "A first draft by `layshaft new`. It claims nothing yet: what is `open` is not chosen, what is "
    "`assumed` is a guess to be settled. `layshaft check` says what the machine asks of each part, "
    "`layshaft needs` lists the parts still to be found."
)


def header(a: Answers, s: Sizing, load: str) -> list[str]:
    """Lines of the comment at the top of the file."""
    drive = a.driver.kind
    return [
        ABOUT,
        "",
        *_budget(a, s, load, drive),
        "",
        *_ratio(s, load),
        "",
        "To settle first:",
        *(f"  {i}. {line}" for i, line in enumerate(_first(a, s, load, drive), 1)),
        "",
        "Cautions:",
        *(f"  {line}" for line in ([CAUTION] if s.weight else []) + [PINCH]),
    ]


# Energy ----------------------------------------------------------------------------------------


def _budget(a: Answers, s: Sizing, load: str, drive: str) -> list[str]:
    b = s.budget()
    lines = [
        f"Energy budget while it runs ({shown(s.load_torque, TORQUE)} at {shown(s.load_speed, SPEED)}):",
        _line(load, b["load"]),
    ]
    if s.weight:
        lines.append(_line("fan brake", b["fan"]))
    lines += [_line("lost in stages", b["stages"]), _line("lost in bearings", b["bearings"])]
    if s.weight and s.weight.falls > 1:
        lines.append(_line("lost in pulleys", b["pulleys"]))
    lines.append(_line(f"given by the {drive}", b["drive"]))
    if s.weight:
        return lines + _stored(a, s, s.weight, b["drive"])
    return lines + _effort(a, s, b["drive"])


def _line(name: str, power: float) -> str:
    return f"  {name}: {shown(power, POWER)}"


def _stored(a: Answers, s: Sizing, w: Weight, power: float) -> list[str]:
    stored = w.mass * GRAVITY * w.drop
    lines = [
        f"One winding stores {figure(w.mass)} kg × {GRAVITY} m/s2 × {figure(w.drop)} m = "
        f"{shown(stored, ENERGY)} and lasts {_minutes(s.run)}; the weight sinks at "
        f"{shown(s.weight_speed, VELOCITY, 'mm/s')}. At the {BY_HAND:.0f} W one person keeps up by hand, "
        f"winding takes {shown(stored / BY_HAND, TIME, digits=2)} or more.",
    ]
    if a.driver.mass and abs(s.run / a.run.value - 1) > 0.05:
        lines.append(
            f"With the mass you gave, one winding lasts {_minutes(s.run)}; you asked for "
            f"{_minutes(a.run.value)}. Time goes with mass × drop."
        )
    slabs = math.ceil(w.mass / SLAB - 1e-9)
    if w.mass > HEAVY:
        lines.append(
            f"{shown(w.mass, MASS)} is more than {HEAVY:.0f} kg, which a hand-built frame and its builder "
            f"are better spared. With {HEAVY:.0f} kg the drop would have to be "
            f"{shown(stored / HEAVY / GRAVITY, LENGTH, 'm')}, or one winding would last "
            f"{shown(HEAVY * GRAVITY * w.drop / power, TIME)}. More drop, a shorter run, "
            "a lighter load or less friction make the weight lighter; pulley falls only ease rope and drum."
        )
    elif slabs > 1:
        lines.append(
            f"Make the weight of {slabs} slabs of at most {SLAB:.0f} kg, each of which one person can lift."
        )
    return lines


def _minutes(seconds: float) -> str:
    return shown(seconds, TIME, "min", 3)


def _keeps_up(a: Answers) -> tuple[float, float]:
    """Power one person keeps up and the bout it is read for: the table runs from 5 to 180 minutes."""
    bout = min(max(a.run.value, SHORTEST_BOUT), LONGEST_BOUT)
    share = crank.ARM_SHARE if a.driver.kind == "crank" else 1.0
    return float(crank.person_power(crank.sustained_power(bout), share)), bout


def people(a: Answers, s: Sizing) -> int:
    """People the draft puts on a crank or the pedals."""
    return int(min(max(1, math.ceil(s.torque * s.drive.speed / _keeps_up(a)[0])), MOST_PEOPLE))


def _effort(a: Answers, s: Sizing, power: float) -> list[str]:
    energy = f"One run of {_minutes(a.run.value)} takes {shown(power * a.run.value, ENERGY)}."
    if a.driver.kind == "motor":
        return [
            f"{energy} The motor must turn {shown(s.torque, TORQUE)} at {shown(s.drive.speed, SPEED)}, "
            "and more to start: look for half as much again, and for what it gives when held fast."
        ]
    one, bout = _keeps_up(a)
    force = s.torque / RADIUS[a.driver.kind] / people(a, s)
    lines = [
        f"{energy} The shaft asks {shown(s.torque, TORQUE)} at {shown(s.drive.speed, SPEED)}, "
        f"{shown(force, FORCE)} from each person at a radius of {shown(RADIUS[a.driver.kind], LENGTH)}. One "
        f"person keeps up about {shown(one, POWER)} for {_minutes(bout)} (table from memory)."
    ]
    if power > MOST_PEOPLE * one:
        lines.append(
            f"That is more than {MOST_PEOPLE} people keep up. Ask for less speed or torque, shorter runs, or "
            "take a motor or a weight that is wound beforehand."
        )
    return lines


# Ratio and next steps --------------------------------------------------------------------------


def _steps(turns: tuple[float, ...]) -> str:
    """`2 stages of about 1 : 3.7`."""
    each = turns[0] if turns[0] >= 1 else 1 / turns[0]
    way = "slower" if turns[0] >= 1 else "faster"
    return f"{len(turns)} stage{'s' if len(turns) > 1 else ''}, each {figure(each)} times {way}"


def _ratio(s: Sizing, load: str) -> list[str]:
    drive, end = shown(s.drive.speed, SPEED), shown(s.load_speed, SPEED)
    if s.main.turns:
        lines = [
            f"Total ratio: the drive's shaft turns at {drive}, {load} at {end}: 1 to "
            f"{figure(s.main.ratio)}, split into {_steps(s.main.turns)}."
        ]
    else:
        lines = [f"Total ratio: none; drive and {load} share a shaft at {end}."]
    w = s.weight
    if w and w.fan.turns:
        lines.append(f"The fan brake turns at {shown(w.fan_speed, SPEED)}, behind {_steps(w.fan.turns)}.")
    if any(t < 1 for t in s.main.turns):
        lines.append(
            "Stages that make faster multiply friction: a little stiffness far out feels large at the drive."
        )
    return lines


def _first(a: Answers, s: Sizing, load: str, drive: str) -> list[str]:
    hard = (
        f"Measure how hard the {load} is to turn: a spring balance on a lever, breaking away and running. "
        "Every size below rests on it."
    )
    most = f"Chain and teeth of the stage with the most torque, {_hardest(s)}."
    if s.weight:
        return [
            hard,
            "Where the weight hangs, how it is wound and what holds it meanwhile (a ratchet between drum and "
            "shaft, or an endless loop rewound while it runs), and what keeps people out from under it.",
            f"{most} {_vanes(a, s.weight)}" if s.main.turns or s.weight.fan.turns else _vanes(a, s.weight),
        ]
    who = {
        "motor": "The motor: speed, torque, torque when held, and how it is stopped at once.",
        "crank": "Who turns the crank, for how long, and what stops it from being turned back.",
        "pedals": "Who pedals, for how long, the seat, and a freewheel so that nothing turns the legs.",
    }
    return [hard, who[drive], most if s.main.turns else "Bearings, diameter and length of the one shaft."]


def _hardest(s: Sizing) -> str:
    """The stage with the most torque is the first where the train makes faster, the last where slower."""
    if not s.main.turns:
        return "the first of the fan's stages"
    if s.main.ratio > 1:
        return f"the first: {shown(s.torque - 2 * s.drive.drag, TORQUE)} on its first shaft"
    last = s.at_load_shaft + 2 * s.main.shafts[-1].drag
    return f"the last: {shown(last, TORQUE)} on its second shaft"


def _vanes(a: Answers, w: Weight) -> str:
    """Two square vanes that give the fan's constant, at a third of the width."""
    reach = a.room.width.value / 3
    k = w.fan_torque / w.fan_speed**2
    side = math.sqrt(k / float(loads.fan_constant(VANES, AIR, VANE_DRAG, 1.0, reach)))
    if side > reach:
        return (
            f"The fan brake takes {shown(w.fan_torque * w.fan_speed, POWER)}: no vanes that fit the width do "
            "that at its speed. Turn it faster, or think of an eddy brake."
        )
    return (
        f"The fan brake: two square vanes of about {shown(written_side(side), LENGTH)} with their middle at "
        f"{shown(reach, LENGTH)} from the axis. Trim them on the first evening."
    )


def written_side(side: float) -> float:
    """Two digits are enough for a vane that is trimmed anyway."""
    return float(f"{side:.2g}")
