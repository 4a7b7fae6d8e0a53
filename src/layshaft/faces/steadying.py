"""The command that sizes what steadies a machine. Nothing heavy is imported before it runs."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.terminal import machine_of, tell, tell_json


def steady(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    swing: Annotated[str | None, typer.Option(metavar="SHARE", help="swing within a turn to size for, such as '5 %', "
                                                                    "instead of the one wanted in the file")] = None,
    thickness: Annotated[str, typer.Option(metavar="LENGTH", help="thickness of a flywheel told as a disc")] = "20 mm",
    sheets: Annotated[bool, typer.Option("--sheets", help="print the calculation of each answer too")] = False,
) -> None:
    """Size what steadies and drives it: spread of a lift, smallest flywheel and its place, governor, least weight."""
    from layshaft.faces import sizing
    from layshaft.faces.progress import Progress
    from layshaft.study.steady import sized
    from layshaft.trace.units import print_in

    wanted, thick = sizing.share_of(swing), sizing.thickness_of(thickness)
    read = machine_of(machine, set_, option)
    print_in(read.units)
    with Progress(sys.stderr, 0.0, "{done:.0f} of {whole:.0f} lifts and places sized", "ends it") as progress:
        found = sized(read, wanted, thick, progress.reached_of)
    if as_json:
        tell_json(sizing.sizing_dict(found))
    else:
        tell(sizing.sizing_text(read, found, sheets=sheets))
