"""What the last run of a machine said, kept beside its file and used for as long as the machine is the same.

One small file a state of the machine, in `.layshaft/`, named by a digest of everything the run was reckoned
from. It is written whole; one that is gone, torn or of another state is as good as none, and says so.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any, TypeVar

from layshaft import __version__
from layshaft.machine.document import ListNode, MapNode, Node
from layshaft.machine.model import Machine
from layshaft.project.files import write_whole
from layshaft.project.keeping import FOLDER
from layshaft.train.moments import Moment
from layshaft.train.motion.figures import EARLIER_STATE, UNSEEN, Asked, Figures, RunSeen, Timed

FORM = 2
"""Grows when a record says something else than before."""

MOST_RECORDS = 20
"""States of a machine whose runs are kept, with its options; the oldest go first."""

SAYS_NOTHING = frozenset({"note", "about", "id", "options"})
"""Keys no run is reckoned from."""

Part = TypeVar("Part")


def keep_run(machine: Machine, figures: Figures) -> Path | None:
    """Keep what a run said; None for a machine that stands in no file. Raises `OSError`."""
    if machine.file is None:
        return None
    folder = machine.file.resolve().parent / FOLDER
    folder.mkdir(exist_ok=True)
    place = folder / _name(machine, state_of(machine))
    write_whole(place, json.dumps({"form": FORM, "figures": asdict(figures)}))
    for old in sorted(_records(machine), key=_written)[:-MOST_RECORDS]:
        old.unlink(missing_ok=True)
    return place


def kept_run(machine: Machine) -> RunSeen:
    """What is kept of the run of the machine as it stands, or why there is nothing."""
    if machine.file is None:
        return UNSEEN
    records = _records(machine)
    place = next((path for path in records if path.name == _name(machine, state_of(machine))), None)
    figures = _read(place) if place is not None else None
    if figures is not None:
        return RunSeen(figures)
    return RunSeen(None, EARLIER_STATE) if any(path != place for path in records) else UNSEEN


def still_wanted(machine: Machine) -> None:
    """Let the record of a machine not be among the oldest: trials on a draft push none out that the file stands on."""
    if machine.file is not None:
        with suppress(OSError):
            (machine.file.resolve().parent / FOLDER / _name(machine, state_of(machine))).touch()


def state_of(machine: Machine) -> str:
    """A digest of what the machine is reckoned from, and by which version; words about it do not count."""
    lines = (f"{path} = {text}" for path, text in _leaves(machine.document, ""))
    return hashlib.sha256("\n".join([__version__, *lines]).encode("utf-8")).hexdigest()[:32]


def _leaves(node: Node, path: str) -> Iterator[tuple[str, str]]:
    if isinstance(node, MapNode):
        for entry in node.entries:
            if entry.key not in SAYS_NOTHING:
                yield from _leaves(entry.value, f"{path}.{json.dumps(entry.key)}")
    elif isinstance(node, ListNode):
        yield path, f"{len(node.items)} items"
        for i, item in enumerate(node.items):
            yield from _leaves(item, f"{path}[{i}]")
    else:
        yield path, json.dumps(node.text)


def _name(machine: Machine, state: str) -> str:
    assert machine.file is not None
    return f"{machine.file.resolve().name}.run.{state}.json"


def _records(machine: Machine) -> list[Path]:
    assert machine.file is not None
    place = machine.file.resolve()
    return list((place.parent / FOLDER).glob(f"{place.name}.run.{'[0-9a-f]' * 32}.json"))


def _written(record: Path) -> float:
    """When it was written; long ago where another process has just taken it away."""
    try:
        return record.stat().st_mtime
    except OSError:
        return 0.0


# Reading ------------------------------------------------------------------------------------------


def _read(place: Path) -> Figures | None:
    """The figures of a record; None where it is not one that this version wrote."""
    try:
        data = json.loads(place.read_text(encoding="utf-8"))
        return _figures(data["figures"]) if data["form"] == FORM else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _figures(data: dict[str, Any]) -> Figures:
    timed = {str(name): _part(Timed, entry) for name, entry in data["timed"].items()}
    lasts = {str(name): _number(value) for name, value in data["per_winding"].items()}
    asked = [_part(Asked, entry) for entry in data["asked"]]
    plain = {name: data[name] for name in ("lasted", "time", "settled", "droop", "droop_at")}
    return _part(Figures, plain | {"timed": timed, "per_winding": lasts, "asked": asked,
                                   "moments": [_moment(entry) for entry in data["moments"]]})


def _moment(data: dict[str, Any]) -> Moment:
    names = {key: tuple(_text(name) for name in data[key]) for key in ("off", "landed")}
    pairs = {key: tuple((_text(name), _number(value)) for name, value in data[key]) for key in ("lifting", "pull")}
    torque = {str(name): _number(value) for name, value in data["torque"].items()}
    return _part(Moment, data | names | pairs | {"torque": torque})


def _part(kind: type[Part], data: dict[str, Any]) -> Part:
    """A part of a record, every field of the type it states. Raises `TypeError` or `KeyError`."""
    checks: dict[Any, Callable[[Any], Any]] = {"float": _number, "int": _whole, "str": _text}
    named: Any = fields(kind)  # type: ignore[arg-type]
    return kind(**{f.name: checks[f.type](data[f.name]) if f.type in checks else data[f.name] for f in named})


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError
    return float(value)


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value
