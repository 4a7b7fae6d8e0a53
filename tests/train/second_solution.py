"""A second solution of a machine file, which shares nothing with the first but the text.

It reads the text with PyYAML and its own units, and sets up one sparse linear system a case: the
torque on both ends of every stage, and one reaction or one acceleration, are unknown; every shaft
balances, every stage passes power with its loss. Which way power flows is guessed, solved, and
guessed again until it fits. The speed of a weight against brakes is found by bisection around it.
"""

import re
from dataclasses import dataclass, field

import numpy as np
import yaml
from scipy.optimize import brentq
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve

UNIT = {"mm": 1e-3, "m": 1.0, "kg": 1.0, "N m": 1.0, "J": 1.0, "kg m2": 1.0, "deg": np.pi / 180, "rpm": np.pi / 30,
        "rad/s": 1.0, "%": 0.01, "m/s2": 1.0, "N": 1.0, "kg/m3": 1.0, "N m s2": 1.0, "N m s": 1.0, "s": 1.0, "": 1.0,
        "N/mm": 1e3}
AXIS = {s + c: (-1.0 if s else 1.0) * np.eye(3)[i] for i, c in enumerate("xyz") for s in ("", "-")}
SIDE = {"+x": (1, 0, 0), "-x": (-1, 0, 0), "+y": (0, 1, 0), "-y": (0, -1, 0)}
PITCH = {"06B-1": 9.525e-3, "08B-1": 12.7e-3, "10B-1": 15.875e-3}  # ISO 606: 3/8, 1/2 and 5/8 inch
NUMBER = re.compile(r"\s*([-+0-9.eE]+)\s*(.*)")


def si(text) -> float:
    if isinstance(text, dict):
        text = text["value"]
    value, unit = NUMBER.fullmatch(str(text)).groups()
    return float(value) * UNIT[unit.strip()]


@dataclass
class Answer:
    """Speeds, torques on both ends of every stage, the reaction, the acceleration of the first shaft."""

    speed: dict
    ends: dict
    reaction: float
    acceleration: dict = field(default_factory=dict)


class Machine:
    """The machine as its text says, apart from the first solution."""

    def __init__(self, text: str) -> None:
        self.file = yaml.safe_load(text)
        self.g = si(self.file["gravity"])
        self.shafts = list(self.file["shafts"])
        self.axis = {n: AXIS[s["axis"]] for n, s in self.file["shafts"].items()}
        self.stages, self.drives = self.file.get("stages", {}), self.file["drives"]
        self.loads = self.file.get("loads", {})
        self.led = next((n for n, d in self.drives.items() if d["kind"] in ("crank", "motor")), "")
        self.weights = [n for n, d in self.drives.items() if d["kind"] == "falling weight"]
        self.ratio = self._ratios()
        self.turn = self._sense()

    # How fast, which way

    def stage_ratio(self, stage: dict) -> float:
        """Speed of the second shaft over the first: both move alike where they touch."""
        a, b = self.axis[stage["from"]], self.axis[stage["to"]]
        if stage["kind"] == "coupling":
            return float(a @ b)
        if stage["kind"] == "V belt":  # the second rim stays behind by the creep
            d = [si(text) for text in stage["diameters"]]
            rim_1, rim_2 = np.cross(a, [1, 2, 3]) * d[0], np.cross(b, [1, 2, 3]) * d[1]
            return float(rim_1 @ rim_2 / (rim_2 @ rim_2)) * (1 - si(stage.get("creep", "0")))
        z = stage["teeth"]
        if stage["kind"] in ("roller chain", "synchronous belt"):  # one strand: both rims run the same way along it
            rim_1, rim_2 = np.cross(a, [1, 2, 3]) * z[0], np.cross(b, [1, 2, 3]) * z[1]
        elif stage["kind"] == "gear pair":  # contact between the two axes, or beyond both where one is a ring
            side = 1 if stage.get("internal") else -1
            rim_1, rim_2 = np.cross(a, [1, 2, 3]) * z[0], side * np.cross(b, [1, 2, 3]) * z[1]
        else:  # contact of the cones, seen from the crossing
            s = [1.0 if where == "before" else -1.0 for where in stage["apex"]]
            touch = s[0] * a * z[1] + s[1] * b * z[0]
            rim_1, rim_2 = np.cross(a, touch), np.cross(b, touch)
        return float(rim_1 @ rim_2 / (rim_2 @ rim_2))

    def _ratios(self) -> dict:
        ratio = {self.shafts[0]: 1.0}
        for _ in self.shafts:
            for stage in self.stages.values():
                one, other = stage["from"], stage["to"]
                if one in ratio and other not in ratio:
                    ratio[other] = ratio[one] * self.stage_ratio(stage)
                elif other in ratio and one not in ratio:
                    ratio[one] = ratio[other] / self.stage_ratio(stage)
        return ratio

    def arm(self, drive: dict) -> float:
        """Radius of the drum, or of the pitch circle: the links are chords of it."""
        if "diameter" in drive:
            return si(drive["diameter"]) / 2
        return PITCH[drive["chain"]] / 2 / np.sin(np.pi / drive["teeth"])

    def sense(self, drive: dict) -> float:
        """Sign of (arm x weight) along the axis."""
        return float(np.sign(self.axis[drive["shaft"]] @ np.cross(SIDE[drive["hangs on"]], (0, 0, -1))))

    def falls(self, drive: dict, *, rising: bool) -> list:
        """Tension of every fall from the drum on, carrying the weight together."""
        k, e = int(drive.get("falls", 1)), si(drive["pulley loss"])
        shape = [(1 + e) ** (-j if rising else j) for j in range(k)]
        return [si(drive["mass"]) * self.g * s / sum(shape) for s in shape]

    def _sense(self) -> dict:
        """Sense in which each shaft turns: down with the weights, up where a crank leads."""
        push = sum(self.sense(d) * self.falls(d, rising=False)[0] * self.arm(d) * self.ratio[d["shaft"]]
                   for d in (self.drives[n] for n in self.weights))
        down = np.sign(push)
        if self.led and push:
            down = -down
        elif self.led:
            down = np.sign(self.ratio[self.drives[self.led]["shaft"]])
        return {n: float(down * np.sign(r)) for n, r in self.ratio.items()}

    def rising(self, drive: dict) -> bool:
        return self.sense(drive) * self.turn[drive["shaft"]] < 0

    # Torques that are known

    def drive_torques(self, *, rising: bool = True) -> dict:
        found = dict.fromkeys(self.shafts, 0.0)
        for name in self.weights:
            d = self.drives[name]
            found[d["shaft"]] += self.sense(d) * self.arm(d) * self.falls(d, rising=rising and self.rising(d))[0]
        return found

    def resisting(self, load: dict, state: str) -> float:
        kind, rest = load["kind"], si(load.get("break away", 1)) if state == "at rest" else 1.0
        if kind == "steady":
            return si(load["torque"]) * rest
        if kind == "turntable":
            return (si(load["mass"]) * self.g * si(load["rolling coefficient"]) * si(load["track radius"])) * rest
        if kind == "pulses":
            if state == "mean":
                return si(load["energy"]) * load["per turn"] / (2 * np.pi)
            return 0.0 if state == "drops" else si(load["energy"]) / si(load["over"]) * rest
        if kind == "allowance":
            return si(load["torque"] if state in ("mean", "drops") else load["peak torque"])
        return 0.0

    def brake(self, load: dict, speed: float) -> float:
        if load["kind"] == "eddy brake":
            return si(load["constant"]) * speed
        if load["kind"] != "fan brake":
            return 0.0
        if "constant" in load:
            return si(load["constant"]) * speed**2
        a, b = map(si, load["area"])
        r = si(load["at radius"])
        drag = 0.5 * si(self.file["venue"]["air density"]) * (r * speed) ** 2 * si(load["drag coefficient"]) * a * b
        return load["vanes"] * drag * r * si(load.get("trim", 1))

    def mass_inertia(self, load: dict) -> float:
        if load["kind"] == "turntable":
            return si(load["mass"]) * si(load["radius of gyration"]) ** 2
        return si(load.get("inertia", 0))

    def inertias(self) -> dict:
        found = dict.fromkeys(self.shafts, 0.0)
        for load in self.loads.values():
            found[load["shaft"]] += self.mass_inertia(load)
        for name in self.weights:
            d = self.drives[name]
            found[d["shaft"]] += si(d["mass"]) * (self.arm(d) / int(d.get("falls", 1))) ** 2
        return found

    def bearings(self, shaft: str):
        return [s for s in self.file["shafts"][shaft]["seats"].values() if "bearing" in s or "bush" in s]

    def torques(self, state: str, speed: float, *, losses: bool = True, at_rest: bool = False) -> dict:
        """Every known torque on every shaft, when the first shaft turns at `speed`."""
        found = self.drive_torques(rising=losses or not at_rest)
        for load in self.loads.values() if state != "none" else ():
            shaft = load["shaft"]
            found[shaft] -= self.turn[shaft] * (self.resisting(load, state)
                                                + self.brake(load, abs(speed * self.ratio[shaft])))
        if losses:
            for shaft in self.shafts:
                for seat in self.bearings(shaft):
                    found[shaft] -= self.turn[shaft] * si(seat["drag"]) * (si(seat["break away"]) if at_rest else 1)
            for stage in self.stages.values():
                rest = si(stage["break away"]) if at_rest else 1
                found[stage["from"]] -= self.turn[stage["from"]] * si(stage.get("drag", 0)) * rest
        return found

    # The linear system

    def links(self, out=()) -> list:
        """Stages by what they join: strands side by side are one, with the worse efficiency."""
        found = {}
        for name, stage in self.stages.items():
            if name not in out:
                found.setdefault(frozenset((stage["from"], stage["to"])), []).append(name)
        return list(found.values())

    def passes(self, names: list, *, losses: bool, at_rest: bool) -> float:
        if not losses:
            return 1.0
        share = min(si(self.stages[n]["efficiency"]) for n in names)
        rest = max(si(self.stages[n]["break away"]) for n in names)
        return max(1 - (1 - share) * rest, 1e-3) if at_rest else share

    def balance(self, known: dict, at: str, *, out=(), losses=True, at_rest=False, inertias=None) -> Answer:
        """Torques on both ends of every stage, and a torque at `at` or the acceleration."""
        links = self.links(out)
        row = {n: i for i, n in enumerate(self.shafts)}
        n, m = len(self.shafts), len(links)
        outward = np.ones(m, bool)
        for _ in range(60):
            entries, right = [], np.zeros(n + m)
            for name, value in known.items():
                right[row[name]] = -value
            for j, names in enumerate(links):
                first = self.stages[names[0]]
                one, other = first["from"], first["to"]
                entries += [(row[one], 2 * j, 1.0), (row[other], 2 * j + 1, 1.0)]
                eta = self.passes(names, losses=losses, at_rest=at_rest)
                lost_1, lost_2 = (eta, 1.0) if outward[j] else (1.0, eta)
                entries += [(n + j, 2 * j, lost_1 * self.ratio[one]), (n + j, 2 * j + 1, lost_2 * self.ratio[other])]
            if inertias is None:
                entries.append((row[at], 2 * m, 1.0))
            else:
                entries += [(row[s], 2 * m, -J * self.ratio[s]) for s, J in inertias.items()]
            i, j, value = zip(*entries, strict=True)
            x = spsolve(coo_matrix((value, (i, j)), shape=(n + m, 2 * m + 1)).tocsc(), right)
            ends = [(x[2 * k], x[2 * k + 1]) for k in range(m)]
            flows = np.array([e[0] * self.turn[self.stages[names[0]]["from"]] <= 0
                              for e, names in zip(ends, links, strict=True)])
            if (flows == outward).all():
                break
            outward = flows
        else:
            raise AssertionError("no direction of flow fits")
        return self._answer(links, ends, x[-1], inertias is not None)

    def _answer(self, links, ends, last, accelerates) -> Answer:
        found = {}
        for names, (t_1, t_2) in zip(links, ends, strict=True):
            same = self.stages[names[0]]["from"]
            for name in names:
                pair = (t_1, t_2) if self.stages[name]["from"] == same else (t_2, t_1)
                found[name] = tuple(t / len(names) for t in pair)
        return Answer({}, found, 0.0 if accelerates else last,
                      {s: r * last if accelerates else 0.0 for s, r in self.ratio.items()})

    def running(self, out=()) -> Answer:
        """Running mean: the torque a leader gives, or the speed at which brakes hold the weights."""
        root = self.shafts[0]
        if self.led:
            d = self.drives[self.led]
            speed = si(d["speed"]) / abs(self.ratio[d["shaft"]])
            found = self.balance(self.torques("mean", speed), d["shaft"], out=out)
        else:
            def spare(omega):
                return self.turn[root] * self.balance(self.torques("mean", omega), root, out=out).reaction

            high = 1.0
            while spare(high) < 0:
                high *= 2
            speed = brentq(spare, 0, high, xtol=1e-15, rtol=1e-15, maxiter=300)
            found = self.balance(self.torques("mean", speed), root, out=out)
        found.speed = {s: abs(r) * self.turn[s] * speed for s, r in self.ratio.items()}
        return found

    def peak(self, state: str, running: Answer, push: float = 1.0) -> Answer:
        """Loads or leader jump; the masses speed up or slow down."""
        known = self.torques(state, abs(running.speed[self.shafts[0]]))
        if self.led:
            known[self.drives[self.led]["shaft"]] += push * running.reaction
        return self.balance(known, "", inertias=self.inertias())

    def breaking_away(self) -> Answer:
        known = self.torques("at rest", 0.0, at_rest=True)
        return self.balance(known, self.drives[self.led or self.weights[0]]["shaft"], at_rest=True)

    def held(self, shaft: str) -> Answer:
        known = self.drive_torques()
        if self.led:
            d = self.drives[self.led]
            full = si(d["peak torque"]) if d["kind"] == "motor" else si(d["worst push"]) * si(d["radius"])
            known[d["shaft"]] += full * self.turn[d["shaft"]]
        return self.balance(known, shaft, losses=False)
