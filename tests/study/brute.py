"""A choice gone through by brute force: every combination put into the file's text, read, solved and rated."""

import itertools

import numpy as np

import layshaft
from layshaft.machine.options import apply
from layshaft.study.choosing.joining import Table
from layshaft.study.choosing.wishes import weighed
from layshaft.trace.errors import BadInput
from layshaft.verdict.rate import finding
from layshaft.verdict.runaways import MODE as RUN_AWAY
from layshaft.verdict.search import as_option


def check(machine, option):
    """What `check` says after the option has gone through the file's own text; None where it is refused."""
    try:
        return layshaft.rate(layshaft.solve(apply(machine, option)))
    except BadInput:
        return None


def trade_offs(machine, space, parts, fits=lambda *_: True):
    """Values of the front of all that hold, that harm nothing else, and that `fits`."""
    rows, verdicts = [], []
    for at in itertools.product(*(range(len(axis)) for axis in space.grid.axes)):
        row = {axis.name: i for axis, i in zip(space.grid.axes, at, strict=True)}
        verdict = check(machine, as_option(machine, space.sets_of(row)))
        if verdict is not None and fits(verdict.solved.machine, parts):
            rows.append(row)
            verdicts.append(verdict)
    words = [_words(space, v) for v in verdicts]
    answered = {key for w in words for key, word in w.items() if word != "unknown"}
    before = _all(layshaft.rate(layshaft.solve(machine)))
    sound = []
    for row, verdict, w in zip(rows, verdicts, words, strict=True):
        mine = all(word == "holds" for key, word in w.items() if key in answered)
        own = {k[:3] for k in w}
        others = all(not _harm(space, key, before.get(key), word) for key, word in _all(verdict).items() if key not in own)
        if mine and others:
            sound.append(row)
    return {tuple(v) for v in _front(space, sound)}


def _harm(space, key, was, word):
    """Lost, or failing where it did not; but for what is told of a part's own loss, which no size of it decides."""
    if key[2] == RUN_AWAY and any(part.judges(key[0]) for part in space.parts.values()) and was != "holds":
        return False
    return (was == "holds" and word != "holds") or (word == "fails" and was != "fails")


def worth(space, rows):
    """What rows are worth in each wish."""
    return {tuple(v) for v in _values(space, rows)}


def _words(space, verdict):
    """By place, mode and case: what is unknown in one case may still be thin in another."""
    return {(f.part, f.place, f.mode, f.title): f.verdict for r in verdict.rated for p, part in enumerate(r.block.parts)
            if any(one.judges(part.path) for one in space.parts.values())
            for c in np.flatnonzero(r.asked[p]) for f in (finding(verdict, r, p, int(c)),)}


def _all(verdict):
    table = {}
    for f in verdict.findings:
        table.setdefault((f.part, f.place, f.mode), f.verdict)
    return table


def _values(space, rows):
    if not rows:
        return []
    places = {axis.name: np.array([r[axis.name] for r in rows]) for axis in space.grid.axes}
    table_ = Table(len(rows), places, [(dict(axis.columns), places[axis.name]) for axis in space.grid.axes])
    return np.round(np.nan_to_num(np.stack([w.values for w in weighed(space, table_)], axis=1)), 9)


def _front(space, rows):
    values = _values(space, rows)
    return [v for v in values if not any((o <= v).all() and (o < v).any() for o in values)]
