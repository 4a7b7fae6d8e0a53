"""Gear pairs by ISO 6336: what the file, the train and the bent shafts say of each."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.gear_pair import iso_6336 as room
from layshaft.listings.tables import table
from layshaft.machine.kinds import PERIODIC, Crank, GearPair, SteelPart
from layshaft.machine.schema import Choice
from layshaft.trace.source import Source
from layshaft.train.cases import MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.place import diameters_at
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context, none_given
from layshaft.verdict.kinds import gears, mesh_tilt
from layshaft.verdict.kinds.gear_fit import as_cut, is_spur, not_chosen, sides
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "root fatigue": (RUNNING, PEAK, WINDING, MODULE_OFF),
    "flank pitting": (RUNNING, WINDING, MODULE_OFF),
    "jam strength": gears.MODES["jam strength"],
    "flank wear": gears.MODES["flank wear"],
}
REQUIRED = {"root fatigue": "S_fatigue", "flank pitting": "S_pit", "jam strength": "S_jam", "flank wear": "S_wear"}
DEMANDS = frozenset({"T_1", "omega_1", "theta", "T_f"})
GIVEN = {
    "dynamic": "K_Vo", "face load": "K_Hbo", "face load of the root": "K_Fbo", "transverse load": "K_Hao",
    "transverse load of the root": "K_Fao", "zone": "Z_Ho", "contact ratio of the flank": "Z_eo",
    "helix of the flank": "Z_bo", "single contact": "Z_Bo", "life of the pinion flank": "Z_N1o",
    "life of the wheel flank": "Z_N2o", "form of the pinion": "Y_F1o", "form of the wheel": "Y_F2o",
    "notch of the pinion": "Y_S1o", "notch of the wheel": "Y_S2o", "contact ratio of the root": "Y_eo",
    "helix of the root": "Y_bo", "life of the pinion root": "Y_N1o", "life of the wheel root": "Y_N2o",
    "size of the root": "Y_Xo",
}
"""Names of factors in the machine file and the input that carries each; 0 where the file gives none."""

STEEL = Source("constants of steel", "206 GPa and 0.3, with which ISO 6336 prints 189.8", "common practice")
YOUNG, POISSON = 206e9, 0.3
NOT_COUNTED = Source("not counted: ISO 6336-2 needs a hard and smooth pinion", obtained="derived")
SMOOTH = Source("ISO 6336-3, method C, fillets no rougher than 16 um", obtained="from memory")
FRICTION = {"grease": "friction of greased teeth", "oil": "friction of oiled teeth", "dry": "friction of dry teeth"}
SLOW = 0.5
"""m/s: below it no film parts the teeth, common practice."""

ALLOYED = ("1.6", "1.7")
"""First figures of the material numbers of alloyed heat-treatable steels, EN 10027-2."""


def block(c: Context) -> Block:
    """Every pair of spur, helical and double helical gears, rings among them."""
    classical = {s.path for s in c.machine.stages.values() if is_spur(s)}
    other = dict.fromkeys(("jam strength", "flank wear"), lambda part: part.path not in classical)
    found = Block("gear pair by ISO 6336", room.rate_iso, room.IsoInputs, MODES, required=REQUIRED, applies=other)
    for name, stage in c.stages:
        if isinstance(stage, GearPair):
            found.parts.append(_part(c, name, stage))
    return found


def _part(c: Context, name: str, stage: GearPair) -> Part:
    values, origins = as_cut(stage)
    pinion = sides(stage).pinion
    shaft = gears.shaft_of(stage, pinion)
    steels = gears.steels_of(c, stage)
    for gathered in (_of_train(c, name, stage, shaft), _of_both(c, stage, pinion, steels), _floating(c, name, stage),
                     _of_factors(stage)):
        for symbol, (value, source) in gathered.items():
            values[symbol], origins[symbol] = value, source
    factor, source = _application_factor(c, stage)
    values["K_A"], origins["K_A"] = factor, source
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), DEMANDS, not_chosen=not_chosen(stage),
                content=tuple(line for s in steels for line in s.content), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _of_train(c: Context, name: str, stage: GearPair, shaft: str) -> dict[str, tuple[Any, Source]]:
    frames = mesh_tilt.frames(c.machine, stage)
    mu = FRICTION.get(stage.lubrication)
    row = table("gear_practice")[mu] if mu else None
    none = Source(f"{stage.path}.lubrication: not given", obtained="given")
    return {
        "T_1": (gears.carried(c, name, stage), c.from_train(shaft, "torque of the pinion")),
        "omega_1": (np.abs(c.solved.speed[shaft]), c.from_train(shaft, "speed of the pinion")),
        "t_life": (c.life, c.life_source),
        "theta": (mesh_tilt.relative_slope(c, name, stage),
                  c.from_train(shaft, "slopes of both beams at the mesh")),
        "least": (frames.number("value"), Source(frames.name, frames.source.work, frames.source.obtained)),
        "mu": (row.number("value"), row.source) if row else (NAN, none),
        "eta": (stage.efficiency.value, stage.efficiency.origin),
        "Q": (stage.accuracy.value, stage.accuracy.origin), "E": (YOUNG, STEEL), "nu": (POISSON, STEEL),
    }


def _of_both(c: Context, stage: GearPair, pinion: int, steels: list[Any]) -> dict[str, tuple[Any, Source]]:
    found: dict[str, tuple[Any, Source]] = {}
    for n, i in ((1, pinion), (2, 1 - pinion)):
        hardness = stage.hardness[i]
        found |= {f"line_{n}": material_line(c, stage, i), f"H_{n}": (hardness.value, hardness.origin),
                  f"R_e{n}": (steels[i].R_e, steels[i].source)}
    return found


def material_line(c: Context, stage: GearPair, i: int) -> tuple[float, Source]:
    """Line of the table of gear materials by treatment and grade; the lowest grade where none is stated."""
    treatment = stage.treatment[i] or _treatment_of(c, stage.materials[i])
    grade = stage.grade or "ML"
    for row in table("gear_materials").rows:
        if (row.text("treatment"), row.text("grade")) == (treatment, grade):
            stated = "" if stage.grade else " (no grade stated: the lowest)"
            return float(row.name), Source(f"ISO 6336-5, {treatment} steel, grade {grade}{stated}",
                                           f"table gear_materials, line {row.name}", row.source.obtained)
    steel = stage.materials[i].name or "the steel"
    return NAN, Source(f"{stage.path}.treatment: not given, and {steel} does not say it", obtained="given")


def _treatment_of(c: Context, choice: Choice) -> str:
    """What the table of steels says of the condition of a grade; blank for an own listing."""
    row = table("shaft_steels").get(choice.name) if choice.known else None
    if row is None or isinstance(own_part(c.machine, choice), SteelPart):
        return ""
    if row.text("condition") in ("normalised", "structural"):
        return "normalised"
    return "quenched alloy" if row.text("number").startswith(ALLOYED) else "quenched carbon"


def _floating(c: Context, name: str, stage: GearPair) -> dict[str, tuple[Any, Source]]:
    """What holds the floating shaft of double helical gears back: the friction of what joins it to the rest."""
    if not stage.double:
        none = none_given(stage.path, "second helix")
        return {"halves": (1.0, none), "T_f": (0.0, none), "d_f": (1.0, none), "mu_f": (0.0, none)}
    two, practice = Source(f"{stage.path}.double: yes", obtained="given"), table("gear_practice")
    said = Source(f"{stage.path}.floats: {stage.floats or 'not given'}", obtained="given")
    i = 1 if stage.floats == "to" else 0
    shaft = c.machine.shafts[gears.shaft_of(stage, i)]
    others = [seat.at.nominal for seat_name, seat in shaft.seats.items()
              if seat.bearing.state == "missing" and seat_name != stage.seats[i]]
    d = min((diameters_at(shaft, x)[0] for x in others), default=diameters_at(shaft, NAN)[1])
    torque = c.solved.stage_torque.get(name)
    T_f = np.abs(torque[i]) if torque is not None else NAN
    row = practice["both shafts fixed" if stage.floats == "neither" else "friction of a sliding key"]
    mu = (row.number("value"), Source(f"{row.name}, {said.work}", row.source.work, row.source.obtained))
    joins = c.from_train(shaft.name, "torque through what joins the floating shaft")
    return {"halves": (2.0, two), "T_f": (T_f, joins),
            "d_f": (d, Source(f"{shaft.path}.sections: its thinnest seat beside the gear", obtained="given")),
            "mu_f": mu if stage.floats else (NAN, said)}


def _of_factors(stage: GearPair) -> dict[str, tuple[Any, Source]]:
    """Factors the file gives, and 0 for those it leaves to the method; what only a table could say."""
    none = Source("left to the method", obtained="derived")
    found = {symbol: (stage.factors[name].value, stage.factors[name].origin) if name in stage.factors else (0.0, none)
             for name, symbol in GIVEN.items()}
    film = table("gear_practice")["film, milled flanks"]
    usual = {"Z_LVR": ("film", film.number("value"), film.source),
             "Z_W": ("work hardening", 1.0, NOT_COUNTED), "Y_dR": ("notch sensitivity and roughness", 1.0, SMOOTH)}
    for symbol, (name, value, source) in usual.items():
        own = stage.factors.get(name)
        found[symbol] = (own.value, own.origin) if own else (value, source)
    return found


def is_slow(c: Context, stage: GearPair) -> bool:
    """True where the pitch line runs below 0.5 m/s in the running mean: wear and jam strength lead."""
    pinion = sides(stage).pinion
    speed = float(np.abs(c.solved.speed[gears.shaft_of(stage, pinion)][0]).mean())
    return speed * stage.normal_module.nominal * stage.teeth[pinion].nominal / 2 < SLOW


def _application_factor(c: Context, stage: GearPair) -> tuple[Any, Source]:
    """By what drives and what is driven; 1 in a case whose torque is the peak itself."""
    own = stage.factors.get("application")
    s = c.solved.set_of(stage.from_)
    by_hand = any(isinstance(d, Crank) and d.shaft in s.ratio for d in c.machine.drives.values())
    pulses = any(isinstance(v, PERIODIC) and v.shaft in s.ratio for v in c.machine.loads.values())
    ways = ["moderate shocks" if hard else "uniform" for hard in (by_hand, pulses)]
    row = table("gear_application_factors")[", ".join(ways)]
    factor = own.value if own else row.number("K_A")
    lasting = np.array([[1.0 if case in (RUNNING, WINDING, MODULE_OFF) else 0.0] for case in c.solved.cases])
    source = own.origin if own else Source(row.source.work, row.name, row.source.obtained)
    return np.where(lasting > 0, factor, 1.0), source
