"""Commands that hand something over to take away. Nothing heavy is imported before one runs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.terminal import part_path, refuse_place, tell, tell_json, verdict_of
from layshaft.trace.errors import BadInput

if TYPE_CHECKING:
    from layshaft.verdict.rate import Verdict

PAPER = (".pdf", ".html")
LISTS = (".csv", ".xlsx")


def register(app: typer.Typer) -> None:
    """Add the commands of this module."""
    for command in (sheet, book, table, schema):
        app.command()(command)


def sheet(
    machine: MachineFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="a path, such as 'stages.lens chain', or a name")],
    teach: Annotated[bool, typer.Option("--teach", help="walk through it in plain words, step by step")] = False,
    set_: Sets = None, option: Options = None, as_json: AsJson = False,
    pdf: Annotated[Path | None, typer.Option(metavar="FILE.pdf", help="write it to print, formulas set")] = None,
    html: Annotated[Path | None, typer.Option(metavar="FILE.html", help="write it as one page for a browser")] = None,
) -> None:
    """Print the calculation sheets of one part: givens with sources, then every step."""
    from layshaft.verdict.sheets import sheets_of

    for place, kind in ((pdf, ".pdf"), (html, ".html")):
        _refuse(place, (kind,))
    verdict = verdict_of(machine, set_, option)
    path = part_path(verdict, part)
    if teach:
        _teach(verdict, path, as_json=as_json)
    elif pdf is not None or html is not None:
        for place in (pdf, html):
            if place is not None:
                _write_sheet(verdict, path, place)
    elif as_json:
        from layshaft.faces.plain import sheet_dict

        tell_json([sheet_dict(s) for s in sheets_of(verdict, path)])
    else:
        from layshaft.faces.text import sheets_text

        tell(sheets_text(sheets_of(verdict, path)))


def book(
    machine: MachineFile,
    file: Annotated[Path, typer.Argument(metavar="FILE.pdf|.html", help="where it is written")],
    set_: Sets = None, option: Options = None,
    short: Annotated[bool, typer.Option("--short", help="leave out the sheets of what holds")] = False,
) -> None:
    """Write the whole book: verdicts, drawings, guesses, cautions, parts, givens, every sheet."""
    _refuse(file, PAPER)
    verdict = verdict_of(machine, set_, option)
    if file.suffix.lower() == ".html":
        from layshaft.faces.report import write_report

        write_report(verdict, file, every_sheet=not short)
    else:
        from layshaft.faces.printed.content import book_data
        from layshaft.faces.printed.paper import pdf
        from layshaft.project.files import write_whole

        write_whole(file, pdf(book_data(verdict, every_sheet=not short)))
    tell(f"The book is in {file}.")


def table(
    machine: MachineFile,
    name: Annotated[str, typer.Argument(metavar="TABLE", help="findings, parts, givens, guesses, shafts, "
                                                                     "needs or jams")],
    file: Annotated[Path, typer.Argument(metavar="FILE.csv|.xlsx", help="where it is written")],
    set_: Sets = None, option: Options = None,
) -> None:
    """Write one table as CSV or as a workbook: numbers as numbers, in the unit their head names."""
    from layshaft.faces.printed.tables import as_csv, as_workbook, table_of
    from layshaft.project.files import write_whole

    _refuse(file, LISTS)
    found = table_of(verdict_of(machine, set_, option), name)
    write_whole(file, as_csv(found) if file.suffix.lower() == ".csv" else as_workbook([found]))
    tell(f"{found.title} are in {file}: {len(found.rows)} lines.")


def schema() -> None:
    """Print a JSON Schema of the machine file, for editors that mark mistakes while one writes."""
    from layshaft.machine.json_schema import machine_schema

    tell_json(machine_schema())


def _refuse(place: Path | None, kinds: tuple[str, ...]) -> None:
    """Say before the work that a file cannot be written. Raises `BadInput`."""
    if place is None:
        return
    if place.suffix.lower() not in kinds:
        raise BadInput(f"{place} does not end in {' or '.join(kinds)}. Name for instance {place.stem}{kinds[0]}.")
    refuse_place(place)


def _write_sheet(verdict: Verdict, path: str, place: Path) -> None:
    from layshaft.project.files import write_whole
    from layshaft.verdict.sheets import sheets_of

    if not sheets_of(verdict, path):
        raise BadInput(f"Nothing of '{path}' is rated by a method, so there is no sheet: `layshaft check` says why.")
    if place.suffix.lower() == ".pdf":
        from layshaft.faces.printed.content import sheet_data
        from layshaft.faces.printed.paper import pdf

        write_whole(place, pdf(sheet_data(verdict, path)))
    else:
        from layshaft.faces.report import sheet_html

        write_whole(place, sheet_html(verdict, path))
    tell(f"The sheet is in {place}.")


def _teach(verdict: Verdict, path: str, *, as_json: bool) -> None:
    from layshaft.faces.teach import walk_dict, walks_text
    from layshaft.verdict.teaching import walks

    found = walks(verdict, path)
    if not found:
        raise BadInput(f"Nothing of '{path}' is rated yet, so there is nothing to walk through: `layshaft needs` "
                       "says what it waits for.")
    if as_json:
        tell_json([walk_dict(w) for w in found])
    else:
        tell(walks_text(verdict, path, found))
