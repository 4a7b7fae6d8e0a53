"""The command that looks for what would mend a finding. Nothing heavy is imported before it runs."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.terminal import machine_of, part_path, tell, tell_json


def register(app: typer.Typer) -> None:
    """Give the command line this command."""
    app.command("mend")(mend)


def mend(
    machine: MachineFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="a path, such as 'stages.lens mitre', or a name")],
    mode: Annotated[str, typer.Option(metavar="WORDS", help="which finding of it, by words of its failure mode; "
                                                            "without: its worst")] = "",
    set_: Sets = None, option: Options = None, as_json: AsJson = False,
) -> None:
    """Look for changes, one or two together, that would make a finding hold while nothing else begins to fail."""
    from layshaft.faces.mending_told import mending_dict, mending_text
    from layshaft.faces.progress import Progress
    from layshaft.study.mending import finding_of, mending
    from layshaft.study.with_run import rated_with_run
    from layshaft.trace.units import print_in

    read = machine_of(machine, set_, option)
    print_in(read.units)
    verdict = rated_with_run(read)
    finding = finding_of(verdict, part_path(verdict, part), mode)
    with Progress(sys.stderr, 0.0, "{done:.0f} of {whole:.0f} ways looked at", "keeps what is found") as progress:
        found = mending(read, finding, progress.reached_of)
    if as_json:
        tell_json(mending_dict(found))
    else:
        tell(mending_text(found))
