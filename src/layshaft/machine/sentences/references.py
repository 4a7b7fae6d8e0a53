"""What the reference pass says: names, shared quantities, and what does not fit."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.machine.sentences.wording import a, clipped, did_you_mean, listed

FORMERLY = {"wind-up": "twist"}
"""Failure modes by the names they had in older files."""


def unknown_reference(path: str, name: str, what: str, known: Sequence[str]) -> str:
    """A name nothing has."""
    return f"{path}: there is no {what} '{clipped(name)}'. {did_you_mean(name, known, 'The file has')}"


def unknown_mode(name: str, known: Sequence[str]) -> str:
    """A required margin for a failure mode the house does not know, or knows by another name now."""
    if name in FORMERLY:
        return f"margins: the failure mode '{name}' is called '{FORMERLY[name]}' now. Write that instead."
    return f"margins: there is no failure mode '{clipped(name)}'. {did_you_mean(name, known, 'There are')}"


def unknown_factor(path: str, name: str, known: Sequence[str]) -> str:
    """A factor of a gear pair that the method does not have."""
    return f"{path}: there is no factor '{clipped(name)}'. {did_you_mean(name, known, 'There are')}"


def unknown_seat(path: str, seat: str, shaft: str, known: Sequence[str]) -> str:
    """A seat the shaft does not have."""
    return f"{path}: shaft '{shaft}' has no seat '{clipped(seat)}'. {did_you_mean(seat, known, 'Its seats')}"


def no_default_seat(path: str, seat: str, shaft: str, known: Sequence[str]) -> str:
    """No seat written, and none with the thing's own name."""
    return (f"{path}: shaft '{shaft}' has no seat '{clipped(seat)}', and no other is named here. "
            f"Add that seat, or name one of: {listed(known) or 'none yet'}.")


_FULL = {"key": "parallel key", "chain": "roller chain", "suspension": "rope"}


def unknown_listing(path: str, name: str, what: str, known: Sequence[str], shipped: bool) -> str:
    """A size in no table and not among the file's parts."""
    where = "in the shipped tables or in 'parts'" if shipped else "in 'parts'"
    hint = did_you_mean(name, known, "Known are")
    return f"{path}: '{clipped(name)}' is no {_FULL.get(what, what)} {where}. {hint}"


def part_of_another_kind(path: str, name: str, kind: str, what: str) -> str:
    """A part of the wrong kind."""
    return f"{path}: '{clipped(name)}' is {a(kind)} in 'parts'; {a(what)} belongs here."


def not_a_path(path: str, target: str) -> str:
    """`same as` something that is no path."""
    return f"{path}: '{clipped(target)}' is not a path. Write for instance: same as drives.weight.mass."


def no_such_path(path: str, target: str, before: str, step: str, known: Sequence[str]) -> str:
    """A path that leads nowhere."""
    where = f"'{before}' has" if before else "the file has"
    hint = did_you_mean(step, known, "It has")
    return f"{path}: '{clipped(target)}' leads nowhere, since {where} no '{clipped(step)}'. {hint}"


def same_as_no_quantity(path: str, target: str) -> str:
    """A path to something else."""
    return (f"{path}: '{clipped(target)}' is not one quantity. "
            "Give the path of one, such as drives.weight.mass.")


def same_as_missing(path: str, target: str) -> str:
    """A path to a quantity without a value."""
    return f"{path}: '{clipped(target)}' has no value in the file. Write one there, or here."


def same_as_dimension(path: str, target: str, found: str, wanted: str) -> str:
    """A path to a quantity of another dimension."""
    return f"{path}: '{clipped(target)}' is {a(found)}; {a(wanted)} belongs here."


def same_as_circle(path: str, target: str) -> str:
    """A chain of `same as` that ends where it began."""
    return f"{path}: 'same as {clipped(target)}' leads back here. Write the value in one of these places."


def seat_taken(path: str, seat: str, shaft: str, first: str) -> str:
    """Two users."""
    return f"{path}: seat '{seat}' of shaft '{shaft}' is taken by {first}. Give each a seat of its own."


def seat_has_bearing(path: str, seat: str, shaft: str, what: str) -> str:
    """A user on a bearing or a bush."""
    return f"{path}: seat '{seat}' of shaft '{shaft}' carries a {what}. Give this a seat of its own."


def bush_and_bearing(path: str) -> str:
    """Two things that hold the shaft in one place."""
    return f"{path}: it has a bearing and a bush. A shaft is held by one of them: take the other off."


def rewound_on_itself(path: str, seat: str, shaft: str) -> str:
    """Both sprockets on one seat."""
    return (f"{path}: drive sprocket and winding sprocket both sit on '{seat}' of shaft '{shaft}'. "
            "Give 'winding seat' another seat.")


def cannot_wind(path: str, name: str) -> str:
    """Wound by a weight."""
    return f"{path}: '{name}' cannot wind. Name a crank, pedals or a motor."


def no_room_for_rope(path: str, found: str, wanted: str, rope: str) -> str:
    """A wheel or groove too small for its rope."""
    return f"{path}: it is {found} for a rope of {rope}. It must be {wanted}: correct one of the two."


def wall_too_thick(path: str, wall: str, drum: str) -> str:
    """A wall that meets itself in the middle."""
    return f"{path}: two walls of {wall} do not fit into a drum of {drum} under the rope. Correct one of the two."


def not_a_crank(path: str, name: str) -> str:
    """Handle force of something without a handle."""
    return f"{path}: '{name}' has no handle. Name a crank or pedals."


def frame_turns_nothing(path: str) -> str:
    """A chain to the frame."""
    return f"{path}: only a ratchet or a one-way hub can go to 'frame'. Name a shaft."


def stage_to_itself(path: str, shaft: str) -> str:
    """From and to are one."""
    return f"{path}: it goes from shaft '{shaft}' to the same shaft. Name another in 'to'."


def not_parallel(path: str, one: str, other: str) -> str:
    """Axes that cross."""
    return f"{path}: shafts '{one}' and '{other}' are not parallel, as this needs. Correct the 'axis' of one."


def not_crossing(path: str, one: str, other: str) -> str:
    """Axes that never meet."""
    return (f"{path}: shafts '{one}' and '{other}' are parallel; this needs axes that cross. "
            "Correct the 'axis' of one.")


def same_module(path: str, name: str) -> str:
    """A parting between a module and itself."""
    return f"{path}: both sides are '{name}'. Name the two modules that come apart here."


def too_few_bearings(path: str, found: Sequence[str]) -> str:
    """A shaft that cannot stay in place."""
    has = f"only one seat with a bearing ('{found[0]}')" if found else "no seat with a bearing"
    return f"{path}: the shaft has {has}; it needs two. Write 'bearing: open' on a seat if it is not chosen."


def faces_nothing(path: str) -> str:
    """A facing where no bearing of a pair sits."""
    return (f"{path}.facing: only angular contact and tapered roller bearings face another one, and this seat has "
            "none. Leave it out, or name such a bearing of `parts`.")


def faces_differ(path: str, said: Sequence[tuple[str, str]]) -> str:
    """Two bearings of a pair with two facings."""
    words = " and ".join(f"'{seat}' says {facing}" for seat, facing in said)
    return f"{path}: the two bearings of a pair face in one way, but {words}. Correct one of them."


def centres_meet(path: str, one: str, other: str) -> str:
    """Load centres that coincide or change places."""
    return (f"{path}: the load centres of '{one}' and '{other}' meet or change places, so they do not hold the shaft "
            "straight. Put them farther apart, or mount them back to back.")


def bearings_in_one_place(path: str, at: str) -> str:
    """Two bearings that are one."""
    return f"{path}: all its bearings sit at {at}. Put two of them apart."


def two_in_one_place(path: str, one: str, other: str, at: str) -> str:
    """Two of several bearings that are one."""
    return f"{path}: '{one}' and '{other}' hold it at the same place, {at}. Move one of them, or leave it out."


def off_the_shaft(path: str, at: str, length: str) -> str:
    """A seat beyond the end."""
    return (f"{path}: the seat sits at {at}, off the shaft, whose sections are {length} long together. "
            "Correct 'at' or the sections.")


def bore_differs(path: str, name: str, bore: str, diameter: str, what: str = "bearing") -> str:
    """Bearing or hub, and shaft, do not fit."""
    return (f"{path}: {what} {name} has a bore of {bore}, the shaft is {diameter} there. "
            f"Change the {what}, 'at' or the section.")


def cut_off_the_shaft(path: str, kind: str, at: str, end: str) -> str:
    """A groove or hole beside the shaft."""
    return f"{path}: the {kind} sits at {at}, off the shaft, whose sections are {end} long together. Correct its place."


def groove_leaves_more(path: str, bottom: str, diameter: str) -> str:
    """A groove must be turned into the shaft."""
    return (f"{path}: the groove has {bottom} at its bottom, the shaft is {diameter} there. "
            "Write the smaller diameter that the groove leaves, or move it.")


def no_drilled_hole(path: str, hole: str, least: str) -> str:
    """A cross hole nobody drills."""
    return f"{path}: a hole of {hole} is no drilled hole. Write one of at least {least}, in its unit."


def hole_as_wide(path: str, hole: str, diameter: str) -> str:
    """A cross hole must leave something of the shaft."""
    return (f"{path}: a hole of {hole} across a shaft of {diameter} leaves nothing of it. "
            "Drill a smaller one, or move it.")


def named_like_a_notch(path: str, name: str) -> str:
    """Sections of a shaft have names of their own."""
    return f"{path}: '{name}' is what a section of the shaft is called. Give the seat another name."


def key_too_wide(path: str, name: str, over: str, diameter: str) -> str:
    """Key and shaft do not fit."""
    return (f"{path}: a key {name} belongs on shafts over {over}, the shaft is {diameter} there. "
            "Choose a smaller key.")


def ring_without_difference(path: str, teeth: str) -> str:
    """A ring with as many teeth as the gear inside it."""
    return (f"{path}: both gears have {teeth} teeth, and a gear cannot turn inside a ring of as many. "
            "Give the ring at least eight teeth more.")


def double_without_helix(path: str) -> str:
    """Double helical teeth that are straight."""
    return f"{path}: double helical teeth need a helix, and it is 0 deg. Write for instance: helix: 25 deg."


def not_smaller(path: str, small: str, other: str, large: str) -> str:
    """Two sizes of one piece the wrong way about."""
    return f"{path} is {small}, but {other} is {large}: the first must be the smaller one."


def larger(path: str, small: str, other: str, large: str) -> str:
    """Two values the wrong way about that may be equal."""
    return f"{path} is {small}, but {other} is {large}: the first may not be the larger one."


def one_load(path: str) -> str:
    """Something that carries two loads or none."""
    return f"{path}: say what it carries: either `shaft` and `seat` of a bearing, or a `force`; not both."


def no_bearing(path: str, seat: str, shaft: str) -> str:
    """A fixing under a seat without a bearing."""
    return (f"{path}: seat '{seat}' of shaft '{shaft}' has no bearing, so nothing there rests on the frame. "
            "Name a seat with a bearing.")


def not_square(path: str) -> str:
    """Directions that do not stand square."""
    return f"{path}: 'along' must lie in the face, square to 'normal'. Write for instance: normal: z, along: x."


def idler_on_no_strand(path: str) -> str:
    """An idler between the strands."""
    return (f"{path}: 0 is the line of centres, between the two strands. Write on which side the idler stands: "
            "above 0 on the side `line` plus 90 deg, below 0 on the other.")


def idlers_on_one_strand(path: str, first: str) -> str:
    """Two on one side."""
    return (f"{path}: it stands on the same strand as {first}, and a strand is laid out with one idler at most. "
            "Leave one of them out.")


def beyond(path: str, at: str, other: str, length: str) -> str:
    """A place that is not on the beam."""
    return f"{path} is {at}, but {other} is {length}: the place must lie within it."


def trim_to(path: str, name: str, known: Sequence[str]) -> str:
    """A trim for a want that is not there."""
    return f"{path}: 'trim' is to reach {name}, and no want has that name. {did_you_mean(name, known, 'There are')}"


def trim_to_nothing(path: str, name: str) -> str:
    """A want that asks nothing a trim could reach."""
    return (f"{path}: 'trim' is to reach {name}, which wants nothing an adjustment can bring out. It needs a speed "
            "with its shaft, a time per winding, a handle force or a start ratio.")


def trimmed_twice(path: str, name: str, other: str) -> str:
    """Two adjustments cannot both be told what to do by one want."""
    return f"{path}: {other} is trimmed for {name} already, and one want sets one adjustment. Leave one 'trim' out."
