"""What stands in the drawing is what the machine is: circles, teeth, places, curves, tallies, by numbers of their own."""

import math
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from pytest import approx
from typer.testing import CliRunner

from faces.pages_help import rated
from layshaft import apply, rate, read, solve
from layshaft.faces.cli import app
from layshaft.faces.desk.shown.room_list import entries
from layshaft.faces.pages.drawing import PER_MM, scene_of
from layshaft.faces.pages.ink import QUANTITIES, ink
from layshaft.faces.pages.labels import Line, _pieces
from layshaft.faces.pages.look import look
from layshaft.faces.pages.machine_drawing import machine_drawing, picture
from layshaft.faces.pages.tallies import POST, used
from layshaft.trace.errors import BadInput
from layshaft.train.cases import HELD
from layshaft.verdict.next_step import first_concern, name_of, next_step
from layshaft.verdict.runaways import MODE as RUN_AWAY

MILL = Path(__file__).parents[2] / "examples" / "cider-mill"
SVG = "{http://www.w3.org/2000/svg}"
PART = re.compile(r'data-path="([^"]+)"')


@pytest.fixture(scope="module")
def verdict():
    return rated("harbour-light")


@pytest.fixture(scope="module")
def end(verdict):
    return ElementTree.fromstring(picture(verdict, "end"))


def ratio_of(markup, view):
    """1 : n of a view, as its caption says."""
    figure = markup.split(f'data-view="{view}"')[1]
    return float(re.search(r"1 : ([\d.]+) when printed", figure)[1])


def circles(root, path):
    return [float(c.get("r")) for part in root.iter(f"{SVG}g") if part.get("data-path") == path
            for c in part.iter(f"{SVG}circle") if "d-wheel" in c.get("class", "")]


def test_pitch_circles_are_to_scale(verdict, end):
    """Pin circle of ISO 606: p / (2 sin(pi / z)); the lens chain has 12.7 mm pitch, 19 and 38 teeth."""
    scale = 1000 * PER_MM / ratio_of(machine_drawing(verdict), "end")
    found = sorted(circles(end, "stages.lens chain"))
    assert found == approx([0.0127 / (2 * math.sin(math.pi / z)) * scale for z in (19, 38)], abs=0.006)


def test_gears_have_their_working_circles(verdict, end):
    """Teeth in the ratio of the radii; shifts of -0.25 and 0.25 leave m z / 2: 120 and 16 teeth of 2 mm."""
    scale = 1000 * PER_MM / ratio_of(machine_drawing(verdict), "end")
    assert sorted(circles(end, "stages.fan gears 1")) == approx([0.016 * scale, 0.120 * scale], abs=0.006)


def test_wheels_have_as_many_teeth_as_they_have(end):
    teeth = {float(c.get("pathLength")) for c in end.iter(f"{SVG}circle") if c.get("class") == "d-teeth"}
    assert {19, 38, 21, 28, 120, 16, 15, 25, 24} >= teeth >= {19, 38, 120}


def test_a_chain_wraps_its_wheels(end):
    """Two strands and two arcs, end to end: the outline closes."""
    chain = next(g for g in end.iter(f"{SVG}g") if g.get("class") == "d-chain")
    ends = []
    for p in chain.iter(f"{SVG}path"):
        numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", p.get("d"))]
        ends += [(numbers[0], numbers[1]), (numbers[-2], numbers[-1])]
    assert len(ends) == 8
    for point in ends:
        assert sum(math.dist(point, other) < 0.02 for other in ends) == 2


def test_arcs_run_outside(verdict, end):
    """Wrap of the small wheel below half a turn, of the large one above: pi -+ 2 asin((R - r) / a)."""
    chain = next(g for part in end.iter(f"{SVG}g") if part.get("data-path") == "stages.lens chain"
                 for g in part.iter(f"{SVG}g") if g.get("class") == "d-chain")
    arcs = [p.get("d") for p in chain.iter(f"{SVG}path") if "A" in p.get("d")]
    flags = [re.search(r"A\S+ \S+ 0 (\d) (\d)", d).groups() for d in arcs]
    assert [large for large, _ in flags] == ["0", "1"]  # main has 19 teeth, lens lay 38


@pytest.mark.parametrize("view", ["end", "side"])
def test_every_part_with_a_place_is_there_and_told(verdict, view):
    root = ElementTree.fromstring(picture(verdict, view))
    parts = {g.get("data-path"): g.find(f"{SVG}title").text for g in root.iter(f"{SVG}g") if g.get("data-path")}
    machine = verdict.solved.machine
    assert {s.path for s in machine.shafts.values()} <= set(parts)
    assert "stages.lens chain" in parts
    assert "drives.weight" in parts
    assert "Tightest: " in parts["stages.fan gears 1"]


def test_couplings_and_seats_stand_where_their_seats_are(verdict):
    """Of the length its listing tells, 66 mm, in two halves; a line across the shaft at every seat."""
    root = ElementTree.fromstring(picture(verdict, "side"))
    joints = [g for part in root.iter(f"{SVG}g") if part.get("data-path") == "stages.lens coupling"
              for g in part.iter(f"{SVG}polygon")]
    scale = 1000 * PER_MM / ratio_of(machine_drawing(verdict), "side")
    xs = [float(p.split(",")[0]) for g in joints for p in g.get("points").split()]
    assert max(xs) - min(xs) == approx(0.066 * scale, abs=0.03)
    seats = [part for part in root.iter(f"{SVG}g") if (part.get("data-path") or "").startswith("shafts.main.seats.")
             and part.find(f"{SVG}line") is not None and part.find(f"{SVG}line").get("class") == "d-seat"]
    assert len(seats) == len(verdict.solved.machine.shafts["main"].seats)


def test_each_part_is_reached_once_by_the_tab_key(verdict):
    markup = machine_drawing(verdict, link=lambda path: f"/part?path={path}")
    for figure in markup.split("<figure")[1:3]:
        bodies = [a for a in re.findall(r'<a class="d-part[^>]*>', figure) if "tabindex" not in a]
        paths = [PART.search(a)[1] for a in bodies]
        assert len(paths) == len(set(paths)) > 20
        assert 'role="group"' in figure


def test_what_moved_is_marked(verdict):
    markup = machine_drawing(verdict, moved=frozenset({"shafts.spindle.sections[0][0]", "stages.lens chain"}))
    moved = set(re.findall(r'class="d-part d-moved" data-path="([^"]+)"', markup))
    assert "stages.lens chain" in moved
    assert "stages.bell chain" not in moved


def test_tight_strands_and_arrows_are_those_of_the_case(verdict):
    """Held fast nothing turns; while it runs it does."""
    assert "d-turn\"" in machine_drawing(verdict)
    held = machine_drawing(verdict, held="spindle")
    assert 'class="d-turn"' not in held
    assert "held fast" in held
    assert 'class="d-carries"' in held


def test_ink_is_the_torque_of_the_train(verdict):
    """Torque between two seats is the sum of all torques on the seats before: added up here by hand."""
    drawn = ink(verdict.solved, look(verdict, quantity="torque"))
    curve = next(c for c in drawn.curves if c.shaft == "main")
    shaft = verdict.solved.machine.shafts["main"]
    for place in (0.15, 0.23, 0.30):
        by_hand = -sum(float(t[0].mean()) for seat, t in verdict.solved.seat_torque["main"].items()
                       if shaft.seats[seat].at.nominal < place)
        there = float(np.interp(place, curve.x, curve.value))
        assert abs(there) == approx(abs(by_hand), abs=1e-9)


def test_ink_of_a_bent_shaft_meets_the_beam_at_its_stations(verdict):
    case = look(verdict, quantity="deflection")
    loads = verdict.solved.loads["lens lay"]
    curve = next(c for c in ink(verdict.solved, case).curves if c.shaft == "lens lay")
    for i, x in enumerate(loads.stations):
        both = math.hypot(*loads.deflection[i, :, 0].mean(axis=-1))
        assert float(np.interp(x, curve.x, curve.value)) == approx(both, abs=1e-12)


def test_shear_is_the_slope_of_the_moment(verdict):
    """dM/dx = V between two loads."""
    moment, shear = (next(c for c in ink(verdict.solved, look(verdict, quantity=q)).curves if c.shaft == "crank")
                     for q in ("moment", "shear"))
    rise = np.abs(np.diff(moment.value)[::2] / np.diff(moment.x)[::2])
    straight = shear.value[::2]
    assert (rise <= straight + 1e-6).all()  # as vectors; where both planes grow alike they are equal
    assert rise.max() == approx(straight.max(), rel=0.2)


@pytest.mark.parametrize("quantity", QUANTITIES)
def test_every_quantity_is_drawn_with_its_scale(verdict, quantity):
    for view in ("end", "side"):
        markup = picture(verdict, view, quantity=quantity)
        assert 'class="d-ink-scale"' in markup
        assert "d-ink" in markup


def test_a_tally_is_as_long_as_the_share_that_is_used(verdict):
    f = next(f for f in verdict.findings if f.verdict == "holds" and 2 < f.margin < 9)
    assert used(f) == approx(f.required / f.margin)
    assert used(f) * POST < POST
    fails = next(f for f in verdict.findings if f.verdict == "fails" and f.margin > 0)
    assert used(fails) > 1
    assert math.isnan(used(next(f for f in verdict.findings if f.verdict == "unknown")))


def test_collisions_and_gaps_are_marked(verdict):
    machine = verdict.solved.machine
    first = picture(rate(solve(apply(machine, machine.options["as first drawn"]))), "side")
    assert "fan overlap by 7.21 mm" in first
    assert first.count('class="d-pinch"') == 2 * first.count("A finger goes in")
    assert "d-clash" not in picture(verdict, "side")


def test_labels_do_not_stand_on_one_another(verdict):
    for name in ("harbour-light", "mill-hoist", "planter-hoist", "village-mangle"):
        for view in ("end", "side"):
            root = ElementTree.fromstring(picture(rated(name), view))
            labels = next(g for g in root.iter(f"{SVG}g") if g.get("class") == "d-labels")
            lines = [(t.get("text-anchor"), float(t.get("y"))) for t in labels.iter(f"{SVG}text")]
            for side in (None, "end"):
                ys = sorted(y for anchor, y in lines if anchor == side)
                assert all(b - a > 10 for a, b in pairwise(ys)), (name, view)


def test_mistakes_are_told_in_a_sentence(verdict):
    with pytest.raises(BadInput, match="cannot be held fast"):
        machine_drawing(verdict, held="nobody")
    with pytest.raises(BadInput, match="There is no 'heat' to draw"):
        machine_drawing(verdict, quantity="heat")
    with pytest.raises(BadInput, match="no case 'monday'"):
        machine_drawing(verdict, case="monday")


def test_every_case_can_be_looked_at():
    verdict = rated("hand-grinder")
    for column in verdict.solved.columns:
        assert scene_of(verdict.solved, look(verdict, case=column.title)).shown.bars
    assert any(c.case == HELD for c in verdict.solved.columns)


def test_layshaft_draw(tmp_path):
    for name in ("machine.svg", "machine.png"):
        file = tmp_path / name
        run = CliRunner().invoke(app, ["draw", str(MILL), str(file), "--view", "side",
                                       "--quantity", "moment"])
        assert run.exit_code == 0, run.output
        assert file.read_bytes()[:5] in (b"<svg ", b"\x89PNG\r")
    assert "var(" not in (tmp_path / "machine.svg").read_text(encoding="utf-8")


def test_a_generated_machine_stays_usable():
    """25 shafts, 25 stages, 50 bearings, 20 keys: benchmarks/generated.py. Bounds are generous: the bench measures."""
    import sys
    import time

    sys.path.insert(0, str(Path(__file__).parents[2] / "benchmarks"))
    from generated import machine_text

    from layshaft.machine.reader import read_text

    found = rate(solve(read_text(machine_text())))
    assert picture(found, "end").count("d-bad") == 4  # of dozens of collisions three are told by name
    begun = time.process_time()
    markup = machine_drawing(found, quantity="moment", link=lambda p: f"/part?path={p}")
    assert time.process_time() - begun < 2.0
    assert len(markup) < 600_000


def test_an_open_machine_is_drawn_as_far_as_it_goes():
    open_ = apply(read(MILL), {"set": {"stages.mill chain.teeth": "open"}, "remove": ["stages.mill chain.line"]})
    markup = machine_drawing(rate(solve(open_)), quantity="margin")
    assert "Not drawn, because its place is not known yet" in markup


def test_a_verdict_stands_behind_or_right_below_what_it_is_about():
    """However narrow the column: the words before a verdict, or on the line above it, are those of its part."""
    for name in ("harbour-light", "cider-mill", "sack-hoist", "village-mangle"):
        for view in ("end", "side"):
            above = ""
            for t in ElementTree.fromstring(picture(rated(name), view)).iter(f"{SVG}text"):
                said = (t.text or "").strip()
                if t.find(f"{SVG}tspan") is not None:
                    assert said or above, (name, view, ElementTree.tostring(t))
                above = said


def test_a_name_is_not_torn_from_its_own_words_by_a_verdict(verdict):
    """A line breaks between name and verdict; within the name only where the name alone is too long for a line."""
    found = next(f for f in verdict.findings if f.verdict == "fails")
    line = Line("z 19 a winding chain with a long name", found, "", apart=("a winding chain with a long name", "z 19"))
    for most in range(22, 48):
        pieces = _pieces(line, most)
        told = [piece for piece in pieces if piece.finding is not None]
        assert len(told) == 1
        assert " ".join(p.text for p in pieces if p.text) in (line.text, " ".join(line.apart))
        if not told[0].text:
            assert pieces[pieces.index(told[0]) - 1].text
    short = Line("right bearing", found, "")
    for most in range(21, 48):
        assert [p.text for p in _pieces(short, most)] in (["right bearing"], ["right bearing", ""])


def test_parts_in_the_list_come_as_the_next_step_would_have_them(verdict):
    """People first, then the rest; what fails only after a loss last."""
    found = [e.worst for e in entries(verdict, ["fails"], "")]
    assert found[0] == first_concern(verdict)
    assert name_of(found[0]) in next_step(verdict)
    now = [bool(f.hurts) for f in found if f.mode != RUN_AWAY]
    assert now == sorted(now, reverse=True) and any(now) and not all(now)
    assert all(f.mode == RUN_AWAY for f in found[len(now):])


def test_how_much_of_a_margin_is_used_says_that_more_is_worse(verdict):
    """What is drawn is the share used, the inverse of the margin: the words must not read as a margin."""
    drawn = ink(verdict.solved, look(verdict, quantity="margin"))
    first, second = drawn.legend
    assert re.fullmatch(r"so high: used up to (\d+ %|over 1000 %)", first) and second.startswith("of what it may, in ")
    assert first in machine_drawing(verdict, quantity="margin")
