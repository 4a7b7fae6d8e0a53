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


def worm_not_square(path: str, one: str, other: str) -> str:
    """A worm whose wheel does not stand square to it."""
    return (f"{path}: shafts '{one}' and '{other}' are not at right angles, as a worm and its wheel need. "
            "Correct the 'axis' of one.")


def worm_line(path: str, wheel: str) -> str:
    """A direction from worm to wheel that no wheel on that axis can have."""
    return (f"{path}: the wheel can lie on two sides of the worm only, square to its own shaft '{wheel}'. "
            "Turn 'line' so that it points across both shafts.")


def worm_sizes_clash(path: str, says: str, other: str, its: str) -> str:
    """Two keys that tell two worms."""
    return (f"{path}: by this the worm is {says} in diameter, and by {other} it is {its}. "
            "Keep one of the two, or correct it.")


def no_room_for_worm(path: str, centres: str, wheel: str) -> str:
    """A wheel that reaches to the worm's axis."""
    return (f"{path}: {centres} leave no room for a worm beside a wheel of {wheel}. "
            "Take more distance, fewer teeth, or a smaller module.")


def worm_centres(path: str, centres: str, shift: str, plain: str) -> str:
    """A distance that no profile shift makes up for."""
    return (f"{path}: {centres} would ask for a wheel shifted by {shift} modules; more than 1 cannot be cut. "
            f"Without shift these sizes stand {plain} apart: correct the distance or the worm's diameter.")
