"""What notches a shaft at a place of its own: shoulder, groove, cross hole, keyseat, tight seat, or nothing."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.shaft import din_743
from layshaft.listings.tables import table
from layshaft.machine.kinds import Clamp, CrossPin, PressFit, TaperClamp
from layshaft.machine.model import Shaft
from layshaft.machine.schema import Given
from layshaft.mechanics import notch, notch_cuts
from layshaft.trace.source import Source
from layshaft.train.forces import CROSS_HOLE, GROOVE, SHOULDER
from layshaft.train.place import diameter_at
from layshaft.verdict.context import NAN, Steel

PLAIN = Source("plain step, no notch", obtained="derived")
WHOLE = Source("no hole across the shaft here", obtained="derived")
EMPTY = Source("nothing in the file sits here: counted as a plain bar", obtained="derived")
RUBS = Source("runs in a plain bush: no notch", obtained="derived")
TIGHT = Source("DIN 743-2, edge of a tight bearing seat", "", "from memory")
KEYLESS = Source("DIN 743-2, edge of a tight seat", "no key given: what sits here counts as pressed on", "from memory")
GRIPPED = Source("DIN 743-2, edge of a tight seat", "pressed, clamped or wedged on beside its key", "from memory")
TWO = Source("two notches at one place: the larger fatigue notch factor counts, in bending and in torsion",
             obtained="common practice")
GRIPS = (PressFit, Clamp, TaperClamp)
"""Hubs that hold by pressing on the shaft all round."""

DIN_CUT = Source("DIN 743-2, form factor over the support of the material", "", "from memory")
DIN_KEY = Source("DIN 743-2, keyway from tests", "", "from memory")
LOST = ("w_b", "w_t")
SHAPE, FOR_DIN = ("K_t", "K_ts", "tested"), ("beta_b", "beta_t", "beta_tested")

Notch = tuple[dict[str, Any], dict[str, Source]]


def notch_of(shaft: Shaft, place: str, used: bool, d: float, steel: Steel) -> Notch:
    """Notch factors of what is cut or pressed here, and their origins; unknown where its size is."""
    for word, cut in ((SHOULDER, _shoulder), (GROOVE, _groove), (CROSS_HOLE, _cross_hole)):
        if place.startswith(word):
            return cut(shaft, int(place.removeprefix(word)) - 1, d, steel)
    seat = shaft.seats.get(place)
    if seat is None:
        return _notch((1.0, 1.0, 0.0), (1.0, 1.0, 0.0), 0.0, PLAIN, PLAIN)
    if seat.rubs:
        return _notch((1.0, 1.0, 0.0), (1.0, 1.0, 0.0), 0.0, RUBS, RUBS)
    keyless, bearing = seat.key_size.state == "missing", seat.bearing.state != "missing"
    found = []
    if isinstance(seat.hub, CrossPin):
        found.append(_drilled(seat.hub.diameter, seat.hub.diameter.path, d, steel))
    elif bearing or isinstance(seat.hub, GRIPS) or (keyless and (used or seat.hub.stated)):
        K_f, K_fs = notch.press_fit_edge(steel.R_m, d)
        tight = TIGHT if bearing else KEYLESS if keyless else GRIPPED
        found.append(_notch((K_f, K_fs, 1.0), (K_f, K_fs, 1.0), 0.0, tight, tight))
    if not keyless:
        found.append(_keyseat(d, steel, seat.keys.nominal))
    if not found:
        return _notch((1.0, 1.0, 0.0), (1.0, 1.0, 0.0), 0.0, EMPTY, EMPTY)
    return found[0] if len(found) == 1 else _larger(found[0], found[1], steel)


def _keyseat(d: float, steel: Steel, keys: float) -> Notch:
    K_t, K_ts, r = notch.first_guess("end-milled keyseat", d) or (NAN, NAN, NAN)
    keyseat = table("notches_first")["end-milled keyseat"].source
    return _notch((K_t, K_ts, 0.0), (*din_743.keyway_factors(steel.R_m, d, keys), 1.0), r, keyseat, DIN_KEY, keyseat)


def _larger(one: Notch, other: Notch, steel: Steel) -> Notch:
    """Of two notches at one place the larger fatigue notch factor, in bending and in torsion each by itself."""
    values, origins = dict(one[0]), dict(one[1])
    felt = [_felt(values, steel) for values, _ in (one, other)]
    for i, symbol in enumerate(("K_t", "K_ts")):
        values[symbol] = float(np.maximum(felt[0][i], felt[1][i]))
        origins[symbol] = (one if felt[0][i] >= felt[1][i] else other)[1][symbol]
    for symbol in ("beta_b", "beta_t", *LOST):
        values[symbol] = float(np.maximum(one[0][symbol], other[0][symbol]))
        origins[symbol] = (one if one[0][symbol] >= other[0][symbol] else other)[1][symbol]
    values |= {"tested": 1.0, "r": 0.0, "beta_tested": min(one[0]["beta_tested"], other[0]["beta_tested"])}
    return values, origins | {"tested": TWO, "r": TWO}


def _felt(values: dict[str, Any], steel: Steel) -> tuple[Any, Any]:
    """What fatigue feels of a notch, in bending and in torsion."""
    q = notch.sensitivity(notch.neuber_bending(steel.R_m), values["r"])
    q_s = notch.sensitivity(notch.neuber_torsion(steel.R_m), values["r"])
    return (notch.fatigue_factor(values["K_t"], q, values["tested"]),
            notch.fatigue_factor(values["K_ts"], q_s, values["tested"]))


def _shoulder(shaft: Shaft, i: int, d: float, steel: Steel) -> Notch:
    big = max(shaft.sections[k][0].nominal for k in (i, i + 1))
    fillet = fillet_of(shaft, i)
    r = fillet.nominal
    if not np.isfinite(r):
        return _notch((NAN, NAN, 0.0), (NAN, NAN, 0.0), r, fillet.origin, fillet.origin, fillet.origin)
    fitted = Source("stress concentration of a shoulder fillet, fitted curves", f"r = {fillet}", "read")
    return _notch((*notch.shoulder(big, d, r), 0.0), (*din_743.cut_factors("shoulder", big, d, r, steel.R_e), 0.0), r,
                  fitted, DIN_CUT, fillet.origin)


def fillet_of(shaft: Shaft, i: int) -> Given:
    """Radius of a shoulder: its own where the file lists one for each, else that of all."""
    return shaft.fillets[i] if i < len(shaft.fillets) and shaft.fillets[i].known else shaft.fillet


def _groove(shaft: Shaft, i: int, d: float, steel: Steel) -> Notch:
    at, bottom, radius = shaft.grooves[i]
    r, big = radius.nominal, diameter_at(shaft, at.nominal)
    fitted = Source("stress concentration of a groove, fitted curves", f"{big * 1e3:g} to {bottom}, r = {radius}",
                    "second text")
    shape = notch_cuts.groove(big, d, r)
    if np.isnan(shape[0]):
        fitted = Source(f"{at.path.removesuffix('[0]')}: {notch_cuts.GROOVES}", obtained="given")
    return _notch((*shape, 0.0), (*din_743.cut_factors("groove", big, d, r, steel.R_e), 0.0), r,
                  fitted, DIN_CUT, radius.origin)


def _cross_hole(shaft: Shaft, i: int, d: float, steel: Steel) -> Notch:
    hole = shaft.cross_holes[i][1]
    return _drilled(hole, hole.path.removesuffix("[1]"), d, steel)


def _drilled(hole: Given, path: str, d: float, steel: Steel) -> Notch:
    """A hole drilled right through, with or without a pin in it."""
    fits = Source("stress concentration of a cross hole, fitted curves", f"{hole} in the shaft", "from memory")
    by_din = (*din_743.hole_factors(hole.nominal, d, steel.R_e), 0.0)
    shape = notch_cuts.cross_hole(hole.nominal, d)
    if np.isnan(shape[0]):
        fits = Source(f"{path}: {notch_cuts.HOLES}", obtained="given")
    values, origins = _notch((*shape, 0.0), by_din, hole.nominal / 2, fits, DIN_CUT, hole.origin)
    w_b, w_t = notch_cuts.lost_to_hole(hole.nominal, d)
    return values | {"w_b": float(w_b), "w_t": float(w_t)}, origins | dict.fromkeys(LOST, notch_cuts.STRIP)


def _notch(shape: tuple[Any, ...], by_din: tuple[Any, ...], r: Any, source: Source, din: Source,
           radius: Source | None = None) -> Notch:
    values = {name: float(v) for name, v in zip((*SHAPE, *FOR_DIN), (*shape, *by_din), strict=True)}
    origins = dict.fromkeys(SHAPE, source) | dict.fromkeys(FOR_DIN, din) | dict.fromkeys(LOST, WHOLE)
    return values | {"r": float(r), "w_b": 1.0, "w_t": 1.0}, origins | {"r": radius or source}
