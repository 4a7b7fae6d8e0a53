"""What is said about writing the machine file: changes that cannot be written, files that changed meanwhile."""

from __future__ import annotations

from layshaft.machine.sentences.wording import clipped


def no_place_for_it() -> str:
    """The splices would not read back as the wanted machine."""
    return ("This change cannot be put into the file without touching other text, so nothing was written. "
            "Make it with an editor; usually the keys in question are written in an unusual way.")


def stands_in_parts_list(name: str) -> str:
    """The change belongs into another file."""
    return f"'{clipped(name)}' stands in the parts list: change it there. Nothing was written."


def changed_meanwhile(path: str) -> str:
    """The text is no longer the one the change was made from."""
    return f"{path} has been changed since it was read. Nothing was written: read it again and repeat the change."


def held_by(path: str, who: str) -> str:
    """Somebody else is writing."""
    return (f"{path} is being changed by {who}. Nothing was written: "
            "finish there first, or end that process.")


def desk_is_open(path: str, who: str) -> str:
    """Another desk holds the file."""
    return f"The desk of {path} is open already ({who}). Change it there, or close that one and open this one again."


def nothing_to_undo(path: str) -> str:
    """No earlier text is kept."""
    return f"No earlier state of {path} is kept: nothing to undo."


def nothing_to_redo(path: str) -> str:
    """No text was put aside by an undo, or the file is another since."""
    return f"Nothing to make again: no change of {path} was undone since one was last kept."


def edited_since(path: str) -> str:
    """An undo would throw away what an editor has written."""
    return (f"{path} has been edited since Layshaft last wrote it. Nothing was undone: what was edited would be lost. "
            "The earlier states are in .layshaft beside it.")
