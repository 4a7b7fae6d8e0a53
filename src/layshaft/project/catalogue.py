"""Standard series and imported lists together, for a project or for all of a user's."""

from __future__ import annotations

import datetime
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np

from layshaft.listings import imported
from layshaft.listings.imports import asking
from layshaft.listings.imports.fields import list_fields, part_kinds
from layshaft.listings.imports.importing import Asked, Outcome, import_list
from layshaft.listings.offers import Offer, standard_kinds, standard_offers
from layshaft.project.taken_out import setter_aside
from layshaft.store import database
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

Range = tuple[float, float]


def folder_of(project: Path | None) -> Path:
    """The folder that keeps the lists: the project's (or that of its file), else the user's. Raises `BadInput`."""
    if project is None:
        return imported.user_folder()
    folder = project.parent if project.is_file() else project
    if not folder.is_dir():
        raise BadInput(f"There is no folder {project}. Make it, or name the folder of a project.")
    return folder


def import_file(file: Path, project: Path | None, asked: Asked,
                progress: Callable[[int], None] = lambda _rows: None) -> tuple[Outcome, Path]:
    """Import a list; what became of it, and the folder it is for. A dry run leaves no trace. Raises `BadInput`."""
    folder, today = folder_of(project), datetime.date.today().isoformat()
    if asked.dry_run and not (folder / store.FILE).exists():
        with tempfile.TemporaryDirectory() as aside, store.lists(Path(aside)) as db:
            return import_list(db, file, asked, today, progress), folder
    with store.lists(folder) as db:
        return import_list(db, file, asked, today, progress, setter_aside(folder)), folder


def _folders(project: Path | None) -> list[Path]:
    return imported.folders(None if project is None else folder_of(project))


def contents(project: Path | None) -> list[tuple[Path, store.Listed]]:
    """Every imported list, with the folder that keeps it."""
    found = []
    for folder in _folders(project):
        with store.lists(folder) as db:
            found += [(folder, one) for one in store.contents(db)]
    return found


def standing(project: Path | None) -> tuple[tuple[int, str], ...]:
    """What tells one state of the lists from every other: an answer that rests on lists is of such a state."""
    return tuple((one.number, one.kind) for _, one in contents(project))


def kinds(project: Path | None) -> list[tuple[str, int, int]]:
    """Every kind with the size of its standard series and how many were imported."""
    listed: dict[str, int] = {}
    for _, one in contents(project):
        listed[one.kind] = listed.get(one.kind, 0) + one.count
    names = dict.fromkeys([*standard_kinds(), *part_kinds()])
    return [(kind, len(standard_offers(kind)), listed.get(kind, 0)) for kind in names]


def search(kind: str, where: Mapping[str, Range], words: Mapping[str, str], project: Path | None, *, cad: bool = False,
           imported_only: bool = False, supplier: str | None = None, order: str = "",
           most: int = 200) -> tuple[int, list[Offer]]:
    """How many offers fit, and the first of them; the standard series come first where no order is asked for."""
    fields = list_fields()
    if order and (order not in fields or fields[order].is_text):
        raise BadInput(f"'{order}' has no order. Write a key with numbers, such as price, mass or lead time.")
    series = [] if cad or imported_only or supplier else asking.standard_fitting(kind, where, words)
    found = imported.search(_folders(project), kind, where, words=words, require_cad=cad, supplier=supplier,
                            order=order, most=most)
    offers = [*series, *found.offers]
    if order:
        offers.sort(key=lambda o: float(np.nan_to_num(asking.number(o, order), nan=np.inf)))
    return len(series) + found.count, offers[:most]


def one(kind: str, name: str, project: Path | None) -> list[Offer]:
    """Offers of a kind by their name, standard designation or part number. Raises `BadInput` if there are none."""
    folders = _folders(project)
    found = [o for o in standard_offers(kind) if o.name.casefold() == name.casefold()]
    found += [o for o in (*imported.named(folders, name), *imported.of_standard(folders, [name]).get(name, []))
              if o.kind == kind]
    if not found:
        raise BadInput(f"There is no {kind} '{name}' in the standard series or the imported lists.")
    return list({(o.supplier, o.name, o.where): o for o in found}.values())


def forget(supplier: str, kind: str | None, project: Path | None) -> int:
    """Take a supplier's lists out of one folder; how many offers that were. Raises `BadInput` if it has none.

    They are set aside: `taken_out.put_back` brings them back.
    """
    folder = folder_of(project)
    if (folder / store.FILE).is_file():
        with store.lists(folder) as db:
            count = sum(o.count for o in store.contents(db)
                        if o.supplier.casefold() == supplier.casefold() and kind in (None, o.kind))
            blocks = store.blocks_of(db, supplier=supplier, kind=kind)
            if blocks:
                setter_aside(folder)(db, blocks)
                with database.writing(db):
                    store.drop_blocks(db, blocks)
                    store.forget_maps(db, supplier)
                return count
    of_kind = f" of kind {kind}" if kind else ""
    raise BadInput(f"No list{of_kind} of '{supplier}' is kept in {folder}. `layshaft catalogue lists` names them.")
