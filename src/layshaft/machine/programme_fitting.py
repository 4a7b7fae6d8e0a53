"""What must fit in a programme once every name is known: acts that begin once, cranks that wind, brakes that brake."""

from __future__ import annotations

from layshaft.machine import paths
from layshaft.machine.errors import Problem
from layshaft.machine.kinds import Act, Brake, Braking, Crank, WindingBout
from layshaft.machine.model import Machine
from layshaft.machine.schema import Mark, Thing
from layshaft.machine.sentences import programme as say


def check(machine: Machine, problems: list[Problem]) -> None:
    """Everything in the programme that does not fit, added to `problems`."""
    for act in machine.programme.acts.values():
        _act(machine, act, problems)
    for bout in machine.programme.winding.values():
        _bout(machine, bout, problems)
    for braking in machine.programme.brakes.values():
        _braking(machine, braking, problems)


def _act(machine: Machine, act: Act, problems: list[Problem]) -> None:
    if act.at.known == act.after.known:
        problems.append(Problem(act.mark, say.begins_once(act.path)))
    elif act.after.known != bool(act.turns_of):
        problems.append(Problem(act.mark, say.turns_of_what(act.path)))
    for i, name in enumerate(act.without):
        if isinstance(machine.loads[name], Brake):
            problems.append(Problem(_at(machine, f"{act.path}.without[{i}]", act),
                                    say.brakes_are_off(f"{act.path}.without", name)))


def _bout(machine: Machine, bout: WindingBout, problems: list[Problem]) -> None:
    if not isinstance(machine.drives[bout.crank], Crank):
        problems.append(Problem(_at(machine, f"{bout.path}.crank", bout),
                                say.cannot_be_wound_with(f"{bout.path}.crank", bout.crank)))


def _braking(machine: Machine, braking: Braking, problems: list[Problem]) -> None:
    if not isinstance(machine.loads[braking.brake], Brake):
        problems.append(Problem(_at(machine, f"{braking.path}.brake", braking),
                                say.no_brake(f"{braking.path}.brake", braking.brake)))


def _at(machine: Machine, path: str, thing: Thing) -> Mark:
    steps = paths.split(path)
    node = None if steps is None else paths.in_tree(machine.document, steps)
    return thing.mark if node is None else node.mark
