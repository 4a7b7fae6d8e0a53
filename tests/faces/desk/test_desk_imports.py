"""Nothing of the page's server is loaded by a command that does not serve, and its scripts carry no address."""

import json
import subprocess
import sys

import pytest

RUN = """
import sys
from layshaft.faces.cli import main
try:
    main()
except SystemExit:
    pass
print("\\n" + " ".join(sorted({name.partition(".")[0] for name in sys.modules})))
"""
SERVES = {"fastapi", "starlette", "uvicorn", "jinja2", "multipart", "python_multipart"}


@pytest.mark.parametrize("words", [("--help",), ("open", "--help"), ("check", "examples/hand-grinder")])
def test_no_server_is_loaded_without_need(words, checkout):
    done = subprocess.run([sys.executable, "-c", RUN, *words], capture_output=True, text=True, check=True, cwd=checkout)
    assert not set(done.stdout.splitlines()[-1].split()) & SERVES


def test_the_script_lock_has_hashes_and_no_address(checkout):
    text = (checkout / "package-lock.json").read_text(encoding="utf-8")
    assert "://" not in text and "resolved" not in text
    packages = {name: p for name, p in json.loads(text)["packages"].items() if name}
    asked = json.loads((checkout / "package.json").read_text(encoding="utf-8"))
    assert {f"node_modules/{n}" for n in asked["dependencies"] | asked["devDependencies"]} <= set(packages)
    assert all(p["integrity"].startswith("sha512-") for p in packages.values())
