"""What would mend a finding: changes of the file after which it holds and nothing else begins to fail or gets worse.

Single changes first (`mend_search`); where none does, two together (`pairing`). What is offered is run over time
(`mend_answer`), so that nothing a run would say against it stays unsaid.
"""

from __future__ import annotations

from typing import Any

from layshaft.machine.model import Machine
from layshaft.study.changes import Mending
from layshaft.study.mend_answer import answer, mends_it
from layshaft.study.mend_search import Search, Told
from layshaft.study.pairing import pairs
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.verdict.rate import Verdict


def finding_of(verdict: Verdict, part: str, mode: str = "") -> Finding:
    """The finding that is to be mended: the worst of a part that fails or is thin, or that of one failure mode."""
    found = verdict.of(part)
    if mode:
        named = ([f for f in found if f.part == part and f.mode == mode]
                 or [f for f in found if mode.casefold() in f.mode.casefold()])
        if not named:
            known = ", ".join(sorted({f.mode for f in found})) or "none"
            raise BadInput(f"{part} has no finding named '{mode}'. It has: {known}.")
        found = named
    wanting = [f for f in found if f.verdict in ("fails", "thin")]
    if wanting:
        return wanting[0]
    unknown = next((f for f in found if f.verdict == "unknown"), None)
    if unknown is not None:
        raise BadInput(f"{unknown.part}, {unknown.mode} is unknown: {unknown.reason or 'something is missing'}. "
                       "Settle that first: `layshaft needs` says how.")
    raise BadInput(f"There is nothing to mend at {part}: all that was checked holds." if found else
                   f"Nothing is rated at {part}.")


def mending(machine: Machine, finding: Finding, told: Told = lambda _done, _whole: None) -> Mending:
    """Changes after which a finding holds. An interrupt keeps what is found."""
    search = Search(machine, finding, told)
    try:
        search.run()
        if not mends_it(search):
            pairs(search)
        return answer(search)
    except KeyboardInterrupt:
        search.found.stopped = True
        return answer(search)


def as_plain(option: Any) -> Any:
    """The option as plain data, for a draft or a print of it."""
    from layshaft.machine.document import ListNode, MapNode, TextNode

    if isinstance(option, MapNode):
        return {e.key: as_plain(e.value) for e in option.entries}
    if isinstance(option, ListNode):
        return [as_plain(item) for item in option.items]
    return option.text if isinstance(option, TextNode) else option
