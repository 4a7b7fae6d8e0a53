"""Idlers of a chain in the layout of the machine: the chain's way round them, and what cannot be built."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.elements import roller_chain
from layshaft.elements.roller_chain import idler as room
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import Idler, RollerChain
from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.machine.sentences import train as say
from layshaft.trace.units import LENGTH, shown
from layshaft.train.sizes import chain_pitch

INSIDE = "inside"


def has_idlers(stage: RollerChain) -> bool:
    """True where the chain runs over more than its two sprockets."""
    return bool(stage.idlers)


def has_travel(stage: RollerChain) -> bool:
    """True where one of the idlers can be moved as the chain wears."""
    return has_idlers(stage) and any(i.travel.known and i.travel.nominal > 0 for i in stage.idlers.values())


def side(idler: Idler) -> float:
    """1 for the strand on the side `line` plus a quarter turn, -1 for the other."""
    return 1.0 if idler.off.nominal > 0 else -1.0


def circles(machine: Machine, stage: RollerChain, idler: Idler) -> tuple[float, float, float]:
    """Circles of circumference z p of the first and second sprocket and the idler; NaN while open."""
    p = chain_pitch(machine, stage.chain)
    z = stage.teeth[0].nominal, stage.teeth[1].nominal, idler.teeth.nominal
    first, second, third = (float(room.chain_circle(n, p)) for n in z)
    return first, second, third


def layout(machine: Machine, stage: RollerChain, idler: Idler, travelled: float = 0.0) -> room.Run:
    """The strand with its idler, `travelled` against the strand; the first sprocket is the near one."""
    r_n, r_f, r_i = circles(machine, stage, idler)
    inside = idler.runs == INSIDE
    y = abs(idler.off.nominal) + (travelled if inside else -travelled)
    with np.errstate(invalid="ignore"):
        return room.run(r_n, r_f, r_i if inside else -r_i, stage.centres.nominal, idler.along.nominal, y)


@once
def chain_way(machine: Machine, stage: RollerChain) -> float:
    """Length of the way round both sprockets and all idlers at the centres given; NaN while a size is open."""
    way = float("nan")
    for n, idler in enumerate(stage.idlers.values()):
        run = layout(machine, stage, idler)
        if n == 0:
            way = float(room.two_wheel_path(run.l_0, run.psi_0, *circles(machine, stage, idler)[:2]))
        way += float(run.L_x)
    return way


def links_for(machine: Machine, stage: RollerChain) -> float:
    """Even links that go round; what they are too long by hangs in the slack strand or is taken up."""
    return float(roller_chain.links_even(chain_way(machine, stage) / chain_pitch(machine, stage.chain)))


def round_idlers(machine: Machine, stage: RollerChain, small: int) -> dict[str, float]:
    """What the idlers do to the chain, by the symbols of its room; nothing without any. `small` is the small sprocket.

    Wrap added to the small sprocket, sum of 1/teeth, length taken up over all travels, length left over when new.
    """
    found = {"gamma": 0.0, "s_i": 0.0, "L_t": 0.0, "L_0": 0.0}
    for idler in stage.idlers.values() if has_idlers(stage) else ():
        run = layout(machine, stage, idler)
        found["gamma"] += float(run.gamma_n if small == 0 else run.gamma_f)
        found["s_i"] += 1 / idler.teeth.nominal
        found["L_t"] += length_taken_up(machine, stage, idler)
    if has_idlers(stage):
        links = stage.links.nominal if stage.links.known else links_for(machine, stage)
        found["L_0"] = max(links * chain_pitch(machine, stage.chain) - chain_way(machine, stage), 0.0)
    return found


def length_taken_up(machine: Machine, stage: RollerChain, idler: Idler) -> float:
    """Chain length an idler takes up over its travel, 0 for a fixed one."""
    if not idler.travel.known:
        return 0.0
    end = layout(machine, stage, idler, idler.travel.nominal)
    return float(end.L_x - layout(machine, stage, idler).L_x)


def slopes(machine: Machine, stage: RollerChain, positive: bool) -> tuple[float, float] | None:
    """Slopes of a strand at the first and second sprocket where an idler bends it, outwards positive; else None."""
    for idler in stage.idlers.values() if has_idlers(stage) else ():
        if (side(idler) > 0) == positive:
            run = layout(machine, stage, idler)
            return float(run.psi_n), float(run.psi_f)
    return None


def refuse(machine: Machine) -> None:
    """Raise `MachineErrors` for idlers that overlap a sprocket, miss the chain, or ask for more links."""
    problems = [problem for stage in machine.stages.values()
                if isinstance(stage, RollerChain) and has_idlers(stage) for problem in _problems(machine, stage)]
    if problems:
        raise MachineErrors(problems)


def _problems(machine: Machine, stage: RollerChain) -> Iterator[Problem]:
    for idler in stage.idlers.values():
        yield from _misplaced(machine, stage, idler)
    way, p = chain_way(machine, stage), chain_pitch(machine, stage.chain)
    if stage.links.known and stage.links.nominal * p < way:
        yield Problem(stage.links.mark, say.chain_too_short(
            stage.links.path, stage.links.nominal, shown(stage.links.nominal * p, LENGTH), shown(way, LENGTH),
            links_for(machine, stage)))


def _misplaced(machine: Machine, stage: RollerChain, idler: Idler) -> Iterator[Problem]:
    r_n, r_f, r_i = circles(machine, stage, idler)
    a, x, y = stage.centres.nominal, idler.along.nominal, abs(idler.off.nominal)
    if not np.isfinite(r_n + r_f + r_i + a + x + y):
        return
    for shaft, apart, needed in ((stage.from_, np.hypot(x, y), r_n + r_i), (stage.to, np.hypot(a - x, y), r_f + r_i)):
        if apart <= needed:
            both = shown(float(apart), LENGTH), shown(needed, LENGTH)
            yield Problem(idler.mark, say.idler_overlaps(idler.path, shaft, *both))
            return
    slope = float(room.straight_slope(r_n, r_f, a))
    strand = r_n / np.cos(slope) + x * np.tan(slope)
    travel = idler.travel.nominal if idler.travel.known else 0.0
    if idler.runs != INSIDE and y - travel - r_i < -strand:
        yield Problem(idler.mark, say.idler_crosses(idler.path, shown(travel + r_i - y, LENGTH), shown(strand, LENGTH)))
    if not np.isfinite(layout(machine, stage, idler).theta_i):
        reach = y + r_i if idler.runs == INSIDE else y - r_i
        yield Problem(idler.off.mark, say.idler_misses(idler.path, idler.runs, shown(reach, LENGTH),
                                                       shown(strand, LENGTH)))
