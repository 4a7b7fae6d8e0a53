"""A try-out rig drafted into a folder with its prediction, predicted anew, and readings laid beside it."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from layshaft.faces.pages.words import short
from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.machine import document
from layshaft.machine.model import Machine
from layshaft.machine.reader import FILE as MACHINE_FILE
from layshaft.project.files import write_whole
from layshaft.project.new import refuse_if_taken
from layshaft.study.find_out import prediction as foretelling
from layshaft.study.find_out.prediction import Beside, Prediction
from layshaft.study.find_out.rig import Rig, draft, energy_words
from layshaft.trace.errors import BadInput
from layshaft.trace.units import TIME, figure

READINGS = "readings.csv"
BY_HAND = 3.0
"""s from which on a stop watch tells a time to a few per cent: common practice, no single source."""


def write_rig(machine: Machine, folder: Path, part: str, kind: str) -> tuple[Rig, Prediction]:
    """Draft a rig, predict, and write both with an empty table. Raises `BadInput`, and writes nothing."""
    place = refuse_if_taken(folder)
    for name in (foretelling.FILE, READINGS):
        if (place / name).exists():
            raise BadInput(f"{place / name} is there already and stays as it is. Give another folder.")
    rig = draft(machine, part, kind)
    told = foretelling.predict(rig)
    place.mkdir(parents=True, exist_ok=True)
    write_whole(place / foretelling.FILE, foretelling.as_csv(told, datetime.date.today().isoformat()))
    write_whole(place / READINGS, foretelling.template(kind))
    write_whole(place / MACHINE_FILE, rig.text, lambda: refuse_if_taken(place))
    return rig, told


def foretell_anew(machine: Machine, folder: Path) -> tuple[Rig, Prediction]:
    """Predict a rig again whose file was changed, as long as nothing was read yet. Raises `BadInput`."""
    kind = foretelling.read_prediction(folder).kind
    table = folder / READINGS
    if table.is_file() and table.read_text(encoding="utf-8").rstrip() != foretelling.template(kind).rstrip():
        raise BadInput(f"{table} has been written in already, and a prediction comes before the readings. Draft a rig "
                       "into another folder, or move the readings away first.")
    text = document.load(folder / MACHINE_FILE, keep_bom=True)
    weight = machine.drives.get("weight")
    if weight is None:
        raise BadInput(f"The rig in {folder} has no drive 'weight' any more. Draft it anew into another folder.")
    rig = Rig(kind, weight.shaft, text, machine, ())
    told = foretelling.predict(rig)
    write_whole(folder / foretelling.FILE, foretelling.as_csv(told, datetime.date.today().isoformat()))
    return rig, told


def rig_text(rig: Rig, told: Prediction, folder: Path) -> str:
    """What was drafted and what it will show."""
    return "\n".join([*_rig(rig), *_foretold(told), *_next(rig, folder)])


def _rig(rig: Rig) -> Iterator[str]:
    weight = rig.machine.drives["weight"]
    yield f"{rig.machine.title}: {rig.kind} rig"
    yield wrapped(f"A weight of {short(weight.mass.nominal, weight.mass.dimension)} on a drum of "
                  f"{short(weight.diameter.nominal, weight.diameter.dimension)}, "
                  f"{short(weight.drop.nominal, weight.drop.dimension)} to fall.", "  ")
    if rig.left_out:
        yield wrapped(f"Not on the rig: {', '.join(rig.left_out)}.", "    ", "  ")


def _foretold(told: Prediction) -> Iterator[str]:
    yield from ("", f"  {'PREDICTED':<30}{'value':>14}{'lowest':>14}{'highest':>14}")
    for row in told.rows:
        cells = "".join(f"{short(v, row.dimension, 3):>14}" for v in (row.value, row.low, row.high))
        yield f"  {row.name:<30}{cells}"
    yield wrapped("lowest and highest: 95.45 % of the draws of the guesses in the rig's file lie between.", "  ")
    times = [row.value for row in told.rows if row.dimension is TIME]
    if times and min(times) < BY_HAND:
        yield wrapped("These times are too short for a stop watch. Film the run with a clock in the picture, or clamp "
                      "a disc to the shaft, add it to the rig's file as a flywheel, and predict again with "
                      "`layshaft find-out FOLDER --rig FOLDER`.", "  ")
    if told.failed > 0:
        yield wrapped(f"In {100 * told.failed:.0f} % of the draws the shaft does not start at all.", "  ")


def _next(rig: Rig, folder: Path) -> Iterator[str]:
    test = foretelling.rig_test(rig.kind).procedure
    yield from ("", "ON THE BENCH")
    for i, step in enumerate((*test.steps, "Five times, and write every time."), 1):
        yield wrapped(f"{i}. {step}", "     ", "  ")
    yield from ("", "CAUTIONS")
    for caution in (energy_words(rig), *test.cautions):
        yield wrapped(caution, "    ", "  - ")
    yield ""
    yield wrapped(f"The rig is {folder / MACHINE_FILE}, a machine file: layshaft check {folder}. The prediction is "
                  f"{folder / foretelling.FILE}. Fill in {folder / READINGS}; then: layshaft find-out {folder} "
                  f"--readings {folder / READINGS}", "  ")


# Readings beside it ------------------------------------------------------------------------------


def beside(folder: Path, readings: Path) -> tuple[Prediction, list[Beside], bool]:
    """Prediction, readings beside it, and whether the rig's file is still the one that was predicted from."""
    home = folder if folder.is_dir() else folder.parent
    told = foretelling.read_prediction(home)
    found = foretelling.beside(told, readings)
    same = foretelling.digest(document.load(home / MACHINE_FILE, keep_bom=True)) == told.digest
    return told, found, same


def beside_text(machine: Machine, told: Prediction, found: Sequence[Beside], *, same: bool) -> str:
    """The table, and what it says."""
    lines = [f"{machine.title}: predicted {told.when}, and read", "",
             f"  {'':<28}{'predicted':>22}{'read':>22}{'difference':>14}{'over both spreads':>20}"]
    for b in found:
        d, row, r = b.foretold.dimension, b.foretold, b.read
        lines.append(f"  {row.name:<28}{_range(short(row.value, d, 3), short((row.high - row.low) / 2, d, 2)):>22}"
                     f"{_range(short(r.value, d, 3), short(r.spread, d, 2)):>22}"
                     f"{short(r.value - row.value, d, 2):>14}{figure(b.apart, 2):>20}")
    return "\n".join([*lines, *(wrapped(line, "  ") for line in _says(found, same=same))])


def _range(value: str, half: str) -> str:
    return f"{value.rsplit(' ', 1)[0] if ' ' in value else value} ± {half}"


def _says(found: Sequence[Beside], *, same: bool) -> Iterator[str]:
    yield ("Spreads cover 95.45 % to either side, that of the prediction by the guesses in the rig's file; the "
           "difference is held against both together, at their ends on that side, and may be 1 of them at most "
           "(the E_n score of ISO 13528).")
    if not same:
        yield ("THE RIG'S FILE IS NO LONGER the one this was predicted from: what was changed since is in no "
               "prediction. Draft a rig anew and read anew.")
    off = [b for b in found if not b.apart <= 1]
    if not off:
        yield "The model foretells this rig within what it claims to know."
    else:
        yield (f"The model does not foretell {' and '.join(b.foretold.name for b in off)}. Look at the rig and the "
               "readings first, then at the guesses it was told from: `layshaft find-out RIG` lists them.")
    yield "What hangs, turns or is wound up hurts: local codes and licensed practice decide, not a reading."


def rig_dict(rig: Rig, told: Prediction) -> dict[str, Any]:
    """A drafted rig as data; numbers in SI."""
    return {"rig": rig.kind, "shaft": rig.shaft, "left out": list(rig.left_out), "does not start in": told.failed,
            "predicted": [{"quantity": r.name, "value": number(r.value), "low": number(r.low), "high": number(r.high)}
                          for r in told.rows]}


def beside_dict(told: Prediction, found: Sequence[Beside], *, same: bool) -> dict[str, Any]:
    """Prediction and readings as data; numbers in SI."""
    return {"rig": told.kind, "predicted on": told.when, "file unchanged": same, "quantities": [
        {"quantity": b.foretold.name, "predicted": number(b.foretold.value), "low": number(b.foretold.low),
         "high": number(b.foretold.high), "read": number(b.read.value), "spread": number(b.read.spread),
         "E_n": number(b.apart)} for b in found]}


def agrees(found: Sequence[Beside], *, same: bool) -> bool:
    """True where the model foretold all of it, and from this file."""
    return same and all(math.isfinite(b.apart) and b.apart <= 1 for b in found)
