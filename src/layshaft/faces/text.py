"""What the terminal prints: the verdict, the books, the guesses, the cautions, the next step."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from layshaft.faces.pages.words import MEANS
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.sheet import as_text
from layshaft.trace.units import ENERGY, FORCE, LENGTH, POWER, SPEED, TIME, TORQUE, figure, shown
from layshaft.verdict.balance import Reading
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.headlines import headlines
from layshaft.verdict.jam import UPPER_BOUNDS, Jam, stops
from layshaft.verdict.measured import AGAINST
from layshaft.verdict.next_step import name_of, next_step, seen_to_first
from layshaft.verdict.rate import Verdict
from layshaft.verdict.remarks import by_text, drag_shares
from layshaft.verdict.sheets import Sheet

NO_BREAK = "\u00a0"

HEADS = {"fails": "FAILS", "unknown": "UNKNOWN", "thin": "THIN", "holds": "HOLDS"}


def width() -> int:
    """Columns to print in."""
    return max(72, min(shutil.get_terminal_size((100, 24)).columns, 120))


def wrapped(text: str, indent: str = "", first: str | None = None) -> str:
    """A paragraph within the width; a no-break space in it is printed as a plain one."""
    filled = textwrap.fill(text, width(), initial_indent=indent if first is None else first,
                           subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)
    return filled.replace(NO_BREAK, " ")


def check_text(verdict: Verdict) -> str:
    """The whole answer of `layshaft check`."""
    return "\n".join([
        *_head(verdict), *_findings(verdict.findings), *_governed(verdict), *_remarks(verdict), *_stops(verdict),
        *_turning(verdict), *_taken(verdict),
        *budget_lines(verdict), *_guesses(verdict), *_cautions(verdict), "", "NEXT STEP",
        wrapped(next_step(verdict), "  "),
    ])


def _head(verdict: Verdict) -> Iterator[str]:
    machine = verdict.solved.machine
    yield machine.title + (f", with {machine.label}" if machine.label else "")
    counts = {word: sum(f.verdict == word for f in verdict.findings) for word in WORST_FIRST}
    weak = sum(bool(f.trust) for f in verdict.findings if f.verdict == "holds")
    yield (f"{len(verdict.findings)} findings: {counts['fails']} fail, {counts['unknown']} unknown, "
           f"{counts['thin']} thin, {counts['holds']} hold"
           + (f", {weak} of these on a typical or remembered value" if weak else ""))
    yield from (wrapped(f"{word:<10}{MEANS[word]}", " " * 12, "  ") for word in WORST_FIRST)


def _findings(findings: list[Finding]) -> Iterator[str]:
    for word in WORST_FIRST:
        chosen = [f for f in seen_to_first(findings) if f.verdict == word]
        if chosen:
            yield from ("", HEADS[word])
            for found in chosen:
                yield from finding_lines(found)


def finding_lines(found: Finding) -> Iterator[str]:
    """One finding in two or three lines."""
    yield wrapped(f"{name_of(found)}: {found.mode}, {found.title}", "    ", "  ")
    if np.isfinite(found.demand) or np.isfinite(found.rating):
        yield (f"      demand {found.demand_text}   rating {found.rating_text}   margin {found.margin_text}   "
               f"required {figure(found.required, 3)}")
    yield wrapped(found.verdict_text + (f"; at risk: {found.hurts}" if found.hurts and found.verdict != "holds"
                                        else ""), "      ")
    if found.note and found.verdict != "holds":
        yield wrapped(found.note, "      ")
    if found.mode == AGAINST and found.verdict != "holds":
        yield wrapped(f"layshaft change MACHINE --remove '{found.part}.guessed'", "      ")
    yield wrapped(f"source: {found.source}" + (f"   sheet{NO_BREAK}{found.fingerprint}" if found.fingerprint else ""),
                  "      ")
    if found.shares:
        s = found.shares
        yield f"      of the draws {s.holds:.1%} hold, {s.does_not:.1%} do not, {s.unknown:.1%} are unknown"


def _governed(verdict: Verdict) -> Iterator[str]:
    yield from ("", "WHAT GOVERNS EACH PART")
    for line in headlines(verdict):
        yield wrapped(f"{line.part}: {line.text}, margin {line.finding.margin_text}", "      ", "  ")


def _turning(verdict: Verdict) -> Iterator[str]:
    """Speed, sense and largest torque of every shaft, and the drag of its bearings where it is notable."""
    solved = verdict.solved
    drags = {d.shaft: d.share for d in drag_shares(verdict)}
    yield from ("", "SHAFTS, in the running case")
    yield f"  {'':<20}{'speed':>16}  {'turns':<10}{'largest torque':>15}   drag of its bearings over that torque"
    for name, speed in solved.speed.items():
        omega = float(np.mean(speed[0]))
        sense = "stands" if omega == 0 else ("forward" if omega > 0 else "backward")
        torque = max((float(np.abs(t[0]).mean()) for t in solved.seat_torque[name].values()), default=0.0)
        drag = f"   {drags[name]:.0%}" if name in drags else ""
        yield f"  {name:<20}{shown(abs(omega), SPEED):>16}  {sense:<10}{shown(torque, TORQUE):>15}{drag}"
    yield wrapped("forward: right-handed about the shaft's axis, so anticlockwise for one who looks against it.", "  ")


def _stops(verdict: Verdict) -> Iterator[str]:
    """Not a finding: which part gives way in a jam is the builder's to choose."""
    found = [jam for jam in stops(verdict) if jam.goes]
    if found:
        yield from ("", "IF A JAM STOPS IT DEAD WHILE IT RUNS")
    for jam in found:
        first = jam.first_to_go
        assert first is not None
        risk = f"; at risk: {first.hurts}" if first.hurts else ""
        words = f"at {jam.shaft}, {name_of(first)} lets go first ({first.mode}, margin {first.margin_text}){risk}"
        yield wrapped(words, "    ", "  ")
    if found:
        yield wrapped(f"{UPPER_BOUNDS} `layshaft jam` shows every torque.", "  ")


def _taken(verdict: Verdict) -> Iterator[str]:
    """What the file leaves out and the solve took from the speeds that are wanted."""
    if verdict.solved.taken:
        yield from ("", "TAKEN FROM THE SPEEDS THAT ARE WANTED")
    for taken in verdict.solved.taken.values():
        yield wrapped(f"{taken}.", "    ", "  ")


def _remarks(verdict: Verdict) -> Iterator[str]:
    found = by_text(verdict)
    if found:
        yield from ("", "REMARKS")
    for text, paths in found.items():
        more = f" and {len(paths) - 3} more" if len(paths) > 3 else ""
        yield wrapped(f"{', '.join(paths[:3])}{more}: {text}", "    ", "  ")


def budget_lines(verdict: Verdict) -> Iterator[str]:
    """The energy books, as a table that a reader can add up."""
    books = verdict.solved.budget
    assert books is not None
    if not books.entries:
        return
    drop = books.windings[0] if books.windings else None
    time = float(np.mean(drop.time)) if drop is not None else float("nan")
    yield from ("", "ENERGY, in the running case")
    yield f"  {'':<44}{'power':>12}" + (f"{'a drop':>14}" if drop else "")
    for kind, head in (("in", "goes in"), ("used", "used"), ("lost", "lost")):
        for entry in (e for e in books.entries if e.kind == kind):
            power = float(np.mean(entry.power))
            yield _energy_line(f"{head}: {entry.name}", power, time)
        yield _energy_line(f"{head}, sum", float(np.mean(books.total(kind))), time)  # type: ignore[arg-type]
    if drop is not None:
        yield from _drop_lines(drop, verdict)


def _energy_line(name: str, power: float, time: float) -> str:
    energy = f"{shown(power * time, ENERGY):>14}" if np.isfinite(time) else ""
    return f"  {name:<44}{shown(power, POWER):>12}{energy}"


def _drop_lines(drop: Any, verdict: Verdict) -> Iterator[str]:
    runs = list((verdict.solved.machine.runs or {}).values())
    minutes = float(np.mean(drop.time)) / 60
    yield wrapped(f"One drop of {drop.drive} stores {shown(float(np.mean(drop.stored)), ENERGY)} and "
                  f"{'takes' if drop.lifted else 'lasts'} {figure(minutes, 3)} min{' to lift' if drop.lifted else ''}; "
                  f"the wheel makes {figure(float(np.mean(drop.turns)), 3)} turns.", "  ")
    if drop.lifted:
        if drop.crank:
            yield wrapped(f"That is {figure(float(np.mean(drop.crank_turns)), 3)} turns of {drop.crank} at "
                          f"{shown(float(np.mean(drop.handle_force)), FORCE)} and "
                          f"{shown(float(np.mean(drop.person_power)), POWER)}.", "  ")
        return
    if drop.crank and np.all(np.isfinite(np.asarray(drop.winding_time))):
        yield wrapped(
            f"Rewinding it while it runs takes {shown(float(np.mean(drop.winding_time)), TIME)} and "
            f"{figure(float(np.mean(drop.crank_turns)), 3)} turns of {drop.crank}, at "
            f"{shown(float(np.mean(drop.handle_force)), FORCE)} and {shown(float(np.mean(drop.person_power)), POWER)}.",
            "  ")
    for name, ratio in verdict.solved.budget.start_ratio.items():  # type: ignore[union-attr]
        yield wrapped(f"At rest {name} gives {figure(float(np.mean(ratio)), 3)} times the torque that starts "
                      "everything in the worst position; below 1 the machine stands still, and 1.5 is usually wanted.",
                      "  ")
    for run in runs:
        times = run.time.nominal / (minutes * 60)
        yield wrapped(f"{run.name}: {shown(run.time.nominal, TIME)} a day ask for {figure(times, 3)} windings.", "  ")


def _guesses(verdict: Verdict) -> Iterator[str]:
    found = guesses(verdict)
    if not found:
        return
    yield from ("", "RESTS ON THESE GUESSES")
    for guess in (g for g in found if g.path.count(".") and not _is_rating(verdict, g.path)):
        shared = f", shared by {guess.shared_by}" if guess.shared_by > 1 else ""
        yield wrapped(f"{guess.path}: {guess.value}{shared} ({guess.why})", "    ", "  ")
    ratings = [g for g in found if _is_rating(verdict, g.path)]
    if ratings:
        yield wrapped(f"and {len(ratings)} verdicts that hold on a typical or remembered value, marked above.", "  ")


def _is_rating(verdict: Verdict, path: str) -> bool:
    return path not in verdict.solved.machine.givens


def _cautions(verdict: Verdict) -> Iterator[str]:
    yield from ("", "CAUTIONS")
    for caution in cautions(verdict):
        yield wrapped(caution.text, "    ", "  ")


def sheets_text(sheets: Iterable[Sheet]) -> str:
    """Sheets one after the other."""
    blocks = []
    for sheet in sheets:
        found = sheet.finding
        blocks.append("\n".join([
            "=" * width(), wrapped(sheet.title), wrapped(f"case: {found.title}"),
            wrapped(f"the demand comes by this way: {sheet.came_from}"),
            wrapped(f"verdict: {found.verdict_text}; margin {found.margin_text}, required {figure(found.required, 3)}"
                    f" ({found.required_source})"),
            "", as_text(sheet.trace, width()), "", f"fingerprint {sheet.fingerprint}",
        ]))
    return "\n\n".join(blocks)


def jam_text(verdict: Verdict, found: list[Jam]) -> str:
    """What happens when each shaft is held fast."""
    lines = [verdict.solved.machine.title]
    for jam in found:
        how = "by the drive's pull" if jam.still else "running, so that the turning masses run into it"
        lines += ["", wrapped(f"{jam.shaft} held fast {how}: {shown(jam.torque, TORQUE)} hold it")]
        lines += [f"    {p.stage:<30} {shown(p.first, TORQUE):>12} at the first shaft  "
                  f"{shown(p.second, TORQUE):>12} at the second" for p in jam.path]
        first = jam.first_to_go
        if first is None:
            lines.append("    what lets go first is not known")
        elif jam.goes:
            lines.append(wrapped(f"lets go first: {name_of(first)}, {first.mode} (margin {first.margin_text})"
                                 + (f"; at risk: {first.hurts}" if first.hurts else ""), "      ", "    "))
        else:
            lines.append(wrapped(f"nothing lets go; nearest is {name_of(first)}, {first.mode} (margin "
                                 f"{first.margin_text})", "      ", "    "))
    lines += ["", wrapped("The second half counts every mesh and the frame as rigid: upper bounds. A part that lets go "
                          "limits what the others feel: choose which one it is, and never one that holds a weight.")]
    return "\n".join(lines)


def balance_text(verdict: Verdict, found: list[Reading]) -> str:
    """What a spring balance should read."""
    lines = [verdict.solved.machine.title, "", wrapped(
        "Take the weights off, hook a spring balance on a lever at the radius, and pull slowly, square to the lever. "
        "Break-away is the highest reading before it moves, running the steady one. A reading far from the one below "
        "says which guess is wrong."), "", f"  {'shaft':<28}{'radius':>10}{'break-away':>14}{'running':>12}"]
    for r in found:
        lines.append(f"  {r.shaft:<28}{shown(r.radius, LENGTH):>10}{shown(float(np.mean(r.break_away)), FORCE):>14}"
                     f"{shown(float(np.mean(r.running)), FORCE):>12}")
    return "\n".join(lines)
