"""methods.lock: a formula that changed has a raised version; none is missing and none left over."""

import importlib.util
from dataclasses import replace
from pathlib import Path

from house_rules.house_rooms import FORMULAS

_SPEC = importlib.util.spec_from_file_location(
    "lock_methods", Path(__file__).parents[2] / "tools" / "lock_methods.py")
lock = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(lock)


def test_the_lock_agrees_with_the_code():
    wrong, stale = lock.differences(lock.locked(), lock.current())
    assert wrong == [], "raise version= of these formulas"
    assert stale == [], "run tools/lock_methods.py"


def test_a_changed_formula_without_a_raised_version_is_refused():
    old = {"a.f": (1, "1234")}
    assert lock.differences(old, {"a.f": (1, "5678")}) == (["a.f changed: raise its version above 1"], [])
    assert lock.differences(old, {"a.f": (2, "5678")}) == ([], ["a.f has version 2, the lock has 1"])
    assert lock.differences(old, {}) == ([], ["a.f is gone"])
    assert lock.differences({}, old) == ([], ["a.f is new"])


def test_words_and_layout_do_not_change_the_hash_but_arithmetic_does():
    one, other = FORMULAS[0], FORMULAS[1]
    assert lock.tree_hash(one) == lock.tree_hash(replace(one, meaning="in other words"))
    assert lock.tree_hash(one) != lock.tree_hash(other)
