"""A choice among 840 million combinations beside staged numpy and beside plain loops, and fronts beside a package.

Own is what `layshaft choose` does before it rates: the machine solved as it stands, the grid built, joined in
stages, weighed, and its front; the train solved for every ratio. The peers are handed the columns of the grid and
the torques that own has to solve for.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from harness import Pair
from paretoset import paretoset

from layshaft.elements import roller_chain
from layshaft.listings.offers import Offer, standard_offers
from layshaft.machine.reader import read_text
from layshaft.study.choosing.asked import space_of
from layshaft.study.choosing.fronts import front, rounded
from layshaft.study.choosing.joining import ENOUGH, column, join
from layshaft.study.choosing.space import Space, Wish
from layshaft.study.choosing.stages import required_strength
from layshaft.study.choosing.wishes import weighed, weights_of

MM = 1e-3
WISH = Wish(ratio=3.0, within=0.02, prefer=weights_of("mass,width,across,ratio"))
PARTS = ("shafts.b", "shafts.b.seats.left.bearing", "stages.link")
SIZES = ("05B", "06B", "08A", "08B", "10A", "10B", "12A", "12B", "16A", "16B")
BARS, BEARINGS = 20, 60
LOOPED = 300_000
SEAT = "drag: 0.02 N m, break away: 1.5"
SHAFT = "{module: frame, axis: x, material: C45+N, finish: ground, reliability: 99 %, wind up: 1 deg"
MACHINE = f"""layshaft: 1
name: Generated choice
gravity: 9.81 m/s2
modules: {{frame: {{mass: 100 kg, size: [1 m, 0.9 m, 0.9 m]}}}}
runs: {{show: {{time: 1 h, days per year: 50, years: 10}}}}
shafts:
  a: {SHAFT}, at: [0 m, 0 m, 1 m], sections: [[25 mm, 300 mm]], seats: {{left: {{at: 20 mm, bearing: "6205", {SEAT}}},
    right: {{at: 240 mm, bearing: "6205", {SEAT}}}, wheel: {{at: 120 mm}}, end: {{at: 290 mm}}}}}}
  b: {SHAFT}, sections: [[open, 300 mm]], seats: {{left: {{at: 20 mm, bearing: open, {SEAT}}},
    right: {{at: 240 mm, bearing: open, {SEAT}}}, wheel: {{at: 120 mm}}, end: {{at: 290 mm}}}}}}
drives: {{motor: {{kind: motor, shaft: a, seat: end, speed: 120 rpm, torque: 20 N m, peak torque: 40 N m}}}}
stages:
  link: {{kind: roller chain, from: a, to: b, seats: [wheel, wheel], efficiency: 0.96, break away: 1.2, line: 20 deg,
    chain: 08B-1, teeth: [19, 57], centres: {{value: 600 mm, between: [400 mm, 800 mm]}}, connecting link: press fit}}
loads: {{work: {{kind: steady, shaft: b, seat: end, torque: 40 N m, break away: 1.5, inertia: 0.2 kg m2}}}}
"""


def offers(kind: str, where: Mapping[str, tuple[float, float]] | None = None) -> Sequence[Offer]:  # noqa: ARG001
    """Ten sizes of chain with one to three strands, twenty bars, sixty bearings: those of the series, then others."""
    series = list(standard_offers(kind))
    if kind == "roller chain":
        return [o for o in series if o.name.rpartition("-")[0] in SIZES]
    if kind == "bright bar":
        return [o for o in series if o.values["diameter"] >= 10 * MM][:BARS]
    if kind == "bearing":  # each again, a little wider: invented, so that there are sixty
        more = (replace(o, values={**o.values, "width": float(o.values["width"]) * 1.1}) for o in series)
        return [*series, *more][:BEARINGS]
    return series


def own() -> tuple[Space, int, np.ndarray]:
    """The whole search up to the rating: its space, how many fit, and the values of its front."""
    space = space_of(read_text(MACHINE), PARTS, WISH, offers)
    joined = join(space.grid)
    values = np.stack([w.values for w in weighed(space, joined.table) if w.counts], axis=1)
    return space, len(joined.table), values[front(values)]


def staged(space: Space) -> Callable[[], tuple[int, np.ndarray]]:
    """The same by hand: numpy in the order of somebody who knows the job, and the front by another package."""
    columns = {k: np.asarray(v) for axis in space.grid.axes for k, v in axis.columns.items()}
    part, bore, bar = "stages.link", "shafts.b.seats.left.bearing|bore", "shafts.b|d"
    required = required_strength(space, part)
    joined = join(space.grid).table
    torque = {(a, b): t for a, b, t in zip(*(column(space.grid, joined, n).tolist() for n in (
        f"{part}.teeth[0]|z", f"{part}.teeth[1]|z", f"{part}|T")), strict=True)}

    def run() -> tuple[int, np.ndarray]:
        z_1, z_2 = (a.ravel() for a in np.meshgrid(columns[f"{part}.teeth[0]|z"], columns[f"{part}.teeth[1]|z"]))
        near = np.abs(z_2 / z_1 / WISH.ratio - 1) * ENOUGH <= WISH.within
        z_1, z_2 = z_1[near], z_2[near]
        T = np.array([torque.get(pair, np.inf) for pair in zip(z_1.tolist(), z_2.tolist(), strict=True)])
        pair, chain, step = (i.ravel() for i in np.indices((len(z_1), len(columns[f"{part}|p"]), 10)))
        a, p = columns[f"{part}|wanted"][step], columns[f"{part}|p"][chain]
        roller, z_1, z_2, T = columns[f"{part}|roller"][chain], z_1[pair], z_2[pair], T[pair]
        d_1, d_2 = p / np.sin(np.pi / z_1), p / np.sin(np.pi / z_2)
        small = T * np.minimum(z_1, z_2) / z_1
        keep = (a >= (d_1 + d_2) / 2 + roller) & (np.maximum(d_1, d_2) + roller <= 0.9) & (d_1 - roller >= 0.025)
        keep &= columns[f"{part}|F_u"][chain] / (2 * small / np.minimum(d_1, d_2)) >= required * ENOUGH
        at = np.flatnonzero(keep)
        X = 2 * np.ceil((roller_chain.links_exact(a[at], p[at], z_1[at], z_2[at]) - 0.01) / 2)
        apart = roller_chain.centre_distance_exact(X, z_1[at], z_2[at], p[at])
        good = np.abs(apart / a[at] - 1) * ENOUGH <= 0.05
        at, X = at[good], X[good]
        i, j = np.nonzero(np.abs(columns[bar][:, None] - columns[bore][None, :]) <= 5e-5)
        outside = columns["shafts.b.seats.left.bearing|outside"][j]
        wheel = (d_2 - roller)[at][:, None] >= columns[bar][i][None, :] * ENOUGH
        row, shaft = np.nonzero(wheel & (outside <= 0.9)[None, :])
        c = chain[at]
        more = np.nan_to_num((columns[f"{part}|strands"] - 1) * columns[f"{part}|across strands"])
        rim = (0.93 * columns[f"{part}|inner"] + more)[c]
        discs = np.pi / 4 * (d_1[at] ** 2 + d_2[at] ** 2) * rim * 7850
        mass = X * p[at] * columns[f"{part}|q"][c] + discs
        steel, wide = np.pi / 4 * columns[bar][i] ** 2 * 0.3 * 7850, columns["shafts.b.seats.left.bearing|width"][j]
        values = np.stack([mass[row] + steel[shaft], rim[row] + wide[shaft], np.maximum(np.maximum(
            (np.maximum(d_1, d_2) + roller)[at][row], outside[shaft]), columns[bar][i][shaft]),
            np.abs(z_2 / z_1 / WISH.ratio - 1)[at][row]], axis=1)
        return len(values), values[paretoset(rounded(values), ["min"] * 4, distinct=True)]

    return run


def looped(space: Space) -> float:
    """Plain loops over the first of all combinations, two tests only."""
    axes = [axis.columns[name] for axis, name in zip(space.grid.axes, (
        "shafts.b|d", "shafts.b.seats.left.bearing|bore", "stages.link.teeth[0]|z", "stages.link.teeth[1]|z",
        "stages.link|p", "stages.link|wanted"), strict=True)]
    found = 0
    for bar, bore, z_1, z_2, _, _ in itertools.islice(itertools.product(*(a.tolist() for a in axes)), LOOPED):
        if abs(bar - bore) <= 5e-5 and abs(z_2 / z_1 / WISH.ratio - 1) <= WISH.within:
            found += 1
    return float(found)


def shell(n: int) -> np.ndarray:
    """A set of which most is on the front."""
    rng = np.random.default_rng(4)
    x = np.abs(rng.normal(size=(n, 4)))
    return 1 - x / np.linalg.norm(x, axis=1)[:, None] + 0.02 * rng.random((n, 1))


def _front_pair(name: str, values: np.ndarray, goal: str) -> Pair:
    def agrees() -> None:
        assert (front(values) == paretoset(rounded(values), ["min"] * values.shape[1], distinct=True)).all()

    return Pair(name, lambda: [float(front(values).sum())],
                lambda: [float(paretoset(values, ["min"] * values.shape[1], distinct=True).sum())],
                f"paretoset; {goal}", check=agrees)


def pairs() -> list[Pair]:
    """The search beside two peers, and fronts of an easy and a hard set."""
    space, count, best = own()
    size = space.grid.size
    peer = staged(space)

    def agrees() -> None:
        theirs, values = peer()
        assert theirs == count, (theirs, count)
        assert np.allclose(np.sort(rounded(best), axis=0), np.sort(rounded(values), axis=0), rtol=1e-7)
        print(f"choose: {size:,} combinations, {count:,} fit, {len(best)} on the front, both sides alike.")

    def alone() -> Sequence[float]:
        return [float(own()[1])]

    return [
        Pair("choose 840 million", alone, lambda: [float(peer()[0])],
             "staged numpy by hand and paretoset, handed the torques; goal: own under 0.5 s", check=agrees),
        Pair("choose 840 million, loops", alone, lambda: [looped(space)],
             f"itertools.product, two tests, scaled from {LOOPED:,}", share=LOOPED / size, check=lambda: None),
        _front_pair("front, 1,000,000 easy", np.random.default_rng(1).random((1_000_000, 4)), "no goal"),
        _front_pair("front, 20,000 hard", shell(20_000), "goal: 45"),
    ]
