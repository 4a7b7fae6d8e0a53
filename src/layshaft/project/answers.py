"""What `layshaft new` asks: six questions in plain words, each with a default."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from layshaft.trace.errors import BadInput
from layshaft.trace.units import (
    FORCE,
    LENGTH,
    MASS,
    SPEED,
    TIME,
    TORQUE,
    Dimension,
    UnitError,
    parse_quantity,
    shown,
)
from layshaft.trace.units import Quantity as Read

DRIVES = ("weight", "crank", "pedals", "motor")
LONGEST_NAME = 40


class AnswerError(BadInput):
    """An answer that cannot be used; the message is one sentence that says what to write."""


@dataclass(frozen=True, slots=True)
class Answer:
    """A quantity somebody answered, in SI, or a default that nobody has looked at yet."""

    value: float
    dimension: Dimension
    unit: str
    low: float | None = None
    high: float | None = None
    default: bool = False

    @property
    def source(self) -> str:
        """`decided`, or `assumed` for a default or a value with a spread."""
        return "assumed" if self.default or self.low is not None else "decided"

    def text(self, value: float | None = None) -> str:
        """The value, or another of the same kind, in the unit of the answer."""
        number = (self.value if value is None else value) / self.dimension.units.get(self.unit, 1.0)
        return f"{number:.10g} {self.unit}".rstrip()


@dataclass(frozen=True, slots=True)
class Room:
    """Height and width there are for the machine."""

    height: Answer
    width: Answer


@dataclass(frozen=True, slots=True)
class Driver:
    """What drives it; the mass where a weight is already there."""

    kind: str
    mass: Answer | None = None


@dataclass(frozen=True, slots=True)
class Answers:
    """All answers. What nobody answers keeps its default and is marked as a guess."""

    what: str
    speed: Answer
    torque: Answer
    run: Answer
    driver: Driver
    room: Room
    day: Answer | None = None
    """Running time a day; without it an hour, or one run where that is longer."""

    drop: Answer | None = None
    """Height the weight may fall; without it a share of the room's height."""

    drive_speed: Answer | None = None
    """Speed of crank, pedals or motor; without it a usual one."""


# Reading one answer ----------------------------------------------------------------------------


LIMITS: dict[str, tuple[float, float]] = {
    SPEED.name: (1e-5, 1e4),
    TORQUE.name: (1e-6, 1e6),
    FORCE.name: (1e-6, 1e7),
    LENGTH.name: (1e-3, 1e3),
    TIME.name: (1.0, 1e8),
    MASS.name: (1e-3, 1e6),
}
"""What a draft is made for, in SI; far wider than what one person builds."""


def _number(text: str, dimension: Dimension, what: str) -> Answer:
    try:
        found: Read = parse_quantity(text, dimension)
    except (UnitError, ValueError, OverflowError) as why:
        raise AnswerError(str(why)) from None
    least, most = LIMITS[dimension.name]
    ends = [v for v in (found.value, found.low, found.high) if v is not None]
    if not (min(ends) >= least and max(ends) <= most):
        raise AnswerError(
            f"{what} must lie between {shown(least, dimension)} and {shown(most, dimension)}, "
            f"with its whole spread; '{' '.join(text.split())}' does not."
        )
    return Answer(found.value, dimension, _plain_unit(found.unit, dimension), found.low, found.high)


def _plain_unit(unit: str, dimension: Dimension) -> str:
    """The unit as written, where the file can hold it as it stands."""
    return unit if unit in dimension.units and unit != '"' else ("in" if unit == '"' else dimension.shown[0])


def name_of(text: str) -> str:
    """A name the machine file takes: letters, digits, single blanks and hyphens."""
    kept = re.sub(r"[^\w\s-]|_", " ", text)
    name = re.sub(r"^(?:the|an|a)\s+", "", " ".join(kept.split()).lstrip("- "), flags=re.IGNORECASE)
    name = name[:LONGEST_NAME].rstrip("- ")
    if not name:
        raise AnswerError(
            f"'{text.strip()}' holds no letter or digit. Write a short name, for instance: spindle."
        )
    return name


def speed(text: str) -> Answer:
    """`1 rpm`, `90 deg/s`."""
    return _number(text, SPEED, "The speed")


_FORCE_AT_RADIUS = re.compile(r"(.+?)\s+at\s+(.+)", re.DOTALL)


def torque(text: str) -> Answer:
    """`2 N m`, `2 N m between [1, 4]`, or a force at a radius: `10 N at 200 mm`."""
    if match := _FORCE_AT_RADIUS.fullmatch(text.strip()):
        force = _number(match.group(1), FORCE, "The force")
        radius = _number(match.group(2), LENGTH, "The radius")
        spread = None if force.low is None else (force.low * radius.value, (force.high or 0) * radius.value)
        low, high = spread or (None, None)
        return Answer(force.value * radius.value, TORQUE, "N m", low, high)
    return _number(text, TORQUE, "The torque")


def time(text: str) -> Answer:
    """`10 min`."""
    return _number(text, TIME, "The time")


def length(text: str) -> Answer:
    """`1.4 m`."""
    return _number(text, LENGTH, "The length")


def driver(text: str) -> Driver:
    """`weight`, `weight of 80 kg`, `crank`, `pedals`, `motor`."""
    words = text.strip().split(maxsplit=1)
    kind = words[0].casefold() if words else ""
    kind = {"pedal": "pedals", "weights": "weight", "handle": "crank"}.get(kind, kind)
    if kind not in DRIVES:
        raise AnswerError(f"'{text.strip()}' is no drive known here. Write one of: {', '.join(DRIVES)}.")
    rest = words[1].removeprefix("of ").strip() if len(words) > 1 else ""
    if rest and kind != "weight":
        raise AnswerError(f"Only a weight takes a mass here; '{rest}' follows '{kind}'. Write: {kind}.")
    return Driver(kind, _number(rest, MASS, "The mass") if rest else None)


def room(text: str) -> Room:
    """`2 m high, 0.6 m wide`, `2 m x 0.6 m`, or a height alone."""
    plain = re.sub(r"\b(high|wide|height|width|tall)\b", "", text)
    parts = [p for p in re.split(r"\s*(?:[x×;]|,(?!\d)|\band\b|\bby\b)\s*", plain.strip()) if p.strip()]
    if len(parts) not in (1, 2):
        raise AnswerError(
            f"'{text.strip()}' is not a height and a width. Write for instance: 2 m high, 0.6 m wide."
        )
    height = _number(parts[0], LENGTH, "The height")
    if len(parts) == 1:
        return Room(height, replace(_default_room().width, default=True))
    return Room(height, _number(parts[1], LENGTH, "The width"))


# The questions ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Question:
    """One question: key, words, default as text, how its answer is read, and what may be written."""

    key: str
    words: str
    default: str
    parse: Callable[[str], Any]
    help: str


QUESTIONS: tuple[Question, ...] = (
    Question("what", "What must turn?", "spindle", name_of, "a short name for it"),
    Question("speed", "How fast should it turn?", "1 rpm", speed, "turning speed: 1 rpm, 90 deg/s"),
    Question(
        "torque",
        "How hard is it to turn?",
        "2 N m between [1 N m, 4 N m]",
        torque,
        "torque, with a range if it is a guess: 2 N m between [1 N m, 4 N m]; or a force at a radius: "
        "10 N at 200 mm",
    ),
    Question(
        "run",
        "How long must it run in one go? (a weight: from one winding to the next)",
        "10 min",
        time,
        "time: 10 min",
    ),
    Question(
        "driver",
        "What drives it: weight, crank, pedals or motor?",
        "weight",
        driver,
        "one word; a weight that is already there with its mass: weight of 80 kg",
    ),
    Question(
        "room", "What room is there?", "2 m high, 0.6 m wide", room, "height and width: 2 m high, 0.6 m wide"
    ),
)

EXTRAS: tuple[Question, ...] = (
    Question("day", "Running time a day", "", time, "time: 1 h"),
    Question("drop", "Height the weight may fall", "", length, "length: 1.4 m"),
    Question("drive_speed", "Speed of crank, pedals or motor", "", speed, "turning speed: 30 rpm"),
)
"""Answers that only flags give."""


def _default_room() -> Room:
    return Room(Answer(2.0, LENGTH, "m"), Answer(0.6, LENGTH, "m"))


def _as_default(value: Any) -> Any:
    """Mark what nobody answered, so that the file shows it as a guess."""
    if isinstance(value, Answer):
        return replace(value, default=True)
    if isinstance(value, Room):
        return Room(replace(value.height, default=True), replace(value.width, default=True))
    return value


def answers(given: dict[str, str]) -> Answers:
    """Answers from texts by key, as flags give them; the rest keeps its default. Raises `AnswerError`."""
    found: dict[str, Any] = {}
    for q in (*QUESTIONS, *EXTRAS):
        text = given.get(q.key, "")
        if text.strip():
            found[q.key] = q.parse(text)
        elif q.default:
            found[q.key] = _as_default(q.parse(q.default))
    unknown = sorted(set(given) - {q.key for q in (*QUESTIONS, *EXTRAS)})
    if unknown:
        raise AnswerError(
            f"There is no question '{unknown[0]}'. Its keys: "
            f"{', '.join(q.key for q in (*QUESTIONS, *EXTRAS))}."
        )
    return Answers(**found)


def ask(
    read_line: Callable[[], str | None], write: Callable[[str], None], given: dict[str, str] | None = None
) -> Answers:
    """Ask what is not given yet. `read_line` gives one line, or None or an empty text at the end of input.

    An empty line takes the default; what cannot be read is answered with one sentence and asked again.
    """
    texts = dict(given or {})
    answers(texts)  # a flag that cannot be read is said before the first question
    ended = False
    for q in QUESTIONS:
        while not ended and not texts.get(q.key, "").strip():
            write(f"{q.words} [{q.default}] ")
            line = read_line()
            if not line:
                ended = True
                break
            if not line.strip():
                break
            try:
                q.parse(line)
            except AnswerError as why:
                write(f"{why}\n")
                continue
            texts[q.key] = line.strip()
    return answers(texts)
