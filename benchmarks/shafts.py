"""A stepped shaft beside a general 3D frame library, and a field of candidate shafts at a stroke.

Ten steps, three bearings, loads and couples in two planes, the mass of every step in its middle: reactions,
shear, moment, deflection and slope at every step and the first bending critical speed. The library builds
the frame and solves it for the loads; a general eigenvalue solver takes its stiffness matrix and the masses.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from harness import Pair
from Pynite import FEModel3D
from scipy.linalg import eigvalsh
from scipy.sparse.linalg import splu

from layshaft.mechanics.beam import Beam, BeamResult
from layshaft.mechanics.beam_batch import Beams
from layshaft.mechanics.critical_speed import first_speed

E, G, DENSITY = 206e9, 79.3e9, 7850.0
STEPS, CANDIDATES, AT_ONCE = 10, 1500, 100
PLANES = (("FY", "MZ", 1.0), ("FZ", "MY", -1.0))


def field(count: int) -> tuple[np.ndarray, ...]:
    """Ends, diameters, bearings, stations, forces, couples and masses of invented shafts."""
    random = np.random.default_rng(7)
    lengths = random.uniform(0.03, 0.12, (count, STEPS))
    ends = np.concatenate((np.zeros((count, 1)), np.cumsum(lengths, axis=1)), axis=1)
    diameters = random.choice([0.020, 0.025, 0.030, 0.035, 0.040], (count, STEPS))
    forces, couples = random.normal(size=(2, count, STEPS, 2, 1)) * np.array([500.0, 5.0]).reshape(2, 1, 1, 1, 1)
    return (ends, diameters, ends[:, [1, 5, 9]], (ends[:, 1:] + ends[:, :-1]) / 2, forces, couples,
            DENSITY * math.pi / 4 * diameters**2 * lengths)


FIELD = field(CANDIDATES)
ONE = [part[0] for part in FIELD]


def told(found: BeamResult, speed: float) -> list[float]:
    """Everything both sides are compared by."""
    return [*found.reactions[..., 0].ravel(), *found.deflection[..., 0].ravel(), *found.slope[..., 0].ravel(), speed]


def own() -> Sequence[float]:
    ends, diameters, supports, stations, forces, couples, masses = ONE
    shaft = Beam(ends, diameters, E, supports, stations)
    return told(shaft.solve(forces, couples), float(first_speed(shaft.flexibility(), masses)))


def by_frame_library() -> Sequence[float]:
    ends, diameters, supports, stations, forces, couples, masses = ONE
    model = FEModel3D()
    model.add_material("steel", E, G, 0.3, 1e-12)
    xs = sorted({*ends, *stations})
    node = {x: f"n{i}" for i, x in enumerate(xs)}
    for x, name in node.items():
        model.add_node(name, x, 0, 0)
    for i, d in enumerate(diameters):
        second = math.pi * d**4 / 64
        model.add_section(f"s{i}", math.pi * d**2 / 4, second, second, 2 * second)
    for k, (a, b) in enumerate(pairwise(xs)):
        model.add_member(f"m{k}", node[a], node[b], "steel", f"s{k // 2}")
    for k, x in enumerate(supports):
        model.def_support(node[x], k == 0, True, True, k == 0, False, False)
    for i, x in enumerate(stations):
        for plane, (force, couple, sense) in enumerate(PLANES):
            model.add_node_load(node[x], force, forces[i, plane, 0], "loads")
            model.add_node_load(node[x], couple, sense * couples[i, plane, 0], "loads")
    model.add_load_combo("loads", {"loads": 1.0})
    model.analyze_linear()
    held, loaded = [model.nodes[node[x]] for x in supports], [model.nodes[node[x]] for x in stations]
    found = [
        *(reaction["loads"] for n in held for reaction in (n.RxnFY, n.RxnFZ)),
        *(sag["loads"] for n in loaded for sag in (n.DY, n.DZ)),
        *(turn for n in loaded for turn in (n.RZ["loads"], -n.RY["loads"])),
    ]
    return [*found, first_mode(model, [n.ID for n in loaded], [n.ID for n in held], masses)]


def first_mode(model: FEModel3D, loaded: Sequence[int], held: Sequence[int], masses: np.ndarray) -> float:
    """First mode of the same lumped masses on the library's stiffness matrix, by a general solver.

    Its own modal analysis gives every turning node a little mass, which lowers this speed by 6e-5.
    """
    K = model.Ke("loads", sparse=True).tocsc()
    fixed = {6 * i + axis for i in held for axis in (1, 2)} | {6 * held[0], 6 * held[0] + 3}
    free = np.array([k for k in range(K.shape[0]) if k not in fixed])
    places = np.searchsorted(free, [6 * i + 1 for i in loaded])
    unit = np.zeros((len(free), len(places)))
    unit[places, range(len(places))] = np.sqrt(masses)
    bent = splu(K[free][:, free]).solve(unit)[places] * np.sqrt(masses)[:, None]
    return float(eigvalsh((bent + bent.T) / 2)[-1] ** -0.5)


def candidates() -> Sequence[float]:
    """The whole field, a hundred shafts at a time: what they need fits the processor's cache."""
    totals = []
    for start in range(0, CANDIDATES, AT_ONCE):
        ends, diameters, supports, stations, forces, couples, masses = (
            part[start : start + AT_ONCE] for part in FIELD)
        shafts = Beams(ends, diameters, E, supports, stations)
        found = shafts.solve(forces, couples)
        totals.append((found, first_speed(shafts.flexibility(), masses)))
    found, speeds = totals[0]
    return told(BeamResult(*(getattr(found, name)[0] for name in BeamResult.__slots__)), float(speeds[0]))


def pairs() -> list[Pair]:
    """The shaft alone, and 1,500 of them."""
    library = "a general 3D frame library: build, solve, read, first mode"
    return [
        Pair("stepped shaft, two planes, first bending speed", own, by_frame_library, f"{library}; goal: 50", 1e-6),
        Pair(f"{CANDIDATES:,} candidate shafts (15,000 a second is {CANDIDATES / 15:.0f} ms)", candidates,
             by_frame_library, f"{library}, scaled from one of them", 1e-6, share=1 / CANDIDATES),
    ]
