"""Nobody but the builder's own window drives the desk: hosts, secret, origin, paths, sizes, headers.

The rules are those web standards set for servers on loopback: the host named in a request is checked against a foreign
name that leads here (RFC 9110, section 7.2, from memory), and writes are asked for their origin (Fetch standard,
"Origin header", and Fetch Metadata, from memory).
"""

import httpx
import pytest

from layshaft.faces.desk.guard import MOST_BYTES

EDIT = {"path": "stages.lens chain.teeth[1]", "value": "40"}


def test_without_the_secret_nothing_is_said(desk):
    for path in ("/", "/moved?seen=0", "/files/desk.css", "/?key=guessed", "/no/such"):
        answer = httpx.get(desk.origin + path, trust_env=False)
        assert answer.status_code == 403
        assert "Harbour" not in answer.text


def test_the_link_lets_in_once_and_leaves_the_address_without_the_secret(desk):
    with httpx.Client(follow_redirects=True, trust_env=False) as caller:
        answer = caller.get(desk.link)
        assert answer.status_code == 200 and "Harbour Light" in answer.text
        assert desk.guard.secret not in str(answer.url) and desk.guard.secret not in answer.text
        cookie = answer.history[0].headers["set-cookie"].lower()
        assert "httponly" in cookie and "samesite=strict" in cookie


def test_a_link_leads_nowhere_else(desk):
    for path in ("//elsewhere.example/", "/\\elsewhere.example/"):
        answer = httpx.get(f"{desk.origin}{path}?key={desk.guard.secret}", trust_env=False)
        target = answer.headers.get("location", "/")
        assert target.startswith("/") and not target.startswith(("//", "/\\"))


@pytest.mark.parametrize("host", ["elsewhere.example", "elsewhere.example:80", "127.0.0.1", "", "localhost"])
def test_a_foreign_name_that_leads_here_is_refused(desk, host):
    with desk.caller(host=host) as caller:
        assert caller.get("/").status_code in (400, 421)


@pytest.mark.parametrize("headers", [
    {"origin": "http://elsewhere.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"},
    {"sec-fetch-site": "same-site"}, {"sec-fetch-site": "none"}, {"origin": "http://127.0.0.1:1"},
])
@pytest.mark.parametrize("path", ["/edit", "/keep", "/drop", "/undo", "/dismiss", "/tour"])
def test_another_site_writes_nothing(desk, path, headers):
    with desk.caller(**headers) as caller:
        assert caller.post(path, data=EDIT).status_code == 403
    assert not desk.draft.state.open


def test_a_write_that_does_not_say_where_it_comes_from_is_refused(desk):
    answer = httpx.post(f"{desk.origin}/edit", data=EDIT, cookies={desk.guard.cookie: desk.guard.secret}, trust_env=False)
    assert answer.status_code == 403
    assert not desk.draft.state.open


def test_the_same_write_from_a_page_of_the_desk_is_made(desk):
    with desk.caller() as caller:
        assert caller.post("/edit", data=EDIT | {"back": "/"}).status_code == 303
    assert [e.text for e in desk.draft.state.edits] == ["stages.lens chain.teeth[1]: 40"]


@pytest.mark.parametrize("back", ["http://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "javascript:x"])
def test_one_is_sent_back_to_pages_of_the_desk_only(desk, back):
    with desk.caller() as caller:
        assert caller.post("/dismiss", data={"back": back}).headers["location"] == "/"


@pytest.mark.parametrize("path", [
    "/files/../app.py", "/files/..%2fapp.py", "/files/%2e%2e/app.py", "/files//etc/passwd", "/files/..\\app.py",
    "/files/.from-lock", "/files/%2Fetc%2Fpasswd",
])
def test_no_file_but_those_of_the_desk_is_handed_out(desk, path):
    with desk.caller() as caller:
        assert caller.get(path).status_code in (404, 405)


def test_what_is_too_long_is_refused_by_its_head_and_by_counting(desk):
    long = b"value=" + b"x" * MOST_BYTES
    kind = {"content-type": "application/x-www-form-urlencoded"}
    with desk.caller() as caller:
        assert caller.post("/edit", content=long, headers=kind).status_code == 413
        pieces = (long[i:i + 65536] for i in range(0, len(long), 65536))
        assert caller.post("/edit", content=pieces, headers=kind).status_code == 413
    assert not desk.draft.state.open


def test_every_answer_forbids_what_the_desk_does_not_use(desk):
    with desk.caller() as caller:
        for path in ("/", "/files/desk.css", "/nowhere"):
            said = caller.get(path).headers
            policy = said["content-security-policy"]
            assert policy.startswith("default-src 'none'") and "unsafe" not in policy
            assert said["x-content-type-options"] == "nosniff" and "frame-ancestors 'none'" in policy


def test_no_page_holds_script_or_style_of_its_own(desk):
    with desk.caller() as caller:
        html = caller.get("/").text
    assert "<style" not in html and " style=" not in html and " onclick" not in html
    assert html.count("<script") == html.count('<script src="/files/')
