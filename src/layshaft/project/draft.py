"""The first machine file from six answers: commented, with open parts, readable and solvable as it stands."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from layshaft.project import remarks
from layshaft.project.answers import Answer, Answers
from layshaft.project.first_guesses import FirstGuess, guesses_of
from layshaft.project.names import Names
from layshaft.project.sizing import (
    BEARING_AT_REST,
    EFFICIENCY,
    EFFICIENCY_RANGE,
    GRAVITY,
    LOAD_AT_REST,
    PULLEY_LOSS,
    SEALED,
    STAGE_AT_REST,
    START_RATIO,
    ShaftSize,
    Sizing,
    size,
)
from layshaft.trace.units import REV_PER_MIN, SPEED, shown

WIDTH = 100
STEP = 60
"""Distance of neighbouring seats on a shaft not laid out yet, mm."""

COAST = 1.0
COASTING_BODY = 20.0

PUSHED = ("radius", "ripple", "worst push", "handle overhang", "arms factor")
"""What is guessed of what a person turns, besides its speed and who turns it."""


def draft(a: Answers) -> str:
    """The text of machine.yaml. Raises `AnswerError` where no train can be sized."""
    s = size(a)
    names = Names(a, s)
    lines = [
        *_comment(remarks.header(a, s, names.load)),
        *_top(a, names),
        *_shafts(a, names),
        *_drives(a, s, names),
        *_stages(a, s, names),
        *_loads(a, s, names),
        *_ends(a, names),
    ]
    return "\n".join(lines) + "\n"


# Pieces of text --------------------------------------------------------------------------------


def _comment(lines: Iterable[str], indent: str = "") -> Iterator[str]:
    for line in lines:
        if not line:
            yield f"{indent}#"
            continue
        hang = " " * (len(line) - len(line.lstrip()))
        wrapped = textwrap.wrap(
            line.strip(), WIDTH - len(hang), break_long_words=False, break_on_hyphens=False
        )
        yield from (f"{indent}# {hang}{part}" for part in wrapped)


def _plain(value: float, unit: str = "") -> str:
    return f"{value:.6g} {unit}".rstrip()


def _number(text: str, source: str, note: str = "", between: tuple[str, str] | None = None) -> str:
    """A quantity written out with its source."""
    parts = [f"value: {text}"]
    if between:
        parts.append(f"between: [{between[0]}, {between[1]}]")
    parts.append(f"source: {source}")
    if note:
        parts.append(f'note: "{note}"')
    return "{" + ", ".join(parts) + "}"


def _guess(value: float, low: float, high: float, unit: str, note: str) -> str:
    return _number(_plain(value, unit), "assumed", note, (_plain(low, unit), _plain(high, unit)))


def _usual(g: FirstGuess) -> str:
    return _number(g.value, "assumed", g.why, (g.low, g.high))


def _answer(answer: Answer, note: str = "") -> str:
    spread = None
    if answer.low is not None and answer.high is not None:
        spread = (answer.text(answer.low), answer.text(answer.high))
    said = "default, nobody answered" if answer.default else note
    return _number(answer.text(), answer.source, said, spread)


# Sections of the file --------------------------------------------------------------------------


ROOM = "the room there is"
"""Where a module's size comes from in a draft: checks hold what its parts take up against it."""


def _top(a: Answers, names: Names) -> list[str]:
    high, wide = a.room.height, a.room.width
    title = names.load[:1].upper() + names.load[1:]
    return [
        "layshaft: 1",
        f'name: "{title}"',
        f'about: "A first draft: {names.drive} to {names.load}. Everything not decided is open."',
        f"gravity: {GRAVITY} m/s2",
        "",
        "modules:",
        "  # One frame for now. Where it must come apart to be carried, write further modules and partings.",
        "  frame:",
        "    mass: open",
        f"    size: [{_answer(wide, ROOM)}, {_answer(wide, ROOM)}, {_answer(high, ROOM)}]",
    ]


def _shafts(a: Answers, names: Names) -> list[str]:
    lines = [
        "",
        "shafts:",
        "  # Lengths and places along the shafts are guesses; diameters, steels, bearings and keys are open.",
        "  # The drag of a bearing costs most on fast shafts: choose shields there, not contact seals.",
    ]
    drags: dict[float, str] = {}
    for name, sized in names.sizes.items():
        lines += _shaft(a, name, sized, names, drags)
    return lines


def _shaft(a: Answers, name: str, sized: ShaftSize, names: Names, drags: dict[float, str]) -> list[str]:
    inside = names.seats(name)
    right = 30 + STEP * (len(inside) + 1)
    outside = [names.drive] if name == names.start and names.drive != "weight" else []
    length = right + (STEP + 30 if outside else 30)
    lines = [
        f"  {name}:  # turns at {shown(sized.speed, SPEED)}",
        "    module: frame",
        "    axis: x",
        "    material: open",
        "    finish: machined or cold-drawn",
        "    reliability: 99 %",
        "    wind up: 0.25 deg",
        f"    sections: [[open, {_number(f'{length} mm', 'assumed', 'not laid out yet')}]]",
    ]
    if name == names.start:
        place = (
            0.0,
            0.0,
            0.85 * a.room.height.value if names.drive == "weight" else 0.4 * a.room.height.value,
        )
        lines.append(f"    at: [{', '.join(_number(_plain(v, 'm'), 'assumed') for v in place)}]")
    lines.append("    seats:")
    lines.append(f"      left bearing: {{at: 30 mm, bearing: open, {_drag(name, sized, drags)}}}")
    lines += [f"      {seat}: {{at: {30 + STEP * (i + 1)} mm, key: open}}" for i, seat in enumerate(inside)]
    lines.append(f"      right bearing: {{at: {right} mm, bearing: open, {_drag(name, sized, drags)}}}")
    lines += [f"      {seat}: {{at: {right + STEP} mm, key: open}}" for seat in outside]
    return lines


def _drag(shaft: str, sized: ShaftSize, drags: dict[float, str]) -> str:
    """Drag of one bearing, written out once for each class and shared by the rest."""
    rest = f"break away: {_guess(BEARING_AT_REST, 1.5, 3, '', 'stiff grease after standing')}"
    if sized.drag in drags:
        rest = f"break away: same as {drags[sized.drag]}.break away"
        return f"drag: same as {drags[sized.drag]}.drag, {rest}"
    drags[sized.drag] = f"shafts.{shaft}.seats.left bearing"
    if sized.drag == SEALED:
        return f"drag: {_guess(SEALED, 0.02, 0.08, 'N m', 'one bearing with contact seals')}, {rest}"
    return f"drag: {_guess(sized.drag, 0.002, 0.010, 'N m', 'one bearing with metal shields')}, {rest}"


def _drives(a: Answers, s: Sizing, names: Names) -> list[str]:
    lines = ["", "drives:"]
    if s.weight:
        return lines + _weight(a, s, names)
    led = a.drive_speed
    speed = (
        _answer(led)
        if led
        else _number(f"{_plain(s.drive.speed / REV_PER_MIN)} rpm", "assumed", "a usual speed")
    )
    lines += [
        f"  {names.drive}:",
        f"    kind: {names.drive}",
        f"    shaft: {names.start}",
        f"    speed: {speed}",
        "    state: open",
    ]
    if names.drive == "motor":
        return [*lines, "    # With the motor you choose, write its torque and its peak torque here."]
    return lines + _person(a, s, names.drive)


def _person(a: Answers, s: Sizing, drive: str) -> list[str]:
    """The keys of a crank or pedals that tell who turns them and how."""
    people, usual = remarks.people(a, s), guesses_of(drive)
    return [
        f"    people: {_number(str(people), 'assumed', 'from the power one person keeps up')}",
        f"    bout: {_answer(a.run, 'one go')}",
        f"    run up: {_guess(1, 0.5, 2, 's', 'how briskly somebody starts')}",
        *(f"    {key}: {_usual(g)}" for key in PUSHED if not (g := usual[key]).sure),
        *([] if drive == "crank" else ["    arms factor: {value: 1, source: decided, note: legs}"]),
    ]


def _weight(a: Answers, s: Sizing, names: Names) -> list[str]:
    w = s.weight
    assert w is not None
    mass = (
        _answer(a.driver.mass)
        if a.driver.mass
        else _number(
            _plain(w.mass, "kg"), "assumed", "from the energy budget; slabs are a trim of the first evening"
        )
    )
    drop = (
        _answer(a.drop)
        if a.drop
        else _number(_plain(w.drop, "m"), "assumed", "the room's height less drum, hanger and weight")
    )
    return [
        "  weight:",
        "    kind: falling weight",
        f"    shaft: {names.start}",
        "    hangs on: +y",
        "    over people: yes  # the safe answer; write no only where its path is fenced off",
        f"    mass: {mass}",
        f"    drop: {drop}",
        f"    diameter: {_number(_plain(w.diameter * 1000, 'mm'), 'assumed', 'to the centre of the rope')}",
        f"    falls: {_number(str(w.falls), 'assumed', 'parts of rope that carry the weight')}",
        "    suspension: open",
        f"    pulley loss: {_guess(PULLEY_LOSS, 0.02, 0.08, '', 'slow pulleys, not measured')}",
        f"    slack: {_guess(0, 0, 20, 'mm', 'free fall before the rope is tight')}",
        f"    strand length: {_guess(0.2, 0.1, 0.4, 'm', 'wound right up, where the blow is hardest')}",
        "    state: open",
    ]


def _stages(a: Answers, s: Sizing, names: Names) -> list[str]:
    rows = [*zip(names.main, s.main.turns, strict=True)]
    if s.weight:
        rows += zip(names.fan, s.weight.fan.turns, strict=True)
    if not rows:
        return ["", "# No stage: drive and load turn alike and share one shaft."]
    lines = [
        "",
        "stages:",
        "  # `ratio` (turns of the first shaft for one of the second) stands in while the teeth are open.",
        "  # When a chain is chosen, write chain and teeth and remove the ratio.",
    ]
    centres = a.room.width.value / (0.8 * len(rows) + 1)
    first = rows[0][0][0]
    for i, ((name, from_, to), turns) in enumerate(rows):
        passed = (
            f"efficiency: same as stages.{first}.efficiency",
            f"break away: same as stages.{first}.break away",
        )
        if name == first:
            passed = (
                f"efficiency: {_guess(EFFICIENCY, *EFFICIENCY_RANGE, '', 'slow, oiled by hand')}",
                f"break away: {_guess(STAGE_AT_REST, 1, 2, '', 'after standing')}",
            )
        lines += [
            f"  {name}:",
            "    kind: roller chain",
            f"    from: {from_}",
            f"    to: {to}",
            "    chain: open",
            "    teeth: open",
            f"    ratio: {_number(_plain(turns), 'assumed', 'first split')}",
            f"    {passed[0]}",
            f"    {passed[1]}",
            f"    centres: {_number(_plain(1000 * float(f'{centres:.2g}'), 'mm'), 'assumed', 'a guess')}",
            f"    line: {_number('-45 deg' if i % 2 == 0 else '45 deg', 'assumed', 'not laid out yet')}",
            "    state: open",
        ]
    return lines


def _loads(a: Answers, s: Sizing, names: Names) -> list[str]:
    reach = a.room.width.value / 4
    inertia = min(a.torque.value * COAST / a.speed.value, COASTING_BODY * reach**2)
    lines = [
        "",
        "loads:",
        f"  {names.load}:",
        "    kind: steady  # or turntable, pulses, allowance",
        f"    shaft: {names.end}",
        f"    torque: {_answer(a.torque)}",
        f"    break away: {_guess(LOAD_AT_REST, 1.2, 2.5, '', 'not measured')}",
        "    # A stand-in: a body of 20 kg at a quarter of the width, or less if friction stops it in 1 s.",
        f"    inertia: {_guess(inertia, inertia / 10, inertia * 10, 'kg m2', 'weigh it and measure it')}",
    ]
    w = s.weight
    if w:
        k = w.fan_torque / w.fan_speed**2
        lines += [
            "  fan brake:",
            "    kind: fan brake",
            f"    shaft: {names.brake}",
            f"    constant: {_number(_plain(k, 'N m s2'), 'assumed', 'trim on the first evening')}",
            f"    inertia: {_guess(0.02, 0.005, 0.1, 'kg m2', 'not drawn yet')}",
        ]
    return lines


def _ends(a: Answers, names: Names) -> list[str]:
    day = (
        _answer(a.day)
        if a.day
        else _number(shown_time(max(3600.0, a.run.value)), "assumed", "nobody answered")
    )
    lines = [
        "",
        "runs:",
        f"  usual day: {{time: {day}, days per year: {_number('60', 'assumed')}, "
        f"years: {_number('10', 'assumed')}}}",
        "",
        "wants:",
        f"  speed: {{shaft: {names.end}, speed: {_answer(a.speed)}, error: {_number('5 %', 'assumed')}}}",
    ]
    if names.drive == "weight":
        lines.append(f"  winding: {{time per winding: {_answer(a.run)}}}")
        lines.append(
            f"  start: {{start ratio: {_number(_plain(START_RATIO), 'assumed', 'common practice')}}}"
        )
    return [*lines, "", f"transit: {{shock: {_guess(3, 2, 5, 'g', 'van and ramp')}}}"]


def shown_time(seconds: float) -> str:
    """A time in minutes, as a file writes it."""
    return f"{seconds / 60:.10g} min"
