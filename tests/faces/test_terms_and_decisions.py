"""Trade terms and decisions side by side on the command line."""

import pytest

from layshaft.faces.formulary import explain, listing
from layshaft.faces.terms import LANGUAGES, terms, terms_text
from layshaft.listings.tables import table
from layshaft.trace.errors import BadInput
from layshaft.trace.registry import load_choices


def test_a_word_of_any_language_finds_its_row():
    assert {terms(w)[0].name for w in ("Passfeder", "clavette parallèle", "key (parallel)")} == {"key (parallel)"}
    assert "Zahnriemen" in terms_text(terms("synchronous"))


def test_a_word_that_is_not_there_is_refused_in_one_sentence():
    with pytest.raises(BadInput, match="'flugelhorn' is not among the trade terms"):
        terms("flugelhorn")


def test_every_term_has_all_languages_and_stands_once():
    rows = table("trade_terms").rows
    assert [r.name for r in rows for c in LANGUAGES if not r.text(c)] == []
    assert len({r.name for r in rows}) == len(rows)


@pytest.mark.parametrize("title", list(load_choices()))
def test_a_decision_is_explained_with_its_numbers(title):
    text = explain(title)
    decision = load_choices()[title]
    assert title in listing() and all(way.name in text and way.words.split()[0] in text for way in decision.ways)
    assert len(decision.ways) >= 2 and all(len(way.figures) >= 3 for way in decision.ways)
    assert max(map(len, text.splitlines())) <= 140
