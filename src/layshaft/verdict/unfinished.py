"""What parts still need before all is known of them: the lines of the train, what is not chosen, what a check asks."""

from __future__ import annotations

from layshaft.machine import paths, schema
from layshaft.machine.kinds import Drive, Load, Stage
from layshaft.machine.model import Machine
from layshaft.machine.schema import Thing, keys
from layshaft.verdict.open import open_paths
from layshaft.verdict.rate import Verdict
from layshaft.verdict.reasons import missing_in_a_blow, missing_in_train
from layshaft.verdict.waiting import lines_waited_for

SEAT_STEPS = 4


def unfinished(verdict: Verdict) -> dict[str, list[str]]:
    """By thing (a shaft's seats by themselves) the lines that are missing or open, what the train waits for first.

    Last are those without which a check of a part gives no number.
    """
    solved = verdict.solved
    asked = (path for lines in lines_waited_for(verdict).values() for path in lines)
    found: dict[str, list[str]] = {}
    for path in dict.fromkeys((*missing_in_train(solved), *open_paths(solved), *missing_in_a_blow(solved), *asked)):
        found.setdefault(thing_of(path), []).append(path)
    return found


def thing_of(path: str) -> str:
    """The thing with a page of its own that a path belongs to."""
    words = path.split(".")
    if words[0] == "shafts" and len(words) > SEAT_STEPS and words[2] == "seats":
        return ".".join(words[:SEAT_STEPS])
    return ".".join(words[:2])


def still_needed(verdict: Verdict, path: str) -> list[str]:
    """What a thing still needs: itself, its seats, then the shafts that nothing else sits on, with their seats."""
    every, machine = unfinished(verdict), verdict.solved.machine
    waited = lines_waited_for(verdict)
    found = [*every.get(path, []), *(line for part, lines in waited.items() for line in lines
                                     if part == path or part.startswith(f"{path}."))]
    for seat in _seats(machine, path):
        found += every.get(seat, [])
    for shaft in _own_shafts(machine, path):
        found += every.get(shaft, [])
        found += [line for name, lines in every.items() if name.startswith(f"{shaft}.seats.") for line in lines]
    return list(dict.fromkeys(found))


def _thing(machine: Machine, path: str) -> Thing | None:
    try:
        found = paths.in_model(machine, paths.split(path) or ())
    except paths.NotThereError:
        return None
    return found if isinstance(found, Thing) else None


def _seats(machine: Machine, path: str) -> list[str]:
    """Seats a thing sits on."""
    thing = _thing(machine, path)
    found = []
    for field, k in keys(type(thing)).values() if thing is not None else ():
        if isinstance(k.reads, schema.SeatOn):
            names = getattr(thing, field)
            ends = [names] if isinstance(names, str) else list(names or ())
            found += [f"shafts.{getattr(thing, end)}.seats.{seat}"
                      for end, seat in zip(k.reads.shafts, ends, strict=False)]
    return found


def _own_shafts(machine: Machine, path: str) -> list[str]:
    """The shaft a thing is, or those that it alone sits on."""
    if path.startswith("shafts.") and path.count(".") == 1:
        return [path]
    thing = _thing(machine, path)
    others = {name for one in (*machine.drives.values(), *machine.stages.values(), *machine.loads.values())
              if one is not thing for name in _named(one)}
    return [f"shafts.{name}" for name in _named(thing) if name in machine.shafts and name not in others]


def _named(thing: Thing | None) -> list[str]:
    """Shafts a drive, stage or load sits on."""
    if not isinstance(thing, Drive | Stage | Load):
        return []
    return list(dict.fromkeys(str(getattr(thing, field)) for field, k in keys(type(thing)).values()
                              if isinstance(k.reads, schema.Ref) and k.reads.collection == "shafts"))
