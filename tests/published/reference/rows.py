"""The reference rows, each with the way it is run or the reason it is not."""

import csv
import json
from dataclasses import dataclass
from pathlib import Path

from pytest import approx

from layshaft.trace.units import DEGREE, HORSEPOWER, INCH, POUND_FORCE, REV_PER_MIN
from published.reference import (
    bearings,
    chains,
    critical_speeds,
    fixings,
    gears,
    hubs,
    left_out,
    safety,
    shaft_fatigue,
    shafts,
    torsion,
    wheels,
)

HERE = Path(__file__).parent
MINUTE, HOUR, TON = 60.0, 3600.0, 1016.0469088
UNITS = {
    "-": 1, "x": 1, "x WLL": 1, "x load": 1, "1": 1, "pitches": 1, "teeth": 1, "1e6 rev": 1e6, "%": 1e-2,
    "mm": 1e-3, "m": 1, "in": INCH, "um": 1e-6, "mm2": 1e-6, "mm4": 1e-12, "cm4": 1e-8, "cm3": 1e-6, "mrad": 1e-3,
    "kip": 1e3 * POUND_FORCE, "lbf.in": POUND_FORCE * INCH, "kg": 1, "ton (2240 lb)": TON, "kg/m": 1,
    "kg.m2": 1, "N": 1, "kN": 1e3, "lbf": POUND_FORCE, "kgf": 9.80665, "N.m": 1, "J": 1, "kJ": 1e3, "W": 1, "kW": 1e3,
    "hp": HORSEPOWER, "MPa": 1e6, "N/mm2": 1e6, "psi": POUND_FORCE / INCH**2, "kpsi": 1e3 * POUND_FORCE / INCH**2,
    "(N/mm2)^0.5": 1e3, "Hz": 1, "1/min": 1 / MINUTE, "in/lbf": INCH / POUND_FORCE, "s2/rad2": 1, "rad/s": 1,
    "rad": 1, "deg": DEGREE, "rpm": REV_PER_MIN, "m/s": 1, "ft/min": 0.00508, "mm/s": 1e-3, "m/min": 1 / MINUTE, "min": MINUTE, "h": HOUR,
}
LEAST = 1e-9
"""A row that must agree exactly may differ by the rounding of a float."""


@dataclass(frozen=True)
class Row:
    id: str
    topic: str
    quantity: str
    inputs: dict
    printed: float
    unit: str
    tolerance: float
    source: str
    obtained: str
    way: str
    answer: object
    reason: str

    @property
    def expected(self):
        return approx(self.printed * UNITS[self.unit], rel=max(self.tolerance, LEAST), abs=LEAST)

    @property
    def from_memory(self):
        return "memory" in self.obtained

    def value(self):
        return float(self.answer(self.inputs))


def _way(file, cells):
    """("formula" or "table", answer, "") or ("left out", None, reason)."""
    if file == "drives":
        name = cells["quantity"]
        rooms, reasons = (chains, gears, wheels, safety, torsion), left_out.LEFT_OUT
        topics = left_out.TOPICS_LEFT_OUT
        if reason := topics.get(cells["topic"]) or reasons.get(cells["id"]):
            return "left out", None, reason
    else:
        name, reasons = cells["id"], left_out.SHAFT_ROWS_LEFT_OUT
        rooms = (shafts, shaft_fatigue, bearings, critical_speeds, fixings, hubs, safety, torsion)
        topics = left_out.SHAFT_TOPICS_LEFT_OUT
    for room, key in ((room, key) for key in (cells["id"], name) for room in rooms):
        for way, answers in (("formula", getattr(room, "FORMULAS", {})), ("table", getattr(room, "TABLES", {}))):
            if key in answers:
                return way, answers[key], ""
    return "left out", None, reasons.get(name) or topics.get(cells["topic"], "")


def _read(file):
    with (HERE / f"checks_{file}.csv").open(encoding="utf-8", newline="") as lines:
        for c in csv.DictReader(lines):
            yield Row(c["id"], c["topic"], c["quantity"], json.loads(c["inputs"]), float(c["expected"]), c["unit"],
                      float(c["rel_tolerance"]), c["source"], c["obtained"], *_way(file, c))


ALL = [*_read("drives"), *_read("shafts")]
