"""Commands that hand something over to take away. Nothing heavy is imported before one runs."""

from __future__ import annotations

import typer

from layshaft.faces.terminal import tell_json


def register(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command()(schema)


def schema() -> None:
    """Print a JSON Schema of the machine file, for editors that mark mistakes while one writes."""
    from layshaft.machine.json_schema import machine_schema

    tell_json(machine_schema())
