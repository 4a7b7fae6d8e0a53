"""How far work has come is told step by step up to the whole, and a whole that is reached has nothing left."""

import io
from pathlib import Path

import layshaft
from layshaft.faces import progress as room
from layshaft.faces.progress import Progress
from layshaft.study.compare import compare
from layshaft.study.steady import sized
from layshaft.train.torsion.answer import torsion

LIGHT = layshaft.read(Path(__file__).parents[2] / "examples" / "harbour-light")


def test_every_machine_laid_beside_is_told():
    heard = []
    compare(LIGHT, ["lens duplex"], progress=heard.append)
    assert heard == [1, 2]


def test_sizing_tells_every_lift_and_place():
    heard = []
    sized(LIGHT, told=lambda *told: heard.append(told))
    assert [done for done, _ in heard] == list(range(1, len(heard) + 1)) and heard[-1][0] == heard[-1][1]


def test_a_twisting_run_tells_its_time_up_to_the_end():
    heard = []
    torsion(layshaft.solve(LIGHT), over=20.0, told=heard.append)
    assert heard == sorted(heard) and abs(heard[-1] - 20.0) < 1e-6


class Screen(io.StringIO):
    def isatty(self):
        return True


def test_the_line_says_what_is_left_only_while_something_is(monkeypatch):
    monkeypatch.setattr(room, "AFTER", 0.0)
    monkeypatch.setattr(room, "EVERY", 0.0)
    screen = Screen()
    with Progress(screen, 0.0, "{done:.0f} of {whole:.0f}", "ends it") as progress:
        for done in (1, 2, 3):
            progress.reached_of(done, 3)
    lines = [line.strip() for line in screen.getvalue().split("\r") if line.strip()]
    assert lines == ["1 of 3; Ctrl-C ends it", "2 of 3, about a second left; Ctrl-C ends it", "3 of 3; Ctrl-C ends it"]
