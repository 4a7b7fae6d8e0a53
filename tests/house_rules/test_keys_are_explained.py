"""Every key of the machine file is explained by more than its own name."""

import re

from layshaft.machine.model import Machine
from layshaft.machine.schema import Thing, keys

SAYS_NOTHING = frozenset(
    ["a", "an", "the", "of", "its", "it", "is", "are", "in", "on", "at", "to", "that", "this", "and", "or", "for", "by",
     "with", "what", "which", "wanted", "allowed", "permitted"])


def kinds():
    waiting, found = [Thing], set()
    while waiting:
        kind = waiting.pop()
        waiting += kind.__subclasses__()
        found.add(kind)
    return found - {Thing}


def words(text):
    return {word.removesuffix("s") for word in re.findall(r"\w+", text.casefold())}


def test_no_key_is_explained_by_its_own_name():
    said = {(name, k.meaning) for kind in kinds() for name, (_, k) in keys(kind).items()}
    assert len(said) > 500
    assert sorted(f"{name}: {meaning}" for name, meaning in said
                  if words(meaning) - SAYS_NOTHING <= words(name)) == []


def test_the_rule_itself_finds_what_says_nothing():
    assert words("connecting link") - SAYS_NOTHING <= words("connecting link")
    assert not words("what closes the chain") - SAYS_NOTHING <= words("connecting link")
    assert Machine in kinds()
