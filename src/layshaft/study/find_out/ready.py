"""Ready tests by pull, weight and run-down. Scatter and instruments are common practice, no single source."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from layshaft.mechanics import bench, drives
from layshaft.study.find_out.model import Column, Procedure, Rows, Way
from layshaft.trace.formula import total
from layshaft.trace.units import ANGLE, COUNT, ENERGY, FORCE, LENGTH, MASS, TIME, TORQUE

Known = Mapping[str, Any]

LOCAL = "Local codes and licensed practice come first; a test sheet permits nothing."
PINCH = "Keep fingers, hair, sleeves and cords out of every place where teeth, chain, rope or belt meet a wheel."
NO_POWER = "Take weights down, springs off and motors out of circuit before anybody reaches in."
HANGING = ("Nobody under or beside what hangs. Hang the least weight that does it, low over a padded floor, on a cord "
           "and knots good for ten times as much, and let nobody catch it by hand.")
TURNING = ("What turns stores energy: guard it, stand out of its plane, glasses on, and let it come to rest by itself "
           "before touching it.")
LIFTING = "Above 25 kg two people or a hoist lift; feet stay clear; blocks under it before anybody leans over it."

PULL = Column("pull running", "F_r", FORCE, "N", 0.1, 5.0)
BREAK = Column("pull at break-away", "F_s", FORCE, "N", 0.1, 8.0)
WITHOUT = Column("pull without it", "F_0", FORCE, "N", 0.1, 0.0, zero=True)
ARM = Column("arm", "r", LENGTH, "mm", 1.0, 200.0)
HUNG = Column("mass", "m", MASS, "kg", 0.005, 1.0)
HEAVY = Column("mass", "m", MASS, "kg", 0.02, 10.0)
LONG_PULL = Column("pull running", "F_r", FORCE, "N", 0.5, 100.0)
DRUM = Column("drum diameter", "d", LENGTH, "mm", 0.5, 100.0)


def _torque_running(rows: Rows) -> Any:
    [row] = rows
    return drives.crank_torque(row["pull running"], row["arm"])


def _each(rows: Rows, known: Known) -> Any:
    return bench.torque_of_each(_torque_running(rows), known["T_0"], known["n"])


def _less(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.torque_of_each(_torque_running(rows),
                                drives.crank_torque(row["pull without it"], row["arm"]), known["n"])


def _rest(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.break_away_ratio(row["pull at break-away"], row["pull running"])


def _rolling(rows: Rows, known: Known) -> Any:
    return bench.rolling_coefficient(_less(rows, known), known["m"], known["g"], known["r_t"])


SPRING_SCALE = Procedure(
    "break-away and running torque by a spring scale",
    "Everything else uncoupled from the shaft (chain off, pawl lifted, coupling open). Clamp a lever on it that is "
    "balanced by itself, or lay a cord round a wheel of known radius. The scale pulls square to the arm.",
    ("spring scale of which the pull uses at least a fifth", "rule for the arm", "oil and grease as in use"),
    ("Let it stand as long as it will stand in use. Pull slowly: the largest reading before it moves is the pull at "
     "break-away.",
     "Go on at an even walking pace over at least one whole turn, and write the mean reading as the pull running.",
     "Repeat both ways round and from another place of the turn each time: a weight off centre then averages out.",
     "For what shares the shaft with other parts: once more without it, as the pull without it."),
    (PINCH, NO_POWER, "A lever on a shaft that something drives can strike: nothing but the hand on the scale may "
     "drive it. Stand beside the lever's path, not in it.", LOCAL),
    (BREAK, PULL, WITHOUT, ARM),
    {"each": Way("running torque, shared evenly by the bearings on the shaft", ("pull running", "arm"), _each,
                 "pull running", 0.15, ("T_0", "n")),
     "less": Way("running torque, less what turns without it", ("pull running", "pull without it", "arm"), _less,
                 "pull running", 0.15, ("n",)),
     "rest": Way("pull at break-away over pull running", ("pull at break-away", "pull running"), _rest,
                 "pull at break-away", 0.20),
     "rolling": Way("pull that keeps it rolling, over its weight", ("pull running", "pull without it", "arm"),
                    _rolling, "pull running", 0.15, ("n", "m", "g", "r_t"))},
    "Drag changes with grease, warmth and running in: note the temperature and how long it ran before.",
)


def _speed(row: Mapping[str, Any]) -> Any:
    return bench.speed_at_release(row["turns after"], row["time after"])


def _inertia(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.run_down_inertia(row["mass"], known["g"], row["height"], _speed(row), row["drum diameter"],
                                  row["turns falling"], row["turns after"])


def _gyration(rows: Rows, known: Known) -> Any:
    return bench.radius_of_gyration(_inertia(rows, known), known["m_b"])


def _drag(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.run_down_torque(_inertia(rows, known), _speed(row), row["turns after"])


def _drag_each(rows: Rows, known: Known) -> Any:
    return bench.torque_of_each(_drag(rows, known), known["T_0"], known["n"])


RUN = ("mass", "height", "drum diameter", "turns falling", "turns after", "time after")
RUN_DOWN = Procedure(
    "run-down: a falling weight starts it, friction stops it",
    "The shaft alone with what turns on it. A cord, its end only laid round a pin, winds on a drum on the shaft and "
    "carries a small weight; it must fall off by itself when the weight is down.",
    ("weighed weight on a thin cord", "rule for the height", "chalk mark or counter for turns", "stop watch"),
    ("Wind the weight up to the height and hold the wheel. Let go without a push.",
     "Count the turns until the cord falls off: the turns falling.",
     "At that moment start the watch, and count the turns until it stands: turns after and time after.",
     "Choose weight and height so that it runs on for ten turns at least."),
    (HANGING, TURNING, PINCH, "Use a guard or a rope line: the cord's end whips when it comes off.", LOCAL),
    (HUNG, Column("height", "h", LENGTH, "mm", 2.0, 1000.0), DRUM,
     Column("turns falling", "N_1", COUNT, "", 0.25, 3.0), Column("turns after", "N_2", COUNT, "", 0.25, 40.0),
     Column("time after", "t_2", TIME, "s", 0.2, 30.0)),
    {"inertia": Way("moment of inertia of all that turns with the shaft", RUN, _inertia, "time after", 0.04, ("g",),
                    (("friction torque of the shaft", _drag, TORQUE),)),
     "gyration": Way("radius of gyration of all that turns with the shaft", RUN, _gyration, "time after", 0.03,
                     ("g", "m_b")),
     "drag": Way("friction torque in turning, shared evenly by the bearings", RUN, _drag_each, "turns after", 0.06,
                 ("g", "T_0", "n"))},
    "Holds where friction is the same at all speeds: take vanes off. With a sensor that counts pulses, draft a rig of "
    "the shaft (--rig) and let `layshaft run RIG --log FILE` fit its friction to the whole run-down instead.",
)


def _through(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.work_through(row["mass"], known["g"], row["drum diameter"], row["pull running"],
                              row["pull without it"], row["arm"], known["i"])


THROUGH = Procedure(
    "work through a stage: a weight wound up by its second shaft",
    "A drum with a cord on the stage's second shaft, a lever or wheel with the spring scale on its first. All else "
    "uncoupled; chain tension and lubricant as in use.",
    ("spring scale", "weighed weight near the load in use", "rules for arm and drum"),
    ("Without the weight: the pull that keeps both shafts turning, as the pull without it.",
     "With the weight hung, wind it up slowly and evenly over at least one turn of the second shaft; the mean is the "
     "pull running.",
     "Repeat from another place of the turn each time."),
    (HANGING, PINCH, "A pawl or a stop must hold the weight whenever the hand leaves the scale.", LOCAL),
    (LONG_PULL, WITHOUT, ARM, HEAVY, DRUM),
    {"efficiency": Way("share of the work that comes through", ("pull running", "pull without it", "arm", "mass",
                       "drum diameter"), _through, "pull running", 0.02, ("g", "i"))},
    "Two per cent of error in the arm or drum are two per cent of efficiency: measure both to the middle of the cord.",
)


def _pulley(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.pulley_loss(row["pull running"], row["mass"], known["g"])


PULLEY = Procedure(
    "loss of one pulley: a weight raised over it",
    "The pulley on its own pin and bearing, a cord or the chain in use over half of it, a weight on one strand and the "
    "scale on the other, both strands plumb.",
    ("hanging scale", "weighed weight near the load in use"),
    ("Raise the weight slowly and evenly over half a turn of the pulley; the mean is the pull running.",
     "Repeat from another place of the turn each time."),
    (HANGING, PINCH, LOCAL),
    (LONG_PULL, HEAVY),
    {"loss": Way("pull over weight, less 1", ("pull running", "mass"), _pulley, "pull running", 0.25, ("g",))},
    "The loss is a small difference: scale and weight must agree. Hang the weight on the scale first and note it.",
)


def _turn_work(rows: Rows, _known: Known) -> Any:
    torque = [drives.crank_torque(row["pull"], row["arm"]) for row in rows]
    angle = [row["angle"] for row in rows]
    strips = {f"strip {k + 1}": bench.strip_work(torque[k], torque[k + 1], angle[k], angle[k + 1])
              for k in range(len(rows) - 1)}
    return total("E", "work of one lift", ENERGY, strips, bench.TRAPEZOID)


THROUGH_TURN = Procedure(
    "force of a hammer, lever or cam through its turn",
    "The cam's shaft alone, a lever or wheel with the spring scale on it, a protractor or divided disc beside it. "
    "Hammer, lever and spring as in use.",
    ("spring scale", "divided disc, 5 deg or finer", "rule for the arm"),
    ("Begin where the lift begins, end where it lets go; turn slowly in the sense of use, never back.",
     "Every 5 to 10 deg stop on the way up and write angle and pull. First line: pull 0 where the lift begins.",
     "Number the lifts under `lift`; go through whole lifts again, not single angles."),
    ("The hammer falls when the cam lets go: block it, and keep hands and feet out of its way. A cocked spring or "
     "lever strikes back through the arm: hold the arm so that it can leave the hand.", PINCH, LOCAL),
    (Column("lift", "k", COUNT, "", 0.0, 1.0), Column("angle", "phi", ANGLE, "deg", 1.0, 40.0, zero=True),
     Column("pull", "F", FORCE, "N", 0.5, 20.0, zero=True), ARM),
    {"energy": Way("work of one lift", ("lift", "angle", "pull", "arm"), _turn_work, "pull", 0.05)},
    "The area under torque over angle is the energy that counts, friction of the lift included.",
    by="lift",
)
