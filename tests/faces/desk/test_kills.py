"""A desk killed at any moment, while windows write: the file is whole, and every edit that was answered is there.

`make soak` kills forty desks at moments of its own; the usual tests kill two.
"""

import os
import random
import threading
import time

import httpx

from faces.desk.test_serving import ask, link_in, opened
from layshaft.faces.desk.drafting import draft as drafts
from layshaft.faces.desk.drafting.edits import said_at
from layshaft.machine.reader import read

SOAK = os.environ.get("HYPOTHESIS_PROFILE") == "soak"
KILLS = 40 if SOAK else 2
SEED = random.SystemRandom().randrange(10**6) if SOAK else 6
WRITES = ("drives.pedals.radius", "mm", 150), ("shafts.pedal.seats.first belt.mass", "kg", 1), (
    "shafts.lay.seats.second belt.mass", "kg", 1)
"""What each window writes, its unit, and about how much of it."""


class Window(threading.Thread):
    """Somebody who types one value after the other and keeps the draft at times, until the desk is gone."""

    def __init__(self, link, path, unit, about, seed, round_):
        super().__init__()
        self.link, self.path, self.unit, self.about, self.dice = link, path, unit, about, random.Random(seed)
        self.round = round_  # no value is asked for twice: a desk says of such a one that it stands there already
        self.asked = self.answered = None
        self.fault = ""

    def run(self):
        origin, _, key = self.link.partition("/?key=")
        cookie = {f"layshaft_desk_{origin.rpartition(':')[2]}": key}
        heads = {"origin": origin, "sec-fetch-site": "same-origin"}
        with httpx.Client(base_url=origin, cookies=cookie, headers=heads, trust_env=False, timeout=20) as caller:
            try:
                for n in range(10_000):
                    self.asked = f"{self.about}.{self.round:02d}{n + 1:04d} {self.unit}"
                    answer = caller.post("/edit", data={"path": self.path, "value": self.asked})
                    self.answered = self.asked
                    if self.dice.random() < 0.3:
                        answer = caller.post("/keep")
                    if answer.status_code != 303 or "said" in answer.headers["location"]:
                        page = caller.get(answer.headers.get("location", "/")).text
                        notice = page.partition('class="notice"')[2].partition("</div>")[0]
                        self.fault = f"{self.asked}: {answer.status_code}, {notice}"
                        return
            except httpx.TransportError:
                return


def test_every_edit_that_was_answered_survives_a_kill(copy):
    place = copy("hand-grinder") / "machine.yaml"
    dice, before, answers = random.Random(SEED), {}, 0
    for n in range(KILLS):
        with opened(place.parent) as (process, words):
            link = link_in(words)
            assert ask(link).status_code == 200
            windows = [Window(link, *one, seed=dice.random(), round_=n) for one in WRITES]
            for window in windows:
                window.start()
            time.sleep(dice.uniform(0.1, 1.5))
            process.kill()
            for window in windows:
                window.join(30)
        read(place)  # the file alone is whole
        state = drafts.opened(place).state
        assert not state.trouble and not state.lost, (SEED, n)
        for window in windows:
            assert not window.fault, (SEED, n, window.fault)
            there = said_at(state.machine, window.path)
            answered = window.answered or before.get(window.path, there)
            assert there in (answered, window.asked), (SEED, n, window.path)
            before[window.path] = there
            answers += window.answered is not None
    assert answers
