"""What `layshaft torsion` prints, as text and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.shaking import answers_dict, hertz, said
from layshaft.faces.text import wrapped
from layshaft.trace.errors import BadInput
from layshaft.trace.units import RATIO, TIME, parse_quantity, shown
from layshaft.train.solve import Solved
from layshaft.train.stiffness import SHEAR_MODULUS
from layshaft.train.torsion.answer import STANDS, SetTorsion
from layshaft.train.torsion.modes import Array

MOST = 8
"""Modes shown of one set, unless something shakes higher ones."""

NOTABLE = 0.05
LONGEST = 2 * 3600.0
LEFT_OUT = ("Shafts twist as bare round steps between their seats, keys and hubs left out, their steel with G = "
            f"{SHEAR_MODULUS / 1e9:g} GPa. Frames and bearings count as rigid.")


def torsion_text(solved: Solved, found: Sequence[SetTorsion]) -> str:
    """The whole answer."""
    lines = [solved.machine.title]
    for one in found:
        lines += ["", *_set(solved, one)]
    return "\n".join([*lines, "", wrapped(LEFT_OUT)])


def _set(solved: Solved, one: SetTorsion) -> Iterator[str]:
    role = solved.roles[one.root]
    by = role.led_by or " and ".join(role.weights)
    turns = "" if one.case == STANDS else f", {solved.columns[one.case].title}"
    yield wrapped(f"TORSION of {', '.join(one.net.set.shafts)}" + (f"; driven by {by}{turns}" if by else ""))
    if one.net.lacking:
        yield wrapped(f"unknown: {'; '.join(one.net.lacking)}. State it, or take a stage as rigid with --rigid NAME.",
                      "    ", "  ")
    if one.modes is not None:
        yield from ("", "  NATURAL FREQUENCIES", *_modes(one))
        yield from said(one)
    yield from ("", "  TAKEN FOR THIS", *_taken(one))


def _modes(one: SetTorsion) -> Iterator[str]:
    assert one.modes is not None
    if one.modes.rigid:
        yield _mode_line("0 Hz", f"nothing twists, all turn as one; {swinging(one, 0)}")
    shown_modes = range(one.modes.rigid, min(len(one.modes.omega), one.modes.rigid + MOST))
    for i in shown_modes:
        yield _mode_line(hertz(one.modes.omega[i]), f"twists {twisting(one, i)}; swings {swinging(one, i)}")
    left = len(one.modes.omega) - shown_modes.stop
    if left > 0:
        yield _mode_line("", f"and {left} more, up to {hertz(one.modes.omega[-1])}")


def _mode_line(frequency: str, text: str) -> str:
    return wrapped(text, " " * 17, f"    {frequency:>10}   ")


def twisting(one: SetTorsion, mode: int) -> str:
    """The parts with most of a mode's strain energy."""
    assert one.modes is not None
    return _largest([s.part.split(".", 1)[-1] for s in one.net.springs], one.modes.strain_shares[:, mode])


def swinging(one: SetTorsion, mode: int) -> str:
    """The masses with most of a mode's energy of motion."""
    assert one.modes is not None
    return _largest([node_name(n) for n in one.net.nodes], one.modes.motion_shares[:, mode])


def node_name(node: tuple[str, str]) -> str:
    """A node by its shaft and seat."""
    shaft, seat = node
    return f"{shaft}, {seat}" if seat and seat != shaft else shaft.split(".", 1)[-1]


def _largest(names: list[str], shares: Array, most: int = 2) -> str:
    order = [i for i in np.argsort(-shares)[:most] if shares[i] > NOTABLE]
    return " and ".join(f"{names[i]} {shares[i]:.0%}" for i in order)


def _taken(one: SetTorsion) -> Iterator[str]:
    net = one.net
    if one.damped is not None:
        stated = [s.part.split(".", 1)[-1] for s in net.springs if s.zeta == s.zeta]
        yield wrapped("damping ratio of what states none: a guess, see --damping"
                      + (f"; stated: {', '.join(stated)}" if stated else ""), "      ", "    ")
    if net.rigid:
        names = ", ".join(path.split(".", 1)[-1] for path in net.rigid)
        yield wrapped(f"as rigid, so that no swing of torque is told for them: {names}", "      ", "    ")
    if net.held_by:
        yield wrapped(f"as held: the seat of {net.held_by}, which decides its speed", "      ", "    ")
    whys = dict.fromkeys(s.why for s in net.springs if s.part.startswith(("stages.", "drives.")))
    for why in whys:
        parts = [s.part.split(".", 1)[-1] for s in net.springs if s.why == why and not s.part.startswith("shafts.")]
        yield wrapped(f"{why}: {', '.join(parts)}", "      ", "    ")
    if net.discs:
        yield wrapped(f"wheels as full discs of steel, as heavy as stated or as wide as their teeth (more than they "
                      f"have): {', '.join(net.discs)}", "      ", "    ")
    if net.without:
        yield wrapped(f"without inertia, none is known: {', '.join(net.without)}", "      ", "    ")


def share(option: str, text: str) -> float:
    """A ratio above 0 and below 1, given on the command line."""
    value = parse_quantity(text, RATIO).value
    if not 0 < value < 1:
        raise BadInput(f"{option} '{text}' is out of range; write a share above 0 and below 100 %, such as '2 %'.")
    return value


def seconds(text: str) -> float:
    """A time to follow a run for, given on the command line."""
    value = parse_quantity(text, TIME).value
    if not 0 < value <= LONGEST:
        raise BadInput(f"--over '{text}' is out of range; write a time above 0 and up to {shown(LONGEST, TIME)}, such "
                       "as '5 min'.")
    return value


# As data ---------------------------------------------------------------------------------------


def torsion_dict(solved: Solved, found: Sequence[SetTorsion]) -> list[dict[str, Any]]:
    """The same as plain data, SI; frequencies in rad/s, twists seen at the root."""
    return [_set_dict(solved, one) for one in found]


def _set_dict(solved: Solved, one: SetTorsion) -> dict[str, Any]:
    net, modes = one.net, one.modes
    return {
        "seen at": one.root, "shafts": net.set.shafts, "lacking": net.lacking,
        "case": "" if one.case == STANDS else solved.columns[one.case].title,
        "nodes": [{"shaft": shaft, "seat": seat, "inertia": number(J), "speed ratio": number(net.ratio(i))}
                  for i, ((shaft, seat), J) in enumerate(zip(net.nodes, net.mass, strict=True))],
        "springs": [{"part": s.part, "nodes": list(s.nodes), "stiffness": number(s.stiffness), "from": s.why}
                    for s in net.springs],
        "rigid": list(net.rigid), "held by": net.held_by, "without inertia": net.without, "full discs": net.discs,
        "modes": [] if modes is None else [
            {"frequency": float(w), "turns as one": i < modes.rigid, "shape": modes.shapes[:, i].tolist()}
            for i, w in enumerate(modes.omega)],
        **answers_dict(one),
    }
