"""Strands of a hanging weight as steps of a sheet: from mass and pulley to the pull in one case.

Each function is asked while a trace is on; it leaves its steps and gives the result. The numbers are those of
the first sample, as everywhere on a sheet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal

import numpy as np

from layshaft.elements import hanging_load, roller_chain
from layshaft.machine.kinds import EndlessLoop, FallingWeight, OneWayHubPart, Ratchet, Suspended
from layshaft.machine.schema import Given
from layshaft.mechanics import drives
from layshaft.trace.formula import given, governs, named, total
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import ANGLE, COUNT, FORCE, LENGTH, MASS_PER_LENGTH, RATIO, VELOCITY
from layshaft.train import arrest
from layshaft.train.cases import ARRESTED, WINDING
from layshaft.train.graph import shaft_sets
from layshaft.train.sizes import chain_size, own_part, rope_size
from layshaft.train.sources import falls, wound_from
from layshaft.verdict.context import Context

Strand = Literal["drive", "drive_return", "winding", "winding_return"]
Follow = Callable[[int], Any]


def first(value: Any) -> float:
    """The first sample of a value."""
    return float(np.ravel(value)[0])


def read(g: Given, symbol: str, meaning: str) -> Any:
    """A given of the machine file as an input of the sheet."""
    return given(symbol, meaning, g.dimension, first(g.value), g.origin)


def of_loop(c: Context, name: str, drive: EndlessLoop, symbol: str, meaning: str, strand: Strand) -> Follow:
    """A strand of an endless loop in a case."""
    def steps(case: int) -> Any:
        return named(symbol, _in_case(c, name, drive, case, _hanging(c, drive, strand),
                                      winding=strand == "winding"), meaning)
    return steps


def stronger_of_loop(c: Context, name: str, drive: EndlessLoop, symbol: str, meaning: str) -> Follow:
    """The stronger of the two strands that carry the weight of a loop."""
    def steps(case: int) -> Any:
        strands: dict[str, Strand] = {"drive wheel": "drive", "winding wheel": "winding"}
        both = {words: _in_case(c, name, drive, case, _hanging(c, drive, strand), winding=strand == "winding")
                for words, strand in strands.items()}
        return governs(symbol, meaning, FORCE, both, STATICS, pick="largest")
    return steps


def of_drum(c: Context, name: str, drive: FallingWeight, rises: Any, *, weighed: bool) -> Follow:
    """The pull at a drum; `rises` in which cases the weight does, `weighed`: with the own weight of the rope."""
    def steps(case: int) -> Any:
        M, g = _mass(c, drive)
        pull = _at_drum(drive, M, g)[bool(rises[case, 0])]
        if weighed:
            rope = rope_size(c.machine, drive.suspension)
            assert rope is not None
            q = given("q", "mass per length of the rope", MASS_PER_LENGTH, first(rope.mass_per_metre), rope.source)
            own = hanging_load.own_weight(q, read(drive.drop, "H", "height the weight can fall"), g)
            pull = total("F_t", "pull at the drum, rope counted", FORCE, {"weight": pull, "rope": own}, STATICS)
        return named("F", _in_case(c, name, drive, case, pull, winding=False), "largest pull in the rope")
    return steps


def stronger_of_drum(c: Context, name: str, drive: FallingWeight, symbol: str, meaning: str) -> Follow:
    """The stronger of the pulls at a drum, weight sinking and weight rising."""
    def steps(case: int) -> Any:
        sinking, rises = (_in_case(c, name, drive, case, pull, winding=False)
                          for pull in _at_drum(drive, *_mass(c, drive)))
        return governs(symbol, meaning, FORCE, {"sinking": sinking, "rising": rises}, STATICS, pick="largest")
    return steps


def stiffness(c: Context, drive: Suspended, symbol: str, meaning: str) -> Follow:
    """Stiffness under a weight that is caught: its strands, and the frame behind them."""
    return lambda _: named(symbol, _stiffness(c, drive), meaning)


def drop(c: Context, drive: Suspended, symbol: str, meaning: str) -> Follow:
    """How far a weight falls before it is caught."""
    return lambda _: named(symbol, _drop(c, drive), meaning)


def wheel(c: Context, drive: Suspended) -> Any:
    """Diameter of the wheel or drum the weight hangs on."""
    if isinstance(drive, FallingWeight) and drive.diameter.known:
        return read(drive.diameter, "d", "diameter of the drum, rope centre")
    size = chain_size(c.machine, drive.chain)  # type: ignore[attr-defined]
    assert size is not None
    p = given("p", "pitch of the chain", LENGTH, size.pitch, size.source)
    z = read(drive.teeth, "z", "teeth of the wheel")  # type: ignore[attr-defined]
    return named("d", roller_chain.pitch_diameter(p, z), "pitch diameter of the wheel")


def winding_wrap(c: Context, drive: EndlessLoop) -> Follow:
    """Wrap of the winding wheel of a loop."""
    return lambda _: drives.winding_wrap(read(drive.idler_over, "h_i", "height of the idler above the drive wheel"),
                                            wheel(c, drive))


def _mass(c: Context, drive: Suspended) -> tuple[Any, Any]:
    return (read(drive.mass, "M", "mass of the weight with its pulley"),
            read(c.machine.gravity, "g", "acceleration of free fall"))


def _hanging(c: Context, drive: EndlessLoop, strand: Strand) -> Any:
    """The strand of a loop while the weight hangs or sinks evenly."""
    e = read(drive.pulley_loss, "e", "loss of a pulley, as a share of the arriving force")
    g = read(c.machine.gravity, "g", "acceleration of free fall")
    if strand in ("drive", "winding"):
        M = read(drive.mass, "M", "mass of the weight with its pulley")
        return drives.loop_drive_strand(M, g, e) if strand == "drive" else drives.loop_winding_strand(M, g, e)
    m = read(drive.counterweight, "m", "mass of the counterweight with its pulley")
    if strand == "drive_return":
        return drives.counterweight_drive_strand(m, g, e)
    return drives.idler_slack_side(drives.counterweight_return_strand(m, g, e), e)


def _at_drum(drive: FallingWeight, M: Any, g: Any) -> tuple[Any, Any]:
    """Pull at the drum with the weight sinking, and with it rising."""
    k = (read(drive.falls, "k", "falls that carry the weight") if drive.falls.known else
         given("k", "falls that carry the weight", COUNT, 1.0,
               Source(f"{drive.path}: no purchase stated, one part", obtained="given")))
    e = (read(drive.pulley_loss, "e", "loss of a pulley, as a share of the arriving force") if falls(drive) != 1 else
         given("e", "loss of a pulley", RATIO, 0.0, Source("a plain drum has no pulley", obtained="derived")))
    sinking = drives.rope_force_running(M, g, k, e)
    return sinking, drives.rope_force_winding(sinking, k, e)


def _in_case(c: Context, name: str, drive: Suspended, case: int, pull: Any, *, winding: bool) -> Any:
    """A pull at rest times what this case makes of it; as it is where it makes nothing of it."""
    column = c.solved.columns[case]
    if winding and name in column.winding_pull:
        crank = c.machine.drives[c.solved.roles[c.solved.set_of(wound_from(drive)).root].led_by]
        pull = drives.strand_in_case(pull, read(crank.ripple, "c_h", "largest push in a turn over the mean"))
    if name not in column.pull or strand_is_slack(pull):
        return pull
    return drives.strand_in_case(pull, _factor(c, name, drive, case))


def strand_is_slack(pull: Any) -> bool:
    """True for the strands of a counterweight: what catches the weight does not pull on them."""
    return bool(pull.step.symbol in ("F_2", "F_s"))


def _factor(c: Context, name: str, drive: Suspended, case: int) -> Any:
    """Pull in this case over that at rest: of an arrest, of bringing up to speed, or a share of it."""
    column = c.solved.columns[case]
    if column.case == ARRESTED:
        M, g = _mass(c, drive)
        W = hanging_load.weight(M, g)
        return hanging_load.jolt(hanging_load.arrest_force(W, _drop(c, drive), _stiffness(c, drive)), W)
    factor = first(column.pull[name])
    if column.case == WINDING:
        crank = c.machine.drives[c.solved.roles[c.solved.set_of(wound_from(drive)).root].led_by]
        g = read(c.machine.gravity, "g", "acceleration of free fall")
        t = read(crank.run_up, "t_r", "time to bring the weight up to winding speed")
        v = (factor - 1) * first(crank.run_up.value) * first(c.machine.gravity.value)
        speed = Source(f"{crank.path}.speed through the stages to the weight", obtained="derived")
        return drives.lifting_factor(given("v", "speed of the weight while it is wound", VELOCITY, v, speed), t, g)
    return given("c", "pull in this case over that at rest", RATIO, factor,
                 Source(f"the case: {column.title}", obtained="derived"))


def _stiffness(c: Context, drive: Suspended) -> Any:
    size = chain_size(c.machine, drive.chain)  # type: ignore[attr-defined]
    length = read(drive.strand_length, "l_s", "length of one part that stretches")
    rope = rope_size(c.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    listed: Any = size or rope
    F_u = given("F_u", "breaking load of one part", FORCE, first(listed.breaking_load), listed.source)
    parts = given("i_p", "parts that carry the weight", COUNT, falls(drive),
                  Source("a loop carries it in two parts" if isinstance(drive, EndlessLoop) else f"{drive.path}.falls",
                         obtained="derived" if isinstance(drive, EndlessLoop) else "given"))
    if size is not None:
        strand = named("k_1", roller_chain.strand_stiffness(F_u, length), "stiffness of one part")
    else:
        epsilon = given("epsilon", "stretch of the rope under an eighth of its breaking load", RATIO,
                        first(listed.stretch), listed.source)
        strand = hanging_load.part_stiffness(F_u, epsilon, length)
    hung = hanging_load.parts_stiffness(strand, parts)
    if not drive.frame_stiffness.known:
        return hung
    return hanging_load.stiffness_in_line(hung, read(drive.frame_stiffness, "k_f", "stiffness of the frame"))


def _drop(c: Context, drive: Suspended) -> Any:
    """A step of what holds it, and what is slack on top; both from the file where a ratchet holds it."""
    parts: Mapping[str, Any] = _step(c, drive)
    if drive.slack.known:
        parts = {**parts, "slack": read(drive.slack, "h_s", "slack that runs out before it is caught")}
    if len(parts) == 1:
        return next(iter(parts.values()))
    return total("h", "drop before the weight is caught", LENGTH, parts, KINEMATICS)


def _step(c: Context, drive: Suspended) -> Mapping[str, Any]:
    """How far the weight sinks within one step of the ratchet or the play of the hub that holds it."""
    shaft = wound_from(drive)
    turns = shaft_sets(c.machine, [shaft])[0].ratio
    found = arrest.holder(c.machine, shaft)
    if found is None:
        return {}
    ratio = abs(turns[found.from_] / turns[shaft])
    j = given("j", "chain or rope run per height of the weight", COUNT, falls(drive),
              Source("parts that carry the weight", drive.path, "derived"))
    if not isinstance(found, Ratchet):
        hub = own_part(c.machine, found.listing)
        assert isinstance(hub, OneWayHubPart)
        phi = (read(hub.play, "phi_h", "play of the one-way hub") if ratio == 1 else
               given("phi_h", "play of the one-way hub at the weight's wheel", ANGLE, first(hub.play.value) / ratio,
                     Source(f"{hub.play.path} through the stages between", obtained="derived")))
        return {"play": named("h", hanging_load.drop_of_play(phi, wheel(c, drive), j), "drop within the play")}
    pawls = first(found.pawls.value) if found.pawls.known else 1.0
    places = "teeth" if pawls == 1 and ratio == 1 else "teeth times staggered pawls, for one turn of the weight's wheel"
    z = (read(found.teeth, "z_r", "teeth of the ratchet") if places == "teeth" else
         given("z_r", "places in a turn at which the ratchet holds", COUNT, found.teeth.nominal * pawls * ratio,
               Source(places, f"{found.path}.teeth", "derived")))
    return {"ratchet": named("h", hanging_load.drop_of_step(wheel(c, drive), z, j), "drop in one step of the ratchet")}
