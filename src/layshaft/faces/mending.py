"""The command that looks for what would mend a finding. Nothing heavy is imported before it runs."""

from __future__ import annotations

import sys
from textwrap import wrap
from typing import TYPE_CHECKING, Annotated, Any

import typer

from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.terminal import machine_of, part_path, tell, tell_json

if TYPE_CHECKING:
    from layshaft.study.mending import Change, Mending
    from layshaft.trace.findings import Finding

WIDE = 100
SAFE = "What mends a number does not make it safe: local codes and a licensed person decide."


def register(app: typer.Typer) -> None:
    """Give the command line this command."""
    app.command("mend")(mend)


def mend(
    machine: MachineFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="a path, such as 'stages.lens mitre', or a name")],
    mode: Annotated[str, typer.Option(metavar="WORDS", help="which finding of it, by words of its failure mode; "
                                                            "without: its worst")] = "",
    set_: Sets = None, option: Options = None, as_json: AsJson = False,
) -> None:
    """Look for single changes that would make a finding hold while nothing else that held begins to fail."""
    from layshaft.faces.progress import Progress
    from layshaft.study.mending import finding_of, mending
    from layshaft.trace.units import print_in
    from layshaft.train.solve import solve
    from layshaft.verdict.rate import rate

    read = machine_of(machine, set_, option)
    print_in(read.units)
    verdict = rate(solve(read))
    finding = finding_of(verdict, part_path(verdict, part), mode)
    with Progress(sys.stderr, 0.0, "{done:.0f} of {whole:.0f} ways looked at", "keeps what is found") as progress:
        found = mending(read, finding, progress.reached_of)
    if as_json:
        tell_json(mending_dict(found))
    else:
        tell(mending_text(found))


def mending_text(found: Mending) -> str:
    """The answer as sentences."""
    lines = _filled(f"{state_of(found.finding)}.", "")
    if found.finding.hurts:
        lines += _filled(f"At risk: {found.finding.hurts}. {SAFE}", "")
    lines.append("")
    if found.changes:
        lines += ["Each of these alone would mend it, the file's own options first, then the least change:"]
        for n, c in enumerate(found.changes, 1):
            lines += [*_filled(change_words(c), f"  {n}. "), *_filled(then_words(c), "     ")]
        lines += ["", "Try one with `layshaft check MACHINE --set 'PATH=VALUE'` or `--option NAME`."]
    else:
        lines += _filled(none_words(found), "")
    if found.but:
        lines += ["", "These would mend it, but cost another:"]
        for c in found.but:
            lines += [*_filled(change_words(c), "  - "), *_filled(but_words(c), "    ")]
    lines += ["", *_filled(counted(found), "")]
    return "\n".join(lines)


def _filled(text: str, head: str) -> list[str]:
    """Lines no longer than the page, the first with a head."""
    return wrap(text, WIDE, initial_indent=head, subsequent_indent=" " * len(head), break_long_words=False)


def state_of(f: Finding) -> str:
    """What the finding says now."""
    place = f", {f.place}" if f.place else ""
    return (f"{f.part}{place}: {f.mode} {'is thin' if f.verdict == 'thin' else 'fails'} with margin {f.margin_text} "
            f"where {_figure(f.required)} is required ({f.title})")


def change_words(c: Change) -> str:
    """What is changed, and the margin then."""
    what = f"{c.what}: {c.was} becomes {c.then}" if c.then else c.what
    return f"{what}; margin {c.found.margin_text} of {_figure(c.found.required)}"


def then_words(c: Change) -> str:
    """What else it changes."""
    if not c.better and not c.worse:
        return "No other verdict changes."
    said = [f"better: {_named(c.better)}"] if c.better else []
    said += [f"worse, but not failing anew: {_named(c.worse)}"] if c.worse else []
    return f"Also {'; '.join(said)}."


def but_words(c: Change) -> str:
    """What it costs."""
    return f"But then this is lost: {_named(c.breaks)}."


def none_words(found: Mending) -> str:
    """That nothing mends it, and what comes nearest."""
    near = found.nearest
    came = "So far no" if found.stopped else "No"
    if near is None:
        return f"{came} single change of a value mends it, and none that was tried brings it nearer."
    what = f"{near.what} as {near.then}" if near.then else near.what
    return (f"{came} single change of a value mends it; the nearest is {what} "
            f"(margin {near.found.margin_text} of {_figure(near.found.required)}).")


def counted(found: Mending) -> str:
    """How much was tried, and what was not."""
    end = " It was stopped before all were tried." if found.stopped else ""
    count = f"{found.tried} changes were tried"
    return (f"{count}, each with the whole machine solved and rated again: the file's options, "
            "the next sizes, and sizes and places of the part, its shafts and the stages beside them, one at a time."
            f"{end}")


def _named(findings: tuple[Finding, ...], most: int = 3) -> str:
    words = [f"{f.part}, {f.mode} ({f.verdict})" for f in findings[:most]]
    more = len(findings) - most
    return "; ".join(words) + (f"; and {more} more" if more > 0 else "")


def mending_dict(found: Mending) -> dict[str, Any]:
    """The answer as plain data, numbers in SI."""
    f = found.finding
    return {"part": f.part, "mode": f.mode, "margin": f.margin, "required": f.required,
            "mends": [_change(c) for c in found.changes], "costs another": [_change(c) for c in found.but],
            "nearest": _change(found.nearest) if found.nearest else None, "tried": found.tried,
            "stopped": found.stopped}


def _change(c: Change) -> dict[str, Any]:
    from layshaft.study.mending import as_plain

    def named(findings: tuple[Finding, ...]) -> list[dict[str, str]]:
        return [{"part": f.part, "mode": f.mode, "verdict": f.verdict} for f in findings]

    return {"what": c.what, "was": c.was, "then": c.then, "option": as_plain(c.option), "margin": c.found.margin,
            "better": named(c.better), "worse": named(c.worse), "breaks": named(c.breaks)}


def _figure(value: float) -> str:
    """Three figures; what numbers need is loaded only where some are told."""
    from layshaft.trace.units import figure

    return figure(value, 3)
