"""Roller chains: from the train to the chain's room."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import roller_chain
from layshaft.machine.kinds import PERIODIC, Crank, RollerChain
from layshaft.machine.kinds.stages import LUBRICATION
from layshaft.machine.schema import Given
from layshaft.trace.source import Source
from layshaft.train.cases import AT_REST, CASES, MODULE_OFF, PEAK, RUNNING, TRANSIT, WINDING
from layshaft.train.idlers import has_travel, round_idlers
from layshaft.train.place import seat_point
from layshaft.train.sizes import chain_size, joint_area
from layshaft.train.stages import centre_distance, chain_links, line_direction, turn_ratio
from layshaft.verdict.context import NAN, Context, none_given
from layshaft.verdict.rows import Block, Part, with_required

PULLED = tuple(c for c in CASES if c != TRANSIT)
MODES = {
    "static strength": PULLED,
    "dynamic strength": (RUNNING, PEAK, WINDING, MODULE_OFF),
    "joint pressure": (RUNNING, WINDING, MODULE_OFF),
    "plate capacity": (RUNNING, WINDING),
    "roller capacity": (RUNNING, WINDING),
    "slow hoisting duty": (RUNNING, PEAK, WINDING, AT_REST),
    "wear elongation": (),
    "wear life": (RUNNING, WINDING, MODULE_OFF),
    "no offset link": (),
    "wrap": (),
    "tooth jump": PULLED,
}
REQUIRED = dict.fromkeys(MODES, "S_required") | {
    "static strength": "S_B_required", "dynamic strength": "S_D_required"}
OFFSET = "offset link"
PRESS_FIT = {"press fit": 1.0, "slip fit": 0.0, OFFSET: 0.0}
ON_AND_ON = frozenset({RUNNING, PEAK, WINDING, MODULE_OFF})


def block(c: Context) -> Block:
    """All roller chain stages."""
    hoisting = {"slow hoisting duty", "no offset link", "tooth jump"}
    found = Block("roller chain", roller_chain.rate, roller_chain.ChainInputs, MODES, required=REQUIRED,
                  applies={mode: lambda part: part.inputs["hoisting"] == 1.0 for mode in hoisting})
    for name, stage in c.stages:
        if isinstance(stage, RollerChain):
            found.parts.append(_part(c, name, stage))
    return found


def _part(c: Context, name: str, stage: RollerChain) -> Part:
    machine, solved = c.machine, c.solved
    size = chain_size(machine, stage.chain)
    small = 0 if not stage.teeth[0].nominal > stage.teeth[1].nominal else 1
    shaft = stage.from_ if small == 0 else stage.to
    hurts = c.hurts(stage.path)
    values: dict[str, Any] = {
        "z_1": stage.teeth[small].nominal, "z_2": stage.teeth[1 - small].nominal,
        "omega_1": np.abs(solved.speed[shaft]), "T_1": _small_torque(c, name, stage, small),
        "X": chain_links(machine, stage), "a": centre_distance(machine, stage),
        "delta": _inclination(c, stage), "s": roller_chain.practice("sag level").number("value"),
        "g": machine.gravity.value, "F_2": stage.slack_force.value if stage.slack_force.known else 0.0,
        "t_life": c.life, "running": _running(c), "hoisting": _hoisting(c, stage),
        "press_fit": PRESS_FIT.get(stage.connecting_link, NAN),
        "offset": 1.0 if stage.connecting_link == OFFSET else 0.0,
        "fixed": 1.0 if _side_by_side(c, stage) or _fixed(stage) else 0.0, "take_up": stage.take_up.value,
        "lub": float(LUBRICATION.index(stage.lubrication)) if stage.lubrication else NAN,
        **round_idlers(machine, stage, small),
    }
    if not stage.take_up.known and has_travel(stage):
        values["take_up"] = 0.0
    factor, factor_source = _application_factor(c, stage)
    values["f_1"] = factor
    listed = {"p": "pitch", "strands": "strands", "F_u": "breaking_load", "q": "mass_per_metre",
              "light": "light"}
    values["A"] = joint_area(machine, stage.chain)
    values |= {symbol: getattr(size, field) if size else NAN for symbol, field in listed.items()}
    origins = _origins(c, stage, size, shaft) | {"f_1": factor_source}
    part = Part(stage.path, "", values, origins, hurts, frozenset({"T_1", "omega_1"}),
                not_chosen=not stage.chain.known or not all(t.known for t in stage.teeth),
                content=(size.row_content,) if size else (), shaft=shaft)
    return with_required(part, machine.margins or {}, REQUIRED)


def _origins(c: Context, stage: RollerChain, size: Any, shaft: str) -> dict[str, Source]:
    listed = size.source if size else Source(f"{stage.chain.path}: not chosen yet", obtained="given")
    small = 0 if shaft == stage.from_ else 1
    derived = Source("places of the two shafts", stage.path, "derived")
    sag = roller_chain.practice("sag level").source
    link = Source(f"{stage.path}.connecting link: {stage.connecting_link or 'not given'}", obtained="given")
    slack = stage.slack_force.origin if stage.slack_force.known else none_given(stage.path, "slack force")
    return {
        "p": listed, "strands": listed, "F_u": listed, "light": listed,
        "q": size.mass_source if size else listed, "A": size.area_source if size else listed,
        "z_1": stage.teeth[small].origin, "z_2": stage.teeth[1 - small].origin,
        "omega_1": c.from_train(shaft, "speed"), "T_1": c.from_train(shaft, "torque"),
        "X": _links_origin(stage),
        "a": stage.centres.origin if stage.idlers else Source("centre distance of the chosen links", stage.path,
                                                              "derived"),
        "delta": derived, "s": sag,
        "g": c.machine.gravity.origin, "F_2": slack, "t_life": c.life_source,
        "running": Source("the case", obtained="derived"),
        "hoisting": Source("the load path of a weight", obtained="derived"), "press_fit": link,
        "fixed": derived, "take_up": _take_up_origin(stage),
        "offset": link,
        "lub": Source(f"{stage.path}.lubrication: {stage.lubrication or 'not given'}", obtained="given"),
        **dict.fromkeys(("gamma", "s_i", "L_t", "L_0"), _idler_origin(stage)),
    }


def _take_up_origin(stage: RollerChain) -> Source:
    if not stage.take_up.known and has_travel(stage):
        return none_given(stage.path, "take up besides the tensioner's travel")
    return stage.take_up.origin


def _idler_origin(stage: RollerChain) -> Source:
    if not stage.idlers:
        return none_given(stage.path, "idlers")
    lacking = _not_placed(stage)
    if lacking is not None:
        return lacking.origin
    return Source("way of the chain round its idlers", ", ".join(i.path for i in stage.idlers.values()), "derived")


def _links_origin(stage: RollerChain) -> Source:
    if stage.links.known:
        return stage.links.origin
    if stage.idlers:
        return _idler_origin(stage)
    return Source("even links next above the wanted distance", stage.centres.path, "derived")


def _not_placed(stage: RollerChain) -> Given | None:
    """The first thing the file does not say of where the idlers stand."""
    wanted = [stage.centres, *(given for i in stage.idlers.values() for given in (i.teeth, i.along, i.off))]
    return next((given for given in wanted if not given.known), None)


def _fixed(stage: RollerChain) -> bool:
    """Fixed centres, said outright, and nothing else that takes up wear."""
    return stage.take_up.known and stage.take_up.nominal == 0 and not has_travel(stage)


def _small_torque(c: Context, name: str, stage: RollerChain, small: int) -> Any:
    """Torque at the small sprocket that gives the larger of the two pulls, in the strand rated."""
    if name not in c.solved.carried:
        return NAN
    return c.solved.carried[name] / (1.0 if small == 0 else abs(turn_ratio(c.machine, stage)))


def _inclination(c: Context, stage: RollerChain) -> float:
    machine, place = c.machine, c.solved.place
    line = (seat_point(machine, place[stage.to], stage.to, stage.seats[1])
            - seat_point(machine, place[stage.from_], stage.from_, stage.seats[0]))
    if not np.all(np.isfinite(line)) and stage.line.known:  # the distance is open, the direction is not
        line = line_direction(machine.shafts[stage.from_], stage.line.nominal)
    return float(np.arctan2(line[2], np.hypot(line[0], line[1])))


def _running(c: Context) -> Any:
    return np.array([[1.0 if case in ON_AND_ON else 0.0] for case in c.solved.cases])


def _hoisting(c: Context, stage: RollerChain) -> float:
    return 1.0 if c.hurts(stage.path).startswith("whoever stands under") else 0.0


def _side_by_side(c: Context, stage: RollerChain) -> bool:
    return any(len(link.stages) > 1 and stage.name in link.stages
               for s in c.solved.sets.values() for link in s.links)


def _application_factor(c: Context, stage: RollerChain) -> tuple[float, Source]:
    """Driver and driven class of the published table: a hand or foot drive counts as moderate shocks."""
    s = c.solved.set_of(stage.from_)
    by_hand = any(isinstance(d, Crank) and d.shaft in s.ratio for d in c.machine.drives.values())
    pulses = any(isinstance(v, PERIODIC) and v.shaft in s.ratio for v in c.machine.loads.values())
    row = roller_chain.application_factor("moderate shocks" if by_hand else "smooth",
                                          "moderate shocks" if pulses else "smooth")
    return row.number("f_1"), row.source
