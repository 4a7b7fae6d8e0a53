"""The room of what can be taken away: every link gives the file it names."""

import re
import time
from html import unescape

import pytest

BEGINS = {"pdf": b"%PDF", "html": b"<!doctype", "csv": b"Verdict", "xlsx": b"PK", "svg": b"<svg", "png": b"\x89PNG"}


def test_links_lead_to_files_of_their_kind(caller):
    page = caller.get("/take-away").text
    links = [unescape(a) for a in re.findall(r'href="(/take-away/[^"]+)"', page)]
    assert len(links) > 50
    firsts = {}
    for link in links:
        kind = re.search(r"\.(\w+)(?:\?|$)", link).group(1)
        firsts.setdefault((link.split("/")[2].partition(".")[0], kind, "view=1" in link), link)
    for (what, kind, view), link in firsts.items():
        answer = caller.get(link)
        assert answer.status_code == 200, link
        start = BEGINS[kind] if what != "table" or kind != "csv" else answer.content[:7]
        assert answer.content.startswith(start), link
        way = "inline" if view else "attachment"
        assert re.fullmatch(rf'{way}; filename="harbour-light-[a-z0-9-]+\.{kind}"', answer.headers["content-disposition"])


def test_the_book_is_made_with_a_bar_and_is_there_afterwards(desk, caller):
    page = caller.post("/take-away/make", data={"kind": "pdf", "short": "1"}, follow_redirects=True).text
    assert "<progress" in page or "book is made" in page
    end = time.monotonic() + 120
    while "book is made, as PDF" not in (page := caller.get("/take-away").text):
        assert time.monotonic() < end, page
        time.sleep(0.2)
    link = unescape(re.search(r'href="(/take-away/book\.pdf[^"]+view=1)"', page)[1])
    begun = time.monotonic()
    assert caller.get(link).content.startswith(b"%PDF")
    assert time.monotonic() - begun < 2
    assert caller.post("/take-away/make", data={"kind": "doc"}).status_code == 303
    caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": "21", "back": "/"})
    assert "was of an earlier state" in caller.get("/take-away").text


def test_a_book_that_is_being_made_is_stopped(caller):
    caller.post("/take-away/make", data={"kind": "pdf"})
    time.sleep(0.5)
    caller.post("/take-away/stop")
    end = time.monotonic() + 60
    while "<progress" in (page := caller.get("/take-away").text):
        assert time.monotonic() < end
        time.sleep(0.2)
    assert "It was stopped before there was anything to show" in page


def test_parts_are_found_by_words_of_their_names(caller):
    page = unescape(caller.get("/take-away", params={"named": "lens bearing"}).text)
    names = re.findall(r'aria-label="PDF of the sheets of ([^"]+)"', page)
    assert names and all("lens" in n for n in names)
    assert "No part with a sheet" in unescape(caller.get("/take-away", params={"named": "no such"}).text)


def test_a_drawing_to_take_has_title_scale_and_day(caller):
    drawing = caller.get("/take-away/drawing/1.svg").text
    words = re.search(r"</style><text[^>]*>([^<]*)</text>", drawing)[1]
    assert re.fullmatch(r"Harbour Light\. Seen against x\. 1 : \d+ when printed 180 mm wide\. \d+ \w+ \d{4}", words)
    assert 'width="180mm"' in drawing


def test_the_draft_is_in_what_is_taken(desk, caller):
    caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": "21", "back": "/"})
    assert b"21" in caller.get("/take-away/table/givens.csv").content
    assert "changed and not kept" in caller.get("/take-away").text


def test_sheets_of_parts_stand_under_what_they_belong_to(caller):
    page = caller.get("/take-away").text
    shafts = page.split("<h3>Shafts, with what sits on them</h3>")[1].split("<h3>")[0]
    groups = [unescape(n) for n in re.findall(r'class="who">([^<]+)<', shafts)]
    assert len(groups) > 5 and groups == sorted(groups)
    wind = shafts.split('class="who">shaft wind<')[1].split("</details>")[0]
    assert "wind, ratchet: key" in wind and "all of it together" in wind
    every = [unescape(n) for n in re.findall(r'aria-label="PDF of the sheets of ([^"]+)"', page)]
    assert len(every) == len(set(every)) > 100


@pytest.mark.parametrize("link", ["/take-away/sheet.pdf?path=nowhere", "/take-away/drawing/99.svg", "/take-away/drawing/0.png",
                                  "/take-away/table/colours.csv", "/take-away/book.doc", "/take-away/table/findings.exe"])
def test_what_is_not_there_is_told(caller, link):
    assert caller.get(link).status_code in (404, 422)
