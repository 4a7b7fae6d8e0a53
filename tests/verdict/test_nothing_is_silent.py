"""Every failure mode has an answer or is unknown by name; a given less never makes anything hold."""

from pathlib import Path

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.trace.findings import HOLDS, UNKNOWN, WORST_FIRST
from layshaft.trace.units import COUNT
from layshaft.train.solve import solve
from layshaft.verdict import rate as room
from layshaft.verdict.context import context
from layshaft.verdict.modes import expected
from layshaft.verdict.required import while_turning
from layshaft.verdict.search import put

EXAMPLES = Path(__file__).parents[2] / "examples"
MACHINE = read(EXAMPLES / "harbour-light")


def answers(verdict):
    """Code and margin of every part, place, mode and case, without words: quick."""
    found = {}
    titles = [c.title for c in verdict.solved.columns]
    for r in verdict.rated:
        margins = np.broadcast_to(np.asarray(r.check.margin, dtype=float), r.codes.shape)
        for p, c in zip(*np.nonzero(r.asked), strict=True):
            part = r.block.parts[p]
            title = titles[c] if r.block.modes[r.mode] else "any case"
            found[part.path, part.place, r.mode, title] = int(r.codes[p, c, 0]), float(margins[p, c, 0])
    for f in verdict.whole:
        found[f.part, f.place, f.mode, f.title] = WORST_FIRST.index(f.verdict), f.margin
    return found


def rated(machine):
    return room.rate(solve(machine))


@pytest.fixture(scope="module")
def base():
    return answers(rated(MACHINE))


@pytest.mark.parametrize("name", ["harbour-light", "cider-mill", "mill-hoist"])
def test_every_mode_of_every_part_is_answered_in_every_case_it_is_asked(name):
    verdict = rated(read(EXAMPLES / name))
    found = answers(verdict)
    modes = {(part, mode) for part, _, mode, _ in found}
    places = {(part, place, mode) for part, place, mode, _ in found}
    listed = list(expected(context(verdict.solved)))
    assert len(listed) > 50
    for e in listed:
        assert (e.path, e.place, e.mode) in places if e.place else (e.path, e.mode) in modes
    asked = {(e.path, e.mode) for e in listed}
    wanted = {key for key in modes if key[0].startswith("wants.")}
    assert modes - wanted <= asked  # and no mode is answered that the list does not know
    for r in verdict.rated:
        cases = r.block.modes[r.mode]
        for p, part in enumerate(r.block.parts):
            turning = room.turning(verdict.solved, part.shaft) if while_turning(r.mode) else np.ones(len(
                verdict.solved.columns), bool)
            narrow = r.block.applies.get(r.mode)
            if cases and (narrow is None or narrow(part)):
                for i, column in enumerate(verdict.solved.columns):
                    assert r.asked[p, i] == (column.case in cases and column.case != "stopped dead" and turning[i])


GATHERED = [room.gathered(gather(context(solve(MACHINE)))) for gather in room.ONE_KIND]
"""The rows of every kind, as each of `ONE_KIND` gathers them."""


def dropping(kind, gone):
    """One of `ONE_KIND` that no longer gathers one of its blocks."""
    gather = room.ONE_KIND[kind]
    return lambda c: [b for i, b in enumerate(room.gathered(gather(c))) if i != gone]


@pytest.mark.parametrize(("which", "gone"), [(k, i) for k, found in enumerate(GATHERED) for i in range(len(found))])
def test_a_method_less_turns_its_findings_to_unknown(base, which, gone, monkeypatch):
    kind = GATHERED[which][gone]
    kinds = [*room.ONE_KIND]
    monkeypatch.setattr(room, "ONE_KIND", [dropping(k, gone) if k == which else g for k, g in enumerate(kinds)])
    found = answers(rated(MACHINE))
    before = {(part, mode) for part, _, mode, _ in base}
    after = {(part, mode) for part, _, mode, _ in found}
    assert before == after
    for (part, _, mode, title), (code, _) in found.items():
        if mode in kind.modes and any(p.path == part for p in kind.parts) and title == "any case":
            assert code == UNKNOWN
    lost = {key for key in base if key not in found}
    assert lost or not kind.parts or not any(kind.modes.values())  # what no case changes is still asked by name


ABSENT_MEANS = {"loads.fan.trim": "nothing covered, as the 100 % in the file"}
"""Keys whose absence has a meaning, which is the value of this file."""


def removable():
    """Every given of the file with a value of its own."""
    return [path for path, given in MACHINE.givens.items() if given.known]


def one_of_each(paths):
    """One path for each key of each kind of thing: shafts, seats and stages repeat themselves."""
    seen = {}
    for path in paths:
        words = path.split(".")
        middle = "seats" if "seats" in words else "" if words[0] in ("shafts", "stages") else words[1 % len(words)]
        key = (words[0], middle, words[-1])
        seen.setdefault(key, path)
    return list(seen.values())


def without(path):
    """The machine without a given, or None where the file is then refused in words."""
    try:
        return rated(apply(MACHINE, {"remove": [path]}))
    except MachineErrors as errors:
        return None if errors.problems else pytest.fail(f"{path}: refused without a word")


def check_removal(base, path):
    verdict = without(path)
    if verdict is None:
        return
    found = answers(verdict)
    better = [key for key, (code, _) in found.items() if code == HOLDS and base.get(key, (UNKNOWN, 0))[0] != HOLDS]
    assert not better, (path, better[:3])
    shrunk = {(part, mode) for part, _, mode, _ in base} - {(part, mode) for part, _, mode, _ in found}
    assert not [s for s in shrunk if s[0].split(".")[0] != "wants"], (path, shrunk)
    moved = None if path in ABSENT_MEANS else moved_answers(path)
    for key, (_, margin) in base.items() if moved else ():
        changed = key in moved and np.isfinite(margin) and abs(moved[key][1] - margin) > 1e-9 * abs(margin)
        if changed and key in found:
            now = found[key]
            assert now[0] == UNKNOWN or abs(now[1] - margin) > 1e-9 * abs(margin), (path, key)


def moved_answers(path):
    """All answers with one given a hundredth larger; None for whole numbers and shares that cannot grow."""
    given = MACHINE.givens[path]
    if given.dimension is COUNT or given.nominal == 0 or given.cause not in ("", path):
        return None
    try:
        return answers(rated(put(MACHINE, {path: given.nominal * 1.01})))
    except (MachineErrors, ValueError):
        return None


@pytest.mark.parametrize("path", one_of_each(removable()))
def test_a_given_less_never_makes_anything_hold(base, path):
    check_removal(base, path)


@pytest.mark.slow
def test_any_given_less_never_makes_anything_hold(base):
    for path in removable():
        check_removal(base, path)
