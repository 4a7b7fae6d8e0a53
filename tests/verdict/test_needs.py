"""Open parts: the demand stays, the verdict is unknown, and the smallest size that is named really holds."""

import json
import math
from pathlib import Path

import numpy as np
import pytest

from layshaft.bill.parts import parts_list, total
from layshaft.faces.needs import needs_json, needs_text
from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.machine.schema import Choice, Given, Thing, keys
from layshaft.train.cases import RUNNING
from layshaft.train.solve import solve
from layshaft.verdict.needs import needs
from layshaft.verdict.open import open_paths, owner
from layshaft.verdict.rate import rate

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def machine():
    return read(EXAMPLES / "harbour-light")


@pytest.fixture(scope="module")
def base(machine):
    return rate(solve(machine))


def opened(machine, *paths):
    return apply(machine, {"set": dict.fromkeys(paths, "open")})


def need_of(machine, path):
    return next(n for n in needs(rate(solve(machine))) if n.path == path)


def seats(shaft, what, *names):
    return [f"shafts.{shaft}.seats.{name}.{what}" for name in names]


ONE_BY_ONE = [
    ("stages.lens chain", ["stages.lens chain.chain"]),
    ("stages.winding chain", ["stages.winding chain.chain"]),
    ("stages.fan gears 1", ["stages.fan gears 1.normal module", "stages.fan gears 1.face"]),
    ("stages.fan gears 2", ["stages.fan gears 2.face"]),
    ("shafts.lens lay", ["shafts.lens lay.sections[0][0]", *seats("lens lay", "bearing", "left bearing", "right bearing"),
                         *seats("lens lay", "key", "sprocket", "coupling")]),
    ("shafts.spindle", ["shafts.spindle.sections", *seats("spindle", "bearing", "lower bearing", "upper bearing"),
                        *seats("spindle", "key", "mitre", "lens table")]),
    ("shafts.main", ["shafts.main.sections[1][0]"]),
    ("shafts.main.seats.lens sprocket.key", ["shafts.main.seats.lens sprocket.key"]),
    ("shafts.crank.seats.hub.key", ["shafts.crank.seats.hub.key"]),
    ("shafts.main.seats.left bearing.bearing", ["shafts.main.seats.left bearing.bearing"]),
]


@pytest.mark.parametrize(("part", "paths"), ONE_BY_ONE, ids=[p for p, _ in ONE_BY_ONE])
def test_the_smallest_size_holds_when_put_back_and_the_next_smaller_does_not(machine, base, part, paths):
    without = opened(machine, *paths)
    verdict = rate(solve(without))
    own = [f for f in verdict.findings if owner(f.part) == part]
    assert own and all(f.verdict == "unknown" and f.reason == "not chosen" for f in own)
    assert {(f.part, f.mode) for f in own} == {(f.part, f.mode) for f in base.findings if owner(f.part) == part}
    need = next(n for n in needs(verdict) if n.path == part)
    assert need.opens and set(need.opens) <= set(open_paths(verdict.solved))
    assert need.smallest is not None
    back = rate(solve(apply(without, need.smallest.option)))
    judged = [f for f in back.findings if owner(f.part) == part and f.mode not in need.unjudged
              and f.mode != "run-away"]  # what follows when it is lost has nothing to do with its size
    assert judged and all(f.verdict == "holds" for f in judged)
    answers = {a.mode: a for a in need.smallest.answers}
    for f in judged:
        assert f.margin >= answers[f.mode].margin * (1 - 1e-9)
    if need.next_smaller is not None:
        worse = rate(solve(apply(without, need.next_smaller.option)))
        assert any(f.verdict in ("thin", "fails") for f in worse.findings if owner(f.part) == part)


def test_the_demand_stays_when_the_size_goes(machine, base):
    need = need_of(opened(machine, "stages.lens chain.chain"), "stages.lens chain")
    running = next(d for d in need.demands if d.case == RUNNING)
    torque, speed = (running.values[n][0] for n in ("torque at the first shaft", "speed"))
    assert torque == pytest.approx(abs(base.solved.stage_torque["lens chain"][0][0, 0]), rel=1e-12)
    assert speed == pytest.approx(abs(base.solved.speed["main"][0, 0]), rel=1e-12)
    assert math.isnan(running.values["pull"][0])
    turns = speed / (2 * math.pi) * 45 * 60 * 60 * 10  # 45 min on 60 days of 10 years
    assert f"{round(turns, -2):,.0f}".replace(",", " ") in need.sentence


def test_a_coupling_is_told_as_ratings_to_ask_for(machine, base):
    need = need_of(opened(machine, "stages.lens coupling.listing"), "stages.lens coupling")
    asked = {name: value for name, value, _ in need.ask_for}
    torque = np.abs(base.solved.stage_torque["lens coupling"][0][:, 0])
    assert asked["steady torque"] == pytest.approx(torque[0], rel=1e-9)
    held = [i for i, c in enumerate(base.solved.columns) if c.title.startswith("held fast")]
    assert asked["peak torque"] == pytest.approx(1.5 * max(torque[held]), rel=1e-9)


def test_a_mass_that_is_open_is_told_by_the_wanted_speed(machine):
    without = opened(machine, "drives.weight.mass")
    verdict = rate(solve(without))
    taken = verdict.solved.taken["drives.weight.mass"]
    assert abs(verdict.solved.speed["spindle"][0, 0]) == pytest.approx(2 * math.pi / 60, rel=1e-9)
    assert taken.given.nominal == pytest.approx(96, rel=0.01)  # 96 kg turn it at 0.999 rev/min
    assert not any(f.verdict == "holds" for f in verdict.findings if f.part.startswith(("stages", "drives", "shafts"))
                   and f.mode != "room for the hand")  # which hangs on no mass
    back = rate(solve(apply(without, {"set": {"drives.weight.mass": f"{taken.given.nominal:.12g} kg"}})))
    assert abs(back.solved.speed["spindle"][0, 0]) == pytest.approx(2 * math.pi / 60, rel=1e-9)


def test_mass_and_wheel_open_leave_the_torque_at_the_wheel(machine, base):
    without = opened(machine, "drives.weight.mass", "drives.weight.teeth")
    solved = solve(without)
    known = solve(opened(machine, "drives.weight.mass"))
    for stage in ("lens chain", "bell chain", "fan gears 1"):
        assert solved.stage_torque[stage][0][0, 0] == pytest.approx(known.stage_torque[stage][0][0, 0], rel=1e-9)
    assert not any(f.verdict == "holds" for f in rate(solved).findings if f.part.startswith("stages.lens chain"))
    need = need_of(without, "drives.weight")
    assert any("at its wheel" in note for note in need.notes)


def test_a_ratio_follows_from_the_speeds_on_both_sides():
    mill = read(EXAMPLES / "cider-mill")
    verdict = rate(solve(opened(mill, "stages.mill chain.teeth")))
    assert abs(verdict.solved.speed["drum"][0, 0]) == pytest.approx(148 * 2 * math.pi / 60, rel=1e-12)
    want = next(f for f in verdict.findings if f.part == "wants.drum speed")
    assert want.verdict == "unknown" and "stages.mill chain.ratio" in want.reason


def every_open_path(node):
    """Paths of all sizes that may be open and are known."""
    if isinstance(node, dict):
        for value in node.values():
            yield from every_open_path(value)
    elif isinstance(node, Thing):
        for field, key in keys(type(node)).values():
            value = getattr(node, field)
            if key.may_be_open:
                yield from _known(value)
            elif field not in ("options", "document"):
                yield from every_open_path(value)


def _known(value):
    if isinstance(value, tuple):
        for item in value:
            yield from _known(item)
    elif isinstance(value, (Given, Choice)) and value.known:
        yield value.path


def test_everything_open_is_on_the_list_and_nothing_holds(machine):
    paths = list(every_open_path(machine))
    assert len(paths) > 100
    verdict = rate(solve(opened(machine, *paths)))
    found = needs(verdict)
    assert set(paths) <= {path for need in found for path in need.opens}
    parts = {need.path for need in found}
    assert not [f for f in verdict.every() if owner(f.part) in parts and f.verdict == "holds"]
    text = needs_text(verdict)
    assert all(need.path.replace(" ", "") in text.replace(" ", "").replace("\n", "") for need in found)
    json.dumps(needs_json(verdict), allow_nan=False)


def test_nothing_open_gives_an_empty_list(base):
    assert needs(base) == []
    assert "Nothing is open" in needs_text(base)


def test_parts_list_weighs_what_is_known(machine, base):
    lines = parts_list(machine, base.solved)
    by_name = {line.name: line for line in lines}
    assert by_name["key 8x7x25"].quantity == 9  # counted in the file
    bar = by_name["shaft 20 x 600 mm, C45+N"]
    assert bar.mass == pytest.approx(math.pi / 4 * 0.02**2 * 0.6 * 7850, rel=1e-12)
    chain = next(line for line in lines if line.where == ["stages.lens chain"] and line.name.startswith("chain"))
    assert chain.mass == pytest.approx(140 * 0.0127 * 0.69, rel=1e-12)  # ISO 606: 08B-1 weighs about 0.69 kg/m
    whole = total(lines)
    assert whole.unknown == sum(line.quantity for line in lines if math.isnan(line.mass)) > 0
    assert whole.known == pytest.approx(sum(line.total_mass for line in lines if not math.isnan(line.mass)))


def test_a_first_draft_gets_stages_then_bars_then_what_sits_on_them(tmp_path):
    from layshaft.project.new import answers, create

    draft = read(create(tmp_path / "draft", answers({})))
    verdict = rate(solve(draft))
    found = {need.path: need for need in needs(verdict)}
    shafts = [need for path, need in found.items() if path.startswith("shafts.") and path.count(".") == 1]
    assert shafts and all(need.smallest is not None for need in shafts)
    for need in shafts:
        bearing = next(n for path, n in found.items() if path.startswith(f"{need.path}.") and n.what == "bearing")
        assert any("bar found for the shaft" in note for note in bearing.notes) or "No size tried" in bearing.notes[0]
    rope = found["drives.weight"]
    mass = draft.drives["weight"].mass.nominal
    assert rope.ask_for[0][1] == pytest.approx(mass * 9.81 * 10, rel=1e-9)  # 10 over people, one part of rope
    assert not [f for f in verdict.findings if f.verdict == "holds" and owner(f.part) in found]
