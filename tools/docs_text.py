"""Markdown shared by the reference pages."""

MADE = "<!-- Made by tools/docs.py from the code: change the code, then run make docs. -->\n"


def table(head, rows):
    """Lines of a table; a stroke inside a cell is written so that it does not end the cell."""
    lines = [head, ["---"] * len(head), *rows]
    return [f"| {' | '.join(cell(c) for c in row)} |" for row in lines]


def cell(text):
    return str(text).replace("|", "\\|").replace("\n", " ").strip()


def code(text):
    return f"`{cell(text)}`" if str(text).strip() else ""


def page(title, *parts):
    """One page: title, then parts that are texts or lists of lines, with a blank line between."""
    blocks = [MADE.strip(), f"# {title}", *("\n".join(p) if isinstance(p, list) else p for p in parts if p)]
    return "\n\n".join(blocks) + "\n"
