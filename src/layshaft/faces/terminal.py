"""What every command shares: the machine asked for, what is printed, and how a mistake is explained."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from layshaft.trace.errors import BadInput

if TYPE_CHECKING:
    from layshaft.machine.model import Machine
    from layshaft.verdict.rate import Verdict

ALL_HOLD, NOT_ALL, BAD_INPUT, BROKEN_OFF = 0, 1, 2, 130


def mend_streams() -> None:
    """A closed stream reads as empty or swallows; a sign the terminal cannot show is written as its number."""
    sys.stdin = sys.stdin or io.StringIO()
    sys.stdout = sys.stdout or io.StringIO()
    sys.stderr = sys.stderr or io.StringIO()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def explain(error: Exception) -> NoReturn:
    """End with one sentence where the input is at fault; anything else is a fault of ours and is raised."""
    if type(error).__name__ == "Abort":
        sys.exit(BROKEN_OFF)
    if hasattr(error, "show") and hasattr(error, "exit_code"):  # what the command line itself refuses
        error.show()
        sys.exit(BAD_INPUT)
    if isinstance(error, BadInput):
        print(error, file=sys.stderr)
        sys.exit(BAD_INPUT)
    if isinstance(error, OSError):
        print(f"{error.filename or 'The file'} cannot be used: {(error.strerror or str(error)).lower()}.",
              file=sys.stderr)
        sys.exit(BAD_INPUT)
    raise error


def refuse_place(report: Path) -> None:
    """Refuse a place no report can be written to, before any work. Raises `BadInput`."""
    if report.is_dir():
        raise BadInput(f"{report} is a folder. Name the file of the report, for instance {report / 'report.html'}.")
    if not report.parent.is_dir():
        raise BadInput(f"There is no folder {report.parent} for the report. Make it, or give another path.")


def machine_of(path: Path, sets: list[str] | None, options: list[str] | None) -> Machine:
    """The machine asked for, with its options and changes. Raises `BadInput`."""
    from layshaft.machine import apply, named_option, read, set_from_text

    machine = read(path)
    for name in options or []:
        machine = named_option(machine, name)
    if sets:
        machine = apply(machine, set_from_text(sets), label="what-if")
    return machine


def verdict_of(path: Path, sets: list[str] | None, options: list[str] | None) -> Verdict:
    """The machine asked for, solved and rated; what is printed from here on is in its units. Raises `BadInput`."""
    from layshaft.project.runs import kept_run
    from layshaft.trace.units import print_in
    from layshaft.train.solve import solve
    from layshaft.verdict.rate import rate

    machine = machine_of(path, sets, options)
    print_in(machine.units)
    run = kept_run(machine)
    return rate(solve(machine, run.moments), run)


def part_path(verdict: Verdict, part: str) -> str:
    """A path as given, or the one part whose last name it is; else a sentence with near names."""
    import difflib

    paths = sorted({f.part for f in verdict.findings})
    folded = part.casefold()
    if any(p.casefold() == folded or p.casefold().startswith(f"{folded}.") for p in paths):
        return part
    ends = sorted({".".join(words[: i + 1]) for p in paths for words in [p.split(".")]
                   for i in range(1, len(words)) if words[i].casefold() == folded})
    whole = [e for e in ends if e.split(".")[0] in ("stages", "drives", "loads") and e.count(".") == 1]
    if len(ends) == 1 or len(whole) == 1:
        return (whole or ends)[0]
    if ends:
        raise BadInput(f"'{part}' could be {' or '.join(repr(e) for e in ends)}; write one of these.")
    near = difflib.get_close_matches(part, [*paths, *{p.rsplit(".", 1)[-1] for p in paths}], 3, 0.5)
    hint = f" Did you mean {' or '.join(repr(n) for n in near)}?" if near else \
        " `layshaft check` lists the parts by their paths."
    raise BadInput(f"There is no rated part '{part}'.{hint}")


def ask_aloud(text: str) -> None:
    """A question, without a line end."""
    sys.stdout.write(text)
    sys.stdout.flush()


def tell(text: str) -> None:
    """An answer, with one line end."""
    sys.stdout.write(text.rstrip("\n") + "\n")


def tell_json(data: Any) -> None:
    """Plain data."""
    import json

    tell(json.dumps(data, ensure_ascii=False, indent=1))
