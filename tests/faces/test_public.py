"""The public surface is small and complete."""

import pytest

import layshaft


def test_every_public_name_is_there_and_nothing_else_is_promised():
    assert sorted(layshaft.__all__) == sorted(layshaft._HOMES)
    for name in layshaft.__all__:
        assert getattr(layshaft, name).__doc__, name


def test_the_example_of_the_docstring_runs_and_prints():
    verdict = layshaft.rate(layshaft.solve(layshaft.read("examples/cider-mill")))
    assert str(verdict).startswith("Cider Mill: ")
    assert "<table>" in verdict._repr_html_()
    sheet = layshaft.sheets_of(verdict, "stages.mill chain")[0]
    assert "Given" in str(sheet)
    assert sheet._repr_html_().count("<table") >= 1
    assert "rev/min" in str(verdict.solved)


def test_an_unknown_name_is_a_plain_attribute_error():
    with pytest.raises(AttributeError, match="it has"):
        layshaft.nonsense  # noqa: B018
