"""Run the benchmarks: `python benchmarks/run.py`, or only those whose name holds a word given."""

from __future__ import annotations

import importlib
import sys

from harness import as_table, compare

# Modules in this folder, each with a function `pairs`. A new benchmark is one module and one entry here.
BENCHMARKS = ["catalogue", "choosing", "doubting", "keys", "recheck", "running", "shafts", "torsion"]


def main(words: list[str]) -> int:
    pairs = [pair for name in BENCHMARKS for pair in importlib.import_module(name).pairs()]
    wanted = [pair for pair in pairs if all(word in pair.name for word in words)]
    if not wanted:
        names = ", ".join(pair.name for pair in pairs)
        print(f"No benchmark has {' '.join(words)} in its name. There are: {names}.")
        return 2
    print(as_table([compare(pair) for pair in wanted]))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
