"""The command that chooses parts. Nothing heavy is imported before it runs."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layshaft.faces.arguments import AsJson, Cluster, MachineFile, Options, Sets, Workers
from layshaft.faces.terminal import ALL_HOLD, BROKEN_OFF, NOT_ALL, machine_of, tell, tell_json
from layshaft.trace.errors import BadInput

if TYPE_CHECKING:
    from layshaft.machine.model import Machine
    from layshaft.study.choosing.choose import Choice
    from layshaft.study.choosing.space import Wish

LARGEST_SHARE = 0.2
LEAST_TEETH, MOST_TEETH = 6, 120


def choose(
    machine: MachineFile,
    parts: Annotated[list[str], typer.Argument(metavar="PART...", help="paths of what to choose: a stage, a shaft, "
                                                                       "what sits on a seat, a weight, a brake, a "
                                                                       "spring and more; together or alone")],
    set_: Sets = None, option: Options = None, as_json: AsJson = False,
    ratio: Annotated[str | None, typer.Option(metavar="RATIO", help="choose teeth too: turns of the first shaft for "
                                                                    "one of the last")] = None,
    within: Annotated[str | None, typer.Option(metavar="SHARE", help="how far off it may be; else 0.5 %")] = None,
    small: Annotated[str | None, typer.Option(metavar="FROM-TO", help="teeth of small wheels to try; else 17-38, of "
                                                                      "several stages 17-25")] = None,
    require: Annotated[list[str] | None, typer.Option(metavar="WHAT", help="what a list must have: cad")] = None,
    prefer: Annotated[str, typer.Option(metavar="WISHES", help="what to weigh, such as 'price=2,mass'")] = "",
    most: Annotated[int, typer.Option(min=1, help="trade-offs to print")] = 10,
    plot: Annotated[Path | None, typer.Option(metavar="FILE", help="draw the trade-offs: .svg, .png or .pdf")] = None,
    take: Annotated[int | None, typer.Option(metavar="N", min=1, help="write trade-off N into the file")] = None,
    show: Annotated[bool, typer.Option("--show", help="with --take: print what would change, write nothing")] = False,
    workers: Workers = None, cluster: Cluster = "",
) -> None:
    """Try all that can be bought for some parts: the best trade-offs of those that hold. Ends 1 if none does."""
    from layshaft.faces.progress import Progress
    from layshaft.faces.working import work
    from layshaft.project.offered import offers_for
    from layshaft.study.choosing.choose import choose as searched
    from layshaft.trace.units import print_in

    _refuse(plot, taken_from=take is not None and bool(set_ or option))
    wish = _wish(ratio, within, require, prefer, small)
    read = machine_of(machine, set_, option)
    print_in(read.units)
    paths = [_path(read, part) for part in parts]
    words = "{done:.0f} of {whole:.0f} likely answers rated"
    with work(workers, cluster) as runner, Progress(sys.stderr, 0.0, words, "keeps what is rated") as progress:
        found = searched(read, paths, wish, offers_for(machine), most, progress.reached_of, runner)
    if take is not None:
        tell(_taken(machine, found, take, write=not show))
    else:
        _told(found, most, plot, as_json=as_json)
        raise typer.Exit(BROKEN_OFF if found.ended else ALL_HOLD if found.candidates else NOT_ALL)


def _refuse(plot: Path | None, *, taken_from: bool) -> None:
    """What cannot be asked for, before anything is searched."""
    from layshaft.faces.run_files import refuse_place

    if plot is not None:
        refuse_place(plot, drawn=True)
    if taken_from:
        raise BadInput("--take writes into the file as it stands: leave out --set and --option, or keep them first "
                       "with `layshaft change`.")


def _told(found: Choice, most: int, plot: Path | None, *, as_json: bool) -> None:
    """Print the answer, and draw it."""
    from layshaft.faces import choices as face

    if as_json:
        tell_json(face.choice_dict(found))
    else:
        tell(face.choice_text(found, most))
    if plot is not None and found.candidates:
        face.write_plot(found, plot, most)
        if not as_json:
            tell(f"\nThe drawing is in {plot}.")


def _taken(path: Path, found: Choice, number: int, *, write: bool) -> str:
    """Write one trade-off into the machine file; the lines that differ."""
    from layshaft.faces.changing import difference
    from layshaft.project import keeping

    if found.ended:
        raise BadInput(f"The search was stopped early ({found.ended}): nothing was written.")
    if number > len(found.candidates):
        there = f"there are {len(found.candidates)}" if found.candidates else "none holds"
        raise BadInput(f"There is no trade-off {number}: {there}. Run it without --take to see them.")
    before = keeping.opened(path)
    after = keeping.changed(before, found.candidates[number - 1].option, "chosen")
    lines = difference(before.text, after.text, before.path.name)
    if not lines:
        return f"{before.path} says so already: nothing changed."
    if write:
        keeping.keep(before, after)
    end = f"Written to {before.path}. Take it back with: layshaft undo {path}" if write else "Nothing was written."
    return f"{lines}\n{end}"


def _path(machine: Machine, part: str) -> str:
    """A path as given, or that of the one part of that name, whatever the case of its letters."""
    folded = part.strip().casefold()
    for kind in ("stages", "shafts", "drives", "loads", "springs", "fixings", "frames"):
        for name in getattr(machine, kind) or {}:
            if folded in (name.casefold(), f"{kind}.{name}".casefold()):
                return f"{kind}.{name}"
    for shaft in machine.shafts.values():
        for seat in shaft.seats.values():
            for what in ("bearing", "key", "bush", "hub"):
                if folded == f"{seat.path}.{what}".casefold():
                    return f"{seat.path}.{what}"
    return part.strip()


def _wish(ratio: str | None, within: str | None, require: list[str] | None, prefer: str, small: str | None) -> Wish:
    from layshaft.study.choosing.space import Wish
    from layshaft.study.choosing.wishes import weights_of

    return Wish(_ratio(ratio), _within(within), _requires(require), _small(small), weights_of(prefer))


def _small(text: str | None) -> tuple[int, int] | None:
    """Least and most teeth of small wheels, as written."""
    if text is None:
        return None
    low, dash, high = (part.strip() for part in text.partition("-"))
    if not (dash and low.isdecimal() and high.isdecimal() and LEAST_TEETH <= int(low) <= int(high) <= MOST_TEETH):
        raise BadInput(f"--small '{text}' says no range of teeth. Write the least and the most, from {LEAST_TEETH} to "
                       f"{MOST_TEETH}, such as --small 15-40.")
    return int(low), int(high)


def _ratio(text: str | None) -> float:
    from layshaft.trace.units import RATIO, parse_quantity

    if text is None:
        return float("nan")
    value = parse_quantity(text, RATIO).value
    if not value > 0:
        raise BadInput(f"--ratio '{text}' is not above 0. Write turns of the first shaft for one of the last, such "
                       "as 2.5.")
    return float(value)


def _within(text: str | None) -> float:
    from layshaft.study.choosing.space import Wish
    from layshaft.trace.units import RATIO, parse_quantity

    if text is None:
        return Wish().within
    value = parse_quantity(text, RATIO).value
    if not 0 < value <= LARGEST_SHARE:
        raise BadInput(f"--within '{text}' must lie above 0 and be {LARGEST_SHARE:.0%} at most. Write for instance "
                       "--within 1%.")
    return float(value)


def _requires(words: list[str] | None) -> bool:
    for word in words or []:
        if word.strip().casefold() != "cad":
            raise BadInput(f"--require '{word}' is not known. What can be required of a list is: cad.")
    return bool(words)
