"""What is kept from check to check: the same bits as a fresh rating, and asked again where one bit differs."""

from pathlib import Path

import numpy as np

import layshaft
from layshaft.trace.formula import Handle, tracing
from layshaft.verdict import kept
from layshaft.verdict.needed import needed, only

HERE = Path(__file__).resolve().parents[2]


def blocks():
    verdict = layshaft.rate(layshaft.solve(layshaft.read(HERE / "examples" / "harbour-light")))
    return list({id(r.block): r.block for r in verdict.rated}.values())


def emptied():
    for cached in (kept._rated, kept._traced):
        cached.cache_clear()


def numbers(checks):
    return [np.asarray(v, float).tobytes() for c in checks for v in (c.demand, c.rating, c.margin, c.required)]


def test_kept_ratings_are_those_of_the_room_to_the_last_bit():
    emptied()
    for block in blocks():
        fresh = kept._called(block.rate, block.inputs, block.stacked())
        assert numbers(block.rated()) == numbers(fresh)
        assert numbers(block.rated()) == numbers(fresh)
    assert kept._rated.cache_info().hits >= kept._rated.cache_info().misses > 20


def test_one_bit_of_one_number_is_rated_anew():
    block = blocks()[0]
    before = block.rated()
    assert block.rated() is before
    name, value = next((k, v) for k, v in block.parts[0].inputs.items() if isinstance(v, float) and np.isfinite(v) and v)
    block.parts[0].inputs[name] = np.nextafter(value, np.inf)
    assert block.rated() is not before


def test_what_leaves_formulas_out_and_what_is_traced_is_not_taken_for_the_rest():
    block = next(b for b in blocks() if b.kind == "shaft section")
    whole = block.rated()
    with only(needed(block, ["yield"])):
        assert np.isnan(next(c for c in block.rated() if c.mode == "fatigue").margin).all()
    with tracing():
        assert all(isinstance(c.margin, Handle) for c in block.rated())
    assert block.rated() is whole
    assert all(isinstance(c.margin, Handle) for c in block.traced())


def test_many_samples_are_not_kept():
    block = blocks()[0]
    many = {name: np.repeat(a, 3, axis=2) for name, a in block.stacked().items()}
    held = kept._rated.cache_info().currsize
    first, second = (kept.rated(block.rate, block.inputs, many) for _ in range(2))
    assert first is not second
    assert numbers(first) == numbers(second)
    assert kept._rated.cache_info().currsize == held
