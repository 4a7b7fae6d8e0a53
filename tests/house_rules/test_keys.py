"""Every key a machine file may hold is read somewhere, or is marked as one that nothing reckons with yet."""

import re
from pathlib import Path

import layshaft
from layshaft.machine import kinds, model
from layshaft.machine.schema import Thing, keys

HOUSE = Path(layshaft.__file__).parent
DESCRIBED_IN = re.compile(r"machine/(kinds/\w+|model)\.py")
FOR_PEOPLE = {"id", "place", "locators"}  # texts that are only shown


def described():
    found = {c for m in (kinds, model) for c in vars(m).values() if isinstance(c, type)}
    return sorted((c for c in found if issubclass(c, Thing)), key=lambda c: c.__name__)


def test_no_key_is_ignored_in_silence():
    house = "\n".join(p.read_text(encoding="utf-8") for p in sorted(HOUSE.rglob("*.py"))
                      if not DESCRIBED_IN.fullmatch(p.relative_to(HOUSE).as_posix()))
    for kind in described():
        for field, k in keys(kind).values():
            used = re.search(rf"\.{field}\b", house) or f'"{field}"' in house
            assert used or k.idle or field in FOR_PEOPLE, f"{kind.__name__}.{field}"


def test_some_keys_are_idle_and_the_reference_says_so():
    page = (HOUSE.parents[1] / "docs" / "machine-file.md").read_text(encoding="utf-8")
    idle = {name for kind in described() for name, (_, k) in keys(kind).items() if k.idle}
    for name in idle:
        rows = [line for line in page.splitlines() if line.startswith(f"| `{name}` |")]
        assert any("kept, not reckoned with yet" in row for row in rows), name
