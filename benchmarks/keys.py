"""One key rated on floats, beside the same formulas carrying a unit on every number."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pint
from harness import Pair

from layshaft.elements import parallel_key as key
from layshaft.mechanics.margin import margin
from layshaft.trace.source import Source

# An 8 x 7 x 40 key on a 25 mm shaft; invented for the timing.
SIZES = {"T": 60.0, "d": 0.025, "b": 0.008, "h": 0.007, "t_1": 0.004, "l": 0.040, "i": 1.0,
         "R_e_shaft": 355e6, "R_e_key": 335e6, "R_e_hub": 355e6}
INVENTED = Source("benchmark", obtained="given")
ORIGINS = dict.fromkeys((*SIZES, "S_required"), INVENTED)


def margins(v: Mapping[str, Any]) -> tuple[Any, Any]:
    """Both margins by the room's formulas; the numbers may carry units."""
    l_tr = key.bearing_length(v["l"], v["b"], v["d"])
    phi = key.carrying_share(v["i"])
    p = key.flank_pressure(v["T"], v["d"], v["h"], v["t_1"], l_tr, v["i"], phi)
    p_zul = key.permissible_pressure(min(v["R_e_shaft"], v["R_e_key"], v["R_e_hub"]))
    tau = key.shear_stress(key.tangential_force(v["T"], v["d"]), key.sheared_area(v["b"], l_tr, v["i"], phi))
    return margin(p_zul, p), margin(key.shear_yield(v["R_e_key"]), tau)


def on_floats() -> tuple[float, float]:
    return margins(SIZES)


def rated() -> tuple[float, float]:
    """What the project does: inputs checked, origins kept, checks formed."""
    done = key.rate(key.KeyInputs(origins=ORIGINS, S_required=1.5, **SIZES))
    return float(done.S_p), float(done.S_tau)


def with_units() -> Mapping[str, Any]:
    registry = pint.UnitRegistry()
    units = {f.name: f.metadata["dimension"].si for f in key.KeyInputs.quantities()}
    return {name: registry.Quantity(value, units[name]) for name, value in SIZES.items()}


QUANTITIES = with_units()


def on_quantities() -> tuple[float, float]:
    return tuple(S.to("dimensionless").magnitude for S in margins(QUANTITIES))


def pairs() -> list[Pair]:
    """The key with and without what the project keeps beside the numbers."""
    return [
        Pair("key, formulas alone", on_floats, on_quantities, "the same formulas on pint quantities"),
        Pair("key, rated with inputs and checks", rated, on_quantities, "the same formulas on pint quantities"),
    ]
