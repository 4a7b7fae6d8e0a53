"""The commands that carry doubt and lay machines side by side. Nothing heavy is imported before they run."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from layshaft.faces.arguments import AsJson, Cluster, MachineFile, Options, Sets, Workers
from layshaft.faces.terminal import machine_of, tell, tell_json


def doubt(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    draws: Annotated[int, typer.Option(min=64, max=1 << 20, help="how many; best a power of two")] = 1024,
    seed: Annotated[int, typer.Option(min=0, help="the same seed draws the same")] = 1,
    apart: Annotated[bool, typer.Option("--apart", help="draw guesses of one kind apart")] = False,
    target: Annotated[str | None, typer.Option(metavar="PERCENT", help="say what it takes to hold in so many "
                                                                       "draws, such as 95%")] = None,
    only: Annotated[list[str] | None, typer.Option(metavar="PATH[: MODE]", help="only the findings of this part, or "
                                                                               "one; may be given often")] = None,
    plot: Annotated[Path | None, typer.Option(metavar="FILE.svg", help="draw demand against rating")] = None,
    report: Annotated[Path | None, typer.Option(metavar="FILE.html", help="write the printed report with it")] = None,
    workers: Workers = None, cluster: Cluster = "",
) -> None:
    """How likely each verdict holds, which guess owns the doubt, where verdicts flip, what to ask about next."""
    from layshaft.faces import doubt as face
    from layshaft.faces import doubting as beside
    from layshaft.faces.progress import Progress
    from layshaft.faces.working import work
    from layshaft.study.doubt import doubt as carry
    from layshaft.study.draws import ALIKE
    from layshaft.trace.units import print_in

    aim = face.share_of(target)
    beside.refuse_places(plot, report)
    read = machine_of(machine, set_, option)
    print_in(read.units)
    count, few = 1 << (draws - 1).bit_length(), beside.only_of(read, only)
    with work(workers, cluster) as runner, Progress(sys.stderr, 1, f"{{part:.0f}} % of {count} draws") as progress:
        found = carry(read, count, seed, 0.0 if apart else ALIKE, progress.reached, runner, few)
    if as_json:
        tell_json(face.doubt_dict(found))
    else:
        tell(face.doubt_text(read, found, aim))
    for words in beside.kept(read, found, plot, report):
        if not as_json:
            tell(f"\n{words}")


def compare(
    machine: MachineFile,
    options: Annotated[list[str], typer.Argument(metavar="OPTION...", help="options of the file; join several that "
                                                                           "belong together with +")],
    as_json: AsJson = False,
    plot: Annotated[Path | None, typer.Option(metavar="FILE", help="draw it: .svg, .png or .pdf")] = None,
) -> None:
    """Lay whole machines side by side: every margin that moves, and what a choice costs and gives."""
    from layshaft.faces import comparing as face
    from layshaft.faces.progress import Progress
    from layshaft.faces.run_files import refuse_place as refuse
    from layshaft.project.prices import offered_to
    from layshaft.study.compare import compare as lay
    from layshaft.trace.units import print_in

    if plot is not None:
        refuse(plot, drawn=True)
    read = machine_of(machine, None, None)
    print_in(read.units)
    words = "{done:.0f} of {whole:.0f} machines gone through"
    with Progress(sys.stderr, len(options) + 1, words, "ends it") as progress:
        found = lay(read, options, offered_to(read.file.parent if read.file else None), progress.reached)
    if as_json:
        tell_json(face.compare_dict(found))
    else:
        tell(face.compare_text(found))
    if plot is not None:
        face.write_plot(found, plot)
        if not as_json:
            tell(f"\nThe drawing is in {plot}.")
