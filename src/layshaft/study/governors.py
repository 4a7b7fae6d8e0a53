"""The fan or eddy brake that holds the wanted mean speed, and how stiffly it does."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from layshaft.machine.kinds import EddyBrake, FanBrake
from layshaft.machine.model import Machine
from layshaft.mechanics import motion, sizing, steadiness
from layshaft.study.trial import MM, Option, Train, free_name, new_seat, reckoned, tried, written
from layshaft.trace.formula import Trace, given, named, tracing
from layshaft.trace.units import (
    AREA,
    COUNT,
    DAMPING,
    DENSITY,
    LENGTH,
    RATIO,
    SPEED,
    TORQUE,
    TORQUE_PER_SPEED_SQUARED,
    shown,
)
from layshaft.train import sources
from layshaft.train.assemble import left_over, solve_set
from layshaft.train.cases import RUNNING, Column, running_plan
from layshaft.train.roles import role
from layshaft.train.wanted import wanted_speed

NEW = "governor"
MORE = 1.1
"""Drive torque or air density that is ten per cent up."""

ABOVE = 3.0
"""Critical speed of a new eddy brake over its mean speed: far enough for its torque to go with the speed."""

DIGITS = 6
FAN, EDDY = "fan brake", "eddy brake"


@dataclass(frozen=True, slots=True)
class Governor:
    """One brake in one place. `spare` is the torque left over for it; area and radius only for known vanes.

    `more_torque` and `denser` are changes of the mean speed, for a tenth more of drive torque or air density.
    """

    load: str
    kind: str
    shaft: str
    held: str
    wanted: float
    now: float
    spare: float
    constant: float
    area: float = math.nan
    radius: float = math.nan
    then: float = math.nan
    more_torque: float = math.nan
    denser: float = math.nan
    option: Option | None = None
    sheet: Trace | None = None
    short: str = ""


@dataclass(frozen=True, slots=True)
class _Place:
    """A brake that is there (or None), and the shaft and seat where it is or shall be."""

    brake: FanBrake | EddyBrake | None
    shaft: str
    seat: str
    new_seat: Option


def governors(train: Train) -> list[Governor]:
    """Both kinds of brake in every place where one is, or on the fastest shaft where none is."""
    s = train.role.set
    speed, _, held = wanted_speed(train.machine, s)
    if not train.balanced or not speed > 0:
        return []
    brakes = [load for load in train.machine.loads.values()
              if isinstance(load, (FanBrake, EddyBrake)) and load.shaft in s.ratio]
    places = [_Place(brake, brake.shaft, brake.seat, {}) for brake in brakes]
    if not places:
        fastest = max((shaft for shaft in s.shafts if train.ratio(shaft) > 0), key=train.ratio)
        places = [_Place(None, fastest, *new_seat(train.machine, fastest, NEW))]
    return [_governor(train, place, kind, held, speed) for place in places for kind in _kinds(place)]


def _kinds(place: _Place) -> tuple[str, str]:
    """What is there first."""
    return (EDDY, FAN) if isinstance(place.brake, EddyBrake) else (FAN, EDDY)


def _governor(train: Train, place: _Place, kind: str, held: str, speed: float) -> Governor:
    others = _without(train.machine, place)
    seat = place.seat if place.brake else next(iter(train.machine.shafts[place.shaft].seats))
    with np.errstate(all="ignore"):
        spare = float(np.mean(left_over(others, role(others, train.role.set), (place.shaft, seat), speed)))
    omega, turns = speed * train.ratio(place.shaft), train.ratio(held)
    constant = float(sizing.fan_constant_for(spare, omega) if kind == FAN else sizing.eddy_constant_for(spare, omega))
    name = place.brake.name if place.brake else free_name(NEW, train.machine.loads)
    found = Governor(name, kind, place.shaft, held, speed * turns, train.speed * turns, spare, constant)
    if not spare > 0:
        return replace(found, constant=math.nan, short=_short(train, found))
    same = isinstance(place.brake, FanBrake if kind == FAN else EddyBrake)
    option = _tuned(train, place, constant) if same else _new(place, name, kind, constant, omega)
    then, sheet = tried(train, option), _sheet(train, place, kind, spare, omega)
    return replace(
        found, option=option, sheet=sheet, area=_of(sheet, "A_g"), radius=_of(sheet, "r_g"), then=then.speed * turns,
        more_torque=float(steadiness.rate_error(_speed(then, pull=MORE), then.speed)),
        denser=float(steadiness.rate_error(_speed(then, air=MORE), then.speed)))


def _without(machine: Machine, place: _Place) -> Machine:
    if place.brake is None:
        return machine
    return replace(machine, loads={n: load for n, load in machine.loads.items() if n != place.brake.name})


def _short(train: Train, g: Governor) -> str:
    if not math.isfinite(g.spare):
        return f"What a brake on {g.shaft} has to take is not known: some torque of the running machine is unknown."
    at_drive = -g.spare * train.ratio(g.shaft)
    return (f"No brake on {g.shaft} can hold {g.held} at {shown(g.wanted, SPEED)}: nothing is left over there for it. "
            f"{shown(-g.spare, TORQUE)} are short at {g.shaft}, which is {shown(at_drive, TORQUE)} at {train.root} "
            "and more with the losses between.")


# Options ---------------------------------------------------------------------------------------


def _tuned(train: Train, place: _Place, constant: float) -> Option:
    """The brake that is there, changed as its file describes it: its constant, its trim, or the radius of its vanes."""
    path, brake = f"loads.{place.brake.name}", place.brake  # type: ignore[union-attr]
    if isinstance(brake, EddyBrake):
        return {"set": {f"{path}.constant": written(constant, "N m s/rad", DIGITS)}}
    assert isinstance(brake, FanBrake)
    trim = brake.trim.nominal if brake.trim.known and math.isfinite(brake.trim.nominal) else 1.0
    plain = replace(brake, trim=replace(brake.trim, value=1.0, state="given"))
    whole = float(np.mean(sources.fan_constant(train.machine, plain)))
    if not math.isfinite(whole):
        return {"set": {f"{path}.constant": written(constant, "N m s2", DIGITS), f"{path}.trim": "1"}}
    if brake.constant.known:
        return {"set": {f"{path}.constant": written(constant / trim, "N m s2", DIGITS)}}
    if constant <= whole:
        return {"set": {f"{path}.trim": written(constant / whole, "", DIGITS)}}
    radius = brake.at_radius.nominal * (constant / whole) ** (1 / 3)
    return {"set": {f"{path}.trim": "1", f"{path}.at radius": written(radius / MM, "mm", DIGITS)}}


def _new(place: _Place, name: str, kind: str, constant: float, omega: float) -> Option:
    """A brake of the other kind in the place of one, or a first one."""
    inertia = f"{place.brake.inertia.nominal!r} kg m2" if place.brake and place.brake.inertia.known else "0 kg m2"
    brake: dict[str, Any] = {
        "kind": kind, "shaft": place.shaft, "seat": place.seat,
        "inertia": {"value": inertia, "source": "assumed", "note": "not drawn yet"},
        "constant": written(constant, "N m s2" if kind == FAN else "N m s/rad", DIGITS)}
    if kind == EDDY:
        brake["critical speed"] = {"value": written(ABOVE * omega, "rad/s"), "source": "assumed",
                                   "note": "or more: ask the maker of the disc"}
    option: Option = {"remove": [f"loads.{name}"]} if place.brake else {}
    return option | {"add": place.new_seat | {f"loads.{name}": brake}}


# Stiffness -------------------------------------------------------------------------------------


def _speed(train: Train, pull: float = 1.0, air: float = 1.0) -> float:
    """Mean speed of the root with all weights pulling harder, or in denser air."""
    fans = {n: replace(load, trim=replace(load.trim, state="given", value=air * _trim(load)))
            for n, load in train.machine.loads.items() if isinstance(load, FanBrake)}
    machine = replace(train.machine, loads=train.machine.loads | fans)
    plan = running_plan(machine, train.role)
    column = Column(RUNNING, RUNNING, {train.root: plan}, pull=dict.fromkeys(train.role.weights, pull))
    with np.errstate(all="ignore"):
        return abs(float(np.mean(solve_set(machine, train.role, [column], train.solved.samples).speed[train.root][0])))


def _trim(load: FanBrake) -> Any:
    return load.trim.value if load.trim.known else 1.0


# Sheet -----------------------------------------------------------------------------------------


def _of(sheet: Trace, symbol: str) -> float:
    return next((float(step.value) for step in sheet.steps if step.symbol == symbol), math.nan)


def _sheet(train: Train, place: _Place, kind: str, spare: float, omega_w: float) -> Trace:
    """Balance at the wanted speed, the vanes, and the speed with a tenth more torque at the brake."""
    brake = place.brake
    with np.errstate(all="ignore"), tracing() as trace:
        T_s = reckoned("T_s", "torque left over for the governor at the speed that is wanted", TORQUE, spare)
        omega = reckoned("omega", f"speed of {place.shaft} then", SPEED, omega_w)
        none = (reckoned("c_0", "eddy brake beside the fan: none", DAMPING, 0.0) if kind == FAN else
                reckoned("k_0", "fan beside the eddy brake: none", TORQUE_PER_SPEED_SQUARED, 0.0))
        if kind == FAN:
            k = sizing.fan_constant_for(T_s, omega)
            if isinstance(brake, FanBrake) and not brake.constant.known:
                _vanes(train, brake, k)
        else:
            c = sizing.eddy_constant_for(T_s, omega)
        more = reckoned("T_m", "the same with a tenth more, nothing else changed", TORQUE, MORE * spare)
        omega_e = motion.terminal_speed(more, *((k, none) if kind == FAN else (none, c)))
        named("e_m", steadiness.rate_error(omega_e, omega), "change of speed for a tenth more torque at the brake")
    return trace


def _vanes(train: Train, brake: FanBrake, k: Any) -> None:
    air = brake.air_density if brake.air_density.known else train.machine.venue.air_density
    n_v = given("n_v", "vanes", COUNT, brake.vanes.nominal, brake.vanes.origin)
    rho = given("rho", "density of the air", DENSITY, air.nominal, air.origin)
    C_d = given("C_d", "drag coefficient of a vane", RATIO, brake.drag_coefficient.nominal,
                brake.drag_coefficient.origin)
    r = given("r", "radius to the centre of a vane", LENGTH, brake.at_radius.nominal, brake.at_radius.origin)
    area = brake.area[0].nominal * brake.area[1].nominal
    A = reckoned("A", "area of one vane", AREA, area)
    sizing.vane_area_for(k, n_v, rho, C_d, r)
    sizing.vane_radius_for(k, n_v, rho, C_d, A)
