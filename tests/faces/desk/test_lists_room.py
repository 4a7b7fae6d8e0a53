"""Suppliers' lists on the desk: chosen, looked through, taken in, offered, taken out and put back. All are invented."""

import datetime
import re
import shutil
from html import unescape
from pathlib import Path

import openpyxl
import pytest

from faces.pages_help import ROOT
from layshaft.bill.parts import parts_list
from layshaft.faces.desk.below import lists as page_of
from layshaft.faces.desk.drafting import lists_in as coming
from layshaft.faces.pages.day import day_words
from layshaft.project import catalogue, lists_in
from layshaft.project.keeping import FOLDER

LISTS = ROOT / "examples" / "harbour-light" / "lists"
HEAD = "Part no;Bore [mm];Price [EUR];Lead time [days]\n"
BEARINGS = HEAD + "K1 6204;20;4,50;3\nK2 6205;25;5,50;5\n"


@pytest.fixture
def mill(serve, tmp_path, monkeypatch):
    """The cider mill with a bearing, a key and a chain still to be found, and no list anywhere."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    folder = tmp_path / "mill"
    shutil.copytree(ROOT / "examples" / "cider-mill", folder, ignore=shutil.ignore_patterns(".layshaft"))
    place = folder / "machine.yaml"
    text = place.read_text(encoding="utf-8")
    for was, now in (('right bearing: {at: 220 mm, bearing: "6205"', "right bearing: {at: 220 mm, bearing: open"),
                     ("chain: 08B-1", "chain: open")):
        assert was in text
        text = text.replace(was, now, 1)
    place.write_text(text, encoding="utf-8")
    served = serve(folder)
    with served.caller(referer=f"{served.origin}/needs") as caller:
        caller.follow_redirects = True
        yield Window(served, caller)


class Window:
    """Somebody at the desk."""

    def __init__(self, desk, caller):
        self.desk, self.caller = desk, caller
        self.folder = desk.place.parent

    def read(self, data, name="bearings.csv", supplier="Muster & Co."):
        """A file is chosen; where its page is, and what it says."""
        self.answer = self.caller.post("/needs/list", files={"file": (name, data)}, data={"supplier": supplier})
        return self.answer.url.path, words(self.answer)

    def say(self, page, what="look", **said):
        answer = self.caller.post(f"{page}/{what}", data={"supplier": "Muster & Co."} | said)
        return words(answer)

    def bring(self, data, **more):
        page, _ = self.read(data, **more)
        said = self.say(page, "take", **({"supplier": more["supplier"]} if "supplier" in more else {}))
        assert "The list is in" in said
        return said

    def searched(self, ask):
        """What the best that can be bought is, once it is found."""
        answer = self.caller.post("/options/choose", data=ask)
        while 'id="job-line"' in answer.text:
            answer = self.caller.get("/options")
        self.html = answer.text
        return words(answer)

    def needs(self, **asked):
        return words(self.caller.get("/needs", params=asked))


def words(answer):
    assert answer.status_code == 200
    bare = re.sub(r"<option.*?</option>|<[^>]+>", " ", answer.text)
    return re.sub(r" (?=[:;.,])", "", re.sub(r"\s+", " ", unescape(bare)))


def without(said):
    """Kinds of which the room says that no list is there."""
    return re.search(r"No supplier's list is here yet of: (.*?)\.", said)[1].split(", ")


def test_a_list_is_looked_through_and_taken_in_as_the_command_does_it(mill, tmp_path):
    assert "bearing" in without(mill.needs()) and "no supplier yet, take in a list" in mill.needs()
    page, said = mill.read((LISTS / "lagerhaus-erfunden.csv").read_bytes(), "lagerhaus-erfunden.csv", "Lagerhaus Erfunden")
    assert "6 rows understood" in said and "Nothing of it is among the lists yet" in said
    assert "bore 15 mm 17 mm 20 mm 25 mm 30 mm 25 mm" in said and "lead time in stock in stock 14 days 14 days" in said
    assert "price 3.10 EUR 3.40 EUR 4.20 EUR 4.60 EUR" in said and "Take all 6 rows in" in said
    assert not catalogue.contents(mill.folder)  # reading writes nothing
    number = mill.desk.draft.state.number
    assert "6 offers from lagerhaus-erfunden.csv" in mill.say(page, "take", supplier="Lagerhaus Erfunden")
    assert mill.desk.draft.state.number > number  # every window looks again
    other = tmp_path / "by command"
    other.mkdir()
    catalogue.import_file(LISTS / "lagerhaus-erfunden.csv", other, page_of.Asked(supplier="Lagerhaus Erfunden"))
    here, there = (catalogue.search("bearing", {}, {}, f, imported_only=True)[1] for f in (mill.folder, other))
    assert here == there and "read 20" in str(here[0].source)
    now = mill.needs()
    assert "LE-6205 Lagerhaus Erfunden" in now and "4.60 EUR" in now
    assert "bearing" not in without(now) and "roller chain" in without(now)
    assert "Lagerhaus Erfunden lagerhaus-erfunden.csv bearing 6" in now and "pedal, right bearing" in now.partition("bearing 6")[2]
    assert not list((mill.folder / FOLDER / lists_in.COMING).iterdir())


def test_a_list_can_be_taken_out_and_put_back(mill):
    mill.bring(BEARINGS)
    mill.caller.post("/needs/lists/take-out", data={"supplier": "Muster & Co.", "kind": "bearing"})
    now = mill.needs()
    assert "K2 6205 Muster" not in now and "1 list was taken out or replaced" in now
    form = re.search(r'action="/needs/lists/put-back".*?name="number" value="(\d+)"', mill.caller.get("/needs").text, re.S)
    mill.caller.post("/needs/lists/put-back", data={"supplier": "Muster & Co.", "kind": "bearing", "number": form[1]})
    assert "K2 6205 Muster & Co." in mill.needs() and "taken out or replaced" not in mill.needs()
    again = mill.caller.post("/needs/lists/put-back", data={"supplier": "Muster & Co.", "kind": "bearing", "number": form[1]})
    assert "so there is none to put back" in words(again)


def test_a_later_list_tells_what_it_changes(mill):
    mill.bring(BEARINGS)
    _, said = mill.read(BEARINGS.replace("5,50", "6,60").replace("K1 6204", "K3 6204"))
    assert "new: 1, gone: 1" in said and "K2 6205: price 5.50 becomes 6.60 (+20.0 %)" in said


def test_columns_and_units_are_edited_and_read_again(mill):
    page, said = mill.read("Part no;Ding;Price\nK1;1;4\nK2;2;5\n", "list.csv")
    assert "What kind of parts list.csv lists is not plain" in said and "has prices without a currency" in said
    assert "--" not in said.partition("A list to take in")[2].partition("The desk has stopped")[0]
    rows = {"column": ["Part no", "Ding", "Price"], "kind": "bearing", "money": "eur"}
    said = mill.say(page, means=["part number", "bore", "price"], unit=["", "in", ""], **rows)
    assert "25.4 mm" in said and "4.00 EUR" in said and "as you said" in said
    said = mill.say(page, means=["part number", "bore", "price"], unit=["", "kg", ""], **rows)
    assert "'kg' is not a unit of length (bore)" in said and "as it was read before" in said and "25.4 mm" in said
    said = mill.say(page, "take", means=["part number", "width", "price"], unit=["", "in", ""], **rows)
    assert "Nothing was changed. What is said of the list was changed since it was read" in said
    assert not catalogue.contents(mill.folder)
    said = mill.say(page, "take", means=["part number", "width", "price"], unit=["", "in", ""], **rows)
    assert "2 offers from list.csv" in said


def test_rows_that_are_refused_are_told_and_left_out(mill):
    page, said = mill.read(BEARINGS + "K3;-3;1;1\nK2 6205;25;1;1\nK5;much;1,1;1\n")
    assert "3 rows are not taken" in said and "row 4: bore is -3; it must be more than 0" in said
    assert "row 5: part number K2 6205 stands in row 3 already" in said and "row 6: bore: 'much' is not a number" in said
    assert "Take 2 rows in, leave 3 out" in said
    assert "2 offers from bearings.csv; 3 rows were left out" in mill.say(page, "take")


def book(rows):
    import io

    out, made = io.BytesIO(), openpyxl.Workbook()
    for row in rows:
        made.active.append(row)
    made.save(out)
    return out.getvalue()


NO_LISTS = [
    ("x.csv", b"", "x.csv is empty"), ("x.csv", b"\0\1\2\3" * 40, "this is no text, or is damaged"),
    ("x.csv", b"%PDF-1.7", "x.csv is a PDF, not a list"), ("x.csv", b"one\ntwo\n", "no semicolon, tab, comma or bar"),
    ("x.csv", b"a;b\n1;2\n", "x.csv has no row that heads a list"),
    ("x.xlsx", b"a;b\n1;2\n", "x.xlsx cannot be read as a workbook"),
    ("x.csv", b'Part no;Bore [mm]\nK1;"20\nK2;25\n', "a quote is not closed"),
    ("../../../machine.yaml", b"", "machine.yaml is empty"), ("C:\\lists\\\u202ex.csv", b"", "x.csv is empty"),
]


def test_what_is_no_list_is_one_sentence(mill):
    there = {p.name for p in mill.folder.iterdir()} | {FOLDER}
    for name, data, why in NO_LISTS:
        said = mill.read(data, name)[1]
        assert why in said and str(mill.folder) not in said
    assert {p.name for p in mill.folder.iterdir()} == there


def test_lists_as_suppliers_write_them_are_read(mill):
    assert "2 rows understood" in mill.read(("\ufeff" + BEARINGS).encode("utf-16"))[1]
    two = ";Maße;;Preis\nArtikel;d [mm];d [mm];[EUR]\nK1;20;30;1.250,00\nK2;25;35;12,50\n"
    said = mill.read(two.encode("cp1252"), "kugellager.csv")[1]
    assert "says bore too; column B counts" in said and "1250.00 EUR" in said
    said = mill.read(book([["Part no", "Bore [mm]", "Price [EUR]"], ["K1 6204", 20, "=B2*2"], ["K2", 25, 3]]), "bearings.xlsx")[1]
    assert "row 2: price: '=B2*2' is a formula; write its value" in said and "Take 1 row in, leave 1 out" in said


def test_nobody_else_sends_a_list_and_a_desk_that_only_reads_takes_none(mill, serve, copy):
    file = {"file": ("bearings.csv", BEARINGS)}
    for headers in ({"origin": "http://elsewhere.example"}, {"sec-fetch-site": "cross-site"}):
        with mill.desk.caller(**headers) as caller:
            assert caller.post("/needs/list", files=file).status_code == 403
    reader = serve(copy("cider-mill"), "somebody else has it open.")
    with reader.caller() as caller:
        assert "This desk only reads" in words(caller.post("/needs/list", files=file, follow_redirects=True))
        assert "Take in a list" not in caller.get("/needs").text
    assert "No file was chosen" in words(mill.caller.post("/needs/list", data={"supplier": "x"}))
    assert "waits no more" in unescape(mill.caller.get("/needs/list/AAAAAAAAAAAA").text)


def test_what_is_too_long_is_refused_in_words(mill, monkeypatch):
    assert mill.desk.guard.longer == {"/needs/list": page_of.MOST_SENT} and lists_in.MOST_BYTES == 32_000_000
    mill.desk.guard.longer["/needs/list"] = 5_000_000
    answer = mill.caller.post("/needs/list", files={"file": ("x.csv", b"x" * 5_000_001)})
    assert answer.status_code == 413 and "More than 5 MB was sent" in answer.text
    monkeypatch.setattr(lists_in, "MOST_BYTES", 1_000_000)
    said = mill.read(b"x" * 2_000_000, "x.csv")[1]
    assert "x.csv is 2 MB; the desk takes 1 MB. A longer list is taken in with layshaft catalogue import" in said.replace("`", "")
    monkeypatch.setattr(coming, "MOST_ROWS", 300)
    many = HEAD + "".join(f"K{i};20;5;1\n" for i in range(300))
    assert "more than 300 rows. Cut it in two" in finished(mill, mill.read(many))


def finished(mill, read):
    """What a page says once its work is over."""
    page, said = read
    while "Stop" in said:
        said = words(mill.caller.get(page))
    return said


def test_links_that_lead_out_of_the_folder_are_not_written_through(mill, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    page, _ = mill.read(BEARINGS)
    (mill.folder / "lists.db").symlink_to(tmp_path / "elsewhere" / "lists.db")
    assert "leads to another folder" in mill.say(page, "take")
    assert "leads to another folder" in mill.read(BEARINGS)[1]
    assert not list((tmp_path / "elsewhere").iterdir())


def test_only_a_few_files_wait_and_what_an_earlier_desk_left_goes(mill):
    home = mill.folder / FOLDER / lists_in.COMING
    (home / "AAAAAAAAAAAA").mkdir(parents=True)
    pages = [mill.read(BEARINGS)[0] for _ in range(8)]
    assert len(list(home.iterdir())) == 6 and not (home / "AAAAAAAAAAAA").exists()
    assert mill.caller.get(pages[0]).status_code == 404
    mill.caller.post(f"{pages[-1]}/throw-away")
    assert not (home / Path(pages[-1]).name).exists() and mill.caller.get(pages[-1]).status_code == 404


def test_two_windows_take_the_same_list_once(mill):
    page, _ = mill.read(BEARINGS)
    with mill.desk.caller() as other:
        other.follow_redirects = True
        assert "The list is in" in mill.say(page, "take")
        assert "The list is in" in words(other.post(f"{page}/take", data={"supplier": "Muster & Co."}))
        assert "K2 6205" in words(other.get("/needs"))
    assert len(catalogue.contents(mill.folder)) == 1


def test_what_is_chosen_stands_there_to_order(mill):
    verdict = mill.desk.draft.state.verdict
    line = next(one for one in parts_list(verdict.solved.machine, verdict.solved) if one.size == "6205")
    assert line.quantity > 1 and f"bearing 6205 {line.quantity} no supplier yet" in mill.needs()
    mill.bring(BEARINGS)
    by = datetime.date.today() + datetime.timedelta(days=30)
    last = by - datetime.timedelta(days=5)
    row = f"bearing 6205 {line.quantity} Muster & Co. K2 6205 {line.quantity * 5.5:.2f} EUR order by {day_words(last)}"
    assert row in mill.needs(by=by.isoformat())


def test_what_rests_on_lists_is_asked_anew_when_one_has_come_in(mill):
    """Offers in Needs, answers of a search and machines side by side: none may be of the lists there were before."""
    ask = {"part": "shafts.pedal.seats.right bearing.bearing", "weigh": "price"}
    mill.bring(BEARINGS)
    assert "5.50 EUR" in mill.needs()
    searched = mill.searched(ask)
    assert "K2 6205" in searched and "5.50" in searched
    wanted = re.findall(r'name="wanted" value="(.*?)"', mill.html)
    mill.bring(BEARINGS.replace("5,50", "6,60"))
    assert "6.60 EUR" in mill.needs() and "5.50 EUR" not in mill.needs()
    now = words(mill.caller.get("/options"))
    assert "Since the last search a supplier's list has come in or gone" in now and "5.50" not in now
    late = words(mill.caller.post("/options/trade", data={"wanted": unescape(wanted[0])}))
    assert "or of the suppliers' lists. Search again." in late and not mill.desk.draft.state.open
    assert "6.60" in mill.searched(ask)
    mill.caller.post("/needs/lists/take-out", data={"supplier": "Muster & Co.", "kind": "bearing"})
    assert "6.60 EUR" not in mill.needs() and "Since the last search" in words(mill.caller.get("/options"))
