"""Writes the reference pages of docs/ from the code.

    python tools/docs.py            rewrite the pages
    python tools/docs.py --check    say which pages are stale, change nothing

methods.md, glossary.md, machine-file.md, commands.md, reference-rows.md, tables.md and the README's picture are
made here and nowhere else; a test fails where they no longer agree with the code.
"""

import sys
from pathlib import Path

import docs_commands
import docs_machine_file
import docs_methods
import docs_picture
import docs_rows
import docs_tables

DOCS = Path(__file__).parents[1] / "docs"
PAGES = {
    "methods.md": docs_methods.methods,
    "glossary.md": docs_methods.glossary,
    "machine-file.md": docs_machine_file.page,
    "commands.md": docs_commands.page,
    "reference-rows.md": docs_rows.page,
    "tables.md": docs_tables.page,
    "images/harbour-light.svg": docs_picture.picture,
}


def pages():
    """Text of every page that can be made; None where its source is not there yet."""
    return {name: text for name, make in PAGES.items() if (text := make()) is not None}


def stale(made):
    """Names of the pages whose file differs from what the code gives."""
    return [name for name, text in made.items()
            if not (DOCS / name).exists() or (DOCS / name).read_text(encoding="utf-8") != text]


def main(arguments):
    made = pages()
    old = stale(made)
    if "--check" in arguments:
        said = [f"docs/{name} is stale: run make docs" for name in old] or ["the reference pages agree with the code"]
        print("\n".join(said))
        return 1 if old else 0
    for name in old:
        (DOCS / name).write_text(made[name], encoding="utf-8")
    print(f"{len(made)} pages, rewritten: {', '.join(old) or 'none'}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
