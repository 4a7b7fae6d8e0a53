"""Ready tests by weighing, dial indicator, counting and plain reading. Common practice, no single source."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from layshaft.machine.sentences.wording import a
from layshaft.mechanics import bench, drives, loads
from layshaft.study.find_out.model import Column, Procedure, Rows, Way
from layshaft.study.find_out.ready import ARM, DRUM, HANGING, HUNG, LIFTING, LOCAL, NO_POWER, PINCH, TURNING
from layshaft.trace.units import COUNT, FORCE, LENGTH, MASS, POWER, TEMPERATURE, TIME, Dimension

Known = Mapping[str, Any]


def _read(column: str) -> Callable[[Rows, Known], Any]:
    """What is read is the value."""
    def value(rows: Rows, _known: Known) -> Any:
        [row] = rows
        return row[column]
    return value


# Stretch -----------------------------------------------------------------------------------------


def _by_pull(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.stiffness_by_pull(row["lesser pull"], row["larger pull"], row["length under lesser"],
                                   row["length under larger"])


def _stretch(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.stretch(row["length under lesser"], row["length under larger"])


LENGTHS = ("length under lesser", "length under larger")
STRETCH = Procedure(
    "stretch of a chain or rope between two pulls",
    "The strand in its working length, plumb or on a bench, one end held, two fine marks near the ends. Known weights "
    "or a scale pull the other end.",
    ("weights or hanging scale", "steel tape or a dial on a wire between the marks"),
    ("Pull three times to the larger pull and back first: what beds in is no stretch.",
     "Length between the marks under the lesser pull (a tenth of the larger one or more: no slack), then under the "
     "larger one.",
     "Repeat from a fresh lesser pull each time."),
    ("A strand under pull that breaks or slips whips along its line: nobody in that line, eyes covered, a heavy cloth "
     "over it, and never beyond a fifth of its breaking load.", HANGING, LOCAL),
    (Column("lesser pull", "F_1", FORCE, "N", 2.0, 100.0), Column("larger pull", "F_2", FORCE, "N", 2.0, 1000.0),
     Column("length under lesser", "L_0", LENGTH, "mm", 0.05, 1000.0),
     Column("length under larger", "L", LENGTH, "mm", 0.05, 1001.0)),
    {"stiffness": Way("growth of pull over growth of length", ("lesser pull", "larger pull", *LENGTHS), _by_pull,
                      "length under larger", 0.05),
     "stretch": Way("growth of length over length", LENGTHS, _stretch, "length under larger", 0.05)},
)


# Weighing ----------------------------------------------------------------------------------------


def _on_feet(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.mass_on_feet(row["foot 1"], row["foot 2"], row["foot 3"])


def _centre(axis: str) -> Callable[[Rows, Known], Any]:
    def value(rows: Rows, _known: Known) -> Any:
        [row] = rows
        return bench.centre_on_feet(row["foot 1"], row["foot 2"], row["foot 3"],
                                    *(row[f"{axis} {k}"] for k in (1, 2, 3)))
    return value


FEET = tuple(Column(f"foot {k}", f"m_{k}", MASS, "kg", 0.1, 30.0, zero=True) for k in (1, 2, 3))
PLACES = tuple(Column(f"{axis} {k}", f"{axis}_{k}", LENGTH, "mm", 1.0, usual, least=-1e3, zero=True)
               for axis, usuals in (("x", (0.0, 600.0, 300.0)), ("y", (0.0, 0.0, 500.0)))
               for k, usual in enumerate(usuals, 1))
WEIGHING = Procedure(
    "mass and centre of mass: weighing at three feet",
    "Three feet only, on one scale and two blocks as high as the scale, all level. A small part stands on the scale "
    "alone: write 0 at the other two feet.",
    ("scale good for half the mass", "two blocks of the scale's height", "level", "rule from one corner, x and y"),
    ("Level it. Read foot 1 on the scale, the others on blocks; then the scale under foot 2, then under foot 3.",
     "Places of the three feet, x and y from one corner: the centre of mass comes out of the same readings.",
     "Lift it off and set it down again for every repeat."),
    (LIFTING, "What stands on three feet tips outside their triangle: keep it low, and hold it until all three "
     "carry.", "Weights lowered, nothing wound up, turning parts held fast.", LOCAL),
    (*FEET, *PLACES),
    {"mass": Way("sum of the three feet", tuple(c.name for c in (*FEET, *PLACES)), _on_feet, "foot 1", 0.003, (),
                 (("centre of mass, x", _centre("x"), LENGTH), ("centre of mass, y", _centre("y"), LENGTH)))},
)


# A person ----------------------------------------------------------------------------------------


def _ripple(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.effort_ripple(row["largest push"], row["mean push"])


def _power(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.effort_power(row["mean push"], row["radius"], row["turns"], row["time"])


LARGEST = Column("largest push", "F_max", FORCE, "N", 5.0, 150.0)
MEAN = Column("mean push", "F_m", FORCE, "N", 2.0, 100.0)
TURNED = (MEAN, Column("radius", "r", LENGTH, "mm", 1.0, 300.0), Column("turns", "N", COUNT, "", 0.25, 60.0),
          Column("time", "t", TIME, "s", 0.5, 120.0))
EFFORT = Procedure(
    "a person's effort at the crank",
    "The crank as it will stand, the scale between hand and handle, square to the arm. For the worst push the crank is "
    "held fast by a stop good for three times a person's weight.",
    ("spring scale with a pointer that stays at the largest reading", "stop watch", "rule for the arm"),
    ("Worst push: let five different people lean on the handle where it holds them best. Write the tries of the "
     "strongest one alone, and who it was.",
     "Turning, each line another person: at the usual speed read the scale all round a turn; the mean, and the "
     "largest.",
     "Count the turns and time from fresh until the person asks for a rest, and from rest until the speed is reached."),
    ("Whoever pushes stops when they want to; nobody with a bad heart or back, nobody told to do more. Keep away from "
     "a handle that can kick back: pawl down, weight on the floor.", PINCH, LOCAL),
    (LARGEST, *TURNED, Column("time until a rest", "t_b", TIME, "s", 1.0, 120.0),
     Column("time until speed", "t_u", TIME, "s", 0.1, 1.0)),
    {"worst push": Way("largest push on the handle", ("largest push",), _read("largest push"), "largest push", 0.08),
     "ripple": Way("largest push over mean push", ("largest push", *(c.name for c in TURNED)), _ripple,
                   "largest push", 0.15, (), (("power of the person", _power, POWER),)),
     "bout": Way("time until a rest", ("time until a rest",), _read("time until a rest"), "time until a rest", 0.30),
     "run up": Way("time until the speed is reached", ("time until speed",), _read("time until speed"),
                   "time until speed", 0.25)},
    "People differ more than readings of one person: say in the note who they were, and whether visitors may be "
    "stronger.",
)


# Weight and dial ---------------------------------------------------------------------------------


def _by_weight(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.stiffness_by_weight(row["mass"], known["g"], row["dial without"], row["dial with"])


def _twist(rows: Rows, known: Known) -> Any:
    [row] = rows
    return bench.torsional_stiffness(row["mass"], known["g"], row["arm"], row["dial without"], row["dial with"],
                                     row["dial radius"])


def _sag(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.deflection(row["dial without"], row["dial with"])


DIALS = (Column("dial without", "y_0", LENGTH, "mm", 0.01, 0.0, least=-1.0, zero=True),
         Column("dial with", "y_1", LENGTH, "mm", 0.01, 0.5, least=-1.0, zero=True))
BY_WEIGHT = ("mass", "dial without", "dial with")
WEIGHT_AND_DIAL = Procedure(
    "stiffness of a frame or part: weight and dial",
    "The dial on a stand of its own from the floor, never from the frame that gives. The weight where the load will "
    "act; for a twist on an arm, the other end held fast, the dial at a known radius.",
    ("dial indicator 0.01 mm on a stand of its own", "known weight near the load in use", "rule"),
    ("Load and unload three times first, so that joints bed in.",
     "Dial without the weight, weight on gently, wait until it stands, dial with the weight; then take it off.",
     "If the dial does not come back to within a tenth of its way, a joint slips: mend that first."),
    (LIFTING, HANGING, "Nothing may fall when the weight slips: a stop or a sling just below it.", NO_POWER, LOCAL),
    (HUNG, *DIALS, ARM, Column("dial radius", "r_y", LENGTH, "mm", 1.0, 100.0)),
    {"stiffness": Way("weight over the way it gives", BY_WEIGHT, _by_weight, "dial with", 0.05, ("g",)),
     "twist": Way("torque over the angle it gives", (*BY_WEIGHT, "arm", "dial radius"), _twist, "dial with", 0.05,
                  ("g",)),
     "sag": Way("way it gives under the weight in use", ("dial without", "dial with"), _sag, "dial with", 0.05)},
)


# Alignment ---------------------------------------------------------------------------------------


def _offset(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.offset_by_dial(row["full swing"])


def _angle(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return bench.angle_by_dial(row["full swing"], row["face diameter"])


SWING = Column("full swing", "f", LENGTH, "mm", 0.01, 0.2, zero=True)
ALIGNMENT = Procedure(
    "offset, angle or runout by a dial carried round",
    "The dial clamped to one hub, its tip on the rim (offset) or the face (angle) of the other, both turned together. "
    "For runout the dial stands on the frame.",
    ("dial indicator 0.01 mm on a stiff arm", "rule for the face"),
    ("Zero the dial on top, turn both shafts together, and write the full swing from smallest to largest.",
     "Part the modules, put them together again, and read once more: what counts is the scatter of meeting again."),
    (NO_POWER, "Turn by hand only, the dial's arm clear of sleeves and hair.", LIFTING, LOCAL),
    (SWING, Column("face diameter", "D", LENGTH, "mm", 1.0, 100.0)),
    {"offset": Way("half the full swing on the rim", ("full swing",), _offset, "full swing", 0.30),
     "angle": Way("full swing on the face over its diameter", ("full swing", "face diameter"), _angle, "full swing",
                  0.30),
     "runout": Way("full swing", ("full swing",), _read("full swing"), "full swing", 0.10)},
    "The dial's arm sags under its own weight: turn it over on a bar first, and take that swing off.",
)


# Steady speed ------------------------------------------------------------------------------------


def _left(rows: Rows, known: Known) -> tuple[Any, Any]:
    [row] = rows
    T_0 = drives.crank_torque(row["pull running"], row["arm"])
    return (bench.torque_left(row["mass"], known["g"], row["drum diameter"], T_0),
            bench.counted_speed(row["turns"], row["time"]))


def _fan(rows: Rows, known: Known) -> Any:
    return bench.fan_constant_read(*_left(rows, known))


def _eddy(rows: Rows, known: Known) -> Any:
    return bench.eddy_constant_read(*_left(rows, known))


def _drag_coefficient(rows: Rows, known: Known) -> Any:
    return bench.drag_coefficient_read(_fan(rows, known), known["n_v"], known["rho"], known["A"], known["r_v"])


SUNK = ("mass", "drum diameter", "pull running", "arm", "turns", "time")
STEADY = Procedure(
    "steady speed of a brake under a weight",
    "Brake and shaft alone, a cord with a weight on a drum on the shaft. First, the vanes off or the magnets away: the "
    "pull that keeps the shaft running, on an arm.",
    ("weighed weight on a thin cord", "spring scale", "stop watch", "chalk mark or counter for turns"),
    ("Let the weight sink. When the speed no longer changes, count turns and time over the rest of the way.",
     "Take two weights at least, one twice the other: a fan's constant must come out alike from both."),
    (HANGING, TURNING, PINCH, LOCAL),
    (HUNG, DRUM, Column("pull running", "F_r", FORCE, "N", 0.05, 0.2), ARM, Column("turns", "N", COUNT, "", 0.25, 20.0),
     Column("time", "t", TIME, "s", 0.2, 20.0)),
    {"fan": Way("torque over speed squared", SUNK, _fan, "time", 0.05, ("g",)),
     "drag coefficient": Way("fan constant over that of vanes with 1", SUNK, _drag_coefficient, "time", 0.05,
                             ("g", "n_v", "rho", "A", "r_v")),
     "eddy": Way("torque over speed", SUNK, _eddy, "time", 0.05, ("g",))},
    "Note warmth and height of the place: air a tenth thinner brakes a tenth less.",
)


# Plain reading -----------------------------------------------------------------------------------


def _air(rows: Rows, _known: Known) -> Any:
    [row] = rows
    return loads.air_density(row["air temperature"])


AIR = Procedure(
    "density of the air by its temperature",
    "A thermometer in the shade beside the machine, at the hours of the shows.",
    ("thermometer",), ("Read morning, noon and evening, on several days.",), (LOCAL,),
    (Column("air temperature", "theta", TEMPERATURE, "degC", 0.5, 20.0, least=-60.0, zero=True),),
    {"density": Way("density of dry air at standard pressure", ("air temperature",), _air, "air temperature", 0.03)},
)


def plainly(dimension: Dimension, unit: str, step: float, usual: float, instrument: str) -> Procedure:
    """What an instrument shows is the value."""
    column = Column("reading", "x", dimension, unit, step, usual, least=-1e6, zero=True)
    return Procedure(
        f"plain reading of {a(dimension.name)}", "The part as it is built or will be used.", (instrument,),
        ("Read it at several places, or set up afresh for each repeat: what counts is how it differs in use.",),
        (NO_POWER, LOCAL), (column,),
        {"reading": Way("what the instrument shows", ("reading",), _read("reading"), "reading", 0.05)})

