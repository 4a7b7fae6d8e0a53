"""Flywheels: stress at the speed of each case, and at the greatest speed they can run away to.

A wheel told by diameter and mass is a flat disc or ring. One told by the pieces of its drawing is read
off them: rim on spokes, rim on a web, or disc. Its moment of inertia is then reckoned on its sheet.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, make_dataclass
from typing import Any

import numpy as np

from layshaft.elements import flywheel, rim_wheel
from layshaft.machine.kinds import Bars, EndlessLoop, Flywheel, Pull, Ring, Suspended
from layshaft.machine.schema import Given
from layshaft.mechanics import bodies, energy, rotating, sections
from layshaft.mechanics.rotating import differs
from layshaft.trace.formula import remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, Source
from layshaft.train.bodies import Anatomy, anatomy, pieces
from layshaft.train.cases import CASES, MODULE_OFF, RUNNING, TRANSIT, WINDING
from layshaft.train.sources import inertia
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

TURNING = (RUNNING, WINDING, MODULE_OFF)
AWAY = {"run-away yield": (), "run-away burst": ()}
FLAT_MODES = {"rim stress": TURNING, **AWAY}
SPOKED_MODES = {"rim stress": TURNING, "spoke stress": tuple(c for c in CASES if c != TRANSIT), **AWAY}
NAMES = {"rim stress": "S_required", "spoke stress": "S_required", "run-away yield": "S_y_required",
         "run-away burst": "S_b_required"}
POISSON = Source("Poisson's ratio of steel, handbooks", "", "from memory")
NU_STEEL = 0.3
BESIDE_HOLES = 3.0
CUT = Source("holes among the pieces: the stress beside them counts three times", "", "common practice")
WHOLE = Source("no holes among the pieces", obtained="given")
UNLIKE = ("The moment of inertia that is stated and that of its pieces differ by more than 5 %: measure, or look for "
          "the piece that is missing. The stated one counts.")


@dataclass(frozen=True, slots=True, eq=False)
class _Kind:
    """How a wheel is rated: its inputs, the part of the room that takes recorded inputs, its modes."""

    inputs: type[Inputs]
    judged: Callable[[Any, Any], Any]
    modes: dict[str, tuple[str, ...]]


FLAT = _Kind(flywheel.FlywheelInputs, flywheel.judged, FLAT_MODES)
SPOKED = _Kind(rim_wheel.SpokedInputs, rim_wheel.judged_spoked, SPOKED_MODES)
WEBBED = _Kind(rim_wheel.WebbedInputs, rim_wheel.judged_webbed, FLAT_MODES)


def kind_of(load: Flywheel) -> _Kind:
    """Disc or ring, rim on spokes, or rim on a web."""
    o = anatomy(load)
    if o.spokes is not None:
        return SPOKED
    return WEBBED if o.web else FLAT


def blocks(c: Context) -> list[Block]:
    """Wheels told by diameter and mass in one block, each drawn wheel in one of its own."""
    found = [Block("flywheel", flywheel.rate, flywheel.FlywheelInputs, FLAT_MODES, required=_required(FLAT_MODES))]
    for load in c.machine.loads.values():
        if isinstance(load, Flywheel) and load.made_of:
            found.append(_drawn(c, load))
        elif isinstance(load, Flywheel):
            found[0].parts.append(_part(c, load, FLAT))
    return found


def _required(modes: dict[str, tuple[str, ...]]) -> dict[str, str]:
    return {mode: NAMES[mode] for mode in modes}


# Drawn wheels ----------------------------------------------------------------------------------


def _drawn(c: Context, load: Flywheel) -> Block:
    kind = kind_of(load)
    shape = tuple((name, what) for name, (what, _) in pieces(load).items())
    inputs, rate = _room(kind, shape, load.inertia.known)
    part = _part(c, load, kind)
    for symbol, given in _numbers(load):
        part.inputs[symbol], part.origins[symbol] = given.value, given.origin
    return Block("flywheel", rate, inputs, kind.modes, [part], required=_required(kind.modes))


def _symbol(symbol: str, name: str) -> str:
    return f"{symbol}_{re.sub(r'[^0-9A-Za-z]+', '_', name)}"


def _numbers(load: Flywheel) -> Iterator[tuple[str, Given]]:
    for name, (_, givens) in pieces(load).items():
        for symbol, given in givens.items():
            yield _symbol(symbol, name), given


@functools.lru_cache(maxsize=200)
def _room(kind: _Kind, shape: tuple[tuple[str, str], ...], stated: bool) -> tuple[type[Inputs], Callable[[Any], Any]]:
    """Inputs of a kind of wheel with the numbers of its pieces beside them, and a rating that sums these first."""
    numbers = [(_symbol(s, name), Any, quantity(f"{meaning}, {name}", dimension))
               for name, what in shape for s, meaning, dimension in bodies.PIECES[what].told]
    inputs = make_dataclass(f"Drawn{kind.inputs.__name__}", numbers, bases=(kind.inputs,), frozen=True, kw_only=True)

    def rate(f: Any) -> Any:
        f = f.record()
        _, J = bodies.summed({name: (what, {s: getattr(f, _symbol(s, name)) for s, _, _ in bodies.PIECES[what].told})
                              for name, what in shape})
        if stated:
            remark_if(differs(f.J, J), UNLIKE, KINEMATICS)
        return kind.judged(f, f.J if stated else J)

    return inputs, rate


# Numbers ---------------------------------------------------------------------------------------


def _part(c: Context, load: Flywheel, kind: _Kind) -> Part:
    o = anatomy(load)
    speed = np.abs(c.solved.speed[load.shaft])
    turning = np.array([column.case in TURNING for column in c.solved.columns])
    stated, why = _stated_speed(c, load)
    J, top, given_up = load.inertia, speed[turning].max(axis=0), _energy(c, load)
    computed, losses = _computed_speed(c, load, rotating.run_away_speed(top, given_up, inertia(load)))
    values: dict[str, Any] = {
        "J": inertia(load), "omega": speed, "omega_r": top, "E_w": given_up,
        "omega_c": computed, "omega_s": stated, "R_lim": load.yield_strength.value, "R_m": load.tensile_strength.value,
    }
    train = c.from_train(load.shaft, "speed")
    origins = {
        "J": J.origin if J.known or not load.made_of else Source("sum of its pieces", load.path, "derived"),
        "omega": train, "omega_r": train,
        "E_w": Source("full drop of every weight on its shafts, less the counterweight", "", "derived"),
        "omega_c": losses, "omega_s": why,
        "R_lim": load.yield_strength.origin, "R_m": load.tensile_strength.origin,
    }
    for symbol, value, origin in _sizes(c, load, kind, o):
        values[symbol], origins[symbol] = value, origin
    demands = frozenset({"omega", "omega_r", "E_w", "omega_c", *(("T",) if kind is SPOKED else ())})
    part = Part(load.path, "", values, origins, c.hurts(load.path), demands,
                not_chosen=load.diameter.state == "open", shaft=load.shaft)
    return with_required(part, c.machine.margins or {}, _required(kind.modes))


def _sizes(c: Context, load: Flywheel, kind: _Kind, o: Anatomy) -> Iterator[tuple[str, Any, Source]]:
    rim = o.rim if load.made_of else None
    outside, density = (load.diameter, load.density) if rim is None else (rim.outside, _density(load, rim))
    yield "d_o", outside.value, outside.origin
    yield "rho", density.value, density.origin
    if kind is SPOKED:
        yield from _of_spokes(c, load, o)
        return
    yield "nu", NU_STEEL, POISSON
    yield "k_h", BESIDE_HOLES if o.holes else 1.0, CUT if o.holes else WHOLE
    bore = load.bore if rim is None or (load.bore.known and o.bore is None) else o.bore
    solid = 0.0, Source("no ring among the pieces: solid", obtained="given")
    if kind is WEBBED and isinstance(rim, Ring):
        yield "d_i", rim.inside.value, rim.inside.origin
        web = o.bore if o.bore is not None and o.bore is not rim.inside else None
        yield "d_b", *((web.value, web.origin) if web else solid)
    else:
        yield "d_i", *((bore.value, bore.origin) if bore is not None else solid)


def _density(load: Flywheel, piece: Any) -> Given:
    own: Given = piece.density
    return own if own.state != "missing" or not load.density.known else load.density


def _of_spokes(c: Context, load: Flywheel, o: Anatomy) -> Iterator[tuple[str, Any, Source]]:
    rim, s = o.rim, o.spokes
    ring = rim if isinstance(rim, Ring) else None
    no_rim = Source(f"{load.path}.made of: spokes need a ring as rim", obtained="given")
    for symbol, given in (("d_i", ring and ring.inside), ("b", ring and ring.width)):
        yield symbol, given.value if given else NAN, given.origin if given else no_rim
    assert s is not None
    yield "n", s.count.value, s.count.origin
    yield "r_h", s.begin.value, s.begin.origin
    if isinstance(s, Bars):
        area = sections.rectangle_area(s.breadth.value, s.width.value, 0.0, 0.0)
        moment = sections.rectangle_moment(s.width.value, s.breadth.value, 0.0, 0.0)
        across = s.breadth
    else:
        area = sections.circle_area(s.diameter.value, 0.0)
        moment = sections.ellipse_moment(s.diameter.value, s.diameter.value)
        across = s.diameter
    section = Source("section of a spoke", across.path, "derived")
    yield "A_s", area, section
    yield "W_s", sections.section_modulus(moment, across.value / 2), section
    torque = c.solved.seat_torque[load.shaft].get(load.seat, np.zeros((len(c.solved.columns), c.solved.samples)))
    yield "T", np.abs(torque), c.from_train(load.shaft, "torque at the wheel")


def _energy(c: Context, load: Flywheel) -> Any:
    """What every weight on the shafts of this wheel gives over its full drop."""
    root = c.solved.set_of(load.shaft).root
    found: Any = 0.0
    for drive in c.machine.drives.values():
        shafts = [drive.shaft, *([drive.rewound_from] if isinstance(drive, EndlessLoop) else [])]
        if isinstance(drive, Suspended) and any(c.solved.set_of(s).root == root for s in shafts):
            counter = drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0
            found = found + np.abs(energy.net_drop_energy(drive.mass.value, counter, c.machine.gravity.value,
                                                          drive.drop.value))
    return found


def _computed_speed(c: Context, load: Flywheel, bound: Any) -> tuple[Any, Source]:
    """The fastest it gets with a weight that one loss frees; its bound where no weight can, or a loss is not known."""
    found = [(f.fastest * f.shafts[load.shaft].turns, f.loss.path) for f in c.freed
             if load.shaft in f.shafts and load.name not in f.off]
    if not found:
        return bound, Source("no loss leaves it with a weight: the bound counts", obtained="derived")
    worst = max(found, key=lambda one: float(np.max(np.nan_to_num(one[0], nan=np.inf))))[1]
    top = np.maximum.reduce(np.broadcast_arrays(*(speed for speed, _ in found)))
    return np.where(np.isnan(top), bound, top)[()], Source(
        "speed after the loss of one element, largest", f"loss of {worst}", "derived")


def away(part: Part) -> Any:
    """The run-away speed a wheel is rated at."""
    v = part.inputs
    found = rotating.from_weights(v["omega_r"], v["omega_c"], rotating.run_away_speed(v["omega_r"], v["E_w"], v["J"]))
    return np.maximum(found, v["omega_s"])


def _stated_speed(c: Context, load: Flywheel) -> tuple[Any, Source]:
    """What the file states; nought where weights alone turn the wheel; not known where anything else does."""
    if load.run_away_speed.known:
        return load.run_away_speed.value, load.run_away_speed.origin
    s = c.solved.set_of(load.shaft)
    role = c.solved.roles[s.root]
    pulled = any(isinstance(other, Pull) and other.shaft in s.ratio for other in c.machine.loads.values())
    if role.weights and not role.led_by and not role.winds and not pulled:
        return 0.0, Source("weights alone turn these shafts", obtained="derived")
    return NAN, Source(f"{load.path}.run away speed: not given, and more than weights turns these shafts",
                       obtained="given")
