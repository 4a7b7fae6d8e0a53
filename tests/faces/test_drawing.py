"""The drawings show what the machine is: true circles, true tangents, the strand that pulls, books that add up."""

import itertools
import math
import re

import numpy as np
import pytest
from pytest import approx

from faces.pages_help import EXAMPLES, rated
from layshaft.faces.pages.energy import books
from layshaft.faces.pages.flow import trees
from layshaft.faces.pages.frames import frames, partings
from layshaft.faces.pages.hanging import hanging
from layshaft.faces.pages.labels import Label, place
from layshaft.faces.pages.outline import outline
from layshaft.faces.pages.view import end_plane, extent, main_axis, paper, side_plane


@pytest.fixture(scope="module")
def light():
    return outline(rated("harbour-light").solved)


def wheel(shown, shaft, seat):
    return next(w for w in shown.wheels if (w.shaft, w.seat) == (shaft, seat))


def test_sprockets_have_the_pitch_circle_of_iso_606(light):
    """d = p / sin(180 deg / z), ISO 606: 12.7 mm pitch, 38 teeth."""
    assert wheel(light, "lens lay", "sprocket").radius == approx(0.0127 / math.sin(math.pi / 38) / 2)


def test_gears_touch_on_their_pitch_circles(light):
    first, second = wheel(light, "main", "gear wheel"), wheel(light, "fan lay", "gear wheel")
    between = np.linalg.norm((first.centre - second.centre)[1:])
    assert first.radius + second.radius == approx(between)
    assert first.radius / second.radius == approx(120 / 16)


def test_strands_touch_both_wheels_at_right_angles_to_the_radius(light):
    for run in light.runs:
        ends = [w for w in light.wheels if w.name == run.name]
        for a, b in run.strands:
            for w, point in zip(ends, (a, b), strict=True):
                spoke = (point - w.centre)[1:]
                assert np.linalg.norm(spoke) == approx(w.radius)
                assert spoke @ (b - a)[1:] == approx(0, abs=1e-12)


def test_the_heavy_strand_pulls_the_driven_wheel_the_way_it_turns(light):
    """A chain pulls: on the driven wheel the pull of the tight strand turns it the way it turns."""
    for run, driven in (("lens chain", "lens lay"), ("bell chain", "bell lay"), ("winding chain", "wind")):
        found = next(r for r in light.runs if r.name == run)
        a, b = found.strands[found.tight]
        w = next(x for x in light.wheels if x.name == run and x.shaft == driven)
        pull = a - b
        turn = np.cross(b - w.centre, pull) @ w.axis
        assert np.sign(turn) == np.sign(light.bars[driven].speed), run
    assert next(r for r in light.runs if r.name == "winding chain").while_winding


def test_the_loop_hangs_plumb_and_falls_its_drop():
    loop = next(hanging(rated("harbour-light").solved))
    assert np.linalg.norm(loop.drop[0] - loop.drop[1]) == approx(1.40)
    for a, b in (*loop.strands[:2], *loop.strands[3:]):
        assert a[:2] == approx(b[:2])
    widths = [b.width / 2 for b in loop.blocks if not b.after]
    between = abs(loop.blocks[0].top[1] - loop.blocks[-1].top[1])
    assert sum(widths) < between  # weight and counterweight pass each other


def test_modules_meet_where_they_part():
    solved = rated("harbour-light").solved
    shown = outline(solved)
    boxes = {f.module: f for f in frames(solved, shown)}
    faces = {p.name: p.point[0] for p in partings(solved, shown)}
    assert boxes["winder"].high[0] == approx(faces["bell coupling"], abs=0.01)
    assert boxes["lantern"].low[0] == approx(faces["lens coupling"])
    assert all(f.low[2] == 0 for f in boxes.values())


def test_looking_against_x_has_y_to_the_right_and_z_up():
    main = main_axis(rated("harbour-light").solved.machine)
    assert main == approx([1, 0, 0])
    end, side = end_plane(main), side_plane(main)
    assert end.right == approx([0, 1, 0])
    assert end.towards == approx([1, 0, 0])
    assert side.right == approx([1, 0, 0])
    assert side.up == approx([0, 0, 1])


def test_scale_is_a_usual_one_and_fits():
    on = paper(end_plane(np.array([1.0, 0, 0])), extent([(0, 0), (1.0, 2.1)]), (404, 850), 360, 10)
    assert on.ratio == 10
    assert on.scale == approx(400)


def test_labels_never_meet():
    labels = [Label((x, 100 + i % 3), f"shaft {i}", ("1 rev/min", "z 17 of a chain with a long name"))
              for i, x in enumerate(np.linspace(200, 500, 15))]
    for left in (True, False):
        column = sorted((p for p in place(labels, 360, 140, 10, 900) if p.left is left), key=lambda p: p.top)
        for above, below in itertools.pairwise(column):
            assert above.top + above.height <= below.top


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_band_splits_into_what_leaves_it(name):
    """What enters a shaft is used, handed on or lost: the tree adds up at every post, to 1e-6."""
    def check(node):
        if node.outlets:
            assert sum(o.power for o in node.outlets) == approx(node.power, rel=1e-6), node.name
        for outlet in node.outlets:
            check(outlet)

    solved = rated(name).solved
    found = trees(solved)
    assert sum(t.power for t in found) == approx(float(np.mean(solved.budget.total("in"))))
    for tree in found:
        check(tree)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_printed_books_add_up_to_the_printed_sums(name):
    for body in re.findall(r"<tbody>(.*?)</tbody>", books(rated(name).solved), re.DOTALL):
        rows = re.findall(r'<tr class="(sum)?"><th scope="row">.*?</th><td data-label="Power, W" class="num">([-\d.]+)<',
                          body)
        lines = [float(v) for kind, v in rows if not kind]
        if lines:
            places = len(rows[0][1].partition(".")[2])
            assert sum(lines) == approx(float(rows[-1][1]), abs=len(lines) * 0.5 * 10**-places)
