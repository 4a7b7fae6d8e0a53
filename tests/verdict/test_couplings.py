"""Couplings in a machine: factors from the venue, the swing of muscles and lifts, and what is unknown."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.machine.reader import read_text
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

PUMP = (Path(__file__).parents[2] / "examples/village-pump/machine.yaml").read_text(encoding="utf-8")
PATH = "stages.pump coupling"


def verdict(*pairs):
    text = PUMP
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return rate(solve(read_text(text)))


def finding(v, mode, path=PATH):
    [found] = [f for f in v.findings if (f.part, f.mode) == (path, mode)]
    return found


def test_temperature_factor_follows_the_warmest_day():
    """Polyurethane: 1.0 up to 30 degC, 1.2 up to 40, 1.5 up to 60; steel 1.0 whatever the weather."""
    plain = finding(verdict(("warmest: 32 degC", "warmest: 30 degC")), "steady torque")
    for change, factor in ((("warmest: 32 degC", "warmest: 33 degC"), 1.2), (("warmest: 32 degC", "warmest: 45 degC"), 1.5),
                           (("polyurethane", "steel"), 1.0), (("starts per hour: 30", "temperature factor: 1.3"), 1.3)):
        assert finding(verdict(change), "steady torque").demand == approx(factor * plain.demand)


@pytest.mark.parametrize(("change", "reason"), [
    (("warmest: 32 degC", "warmest: 70 degC"), "temperature factor"), (("coldest: 2 degC", "coldest: -25 degC"), "temperature factor"),
    ((", warmest: 32 degC", ""), "venue.warmest"), (("element: polyurethane, ", ""), "temperature factor"),
    (("starts per hour: 30", "starts per hour: 300"), "start factor")])
def test_a_factor_that_is_not_known_is_no_factor_of_one(change, reason):
    mode = "peak torque" if "start" in reason else "steady torque"
    found = finding(verdict(change), mode)
    assert found.verdict == "unknown"
    assert reason in found.reason


def test_frequent_starts_raise_the_peak_alone():
    few, many = (verdict(("starts per hour: 30", f"starts per hour: {z}")) for z in (30, 200))
    peaks = [max(f.demand for f in v.every() if f.mode == "peak torque" and f.case == "running peak") for v in (few, many)]
    T_n = finding(few, "steady torque").demand
    assert finding(many, "steady torque").demand == T_n
    assert peaks[1] - T_n == approx(1.3 * (peaks[0] - T_n))


def test_alternating_torque_is_the_swing_about_the_mean():
    """Each case: torque less that of the mean, at two pushes or two lifts a turn, far below 10 Hz."""
    v = verdict()
    found = finding(v, "alternating torque")
    torque = v.solved.stage_torque["pump coupling"][0][:, 0]
    peaks = [i for i, c in enumerate(v.solved.columns) if c.case == "running peak"]
    assert found.demand == approx(1.2 * np.abs(torque[peaks] - torque[0]).max())
    [block] = [r.block for r in v.rated if r.block.kind == "coupling" and r.mode == "misalignment"]
    assert block.parts[0].inputs["omega_w"][peaks, 0] == approx(2 * 40 * np.pi / 30)


def test_an_unlisted_alternating_torque_is_unknown_by_name():
    found = finding(verdict(("alternating torque: 20 N m, ", "")), "alternating torque")
    assert found.verdict == "unknown"
    assert "parts.spider 30.alternating torque" in found.reason


def test_a_stiffer_coupling_never_helps_a_bearing():
    pumps = [verdict(("radial stiffness: 700 N/mm", f"radial stiffness: {k} N/mm")) for k in (100, 700, 2000)]
    worse = [next(f for f in v.every() if (f.part, f.mode, f.case) == (
        "shafts.crank.seats.right bearing.bearing", "static load", "running mean")).margin for v in pumps]
    assert worse == sorted(worse, reverse=True)
    assert len(set(worse)) == 3
