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


def idler_overlaps(path: str, shaft: str, apart: str, needed: str) -> str:
    """An idler where a sprocket is."""
    return (f"{path}: its axis stands {apart} from that of shaft '{shaft}', and the two wheels need more than "
            f"{needed}. Move it, or take fewer teeth.")


def idler_misses(path: str, runs: str, reach: str, strand: str) -> str:
    """An idler the chain does not touch."""
    towards = "further from" if runs == "inside" else "nearer to"
    return (f"{path}: the chain does not touch it: {runs} the loop it reaches to {reach} from the line of centres, and "
            f"the strand runs at {strand} there. Put it {towards} the line with 'off'.")


def idler_crosses(path: str, reach: str, strand: str) -> str:
    """An idler that runs into the strand opposite."""
    return (f"{path}: at the end of its travel it reaches {reach} beyond the line of centres, and the other strand "
            f"runs at {strand} there. Take less travel, fewer teeth, or more 'off'.")


def chain_too_short(path: str, links: float, have: str, way: str, needed: float) -> str:
    """Fewer links than go round."""
    return (f"{path}: {links:g} links are {have} long, and the way round wheels and idlers is {way}. "
            f"Write at least {needed:g}.")
