"""`layshaft draw`: one view of a machine to a file. Nothing heavy is imported before it runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from layshaft.faces.arguments import MachineFile, Options, Sets
from layshaft.faces.terminal import tell, verdict_of
from layshaft.trace.errors import BadInput

KINDS = (".svg", ".png")
WIDE = 180
"""Width of a PNG in mm, at the 150 dots an inch it is written with."""


def draw(
    machine: MachineFile, file: Annotated[Path, typer.Argument(metavar="FILE", help="file to write: .svg or .png")],
    view: Annotated[str, typer.Option(metavar="VIEW", help="end (seen against its axis) or side")] = "end",
    quantity: Annotated[str, typer.Option(metavar="NAME", help="drawn along it: torque, power, shear, moment, "
                                                               "deflection, slope or margin")] = "",
    case: Annotated[str, typer.Option(metavar="TITLE", help="load case by its title; running if not given")] = "",
    held: Annotated[str, typer.Option(metavar="SHAFT", help="hold this shaft fast and show the jam")] = "",
    set_: Sets = None, option: Options = None,
) -> None:
    """Draw the machine to scale: turning, tight strands, tallies of margins, and one quantity along it."""
    from layshaft.faces.pages.machine_drawing import picture
    from layshaft.faces.printed.alone import SERIF, alone, title_of
    from layshaft.project.files import write_whole

    _refuse(file)
    markup = picture(verdict_of(machine, set_, option), view, case=case, quantity=quantity, held=held)
    if file.suffix.lower() == ".png":
        from layshaft.faces.printed.paper import png

        write_whole(file, png({"svg": alone(markup, SERIF), "width": WIDE, "alt": title_of(markup)}))
    else:
        write_whole(file, alone(markup))
    tell(f"The drawing is in {file}.")


def _refuse(file: Path) -> None:
    """Refuse a place or a kind before any work. Raises `BadInput`."""
    if file.suffix.lower() not in KINDS:
        raise BadInput(f"{file} cannot be drawn. Name a file that ends in .svg or .png, for instance machine.svg.")
    if file.is_dir():
        raise BadInput(f"{file} is a folder. Name a file, for instance {file / 'machine.svg'}.")
    if not file.parent.is_dir():
        raise BadInput(f"There is no folder {file.parent} for the drawing. Make it, or give another path.")
