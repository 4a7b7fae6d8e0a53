"""What is said about a programme that reads well and cannot be run."""

from __future__ import annotations

from collections.abc import Sequence


def begins_once(path: str) -> str:
    """An act with two beginnings, or none."""
    return f"{path}: it begins at a time or after so many turns. Write either 'at: 5 min' or 'after: 12', and not both."


def turns_of_what(path: str) -> str:
    """Turns without a shaft, or a shaft without turns."""
    return f"{path}: turns are counted on a shaft. Write 'after: 12' and 'turns of' with the name of a shaft together."


def brakes_are_off(path: str, name: str) -> str:
    """A brake among the loads that are not engaged."""
    return (f"{path}: '{name}' is a brake, and brakes are off until they are put on. "
            "Take it out here, and write under 'brakes' when it is put on.")


def cannot_be_wound_with(path: str, name: str) -> str:
    """A bout on what has no handle."""
    return f"{path}: '{name}' has no handle. Name a crank or pedals."


def no_brake(path: str, name: str) -> str:
    """A stop by what is no brake."""
    return f"{path}: '{name}' is no brake that is put on. Name a disc, block or band brake."


def not_on_the_train(path: str, name: str, root: str) -> str:
    """Something elsewhere in the machine."""
    return f"{path}: '{name}' does not turn with '{root}', the train that is run. Name another, or take it out."


def no_loop(path: str, crank: str) -> str:
    """A crank that winds nothing in a loop."""
    return (f"{path}: '{crank}' winds no endless loop that drives this train, and a weight on a drum does not drive "
            "while it is wound. Take the bout out.")


def brake_is_on(path: str, first: str) -> str:
    """Two brakes at a time."""
    return (f"{path}: {first} is still on then, and one brake at a time can be run. "
            "Give that one a 'lasts', or begin later.")


def push_too_weak(path: str, push: str, needed: str, crank: str) -> str:
    """A person who cannot turn the handle."""
    return f"{path}: {push} does not turn {crank}, whose handle needs {needed}. Write more than that."


def which_train(shafts: Sequence[str]) -> str:
    """Several trains with weights of their own."""
    listed = " and ".join(f"'{shaft}'" for shaft in shafts)
    return f"Weights drive {len(shafts)} trains, with {listed}. Write 'programme: {{shaft: {shafts[0]}}}' to run one."


def nothing_to_run(cranks: Sequence[str], weights: Sequence[str]) -> str:
    """A machine whose speed is decided; weights that hang on it may be meant to drive it."""
    if not cranks:
        return "No weight drives this machine, so there is nothing to run over time."
    crank = " and ".join(cranks)
    hung = " and ".join(weights)
    drives = (f" If {hung} is to drive the machine, hang {hung} in an endless loop, which {crank} winds in the run, or "
              f"take {crank} out of the file for the run." if weights else "")
    return (f"The speed of this machine is decided by {crank}: nothing about it to run over time. "
            f"`layshaft check` shows its torques.{drives}")


def when_does_it_end() -> str:
    """No time, and no end of the drop."""
    return ("Nothing says when the run ends: the drop of the weight is not known. Write 'programme: {time: 45 min}', "
            "or give --time '45 min'.")


def will_not_start(drive: str, has: str, needs: str, short: str) -> str:
    """The losses at rest are more than the drive gives."""
    return (f"It will not start: at rest {drive} gives {has}, and breaking everything away in the worst position of "
            f"every cam takes {needs}: {short} short. Hang on more, or engage less.")


def cannot_govern(fan: str, shaft: str, speed: str, short: str) -> str:
    """A fan that would have to drive."""
    return (f"{fan} cannot hold {shaft} at {speed}: at that speed all else takes more than the drive gives, "
            f"{short} too much at the fan. Hang on more, or govern a lower speed.")


def stuck_in_a_lift(at: str, load: str, asked: str, held: str) -> str:
    """A pulse larger than what is stored."""
    return (f"It stops {at} after the start, in a lift of {load}: the lift takes {asked}, the turning masses held "
            f"{held} when it began, and the drive does not make up the rest. Take a larger flywheel, a faster one, "
            "a longer lift, or more weight.")


def runs_down(at: str) -> str:
    """A machine slower and slower."""
    return (f"It stops {at} after the start: all that is engaged takes more than the drive gives. "
            "Engage less, or hang on more.")


def not_known(what: str) -> str:
    """A number without which nothing can be reckoned."""
    return f"Nothing can be run yet: {what} is not known. `layshaft needs` lists what is open."
