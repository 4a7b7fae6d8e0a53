"""The wheel holds everything the project ships and runs where no development package is."""

import shutil
import subprocess
import sys
import sysconfig
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow


def run(*command: str | Path, cwd: Path) -> str:
    """Standard output of a command that must succeed."""
    done = subprocess.run([str(part) for part in command], cwd=cwd, capture_output=True, text=True,
                          timeout=120, check=False)
    assert done.returncode == 0, f"{command}: {done.stderr or done.stdout}"
    return done.stdout


@pytest.fixture(scope="module")
def uv() -> str | None:
    scripts = sysconfig.get_path("scripts")
    return shutil.which("uv", path=scripts) or shutil.which("uv")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory, checkout, uv) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    if uv:
        run(uv, "build", "--quiet", "--wheel", "--out-dir", out, checkout, cwd=out)
    else:
        run(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "-w", out, checkout, cwd=out)
    return next(out.glob("layshaft-*.whl"))


def test_the_wheel_holds_every_file_of_the_package(wheel, checkout):
    """Tables and templates are files beside the code; a forgotten pattern would leave them out."""
    source = checkout / "src"
    ours = {
        path.relative_to(source).as_posix()
        for path in (source / "layshaft").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts and not path.name.startswith(".")
    }
    held = set(zipfile.ZipFile(wheel).namelist())
    assert "layshaft/tables/keys_metric.csv" in held
    assert ours - held == set()


@pytest.mark.skipif(find_spec("layshaft.faces.cli") is None, reason="the command line is not written yet")
def test_the_command_runs_from_the_wheel_alone(wheel, checkout, uv, tmp_path):
    place = tmp_path / "environment"
    python = place / "bin" / "python"
    lock = checkout / "locks" / "run.txt"
    if uv:
        run(uv, "venv", "--quiet", "--python", sys.executable, place, cwd=tmp_path)
        install = [uv, "pip", "install", "--quiet", "--python", python]
    else:
        run(sys.executable, "-m", "venv", place, cwd=tmp_path)
        install = [python, "-m", "pip", "install", "--quiet"]
    run(*install, "--require-hashes", "-r", lock, cwd=tmp_path)
    run(*install, "--no-deps", wheel, cwd=tmp_path)
    assert "check" in run(place / "bin" / "layshaft", "--help", cwd=tmp_path)
    found = run(python, "-c", "from layshaft.listings.tables import table_names; print(table_names())",
                cwd=tmp_path)
    assert "keys_metric" in found
