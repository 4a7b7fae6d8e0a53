"""The floors of the house: every contract in `.importlinter` holds."""

from pathlib import Path

from importlinter import cli

CONTRACTS = Path(__file__).parents[2] / ".importlinter"


def test_imports_go_down_only(capsys):
    broken = cli.lint_imports(config_filename=str(CONTRACTS), no_cache=True, no_logo=True)
    assert not broken, capsys.readouterr().out
