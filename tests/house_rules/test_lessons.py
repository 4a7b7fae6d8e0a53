"""Lessons read well: complete, narrow enough for a screen, and their symbols are those of the room."""

import pytest

from layshaft.listings.lessons import lesson, lesson_rooms
from layshaft.trace.registry import load_all, meanings_in

load_all()


@pytest.mark.parametrize("room", lesson_rooms())
def test_a_lesson_is_complete_and_speaks_of_its_room(room):
    found = lesson(room)
    known = meanings_in(f"elements.{room}") | meanings_in(f"elements.{room.partition('.')[0]}")  # a lesson of one part of a room
    assert [s for s in (*found.symbols, *found.steps) if s not in known] == []
    assert max(len(line) for line in found.drawing.splitlines()) <= 72
    assert 3 <= len(found.drawing.splitlines()) <= 20
    assert found.purpose and found.mistakes and found.pencil and found.symbols
    assert not [m for m in found.mistakes if len(m) > 240]
