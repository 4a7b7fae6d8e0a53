"""A run as data, as a CSV file and as a drawing."""

from __future__ import annotations

import csv
import importlib.util
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces.pages.run_charts import height_unit
from layshaft.faces.plain import number
from layshaft.faces.running import run_text as run_text
from layshaft.faces.uneven_turning import by_source_dict
from layshaft.trace.errors import BadInput
from layshaft.trace.units import ENERGY, LENGTH, REV_PER_MIN, SPEED, TIME, TORQUE, UnitError, parse_quantity
from layshaft.train.motion.drift import drifts
from layshaft.train.motion.peaks import driving_torques, joints_of
from layshaft.train.motion.results import Results
from layshaft.train.motion.wound import heights

DRAWN = (".svg", ".png", ".pdf")
MOST_CURVES = 4
SMOOTH = 2000


def running_time(text: str | None) -> float | None:
    """A time from the command line. Raises `UnitError` for none at all."""
    if text is None:
        return None
    found = float(parse_quantity(text, TIME).value)
    if not found > 0:
        raise UnitError(f"'{text}' is no time to run; write one above 0, for instance --time '45 min'.")
    return found


def refuse_places(plot: Path | None, csv_: Path | None) -> None:
    """Say before the work that one of both cannot be written. Raises `BadInput`."""
    for place in (plot, csv_):
        if place is not None:
            refuse_place(place, drawn=place is plot)


def refuse_place(place: Path, *, drawn: bool) -> None:
    """Say before the work that a file cannot be written. Raises `BadInput`."""
    if drawn and place.suffix.lower() not in DRAWN:
        raise BadInput(f"{place} cannot be drawn. Name a file that ends in .svg, .png or .pdf, for instance run.svg.")
    if place.is_dir():
        raise BadInput(f"{place} is a folder. Name a file in it, for instance {place / 'run'}.")
    if not place.parent.is_dir():
        raise BadInput(f"There is no folder {place.parent}. Make it, or give another path.")
    if drawn and importlib.util.find_spec("matplotlib") is None:
        raise BadInput("Drawing needs matplotlib, which is not installed: pip install 'layshaft[notebook]'. "
                       "--csv or --json give the same numbers without it.")


def run_dict(r: Results) -> dict[str, Any]:
    """All of `layshaft run`; numbers in SI."""
    c = r.course
    data: dict[str, Any] = _plain({
        "machine": c.solved.machine.title, "root": c.programme.root, "ended": c.ended, "stopped": r.stopped,
        "time": c.motion.time[-1], "turns": c.motion.angle[-1] / (2 * np.pi), "settled after": r.settled,
        "even from": r.even[0], "even to": r.even[1], "events": [asdict(m) for m in c.marks],
        "shafts": [asdict(s) for s in r.shafts], "changes": [asdict(x) for x in r.changes],
        "by source": by_source_dict(r), "combinations": [asdict(x) for x in r.combinations],
        "winding": [asdict(w) for w in r.wound],
        "peaks": [asdict(p) for p in r.peaks],
        "energy": {"lines": [asdict(line) for line in r.books.lines], "in motion at the end": r.books.moving,
                   "taken by the floor": r.books.landing, "open": r.books.open},
        "slow drift": [asdict(d) for s in r.shafts[:1] for d in drifts(c.solved, s.shaft)],
        "method": r.method, "error": r.error, "notes": r.notes,
    })
    return data


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(k).replace("_", " "): _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    return number(value) if isinstance(value, float | np.floating) else value


def write_csv(r: Results, place: Path) -> None:
    """One line an edge: between two lines every torque law stays the same."""
    names, columns = zip(*_columns(r), strict=True)
    with place.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(names)
        out.writerows(np.column_stack(columns).tolist())


def _columns(r: Results) -> list[tuple[str, Any]]:
    c, m = r.course, r.course.motion
    found = [("time in s", m.time), (f"angle of {m.root} in rad", m.angle)]
    found += [(f"speed of {name} in rad/s", m.omega * abs(turns)) for name, turns in c.ratio.items()]
    torques = driving_torques(c)[:, 0, :]
    found += [(f"torque on {j.child} through {' with '.join(j.stages)} in N m", torques[:, i])
              for i, j in enumerate(joints_of(c))]
    found += [(f"height of {name} in m", height) for name, height in heights(c).items()]
    return found + [(f"energy of motion in {name} in J", inertia * m.omega**2 / 2)
                    for name, inertia in r.inertias.items()]


@dataclass(frozen=True, slots=True)
class Measured:
    """Measured speeds of a shaft at times of a run, rad/s."""

    shaft: str
    time: Any
    omega: Any


def write_plot(r: Results, place: Path, measured: Measured | None = None) -> None:
    """Speed, torques, heights and stored energy over the time of the run; measured speeds as dots."""
    from matplotlib.figure import Figure

    c, m = r.course, r.course.motion
    minutes, fine = m.time / 60, np.union1d(m.time, np.linspace(0.0, m.time[-1], SMOOTH))
    omega = m.at_time(fine)[1]
    sheet = Figure(figsize=(10, 11), layout="constrained")
    speed, torque, height, energy = sheet.subplots(4, 1, sharex=True)
    for s in r.shafts:
        turns = abs(c.ratio[s.shaft])
        speed.plot(fine / 60, omega * turns / REV_PER_MIN, lw=0.8, label=s.shaft)
        if np.isfinite(s.wanted):
            speed.axhline(s.wanted / REV_PER_MIN, color="0.4", lw=0.8, ls="--", label=f"{s.shaft}, wanted")
    if measured is not None:
        if measured.shaft not in [s.shaft for s in r.shafts]:
            speed.plot(fine / 60, omega * abs(c.ratio[measured.shaft]) / REV_PER_MIN, lw=0.8, label=measured.shaft)
        speed.plot(measured.time / 60, measured.omega / REV_PER_MIN, ".", ms=4, label=f"{measured.shaft}, measured")
    torques, joints = driving_torques(c), joints_of(c)
    newton_metre, joule = TORQUE.units[TORQUE.printed[0]], ENERGY.units[ENERGY.printed[0]]
    chosen = sorted(range(len(joints)), key=lambda i: -float(np.abs(torques[:, :, i]).max()))[:MOST_CURVES]
    for i in sorted(chosen):
        name = " with ".join(joints[i].stages)
        torque.plot(np.repeat(minutes, 2)[1:-1], torques[:-1, :, i].ravel() / newton_metre, lw=0.6,
                    label=f"{name}, on {joints[i].child}")
    for name, h in heights(c).items():
        height.plot(minutes, h / LENGTH.units[height_unit()], lw=1, label=name)
        energy.plot(minutes, h * _weight_of(r, name) / joule, lw=1, label=f"{name}, raised")
    for name, inertia in r.inertias.items():
        energy.plot(fine / 60, inertia * omega**2 / 2 / joule, lw=0.8, label=f"{name}, moving")
    energy.set_yscale("symlog", linthresh=0.01)
    labels = (f"speed, {SPEED.printed[0]}", f"torque, {TORQUE.printed[0]}", f"height, {height_unit()}",
              f"energy stored, {ENERGY.printed[0]}")
    for axes, label in zip((speed, torque, height, energy), labels, strict=True):
        axes.set_ylabel(label)
        axes.grid(visible=True, color="0.9")
        if axes.get_legend_handles_labels()[0]:
            axes.legend(fontsize="small", loc="upper left", bbox_to_anchor=(1.0, 1.0))
    energy.set_xlabel("time, min")
    speed.set_title(f"{c.solved.machine.title}: a run of {m.time[-1] / 60:.3g} min", loc="left")
    sheet.savefig(place)


def _weight_of(r: Results, name: str) -> float:
    """Force with which a weight comes down, its counterweight taken off."""
    drive, g = r.course.solved.machine.drives[name], r.course.solved.machine.gravity.nominal
    counter = drive.counterweight.nominal if hasattr(drive, "counterweight") else 0.0
    return float((drive.mass.nominal - counter) * g)
