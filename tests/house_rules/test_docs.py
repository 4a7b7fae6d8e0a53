"""The reference pages agree with the code they are made from."""

import importlib
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
NAMES = ("methods.md", "glossary.md", "machine-file.md", "commands.md", "reference-rows.md")


@pytest.fixture(scope="module")
def docs():
    sys.path.insert(0, str(ROOT / "tools"))
    try:
        yield importlib.import_module("docs")
    finally:
        sys.path.remove(str(ROOT / "tools"))


@pytest.mark.parametrize("name", NAMES)
def test_page_is_what_the_code_gives(docs, name):
    made = docs.PAGES[name]()
    assert made is None or not docs.stale({name: made}), f"docs/{name} is stale: run make docs"


def test_every_formula_and_every_kind_of_the_file_is_in_the_pages(docs):
    from layshaft.machine import kinds
    from layshaft.trace.registry import load_all

    pages = docs.pages()
    assert [n for n in load_all() if f"`{n}`" not in pages["methods.md"]] == []
    for group in (kinds.DRIVES, kinds.STAGES, kinds.LOADS, kinds.PARTS):
        assert [k for k in group if f"kind: {k}\n" not in pages["machine-file.md"]] == []


def test_the_tool_names_stale_pages(docs):
    assert docs.stale({"methods.md": "something else"}) == ["methods.md"]
    assert docs.stale({"never-written.md": ""}) == ["never-written.md"]
