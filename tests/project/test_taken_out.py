"""Lists that are taken out or replaced, and the way back. All lists here are invented."""

import pytest

from layshaft.listings.imports.importing import Asked
from layshaft.project import catalogue, taken_out
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    return tmp_path


def bring(folder, *prices, name="list.csv", kind="bearing"):
    place = folder / name
    rows = "".join(f"K{i};25;{price}\n" for i, price in enumerate(prices))
    place.write_text("Part no;Bore [mm];Price [EUR]\n" + rows, encoding="utf-8")
    return catalogue.import_file(place, folder, Asked(supplier="Muster", kind=kind))[0]


def prices(folder, kind="bearing"):
    return [o.price for o in catalogue.search(kind, {}, {}, folder, imported_only=True)[1]]


def test_what_is_taken_out_comes_back_as_it_was(folder):
    bring(folder, 5, 6)
    bring(folder, 9, kind="coupling")
    before, standing = catalogue.search("bearing", {}, {}, folder, imported_only=True), catalogue.standing(folder)
    assert catalogue.forget("muster", "bearing", folder) == 2
    assert not prices(folder) and prices(folder, "coupling") == [9] and catalogue.standing(folder) != standing
    assert [(one.kind, one.count) for _, one in taken_out.taken_out(folder)] == [("bearing", 2)]
    taken_out.put_back(folder, "Muster")
    assert catalogue.search("bearing", {}, {}, folder, imported_only=True) == before
    assert set(catalogue.standing(folder)) == set(standing)
    assert not taken_out.taken_out(folder)
    with store.lists(folder) as db:
        assert store.remembered_map(db, "Muster", "Part no|Bore [mm]|Price [EUR]")


def test_a_list_that_took_the_place_of_another_makes_way_for_it_again(folder):
    bring(folder, 5)
    bring(folder, 7)
    for now in (5, 7, 5):
        taken_out.put_back(folder, "Muster", "bearing")
        assert prices(folder) == [now]
        assert len(taken_out.taken_out(folder)) == 1


def test_only_the_last_few_are_kept_and_a_refused_list_sets_nothing_aside(folder):
    for price in range(1, taken_out.MOST_ASIDE + 4):
        bring(folder, price)
    there = taken_out.taken_out(folder)
    assert len(there) == taken_out.MOST_ASIDE
    bring(folder, "much")
    assert taken_out.taken_out(folder) == there
    taken_out.put_back(folder, "Muster", number=there[-1][1].number)
    assert prices(folder) == [3]


def test_a_kill_after_setting_aside_shows_the_list_once(folder):
    bring(folder, 5)
    with store.lists(folder) as db:  # the copy is finished, and nothing was taken out yet
        taken_out.setter_aside(folder)(db, store.blocks_of(db))
    assert prices(folder) == [5] and not taken_out.taken_out(folder)
    catalogue.forget("Muster", None, folder)
    assert len(taken_out.taken_out(folder)) == 1


def test_nothing_to_put_back_is_a_sentence(folder):
    with pytest.raises(BadInput, match="was taken out of"):
        taken_out.put_back(folder, "Nobody")
