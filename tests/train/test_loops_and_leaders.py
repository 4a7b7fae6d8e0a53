"""Closed loops, strands side by side, modules off, and drives that contradict one another."""

import numpy as np
import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read, read_text
from layshaft.train.solve import solve
from train.random_machines import Draft, add_brake, grow, hang, lead, loop_text, side_of, twin
from train.second_solution import Machine, si

G = 9.81


def drawn(seed=1, axis="x"):
    d = Draft(np.random.default_rng(seed))
    d.shaft("first shaft", axis)
    return d


def refused(text):
    with pytest.raises(MachineErrors) as caught:
        solve(read_text(text))
    return [str(p) for p in caught.value.problems]


# Loops


@pytest.mark.parametrize("seed", range(12))
def test_each_way_round_a_loop_carries_everything(seed):
    """With one stage taken out the ring is a tree, and the second solution knows trees."""
    text = loop_text(seed)
    solved, other = solve(read_text(text)), Machine(text)
    opened = [c for c in solved.columns if "loop opened at" in c.title]
    assert len(opened) == 3
    for case, c in enumerate(solved.columns):
        if c not in opened:
            continue
        gone = c.title.split("loop opened at ")[1]
        answer = other.running(out=(gone,))
        for shaft, speed in answer.speed.items():
            assert solved.speed[shaft][case, 0] == pytest.approx(speed, rel=1e-9)
        for name, ends in answer.ends.items():
            for ours, theirs in zip(solved.stage_torque[name], ends, strict=True):
                assert ours[case, 0] == pytest.approx(theirs, rel=1e-9, abs=1e-9)
        assert solved.stage_torque[gone][0][case, 0] == 0


@pytest.mark.parametrize("seed", range(12))
def test_the_books_of_a_loop_balance(seed):
    b = solve(read_text(loop_text(seed))).budget
    assert (b.total("used") + b.total("lost"))[0] == pytest.approx(b.total("in")[0], rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_a_loop_that_cannot_close_is_spelled_out(seed):
    text = loop_text(seed, closes=False)
    (sentence,) = refused(text)
    stages = list(Machine(text).stages)[:3]
    assert all(f"'{name}'" in sentence for name in stages) and sentence.count("' - '") == 2
    product = float(sentence.split("would have to turn ")[1].split(" times")[0])
    wheel = [n for n in Machine(loop_text(seed)).stages.values() if {n["from"], n["to"]} == {"first shaft", "shaft c"}]
    z = wheel[0]["teeth"][0 if wheel[0]["from"] == "shaft c" else 1]
    assert min(abs(product - z / (z + 1)), abs(product - (z + 1) / z)) < 1e-5  # one tooth too many
    assert "Change teeth" in sentence and sentence.count("machine.yaml:") == 1


def test_gears_in_a_ring_of_three_turn_against_themselves():
    d = drawn()
    for name in ("b", "c"):
        d.shaft(name, "x")
    more = {"normal module": "2 mm", "pressure angle": "20 deg", "teeth": [20, 20]}
    for one, other in (("first shaft", "b"), ("b", "c"), ("c", "first shaft")):
        d.stage("gear pair", one, other, **more)
    hang(d, "weight", "first shaft", 10, "+y", purchase=False)
    (sentence,) = refused(d.text())
    assert "would have to turn -1 times" in sentence


def test_strands_side_by_side_of_different_ratio_are_refused():
    d = drawn()
    d.shaft("b", "x")
    d.chain("first shaft", "b", (19, 38))
    d.chain("first shaft", "b", (19, 39))
    hang(d, "weight", "first shaft", 10, "+y", purchase=False)
    (sentence,) = refused(d.text())
    assert "'roller chain 0' - 'roller chain 1'" in sentence


def test_a_loop_whose_module_is_off_hangs_on_nothing():
    """A shaft of the ring goes with its module: the way that is left carries the rest."""
    text = loop_text(3).replace("  frame one: {mass: 100 kg}", "  frame one: {mass: 100 kg}\n  frame two: {mass: 9 kg}")
    for shaft in ("shaft c", "end 1"):
        text = text.replace(f"  {shaft}:\n    module: frame one", f"  {shaft}:\n    module: frame two")
    solved = solve(read_text(text))
    case = [c.title for c in solved.columns].index("frame two taken off")
    for shaft in ("shaft c", "end 1"):
        assert solved.speed[shaft][case, 0] == 0
        assert all(t[case, 0] == 0 for t in solved.seat_torque[shaft].values())
    other = Machine(text)
    for name, stage in other.stages.items():
        gone = {"shaft c", "end 1"} & {stage["from"], stage["to"]}
        assert (solved.stage_torque[name][0][case, 0] == 0) == bool(gone)


# Drives that lead


def test_two_drives_cannot_decide_one_speed():
    d = drawn()
    grow(d, 5)
    lead(d, "shaft 3", "crank", 20, "hand")
    lead(d, "first shaft", "motor", 20, "engine")
    (sentence,) = refused(d.text())
    assert "drives.engine: shaft 'first shaft' turns with 'shaft 3' and has its speed decided by drives.hand" in sentence
    assert "Keep one of the two drives" in sentence


def test_two_cranks_on_one_shaft_cannot_either():
    d = drawn()
    lead(d, "first shaft", "crank", 20, "left hand")
    lead(d, "first shaft", "crank", 20, "right hand")
    (sentence,) = refused(d.text())
    assert "shaft 'first shaft' has its speed decided by drives.left hand already" in sentence


def test_two_drives_on_shafts_apart_are_two_machines():
    d = drawn()
    d.shaft("lone", "y")
    lead(d, "first shaft", "motor", 20, "engine")
    lead(d, "lone", "motor", 20, "second engine")
    assert len(solve(read_text(d.text())).sets) == 2


# Strands side by side


def twin_machine(one=None, **more):
    d = drawn(5)
    d.shaft("b", "x")
    twin(d, "first shaft", "b", (19, 38), chain="08B-1", **more)
    for stage in d.stages.values():
        stage |= {"efficiency": 1, "from": "first shaft", "to": "b", "teeth": [19, 38]}
        stage["seats"] = sorted(stage["seats"])
    d.stages["roller chain 0"] |= one or {}
    hang(d, "weight", "first shaft", 40, side_of(d, "first shaft"), purchase=False)
    d.drives["weight"] |= {"pulley loss": 0}
    d.loads["load"] = {"kind": "steady", "shaft": "b", "seat": d.seat("b"), "torque": "4 N m", "break away": 1}
    add_brake(d, 1.0, 10)
    return solve(read_text(d.text())), Machine(d.text())


def shared(solved):
    first = [solved.stage_torque[f"roller chain {i}"][0] for i in (0, 1)]
    return first, [solved.carried[f"roller chain {i}"] for i in (0, 1)]


def test_without_tolerances_each_strand_must_carry_everything():
    solved, _ = twin_machine()
    torques, carried = shared(solved)
    assert torques[0][0, 0] == torques[1][0, 0]
    assert carried[0][0, 0] == pytest.approx(abs(torques[0][0, 0] + torques[1][0, 0]), rel=1e-12)


def test_share_of_a_strand_that_is_shorter_and_turned_ahead():
    """Two springs side by side, one stretched further by the difference in length: worked out by hand."""
    stiff, tolerance, index = 200e3, 2e-4, np.radians(0.02)
    solved, _ = twin_machine(**{"stiffness": "200 N/mm", "length tolerance": "0.02 %", "index error": "0.02 deg"})
    torques, carried = shared(solved)
    r = 12.7e-3 / 2 / np.sin(np.pi / 19)
    links = 2 * np.ceil((2 * 600 / 12.7 + 57 / 2 + (19 / 2 / np.pi) ** 2 * 12.7 / 600 - 0.01) / 2)
    distance = np.linalg.norm(solved.place["b"][1:] - solved.place["first shaft"][1:])
    assert distance == pytest.approx(12.7e-3 / 4 * (links - 28.5 + np.sqrt(
        (links - 28.5) ** 2 - 8 * (19 / 2 / np.pi) ** 2)), rel=1e-4)
    pull = abs(torques[0][0, 0] + torques[1][0, 0]) / r
    gap = tolerance * distance + r * index
    # k (y + gap) + k y = F: the first strand holds k (y + gap).
    y = (pull / stiff - gap) / 2
    wanted = stiff * (y + gap) if y > 0 else pull
    assert pull / 2 < wanted
    assert carried[0][0, 0] == pytest.approx(wanted * r, rel=1e-9)
    assert carried[1][0, 0] == carried[0][0, 0]


def test_one_tolerance_alone_is_not_enough():
    solved, _ = twin_machine(**{"stiffness": "200 N/mm", "length tolerance": "0.02 %"})
    torques, carried = shared(solved)
    assert carried[0][0, 0] == pytest.approx(abs(torques[0][0, 0] + torques[1][0, 0]), rel=1e-12)


@pytest.mark.parametrize("gone", [0, 1])
def test_a_strand_that_is_left_takes_all_with_a_snatch(gone):
    """Load taken up suddenly counts twice: common practice, no single source."""
    solved, _ = twin_machine()
    case = [c.title for c in solved.columns].index(f"one element failed: roller chain {gone}")
    torques, carried = shared(solved)
    whole = abs(torques[0][0, 0] + torques[1][0, 0])
    assert torques[gone][case, 0] == 0 and carried[gone][case, 0] == 0
    assert abs(torques[1 - gone][case, 0]) == pytest.approx(2 * whole, rel=1e-9)
    assert carried[1 - gone][case, 0] == pytest.approx(2 * whole, rel=1e-9)


# What one number decides


def test_power_that_comes_in_by_the_second_shaft_loads_the_strand_no_less():
    """Turning a stage round in the file changes nothing about its pull."""
    d = drawn(9)
    d.lossy = False
    d.shaft("b", "x")
    d.chain("first shaft", "b", (19, 19), chain="08B-1")
    d.stages["roller chain 0"] |= {"from": "first shaft", "to": "b", "efficiency": 0.9}
    lead(d, "first shaft", "motor", 20)
    d.loads["load"] = {"kind": "steady", "shaft": "b", "seat": d.seat("b"), "torque": "8 N m", "break away": 1}
    one = d.text()
    d.stages["roller chain 0"] |= {"from": "b", "to": "first shaft",
                                   "seats": d.stages["roller chain 0"]["seats"][::-1]}
    for text in (one, d.text()):
        solved = solve(read_text(text))
        assert solved.carried["roller chain 0"][0, 0] == pytest.approx(8 / 0.9, rel=1e-12)


def test_an_eddy_brake_is_solved_below_its_critical_speed_and_unknown_above():
    """Torque c omega: the speed is the spare torque over c, if that is below the critical speed."""
    for critical, known in ((2.0, True), (0.9, False)):
        d = drawn()
        d.lossy = False
        hang(d, "weight", "first shaft", 10, "+y", purchase=False)
        d.drives["weight"] = {k: v for k, v in d.drives["weight"].items() if k not in ("chain", "teeth")}
        d.drives["weight"] |= {"mass": "10 kg", "diameter": "100 mm"}
        d.loads["brake"] = {"kind": "eddy brake", "shaft": "first shaft", "seat": d.seat("first shaft"),
                            "constant": f"{G * 0.5} N m s", "critical speed": f"{critical} rad/s",
                            "inertia": "0.01 kg m2"}
        speed = abs(solve(read_text(d.text())).speed["first shaft"][0, 0])
        assert speed == pytest.approx(1.0, rel=1e-12) if known else np.isnan(speed)


def test_an_inertia_that_is_not_stated_leaves_the_steady_cases_alone():
    d = drawn()
    lead(d, "first shaft", "crank", 20)
    d.loads["load"] = {"kind": "steady", "shaft": "first shaft", "seat": d.seat("first shaft"), "torque": "8 N m"}
    text = d.text()
    solved = solve(read_text(text))
    titles = [c.title for c in solved.columns]
    push = solved.seat_torque["first shaft"][d.drives["hand"]["seat"]][:, 0]
    drags = sum(si(s["drag"]) for s in Machine(text).bearings("first shaft"))
    assert push[0] == pytest.approx(8 + drags, rel=1e-12)
    assert np.isnan(push[titles.index("starting from rest, worst position of every cam")])  # its break-away is not stated
    assert np.isnan(solved.acceleration["first shaft"][titles.index("running peak, hardest push of a turn"), 0])


# An endless loop, in the example that has one


def test_strands_of_an_endless_loop(checkout):
    """M g/(2 + e) and m g (1 + e)/(2 + e) on the drive wheel, statics of two bights; the books balance."""
    solved = solve(read(checkout / "examples" / "harbour-light"))
    weight, counter, e = 96 * G, 8 * G, 0.04
    radius = 12.7e-3 / 2 / np.sin(np.pi / 17)
    tight, slack = weight / (2 + e), counter * (1 + e) / (2 + e)
    torque = solved.seat_torque["main"]["loop sprocket"][0, 0]
    assert abs(torque) == pytest.approx((tight - slack) * radius, rel=1e-12)
    loads = solved.loads["main"]
    down = loads.force[loads.at("loop sprocket")][2, 0, 0]
    assert -down == pytest.approx(tight + slack, rel=1e-12)
    b = solved.budget
    assert (b.total("used") + b.total("lost"))[0] == pytest.approx(b.total("in")[0], rel=1e-9)


def test_a_one_way_hub_holds_the_winding_shaft_as_a_ratchet_does(checkout):
    text = (checkout / "examples" / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
    start, end = text.index("  ratchet:\n    kind: ratchet"), text.index("  lens chain:\n    kind")
    hub = "  ratchet: {kind: one-way hub, from: wind, to: frame, seats: [ratchet, ratchet]}\n"
    held = [solve(read_text(t)).seat_torque["wind"]["ratchet"][0, 0]
            for t in (text, text[:start] + hub + text[end:])]
    assert held[0] == held[1] != 0
