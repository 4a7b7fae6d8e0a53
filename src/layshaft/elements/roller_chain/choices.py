"""One strand, two strands of one chain, or two separate chains: what each costs for the same pull."""

from __future__ import annotations

from typing import Any

from layshaft.elements.roller_chain import geometry as g
from layshaft.elements.roller_chain import twins
from layshaft.elements.roller_chain.sizes import ChainSize, practice, series
from layshaft.elements.roller_chain.strength import joint_pressure
from layshaft.mechanics.drives import parallel_strand_share
from layshaft.mechanics.margin import margin
from layshaft.trace.choices import Choices, Figure, Way
from layshaft.trace.units import COUNT, DEGREE, FORCE, LENGTH, RATIO, STRESS

PULL, SPAN, TEETH = 2000.0, 0.6, 19.0
ASKEW = 0.05 * DEGREE
BETWEEN = 0.015
"""Room between two sprockets side by side for plates, pins and a hub shoulder: invented, as is the whole case."""

CASE = ("an invented case: 2000 N of pull over a span of 0.6 m on 19 teeth; a new chain is up to 0.15 % too long, and "
        "two sprockets side by side are 0.05 deg askew")

ONE = ("Easy to line up, hides few faults, wants no pair of sprockets. Nothing holds when it parts. Against two "
       "strands of the same strength its pitch is larger, and so are its wheels and the steps in which it drops from "
       "tooth to tooth: the noisier of the two. Being narrow it forgives sprockets out of line best.")
DUPLEX = ("Two strands on common pins share by themselves, near enough. The smaller pitch runs the quietest, on the "
          "smallest wheels. It is one chain all the same: one pin, one connecting link, one sprocket. It wants "
          "sprockets in line and shafts that do not lean, or one strand carries more.")
TWIN = ("Two chains on sprockets of their own. Which carries what is left to lengths and keyways; new and unmatched, "
        "one may carry everything. They count as one for strength, and as two holders only where each alone carries "
        "the peak and the snatch, and where somebody sees that one has gone. The widest, and the most sprockets to "
        "line up. As noisy as one of its chains, and a little more.")


def choices() -> Choices:
    """The decision between them; every number by the formulas that rate a chain."""
    one, duplex, single = series("12B-1"), series("08B-2"), series("12B-1")
    share = _tighter(single)
    return Choices("One chain, one chain of two strands, or two chains side by side", CASE, (
        Way(f"one chain, {one.name}", ONE, _figures(one, 1.0, one.breaking_load, 0.0, one.inner_width)),
        Way(f"two strands, {duplex.name}", DUPLEX, _figures(
            duplex, 1.0, duplex.breaking_load, 0.0, duplex.inner_width + duplex.transverse_pitch)),
        Way(f"two chains, {single.name} each", TWIN, _figures(
            single, share, single.breaking_load, float(single.breaking_load), 2 * single.inner_width + BETWEEN)),
    ))


def _tighter(size: ChainSize) -> float:
    """Share of the tighter of two chains with the case's errors of length and angle."""
    k = g.strand_stiffness(size.breaking_load, SPAN)
    delta_L = twins.length_difference(practice("length tolerance").number("value", 0.01), SPAN)
    r = g.pitch_diameter(size.pitch, TEETH) / 2
    return float(twins.tighter_share(parallel_strand_share(k, delta_L, r, ASKEW, PULL), 2.0))


def _figures(size: ChainSize, share: float, strength: Any, left: float, width: Any) -> tuple[Figure, ...]:
    pull = PULL * share
    return (
        Figure("largest share of the pull in one chain", share, RATIO),
        Figure("safety of all that carries", float(margin(strength, pull)), RATIO),
        Figure("breaking load of what is left when one has parted", left, FORCE),
        Figure("joint pressure", float(joint_pressure(pull, size.bearing_area)), STRESS),
        Figure("chordal speed variation", float(g.chordal_variation(TEETH)), RATIO),
        Figure("pitch, the step that is heard", float(size.pitch), LENGTH),
        Figure("pitch diameter on 19 teeth", float(g.pitch_diameter(size.pitch, TEETH)), LENGTH),
        Figure("width between the outermost plates", float(width), LENGTH),
        Figure("connecting links that may part", 2.0 if left else 1.0, COUNT),
    )
