"""Natural frequencies and shapes of turning masses joined by springs, in any pattern: branches and loops too.

All twists are seen at one shaft (the root of the set): twist over speed ratio, inertia and stiffness times
its square. So seen every stage has the ratio 1, and the machine is a network of masses and springs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Modes:
    """Natural frequencies in rad/s, slowest first, and shapes (nodes, modes) with unit modal mass.

    The first `rigid` of them turn as one without twisting: their frequency is 0. `mass` is what every node
    carries, `stiffness` that of every spring and `springs` its two nodes.
    """

    omega: Array
    shapes: Array
    rigid: int
    mass: Array
    springs: tuple[Pair, ...]
    stiffness: Array
    twists: Array
    """Twist of every spring in every mode, (springs, modes)."""

    @property
    def strain_shares(self) -> Array:
        """Share of each spring in a mode's strain energy, (springs, modes); 0 where nothing twists."""
        energy = self.stiffness[:, None] * self.twists**2
        return energy / np.where(self.omega > 0, self.omega**2, np.inf)

    @property
    def motion_shares(self) -> Array:
        """Share of each mass in a mode's energy of motion, (nodes, modes)."""
        return self.mass[:, None] * self.shapes**2


def natural(mass: Array, springs: Sequence[Pair], stiffness: Array, rigid: Sequence[Pair] = (),
            held: Sequence[int] = ()) -> Modes:
    """Modes of a network. `rigid` joins nodes without twist, `held` nodes do not turn.

    Nodes without mass follow the others. Raises `ValueError` where a group of nodes has no mass at all.
    """
    nodes = len(mass)
    group, place, join = _joined(nodes, rigid, held)
    M, K = join.T @ mass, join.T @ _laplacian(nodes, springs, stiffness) @ join
    still = _turning_as_one(len(place), springs, [place.get(g, -1) for g in group])
    goes = join @ _followers(M, K) / np.sqrt(M[M > 0])
    omega, shapes, twists = _decomposed(goes, springs, np.sqrt(np.asarray(stiffness, float)), still)
    if still:
        shapes[:, :still] = _as_one(mass, springs, rigid, held, nodes)
    return Modes(omega, shapes, still, mass, tuple(springs), np.asarray(stiffness, float), twists)


def _decomposed(goes: Array, springs: Sequence[Pair], root: Array, still: int) -> tuple[Array, Array, Array]:
    """Frequencies, shapes and twists from the singular values of the springs' twists, weighed by root k and root m.

    Squared, as eigenvalues of the stiffness, slow modes beside stiff springs would lose half of their digits,
    and with them the torques in these springs.
    """
    twist = np.zeros((len(springs), goes.shape[1]))
    for i, (a, b) in enumerate(springs):
        twist[i] = root[i] * (goes[a] - goes[b])
    left, values, right = np.linalg.svd(twist, full_matrices=True)
    size = goes.shape[1]
    omega = np.zeros(size)
    omega[: len(values)] = values
    strain = np.zeros((len(springs), size))
    strain[:, : len(values)] = left[:, : len(values)] * values
    slow_first = np.argsort(omega, kind="stable")
    omega, strain = omega[slow_first], strain[:, slow_first]
    omega[:still], strain[:, :still] = 0.0, 0.0
    return omega, goes @ right[slow_first].T, strain / root[:, None]


def give_at(nodes: int, springs: Sequence[Pair], stiffness: Array, rigid: Sequence[Pair], held: Sequence[int],
            node: int) -> float:
    """Twist of a node for a steady torque on it while others are held; 0 where it cannot twist against them."""
    group, place, join = _joined(nodes, rigid, held)
    if group[node] not in place:
        return 0.0
    K = join.T @ _laplacian(nodes, springs, stiffness) @ join
    torque = join[node]
    return float(torque @ np.linalg.lstsq(K, torque, rcond=None)[0])


def _joined(nodes: int, rigid: Sequence[Pair], held: Sequence[int]) -> tuple[list[int], dict[int, int], Array]:
    """Group of every node, place of every group that is free to turn, and which nodes go with each of these."""
    group = _groups(nodes, rigid)
    free = [g for g in range(max(group, default=-1) + 1) if g not in {group[h] for h in held}]
    place = {g: k for k, g in enumerate(free)}
    join = np.zeros((nodes, len(free)))
    for node, g in enumerate(group):
        if g in place:
            join[node, place[g]] = 1.0
    return group, place, join


def _laplacian(nodes: int, springs: Sequence[Pair], stiffness: Array) -> Array:
    K = np.zeros((nodes, nodes))
    for (a, b), k in zip(springs, stiffness, strict=True):
        K[a, a] += k
        K[b, b] += k
        K[a, b] -= k
        K[b, a] -= k
    return K


def _groups(nodes: int, joined: Sequence[Pair]) -> list[int]:
    """Number of the group each node is in, counted from 0 in the order of their first nodes."""
    lead = list(range(nodes))

    def first(node: int) -> int:
        while lead[node] != node:
            node = lead[node]
        return node

    for a, b in joined:
        one, other = sorted((first(a), first(b)))
        lead[other] = one
    firsts = sorted({first(n) for n in range(nodes)})
    return [firsts.index(first(n)) for n in range(nodes)]


def _followers(M: Array, K: Array) -> Array:
    """What every group does for each heavy one: massless groups lie where the springs on both sides balance."""
    heavy = M > 0
    follow = np.zeros((len(M), int(heavy.sum())))
    follow[heavy] = np.eye(int(heavy.sum()))
    if not heavy.all():
        inner = K[np.ix_(~heavy, ~heavy)]
        if len(inner) and np.linalg.matrix_rank(inner) < len(inner):
            raise ValueError("a part of the train has no mass at all: nothing to swing there")
        follow[~heavy] = -np.linalg.solve(inner, K[np.ix_(~heavy, heavy)])
    return follow


def _turning_as_one(groups: int, springs: Sequence[Pair], place: list[int]) -> int:
    """Parts of the network that nothing holds: each can turn without twisting."""
    ends = [(place[a], place[b]) for a, b in springs]
    part = _groups(groups + 1, [(a if a >= 0 else groups, b if b >= 0 else groups) for a, b in ends])
    return len(set(part) - {part[groups]}) if groups else 0


def _as_one(mass: Array, springs: Sequence[Pair], rigid: Sequence[Pair], held: Sequence[int], nodes: int) -> Array:
    """Shapes of the parts that turn as one, with unit modal mass."""
    part = _groups(nodes, [*springs, *rigid])
    loose = [p for p in sorted(set(part)) if p not in {part[h] for h in held}]
    inside = np.array([[p == q for q in loose] for p in part], float)
    return np.asarray(inside / np.sqrt(mass @ inside))
