"""What `layshaft doubt` is asked for beside its text: a few findings only, a picture, a report."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from layshaft.faces.run_files import refuse_place as refuse_drawing
from layshaft.faces.terminal import refuse_place
from layshaft.machine.model import Machine
from layshaft.project.files import write_whole
from layshaft.study.chosen import chosen
from layshaft.study.doubt import Doubt
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.sampled import Key


def refuse_places(plot: Path | None, report: Path | None) -> None:
    """Say before any work that a file cannot be written. Raises `BadInput`."""
    if report is not None:
        refuse_place(report)
    if plot is not None:
        refuse_drawing(plot, drawn=False)
    if plot is not None and plot.suffix.lower() != ".svg":
        raise BadInput(f"{plot} cannot be drawn. Name a file that ends in .svg, such as {plot.with_suffix('.svg')}.")


def only_of(machine: Machine, words: Sequence[str] | None) -> frozenset[Key] | None:
    """The findings that are asked for; None asks for all. Raises `BadInput`."""
    return chosen(rate(solve(machine)).findings, words) if words else None


def kept(machine: Machine, found: Doubt, plot: Path | None, report: Path | None) -> Iterator[str]:
    """Write what was asked for, and tell where it is."""
    if plot is not None:
        from layshaft.faces.pages.doubt_bands import doubt_svg

        picture = doubt_svg(found)
        if picture:
            write_whole(plot, picture)
        yield f"The picture is in {plot}." if picture else "There is nothing to draw."
    if report is not None:
        from layshaft.faces.report import write_report

        write_report(rate(solve(machine)), report, doubt=found)
        yield f"The report is in {report}."
