"""The commands about lists: import, show, search, take, lists, forget, put back. Nothing heavy is imported at first."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layshaft.faces.arguments import AsJson, MachineFile
from layshaft.faces.terminal import ALL_HOLD, NOT_ALL, refuse_place, tell, tell_json
from layshaft.trace.errors import BadInput

if TYPE_CHECKING:
    from layshaft.listings.imports.importing import Outcome
    from layshaft.listings.offers import Offer

catalogue = typer.Typer(
    rich_markup_mode=None, no_args_is_help=True,
    help="What can be bought: standard series that ship, and suppliers' lists that you import.")

Project = Annotated[Path | None, typer.Option(metavar="FOLDER", help="project folder that keeps the lists; else your "
                                                                     "own, for all projects")]
Supplier = Annotated[str | None, typer.Option(metavar="NAME", help="whose list it is")]
SIGNS = {"": "", "comma": ",", "point": ".", ",": ",", ".": "."}


@catalogue.command("import")
def import_(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="CSV or workbook (XLSX, XLS, ODS)")],
    project: Project = None, supplier: Supplier = None,
    kind: Annotated[str | None, typer.Option(metavar="KIND", help="kind of parts, such as bearing")] = None,
    map_: Annotated[list[str] | None, typer.Option(
        "--map", metavar="COLUMN=FIELD", help="what a column means, such as 'd=bore mm'; - leaves it out; "
                                              "repeatable")] = None,
    currency: Annotated[str, typer.Option(metavar="CODE", help="currency of prices that do not say theirs")] = "",
    decimal: Annotated[str, typer.Option(metavar="SIGN", help="comma or point, where the list leaves it open")] = "",
    sheet: Annotated[str, typer.Option(metavar="NAME", help="one sheet of a workbook instead of all")] = "",
    skip_rejected: Annotated[bool, typer.Option("--skip-rejected", help="take the rows that can be taken")] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="read and compare, write nothing")] = False,
    rejected: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="write every refused row and why")] = None,
) -> None:
    """Import a supplier's list: all of it or nothing. Ends 1 if rows were refused or something must be said first."""
    from layshaft.faces import catalogue_text as face
    from layshaft.faces.progress import Progress
    from layshaft.listings.imports.asking import kind_named
    from layshaft.listings.imports.importing import Asked
    from layshaft.project.catalogue import import_file

    if decimal not in SIGNS:
        raise BadInput(f"'{decimal}' is no decimal sign. Write --decimal comma or --decimal point.")
    if rejected is not None:
        refuse_place(rejected)
    asked = Asked((supplier or "").strip(), kind_named(kind) if kind else "", dict(map(_pair, map_ or [])),
                  _currency(currency), SIGNS[decimal], sheet, skip_rejected, dry_run)
    with Progress(sys.stderr, 0.0, "{done:.0f} rows") as progress:
        outcome, folder = import_file(file, project, asked, lambda rows: progress.reached(float(rows)))
    tell(face.import_text(outcome, dry_run=dry_run, folder=str(folder)))
    if rejected is not None:
        _write_rejected(outcome, rejected)
    raise typer.Exit(ALL_HOLD if outcome.taken and not outcome.lacking and not (
        outcome.rejected_count and not skip_rejected) else NOT_ALL)


def _pair(text: str) -> tuple[str, str]:
    column, equals, meaning = text.rpartition("=")
    if not equals or not column.strip() or not meaning.strip():
        raise BadInput(f"'{text}' has no COLUMN=FIELD. Write for instance --map 'd=bore mm'.")
    return column.strip(), meaning.strip()


def _currency(text: str) -> str:
    from layshaft.listings.imports.cells import currency

    if text and not currency(text):
        raise BadInput(f"'{text}' is no currency. Write its three letters, for instance --currency EUR.")
    return currency(text)


def _write_rejected(outcome: Outcome, place: Path) -> None:
    import csv
    import io

    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["sheet", "row", "reason"])
    writer.writerows([one.sheet, one.place, one.why] for one in outcome.rejected)
    from layshaft.project.files import write_whole

    write_whole(place, text.getvalue())
    tell(f"The refused rows are in {place}.")


@catalogue.command()
def show(
    kind: Annotated[str | None, typer.Argument(metavar="KIND", help="a kind of part; all kinds if left out")] = None,
    name: Annotated[str | None, typer.Argument(metavar="NAME", help="one size or part number")] = None,
    project: Project = None, as_json: AsJson = False,
) -> None:
    """What there is of a kind, standard series and imported; or one offer with all that is known of it."""
    from layshaft.faces import catalogue_text as face
    from layshaft.listings.imports.asking import kind_named
    from layshaft.project import catalogue as shop

    if kind is None:
        tell(_kinds(project))
    elif name is None:
        _print_offers(kind_named(kind), [], None, project, 40, "", as_json=as_json)
    else:
        found = shop.one(kind_named(kind), name, project)
        if as_json:
            tell_json([face.offer_dict(o) for o in found])
        else:
            tell("\n\n".join(face.offer_text(o) for o in found))


def _kinds(project: Path | None) -> str:
    from layshaft.project import catalogue as shop

    lines = [f"  {kind:<24}{standard or '-':>10}{listed or '-':>12}" for kind, standard, listed in shop.kinds(project)]
    return "\n".join([f"  {'kind':<24}{'standard':>10}{'imported':>12}", *lines, "",
                      "layshaft catalogue show KIND lists a kind; layshaft catalogue search KIND --where narrows it."])


@catalogue.command()
def search(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="a kind of part, such as bearing")],
    where: Annotated[list[str] | None, typer.Option(
        metavar="KEY=LOW..HIGH", help="a range, such as 'bore=20 mm..30 mm'; repeatable")] = None,
    require: Annotated[list[str] | None, typer.Option(
        metavar="WORD", help="cad: only offers with a CAD file; imported: no standard series")] = None,
    supplier: Supplier = None,
    order: Annotated[str, typer.Option(metavar="KEY", help="smallest first by this key, such as price")] = "",
    most: Annotated[int, typer.Option(min=1, max=10_000, help="how many to print")] = 40,
    project: Project = None, as_json: AsJson = False,
) -> None:
    """Offers of a kind within ranges, standard series and imported lists; a value not said lies in no range."""
    from layshaft.listings.imports.asking import kind_named

    for word in require or []:
        if word not in ("cad", "imported"):
            raise BadInput(f"'{word}' cannot be required. Write --require cad or --require imported.")
    _print_offers(kind_named(kind), where or [], supplier, project, most, order, cad="cad" in (require or []),
                  imported="imported" in (require or []), as_json=as_json)


def _print_offers(kind: str, where: list[str], supplier: str | None, project: Path | None, most: int, order: str, *,
                  cad: bool = False, imported: bool = False, as_json: bool) -> None:
    from layshaft.faces import catalogue_text as face
    from layshaft.listings.imports.asking import asked
    from layshaft.project import catalogue as shop

    ranges, words = asked(where)
    count, found = shop.search(kind, ranges, words, project, cad=cad, imported_only=imported, supplier=supplier,
                               order=order, most=most)
    if as_json:
        tell_json({"count": count, "offers": [face.offer_dict(o) for o in found]})
        return
    tell(face.offers_text(kind, found, count, [*ranges, *words], _note(found)))


def _note(found: list[Offer]) -> str:
    weak = sum(o.source.weak for o in found)
    return f"\n  Of these, {weak} rest on typical or remembered values: ask the supplier for theirs." if weak else ""


@catalogue.command()
def take(
    machine: MachineFile,
    path: Annotated[str, typer.Argument(metavar="PATH", help="where, such as 'stages.lens coupling.listing'")],
    offer: Annotated[str, typer.Argument(metavar="OFFER", help="a standard size, or supplier and part number")],
    show_: Annotated[bool, typer.Option("--show", help="print what would change and write nothing")] = False,
) -> None:
    """Put an offer into the machine file: a standard size by its name, a supplier's part under `parts`."""
    from layshaft.faces.changing import difference
    from layshaft.project import keeping
    from layshaft.project.taking import taken

    before, after, _ = taken(machine, path, offer)
    if not show_:
        keeping.keep(before, after)
    lines = difference(before.text, after.text, before.path.name)
    end = "Nothing was written." if show_ else f"Written to {before.path}. Take it back with: layshaft undo {machine}"
    tell(f"{lines}\n{end}" if lines else f"{before.path} says so already: nothing changed.")


@catalogue.command()
def lists(project: Project = None) -> None:
    """Lists that were imported: whose, what, how many, from which file, when."""
    from layshaft.project import catalogue as shop

    rows = [("supplier", "kind", "offers", "file", "read on", "kept in")] + [
        (r.supplier, r.kind, str(r.count), r.file, r.read_on, str(folder)) for folder, r in shop.contents(project)]
    if len(rows) == 1:
        tell("No list was imported yet. Import one with: layshaft catalogue import FILE --supplier NAME")
        return
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    tell("\n".join("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in rows))


@catalogue.command()
def forget(
    supplier: Annotated[str, typer.Argument(metavar="SUPPLIER", help="whose lists are taken out")],
    kind: Annotated[str | None, typer.Option(metavar="KIND", help="only this kind of part")] = None,
    project: Project = None,
) -> None:
    """Take a supplier's lists out, and what was remembered of their columns."""
    from layshaft.listings.imports.asking import kind_named
    from layshaft.project import catalogue as shop

    count = shop.forget(supplier, kind_named(kind) if kind else None, project)
    back = " ".join(["layshaft catalogue put-back", f"'{supplier}'", *([f"--kind '{kind}'"] if kind else []),
                     *([f"--project {project}"] if project else [])])
    tell(f"{count} offers of {supplier} were taken out. Put them back with: {back}")


@catalogue.command("put-back")
def put_back(
    supplier: Annotated[str, typer.Argument(metavar="SUPPLIER", help="whose lists are put back")],
    kind: Annotated[str | None, typer.Option(metavar="KIND", help="only this kind of part")] = None,
    project: Project = None,
) -> None:
    """Put a supplier's lists back that were taken out or replaced last."""
    from layshaft.listings.imports.asking import kind_named
    from layshaft.project.catalogue import folder_of
    from layshaft.project.taken_out import put_back as back

    for one in back(folder_of(project), supplier, kind_named(kind) if kind else None):
        tell(f"There again: {one.count} offers of {one.supplier}, {one.kind}, read on {one.read_on} from {one.file}.")
