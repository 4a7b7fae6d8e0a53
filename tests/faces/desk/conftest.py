"""A desk on a copy of an example, served in a thread, and ways to speak to it."""

import shutil
import socket
import threading
import time
from pathlib import Path
from typing import NamedTuple

import httpx
import pytest

from layshaft.faces.desk.app import guarded
from layshaft.faces.desk.drafting.draft import Draft, opened
from layshaft.faces.desk.guard import Guard
from layshaft.faces.desk.serving import link, server

ROOT = Path(__file__).parents[3]


class Served(NamedTuple):
    """A desk that answers: its draft, its guard, its machine file, and the link that lets one in."""

    draft: Draft
    guard: Guard
    place: Path
    link: str

    @property
    def origin(self) -> str:
        return f"http://{self.guard.hosts[0]}"

    def run_no_more(self) -> None:
        """Wait for the run that is made by itself, and make no more: what then happens was asked for by the test."""
        while (state := self.draft.look()).before.run.figures is None or state.verdict.run.figures is None:
            time.sleep(0.01)
        self.draft.told = lambda _: None

    def caller(self, **headers: str) -> httpx.Client:
        """Somebody who has the secret, with headers as a browser on a page of the desk sends them."""
        usual = {"origin": self.origin, "sec-fetch-site": "same-origin"}
        return httpx.Client(base_url=self.origin, cookies={self.guard.cookie: self.guard.secret},
                            headers=usual | headers, timeout=20, trust_env=False)


@pytest.fixture
def serve(tmp_path):
    """Start the desk of a folder; every desk started is stopped after the test."""
    started = []

    def start(folder: Path, read_only: str = "") -> Served:
        door = socket.socket()
        door.bind(("127.0.0.1", 0))
        draft = opened(folder, read_only)
        guard = guarded(draft, door.getsockname()[1])
        running = server(guard)
        thread = threading.Thread(target=running.run, args=([door],), daemon=True)
        thread.start()
        started.append((running, thread))
        while not running.started:
            time.sleep(0.005)
        return Served(draft, guard, draft.place, link(guard))

    yield start
    for running, _ in started:
        running.should_exit = True
    for _, thread in started:
        thread.join()


@pytest.fixture
def copy(tmp_path):
    """A copy of an example's folder."""
    return lambda name: Path(shutil.copytree(ROOT / "examples" / name, tmp_path / name,
                                             ignore=shutil.ignore_patterns(".layshaft")))


@pytest.fixture
def desk(serve, copy):
    """The desk of the demo machine."""
    return serve(copy("harbour-light"))


@pytest.fixture
def caller(desk):
    """Somebody who has the secret of that desk."""
    with desk.caller() as one:
        yield one
