"""The command line. Nothing heavy is imported before a command runs."""

from __future__ import annotations

import math
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from layshaft.faces import finding_out, mending, taking
from layshaft.faces.arguments import AsJson, MachineFile, Options, Sets
from layshaft.faces.catalogue import catalogue
from layshaft.faces.choosing import choose
from layshaft.faces.desk.opening import open_desk
from layshaft.faces.drawn import draw
from layshaft.faces.steadying import steady
from layshaft.faces.studying import compare, doubt
from layshaft.faces.terminal import (
    ALL_HOLD,
    BROKEN_OFF,
    NOT_ALL,
    ask_aloud,
    explain,
    machine_of,
    mend_streams,
    refuse_place,
    tell,
    tell_json,
    verdict_of,
)

if TYPE_CHECKING:
    pass

app = typer.Typer(
    rich_markup_mode=None, add_completion=False, no_args_is_help=True, pretty_exceptions_enable=False,
    help="Solves a machine of chains, gears and weights as a whole and holds every part against a published method.",
)

MINUTE = 60.0


@app.command()
def check(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    report: Annotated[Path | None, typer.Option(metavar="FILE.html", help="write the printed report")] = None,
) -> None:
    """Rate every part, worst first. Ends 0 if all hold, 1 if something is thin, fails or is unknown."""
    if report is not None:
        refuse_place(report)
    verdict = verdict_of(machine, set_, option)
    if as_json:
        from layshaft.faces.plain import check_dict

        tell_json(check_dict(verdict))
    else:
        from layshaft.faces.text import check_text

        tell(check_text(verdict))
    if report is not None:
        from layshaft.faces.report import write_report

        write_report(verdict, report)
        if not as_json:
            tell(f"\nThe report is in {report}.")
    raise typer.Exit(ALL_HOLD if verdict.worst == "holds" else NOT_ALL)


@app.command()
def needs(machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False) -> None:
    """List the parts still to be found: what each must carry, and the smallest shipped size that would hold."""
    from layshaft.faces.needs import needs_json, needs_text

    verdict = verdict_of(machine, set_, option)
    if as_json:
        tell_json(needs_json(verdict))
    else:
        tell(needs_text(verdict))


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="folder for the new machine")],
    what: Annotated[str | None, typer.Option(help="what must turn")] = None,
    speed: Annotated[str | None, typer.Option(help="how fast, such as '1 rpm'")] = None,
    torque: Annotated[str | None, typer.Option(help="how hard, such as '6 N m' or '10 N at 200 mm'")] = None,
    run: Annotated[str | None, typer.Option(help="how long without a rest, such as '10 min'")] = None,
    drive: Annotated[str | None, typer.Option(help="weight, 'weight of 80 kg', crank, pedals or motor")] = None,
    room: Annotated[str | None, typer.Option(help="what room there is, such as '2 m high, 0.6 m wide'")] = None,
    day: Annotated[str | None, typer.Option(help="running time a day")] = None,
    drop: Annotated[str | None, typer.Option(help="height a weight may fall")] = None,
    drive_speed: Annotated[str | None, typer.Option(help="speed of crank, pedals or motor")] = None,
    yes: Annotated[bool, typer.Option("--yes", help="ask nothing: take the default where no flag is given")] = False,
) -> None:
    """Ask six questions in plain words and write a first machine file, its parts still open."""
    from layshaft.project.new import answers, ask, create, refuse_if_taken

    flags = {"what": what, "speed": speed, "torque": torque, "run": run, "driver": drive, "room": room, "day": day,
             "drop": drop, "drive_speed": drive_speed}
    given = {key: text for key, text in flags.items() if text is not None}
    refuse_if_taken(folder)
    path = create(folder, answers(given) if yes else ask(sys.stdin.readline, ask_aloud, given))
    tell(f"\nThe machine is in {path}. Next: layshaft needs {path}")


@app.command()
def jam(machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False) -> None:
    """Hold each shaft fast in turn: torque in every part on the way, and what lets go first."""
    from layshaft.verdict.jam import jams

    verdict = verdict_of(machine, set_, option)
    found = jams(verdict)
    if as_json:
        from layshaft.faces.plain import jam_dict

        tell_json([jam_dict(j) for j in found])
    else:
        from layshaft.faces.text import jam_text

        tell(jam_text(verdict, found))


@app.command()
def run(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    time: Annotated[str | None, typer.Option(metavar="TIME", help="how long to run, such as '1 h'")] = None,
    plot: Annotated[Path | None, typer.Option(metavar="FILE", help="draw the run: .svg, .png or .pdf")] = None,
    csv: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="write the run, edge by edge")] = None,
    log: Annotated[Path | None, typer.Option(metavar="FILE.csv", help="lay a measured log of pulses over it")] = None,
    log_shaft: Annotated[str, typer.Option(metavar="SHAFT", help="whose pulses, if the log does not say")] = "",
    log_pulses: Annotated[float | None, typer.Option(metavar="COUNT", help="pulses a turn", min=0.01)] = None,
    lost: Annotated[str | None, typer.Option(metavar="PART", help="what follows when this part is lost")] = None,
) -> None:
    """Run the machine over time. Ends 0 if it went through and all wanted of it holds, else 1."""
    from layshaft.faces import losing, run_files, run_log, run_wants
    from layshaft.faces.progress import Progress
    from layshaft.trace.units import print_in
    from layshaft.train.motion.programme import programme_of
    from layshaft.train.motion.results import motion_of
    from layshaft.train.solve import solve

    lasts = run_files.running_time(time)
    run_files.refuse_places(plot, csv)
    if lost is not None:
        raise typer.Exit(losing.show(verdict_of(machine, set_, option), lost, plot, csv, as_json=as_json))
    described = machine_of(machine, set_, option)
    print_in(described.units)
    solved = solve(described)
    programme, counted = run_log.as_long_as(solved, programme_of(solved, lasts), log, log_shaft, log_pulses,
                                            told=lasts is not None)
    words = "{done:.1f} of {whole:.0f} min" if math.isfinite(programme.time) else "{done:.1f} min"
    with Progress(sys.stderr, programme.time / MINUTE, words) as progress:
        found = motion_of(solved, programme, lambda done: progress.reached(done / MINUTE))
    asked = run_wants.asked_of(described, found, whole=lasts is None and log is None)
    if not as_json:
        tell(run_files.run_text(found, [*run_wants.lines(asked), *losing.losses_lines(solved)]))
    laid = run_log.laid(machine, described, solved, programme, counted)
    if as_json:
        tell_json(run_files.run_dict(found) | run_wants.as_dict(asked) | run_log.as_dict(laid) | losing.as_dict(solved))
    elif laid is not None:
        tell("\n".join(run_log.lines(laid)))
    for place in run_log.written(found, csv, plot, laid):
        if not as_json:
            tell(f"\nThe run is in {place}.")
    raise typer.Exit(BROKEN_OFF if found.broken_off else ALL_HOLD if not found.stopped and asked.all_hold else NOT_ALL)


@app.command()
def balance(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    radius: Annotated[str, typer.Option(metavar="LENGTH", help="length of the lever")] = "100 mm",
) -> None:
    """What a spring balance should read on each shaft turned by hand: the cheapest check of the model."""
    from layshaft.trace.units import LENGTH, UnitError, parse_quantity
    from layshaft.verdict.balance import readings

    arm = parse_quantity(radius, LENGTH).value
    if arm <= 0:
        raise UnitError(f"'{radius}' is no lever; write a length above 0, for instance --radius '100 mm'.")
    verdict = verdict_of(machine, set_, option)
    found = readings(verdict.solved, arm)
    if as_json:
        from layshaft.faces.plain import reading_dict

        tell_json([reading_dict(r) for r in found])
    else:
        from layshaft.faces.text import balance_text

        tell(balance_text(verdict, found))


@app.command()
def torsion(
    machine: MachineFile, set_: Sets = None, option: Options = None, as_json: AsJson = False,
    rigid: Annotated[list[str] | None, typer.Option(
        "--rigid", metavar="NAME", help="stage or hanging weight to take as rigid; repeatable")] = None,
    damping: Annotated[str, typer.Option(metavar="RATIO", help="damping ratio of what states none")] = "2 %",
    near: Annotated[str, typer.Option(metavar="RATIO", help="share of a frequency that counts as near")] = "20 %",
    over: Annotated[str | None, typer.Option(metavar="TIME", help="follow a run from rest, such as '5 min'")] = None,
) -> None:
    """Natural frequencies of the twisting train, and what shakes it. Ends 0 if nothing is near or unknown, else 1."""
    from layshaft.faces import torsion as face
    from layshaft.faces.progress import Progress
    from layshaft.trace.units import print_in
    from layshaft.train.solve import solve
    from layshaft.train.torsion.answer import torsion as found_in

    shares = face.share("--damping", damping), face.share("--near", near)
    described = machine_of(machine, set_, option)
    print_in(described.units)
    solved = solve(described)
    time = face.seconds(over) if over else 0.0
    with Progress(sys.stderr, time / MINUTE, "{done:.1f} of {whole:.1f} min of the run", "ends it") as progress:
        found = found_in(solved, rigid or [], *shares, time, lambda done: progress.reached(done / MINUTE))
    if as_json:
        tell_json(face.torsion_dict(solved, found))
    else:
        tell(face.torsion_text(solved, found))
    raise typer.Exit(ALL_HOLD if all(one.quiet for one in found) else NOT_ALL)


@app.command()
def formulary(
    name: Annotated[str | None, typer.Argument(metavar="NAME", help="formula or method to explain or compute")] = None,
    assignments: Annotated[list[str] | None, typer.Argument(metavar="KEY=VALUE", help="inputs with units")] = None,
    unit: Annotated[str | None, typer.Option("--in", metavar="UNIT", help="unit of the result")] = None,
    as_json: AsJson = False,
) -> None:
    """List every published formula; explain one; compute it with units at the door (p=12.7mm z=19)."""
    from layshaft.faces import formulary as book

    if name is None:
        tell(book.listing())
    elif not assignments:
        tell(book.explain(name))
    else:
        computed = book.compute(name, assignments, unit)
        if as_json:
            tell_json(computed.as_dict())
        else:
            tell(computed.text)


@app.command()
def terms(
    word: Annotated[str, typer.Argument(metavar="WORD", help="a word, or part of one, in any of the languages")] = "",
    as_json: AsJson = False,
) -> None:
    """Trade terms in English, German and French, to write to people who make and sell parts."""
    from layshaft.faces import terms as words

    found = words.terms(word)
    if as_json:
        tell_json([{c: r.text(c) for c in words.LANGUAGES} | {"obtained": r.source.obtained} for r in found])
    else:
        tell(words.terms_text(found))


@app.command()
def change(
    machine: MachineFile, set_: Sets = None, option: Options = None,
    remove: Annotated[list[str] | None, typer.Option(metavar="PATH", help="take a thing out; repeatable")] = None,
    rename: Annotated[list[str] | None, typer.Option(metavar="PATH=NAME", help="give a thing another name, wherever "
                                                                              "it is named; repeatable")] = None,
    clear: Annotated[bool, typer.Option("--clear", help="with --remove: take out too what hangs on it and what stands "
                                                        "there only for it")] = False,
    show: Annotated[bool, typer.Option("--show", help="print what would change and write nothing")] = False,
) -> None:
    """Write options and changes into the machine file; every other byte of it stays as it is."""
    from layshaft.faces.changing import change_file

    tell(change_file(machine, option or [], set_ or [], remove or [], rename or [], write=not show,
                     clear=clear))


app.command()(doubt)
app.command()(compare)
app.command()(choose)
app.command()(steady)
app.command()(draw)
app.add_typer(catalogue, name="catalogue")
taking.register(app)
app.command("open")(open_desk)
finding_out.register(app)
mending.register(app)


@app.command()
def undo(machine: MachineFile) -> None:
    """Put the machine file back to what it was before the last change."""
    from layshaft.faces.changing import undo_file

    tell(undo_file(machine))


def main() -> None:
    """Entry point: every mistake in the input ends in sentences on the error stream and exit code 2."""
    mend_streams()
    try:
        code = app(prog_name="layshaft", standalone_mode=False)  # a typer.Exit comes back as its code
    except KeyboardInterrupt:
        sys.exit(BROKEN_OFF)
    except BrokenPipeError:
        sys.exit(0)
    except Exception as error:
        explain(error)
    sys.exit(code if isinstance(code, int) else ALL_HOLD)


if __name__ == "__main__":
    main()
