"""`layshaft open`: the desk of one machine, on loopback. Nothing heavy is imported before it runs."""

from __future__ import annotations

from typing import Annotated

import typer

from layshaft.faces.arguments import MachineFile


def open_desk(
    machine: MachineFile,
    port: Annotated[int, typer.Option(min=0, max=65535, help="port on 127.0.0.1; 0 takes a free one")] = 0,
    quiet: Annotated[bool, typer.Option("--no-browser", help="print the link and open no browser")] = False,
) -> None:
    """Open the desk: the whole machine on one local page, every number alive. Stop it with Ctrl-C."""
    from layshaft.faces.desk.serving import serve

    serve(machine, port, browser=not quiet)
