"""Files of at most 400 lines, functions of at most 40 lines of code."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted(p for folder in ("src", "tools", "tests", "benchmarks") for p in (ROOT / folder).rglob("*.py"))
IDS = [str(p.relative_to(ROOT)) for p in SOURCES]


@pytest.mark.parametrize("path", SOURCES, ids=IDS)
def test_file_is_at_most_400_lines(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


@pytest.mark.parametrize("path", SOURCES, ids=IDS)
def test_functions_are_at_most_40_lines_of_code(path):
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    long = [f"{f.name} ({n} lines)" for f in ast.walk(ast.parse(text))
            if isinstance(f, ast.FunctionDef | ast.AsyncFunctionDef) and (n := code_lines(f, lines)) > 40]
    assert long == []


def code_lines(function, lines):
    """Lines of the body and signature without docstring, comments and blanks."""
    first = function.body[0]
    is_doc = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
    doc = range(first.lineno, first.end_lineno + 1) if is_doc else ()
    return sum(1 for n in range(function.lineno, function.end_lineno + 1)
               if n not in doc and lines[n - 1].strip() and not lines[n - 1].strip().startswith("#"))
