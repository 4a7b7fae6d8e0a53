"""A copy of one of every kind there is goes into the file: what the page writes itself, it can keep."""

from pathlib import Path

import pytest

from layshaft.machine.shaping import copy, things
from layshaft.project import keeping

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/machine.yaml"))


def one_of_each():
    """The first thing of every kind, each in the example it comes first in."""
    seen = {}
    for place in EXAMPLES:
        for thing in things(keeping.opened(place).machine):
            seen.setdefault((thing.path.split(".")[0], type(thing).__name__, getattr(thing, "to", "") == "frame"),
                            (place, thing.path))
    return list(seen.values())


@pytest.mark.parametrize("place", EXAMPLES, ids=lambda p: p.parent.name)
def test_a_copy_of_one_of_every_kind_can_be_kept(place):
    base = keeping.opened(place)
    for where, path in ONE_OF_EACH:
        if where != place or ".idlers." in path:  # a strand is laid out with one idler at most
            continue
        after = keeping.changed(base, copy(base.machine, path, "copied thing"), "draft")
        head, _, _ = path.rpartition(".")
        assert any(t.path == f"{head}.copied thing" for t in things(after.machine))
        assert all(line in after.text.splitlines() for line in base.text.splitlines() if line.strip().startswith("#"))


ONE_OF_EACH = one_of_each()
