"""Keys of the machine file in words: alone, inside sentences and pages, and back from words to the key."""

from pathlib import Path

import pytest

from layshaft.faces.pages.keys import key_meant, keys_in_words, page_in_words
from layshaft.faces.pages.words import part_words
from layshaft.machine.reader import read
from layshaft.trace.errors import BadInput

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def machine():
    return read(ROOT / "examples" / "harbour-light" / "machine.yaml")


@pytest.mark.parametrize(("key", "words"), [
    ("stages.lens chain", "lens chain"),
    ("stages.lens chain.teeth[0]", "lens chain, teeth 1"),
    ("drives.crank.worst push", "crank, worst push"),
    ("shafts.wind", "shaft wind"),
    ("shafts.wind.seats.ratchet", "wind, ratchet"),
    ("shafts.wind.seats.ratchet.at", "wind, ratchet: at"),
    ("shafts.main.sections[1][0]", "shaft main, section 2 diameter"),
    ("shafts.main.at[2]", "shaft main, at z"),
    ("shafts.lay.seats.wheel.hub.roughness[1]", "lay, wheel: hub roughness bore"),
    ("stages.mill chain.idlers.jockey.teeth", "mill chain, idler jockey: teeth"),
    ("modules.winder.size[0]", "module winder, size x"),
    ("partings.winder - lantern.floor", "parting winder - lantern, floor"),
    ("parts.jaw 35.offset", "listing jaw 35, offset"),
    ("wants.start", "wanted: start"),
    ("venue.coldest", "venue, coldest"),
    ("gravity", "gravity"),
])
def test_a_key_is_said_in_words(key, words):
    assert part_words(key) == words


@pytest.mark.parametrize(("text", "words"), [
    ("the room that stages.ratchet takes is not known", "the room that ratchet takes is not known"),
    ("(stages.winding chain.take up: not given)", "(winding chain, take up: not given)"),
    ("stages.fan gears 1.teeth[1], line 269: decided", "fan gears 1, teeth 2, line 269: decided"),
    ("set transit.shock.", "set transit, shock."),
    ("shafts.bell lay and shafts.bell", "shaft bell lay and shaft bell"),
    ("there is no 'stages.long gone.teeth[0]'", "there is no long gone, teeth 1"),
    ("write `stages.lens chain.teeth`", "write `stages.lens chain.teeth`"),
    ("it has three stages. Two of them turn", "it has three stages. Two of them turn"),
    ("set stages.gone.teeth[0]", "set gone, teeth 1"),
])
def test_keys_in_a_sentence(text, words, machine):
    assert page_in_words(f"<p>{text}</p>", machine) == f"<p>{words}</p>"


@pytest.mark.parametrize("text", [
    "read from parts.csv and springs.xlsx", "there is no &#39;parts.csv&#39;", "there is no 'loads.v2.json'",
    "it runs.Then it stops", "see https://example.org/shafts.wind, ask me@loads.example", "/home/me/stages.ratchet",
    "of 3 shafts.", "it runs...",
])
def test_files_addresses_and_prose_are_no_keys(text, machine):
    assert page_in_words(f"<p>{text}</p>", machine) == f"<p>{text}</p>"
    assert page_in_words(f"<p>{text}</p>") == f"<p>{text}</p>"


def test_what_stands_behind_code_is_said_in_words(machine):
    page = "<p>Not <code>stages.ratchet</code> but stages.ratchet</p><pre>a\nstages.ratchet</pre> stages.ratchet"
    assert page_in_words(page, machine) == (
        "<p>Not <code>stages.ratchet</code> but ratchet</p><pre>a\nstages.ratchet</pre> ratchet")
    script = '<script>if (a<b) c("stages.ratchet")</script><textarea\n rows="2">stages.ratchet</textarea> stages.ratchet'
    assert page_in_words(script, machine) == script.removesuffix("stages.ratchet") + "ratchet"


def test_a_page_is_said_in_words_where_it_is_read(machine):
    page = ('<p title="x"><a href="/part?path=stages.ratchet" aria-label="Open stages.ratchet">stages.ratchet</a> '
            '<code>stages.ratchet</code><input value="stages.ratchet"><option>stages.ratchet</option>'
            '<option value="stages.ratchet">stages.ratchet</option></p>')
    assert page_in_words(page, machine) == (
        '<p title="x"><a href="/part?path=stages.ratchet" aria-label="Open ratchet">ratchet</a> '
        '<code>stages.ratchet</code><input value="stages.ratchet"><option>stages.ratchet</option>'
        '<option value="stages.ratchet">ratchet</option></p>')


def test_every_given_has_words_of_its_own_that_lead_back(machine):
    words = keys_in_words(machine)
    assert len(set(words.values())) == len(words) > 900
    assert all(key_meant(machine, said) == key for key, said in list(words.items())[::7])


def test_some_of_the_words_will_do(machine):
    assert key_meant(machine, "worst push") == "drives.crank.worst push"
    assert key_meant(machine, "stages.lens chain.chain") == "stages.lens chain.chain"
    assert key_meant(machine, "nothing like it") == "nothing like it"
    with pytest.raises(BadInput, match=r"'teeth' fits 15 givens: weight, teeth; .* and 9 more\. Say which\."):
        key_meant(machine, "teeth")
