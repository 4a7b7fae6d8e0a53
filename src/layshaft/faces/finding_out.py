"""The command that finds out a guess: a test sheet, an empty table, or what the readings say.

Nothing heavy is imported before it runs.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.terminal import ALL_HOLD, NOT_ALL, machine_of, refuse_place, tell, tell_json
from layshaft.trace.errors import BadInput

if TYPE_CHECKING:
    from layshaft.machine.model import Machine
    from layshaft.machine.schema import Given

FEW_DRAWS = 512


def register(app: typer.Typer) -> None:
    """Give the command line this command."""
    app.command("find-out")(find_out)


def find_out(
    machine: MachineFile,
    given: Annotated[str | None, typer.Argument(metavar="GIVEN", help="the guess to find out, by its path or the end "
                                                                      "of it; without one: those worth it")] = None,
    set_: Sets = None, option: Options = None, as_json: AsJson = False,
    by: Annotated[str, typer.Option(metavar="TEST", help="another test than the usual one, by how its name "
                                                         "begins")] = "",
    html: Annotated[Path | None, typer.Option(metavar="FILE.html", help="write the sheet for print, one page A4")] =
    None,
    template: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="write an empty table for the "
                                                                           "readings")] = None,
    readings: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="the table, filled in")] = None,
    keep: Annotated[bool, typer.Option("--keep", help="write what was measured into the machine file")] = False,
    here: Annotated[bool, typer.Option("--here", help="keep it for this place alone, where others share its "
                                                      "value")] = False,
    rig: Annotated[Path | None, typer.Option(metavar="FOLDER", help="draft a try-out rig for one shaft, with its "
                                                                    "prediction")] = None,
    part: Annotated[str, typer.Option(metavar="PART", help="the shaft the rig is for, or what sits on it")] = "",
    as_: Annotated[str, typer.Option("--as", metavar="RIG", help="run-down or break-away")] = "run-down",
) -> None:
    """Find out a guess: which test, how often, what to write down; then what the readings say. Ends 1 if they
    contradict the guess."""
    from layshaft.study.find_out.plan import given_at
    from layshaft.trace.units import print_in

    if keep and readings is None:
        raise BadInput("--keep writes what was measured: give the readings too, with --readings FILE.csv.")
    if keep and (set_ or option):
        raise BadInput("--keep writes into the machine file as it stands: leave --set and --option out.")
    read = machine_of(machine, set_, option)
    print_in(read.units)
    if rig is not None:
        _rig(read, rig, part, as_, as_json=as_json)
        return
    if given is None and readings is not None:
        raise typer.Exit(_beside(machine, read, readings, as_json=as_json))
    if given is None:
        _list(read, as_json=as_json)
        return
    asked = given_at(read, given)
    if readings is not None:
        raise typer.Exit(_read_back(machine, read, asked, by, readings, keep=keep, here=here, as_json=as_json))
    _sheet(read, asked, by, html, template, as_json=as_json)


def _list(read: Machine, *, as_json: bool) -> None:
    """Guesses worth finding out."""
    from layshaft.faces import test_sheet as face
    from layshaft.study.doubt import doubt
    from layshaft.study.find_out.plan import worth

    found = doubt(read, FEW_DRAWS)
    tests = worth(read, [w.cause for w in found.owners])
    if as_json:
        tell_json(face.list_dict(found, tests))
    else:
        tell(face.list_text(read, found, tests))


def _rig(read: Machine, folder: Path, part: str, kind: str, *, as_json: bool) -> None:
    from layshaft.faces import rig_told as face

    again = read.file is not None and folder.is_dir() and read.file.parent.samefile(folder)
    drafted, told = face.foretell_anew(read, folder) if again else face.write_rig(read, folder, part, kind)
    if as_json:
        tell_json(face.rig_dict(drafted, told))
    else:
        tell(face.rig_text(drafted, told, folder))


def _beside(file: Path, read: Machine, readings: Path, *, as_json: bool) -> int:
    """Readings of a rig beside its prediction; ends 1 where it was not foretold."""
    from layshaft.faces import rig_told as face

    told, found, same = face.beside(file, readings)
    if as_json:
        tell_json(face.beside_dict(told, found, same=same))
    else:
        tell(face.beside_text(read, told, found, same=same))
    return ALL_HOLD if face.agrees(found, same=same) else NOT_ALL


def _sheet(read: Machine, asked: Given, by: str, html: Path | None, template: Path | None, *, as_json: bool) -> None:
    from layshaft.faces import test_sheet as face
    from layshaft.project.files import write_whole
    from layshaft.study.find_out.plan import plan

    for place in (html, template):
        if place is not None:
            refuse_place(place)
    found = plan(read, asked, by)
    if as_json:
        tell_json(face.plan_dict(found))
    else:
        tell(face.sheet_text(found))
    if template is not None:
        if template.exists():
            raise BadInput(f"{template} is there already, and may hold readings. Give another name.")
        write_whole(template, face.template(found))
    if html is not None:
        from layshaft.faces.pages.test_sheet import sheet_html

        write_whole(html, sheet_html(found))
    for place, what in ((template, "The empty table"), (html, "The sheet for print")):
        if place is not None and not as_json:
            tell(f"\n{what} is in {place}.")


def _read_back(file: Path, read: Machine, asked: Given, by: str, readings: Path, *, keep: bool, here: bool,
               as_json: bool) -> int:
    """What readings say; ends 1 where they contradict the guess."""
    from layshaft.faces import readings_told as face
    from layshaft.study.find_out.measured import contradicts, option_for
    from layshaft.study.find_out.plan import plan
    from layshaft.study.find_out.readings import read_readings, result_of

    planned = plan(read, asked, by)
    result = result_of(planned.test, read_readings(readings, planned.test), asked.dimension)
    if here and asked.path == asked.cause and len(planned.shared) > 1:
        raise BadInput(f"{len(planned.shared) - 1} places take their value from {asked.path}, so it cannot be kept for "
                       "it alone. Leave --here out, or write what the others shall have first.")
    path = asked.path if here else asked.cause
    if as_json:
        tell_json(face.result_dict(planned, result))
    else:
        tell(face.result_text(planned, result, path))
    if keep:
        about = face.about(result)
        written = face.keep(file, option_for(asked, result, path, **about))
        if not as_json:
            tell(written)
    return NOT_ALL if contradicts(asked, result) else ALL_HOLD
