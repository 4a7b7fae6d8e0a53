"""The room of what can be taken away: every link gives the file it names."""

import re
from html import unescape

import pytest


@pytest.fixture
def caller(desk):
    with desk.caller() as one:
        yield one


BEGINS = {"pdf": b"%PDF", "html": b"<!doctype", "csv": b"Verdict", "xlsx": b"PK", "svg": b"<svg", "png": b"\x89PNG"}


def test_links_lead_to_files_of_their_kind(caller):
    page = caller.get("/take-away").text
    links = [unescape(a) for a in re.findall(r'href="(/take-away/[^"]+)"', page)]
    assert len(links) > 50
    firsts = {}
    for link in links:
        kind = re.search(r"\.(\w+)(?:\?|$)", link).group(1)
        firsts.setdefault((link.split("/")[2].partition(".")[0], kind), link)
    for (what, kind), link in firsts.items():
        if (what, kind) == ("book", "pdf"):
            link = "/take-away/book.pdf?short=1"
        answer = caller.get(link)
        assert answer.status_code == 200, link
        start = BEGINS[kind] if what != "table" or kind != "csv" else answer.content[:7]
        assert answer.content.startswith(start), link
        assert re.fullmatch(rf'attachment; filename="harbour-light-[a-z0-9-]+\.{kind}"', answer.headers["content-disposition"])


def test_the_draft_is_in_what_is_taken(desk, caller):
    caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": "21", "back": "/"})
    assert b"21" in caller.get("/take-away/table/givens.csv").content
    assert "changed and not kept" in caller.get("/take-away").text


def test_sheets_of_parts_are_listed_by_name(caller):
    names = [unescape(n).casefold() for n in re.findall(r'aria-label="PDF of the sheets of ([^"]+)"',
                                                         caller.get("/take-away").text)]
    assert len(names) > 20
    assert names == sorted(names)


@pytest.mark.parametrize("link", ["/take-away/sheet.pdf?path=nowhere", "/take-away/drawing/99.svg", "/take-away/drawing/0.png",
                                  "/take-away/table/colours.csv", "/take-away/book.doc", "/take-away/table/findings.exe"])
def test_what_is_not_there_is_told(caller, link):
    assert caller.get(link).status_code in (404, 422)
