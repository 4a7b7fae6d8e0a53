"""What is said about a machine that reads well and cannot turn."""

from __future__ import annotations

from collections.abc import Sequence


def loop_cannot_turn(stages: Sequence[str], product: float) -> str:
    """Ratios that do not close."""
    names = " - ".join(f"'{name}'" for name in stages)
    return (f"the loop {names} cannot turn: once round it, a shaft would have to turn {product:.6g} times "
            "as fast as itself. Change teeth so that the ratios multiply to 1, or take one stage out.")


def speed_decided_twice(path: str, shaft: str, first: str, its_shaft: str) -> str:
    """Two cranks or motors on shafts that turn together."""
    turns = "" if shaft == its_shaft else f" turns with '{its_shaft}' and"
    return (f"{path}: shaft '{shaft}'{turns} has its speed decided by {first} already. "
            "Keep one of the two drives, or take out a stage between their shafts.")
