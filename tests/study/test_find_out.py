"""Finding out what is guessed: readings from a file to a value with its spread, against simulation and by hand."""

import math
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy import stats
from uncertainties import ufloat

import layshaft
from layshaft.machine import MachineErrors
from layshaft.machine.sampling import doubts
from layshaft.study.doubt import doubt, flips_of
from layshaft.study.find_out import ready, ready_by_reading
from layshaft.study.find_out.measured import changes, contradicts, option_for
from layshaft.study.find_out.plan import chosen_test, given_at, plan, usual
from layshaft.study.find_out.readings import read_readings, result_of
from layshaft.study.find_out.serves import KNOWN, RULES, ready_tests
from layshaft.trace.errors import BadInput
from layshaft.verdict.measured import AGAINST

ROOT = Path(__file__).parents[2] / "examples"
LIGHT = layshaft.read(ROOT / "harbour-light")
DRAG = "shafts.main.seats.left bearing.drag"
PROCEDURES = [p for module in (ready, ready_by_reading) for p in vars(module).values()
              if type(p).__name__ == "Procedure"]
TABLE = """# who: M. Example
# when: 2026-11-20
# smallest step of pull running: 0.05 N
pull running in N;arm in mm
1,2;200
1,4;200
1,3;200
1,1;200
1,5;200
"""


def read(tmp_path, text, path=DRAG, by=""):
    place = tmp_path / "readings.csv"
    place.write_text(text, encoding="utf-8")
    given = given_at(LIGHT, path)
    test = chosen_test(LIGHT, given, by)
    return given, result_of(test, read_readings(place, test), given.dimension)


def test_value_and_spread_of_a_drag(tmp_path):
    """Five pulls on 0.2 m, two bearings: the mean halved; Student's t of 4 degrees, steps of 0.05 N and 1 mm."""
    _, r = read(tmp_path, TABLE)
    pulls = np.array([1.2, 1.4, 1.3, 1.1, 1.5])
    u_a = pulls.std(ddof=1) / math.sqrt(5) * 0.2 / 2
    by_hand = ufloat(1.3, 0.05 / math.sqrt(12)) * ufloat(0.2, 1e-3 / math.sqrt(12)) / 2
    u_c = math.hypot(u_a, by_hand.std_dev)
    freedom = math.floor(4 * (u_c / u_a) ** 4)
    assert r.value == approx(0.13)
    assert r.standard == approx(u_c, rel=1e-6)
    assert r.spread == approx(stats.t.ppf((1 + 0.9545) / 2, freedom) * u_c, rel=1e-6)


@pytest.mark.parametrize("scatter", [0.02, 0.3])
def test_the_spread_covers_what_it_says(tmp_path, scatter):
    """Of many tests of five readings, 95 in 100 spreads hold the true value (common meaning of a confidence)."""
    rng, true = np.random.default_rng(4), 0.03
    held = 0
    for _i in range(200):
        pulls = 0.3 * (1 + scatter * rng.standard_normal(5))
        if (pulls <= 0).any():
            pulls = np.abs(pulls) + 1e-3
        lines = "\n".join(f"{p:.6f},200" for p in pulls)
        _, r = read(tmp_path, f"# smallest step of pull running: 0 N\n# smallest step of arm: 0 mm\n"
                              f"pull running in N,arm in mm\n{lines}\n")
        held += r.low <= true <= r.high
    assert held / 200 == approx(0.9545, abs=3 * math.sqrt(0.9545 * 0.0455 / 200))


def test_a_limit_of_error_counts_beside_the_step(tmp_path):
    _, without = read(tmp_path, TABLE)
    _, beside = read(tmp_path, "# limit of error of pull running: 0.2 N\n" + TABLE)
    more = ufloat(1.3, 0.2 / math.sqrt(3)).std_dev * 0.2 / 2
    assert beside.standard**2 - without.standard**2 == approx(more**2, rel=1e-6)


def test_work_of_a_lift_by_lines_of_angle_and_pull(tmp_path):
    """A triangle of pull over 80 deg, 20 N at its top on 0.2 m: half of base times height."""
    lines = "\n".join(f"{lift},{angle},{pull},200" for lift, top in ((1, 20), (2, 21)) for angle, pull in
                      ((0, 0), (20, top / 2), (40, top), (60, top / 2), (80, 0)))
    _, r = read(tmp_path, f"lift,angle in deg,pull in N,arm in mm\n{lines}\n", "loads.hammer cam.energy")
    area = [0.5 * math.radians(80) * top * 0.2 for top in (20, 21)]
    assert r.values == approx(area)
    assert len(r.values) == 2


def test_mass_and_centre_at_three_feet(tmp_path):
    lines = "x 1 in mm,x 2 in mm,x 3 in mm,y 1 in mm,y 2 in mm,y 3 in mm\n"
    text = "foot 1 in kg,foot 2 in kg,foot 3 in kg," + lines + "50,52,48,0,600,300,0,0,500\n50.2,52,48,0,600,300,0,0,500\n"
    _, r = read(tmp_path, text, "modules.lantern.mass")
    found = {words: value for words, _, value in r.extras}
    assert r.value == approx(150.1)
    assert found["centre of mass, x"] == approx((52 * 0.6 + 48 * 0.3) / 150.1, rel=1e-4)
    assert found["centre of mass, y"] == approx(48 * 0.5 / 150.1, rel=1e-4)


@pytest.mark.parametrize(("line", "said"), [
    ("1,2;0", "line 7|'arm' is 0 mm here; it must be more than 0 mm"),
    ("-1,2;200", "'pull running' is -1.200 N here; it must be more than 0 N"),
    ("1,2", "nothing under 'arm'"), ("much;200", "'much' under 'pull running' is no number"),
])
def test_bad_readings_are_named_with_their_line(tmp_path, line, said):
    with pytest.raises(MachineErrors, match=said) as e:
        read(tmp_path, TABLE + line + "\n")
    assert "readings.csv:10:" in str(e.value)


@pytest.mark.parametrize(("text", "said"), [
    ("pull running in N,arm in mm\n1,200\n", "1 reading tells nothing of the scatter"),
    ("pull running in kg,arm in mm\n1,200\n", "'kg' is no unit for 'pull running'. Write 'pull running in N'"),
    ("pull,arm in mm\n1,200\n", "first line should name the columns"), ("", "no lines of numbers"),
    (TABLE.replace("0.05 N", "fine"), "cannot be read"),
    ("# smallest step of push: 1 N\n" + TABLE, "names no column of this table. It has: pull running, arm"),
])
def test_bad_tables_are_refused_in_a_sentence(tmp_path, text, said):
    with pytest.raises(MachineErrors, match=said):
        read(tmp_path, text)


def test_readings_that_give_no_value_are_named_with_their_line(tmp_path):
    text = ("mass in kg,height in mm,drum diameter in mm,turns falling,turns after,time after in s\n"
            "1,1000,100,3,40,30\n1,1000,100,3,40,2\n")
    with pytest.raises(MachineErrors, match=r"readings\.csv:3:.*give no value"):
        read(tmp_path, text, "loads.flywheel.inertia")


def test_angles_that_go_back_are_refused(tmp_path):
    with pytest.raises(MachineErrors, match="by rising angle"):
        read(tmp_path, "lift,angle in deg,pull in N,arm in mm\n1,0,0,200\n1,40,9,200\n1,20,5,200\n",
             "loads.hammer cam.energy")


# Plans -------------------------------------------------------------------------------------------


def test_flips_are_those_of_the_whole_doubt():
    mill = layshaft.read(ROOT / "cider-mill")
    whole = doubt(mill, 64).flips
    for cause in list(doubts(mill))[:5]:
        assert [f for f in whole if f.cause == cause] == flips_of(mill, cause)


def test_the_plan_settles_its_verdict_when_the_guess_is_right():
    """Repeats as planned, scattering as planned: nine in ten tests tell on which side of the flip the value lies."""
    p = plan(LIGHT, given_at(LIGHT, "loads.lens table.rolling coefficient"))
    assert p.first is not None
    n, scatter = p.take, p.test.way.scatter
    rng = np.random.default_rng(1)
    draws = p.given.nominal * (1 + scatter * rng.standard_normal((4000, n)))
    rough = p.u_b * p.given.nominal

    def half(scatter, n):
        """Student's t with the degrees of freedom of Welch and Satterthwaite (JCGM 100:2008, G.4.1), rounded down."""
        u_a = scatter / math.sqrt(n)
        u_c = np.hypot(u_a, rough)
        return stats.t.ppf((1 + 0.9545) / 2, np.floor((n - 1) * (u_c / u_a) ** 4)) * u_c

    assert np.mean(half(draws.std(axis=1, ddof=1), n) <= p.first.distance) > 0.5
    fewer = half(scatter * p.given.nominal, n - 1)
    assert fewer > p.first.distance


def test_no_repeats_are_promised_where_what_is_taken_as_known_is_too_rough():
    """The mass of the lens table, 95 to 130 kg (triangle: 7.2 kg) of 110 kg, leaves +- 13 %: 0.0020 of 0.015."""
    p = plan(LIGHT, given_at(LIGHT, "loads.lens table.rolling coefficient"))
    mass = math.sqrt((95**2 + 110**2 + 130**2 - 95 * 110 - 95 * 130 - 110 * 130) / 18)
    assert p.u_b >= 0.9 * mass / 110
    for s in p.settled:
        if s.distance < 2 * 0.9 * mass / 110 * p.given.nominal:
            assert s.repeats is None


@pytest.mark.parametrize("path", [
    "loads.lens table.rolling coefficient", "stages.winding chain.efficiency", "drives.weight.pulley loss",
    "loads.fan.drag coefficient", "loads.flywheel.inertia", "loads.hammer cam.energy", "modules.lantern.mass", DRAG])
def test_the_expected_reading_gives_the_guess(path):
    given = given_at(LIGHT, path)
    p = plan(LIGHT, given)
    value = p.test.way.value(usual(p.test, p.expected), p.test.numbers())
    assert value == approx(given.nominal, rel=1e-9)


def test_every_guess_of_the_demo_has_a_test_or_a_word():
    for cause in doubts(LIGHT):
        given = LIGHT.givens[cause]
        for test in ready_tests(LIGHT, given):
            assert test.way in test.procedure.ways.values()


def test_what_a_way_needs_is_known_and_its_columns_are_there():
    assert {s for r in RULES for s in r.procedure.ways[r.way].needs} <= KNOWN.keys()
    for procedure in PROCEDURES:
        for way in procedure.ways.values():
            assert {*way.columns, way.main} <= {c.name for c in procedure.columns}


@pytest.mark.parametrize("procedure", PROCEDURES, ids=[p.name for p in PROCEDURES])
def test_every_test_shows_its_cautions_and_defers(procedure):
    assert procedure.cautions[-1] == ready.LOCAL
    if any("known weight" in text or "weight on" in text or "weighed" in text for text in (procedure.rig, *procedure.instruments)):
        assert any(word in " ".join(procedure.cautions) for word in ("hangs", "Weights", "lift"))


def test_a_given_without_a_test_says_whom_to_ask():
    with pytest.raises(BadInput, match="source: advised"):
        plan(LIGHT, given_at(LIGHT, "drives.crank.arms factor"))


def test_a_path_that_is_not_there_or_not_one():
    with pytest.raises(BadInput, match="There is no given 'wings'"):
        given_at(LIGHT, "wings")
    with pytest.raises(BadInput, match="could be"):
        given_at(LIGHT, "left bearing.drag")
    with pytest.raises(BadInput, match="'guessing' is no test of"):
        plan(LIGHT, given_at(LIGHT, DRAG), "guessing")


# The file ----------------------------------------------------------------------------------------


def test_a_measurement_becomes_a_measured_given_for_all_that_share_it(tmp_path):
    given, r = read(tmp_path, TABLE, "shafts.crank.seats.left bearing.drag")
    assert contradicts(given, r)
    there = layshaft.apply(LIGHT, option_for(given, r, given.cause, who="M. Example", when="2026-11-20", note=""))
    kept = there.givens[DRAG]
    assert (kept.source, kept.who, kept.when) == ("measured", "M. Example", "2026-11-20")
    assert (kept.nominal, kept.low, kept.high) == approx((0.13, 0.109, 0.151))
    assert kept.guessed == approx((0.03, 0.02, 0.08))
    assert there.givens["shafts.wind.seats.right bearing.drag"].nominal == approx(0.13)
    alone = layshaft.apply(LIGHT, option_for(given, r, given.path, who="", when="", note=""))
    assert alone.givens[DRAG].nominal == 0.03
    assert alone.givens["shafts.crank.seats.left bearing.drag"].nominal == approx(0.13)


def test_a_contradiction_is_a_finding_until_the_guess_is_taken_out(tmp_path):
    given, r = read(tmp_path, TABLE)
    there = layshaft.apply(LIGHT, option_for(given, r, given.cause, who="", when="", note=""))
    [found] = [f for f in layshaft.rate(layshaft.solve(there)).findings if f.mode == AGAINST]
    apart = ufloat(0.130, 0.0105) - ufloat(0.03, 0.025)
    assert found.verdict == "fails"
    assert found.margin == approx(2 * apart.std_dev / apart.nominal_value, rel=1e-6)
    known = layshaft.apply(there, {"remove": [f"{DRAG}.guessed"]})
    assert not [f for f in layshaft.rate(layshaft.solve(known)).findings if f.mode == AGAINST]
    assert known.givens[DRAG].nominal == approx(0.13)


def test_what_agrees_holds(tmp_path):
    given, r = read(tmp_path, TABLE.replace("1,", "0,"))
    assert not contradicts(given, r)
    there = layshaft.apply(LIGHT, option_for(given, r, given.cause, who="", when="", note=""))
    [found] = [f for f in layshaft.rate(layshaft.solve(there)).findings if f.mode == AGAINST]
    assert found.verdict == "holds"


def test_verdicts_that_change_are_those_of_the_changed_file(tmp_path):
    given, r = read(tmp_path, TABLE)
    text = f"{r.value!r} N m"
    after = layshaft.rate(layshaft.solve(layshaft.apply(LIGHT, {"set": {DRAG: text}}))).findings
    before = layshaft.rate(layshaft.solve(LIGHT)).findings
    words = [{(f.part, f.mode): f.verdict for f in fs} for fs in (before, after)]
    changed = {k for k in words[0] if words[0][k] != words[1].get(k)}
    assert changed
    assert {(a.part, a.mode) for _, a in changes(LIGHT, given, r)} == changed


def test_a_value_that_never_had_a_spread_is_contradicted_by_nothing(tmp_path):
    text = "reading in mm\n25.02\n25.04\n25.03\n"
    given, r = read(tmp_path, text, "shafts.main.sections[0][0]")
    assert not contradicts(given, r)
    there = layshaft.apply(LIGHT, option_for(given, r, given.cause, who="", when="", note=""))
    assert there.givens[given.path].nominal == approx(0.02503)
    assert there.givens[given.path].guessed is None


def test_what_is_wanted_is_not_found_out():
    with pytest.raises(BadInput, match="is what you ask for"):
        plan(LIGHT, given_at(LIGHT, "wants.lens speed.error"))


def test_a_spread_that_reaches_zero_is_not_kept(tmp_path):
    given, r = read(tmp_path, "pull running in N,arm in mm\n0.2,200\n1.4,200\n")
    with pytest.raises(BadInput, match="reaches to zero or below"):
        option_for(given, r, given.cause, who="", when="", note="")


def test_guessed_that_cannot_be_read_is_refused_with_its_place():
    for bad, said in (("much", "guessed"), ("3 kg", "guessed")):
        with pytest.raises(MachineErrors, match=said):
            layshaft.apply(LIGHT, {"set": {f"{DRAG}.guessed": bad}})
