"""Whatever is added to, copied in or taken out of a machine, it is solved and rated, or refused in a sentence."""

from pathlib import Path

import pytest

from layshaft.machine import apply, read
from layshaft.machine.additions import additions, option_of_addition
from layshaft.machine.shaping import copy, removal, things
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.needs import needs
from layshaft.verdict.rate import rate

EXAMPLES = Path(__file__).parents[2] / "examples"


def judged(machine, option):
    try:
        made = apply(machine, option)
        verdict = rate(solve(made))
    except BadInput as refused:
        return str(refused)
    assert verdict.findings or not made.shafts
    needs(verdict)
    return ""


@pytest.mark.parametrize("name", ["cider-mill", "fanning-mill"])
def test_every_addition_is_judged(name):
    machine = read(EXAMPLES / name)
    refused = {}
    for one in additions(machine):
        if why := judged(machine, option_of_addition(machine, one, "new thing", {})):
            refused[one.kind] = why
    assert set(refused) <= {"crank", "pedals", "motor"}, refused  # a second one on a shaft whose speed is decided


@pytest.mark.parametrize("name", ["cider-mill", "sack-hoist"])
def test_every_copy_and_removal_is_judged(name):
    machine = read(EXAMPLES / name)
    for thing in things(machine):
        judged(machine, removal(machine, thing.path))
        if ".seats." not in thing.path:
            judged(machine, copy(machine, thing.path, "other thing"))
