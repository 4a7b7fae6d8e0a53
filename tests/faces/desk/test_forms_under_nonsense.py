"""Forms filled with nonsense: one clear sentence, never a fault of the server, the file as it was, the draft alive.

What is posted is built from the schema and from the forms the pages show; the seed is fixed in the short run.
"""

import os
import re
from html import unescape

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from layshaft.machine.additions import additions
from layshaft.machine.reader import read
from layshaft.machine.shaping import things

SOAK = os.environ.get("HYPOTHESIS_PROFILE") == "soak"
RUNS = settings(max_examples=2000 if SOAK else 25, deadline=None, derandomize=not SOAK,
                suppress_health_check=list(HealthCheck))
NONSENSE = ["", " ", "NaN", "nan mm", "inf", "-inf N", "-5 mm", "0", "0 mm", "10^400", "1e400 mm", "1e-400 m", "9" * 400,
            "12,7 mm", "5 bananas", "3 mm mm", "<b>bold</b>", "\"><script>alert(1)</script>", "{{ 7 * 7 }}", "' OR 1=1 --",
            "[", "]", "[[", "[]", "{}", "{a: b", "[1 mm, 2 mm]", "[[1 mm, 2 mm], [3]]", "open", "same as", "same as nowhere",
            "same as shafts.main.fillet", "5 mm ± 1 mm", "5 mm ± -1 mm", "# comment", "a: b", "- a", "&a 3", "*a", "!x 3",
            "yes", "no", "null", "~", "ß", "車輪", "\u202e", "\x00", "a\nb", "\\", "..", "../../etc/passwd", "a" * 5000,
            "about 700 mm", "between", "1 mm between [2 mm, 3 mm]", "main", "frame", "none", "1/0 in", "1/2 in", "-0", "x"]
words = st.one_of(st.sampled_from(NONSENSE), st.text(max_size=40))


@pytest.fixture(scope="module")
def machine(request):
    from pathlib import Path
    return read(Path(__file__).parents[3] / "examples" / "harbour-light")


@pytest.fixture
def asked(desk):
    """Post a form, and see that the answer is what it must be whatever was written into it."""
    before = desk.place.read_bytes()
    with desk.caller() as caller:
        def ask(where, data):
            answer = caller.post(where, data=data)
            assert answer.status_code in (200, 303, 400, 413, 422), (where, data, answer.status_code)
            assert desk.place.read_bytes() == before, (where, data)
            if answer.status_code == 303:
                page = caller.get(answer.headers["location"])
                assert page.status_code in (200, 404), (where, data, page.status_code)
                text = unescape(page.text)
                assert "<script>alert(1)</script>" not in page.text
                if "Nothing was changed." in text:
                    said = re.search(r"<b>Nothing was changed.</b> (.*?)</p>", page.text, re.S)
                    told = unescape(re.sub(r"<[^>]+>", "", said[1])).strip()
                    assert 8 < len(told) < 900 and "Traceback" not in told and "Error(" not in told, told
            assert desk.draft.state.verdict is not None and not desk.draft.state.trouble
            if len(desk.draft.state.edits) > 5:
                desk.draft.drop()
        yield ask


def path_of(machine):
    leaves = [leaf.path for leaf in machine.leaves]
    named = [t.path for t in things(machine)]
    return st.one_of(st.sampled_from(leaves), st.sampled_from(named), words,
                     st.sampled_from(leaves).map(lambda p: p.rpartition(".")[0] + ".note"))


def test_givens(asked, machine):
    @RUNS
    @example("shafts.main.sections", "[", "", "", "", "")
    @example("gravity", "10^400 m/s2", "", "", "decided", "")
    @example("name", "\x00", "", "", "", "")
    @given(path_of(machine), words, words, words, st.one_of(st.sampled_from(["", "measured", "assumed"]), words), words)
    def run(path, value, low, high, source, note):
        asked("/edit", {"path": path, "value": value, "low": low, "high": high, "source": source, "note": note,
                        "back": "/part?path=shafts.main"})
    run()


def test_additions(asked, machine):
    offered = additions(machine)

    @RUNS
    @given(st.sampled_from(offered), words, st.data())
    def run(what, name, data):
        form = {"add": f"{what.collection}:{what.kind}", "name": name, "back": "/shape"}
        for q in what.questions:
            form[q.key] = data.draw(st.one_of(st.just(q.text), words, st.sampled_from(q.choices or (q.text,))))
        asked("/shape/add", form)
    run()


def test_names_copies_and_removals(asked, machine):
    @RUNS
    @given(st.sampled_from(["/shape/rename", "/shape/copy", "/shape/remove"]), path_of(machine), words)
    def run(where, path, name):
        asked(where, {"path": path, "name": name, "back": "/shape"})
    run()


def test_margins_and_options(asked, machine):
    names = st.one_of(st.sampled_from(list(machine.options)), words)

    @RUNS
    @given(st.sampled_from(["margin", "options/rename", "options/remove", "options/without", "needs"]), names, words, words)
    def run(where, name, value, more):
        mode = name if name not in machine.options else "fatigue"
        asked(f"/shape/{where}", {"mode": mode, "value": value, "note": more, "source": "decided", "name": name,
                                  "to": value, "word": more, "path": value, "of": name, "back": "/shape/options"} |
              ({"stages.lens chain.line": value, "stages.lens chain.teeth[0]": more} if where == "needs" else {}))
    run()
