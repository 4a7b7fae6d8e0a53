"""The lock files hold what pyproject.toml asks for, with a hash each and no address."""

import re
import tomllib

import pytest


def plain_name(requirement: str) -> str:
    """Name of a requirement or of a lock line, as packaging standards normalise it."""
    found = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert found
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def asked(project: dict, lock: str) -> list[str]:
    groups = project["dependency-groups"]
    if lock == "page":
        return [plain_name(requirement) for requirement in groups["page"]]
    wanted = list(project["project"]["dependencies"])
    if lock == "test":
        for extra in project["project"]["optional-dependencies"].values():
            wanted += extra
        wanted += groups["test"] + groups["lint"]
    return [plain_name(requirement) for requirement in wanted]


@pytest.mark.parametrize("lock", ["run", "test", "page"])
def test_locks_are_complete_hashed_and_without_addresses(checkout, lock):
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    text = (checkout / "locks" / f"{lock}.txt").read_text(encoding="utf-8")
    entries = re.findall(r"^(\S+==.*(?:\n .*)*)", text, re.MULTILINE)
    missing = set(asked(project, lock)) - {plain_name(entry) for entry in entries}
    assert not missing, f"run `make locks`: locks/{lock}.txt lacks {sorted(missing)}"
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []
    assert "://" not in text


def test_both_locks_agree(checkout):
    """`make run` must run what `make test` tested."""
    run, test = ((checkout / "locks" / f"{lock}.txt").read_text(encoding="utf-8") for lock in ("run", "test"))
    pins = re.findall(r"^\S+==\S+", run, re.MULTILINE)
    assert pins
    assert [pin for pin in pins if pin not in test] == []
