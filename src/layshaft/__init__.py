"""Layshaft: a machine of chains, gears, weights and cranks solved as a whole, every part rated.

    import layshaft
    machine = layshaft.read("examples/harbour-light")
    verdict = layshaft.rate(layshaft.solve(machine))
    print(verdict)
    what_if = layshaft.apply(machine, {"set": {"stages.lens chain.chain": "08B-2"}})

Numbers are SI float64; units live in the machine file and in what is printed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from layshaft.machine import Machine, MachineErrors, apply, named_option, read, read_text, sample
    from layshaft.trace.findings import Finding
    from layshaft.train.solve import Solved, solve
    from layshaft.verdict.rate import Verdict, rate
    from layshaft.verdict.sheets import Sheet, sheets_of

__version__ = "0.1.0"

_HOMES = {
    "read": "layshaft.machine", "read_text": "layshaft.machine", "apply": "layshaft.machine",
    "named_option": "layshaft.machine", "sample": "layshaft.machine", "Machine": "layshaft.machine",
    "MachineErrors": "layshaft.machine", "solve": "layshaft.train.solve", "Solved": "layshaft.train.solve",
    "rate": "layshaft.verdict.rate", "Verdict": "layshaft.verdict.rate", "Finding": "layshaft.trace.findings",
    "sheets_of": "layshaft.verdict.sheets", "Sheet": "layshaft.verdict.sheets",
}

__all__ = [
    "Finding", "Machine", "MachineErrors", "Sheet", "Solved", "Verdict", "apply", "named_option", "rate", "read",
    "read_text", "sample", "sheets_of", "solve",
]


def __getattr__(name: str) -> Any:
    """Import a public name when it is first asked for: the command line stays quick."""
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"layshaft has no '{name}'; it has {', '.join(__all__)}.")
    return getattr(import_module(home), name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
