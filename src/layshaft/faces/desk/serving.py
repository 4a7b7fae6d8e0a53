"""The desk's server: a socket on loopback, the desk's lock, a browser, and an orderly end."""

from __future__ import annotations

import socket
import sys
import webbrowser
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from importlib.resources import files
from pathlib import Path

import uvicorn

from layshaft.faces.desk.app import SCRIPTS, guarded
from layshaft.faces.desk.drafting.draft import opened
from layshaft.faces.desk.drafting.places import place_of
from layshaft.faces.desk.guard import KEY, Guard
from layshaft.faces.terminal import tell
from layshaft.machine.errors import MachineErrors
from layshaft.machine.sentences import writing as say
from layshaft.project.keeping import locked
from layshaft.trace.errors import BadInput

LOOPBACK = "127.0.0.1"
DESK_LOCK = "desk"
NO_SCRIPTS = ("The desk's scripts are not in this copy, so every change loads its page anew and windows do not follow "
              "each other. `make run` fetches them.")


def serve(path: Path, port: int, *, browser: bool) -> None:
    """Serve the desk of a machine until it is stopped. Raises `BadInput` where it cannot start."""
    if not path.exists():
        raise BadInput(f"{path} is not there. Give a machine file or a folder; `layshaft new {path}` starts one.")
    place = place_of(path)
    with desk_lock(place) as reader, socket.socket() as door:
        try:
            door.bind((LOOPBACK, port))
        except OSError as why:
            raise BadInput(f"Port {port} cannot be had ({(why.strerror or str(why)).lower()}). "
                           "Give another --port, or none to take a free one.") from None
        guard = guarded(opened(path, reader), door.getsockname()[1])
        if not all(files("layshaft.faces.desk").joinpath("assets", name).is_file() for name in SCRIPTS):
            tell(NO_SCRIPTS)
        if reader:
            tell(f"This desk only reads: {reader}")
        tell(f"The desk of {place} is at {link(guard)}\nIt stops with Ctrl-C.")
        sys.stdout.flush()
        if browser:
            webbrowser.open(link(guard))
        server(guard).run([door])


def server(guard: Guard) -> uvicorn.Server:
    """A server that says nothing but its faults."""
    return uvicorn.Server(uvicorn.Config(guard, log_level="error", access_log=False, lifespan="off",
                                         server_header=False, timeout_graceful_shutdown=1))


def link(guard: Guard) -> str:
    """The link that lets one in."""
    return f"http://{guard.hosts[0]}/?{KEY}={guard.secret}"


@contextmanager
def desk_lock(place: Path) -> Iterator[str]:
    """Hold the desk of a machine file; gives why this one only reads, or a blank."""
    with ExitStack() as held:
        try:
            held.enter_context(locked(place, DESK_LOCK, say.desk_is_open))
            reason = ""
        except MachineErrors as why:
            reason = str(why)
        except OSError as why:
            reason = f"Beside {place} nothing can be written ({(why.strerror or str(why)).lower()})."
        yield reason
