"""Lists for the tests: plainly invented, written as suppliers write them."""

from layshaft.listings.imports.importing import Asked, import_list
from layshaft.store import lists as store

TWO_HEADS = """\ufeffPreisliste 2026;;;;;;;
;;;;;;;
Artikel;Bezeichnung;Abmessungen;;;Tragzahlen;;Preis
;;d [mm];D [mm];B [mm];C [kN];C0 [kN];[EUR]

A-1;Rillenkugellager 6205-2RS;25;52;15;14,0;7,85;12,50
A-2;Rillenkugellager 6206;30;62;1,6 cm;19,5;11,2;1.250,00
;;;;;;;
A-3;Rillenkugellager;3/4";52;15;14;;auf Anfrage
"""


def taken(folder, text, name="list.csv", encoding="utf-8", read_on="2026-11-27", **said):
    """What becomes of a list in this folder."""
    place = folder / name
    place.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    with store.lists(folder) as db:
        return import_list(db, place, Asked(**{"supplier": "Muster", **said}), read_on)


def bearings(*rows, head="Part no;Bore [mm];Price [EUR]"):
    """A list of bearings with these rows."""
    return "\n".join([head, *rows, ""])
