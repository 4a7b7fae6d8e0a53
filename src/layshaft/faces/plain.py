"""The same answers as plain data, for `--json`."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

import numpy as np

from layshaft.trace.findings import Finding
from layshaft.trace.sheet import as_dict
from layshaft.verdict.balance import Reading
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.headlines import headlines
from layshaft.verdict.jam import Jam, stops
from layshaft.verdict.next_step import next_step
from layshaft.verdict.rate import Verdict
from layshaft.verdict.remarks import drag_shares, remarks
from layshaft.verdict.sheets import Sheet


def number(value: Any) -> float | None:
    """A finite float; the mean of samples; None for what is not known."""
    mean = float(np.mean(value))
    return mean if math.isfinite(mean) else None


def finding_dict(found: Finding) -> dict[str, Any]:
    """One finding; numbers in SI."""
    return {
        "part": found.part, "place": found.place, "checked": found.mode, "case": found.case, "title": found.title,
        "demand": number(found.demand), "rating": number(found.rating), "margin": number(found.margin),
        "required margin": number(found.required), "unit": found.dimension.si, "verdict": found.verdict,
        "reason": found.reason, "at risk": found.hurts, "trust": found.trust, "source": str(found.source),
        "required by": str(found.required_source), "fingerprint": found.fingerprint,
        "shares": asdict(found.shares) if found.shares else None,
    }


def check_dict(verdict: Verdict) -> dict[str, Any]:
    """All of `layshaft check`."""
    books = verdict.solved.budget
    assert books is not None
    return {
        "machine": verdict.solved.machine.title, "verdict": verdict.worst,
        "findings": [finding_dict(f) for f in verdict.findings],
        "remarks": [{"part": path, "text": r.text, "source": str(r.source)} for path, r in remarks(verdict)],
        "speeds": {name: number(np.abs(w[0])) for name, w in verdict.solved.speed.items()},
        "parts": [{"part": h.part, "governed by": h.kind, "checked": h.finding.mode, "title": h.finding.title,
                   "margin": number(h.finding.margin), "verdict": h.finding.verdict} for h in headlines(verdict)],
        "stopped dead": [jam_dict(j) for j in stops(verdict)],
        "drag over torque": {d.shaft: d.share for d in drag_shares(verdict)},
        "energy": {
            "entries": [{"kind": e.kind, "name": e.name, "part": e.what, "power": number(e.power)}
                        for e in books.entries],
            "windings": [{k: v if isinstance(v, str | bool) else number(v) for k, v in _fields(w).items()}
                         for w in books.windings],
            "start ratio": {k: number(v) for k, v in books.start_ratio.items()},
        },
        "guesses": [asdict(g) for g in guesses(verdict)],
        "cautions": [asdict(c) for c in cautions(verdict)],
        "next step": next_step(verdict),
    }


def _fields(thing: Any) -> dict[str, Any]:
    return {name.replace("_", " "): getattr(thing, name) for name in thing.__dataclass_fields__}


def sheet_dict(sheet: Sheet) -> dict[str, Any]:
    """One sheet."""
    return {"title": sheet.title, "came from": sheet.came_from, "finding": finding_dict(sheet.finding),
            "fingerprint": sheet.fingerprint, "record": sheet.record.to_dict(), "sheet": as_dict(sheet.trace)}


def jam_dict(jam: Jam) -> dict[str, Any]:
    """One shaft held fast."""
    return {
        "shaft": jam.shaft, "turning masses run in": not jam.still, "torque": number(jam.torque),
        "stages": [{"stage": p.stage, "first": number(p.first), "second": number(p.second)} for p in jam.path],
        "first to go": finding_dict(jam.first_to_go) if jam.first_to_go else None, "lets go": jam.goes,
    }


def reading_dict(reading: Reading) -> dict[str, Any]:
    """One reading of the spring balance."""
    return {"shaft": reading.shaft, "radius": reading.radius, "break away": number(reading.break_away),
            "running": number(reading.running)}
