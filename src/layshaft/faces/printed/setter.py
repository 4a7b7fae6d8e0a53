"""The typesetter's own process: what is asked for comes in as JSON, what is set goes out as bytes.

Pictures go out each behind its length in eight bytes, for there may be many pages.
"""

from __future__ import annotations

import json
import sys
from importlib.resources import as_file, files
from pathlib import Path

FORMS = ("book.typ", "picture.typ")


def main() -> None:
    """Set one document. Its root holds the forms and nothing else of the machine's folder."""
    import typst

    asked = json.loads(sys.stdin.buffer.read())
    if asked["form"] not in FORMS:
        sys.exit(f"There is no form {asked['form']}.")
    with as_file(files("layshaft.faces.printed")) as home:
        found = typst.compile(
            Path(home) / asked["form"], root=Path(home), format=asked["kind"], ppi=asked["ppi"] or None,
            sys_inputs={"data": json.dumps(asked["data"], ensure_ascii=False)}, timestamp=0)
    pages = found if isinstance(found, list) else [found]
    for page in pages:
        assert page is not None
        if asked["kind"] == "png":
            sys.stdout.buffer.write(len(page).to_bytes(8, "big"))
        sys.stdout.buffer.write(page)


if __name__ == "__main__":
    main()
