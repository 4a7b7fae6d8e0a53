"""Edits of a draft, in the order they were made; each is an option, the newest of one path is the one that counts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.machine.paths import NotThereError, in_model, split
from layshaft.machine.schema import Choice, Given

Option = dict[str, Any]


@dataclass(frozen=True)
class Edit:
    """One edit: what it changes as an option, and what it says in words."""

    option: Mapping[str, Any]
    words: str = ""
    number: int = 0

    @property
    def sets(self) -> Mapping[str, Any] | None:
        """What is set, if it does nothing else."""
        return self.option["set"] if set(self.option) == {"set"} else None

    @property
    def text(self) -> str:
        """The edit in one line: its words, or each path with its new value."""
        if self.words:
            return self.words
        told = []
        for word, changes in self.option.items():
            for path in changes:
                value = changes[path] if isinstance(changes, Mapping) else ""
                told.append(f"{'' if word == 'set' else word + ' '}{path}{f': {plain(value)}' if value != '' else ''}")
        return "; ".join(told)


def plain(value: Any) -> str:
    """A value of an option as a line of the file would say it."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{k}: {plain(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(plain(item) for item in value) + "]"
    return str(value)


@dataclass(frozen=True)
class Edits:
    """All edits of a draft. Never changed: every step gives new ones."""

    made: tuple[Edit, ...] = ()
    last: int = 0

    def plus(self, edit: Edit, base: Machine) -> Edits:
        """With one more. An edit of the same paths takes the place of the old one; one that says what the file
        says already takes it away."""
        made = self.made
        if edit.sets is not None:
            made = tuple(e for e in made if e.sets is None or not set(e.sets) <= set(edit.sets))
            if not any(e.sets is None for e in made) and all(_says(base, p, v) for p, v in edit.sets.items()):
                return Edits(made, self.last)
        number = self.last + 1
        return Edits((*made, replace(edit, number=number)), number)

    def none(self) -> Edits:
        """No edits. Numbers go on: a button of an older page must not mean a newer edit."""
        return Edits((), self.last)

    def without(self, number: int) -> Edits:
        """Without one of them."""
        return Edits(tuple(e for e in self.made if e.number != number), self.last)

    def options(self) -> Iterator[Option]:
        """The edits as options to be made one after the other; neighbours that only set are one."""
        sets: Option = {}
        for edit in self.made:
            if edit.sets is not None:
                sets |= edit.sets
                continue
            if sets:
                yield {"set": sets}
                sets = {}
            yield dict(edit.option)
        if sets:
            yield {"set": sets}

    def over(self, base: Machine) -> Machine:
        """The machine with all of them. Raises `MachineErrors`."""
        machine = base
        for option in self.options():
            machine = apply(machine, option, "draft")
        return machine

    def laid_again(self, base: Machine) -> tuple[Edits, list[tuple[Edit, str]]]:
        """Over another text of the file: those that still apply, and those that do not, each with its reason."""
        machine, made, lost = base, [], []
        for edit in self.made:
            try:
                machine = apply(machine, edit.option, "draft")
                made.append(edit)
            except MachineErrors as why:
                lost.append((edit, "; ".join(p.sentence for p in why.problems[:2])))
        return Edits(tuple(made), self.last), lost


def said_at(base: Machine, path: str) -> str:
    """What a machine says at a path, as it is written; a blank where it says nothing, or more than one value."""
    steps = split(path)
    try:
        there = in_model(base, steps) if steps else None
    except NotThereError:
        return ""
    if isinstance(there, Given | Choice) and there.known:
        return (there.written if isinstance(there, Given) else there.name).strip()
    return there if isinstance(there, str) else ""


def _says(base: Machine, path: str, value: Any) -> bool:
    """Whether the file says just that already."""
    return isinstance(value, str) and said_at(base, path) == value.strip() != ""
